"""What a failed check makes doubtful -> which pieces and loaves, and what can still be done."""

from __future__ import annotations

from textwrap import fill
from typing import TYPE_CHECKING

from weighstation.report.page.tables import spans
from weighstation.station.commands.checking.state import AGAIN_WITHIN_MIN, clock_text
from weighstation.station.commands.checking.texts import LINE, filled

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.station.commands.checking.state import CheckState, DoubtfulBatch


def doubtful_text(batches: Sequence[DoubtfulBatch], state: CheckState) -> str:
    """Return which pieces and loaves are doubtful, and what can still be done about them.

    Parameters
    ----------
    batches : sequence of DoubtfulBatch
    state : CheckState

    Returns
    -------
    str
    """
    if not batches:
        since = "since its last good check" if state.last_good else "so far"
        return f"Nothing that counts was weighed on this scale {since}.\n"
    count = sum(len(batch.numbers) for batch in batches)
    text = filled(f"{_how_many(batches, state)}: {_which(batches, state)}.")
    text += "".join(_batch_text(batch) for batch in batches)
    rest = count - sum(len(batch.again) for batch in batches)
    if rest:
        text += filled(
            "Dough does not wait: what is shaped already goes on, and its loaves are weighed when"
            " they are baked, before they are sold."
        )
    return text


def _how_many(batches: Sequence[DoubtfulBatch], state: CheckState) -> str:
    pieces, loaves = (
        sum(len(batch.numbers) for batch in batches if batch.is_baked is is_baked)
        for is_baked in (False, True)
    )
    said = [f"{pieces} {'piece' if pieces == 1 else 'pieces'}"] if pieces else []
    said += [f"{loaves} {'loaf' if loaves == 1 else 'loaves'}"] if loaves else []
    is_one, stays = pieces + loaves == 1, state.last is not None and state.last.check.is_fit
    verb = ("stays" if is_one else "stay") if stays else ("is" if is_one else "are")
    return f"{' and '.join(said)} {verb} doubtful"


def _which(batches: Sequence[DoubtfulBatch], state: CheckState) -> str:
    last, good = state.last, state.last_good
    if last is not None and last.check.is_fit:
        before = last.check.good_line
        since = f" and since the one on line {before}" if before else ""
        return (
            f"all that was weighed on this scale before the check on line {last.line}{since},"
            f" because the one on line {batches[0].failed_line} failed"
        )
    if good is None:
        return "all that was weighed on this scale, because no good check of it is on record"
    return (
        f"all since the last good check of this scale ({clock_text(good.t_utc_ms)}, line"
        f" {good.line})"
    )


def _batch_text(batch: DoubtfulBatch) -> str:
    span = f"{clock_text(batch.first_ms)} to {clock_text(batch.last_ms)[-5:]}"
    if batch.is_baked:
        said = (
            f"  {batch.product}, batch {batch.run}: {loaves_text(batch.numbers)}, {span}. Weigh"
            f" {'it' if len(batch.numbers) == 1 else 'them'} again, on another scale."
        )
        return fill(said, LINE, subsequent_indent="    ") + "\n"
    said = f"  {batch.product}, run {batch.run}: {numbers_text(batch.numbers)}, {span}."
    if batch.boards:
        verb = "lies" if len(batch.again) == 1 else "lie"
        boards = "board" if len(batch.boards) == 1 else "boards"
        said += (
            f" {numbers_text(batch.again).capitalize()} {verb} on {boards} {spans(batch.boards)},"
            " not shaped yet: weigh them again, on another scale."
        )
    elif batch.again:
        verb = "is" if len(batch.again) == 1 else "are"
        said += (
            f" {numbers_text(batch.again).capitalize()} {verb} less than {AGAIN_WITHIN_MIN} minutes"
            " old: weigh what is not yet shaped again, on another scale."
        )
    return fill(said, LINE, subsequent_indent="    ") + "\n"


def numbers_text(numbers: Sequence[int]) -> str:
    """Return numbers of pieces, runs of them as spans.

    Parameters
    ----------
    numbers : sequence of int
        Ascending; at least one.

    Returns
    -------
    str

    Examples
    --------
    >>> numbers_text([3, 4, 5, 9]), numbers_text([7])
    ('pieces 3-5, 9', 'piece 7')
    """
    said = spans(numbers)
    return f"piece {said}" if len(numbers) == 1 else f"pieces {said}"


def loaves_text(numbers: Sequence[int]) -> str:
    """Return numbers of loaves, runs of them as spans.

    Parameters
    ----------
    numbers : sequence of int
        Ascending; at least one.

    Returns
    -------
    str

    Examples
    --------
    >>> loaves_text([1, 2, 3]), loaves_text([7])
    ('loaves 1-3', 'loaf 7')
    """
    said = spans(numbers)
    return f"loaf {said}" if len(numbers) == 1 else f"loaves {said}"
