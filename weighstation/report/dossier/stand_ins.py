"""Batches that no scale has weighed -> what is to be said of them before anything else."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weighstation.report.dossier.evidence import BatchEvidence, Evidence

NO_EVIDENCE = "NO EVIDENCE"
STOOD_IN = "no scale was read, and a simulation or a recording stood in for it"


def no_evidence(evidence: Evidence) -> str:
    """Return that batches of a dossier prove nothing.

    Parameters
    ----------
    evidence : Evidence

    Returns
    -------
    str
        One sentence; empty where a scale has weighed all.
    """
    found, every = sum(bool(b.not_weighed) for b in evidence.batches), len(evidence.batches)
    if not found:
        return ""
    which = "" if found == every else f" in {found} of {every} batches"
    return f"{NO_EVIDENCE}{which}: {STOOD_IN}."


def no_evidence_of(batch: BatchEvidence) -> str:
    """Return that the weights of a batch prove nothing.

    Parameters
    ----------
    batch : BatchEvidence

    Returns
    -------
    str
        One sentence; empty where a scale has weighed all of it.
    """
    if not batch.not_weighed:
        return ""
    return f"{NO_EVIDENCE} of {' and '.join(batch.not_weighed)}: {STOOD_IN}."
