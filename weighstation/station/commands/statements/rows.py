"""A store -> the runs of some days, with what their labels asked for; no piece is read.

What was baked decides by the loaves of these days alone, so that a week can be worked out again
from itself, and never takes longer than itself.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import reduce
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.journal import Sums
from weighstation.report.giveaway import Known, LabelBasis, RunRow, label_basis
from weighstation.report.giveaway.too_light import TooLight, too_light_by
from weighstation.station.commands.baking.among import loaves_among
from weighstation.station.commands.planning.history import spread_of
from weighstation.station.commands.planning.loaves import taught
from weighstation.station.commands.planning.shop import known_loss
from weighstation.station.commands.shop.quantity_rules import about_rule, rule_for

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from weighstation.journal import RunStarted, RunState
    from weighstation.report.giveaway import Span
    from weighstation.specification import Product
    from weighstation.station.commands.shop.home import Home
    from weighstation.station.commands.terminal.patience import Patience
    from weighstation.station.stores import Store


@dataclass(frozen=True, slots=True)
class _Run:
    state: RunState
    started: RunStarted

    @property
    def asks(self) -> Product:
        """What was promised, less guard, prices and times: a label asks the same with any."""
        return replace(
            self.started.product,
            limits=self.started.promised_limits,
            is_guarded=False,
            dough_cost_per_kg=None,
            sale_price_each=None,
            board_places=None,
            rest_min=None,
            dough_limit_min=None,
        )

    def is_scaled_as(self, product: Product) -> bool:
        """Whether its pieces show the spread of a product: its name, declared weight and target."""
        own, limits = self.started.product, self.started.product.limits
        return (own.name, own.declared_mg, limits.target_mg) == (
            product.name,
            product.declared_mg,
            product.limits.target_mg,
        )


def rows_of(
    store: Store, home: Home, span: Span, *, patience: Patience, product: str = ""
) -> tuple[RunRow, ...]:
    """Return the runs that began in a span.

    Parameters
    ----------
    store : Store
        Held still by the caller.
    home : Home
        Where a rule file of the shop's own stands.
    span : Span
    patience : Patience
        Is told what is being done.
    product : str
        One alone, capitals do not matter; empty for all.

    Returns
    -------
    tuple of RunRow
        In the order in which they began.

    Raises
    ------
    JournalError
        If the store cannot be read.
    """
    begun = [
        run
        for run in store.runs_begun(*span.utc_ms)
        if product.casefold() in ("", run.product.casefold())
    ]
    runs = [_Run(state, store.started(state.run)) for state in patience.over(begun, "Reading runs")]
    asked = list(dict.fromkeys(run.asks for run in runs))
    bases = {
        asks: _basis_among(store, home, asks, runs)
        for asks in patience.over(asked, "Reading loaves")
    }
    return tuple(
        RunRow(
            state=run.state,
            tally=store.tally(run.state.run),
            product=run.started.product,
            guard=run.started.guard,
            currency=run.started.currency,
            person=run.started.person,
            basis=bases[run.asks][0],
            remark=bases[run.asks][1],
        )
        for run in patience.over(runs, "Reading tallies")
    )


def too_light_among(store: Store, home: Home, states: Iterable[RunState]) -> tuple[TooLight, ...]:
    """Return the products of some runs that are scaled below their least lawful weight.

    Parameters
    ----------
    store : Store
        Held still by the caller.
    home : Home
        Where a rule file of the shop's own stands.
    states : iterable of RunState

    Returns
    -------
    tuple of TooLight
        By the newest of these runs of each product.
    """
    ordered = sorted(states, key=lambda state: state.started_seq)
    runs = [_Run(state, store.started(state.run)) for state in ordered]
    newest = {run.started.product.name: run for run in runs}
    found = (
        too_light_by(name, run.state.target_mg, _basis_among(store, home, run.asks, runs)[0])
        for name, run in newest.items()
    )
    return tuple(each for each in found if each is not None)


def _basis_among(
    store: Store, home: Home, product: Product, runs: Iterable[_Run]
) -> tuple[LabelBasis | None, str]:
    states = [run.state for run in runs if run.is_scaled_as(product)]
    return _basis(store, home, product, states)


def _basis(
    store: Store, home: Home, product: Product, runs: Sequence[RunState]
) -> tuple[LabelBasis | None, str]:
    """Return what a label asks for, and what is to be minded of its rule.

    What a run promised can no longer be mended, so a rule that says nothing refuses no statement.
    """
    try:
        known = known_of(store, home, product, runs)
        basis = None if known is None else label_basis(known)
    except SpecificationError as exc:
        return None, about_rule(product, home) or exc.sentence
    return basis, about_rule(product, home)


def known_of(store: Store, home: Home, product: Product, runs: Sequence[RunState]) -> Known | None:
    """Return what is known of a product from some of its runs and their baked loaves.

    Parameters
    ----------
    store : Store
    home : Home
    product : Product
        As these runs promised it.
    runs : sequence of RunState
        In the order in which they began.

    Returns
    -------
    Known or None
        None where nothing is declared.

    Raises
    ------
    SpecificationError
        If its rule cannot be read.
    """
    if product.declared_mg is None:
        return None
    batches = _batches(runs)
    loaves = loaves_among(store, [batch[-1].run for batch in batches])
    found = taught(loaves, product)
    return Known(
        declared_mg=product.declared_mg,
        rule=rule_for(product, home),
        loss=known_loss(product, found.own),
        bench=spread_of(tuple(_kept(batch) for batch in batches), product),
        loaves=found.spread,
    )


def _batches(runs: Iterable[RunState]) -> list[list[RunState]]:
    """Return runs by the batch that they belong to, each oldest first."""
    batches: list[list[RunState]] = []
    of: dict[str, list[RunState]] = {}
    for run in runs:
        before = of.get(run.continues)
        if before is None:
            before = []
            batches.append(before)
        before.append(run)
        of[run.run] = before
    return batches


def _kept(batch: Iterable[RunState]) -> Sums:
    return reduce(Sums.__add__, (run.kept for run in batch), Sums())
