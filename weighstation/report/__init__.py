"""Rows -> batch sheet: tables first, then text.

A report is given figures and opens no store. What it prints is worked out from the integers of
the journal, and every sheet says as of which line it is.
"""

from weighstation.report.control import ControlChart, Track, chart_record
from weighstation.report.figures import BatchFigures, Bench, Dough
from weighstation.report.record import batch_record
from weighstation.report.sheet import BatchSheet, batch_sheet
from weighstation.report.tables import SheetRow, SheetTable
from weighstation.report.text import print_sheet, sheet_text

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
