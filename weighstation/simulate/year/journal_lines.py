"""Facts of a simulated year -> the lines that a station would write of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation import __version__
from weighstation.errors import SpecificationError
from weighstation.evaluate.verdict import judge
from weighstation.journal import (
    BakedLoaf,
    CheckFinding,
    CheckStep,
    HeldAgainst,
    Kind,
    LastCheck,
    Line,
    PieceFacts,
    RunStarted,
    ScaleChecked,
    UsedWeight,
    Why,
    baked,
    codec,
    imported,
    scale_checked,
    scale_of_file,
)
from weighstation.journal.piece_lines import piece_part, struck_out
from weighstation.simulate.year.facts import (
    LoafBaked,
    PieceStruckOut,
    PieceWeighed,
    RunBegan,
    RunClosed,
    ScaleTried,
    WeightTyped,
    YearFact,
)
from weighstation.specification import LiftedPolicy, Way

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from weighstation.journal import Body

TYPED = "typed.csv"
"""The file that a person's typed weights are entered from."""

_UG_PER_MG = 1000
_LAST_TYPED_MS = 1000


def port_of(scale: str) -> str:
    """Return the URL at which a scale of the simulated bakery is read.

    Parameters
    ----------
    scale : str

    Returns
    -------
    str
    """
    return f"simulated://{scale.replace(' ', '-')}"


@dataclass(frozen=True, slots=True)
class _Checks:
    """The last check of a scale, and its last good one."""

    last: LastCheck
    good_line: int


class YearLines:
    """Makes the lines of one journal into which the whole bakery writes.

    Parameters
    ----------
    last_line : int
        Number of the line before the first of these.
    currency : str
        Of the prices of its products.
    """

    def __init__(self, *, last_line: int = 0, currency: str = "") -> None:
        self._line = last_line
        self._currency = currency
        self._checks: dict[str, _Checks] = {}

    def of(self, facts: Iterable[YearFact]) -> Iterator[Line]:
        """Yield the lines of facts.

        Parameters
        ----------
        facts : iterable of YearFact
            In the order in which they were written down; no run cut in two, nor what somebody
            typed in one go.

        Yields
        ------
        Line
        """
        typed: list[WeightTyped] = []
        for fact in facts:
            if typed and not _goes_on(typed[-1], fact):
                yield from self._counted(_typed_run(typed, self._currency))
                typed = []
            if isinstance(fact, WeightTyped):
                typed.append(fact)
            else:
                yield self._next(fact)
        if typed:
            yield from self._counted(_typed_run(typed, self._currency))

    def _counted(self, lines: Iterable[Line]) -> Iterator[Line]:
        for line in lines:
            self._line += 1
            yield line

    def _next(self, fact: YearFact) -> Line:
        self._line += 1
        if isinstance(fact, PieceWeighed):
            return Line(Kind.PIECE_KEPT, {"run": fact.run, **piece_part(fact.piece)}, fact.t_utc_ms)
        kind, body = self._rare(fact)
        return Line(kind, body, fact.t_utc_ms)

    def _rare(self, fact: YearFact) -> tuple[Kind, Body]:
        match fact:
            case RunBegan():
                return Kind.RUN_STARTED, codec.run_started(self._promise(fact))
            case RunClosed():
                return Kind.RUN_ENDED, codec.run_ended(fact.run, Why.DONE)
            case PieceStruckOut():
                return Kind.VOIDED, struck_out(fact.run, fact.piece, fact.reason)
            case ScaleTried():
                return Kind.SCALE_CHECKED, self._check(fact)
            case LoafBaked():
                return Kind.BAKED, baked(_loaf(fact))
            case _:
                raise SpecificationError(f"No line tells of a {type(fact).__name__}.")

    def _promise(self, fact: RunBegan) -> RunStarted:
        checks = self._checks.get(fact.scale)
        return RunStarted(
            run=fact.run,
            product=fact.product,
            way=Way.SINGLE,
            lifted=LiftedPolicy.GUESS,
            scale=port_of(fact.scale),
            software=__version__,
            division_mg=fact.division_mg,
            currency=self._currency,
            scale_identity=fact.scale,
            last_check=None if checks is None else checks.last,
            clock_utc_ms=fact.t_utc_ms,
            person=fact.person,
        )

    def _check(self, fact: ScaleTried) -> Body:
        """Return the body of a check of one weight, and remember it."""
        before = self._checks.get(fact.scale)
        good_line = before.good_line if before else 0
        self._checks[fact.scale] = _Checks(
            LastCheck(self._line, fact.t_utc_ms, fact.is_fit),
            self._line if fact.is_fit else good_line,
        )
        return scale_checked(_checked(fact, good_line))


def _goes_on(typed: WeightTyped, fact: YearFact) -> bool:
    """Return whether a weight is typed in one go with the one before it."""
    return (
        isinstance(fact, WeightTyped)
        and (fact.person, fact.product) == (typed.person, typed.product)
        and fact.t_utc_ms - typed.t_utc_ms < _LAST_TYPED_MS
    )


def _typed_run(typed: list[WeightTyped], currency: str) -> Iterator[Line]:
    """Yield a run of weights that were typed in one go, as `journal import` enters a file."""
    first = typed[0]
    run = f"typed {first.t_utc_ms} {first.product.name}, {first.person}"
    promise = RunStarted(
        run=run,
        product=first.product,
        way=Way.SINGLE,
        lifted=LiftedPolicy.GUESS,
        scale=scale_of_file(TYPED),
        software=__version__,
        currency=currency,
        clock_utc_ms=first.said_utc_ms,
        person=first.person,
        began_utc_ms=first.said_utc_ms,
    )
    yield Line(Kind.RUN_STARTED, codec.run_started(promise), first.t_utc_ms)
    for number, fact in enumerate(typed, 1):
        placed_ms = fact.said_utc_ms - first.said_utc_ms
        verdict = judge(fact.net_mg, fact.product.limits)
        piece = PieceFacts(number, None, fact.net_mg, None, None, placed_ms, verdict, None)
        body = imported(run, piece, at_utc_ms=fact.said_utc_ms, offset_min=0)
        yield Line(Kind.IMPORTED, body, fact.t_utc_ms)
    yield Line(Kind.RUN_ENDED, codec.run_ended(run, Why.DONE), typed[-1].t_utc_ms)


def _loaf(fact: LoafBaked) -> BakedLoaf:
    return BakedLoaf(
        batch=fact.run,
        product=fact.product.name,
        number=fact.number,
        baked_mg=fact.baked_mg,
        scale=port_of(fact.scale),
        scale_identity=fact.scale,
        software=__version__,
        declared_mg=fact.product.declared_mg,
        piece=fact.piece,
        out_of_oven_ms=fact.out_of_oven_ms,
    )


def _checked(fact: ScaleTried, good_line: int) -> ScaleChecked:
    load_ug, limit_ug = fact.load_mg * _UG_PER_MG, fact.limit_mg * _UG_PER_MG
    error_ug = (fact.indicated_mg - fact.load_mg) * _UG_PER_MG
    said = "fit" if fact.is_fit else "not fit"
    finding = f"At {fact.load_mg} mg the scale shows {fact.indicated_mg} mg."
    return ScaleChecked(
        scale=fact.scale,
        port=port_of(fact.scale),
        person=fact.person,
        is_fit=fact.is_fit,
        text=f"The scale is {said}.",
        held_against=HeldAgainst(
            "house", "Held against the house's limit.", fact.division_mg, limit_ug=limit_ug
        ),
        weights=(UsedWeight("check weight", load_ug, 0),),
        steps=(CheckStep("load", fact.indicated_mg, load_ug, "check weight"),),
        findings=(CheckFinding("load", fact.is_fit, finding, load_ug, error_ug, limit_ug),),
        good_line=good_line,
        software=__version__,
    )
