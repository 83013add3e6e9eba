"""Temperatures as they were noted."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from weighstation.errors import SpecificationError
from weighstation.plan import TemperatureLog
from weighstation.station.commands.planning.temperatures import log_from

if TYPE_CHECKING:
    from pathlib import Path


def test_typed_pairs_take_a_decimal_comma() -> None:
    found = log_from(["0=26,5", "30 = 4", "+31.5=-2"], None)

    assert TemperatureLog((0.0, 30.0, 31.5), (26.5, 4.0, -2.0)) == found


def test_a_file_that_was_saved_by_a_table_program_is_read(tmp_path: Path) -> None:
    """With a mark of its encoding, semicolons, decimal commas and the line ends of another
    system.
    """
    log = tmp_path / "rack.csv"
    log.write_bytes(b"\xef\xbb\xbfminutes; temp_c\r\n0;26,5\r\n30;4\r\n")

    assert TemperatureLog((0.0, 30.0), (26.5, 4.0)) == log_from([], log)


@pytest.mark.parametrize("word", ["", "=", "30", "30=", "=26", "30=26=4", "1e9=26", "nan=26"])
def test_what_is_no_pair_is_refused(word: str) -> None:
    with pytest.raises(SpecificationError, match="is no temperature at a minute"):
        log_from([word], None)


def test_one_way_of_giving_them_is_asked_for(tmp_path: Path) -> None:
    for words, file in (([], None), (["0=26"], tmp_path / "rack.csv")):
        with pytest.raises(SpecificationError, match="A proof takes temperatures"):
            log_from(words, file)
