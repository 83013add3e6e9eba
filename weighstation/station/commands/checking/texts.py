"""A check of the scale -> what the person at the bench reads, or JSON."""

from __future__ import annotations

import json
from dataclasses import replace
from textwrap import fill
from typing import TYPE_CHECKING

from weighstation.quantities import MG_PER_G, grams_text
from weighstation.report.page.tables import spans
from weighstation.station.bench.check_watch import Trouble
from weighstation.station.commands.checking.remarks import uncertainty_of
from weighstation.station.commands.checking.state import AGAIN_WITHIN_MIN, clock_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.journal import ScaleChecked
    from weighstation.station.bench.check_watch import CheckWatch, Placement, Taken
    from weighstation.station.commands.checking.state import CheckState, DoubtfulBatch

_UG_PER_G = 1_000_000
_LINE = 78
_LONGEST_NAME = 28
"""A longer name of a weight is cut short where a line of 80 says what to do with it."""
SECONDS_A_LOAD = 6


def filled(text: str) -> str:
    """Return a text in lines that a terminal holds, and a line end.

    Parameters
    ----------
    text : str

    Returns
    -------
    str
    """
    return fill(text, _LINE) + "\n"


def opening_text(name: str, placements: Sequence[Placement], against: str) -> str:
    """Return what is going to be done.

    Parameters
    ----------
    name : str
        The scale.
    placements : sequence of Placement
    against : str
        The limits, in one plain sentence.

    Returns
    -------
    str
    """
    count = "1 load" if len(placements) == 1 else f"{len(placements)} loads"
    about_s = SECONDS_A_LOAD * (len(placements) + 1)
    said = f"Checking {name}: {count}, about {about_s} seconds. {against}"
    return filled(said)


def asked_text(watch: CheckWatch, *, has_keys: bool) -> str:
    """Return what the person is to do now.

    Parameters
    ----------
    watch : CheckWatch
    has_keys : bool

    Returns
    -------
    str
        One line.
    """
    shown = _shown(watch.shown_mg, watch)
    match watch.trouble:
        case Trouble.NOT_EMPTY:
            return f"The scale shows {shown}: take everything off the pan"
        case Trouble.NOT_ZERO:
            fails = "; Enter: it fails so" if has_keys else ""
            return f"Empty, it shows {shown}: clean it, press its zero key{fails}"
        case Trouble.ANOTHER_LOAD:
            fails = "; if it is, Enter: fails" if has_keys else ""
            return f"It shows {shown}, not {_mass(watch.wanted)}: put that on alone{fails}"
        case Trouble.LEFT_OVER:
            fails = "; if it is off, Enter: fails" if has_keys else ""
            return f"It shows {shown}: take everything off{fails}"
        case Trouble.NONE:
            return _asked(watch)


def now_text(watch: CheckWatch) -> str:
    """Return what the scale shows now, where nothing else says it; else an empty text.

    Parameters
    ----------
    watch : CheckWatch

    Returns
    -------
    str
    """
    is_said = watch.trouble is not Trouble.NONE or watch.shown_mg is None
    return "" if is_said else f"  [{_shown(watch.shown_mg, watch)}]"


def _asked(watch: CheckWatch) -> str:
    wanted, place = watch.wanted, (len(watch.taken) + 1) // 2
    if wanted is None:
        return "Take it off" if watch.taken else "Empty the pan"
    where = f"at the {wanted.where}" if wanted.where else "in the middle"
    again = watch.taken[-2:-1] and watch.taken[-2].placement == wanted
    verb = "Again" if again else "Put on"
    load = _load(replace(wanted, weight=_shortened(wanted.weight)))
    return f"{verb} {place}/{watch.count}: {load} {where}"


def _shortened(name: str) -> str:
    """Return the name of a weight so that a line has room for what is to be done with it."""
    is_long = len(name) > _LONGEST_NAME
    return f"{name[: _LONGEST_NAME - 1]}\N{HORIZONTAL ELLIPSIS}" if is_long else name


def _load(placed: Placement) -> str:
    """Return a load and its weight; a name that says the grams says enough."""
    mass = _mass(placed)
    return placed.weight if placed.weight.startswith(mass) else f"{mass} ({placed.weight})"


def _mass(placed: Placement | None) -> str:
    return "" if placed is None else f"{placed.load_mg / MG_PER_G:.10g} g"


def _shown(shown_mg: int | None, watch: CheckWatch) -> str:
    if shown_mg is None:
        return "no weight"
    return f"{grams_text(shown_mg, watch.division_mg or MG_PER_G)} g"


def taken_text(taken: Taken, watch: CheckWatch) -> str:
    """Return that an indication was taken.

    Parameters
    ----------
    taken : Taken
    watch : CheckWatch

    Returns
    -------
    str
        One line.
    """
    shown = _shown(taken.indicated_mg, watch)
    if taken.placement is None:
        return f"  empty: {shown}"
    where = f", {taken.placement.where}" if taken.placement.where else ""
    return f"  {_load(taken.placement)}{where}: {shown}"


def findings_text(check: ScaleChecked) -> str:
    """Return what a check found.

    Parameters
    ----------
    check : ScaleChecked

    Returns
    -------
    str
    """
    rows = ((("ok" if f.is_good else "NOT FIT"), f.text) for f in check.findings)
    return "".join(
        fill(f"  {word:<9}{text}", _LINE, subsequent_indent=" " * 11) + "\n" for word, text in rows
    )


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
        return fill(said, _LINE, subsequent_indent="    ") + "\n"
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
    return fill(said, _LINE, subsequent_indent="    ") + "\n"


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


def check_json(
    check: ScaleChecked, line: int, batches: Sequence[DoubtfulBatch], load_g: float
) -> str:
    """Return a check as one JSON object.

    Parameters
    ----------
    check : ScaleChecked
    line : int
        Number of its line.
    batches : sequence of DoubtfulBatch
    load_g : float, grams
        What it is told of how sure a weight is.

    Returns
    -------
    str
    """
    told = {
        "line": line,
        "scale": check.scale,
        "port": check.port,
        "person": check.person or None,
        "verdict": "fit" if check.is_fit else "unfit",
        "text": check.text,
        "held_against": check.held_against.text,
        "basis": check.held_against.basis,
        "division_g": check.held_against.division_mg / MG_PER_G,
        "weights": [
            {
                "name": weight.name,
                "mass_g": weight.mass_ug / _UG_PER_G,
                "error_g": weight.error_ug / _UG_PER_G,
                "class": weight.weight_class or None,
                "certified_on": weight.certified_on or None,
                "due_on": weight.due_on or None,
            }
            for weight in check.weights
        ],
        "steps": [
            {
                "step": step.step,
                "load_g": step.load_ug / _UG_PER_G,
                "where": step.where or None,
                "indicated_g": step.indicated_mg / MG_PER_G,
            }
            for step in check.steps
        ],
        "findings": [
            {
                "subject": finding.subject,
                "good": finding.is_good,
                "error_g": finding.error_ug / _UG_PER_G,
                "limit_g": finding.limit_ug / _UG_PER_G,
                "text": finding.text,
            }
            for finding in check.findings
        ],
        "piece_g": load_g,
        "piece_uncertainty_g": round(uncertainty_of(check, load_g).expanded_g, 4),
        "doubtful": batches_json(batches),
    }
    return json.dumps(told, ensure_ascii=False)


def batches_json(batches: Sequence[DoubtfulBatch]) -> list[dict[str, object]]:
    """Return doubtful batches for JSON.

    Parameters
    ----------
    batches : sequence of DoubtfulBatch

    Returns
    -------
    list of dict
    """
    return [
        {
            "run": batch.run,
            "product": batch.product,
            "pieces": [] if batch.is_baked else list(batch.numbers),
            "loaves": list(batch.numbers) if batch.is_baked else [],
            "weigh_again": list(batch.again),
            "boards": list(batch.boards),
        }
        for batch in batches
    ]


def state_json(state: CheckState, batches: Sequence[DoubtfulBatch], now_ms: int) -> str:
    """Return how it stands with a scale as one JSON object.

    Parameters
    ----------
    state : CheckState
    batches : sequence of DoubtfulBatch
    now_ms : int, milliseconds since 1970

    Returns
    -------
    str
    """
    last, good = state.last, state.last_good
    told = {
        "scale": state.scale,
        "good": state.is_good(now_ms),
        "text": state.text(now_ms),
        "last_line": last.line if last else None,
        "last_t_utc_ms": last.t_utc_ms if last else None,
        "last_verdict": None if last is None else "fit" if last.check.is_fit else "unfit",
        "last_good_line": good.line if good else None,
        "due_h": state.due_h,
        "overdue": state.is_overdue(now_ms),
        "doubtful": batches_json(batches),
    }
    return json.dumps(told, ensure_ascii=False)
