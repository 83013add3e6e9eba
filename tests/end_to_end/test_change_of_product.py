"""``divide`` says what may not travel, when the product is another than that of the last batch."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

import pytest
from station_process import BAND, weighstation
from station_terminal import POSIX, Terminal

if TYPE_CHECKING:
    from pathlib import Path

PORT = ("--port", "simulated://?seed=1&pieces=1&speed=max")
ALLERGENS = (
    "'Sesame roll' has milk and sesame, and 'Tin loaf' has not: clean bench, scale and tools first."
)
OWN_SCREEN = "\x1b[?1049h"
TRIM = "Keep trim of 'Sesame roll' out of 'Tin loaf': it is another dough."


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A station that has divided rolls with sesame."""
    weighstation("init", home=tmp_path)
    first = weighstation("divide", "Sesame roll", *PORT, "--events", home=tmp_path)

    assert (0, "") == (first.returncode, first.stderr)
    return tmp_path


def test_it_is_said_once_and_not_of_the_same_product(home: Path) -> None:
    changed = weighstation("divide", "Tin loaf", *PORT, "--events", home=home)
    again = weighstation("divide", "tin loaf", *PORT, "--events", home=home)

    assert f"{ALLERGENS}\n{TRIM}\n" == changed.stderr
    assert "" == again.stderr


@POSIX
def test_it_stands_on_the_panel_too(home: Path) -> None:
    """The panel is on a screen of its own: what was said before it is out of sight."""
    terminal = Terminal("divide", "Tin loaf", "--port", "simulated://?seed=1", home=home)
    terminal.until("strike")
    terminal.press("e")
    terminal.until("Press E again")
    time.sleep(0.2)  # sooner, it is a key held down
    terminal.press("e")
    terminal.rest()

    panel = terminal.seen.partition(OWN_SCREEN)[2]
    assert "'Sesame roll' has milk and sesame, and 'Tin loaf' has not" in panel


def test_a_band_without_a_product_needs_no_products_file(home: Path) -> None:
    """A file with faults keeps nobody from dividing what needs no file."""
    (home / "products.toml").write_text("currency = ")
    shown = weighstation("divide", *BAND, *PORT, "--events", home=home)

    assert 0 == shown.returncode
    assert shown.stderr == (
        "Trim of 'Sesame roll' goes into '740 g' only if both are one dough with the same"
        " allergens.\n"
    )
