"""A morning of two doughs, three products and 300 pieces; and what goes wrong names its board.

What truly lies on the pan is known here and nowhere else: the sheet has only what the scale said
and what the keys said.
"""

from __future__ import annotations

import json
import math
import time
from itertools import accumulate
from random import Random
from typing import TYPE_CHECKING, Any

import pytest
from played_scale import PlayedScale
from station_process import weighstation
from station_terminal import POSIX, Terminal

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

pytestmark = POSIX

PRODUCTS = """
currency = "EUR"

[[product]]
name = "Farmhouse loaf"
scaling_weight_g = 915
under_g = 9
over_g = 9
board_places = 12
rest_min = [1, 90]
dough = "white"

[[product]]
name = "Roll"
scaling_weight_g = 70
under_g = 3
over_g = 3
board_places = 40
rest_min = [1, 90]
dough = "white"

[[product]]
name = "Rye loaf"
scaling_weight_g = 740
under_g = 8
over_g = 8
board_places = 14
rest_min = [1, 90]
dough = "rye"

[[product]]
name = "Tin loaf"
scaling_weight_g = 740
under_g = 8
over_g = 8
board_places = 6
"""
LUMP_G = 12_000.0
STICKS_G = 1.0
"""What a piece leaves on bench, scraper and hands; all of it is scraped together at the end."""
KEY_S = 0.3
"""Sooner, a second press is a key held down."""


class Dough:
    """What is truly left of a dough, and what stuck to bench and hands."""

    def __init__(self, grams: float) -> None:
        self.left_g = grams
        self.stuck_g = 0.0

    def cut(self, grams: float) -> float:
        self.left_g -= grams + STICKS_G
        self.stuck_g += STICKS_G
        return grams

    def lumps(self) -> list[float]:
        lumps = math.ceil(self.left_g / LUMP_G)
        return [self.left_g / lumps] * lumps


class Baker:
    """A pair of hands at a played scale, and the keys of its panel."""

    def __init__(
        self, scale: PlayedScale, terminal: Terminal, dough: Dough, *, target_g: float, planned: int
    ) -> None:
        self.scale, self.terminal, self.dough = scale, terminal, dough
        self.target_g, self.planned = target_g, planned
        self.rng = Random(planned)
        self.done = 0
        self.cloth_g = 0.0
        terminal.until("the pan is empty")

    def pieces(self, count: int) -> None:
        """Cut pieces within a part of the band, weigh each, and see them counted."""
        self.begin_pieces(count)
        self.are_counted()

    def begin_pieces(self, count: int) -> None:
        for _ in range(count):
            grams = self.dough.cut(self.target_g + self.rng.uniform(-2.4, 2.4))
            self.scale.load(grams + self.cloth_g)
        self.done += count

    def are_counted(self) -> None:
        self.terminal.until(f"{self.done} of {self.planned}, ")

    def weigh_back(self) -> None:
        """Weigh all the dough that is left, in lumps, between two presses of D."""
        lumps = self.dough.lumps()
        self.terminal.press("d")
        self.terminal.until("what comes onto the pan is no piece")
        for lump in lumps:
            self.scale.load(lump, for_s=4.0)
        self.terminal.until(f"in {len(lumps)} lump")
        self.terminal.press("d")
        self.terminal.until("the pan is empty")

    def twice(self, key: str) -> None:
        self.terminal.press(key)
        self.terminal.until(f"{key.upper()} again")
        time.sleep(KEY_S)
        self.terminal.press(key)
        time.sleep(KEY_S)

    def end(self) -> None:
        self.twice("e")
        assert 0 == self.terminal.rest()


@pytest.fixture
def scale() -> Iterator[PlayedScale]:
    played = PlayedScale(seed=7)
    yield played
    played.close()


@pytest.fixture
def home(tmp_path: Path) -> Path:
    (tmp_path / "products.toml").write_text(PRODUCTS)
    return tmp_path


def begun(
    home: Path, scale: PlayedScale, product: str, dough: Dough, *, target_g: float, planned: int
) -> Baker:
    words = ("divide", product, "--port", scale.url, "--pieces", str(planned))
    typed = ("--dough", f"{dough.left_g:.0f}", "--mixed", "40")
    terminal = Terminal(*words, *typed, home=home)
    return Baker(scale, terminal, dough, target_g=target_g, planned=planned)


def divided(baker: Baker, *, boards: int, places: int, before: int) -> None:
    """Divide with four boards in use: one fills, one rests, one is shaped, one is in the oven.

    ``before`` is how many boards the morning has had, of whichever product.
    """
    for board in range(before, before + boards):
        baker.begin_pieces(places)
        for key, since in (("o", 3), ("i", 2), ("s", 1)):
            if board >= since:
                baker.twice(key)
        baker.are_counted()
    baker.weigh_back()
    baker.end()


def most_in_use(lines: list[dict[str, Any]]) -> int:
    """Return how many boards were between their first piece and the end of the oven at once."""
    begin = {0, *accumulate([12] * 7 + [40] * 4 + [14] * 3)}  # by the pieces before it
    kept = in_use = most = 0
    for line in lines:
        if line["kind"] == "piece_kept":
            in_use += kept in begin
            kept += 1
        in_use -= line["kind"] == "board_moved" and line["body"]["stage"] == "out_of_oven"
        most = max(most, in_use)
    return most


def sheet(home: Path, *words: str) -> dict[str, Any]:
    said = weighstation("journal", "sheet", "--json", *words, home=home)
    assert 0 == said.returncode, said.stderr
    found: dict[str, Any] = json.loads(said.stdout)
    return found


def desk(home: Path, *words: str) -> str:
    said = weighstation("journal", *words, home=home)
    assert 0 == said.returncode, said.stderr
    return said.stdout


def test_three_hundred_pieces_of_two_doughs(home: Path, scale: PlayedScale) -> None:
    """Dough on hand = kept + left + loss, within what the scale's own steps leave open."""
    white, rye = Dough(91_000.0), Dough(44_000.0)
    loaves = begun(home, scale, "Farmhouse loaf", white, target_g=915, planned=84)
    divided(loaves, boards=7, places=12, before=0)
    left_g, stuck_g = white.left_g, white.stuck_g
    rolls = begun(home, scale, "Roll", white, target_g=70, planned=160)
    divided(rolls, boards=4, places=40, before=7)
    dark = begun(home, scale, "Rye loaf", rye, target_g=740, planned=56)
    divided(dark, boards=4, places=14, before=11)
    for board, *left in ((13, "out"), (14, "oven", "out"), (15, "bench", "oven", "out")):
        for to in left:  # the keys took the others, first in, first out
            desk(home, "board", str(board), str(to))
    shown = desk(home, "show", "--json", "--last", "9999").splitlines()
    lines = [json.loads(line) for line in shown]
    runs = [line["body"]["run"] for line in lines if line["kind"] == "run_started"]
    sheets = [
        sheet(home, "--run", run, "--loss", f"{loss_g:.0f}")
        for run, loss_g in zip(runs, (stuck_g, white.stuck_g - stuck_g, rye.stuck_g), strict=True)
    ]

    assert 300 == sum(found["pieces"] for found in sheets)
    assert [84, 160, 56] == [found["pieces"] for found in sheets]
    for found, on_hand_g, rest_g in zip(
        sheets, (91_000, left_g, 44_000), (left_g, white.left_g, rye.left_g), strict=True
    ):
        dough = found["dough"]

        assert on_hand_g == pytest.approx(dough["on_hand_g"], abs=0.5)
        assert rest_g == pytest.approx(dough["left_g"], abs=dough["scale_g"])
        assert abs(dough["unaccounted_g"]) <= dough["scale_g"] <= 0.3 * found["pieces"] + 5
        assert ("agrees", []) == (dough["balance"], found["traced"])
    boards = [board for found in sheets for board in found["boards"]]
    assert 4 == most_in_use(lines)
    assert list(range(1, 16)) == [board["board"] for board in boards]
    assert {"out_of_oven"} == {board["stage"] for board in boards}
    assert "No board is in use.\n" == desk(home, "board")
    assert "hold" in desk(home, "verify")


def five_boards(home: Path, scale: PlayedScale, third: Callable[[Baker], None]) -> dict[str, Any]:
    """Divide five boards, the dough weighed back after each, the third one as told."""
    baker = begun(home, scale, "Tin loaf", Dough(24_000.0), target_g=740, planned=30)
    for board in range(1, 6):
        third(baker) if board == 3 else baker.pieces(6)
        baker.weigh_back()
    baker.end()
    return sheet(home)


def nothing_wrong(baker: Baker) -> None:
    baker.pieces(6)


def scrap_of_60_g_on_the_floor(baker: Baker) -> None:
    baker.pieces(2)
    baker.dough.left_g -= 60
    baker.pieces(4)


def two_together_as_one(baker: Baker) -> None:
    baker.pieces(2)
    baker.scale.load(baker.dough.cut(741.0) + baker.dough.cut(738.0))
    baker.terminal.until("Two pieces left together")
    baker.pieces(4)


def a_cloth_of_20_g_with_each_piece(baker: Baker) -> None:
    """It goes on and off with the piece, untared: 740 g on the scale are 720 g of dough."""
    baker.cloth_g, baker.target_g = 20.0, 720.0
    baker.pieces(6)
    baker.cloth_g, baker.target_g = 0.0, 740.0


def tare_pressed_with_a_scraper_of_20_g(baker: Baker) -> None:
    baker.pieces(2)
    baker.scale.tare_with(20)
    baker.pieces(4)


@pytest.mark.parametrize(
    ("third", "kind", "grams", "text"),
    [
        (
            scrap_of_60_g_on_the_floor,
            "dough gone",
            60,
            "of dough are gone and in no piece, between pieces 13 and 18: scraps, or",
        ),
        (
            two_together_as_one,
            "not counted",
            1479,
            "as much as what left the pan together after piece 14",
        ),
        (
            a_cloth_of_20_g_with_each_piece,
            "counted too much",
            -120,
            "20 g each if all are: was something weighed with them that was not tared",
        ),
        (
            tare_pressed_with_a_scraper_of_20_g,
            "pan shifted",
            -20,
            "from piece 15 on the empty pan showed \N{MINUS SIGN}20 g, before that 0 g: was tare",
        ),
    ],
)
def test_a_slip_is_traced_to_its_board(
    third: Callable[[Baker], None],
    kind: str,
    grams: float,
    text: str,
    home: Path,
    scale: PlayedScale,
) -> None:
    found = five_boards(home, scale, third)
    (traced,) = found["traced"]
    shown = " ".join(desk(home, "sheet").split())

    assert (kind, [3]) == (traced["kind"], traced["boards"])
    assert grams == pytest.approx(traced["grams"], abs=8)
    assert traced["text"].startswith("Board 3: ")
    assert text in traced["text"]
    assert text in shown
    assert "Dough weighed back 5 times" in shown


def test_where_nothing_goes_wrong_no_board_is_named(home: Path, scale: PlayedScale) -> None:
    found = five_boards(home, scale, nothing_wrong)

    assert [] == found["traced"]
    assert "dough agrees on 5 of 5 stretches" in " ".join(desk(home, "sheet").split())
