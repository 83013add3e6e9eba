"""The code on the screen is read back by another hand: zxing-cpp, an independent reader."""

from __future__ import annotations

import io
import re

import numpy as np
import pytest
import zxingcpp

from weighstation.station.commands.pairing.code import QUIET_MODULES, code_shown

LINK = "https://bench-of-the-bakery.local:8650/pair/8OcuxdPHAxIxIS8PZEG73ioRG6dbDDCQ"


class Screen(io.TextIOWrapper):
    def __init__(self, encoding: str, *, is_one: bool = True) -> None:
        super().__init__(io.BytesIO(), encoding=encoding)
        self._is_one = is_one

    def isatty(self) -> bool:
        return self._is_one


def picture(shown: str) -> np.ndarray[tuple[int, int], np.dtype[np.uint8]]:
    """Return what an eye sees: a letter is two dots, the upper above the lower."""
    lines = [re.sub("\x1b\\[[0-9;]*m", "", line) for line in shown.splitlines()]
    rows = [[letter in half for letter in line] for line in lines for half in ("█▀", "█▄")]
    return np.kron(np.array(rows, dtype=np.uint8) * 255, np.ones((5, 5), dtype=np.uint8))


def test_a_reader_of_another_hand_reads_the_link() -> None:
    found = zxingcpp.read_barcodes(picture(code_shown(LINK, Screen("utf-8"))))

    assert [LINK] == [each.text for each in found]


def test_the_code_is_dark_on_light_in_any_terminal_with_its_quiet_border() -> None:
    """ISO/IEC 18004: four modules all round; white is said, not left to the terminal."""
    lines = code_shown(LINK, Screen("utf-8")).splitlines()

    assert 4 == QUIET_MODULES
    assert all(line.startswith("\x1b[97;40m████") for line in lines[:-1])
    assert lines[0].count("█") == lines[1].count("█") == len(lines[0]) - len("\x1b[97;40m\x1b[0m")


@pytest.mark.parametrize("screen", [Screen("ascii"), Screen("utf-8", is_one=False)])
def test_nothing_is_drawn_where_nobody_could_read_it(screen: Screen) -> None:
    assert "" == code_shown(LINK, screen)
