"""Rows -> batch sheet, charts, pages of a plan: tables first, then text.

A report is given figures and opens no store. What it prints is worked out from the integers of
the journal, and every sheet says as of which line it is.
"""

from weighstation.report.charts.control import ControlChart, Track, chart_record
from weighstation.report.page.tables import SheetRow, SheetTable
from weighstation.report.sheet.figures import BatchFigures, Bench, Dough
from weighstation.report.sheet.record import batch_record
from weighstation.report.sheet.sheet import BatchSheet, batch_sheet
from weighstation.report.sheet.text import print_sheet, sheet_text

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
    "print_sheet",
    "sheet_text",
]
