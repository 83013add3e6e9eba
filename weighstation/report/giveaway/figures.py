"""A statement -> the pictures of its page, each with its words and with a table of its figures."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.quantities import grams
from weighstation.report.charts.picture.giveaway import (
    draw_distribution,
    draw_trend,
    draw_waterfall,
)
from weighstation.report.giveaway.groups import By
from weighstation.report.giveaway.page import CAUSES, SAID, TITLES
from weighstation.report.giveaway.shapes import distributions, trends, waterfall
from weighstation.report.page.page import Grid
from weighstation.report.page.page_html import Figure
from weighstation.report.page.tables import NONE, counted

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from weighstation.report.giveaway.shapes import Distribution, Waterfall, Week
    from weighstation.report.giveaway.statement import Statement
    from weighstation.report.page.local import Local

_WHERE = ("in the band", "above it", "below it")


def statement_figures(
    found: Statement, local: Local, told: Callable[[str], object]
) -> tuple[Figure, ...]:
    """Return the pictures of a statement; none where a number says as much.

    Parameters
    ----------
    found : Statement
    local : Local
    told : callable
        Is told what is being drawn.

    Returns
    -------
    tuple of Figure
    """
    return tuple(_figures(found, local, told))


def _figures(found: Statement, local: Local, told: Callable[[str], object]) -> Iterator[Figure]:
    fall = waterfall(found)
    if fall is not None:
        told("Drawing the causes")
        yield _causes(fall, found, local)
    for place, shape in enumerate(distributions(found), 1):
        told("Drawing the weights")
        yield _weights(shape, f"weights{place}", local)
    weeks = trends(found)
    if weeks:
        told("Drawing the weeks")
        yield _trend(weeks, local)


def _causes(shape: Waterfall, found: Statement, local: Local) -> Figure:
    causes = [SAID[part] for part, _ in shape.steps]
    unit, of = ("g", "a piece") if shape.is_a_piece else (shape.unit, "all together")
    values = [f"{local.signed(mg / shape.unit_mg, 1)} {unit}" for _, mg in shape.steps]
    total = f"{local.signed(shape.total_mg / shape.unit_mg, 1)} {unit}"
    begins = "the declared weight in dough" if shape.is_from_label else "the scaling weight"
    ends = "the mean of what left the bench" if shape.is_a_piece else "what left the bench"
    some = f" of {found.whole.kept.n}" if shape.pieces < found.whole.kept.n else ""
    pieces = f"{shape.pieces}{some} pieces"
    steps = "; ".join(f"{cause} {value}" for cause, value in zip(causes, values, strict=True))
    said = f"Bars from {begins}, {of}: {steps}; together {total}."
    svg = draw_waterfall(shape, causes, "causes", said, local)
    left_out = "; the others have no declared weight or no known baking loss" if some else ""
    return Figure(
        svg=svg,
        caption=f"From {begins} to {ends}: {pieces}{left_out}.",
        under=CAUSES,
        table=Grid(
            "The same in figures",
            ("", of),
            (*zip(causes, values, strict=True), ("together", total)),
        ),
    )


def _weights(shape: Distribution, name: str, local: Local) -> Figure:
    n = sum(each.kept + each.above + each.below for each in shape.bins)
    limits = shape.limits
    low, high = (limits.target_mg - limits.under_mg, limits.target_mg + limits.over_mg)
    marks = [
        ("scaling weight", limits.target_mg),
        ("mean", round(shape.mean_mg)),
        ("band from", low),
        ("to", high),
    ]
    if shape.basis is not None:
        marks.insert(0, ("least lawful", shape.basis.lawful_mg))
        marks.insert(0, ("bakes to the label", shape.basis.label_mg))
    told = ", ".join(f"{word} {_g(mg, local)} g" for word, mg in marks)
    width = local.sentence(f"{grams(shape.width_mg):g}")
    said = f"Bars of {width} g: {counted(n, 'piece')} of {shape.product}; {told}."
    return Figure(
        svg=draw_distribution(shape, name, said, local),
        caption=" ".join(_caption(shape, n, local)),
        under=TITLES[By.PRODUCT],
        table=Grid(
            f"The same in figures: {shape.product}",
            (f"weight, ± {local.sentence(f'{grams(shape.width_mg) / 2:g}')} g", *_WHERE),
            tuple(
                (f"{_g(each.centre_mg, local)} g", *map(str, (each.kept, each.above, each.below)))
                for each in shape.bins
            ),
        ),
    )


def _caption(shape: Distribution, n: int, local: Local) -> Iterator[str]:
    yield f"{shape.product}: {counted(n, 'piece')} as they left the bench,"
    yield f"mean {_g(round(shape.mean_mg), local)} g."
    if shape.beyond:
        yield f"{counted(shape.beyond, 'piece')} further off than what is drawn."
    if shape.left_out:
        left_out = counted(shape.left_out, "piece")
        yield f"{left_out} of another scaling weight, band or division left out."


def _trend(weeks: Mapping[str, Sequence[Week]], local: Local) -> Figure:
    rows = tuple(
        (
            week.name,
            product,
            str(week.pieces),
            f"{local.signed(week.mean_mg / 1000, 2)} g",
            _interval(week, local),
        )
        for product, series in weeks.items()
        for week in series
    )
    ends = "; ".join(
        f"{product} from {local.signed(series[0].mean_mg / 1000, 1)} g in {series[0].name} to"
        f" {local.signed(series[-1].mean_mg / 1000, 1)} g in {series[-1].name}"
        for product, series in weeks.items()
    )
    said = f"Give-away a piece, week by week: {ends}."
    return Figure(
        svg=draw_trend(weeks, "weeks", said, local),
        caption="Give-away a piece. Lines up and down: where it lies, 95 % sure, as far as the"
        " batches of the week differ. The first and the last week may be cut by the days asked"
        " for.",
        under=TITLES[By.WEEK],
        table=Grid(
            "The same in figures",
            ("", "product", "pieces", "give-away a piece", "95 % sure"),
            rows,
        ),
    )


def _interval(week: Week, local: Local) -> str:
    if week.interval_mg is None:
        return NONE
    low, high = (local.signed(end / 1000, 2) for end in week.interval_mg)
    return f"{low} to {high} g"


def _g(mg: int, local: Local) -> str:
    return local.number(grams(mg), 1)
