"""Tables as comma-separated values."""

from __future__ import annotations

import csv
import io

import pandas as pd
import pytest

from weighstation.report.page.cells import csv_text, defused


@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "\t", "\r", "\n"])
def test_a_text_that_calls_a_formula_is_defused(sign: str) -> None:
    """OWASP, CSV Injection: these begin a formula in a spreadsheet (from memory)."""
    assert f"'{sign}cmd" == defused(f"{sign}cmd")


def test_numbers_stay_numbers_and_what_is_none_is_empty() -> None:
    table = pd.DataFrame({"name": ["=1+1", 'a "b", c'], "d_g": [-1.5, None], "n": [3, -4]})
    read = list(csv.reader(io.StringIO(csv_text(table), newline="")))

    assert [["name", "d_g", "n"], ["'=1+1", "-1.5", "3"], ['a "b", c', "", "-4"]] == read
    assert 3 == csv_text(table).count("\r\n")
