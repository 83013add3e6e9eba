"""A dossier -> plain keys and numbers, units in the names, for another program."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.quantities import grams
from weighstation.report.dossier.figures import BatchShown, shown
from weighstation.report.dossier.open_points import open_points
from weighstation.report.dossier.questions import questions
from weighstation.report.dossier.said import mean_g, sd_g
from weighstation.report.page.tables import utc_text

if TYPE_CHECKING:
    from weighstation.report.baked.lot import BakedLot
    from weighstation.report.dossier.evidence import Check, Evidence, Proof, SetBack, SignalLine


def dossier_record(evidence: Evidence) -> dict[str, object]:
    """Return a dossier as a dictionary that json can write.

    Parameters
    ----------
    evidence : Evidence

    Returns
    -------
    dict
        Weights in grams; null where there is no figure.
    """
    asked = questions(evidence)
    people = evidence.scope.with_people
    return {
        "about": evidence.scope.title,
        "batches": [_batch(each, with_people=people) for each in shown(evidence)],
        "pieces": evidence.kept.n,
        "giveaway_g": grams(evidence.kept.sum_d_mg),
        "out_of_band": evidence.out_of_band,
        "checks": [_check(check, with_people=people) for check in evidence.checks],
        "questions": [
            {
                "kind": each.flag.kind.value,
                "of": each.of,
                "lines": each.lines,
                "text": each.flag.text,
                "p": each.flag.p,
            }
            for each in asked
        ],
        "open": [
            {"what": row.label, "said": row.said, "where": row.note}
            for row in open_points(evidence, asked)
        ],
        "proof": _proof(evidence.proof),
        "as_of": {"line": evidence.proof.head.seq, "head": evidence.proof.head.digest},
    }


def _proof(proof: Proof) -> dict[str, object]:
    return {
        "journal_id": proof.journal_id,
        "station": proof.station,
        "first_line": proof.first_line,
        "prev": proof.prev,
        "is_whole": proof.is_whole,
        "holds": not proof.fault,
        "fault": proof.fault or None,
        **_set_back(proof.set_back),
    }


def _set_back(found: SetBack | None) -> dict[str, object]:
    if found is None:
        return {"set_back": None, "set_back_times": 0, "set_back_most_s": None}
    return {
        "set_back": found.line,
        "set_back_times": found.times,
        "set_back_most_s": found.most_ms / 1000,
    }


def _batch(each: BatchShown, *, with_people: bool) -> dict[str, object]:
    batch, figures = each.batch, each.batch.figures
    limits, target_mg = figures.product.limits, figures.product.limits.target_mg
    person = {"person": batch.promises[-1][1].person or None} if with_people else {}
    return {
        "batch": batch.run,
        "product": figures.product.name,
        "began": utc_text(figures.started_utc_ms),
        **person,
        "lines": [batch.first_line, batch.last_line],
        "scaling_weight_g": grams(target_mg),
        "under_g": grams(limits.under_mg),
        "over_g": grams(limits.over_mg),
        "pieces": figures.kept.n,
        "mean_g": mean_g(figures.kept, target_mg),
        "sd_g": sd_g(figures.kept),
        "giveaway_g": grams(figures.kept.sum_d_mg),
        "out_of_band": figures.out_of_band,
        "first_mean_g": mean_g(figures.first, target_mg),
        "first_sd_g": sd_g(figures.first),
        **_control(each),
        "check_before": None if batch.before is None else batch.before.line,
        "check_after": None if batch.after is None else batch.after.line,
        "signals": [_signal(signal) for signal in batch.signals],
        "doubtful": list(figures.doubtful),
        "unresolved": list(figures.unresolved),
        "voided": figures.voided,
        "voided_late": list(batch.struck_out_late),
        "interrupted": [run.run for run in figures.interrupted],
        "gaps_s": [gap / 1000 for gap in figures.gaps_ms],
        "not_weighed": list(batch.not_weighed),
        "rule": figures.product.quantity_rule,
        "rule_text": figures.product.rule_text,
        "rule_said": batch.rule_said or None,
        "baked": None if batch.lot is None else _lot(batch.lot.figure, batch.lot.why_not),
    }


def _control(each: BatchShown) -> dict[str, object]:
    cuts, found = each.cuts, each.capability.figure
    return {
        "sigma_g": None if cuts is None else cuts.sigma,
        "limits_g": None if cuts is None else [cuts.lower, cuts.upper],
        "chart_signals": each.chart_signals,
        "cp": None if found is None else found.cp,
        "cpk": None if found is None else found.cpk,
        "cpk_interval": None if found is None else list(found.cpk_interval),
    }


def _signal(signal: SignalLine) -> dict[str, object]:
    return {
        "line": signal.line,
        "pieces": list(signal.pieces),
        "text": signal.text,
        "reactions": [remark.said for remark in signal.remarks],
    }


def _check(check: Check, *, with_people: bool) -> dict[str, object]:
    person = {"person": check.said.person or None} if with_people else {}
    return {
        "line": check.line,
        "time": utc_text(check.t_utc_ms),
        "is_fit": check.said.is_fit,
        "scale": check.said.scale,
        **person,
        "weights": [weight.name for weight in check.said.weights],
    }


def _lot(lot: BakedLot | None, why_not: str) -> dict[str, object]:
    if lot is None:
        return {"verdict": None, "why_not": why_not}
    return {
        "verdict": lot.verdict.value,
        "passes": lot.passes,
        "loaves": lot.weighed,
        "mean_g": lot.mean_g,
        "rule": lot.rule,
        "count_t1": lot.count_t1,
        "count_t2": lot.count_t2,
        "reasons": list(lot.reasons),
    }
