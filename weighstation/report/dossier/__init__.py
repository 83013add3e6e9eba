"""Lines of batches -> what quality assurance shows an auditor: pages, tables, and the raw rows.

Everything follows from the record as of one line: the same line gives the same dossier, byte for
byte. Each figure says from which lines it comes, and what is missing is said as plainly as what is
there.
"""

from __future__ import annotations

from weighstation.report.dossier.evidence import (
    BatchEvidence,
    Check,
    Counting,
    Evidence,
    Happened,
    Proof,
    Remark,
    Scope,
    SetBack,
    SignalLine,
)

__all__ = [
    "BatchEvidence",
    "Check",
    "Counting",
    "Evidence",
    "Happened",
    "Proof",
    "Remark",
    "Scope",
    "SetBack",
    "SignalLine",
]
