"""Rows -> batch sheet, charts, pages of a plan: tables first, then text.

A report is given figures and opens no store. What it prints is worked out from the integers of
the journal, and every sheet says as of which line it is. Its texts are imported from where they
are: a station whose pages nobody reads holds no library that prints.
"""

from weighstation.report.charts.control import ControlChart, Track, chart_record
from weighstation.report.page.tables import SheetRow, SheetTable
from weighstation.report.sheet.figures import BatchFigures, Bench, Dough
from weighstation.report.sheet.record import batch_record
from weighstation.report.sheet.sheet import BatchSheet, batch_sheet

__all__ = [
    "BatchFigures",
    "BatchSheet",
    "Bench",
    "ControlChart",
    "Dough",
    "SheetRow",
    "SheetTable",
    "Track",
    "batch_record",
    "batch_sheet",
    "chart_record",
]
