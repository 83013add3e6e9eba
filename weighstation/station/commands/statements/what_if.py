"""A journal and what is to be changed -> what days would have given away."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.quantities import grams
from weighstation.report.giveaway.bench_model import bench_model
from weighstation.report.giveaway.what_if import Change, Days, Outcome, bands, what_if
from weighstation.station.commands.statements.rows import known_of
from weighstation.station.commands.terminal.options import mg_from_option

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.report.giveaway import RunRow
    from weighstation.station.commands.shop.home import Home
    from weighstation.station.stores import Store

_NUMBER = re.compile(r"[0-9]+(?:[.,][0-9]+)?")
_MOST = Decimal(100_000)
_MOST_TIMES = 10
_LIKELY = 2
"""House figure: an aim lies between half the scaling weight and twice that."""
LAWFUL = "lawful"


@dataclass(frozen=True, slots=True)
class Asked:
    """What is to be put in the place of what was, as it was typed; None leaves it.

    Parameters
    ----------
    aim : str or None
        Grams, or ``lawful``.
    band, under, over : str, grams, or None
        As wide below as above, or each by itself.
    spread : str or None
        First cuts so many times as far from their mean.
    cost, wage : str or None
        Of a kilogram of dough in the place of today's, and of an hour of work.
    is_sweep : bool
        Whether bands from narrow to wide are wanted.
    """

    aim: str | None = None
    band: str | None = None
    under: str | None = None
    over: str | None = None
    spread: str | None = None
    cost: str | None = None
    wage: str | None = None
    is_sweep: bool = False

    @property
    def is_asked(self) -> bool:
        """Whether anything is to be reckoned anew."""
        return self != Asked()

    def require_change(self) -> None:
        """Refuse a wage that nothing is reckoned with.

        Raises
        ------
        SpecificationError
            If the days would stay as they are, and no bands are wanted.
        """
        if self.is_asked and not self.is_sweep and self.change() == Change():
            raise SpecificationError(
                "Nothing is asked that would change these days.",
                hint="Give --aim, --band, --spread-times, --dough-cost or --bands;"
                " --wage says what the time costs.",
            )

    def change(self) -> Change:
        """Return what is to be changed.

        Returns
        -------
        Change

        Raises
        ------
        SpecificationError
            If a number is none, or a band is given twice.
        """
        if self.band is not None and (self.under is not None or self.over is not None):
            raise SpecificationError("Give --band, or --under and --over, not both.")
        is_lawful = self.aim is not None and self.aim.strip().casefold() == LAWFUL
        spread = number_from(self.spread, "--spread-times")
        if spread is not None and not 0 < spread <= _MOST_TIMES:
            raise SpecificationError(f"--spread-times is above 0 and at most {_MOST_TIMES}.")
        return Change(
            aim_mg=None if is_lawful else _aim(self.aim),
            under_mg=_mass(self.under or self.band, "--under" if self.under else "--band"),
            over_mg=_mass(self.over or self.band, "--over" if self.over else "--band"),
            spread_times=1.0 if spread is None else float(spread),
            is_lawful_aim=is_lawful,
            cost_per_kg=number_from(self.cost, "--dough-cost"),
        )


def _aim(text: str | None) -> int | None:
    try:
        return _mass(text, "--aim")
    except SpecificationError as exc:
        hint = f"{exc.hint.removesuffix('.')}, or '{LAWFUL}'." if exc.hint else ""
        raise SpecificationError(str(exc), hint=hint) from exc


def _mass(text: str | None, option: str) -> int | None:
    if text is None:
        return None
    mg = mg_from_option(text, option)
    if mg <= 0:
        raise SpecificationError(f"{option} is above 0 g, not {text}.")
    return mg


def number_from(text: str | None, option: str) -> Decimal | None:
    """Return a number of an option; a decimal comma is as good as a point.

    Parameters
    ----------
    text : str or None
    option : str

    Returns
    -------
    Decimal or None

    Raises
    ------
    SpecificationError
        If it is no number from 0 to 100 000.
    """
    if text is None:
        return None
    if not _NUMBER.fullmatch(text.strip()):
        raise SpecificationError(
            f"{option} '{text}' is no number.", hint="Write it like 0.92 or 0,92."
        )
    found = Decimal(text.strip().replace(",", "."))
    if found > _MOST:
        raise SpecificationError(f"{option} is at most {_MOST}, not {text}.")
    return found


def outcomes_of(days: Days, asked: Asked) -> dict[str, Outcome]:
    """Return what days would have been, each by a name.

    Parameters
    ----------
    days : Days
    asked : Asked

    Returns
    -------
    dict of str to Outcome
        As it is, as asked, and bands from narrow to wide where they are wanted.

    Raises
    ------
    SpecificationError
        As `weighstation.report.giveaway.what_if.what_if`.
    """
    named = {"as it is": what_if(days, Change()), "as asked": what_if(days, asked.change())}
    if asked.is_sweep:
        named |= {f"band of {grams(b.limits.under_mg):g} g": b for b in bands(days, asked.change())}
    return named


def days_of(store: Store, home: Home, rows: Sequence[RunRow], asked: Asked) -> Days:
    """Return the days of a product, piece by piece.

    Parameters
    ----------
    store : Store
        Held still by the caller.
    home : Home
    rows : sequence of RunRow
        Of one product, in the order in which they began.
    asked : Asked

    Returns
    -------
    Days
        Of the runs with scaling weight, band and label of the newest, in the band that its pieces
        were cued by; a guard differs by little from one check of the scale to the next.

    Raises
    ------
    NotEnoughDataError
        If there are fewer than thirty pieces.
    SpecificationError
        If the aim that is asked for is a slip, a number is none, or bands are wanted and nothing
        says what the lawful scaling weight is.
    """
    newest = rows[-1]
    _require_likely(asked.change().aim_mg, newest.product.limits.target_mg)
    same = [row.state for row in rows if row.is_scaled_as(newest)]
    pieces = [piece for state in same for piece in store.pieces(state.run)]
    found = Days(
        model=bench_model(pieces, newest.product.limits),
        limits=newest.product.limits,
        division_mg=newest.state.division_mg,
        known=None if newest.basis is None else known_of(store, home, newest.product, same),
        cost_per_kg=newest.product.dough_cost_per_kg,
        wage_per_h=number_from(asked.wage, "--wage"),
        otherwise=sum(row.state.kept.n for row in rows) - sum(state.kept.n for state in same),
    )
    if asked.is_sweep:
        what_if(found, Change(is_lawful_aim=True))  # refuses where no band has a lawful aim
    return found


def _require_likely(aim_mg: int | None, target_mg: int) -> None:
    """Refuse an aim that can only be a slip: a digit too many, or kilograms."""
    if aim_mg is not None and not target_mg <= aim_mg * _LIKELY <= target_mg * _LIKELY**2:
        raise SpecificationError(
            f"--aim {grams(aim_mg):g} is far from the scaling weight of {grams(target_mg):g} g.",
            hint="Give it in grams.",
        )
