"""A check, or how it stands with a scale -> one JSON object."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from weighstation.quantities import MG_PER_G
from weighstation.station.commands.checking.remarks import uncertainty_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from weighstation.journal import ScaleChecked
    from weighstation.station.commands.checking.declared import DeclaredWeights
    from weighstation.station.commands.checking.state import CheckState, DoubtfulBatch

_UG_PER_G = 1_000_000


def check_json(
    check: ScaleChecked,
    line: int,
    batches: Sequence[DoubtfulBatch],
    load_g: float,
    declared: DeclaredWeights,
) -> str:
    """Return a check as one JSON object.

    Parameters
    ----------
    check : ScaleChecked
    line : int
        Number of its line.
    batches : sequence of DoubtfulBatch
    load_g : float, grams
        At what load it is told how sure a weight is.
    declared : DeclaredWeights
        For which declared weights the scale is fine enough.

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
        "declared": declared_json(declared),
        "declared_not_seen": list(declared.refused),
        "doubtful": batches_json(batches),
    }
    return json.dumps(told, ensure_ascii=False)


def declared_json(declared: DeclaredWeights) -> list[dict[str, object]]:
    """Return for which declared weights a scale is fine enough, for JSON.

    Parameters
    ----------
    declared : DeclaredWeights

    Returns
    -------
    list of dict
        One a product that a rule could be held against.
    """
    return [
        {
            "product": each.product,
            "declared_g": each.declared_g,
            "rule": each.rule.name,
            "deficiency_g": each.deficiency_g,
            "largest_division_g": each.largest_division_g,
            "division_suits": each.suits,
        }
        for each in declared.found
    ]


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
