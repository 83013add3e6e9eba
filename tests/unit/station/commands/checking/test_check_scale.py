"""A check from options to the record, on a simulated scale in virtual time."""

from __future__ import annotations

import json
import math
import statistics
from contextlib import closing
from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from weighstation.errors import SpecificationError, WeighstationError
from weighstation.journal import (
    CheckFinding,
    CheckStep,
    HeldAgainst,
    RunState,
    ScaleChecked,
    Sums,
    read_body,
    read_scale_checked,
)
from weighstation.metrology import AccuracyClass, Plate, Scatter, misjudged
from weighstation.simulate import ScaleSpec
from weighstation.simulate.check_loads import check_loads
from weighstation.specification import Limits
from weighstation.station.bench.check_watch import CheckWatch, Placement, WatchPlan
from weighstation.station.commands.checking.check import CheckOrder, run_check
from weighstation.station.commands.checking.plan import division_shown_mg
from weighstation.station.commands.checking.remarks import misjudged_at, remarks, uncertainty_of
from weighstation.station.commands.checking.standing import show_state
from weighstation.station.commands.checking.texts import asked_text
from weighstation.station.commands.checking.watching import watch_scale
from weighstation.station.panel.keyboard import NoKeyboard
from weighstation.station.stores import open_for_reading

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.station.ports import Arrival

THREE_KG = Plate(AccuracyClass.MEDIUM, Decimal(1), Decimal(3000))
FINE = Plate(AccuracyClass.MEDIUM, Decimal("0.1"), Decimal(500))
COARSE = Plate(AccuracyClass.MEDIUM, Decimal(10), Decimal(6000))


def order(home: Path, loads: str, *weights: str, **more: object) -> CheckOrder:
    plate, limit = more.get("plate"), more.get("limit")
    assert plate is None or isinstance(plate, Plate)
    return CheckOrder(
        port=f"simulated://?speed=max&loads={loads}",
        weights=weights,
        plate=plate,
        limit_g=None if limit is None else Decimal(str(limit)),
        corners=bool(more.get("corners")),
        as_json=bool(more.get("as_json")),
        home=home,
    )


@pytest.mark.parametrize(
    ("plate", "weights", "loads", "said"),
    [
        # Class III, e = 1 g, in service: 1 g at 500 g and 2 g above, see test_permissible_error.
        (THREE_KG, ("500:M1",), "500,502,500", (1, "only 1 g is allowed")),
        (THREE_KG, ("1000:M1",), "1000,1002,1001", (0, "2 g are allowed")),
        (THREE_KG, ("500:M1", "1000:M1"), "500,1000,1000,1000", (0, "1000 g 3 times")),
        (THREE_KG, ("500:M1", "1000:M1"), "500,999,1002,1001", (1, "3 g apart; only 2 g are")),
        (None, ("500:M1",), "500,502,500", (1, "only 1 g is allowed")),
    ],
)
def test_a_scale_is_held_against_its_limits(
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    plate: Plate | None,
    weights: tuple[str, ...],
    loads: str,
    said: tuple[int, str],
) -> None:
    assert said[0] == run_check(order(tmp_path, loads, *weights, plate=plate))
    assert said[1] in " ".join(capsys.readouterr().out.split())


def test_a_limit_of_the_house(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert 0 == run_check(order(tmp_path, "500,502,500", "500:M1", limit="2.5"))
    assert "2.5 g are allowed" in capsys.readouterr().out


def test_the_corners(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    weights = ("200:M1", "500:M1", "1000:M1", "2000:M1")
    loads = "200,500,1000,2000,1000,1000,1003,1000"

    assert 1 == run_check(order(tmp_path, loads, *weights, plate=THREE_KG, corners=True))
    assert "1000 g at 4 corners, worst back right: shows 1003 g, +3 g" in " ".join(
        capsys.readouterr().out.split()
    )


@pytest.mark.parametrize(
    ("weights", "loads", "more", "says"),
    [
        (("500:M3",), "500", {"plate": FINE}, "take a better weight"),
        (("5000:M1",), "5000", {"plate": THREE_KG}, "more than the scale's Max"),
        ((), "500", {}, "not known which weights"),
        (("500:M1",), "500", {"plate": THREE_KG, "limit": 2}, "say two things"),
        (("500:M1",), "500", {}, "ended after 1 of 3 loads"),
        (("500:M1",), "x", {}, "simulated load of 'x' g makes no sense"),
        # Class III counts in e: OIML R 76-1:2006, 3.4.1 (from memory). The simulated scale has 1 g.
        (("500:M1",), "500,500,501", {"plate": COARSE}, "counts in 1 g, and one of class III"),
        (("200:F2",), "200,200,201", {"plate": FINE}, "counts in 1 g, and one of class III"),
    ],
)
def test_what_is_no_check_is_answered_in_a_sentence_and_writes_nothing(
    tmp_path: Path, weights: tuple[str, ...], loads: str, more: dict[str, object], says: str
) -> None:
    with pytest.raises(SpecificationError, match=says):
        run_check(order(tmp_path, loads, *weights, **more))

    assert not (tmp_path / "journal.sqlite").exists()


def test_the_division_on_record_is_the_one_the_scale_counts_in(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A scale of class II may count more finely than e: OIML R 76-1:2006, 3.4.2 (from memory)."""
    high = Plate(AccuracyClass.HIGH, Decimal(1), Decimal(6000))
    given = replace(
        order(tmp_path, "500,500,500.2", "500:M1", plate=high, as_json=True),
        port="simulated://?speed=max&loads=500,500,500.2&division=0.1",
    )
    run_check(given)

    assert 0.1 == json.loads(capsys.readouterr().out)["division_g"]


def test_places_that_are_always_nought_are_no_finer_division() -> None:
    """500.0 and 0.0 of a scale of 1 g, whose lines have a place more than it counts in."""
    watch = CheckWatch(WatchPlan((Placement("box 1", 500_000),), zero_mg=250))
    for tenth in range(90):
        shown = 500.0 if 30 <= tenth < 60 else 0.0
        watch.feed(f"ST,GS,{shown:+08.1f} g\r\n".encode(), tenth / 10)

    assert (True, 100) == (watch.is_done, watch.division_mg)
    assert 1000 == division_shown_mg(watch, THREE_KG)
    assert 100 == division_shown_mg(watch, None)


def test_weights_too_poor_for_a_division_that_is_learned_are_said_at_once(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """M1 of 1 kg may be 50 mg wrong (R 111), and a third of 0.1 g is 33 mg."""
    given = replace(
        order(tmp_path, "", "1000:M1"),
        port="simulated://?speed=max&loads=1000,1000,1000&division=0.1",
    )
    with pytest.raises(SpecificationError, match="take a better weight"):
        run_check(given)
    said = capsys.readouterr().err

    assert said.endswith("Stopped: nothing is on record.\n")
    assert "empty:" not in said  # before anything was put on


def test_a_plate_reads_the_same_the_next_time(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    texts = []
    for plate in (THREE_KG, None):
        run_check(order(tmp_path, "500,500,500", "500:M1", plate=plate, as_json=True))
        texts.append(json.loads(capsys.readouterr().out)["held_against"])

    assert texts[0] == texts[1]
    assert "e = 1 g, Max 3000 g" in texts[0]


def test_the_scale_that_was_checked_last_is_meant(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    run_check(order(tmp_path, "500,500,500", "500:M1"))
    capsys.readouterr()

    code = show_state(CheckOrder(as_json=True, home=tmp_path))
    told = json.loads(capsys.readouterr().out)

    assert (0, "simulated://", "fit") == (code, told["scale"], told["last_verdict"])


CHECK = ScaleChecked(
    scale="usb:1:2",
    port="serial:///dev/ttyUSB0",
    person="",
    is_fit=True,
    text="The scale is fit.",
    held_against=HeldAgainst("plate", "Held against class III.", 5000),
    weights=(),
    steps=(
        CheckStep("zero", 0),
        *(CheckStep("load", mg, 500_000_000) for mg in (500_000, 505_000, 500_000)),
    ),
    findings=(CheckFinding("load", True, "Good.", 500_000_000, 5_000_000, 5_000_000),),
    good_line=0,
    software="0.1.0",
)
BAND = Limits(740_000, 6_000, 8_000)


def cut(pieces: int, sd_mg: int) -> RunState:
    """Pieces that lie one spread above and below the scaling weight by turns."""
    sums = Sums(pieces, 0, (pieces - 1) * sd_mg**2)
    return RunState("r1", 1, "Rye", 740_000, 5000, 0, first=sums, kept=sums)


def test_how_sure_one_piece_is_after_a_check() -> None:
    """By hand: d 5 g twice, 2.89 g of 500, 505, 500, and 5 g even between its ends."""
    by_hand = 2 * math.sqrt(2 * 25 / 12 + 25 / 3 + 25 / 3)

    assert by_hand == pytest.approx(uncertainty_of(CHECK, 740).expanded_g)


def test_how_sure_a_piece_is_goes_by_its_own_weight(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Class III, e = 1 g, in service: 1 g at 500 g, 2 g at 740 g; and up to Max, 3 kg, 3 g.

    By hand, d 1 g and no scatter: 2 sqrt(1/6 + 4/3) = 2.4495 and 2 sqrt(1/6 + 9/3) = 3.559.
    """
    run_check(order(tmp_path, "500,500,500", "500:M1", plate=THREE_KG))
    capsys.readouterr()
    with closing(open_for_reading(tmp_path / "journal.sqlite")) as store:
        entry = next(store.scale_checks())
    check = read_scale_checked(read_body(entry.body))
    loaf = remarks(check, cut(40, 20_000), BAND)[0]
    heavy = remarks(check, cut(40, 20_000), Limits(9_000_000, 6_000, 8_000))[0]

    assert 2.4495 == pytest.approx(uncertainty_of(check, 740).expanded_g, abs=5e-5)
    assert 2.5 == uncertainty_of(check, 740).said_g
    assert loaf.startswith("A weight of 740 g is sure to 2.5 g either way")
    assert heavy.startswith("A weight of 3000 g is sure to 3.6 g either way")


def test_that_no_weight_was_near_the_pieces_is_said() -> None:
    far = remarks(CHECK, cut(40, 20_000), BAND)[1]
    near = replace(CHECK, steps=(*CHECK.steps, CheckStep("load", 1_000_000, 1_000_000_000)))

    assert "The pieces divided last are of 740 g, and no weight was near that" in far
    assert not any(
        "was near" in said
        for said in remarks(
            replace(
                near, findings=(CheckFinding("load", True, "Good.", 1_000_000_000, 0, 5_000_000),)
            ),
            cut(40, 20_000),
            BAND,
        )
    )


def test_a_division_too_coarse_for_the_band_is_said_and_bars_nothing() -> None:
    """A spread of 6 g, 6 under and 8 over, on 5 g: the share that the face gives."""
    found = misjudged_at(CHECK, cut(40, 6_000), BAND)
    own_g = math.sqrt(36 - 25 / 6)
    scatter = Scatter(own_g, 0.0, statistics.stdev([500, 505, 500]))

    assert misjudged(scatter, under_g=6, over_g=8, division_g=5) == found
    assert any("misjudges" in said for said in remarks(CHECK, cut(40, 6_000), BAND))


@pytest.mark.parametrize(("target_mg", "said"), [(99_000, True), (100_000, False)])
def test_pieces_below_the_least_load_are_said(target_mg: int, said: bool) -> None:
    """Class III, e = 5 g: Min is 20 e, 100 g, see test_permissible_error."""
    plate = HeldAgainst("plate", "Held.", 5000, "III", 5_000_000, 15_000_000_000)
    found = remarks(
        replace(CHECK, held_against=plate), cut(40, 6_000), Limits(target_mg, 6000, 8000)
    )

    assert said == any("Min, is 100 g" in text for text in found)


def test_of_few_pieces_nothing_is_said() -> None:
    assert misjudged_at(CHECK, cut(9, 6_000), BAND) is None


class SilentPort:
    """A scale that says nothing any more."""

    name, ended, descriptor = "silent", False, None

    def read(self, timeout_s: float) -> Arrival | None:
        assert timeout_s > 0
        return None

    def close(self) -> None:
        """Do nothing."""


@pytest.mark.parametrize(("seconds", "code"), [(9.0, None), (11.0, 3)])
def test_a_scale_that_falls_silent_is_said(seconds: float, code: int | None) -> None:
    """After ten seconds; before that it is waited for, here until the port ends."""
    port, times = SilentPort(), iter([0.0, *[seconds] * 9])
    watch = CheckWatch(WatchPlan((Placement("box 1", 500_000),)))

    def clock() -> float:
        port.ended = seconds < 10
        return next(times)

    with pytest.raises(WeighstationError) as said, NoKeyboard() as keyboard:
        watch_scale(watch, port, keyboard, clock, lambda _: None)

    assert ("has said nothing for 11 s" in str(said.value)) == (code == said.value.exit_code)


LONG = Placement("cast iron block of the flour store, No 2", 1_000_040, "back right")


@pytest.mark.parametrize(
    ("level_g", "said"),
    [
        (0.0, "Put on 1/1: 1000.04 g (cast iron block of the flou\u2026) at the back right"),
        (1499.9, "It shows 1499.9 g, not 1000.04 g: put that on alone; if it is, Enter: fails"),
    ],
)
def test_what_is_to_be_done_fits_a_line_of_the_terminal(level_g: float, said: str) -> None:
    """A long name of a weight once pushed it off the screen of 80 columns."""
    watch = CheckWatch(WatchPlan((LONG,), zero_mg=250))
    for tenth in range(60):
        shown = level_g if tenth >= 30 else 0.0
        watch.feed(f"ST,GS,{shown:+08.1f} g\r\n".encode(), tenth / 10)

    assert said == asked_text(watch, has_keys=True)
    assert len(f"> {said}.") < 80


def test_a_recording_is_checked_like_a_scale(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What it is on record for is the recording, and no scale of the bench."""
    file = tmp_path / "check.jsonl"
    lines = check_loads(ScaleSpec(), [500.0, 501.0, 500.0], seed=3)
    rows = [{"t": line.t_s, "data": line.data.decode("latin-1")} for line in lines]
    file.write_text("\n".join(map(json.dumps, rows)))
    given = replace(order(tmp_path, "", "500:M1"), port=f"replay://{file}?speed=max", as_json=True)
    code = run_check(given)
    told = json.loads(capsys.readouterr().out)

    assert (0, f"replay://{file}") == (code, told["scale"])
    assert [0.0, 500.0, 0.0, 501.0, 0.0, 500.0, 0.0] == [s["indicated_g"] for s in told["steps"]]


def test_nothing_says_which_scale(tmp_path: Path) -> None:
    with pytest.raises(SpecificationError, match="No scale is named"):
        show_state(CheckOrder(home=tmp_path))
