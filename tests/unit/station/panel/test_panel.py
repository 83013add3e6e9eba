"""The panel reads without colour, keeps its places, and never shows too much at once."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from functools import reduce
from typing import Any

import pytest
from rich.console import Console
from rich.style import Style
from rich.text import Text

from weighstation.events import Cue, TookFor, Verdict
from weighstation.plan import (
    BoardFact,
    BoardRecord,
    Boards,
    BoardToBench,
    DoughClock,
    Pace,
    PieceBoarded,
)
from weighstation.specification import Limits
from weighstation.station.bench.clocks import Clocks
from weighstation.station.bench.snapshot import LiftedNote, Scene, Snapshot
from weighstation.station.panel.cue import size_for
from weighstation.station.panel.panel import FASTEST_S, TICK_S, Panel, render, suits

EMPTY = Snapshot(
    t_s=60.0,
    product="Farmhouse white",
    limits=Limits(740_000, 8_000, 8_000),
    division_mg=1000,
    scene=Scene.EMPTY,
    counted=12,
    planned=48,
    last_number=12,
    last_mg=741_000,
    known_number=12,
    known_mg=741_000,
    out_of_band=1,
    kept_mean_mg=740_812.3,
    first_sd_mg=9_430.0,
    clocks=Clocks(DoughClock(first_cut_s=-192.0), Pace(10.0, 12)),
)


def cued(verdict: Verdict, error_mg: int, **more: Any) -> Snapshot:
    about: dict[str, Any] = {"firm": True} | more
    cue = Cue(1.0, 13, 0, 740_000 + error_mg, verdict, error_mg, **about)
    return replace(EMPTY, scene=Scene.CUED, cue=cue)


LOST = replace(
    EMPTY, scene=Scene.SCALE_LOST, alarm="Nothing comes from the scale. Check its cable."
)
SCENES = {
    "no scale yet": replace(EMPTY, scene=Scene.NO_SCALE_YET),
    "waiting": EMPTY,
    "moving": replace(EMPTY, scene=Scene.MOVING),
    "add": cued(Verdict.ADD, -23_000),
    "keep": cued(Verdict.KEEP, 3_000),
    "trim": cued(Verdict.TRIM, 12_000),
    "trim, about": cued(Verdict.TRIM, 12_000, firm=False),
    "trim, moving": replace(
        cued(Verdict.TRIM, 12_000, firm=False), scene=Scene.MOVING, slowed=False
    ),
    "keep, about": cued(Verdict.KEEP, 3_000, firm=False),
    "one at a time": cued(Verdict.ONE_AT_A_TIME, 741_000),
    "cut again": cued(Verdict.ADD, -15_000, cut_again=True),
    "overloaded": replace(EMPTY, scene=Scene.OVERLOADED),
    "scale lost": LOST,
    "journal refuses": replace(cued(Verdict.KEEP, 0), alarm="The journal cannot be written. " * 8),
    "paused": replace(EMPTY, scene=Scene.PAUSED),
    "armed": replace(EMPTY, armed="void"),
    "offer": replace(
        EMPTY, offer="Offer: 49 pieces, not 48, and aim 732 g from here: the dough comes out even."
    ),
    "signal": replace(
        EMPTY,
        lifted=LiftedNote(12, 12_000, TookFor.CAME_BACK),
        signal="Pieces 13 to 21 were cut 7 g too heavy: cut smaller.",
        notice="So be it.",
    ),
    "lifted": replace(EMPTY, lifted=LiftedNote(12, 12_000, TookFor.CAME_BACK), notice="So be it."),
}
SIZES = [(80, 24), (120, 40), (100, 30), (80, 22), (200, 60), (50, 12), (20, 4)]


def text(snapshot: Snapshot, width: int = 80, height: int = 24, *, colour: bool = False) -> Text:
    drawn = render(snapshot, width=width, height=height, colour=colour)

    assert isinstance(drawn, Text)
    return drawn


def lines(snapshot: Snapshot, width: int = 80, height: int = 24) -> list[str]:
    return text(snapshot, width, height).plain.split("\n")


@pytest.mark.parametrize("scene", SCENES)
@pytest.mark.parametrize(("width", "height"), SIZES)
def test_every_scene_fills_the_screen_exactly(scene: str, width: int, height: int) -> None:
    drawn = lines(SCENES[scene], width, height)

    assert [width] * height == [len(line) for line in drawn]


@pytest.mark.parametrize(("width", "height"), [(80, 24), (120, 40)])
def test_nothing_jumps_between_scenes(width: int, height: int) -> None:
    """Band, facts and keys stand in the same lines whatever is told above them."""
    seen = set()
    for scene, snapshot in SCENES.items():
        drawn = lines(snapshot, width, height)
        places = [
            next(row for row, line in enumerate(drawn) if word in line)
            for word in ("aim 740 g", "732", "Counted", "Mean kept", "First cuts")
        ]
        seen.add((*places, scene == "armed" or " P " in drawn[-1]))

    assert len(seen) == 1


def test_the_sign_stands_in_the_same_column_for_every_cue() -> None:
    starts = set()
    for error_mg in (-9_000, -23_000, 12_000, 99_000):
        verdict = Verdict.ADD if error_mg < 0 else Verdict.TRIM
        drawn = lines(cued(verdict, error_mg))[3:11]
        word_end = 13 + 19 + 3
        starts.add(min(len(line) - len(line[word_end:].lstrip()) for line in drawn))

    assert len(starts) == 1


@pytest.mark.parametrize("division_mg", [100, 500, 1000, 2000, 5000])
def test_the_digits_take_about_a_third_of_the_screen(division_mg: int) -> None:
    """Letter height at least distance / 200, three times that for a glance (common practice).

    At 2 m that is 30 mm; a line of a 24-line screen on a 15-inch display is about 8 mm.
    """
    size = size_for(80, 8, division_mg)

    assert size.grams * 7 / 2 * 8 >= 30
    assert (2, 4) == (size.grams, size_for(120, 16, 1000).grams)


def test_firm_and_provisional_differ_without_colour() -> None:
    firm, about = lines(SCENES["trim"]), lines(SCENES["trim, about"])

    assert firm[1] == "═" * 80
    assert about[1] == "- " * 40
    assert "~" in about[11]
    assert "▓" in "".join(about)
    assert "▓" not in "".join(firm)


def test_at_a_bigger_size_provisional_digits_are_hollow() -> None:
    firm = "".join(lines(SCENES["trim"], 120, 40)).count("█")
    about = "".join(lines(SCENES["trim, about"], 120, 40)).count("█")

    assert about < firm


def test_a_firm_keep_fills_its_place_without_colour() -> None:
    """A field of reverse video reads from further away than any word."""

    def reversed_cells(snapshot: Snapshot) -> int:
        drawn = text(snapshot)
        return sum(
            span.end - span.start
            for span in drawn.spans
            if isinstance(span.style, Style) and span.style.reverse
        )

    others = max(reversed_cells(SCENES[scene]) for scene in ("add", "trim", "keep, about"))

    assert reversed_cells(SCENES["keep"]) >= others + 9 * 80


def test_add_points_up_above_its_word_and_trim_down_below_it() -> None:
    """Place and direction carry the cue, colour only repeats it."""
    add = [line[13:32].rstrip() for line in lines(SCENES["add"])[3:11]]
    trim = [line[13:32].rstrip() for line in lines(SCENES["trim"])[3:11]]

    assert max(map(len, add[:4])) < max(map(len, add[4:]))
    assert max(map(len, trim[4:])) < max(map(len, trim[:4]))


@pytest.mark.parametrize(
    ("scene", "said"),
    [
        ("waiting", "the pan is empty"),
        ("keep", "piece 13   743 g   counts once it is off the pan"),
        ("trim", "piece 13   752 g"),
        ("journal refuses", "piece 13   740 g   cannot be counted now"),
        ("overloaded", "more than the scale can weigh"),
        ("paused", "nothing is weighed until P is pressed"),
        ("armed", "Press V again to strike out piece 12 (741 g)"),
        ("lifted", "Piece 12 left 12 g heavy: taken as brought back — B: no, it was boarded"),
        ("lifted", "So be it."),
        ("offer", "Offer: 49 pieces, not 48, and aim 732 g from here: the dough comes out even."),
        ("signal", "Pieces 13 to 21 were cut 7 g too heavy: cut smaller."),
        ("signal", "So be it."),
        ("waiting", "12 of 48, 36 left"),
        ("waiting", "piece 12, 741 g, saved"),
        ("waiting", "740.8 g (+0.8)"),
        ("waiting", "First cuts  spread 9.4 g"),
        ("waiting", "first cut 4 min 12 s ago"),
        ("waiting", "aim 740 g, keep 732 to 748 g"),
    ],
)
def test_the_panel_says_it_in_words(scene: str, said: str) -> None:
    assert said in text(SCENES[scene]).plain


@pytest.mark.parametrize(("width", "height"), SIZES[:5])
def test_an_alarm_is_on_the_first_and_last_lines_of_the_cue(width: int, height: int) -> None:
    drawn = lines(LOST, width, height)

    assert sum(line == "!" * width for line in drawn) == 2
    assert any("Nothing comes from the scale." in line for line in drawn)


def test_a_small_screen_says_what_to_do_about_a_signal() -> None:
    assert "were cut 7 g too heavy: cut smaller." in " ".join(
        text(SCENES["signal"], 40, 14).plain.split()
    )


def test_a_long_alarm_is_given_three_lines_and_ends_in_dots() -> None:
    drawn = [line.strip() for line in lines(SCENES["journal refuses"])[-4:-1]]

    assert all(line.startswith("The journal") or "written." in line for line in drawn)
    assert drawn[-1].endswith("...")


@pytest.mark.parametrize("scene", SCENES)
def test_colour_changes_nothing_but_the_styles(scene: str) -> None:
    plain, coloured = text(SCENES[scene]), text(SCENES[scene], colour=True)

    assert plain.plain == coloured.plain
    assert all(span.style.color is None for span in plain.spans)  # type: ignore[union-attr]
    assert all(span.style.bgcolor is not None for span in coloured.spans)  # type: ignore[union-attr]


def test_a_stale_cue_is_not_shown_while_the_pan_moves() -> None:
    stale = replace(SCENES["keep"], scene=Scene.MOVING)

    assert "the pan is moving" in text(stale).plain


def test_a_provisional_cue_is_shown_while_the_pan_moves() -> None:
    early = replace(SCENES["keep, about"], scene=Scene.MOVING)

    assert "743 g   ~ about" in text(early).plain


def test_a_cue_kept_after_the_pan_was_left_says_so() -> None:
    """In small letters only: the big ones ask for the next piece."""
    after = replace(SCENES["keep"], scene=Scene.EMPTY)

    assert "743 g   off the pan" in text(after).plain
    assert lines(EMPTY)[:11] == lines(after)[:11]


@pytest.mark.parametrize(("width", "height"), [(80, 24), (120, 40), (50, 12)])
def test_a_figure_that_still_moves_is_not_shown(width: int, height: int) -> None:
    """Neither in grams nor on the ruler; the word stands where it stands with it."""
    slow = replace(SCENES["trim, about"], scene=Scene.MOVING)
    fast = replace(slow, slowed=False)

    assert "still moving" in text(fast, width, height).plain
    assert "752 g" not in text(fast, width, height).plain
    if height > 12:
        assert [line[:32] for line in lines(slow, width, height)[1:11]] == [
            line[:32] for line in lines(fast, width, height)[1:11]
        ]
        assert "▽" not in text(fast, width, height).plain


def test_a_bench_that_has_just_started_has_no_figures() -> None:
    new = Snapshot(0.0, "Roll", EMPTY.limits, 1000, Scene.NO_SCALE_YET)

    assert text(new).plain.count("—") == 4


def test_more_pieces_than_planned_are_no_surprise() -> None:
    assert "51 of 48, 3 too many" in text(replace(EMPTY, counted=51)).plain


@pytest.mark.parametrize("product", ["長い" * 40, "Ring\x1b[31m\n\x07", "x" * 300, ""])
def test_no_name_of_a_product_breaks_the_screen(product: str) -> None:
    drawn = text(replace(EMPTY, product=product)).plain

    assert drawn.count("\n") == 23
    assert "\x1b" not in drawn
    assert "aim 740 g, keep 732 to 748 g" in drawn


@pytest.mark.parametrize("error_mg", [128_300, -1_280_300, 0])
def test_grams_of_any_length_stay_on_the_screen(error_mg: int) -> None:
    verdict = Verdict.TRIM if error_mg > 0 else Verdict.ADD
    snapshot = replace(cued(verdict, error_mg), division_mg=100)
    drawn = lines(snapshot)

    assert any(line.rstrip().endswith(" g") for line in drawn[3:11])


@pytest.mark.parametrize(
    ("scene", "headline"),
    [
        ("trim, about", "TRIM ~+12 g"),
        ("add", "ADD \N{MINUS SIGN}23 g"),
        ("scale lost", "SCALE LOST"),
    ],
)
def test_a_small_screen_says_it_in_ordinary_letters(scene: str, headline: str) -> None:
    assert headline in text(SCENES[scene], 50, 12).plain


def terminal(**more: Any) -> Console:
    settings: dict[str, Any] = {"force_terminal": True, "width": 80, "height": 24} | more
    return Console(file=io.TextIOWrapper(io.BytesIO(), encoding="utf-8"), **settings)


def test_a_pipe_or_a_dumb_or_a_narrow_alphabet_wants_plain_lines() -> None:
    ascii_only = Console(file=io.TextIOWrapper(io.BytesIO(), encoding="ascii"), force_terminal=True)

    assert suits(terminal(_environ={"TERM": "xterm"}))
    assert not suits(terminal(force_terminal=False))
    assert not suits(terminal(_environ={"TERM": "dumb"}))
    assert not suits(ascii_only)


def test_the_screen_is_drawn_at_most_eight_times_a_second() -> None:
    with Panel(terminal()) as panel:
        drawn = [panel.show(replace(EMPTY, t_s=step / 100), step / 100) for step in range(100)]

    assert drawn.count(True) == 8
    assert drawn[0]


def test_an_unchanged_picture_is_drawn_again_four_times_a_second() -> None:
    """A quarter of a second apart, so that a frozen screen is told from a quiet bench."""
    with Panel(terminal()) as panel:
        drawn = [panel.show(EMPTY, step / 64) for step in range(64)]

    assert drawn.count(True) == 4


def test_what_came_too_soon_is_drawn_when_it_is_due() -> None:
    with Panel(terminal()) as panel:
        panel.show(EMPTY, 0.0)

        assert not panel.show(SCENES["trim"], FASTEST_S / 2)
        assert panel.show(SCENES["trim"], FASTEST_S)
        assert not panel.show(SCENES["trim"], FASTEST_S + TICK_S / 2)


def test_the_screen_is_given_back() -> None:
    console = terminal(_environ={"TERM": "xterm"})
    with Panel(console) as panel:
        panel.show(EMPTY, 0.0)
    console.file.flush()
    written = console.file.buffer.getvalue().decode()  # type: ignore[attr-defined]

    assert "\x1b[?1049h" in written
    assert written.rindex("\x1b[?1049l") > written.rindex("Farmhouse white")


def test_a_long_name_says_that_it_is_cut_off() -> None:
    header = lines(replace(EMPTY, product="Farmhouse white with seeds of five kinds, long proof"))[
        0
    ]

    assert "Farmhouse white with seeds" in header
    assert "\N{HORIZONTAL ELLIPSIS}  aim 740 g" in header


@pytest.mark.parametrize("alarm", ["", "The journal cannot be written. " * 8])
@pytest.mark.parametrize("size", [(80, 24), (120, 40), (50, 20)])
def test_ending_with_an_open_piece_says_so_whole(size: tuple[int, int], alarm: str) -> None:
    note = LiftedNote(24, 12_000, None, is_open=True)
    shown = text(replace(EMPTY, armed="end", lifted=note, alarm=alarm), *size)
    said = " ".join(shown.plain.split())

    assert "Piece 24 left 12 g heavy and is not counted: B if it was boarded." in said
    assert "E again ends the batch." in said


def morning(
    t_s: float, *facts: BoardFact, pieces: int = 22, every_s: float = 10.0, **more: Any
) -> Snapshot:
    """Return the panel of a dough that is laid on boards of six, cut from 10 s on."""
    cuts = [PieceBoarded(number, every_s * number) for number in range(1, pieces + 1)]
    boards = reduce(Boards.after, (*cuts, *facts), Boards(6))
    clocks = Clocks(
        DoughClock(mixed_s=-6000.0, first_cut_s=6.0),
        Pace(10.0, 12),
        BoardRecord(boards),
        is_filling=True,
    )
    return replace(EMPTY, t_s=t_s, clocks=clocks, counted=pieces, planned=100, **more)


BOARDS = {
    "no piece yet": morning(0.0, pieces=0),
    "waits": morning(252.0),
    "ready": morning(665.0),
    "late": morning(1100.0),
    "behind": morning(1205.0, BoardToBench(1, 700.0), BoardToBench(2, 1000.0), pieces=80),
    "cover": morning(75.0, pieces=6),
    "all at the bench": morning(700.0, BoardToBench(1, 690.0), pieces=3),
    "caution and signal": replace(
        morning(75.0, pieces=6), signal=SCENES["signal"].signal, lifted=SCENES["signal"].lifted
    ),
    "caution, signal, notice": replace(
        SCENES["signal"], clocks=morning(75.0, pieces=6).clocks, t_s=75.0
    ),
    "alarm": replace(morning(75.0, pieces=6), alarm="The journal cannot be written. " * 8),
    "armed": replace(morning(665.0), armed="bench", armed_board=1),
}


@pytest.mark.parametrize("scene", BOARDS)
@pytest.mark.parametrize(("width", "height"), SIZES)
def test_a_panel_with_boards_fills_the_screen_exactly(scene: str, width: int, height: int) -> None:
    drawn = lines(BOARDS[scene], width, height)

    assert [width] * height == [len(line) for line in drawn]


@pytest.mark.parametrize(("width", "height"), [(80, 24), (100, 30), (120, 40)])
def test_nothing_jumps_while_boards_come_and_go(width: int, height: int) -> None:
    seen = set()
    for scene, snapshot in BOARDS.items():
        drawn = lines(snapshot, width, height)
        rows = [
            next(row for row, line in enumerate(drawn) if word in line)
            for word in ("aim 740 g", "[═", "Counted", "Board  ", "Dough  ", "Resting  ")
        ]
        seen.add((*rows, scene == "armed" or " P " in drawn[-1]))

    assert len(seen) == 1


def test_the_dough_and_the_boards_stand_in_the_same_columns_all_morning() -> None:
    columns = set()
    for scene in ("waits", "ready", "late"):
        dough = next(line for line in lines(BOARDS[scene]) if line.startswith("  Dough"))
        resting = next(line for line in lines(BOARDS[scene]) if line.startswith("  Resting"))
        fits = re.search(r"mixed .+? ago +", dough)

        assert fits is not None
        columns.add((dough.index("mixed"), fits.end(), resting.index("board ")))

    assert len(columns) == 1


@pytest.mark.parametrize(
    ("scene", "said"),
    [
        ("no piece yet", "Board       1 filling, 0 of 6"),
        ("no piece yet", "mixed 1 h 40 min ago"),
        ("waits", "Board       4 filling, 4 of 6"),
        ("waits", "Dough       first cut 4 min 06 s ago  mixed 1 h 44 min ago    95 more fit"),
        ("waits", "Resting     · WAIT   board 1, rested 4 min, ready in 6 min; 3 more wait"),
        ("ready", "Resting     ► READY  board 1, rested 10 min, 4 min left; 3 more wait"),
        ("late", "Resting     ! LATE   board 1, rested 18 min, 4 min too long; 3 more wait"),
        ("late", "! 10 of 78 fit"),
        ("behind", "! Shaping too slow: piece 80 rests 64 min. More hands, or pause scaling."),
        ("cover", "! Board 1 has lain open for 1.1 min: cover it before it skins."),
        ("all at the bench", "Resting     —"),
        ("caution and signal", "cover it before it skins."),
        ("caution and signal", "were cut 7 g too heavy: cut smaller."),
        ("caution and signal", "B: no, it was boarded"),
        ("caution, signal, notice", "were cut 7 g too heavy: cut smaller."),
        ("caution, signal, notice", "So be it."),
        ("armed", "S again takes board 1 to the bench (6 pieces); another: type its number"),
    ],
)
def test_the_panel_tells_dough_and_boards_in_words(scene: str, said: str) -> None:
    assert said in text(BOARDS[scene]).plain


def test_every_key_is_named_where_boards_are_kept() -> None:
    for width in (80, 100, 120):
        last = lines(BOARDS["waits"], width, 24 if width == 80 else 40)[-1]

        assert list("BVCSIODPE") == [word for word in last.split() if len(word) == 1]


def test_the_three_states_of_a_rest_differ_without_colour() -> None:
    told = {
        scene: next(line for line in lines(BOARDS[scene]) if "Resting" in line)[14:21]
        for scene in ("waits", "ready", "late")
    }

    assert {"waits": "· WAIT ", "ready": "► READY", "late": "! LATE "} == told


def test_a_small_screen_tells_the_oldest_board_and_the_dough() -> None:
    said = " ".join(text(BOARDS["late"], 60, 14).plain.split())

    assert "! LATE board 1, rested 18 min, 4 min too long" in said
    assert "Board: 4 filling, 4 of 6" in said
    assert "Dough: ! 10 of 78 fit, first cut 18 min 14 s ago" in said


def test_a_small_screen_cuts_no_sentence_and_leaves_out_no_key() -> None:
    """Looked at in a terminal of 60 columns and 20 lines, where lines were free."""
    said = "920 g in 1 lump: put on the next, or press D when it is all weighed."
    drawn = lines(replace(BOARDS["late"], scene=Scene.DOUGH_LEFT, notice=said), 60, 20)
    shown = " ".join(" ".join(drawn).split())

    assert said in shown
    for key in ("B turn", "V strike", "C close", "S bench", "I oven", "O out", "D dough", "E end"):
        assert any(key in line for line in drawn), key


def test_a_low_screen_goes_without_the_ruler_and_not_without_the_boards() -> None:
    drawn = text(BOARDS["ready"], 80, 22).plain

    assert "[═" not in drawn
    assert "► READY" in drawn


def test_a_dough_that_is_all_cut_has_nothing_left_to_fit() -> None:
    assert "all is cut" in text(replace(BOARDS["waits"], planned=22)).plain


def test_a_dough_beyond_its_time_says_so() -> None:
    assert "! over 20 min" in text(replace(BOARDS["waits"], t_s=1300.0)).plain


def test_one_piece_that_still_fits_is_one() -> None:
    assert "1 more fits" in text(replace(BOARDS["waits"], t_s=1190.0, planned=None)).plain


@pytest.mark.parametrize(("width", "height"), [(80, 24), (60, 20), (40, 14)])
def test_an_offer_makes_way_for_what_has_to_be_said(width: int, height: int) -> None:
    offered = SCENES["offer"]
    alone = text(offered, width, height).plain
    beside = text(replace(offered, notice="Piece 12 (741 g) is struck out."), width, height).plain

    assert "Offer: 49 pieces, not 48, and aim" in " ".join(alone.split())
    assert "Offer" not in beside
