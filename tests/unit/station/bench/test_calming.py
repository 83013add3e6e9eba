"""What is shown of a load: the word at once, the figure once it can be read."""

from __future__ import annotations

import pytest

from weighstation.events import Cue, Verdict
from weighstation.specification import Limits
from weighstation.station.bench.calming import Calming

LIMITS = Limits(740_000, 8_000, 8_000)
Shown = tuple[str, int | None, bool]


def cue(grams: int, touch: int = 0, *, firm: bool = False) -> Cue:
    error_mg = (grams - 740) * 1000
    verdict = Verdict.KEEP if abs(error_mg) <= 8000 else Verdict.TRIM
    verdict = Verdict.ADD if error_mg < -8000 else verdict
    return Cue(0.0, 1, touch, grams * 1000, verdict, error_mg, firm=firm)


def shown(calming: Calming) -> Shown | None:
    """Return the word, the figure in grams where it is shown, and whether it is firm."""
    if calming.cue is None:
        return None
    grams = calming.cue.net_mg // 1000 if calming.slowed else None
    return calming.cue.verdict.value, grams, calming.cue.firm


def played(*lines: tuple[int, Cue | None]) -> list[Shown | None]:
    """Return what is shown after each line: what it indicated, and the cue that came of it."""
    calming, seen = Calming(LIMITS), []
    for grams, newest in lines:
        calming.feed(newest, grams * 1000, 1000)
        seen.append(shown(calming))
    return seen


def test_the_word_is_shown_at_once_and_the_figure_when_the_display_has_slowed() -> None:
    assert [
        ("trim", None, False),
        ("trim", None, False),
        ("trim", 757, False),
        ("trim", 757, False),
        ("trim", 757, True),
    ] == played(
        (775, cue(775)), (759, cue(759)), (757, cue(757)), (757, None), (757, cue(757, firm=True))
    )


def test_another_word_waits_until_the_display_has_slowed() -> None:
    """On its way down to 745 the display passes through weights that are too heavy."""
    assert [
        ("trim", None, False),
        ("trim", None, False),
        ("keep", 745, False),
    ] == played((760, cue(760)), (747, cue(747)), (745, cue(745)))


def test_a_firm_cue_is_shown_at_once() -> None:
    assert [("trim", None, False), ("keep", 741, True)] == played(
        (760, cue(760)), (741, cue(741, firm=True))
    )


def test_what_a_hand_makes_of_the_display_is_not_shown() -> None:
    """The firm cue stays the last one, and the panel does not show it while the pan moves."""
    assert [("trim", 764, True)] * 5 == played(
        (764, cue(764, firm=True)),
        (768, cue(768, 1)),
        (700, cue(700, 1)),
        (701, cue(701, 1)),
        (744, cue(744, 1)),
    )


def test_after_a_touch_the_display_must_be_slow_for_longer() -> None:
    firm = ("trim", 764, True)

    assert [firm, firm, firm, ("keep", 746, False), ("keep", 746, True)] == played(
        (764, cue(764, firm=True)),
        (746, cue(746, 1)),
        (746, None),
        (746, None),
        (746, cue(746, 1, firm=True)),
    )


@pytest.mark.parametrize(("step_g", "slow"), [(2, True), (3, False)])
def test_slow_is_an_eighth_of_the_band_from_line_to_line(step_g: int, slow: bool) -> None:
    """A band of 16 g lets the display move by 2 g."""
    last = played((760, cue(760)), (760 - step_g, cue(760 - step_g)))[-1]

    assert (760 - step_g if slow else None) == (last[1] if last else None)


def test_a_coarse_scale_may_move_by_two_divisions() -> None:
    calming = Calming(LIMITS)
    calming.feed(cue(760), 760_000, 5000)
    calming.feed(cue(750), 750_000, 5000)

    assert ("trim", 750, False) == shown(calming)


def test_only_what_was_firm_is_remembered_of_a_load_that_left() -> None:
    calming = Calming(LIMITS)
    calming.feed(cue(741, firm=True), 741_000, 1000)
    calming.feed(cue(744, 1), 744_000, 1000)
    calming.left()
    remembered = shown(calming)
    calming.feed(None, 0, 1000)
    calming.feed(None, 0, 1000)
    still = shown(calming)
    calming.clear()

    assert ("keep", 741, True) == remembered == still
    assert shown(calming) is None


def test_a_load_that_was_never_firm_leaves_nothing() -> None:
    calming = Calming(LIMITS)
    calming.feed(cue(741), 741_000, 1000)
    calming.left()

    assert shown(calming) is None


def test_a_line_without_a_weight_slows_nothing() -> None:
    calming = Calming(LIMITS)
    calming.feed(cue(760), 760_000, 1000)
    calming.feed(None, None, 1000)
    calming.feed(None, 760_000, 1000)

    assert ("trim", None, False) == shown(calming)
