"""The first and the last line of a run, and back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.journal.facts import LastCheck, RunStarted
from weighstation.journal.held import (
    decimal_or_none,
    integer,
    integer_or_none,
    one_of,
    part,
    word,
    word_or_empty,
)
from weighstation.journal.promised import promised, read_promised
from weighstation.specification import Guard, LiftedPolicy, Limits, Product, Way

if TYPE_CHECKING:
    from weighstation.journal.entry import Body, Value
    from weighstation.journal.facts import Why

MS_PER_MIN = 60_000


def run_started(started: RunStarted) -> Body:
    """Return the body of a run's first line.

    Parameters
    ----------
    started : RunStarted

    Returns
    -------
    Mapping
    """
    product = started.product
    cost = product.dough_cost_per_kg
    may_lack: dict[str, Value | None] = {
        "declared_mg": product.declared_mg,
        "dough_cost_per_kg": None if cost is None else str(cost),
        "currency": started.currency or None,
        "division_mg": started.division_mg,
        "continues": started.continues or None,
        "planned": started.planned,
        "dough_mg": started.dough_mg,
        "scale_identity": started.scale_identity or None,
        "last_check": None if started.last_check is None else _last_check(started.last_check),
        "guard": None if started.guard is None else _guard(started.guard),
        "clock_utc_ms": started.clock_utc_ms,
        "mixed_utc_ms": started.mixed_utc_ms,
        "person": started.person or None,
        "began_utc_ms": started.began_utc_ms,
        "batch": started.batch or None,
        **_rest_and_boards(product),
        **promised(product),
    }
    body: dict[str, Value] = {
        "run": started.run,
        "product": product.name,
        "target_mg": product.limits.target_mg,
        "under_mg": product.limits.under_mg,
        "over_mg": product.limits.over_mg,
        "way": started.way.value,
        "lifted": started.lifted.value,
        "scale": started.scale,
        "software": started.software,
    }
    return body | {key: value for key, value in may_lack.items() if value is not None}


def _rest_and_boards(product: Product) -> dict[str, Value | None]:
    least_min, most_min = product.rest_min or (None, None)
    return {
        "board_places": product.board_places,
        "rest_least_ms": _ms(least_min),
        "rest_most_ms": _ms(most_min),
        "dough_limit_ms": _ms(product.dough_limit_min),
    }


def _ms(minutes: float | None) -> int | None:
    return None if minutes is None else round(minutes * MS_PER_MIN)


def _minutes(body: Body, key: str) -> float | None:
    ms = integer_or_none(body, key)
    return None if ms is None else ms / MS_PER_MIN


def _read_rest_min(body: Body) -> tuple[float, float] | None:
    least_min, most_min = (_minutes(body, f"rest_{end}_ms") for end in ("least", "most"))
    return None if least_min is None or most_min is None else (least_min, most_min)


def _last_check(check: LastCheck) -> Body:
    return {"line": check.line, "t_utc_ms": check.t_utc_ms, "is_fit": int(check.is_fit)}


def _read_last_check(body: Body) -> LastCheck | None:
    if "last_check" not in body:
        return None
    held = part(body, "last_check")
    return LastCheck(integer(held, "line"), integer(held, "t_utc_ms"), integer(held, "is_fit") == 1)


def _guard(guard: Guard) -> Body:
    return {"width_mg": guard.width_mg, "check_line": guard.check_line}


def _read_guard(body: Body) -> Guard | None:
    if "guard" not in body:
        return None
    held = part(body, "guard")
    return Guard(integer(held, "width_mg"), integer(held, "check_line"))


def read_run_started(body: Body) -> RunStarted:
    """Return what a run's first line promised.

    Parameters
    ----------
    body : Mapping

    Returns
    -------
    RunStarted

    Raises
    ------
    JournalError
        If something is missing or not of its kind.
    """
    guard = _read_guard(body)
    limits = Limits(*(integer(body, key) for key in ("target_mg", "under_mg", "over_mg")))
    return RunStarted(
        run=word(body, "run"),
        product=Product(
            name=word(body, "product"),
            limits=limits,
            declared_mg=integer_or_none(body, "declared_mg"),
            dough_cost_per_kg=decimal_or_none(body, "dough_cost_per_kg"),
            is_guarded=guard is not None,
            board_places=integer_or_none(body, "board_places"),
            rest_min=_read_rest_min(body),
            dough_limit_min=_minutes(body, "dough_limit_ms"),
            **read_promised(body),
        ),
        way=one_of(Way, body, "way"),
        lifted=one_of(LiftedPolicy, body, "lifted"),
        scale=word(body, "scale"),
        software=word(body, "software"),
        division_mg=integer_or_none(body, "division_mg"),
        currency=word_or_empty(body, "currency"),
        continues=word_or_empty(body, "continues"),
        planned=integer_or_none(body, "planned"),
        dough_mg=integer_or_none(body, "dough_mg"),
        scale_identity=word_or_empty(body, "scale_identity"),
        last_check=_read_last_check(body),
        guard=guard,
        clock_utc_ms=integer_or_none(body, "clock_utc_ms"),
        mixed_utc_ms=integer_or_none(body, "mixed_utc_ms"),
        person=word_or_empty(body, "person"),
        began_utc_ms=integer_or_none(body, "began_utc_ms"),
        batch=word_or_empty(body, "batch"),
    )


def run_ended(run: str, why: Why) -> Body:
    """Return the body of a run's last line; the store adds ``counts`` and ``unresolved``.

    Parameters
    ----------
    run : str
    why : Why

    Returns
    -------
    Mapping
    """
    return {"run": run, "why": why.value}
