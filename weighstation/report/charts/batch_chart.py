"""Figures of a batch, or sums of many -> the control chart that was asked for."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.monitor import (
    Rule,
    individuals,
    require_resolution,
    xbar_s_of,
)
from weighstation.quantities import grams
from weighstation.report.charts.control import (
    ENOUGH,
    ControlChart,
    Track,
    floats,
    level_track,
    track_of,
)
from weighstation.report.charts.first_cut_tracks import (
    LAM,
    WIDTH,
    H,
    K,
    cusum_tracks,
    ewma_track,
    individuals_tracks,
)
from weighstation.report.charts.process import findings
from weighstation.report.page.tables import named

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.journal import Sums
    from weighstation.monitor import Individuals
    from weighstation.monitor.weights import Floats
    from weighstation.report.sheet.figures import BatchFigures

FEWEST = 2
"""Pieces of a batch in a chart of many: fewer have no spread."""
_NO_BAND = "Control limits are what the dividing does by itself; they are no band and no tolerance."
_LIMITS = (
    "Limits lie three sigma to each side of the mean; that of the moving range is 3.267 times its"
    " mean."
)
_REACTION = (
    "A signal asks for its cause: another hand, a softer dough, a dusty pan, two pieces at once."
    " Never answer one piece with the next."
)


class ChartKind(StrEnum):
    """Which chart is drawn of a batch."""

    INDIVIDUALS = "individuals"
    EWMA = "ewma"
    CUSUM = "cusum"


@dataclass(frozen=True, slots=True)
class BatchSums:
    """One batch in a chart of many.

    Parameters
    ----------
    started_utc_ms : int, milliseconds since 1970 UTC
    first : Sums
        Of first cuts.
    """

    started_utc_ms: int
    first: Sums


def batch_chart(
    figures: BatchFigures,
    *,
    title: str,
    kind: ChartKind = ChartKind.INDIVIDUALS,
    rules: Sequence[Rule] = (),
) -> ControlChart:
    """Return a chart of the first cuts of a batch.

    Parameters
    ----------
    figures : BatchFigures
    title : str
    kind : ChartKind
    rules : sequence of Rule
        Run rules besides the limits; only the individuals chart takes some.

    Returns
    -------
    ControlChart

    Raises
    ------
    NotEnoughDataError
        If there are fewer than two pieces.
    SpecificationError
        If the scale cannot resolve the spread, or the kind takes no run rules.
    """
    numbers, chart = _first_cuts(figures)
    if rules and kind is not ChartKind.INDIVIDUALS:
        raise SpecificationError(f"Run rules are for the individuals chart, not for {kind.value}.")
    target_g = grams(figures.product.limits.target_mg)
    remarks: tuple[str, ...]
    match kind:
        case ChartKind.INDIVIDUALS:
            tracks = individuals_tracks(chart, rules, numbers)
            remarks = (_LIMITS, *_more_alarms(rules))
        case ChartKind.EWMA:
            tracks = (ewma_track(chart, target_g, numbers),)
            remarks = (
                (
                    f"An average in which each cut counts {LAM:g} and fades; limits"
                    f" {WIDTH:g} of its own sigma around the scaling weight of {target_g:g} g."
                ),
            )
        case ChartKind.CUSUM:
            tracks = cusum_tracks(chart, target_g, numbers)
            remarks = (
                (
                    f"Sums of what the cuts are off the scaling weight of {target_g:g} g by more"
                    f" than {K:g} sigma; a sum above {H:g} sigma is more than chance."
                ),
            )
    how = (
        _sigma_text(chart),
        *_rough(len(numbers), "pieces"),
        *_reaction(tracks),
        _promised(figures),
        _NO_BAND,
        *_entered(figures),
        *(
            f"{each.name} on line {each.line}: {each.text} {each.reaction_text}"
            for each in figures.happenings
        ),
    )
    shown = _chart(figures, title, numbers, tracks, remarks + how)
    is_steady = not any(track.signals for track in tracks)
    return replace(shown, findings=findings(figures, is_steady=is_steady))


def first_cut_signals(figures: BatchFigures) -> int:
    """Return how many signals the chart of first cuts has; cheaper than the chart.

    Parameters
    ----------
    figures : BatchFigures

    Returns
    -------
    int

    Raises
    ------
    NotEnoughDataError
        If there are fewer than two pieces.
    SpecificationError
        If the scale cannot resolve the spread.
    """
    numbers, chart = _first_cuts(figures)
    return sum(len(track.signals) for track in individuals_tracks(chart, (), numbers))


def _first_cuts(figures: BatchFigures) -> tuple[tuple[int, ...], Individuals]:
    """Return the numbers and the chart of first cuts whose spread the scale can resolve."""
    _require_first_cuts(figures)
    cuts_mg = figures.first_cuts
    numbers = tuple(cuts_mg)
    chart = individuals([grams(first_mg) for first_mg in cuts_mg.values()], numbers=numbers)
    _require_resolved(chart, figures)
    return numbers, chart


def kept_chart(figures: BatchFigures, *, title: str) -> ControlChart:
    """Return the kept pieces of a batch in their order, beside the band and without limits.

    Parameters
    ----------
    figures : BatchFigures
    title : str

    Returns
    -------
    ControlChart

    Raises
    ------
    NotEnoughDataError
        If there is no piece.
    """
    if not figures.pieces:
        raise NotEnoughDataError("There is no piece to draw.", have=0, need=1)
    limits = figures.product.limits
    weights = [grams(piece.final_mg) for piece in figures.pieces]
    low_g, high_g = (
        grams(limits.target_mg - limits.under_mg),
        grams(limits.target_mg + limits.over_mg),
    )
    mean_g = grams(limits.target_mg) + float(figures.kept.mean_d_mg or 0) / 1000
    track = level_track("kept piece", weights, (mean_g, low_g, high_g))
    outside = [str(piece.number) for piece in figures.boarded]
    remarks = (
        f"Out of band: {named(outside) if outside else 'none'}.",
        f"The outer lines are the band, {low_g:g} to {high_g:g} g; the middle one is the mean.",
        (
            "Kept pieces were sorted by the band: this shows what left the bench, and says nothing"
            " of how the dividing went. First cuts do."
        ),
    )
    numbers = tuple(piece.number for piece in figures.pieces)
    chart = _chart(figures, title, numbers, (track,), (*remarks, *_entered(figures)))
    return replace(chart, is_judged=False)


def batches_chart(
    batches: Sequence[BatchSums], *, title: str, as_of: str, left_out: int = 0
) -> ControlChart:
    """Return a chart of many batches of a product: how far off, and how spread, each was cut.

    Parameters
    ----------
    batches : (n,) sequence of BatchSums
        In order; each with at least two pieces.
    title : str
    as_of : str
    left_out : int
        Batches of fewer pieces, which have no spread.

    Returns
    -------
    ControlChart

    Raises
    ------
    NotEnoughDataError
        If there are fewer than two batches.
    """
    if len(batches) < 2:
        raise NotEnoughDataError(
            "A chart of batches takes at least 2 batches; take a longer span, or chart one batch"
            " by leaving out the product and the days.",
            have=len(batches),
            need=2,
        )
    means = [float(batch.first.mean_d_mg or 0) / 1000 for batch in batches]
    sds = [(batch.first.sd_mg or 0.0) / 1000 for batch in batches]
    chart = individuals(means, noun="batch")
    sizes = [batch.first.n for batch in batches]
    spread = xbar_s_of(means, sds, sizes, noun="batch").spread
    lines = (spread.centre, spread.lower, spread.upper)
    centre, lower, upper = (_line(line, len(batches)) for line in lines)
    spread_track = Track(
        "spread within", floats(spread.points), centre, lower, upper, spread.signals
    )
    tracks = (track_of(chart, "mean first cut off the scaling weight"), spread_track)
    return ControlChart(
        title=title,
        noun="batch",
        numbers=tuple(range(1, len(batches) + 1)),
        at_utc_ms=tuple(batch.started_utc_ms for batch in batches),
        tracks=tracks,
        remarks=(
            (
                "Limits of the means are from batch to batch, because doughs differ by more than"
                " their pieces do; limits of the spread go by the number of pieces of each batch."
            ),
            *_left_out(left_out),
            *_rough(len(batches), "batches"),
            *_reaction(tracks),
            _NO_BAND,
        ),
        as_of=as_of,
    )


def _left_out(count: int) -> tuple[str, ...]:
    if not count:
        return ()
    batches = "1 batch is" if count == 1 else f"{count} batches are"
    return (f"{batches} left out: fewer than {FEWEST} first cuts have no spread.",)


def _line(line: float | Floats, count: int) -> tuple[float, ...]:
    """Return a line at each point."""
    return (line,) * count if isinstance(line, float) else floats(line)


def _chart(
    figures: BatchFigures,
    title: str,
    numbers: tuple[int, ...],
    tracks: tuple[Track, ...],
    remarks: tuple[str, ...],
) -> ControlChart:
    return ControlChart(
        title=title,
        noun="piece",
        numbers=numbers,
        at_utc_ms=tuple(figures.counted_utc_ms[number] for number in numbers),
        tracks=tracks,
        remarks=remarks,
        as_of=figures.as_of,
    )


def _require_first_cuts(figures: BatchFigures) -> None:
    """Refuse a batch that was entered from a file without first cuts."""
    if len(figures.pieces) >= FEWEST and len(figures.first_cuts) < FEWEST:
        raise NotEnoughDataError(
            "The first cuts of this batch are not known: it was entered from a file without them.",
            have=len(figures.first_cuts),
            need=FEWEST,
            hint="--kept draws the kept pieces beside the band.",
        )


def _entered(figures: BatchFigures) -> tuple[str, ...]:
    files = dict.fromkeys(b.imported_from for b in figures.benches if b.imported_from is not None)
    if not files:
        return ()
    known, whole = len(figures.first_cuts), len(figures.pieces)
    some = "" if known in (0, whole) else f" The first cut is known of {known} of {whole} pieces."
    file = "file" if len(files) == 1 else "files"
    said = f"The weights were entered from the {file} {named(list(map(str, files)))}"
    return (f"{said}; no scale was read by this station.{some}",)


def _sigma_text(chart: Individuals) -> str:
    return (
        f"Sigma is {chart.sigma:.2f} g: the mean moving range of {chart.range_centre:.2f} g over"
        " 1.128."
    )


def _more_alarms(rules: Sequence[Rule]) -> tuple[str, ...]:
    return ("The more rules there are, the more often chance meets one.",) if rules else ()


def _rough(count: int, nouns: str) -> tuple[str, ...]:
    if count >= ENOUGH:
        return ()
    return (f"Only {count} {nouns}: limits from fewer than {ENOUGH} are rough.",)


def _promised(figures: BatchFigures) -> str:
    limits = figures.product.limits
    low_mg, high_mg = limits.target_mg - limits.under_mg, limits.target_mg + limits.over_mg
    return (
        f"The scaling weight is {grams(limits.target_mg):g} g, the band {grams(low_mg):g} to"
        f" {grams(high_mg):g} g."
    )


def _reaction(tracks: Sequence[Track]) -> tuple[str, ...]:
    return (_REACTION,) if any(track.signals for track in tracks) else ()


def _require_resolved(chart: Individuals, figures: BatchFigures) -> None:
    if not chart.sigma:
        raise SpecificationError(
            "All first cuts are equal on the scale's display, so there is no spread to chart."
        )
    division_mg = figures.benches[-1].division_mg if figures.benches else None
    if division_mg:
        require_resolution(chart.sigma, division_g=grams(division_mg))
