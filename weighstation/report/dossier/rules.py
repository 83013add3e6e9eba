"""The rule of average quantity that batches were promised by, and what is to be minded of it."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING

from weighstation.report.page.tables import SheetRow, named

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.report.dossier.evidence import BatchEvidence
    from weighstation.specification import Product


def rule_of(product: Product) -> str:
    """Return which rule a run promised, and whether its line holds what that said.

    Parameters
    ----------
    product : Product
        As the run promised it.

    Returns
    -------
    str
        Empty where it named none.
    """
    if product.rule_text is None:
        return f"rule {product.quantity_rule}" if product.quantity_rule else ""
    digest = hashlib.sha256(product.rule_text.encode()).hexdigest()
    return f"rule {product.quantity_rule} as the line holds it, SHA-256 {digest}"


def rule_rows(batches: Iterable[BatchEvidence]) -> tuple[SheetRow, ...]:
    """Return what is to be minded of the rules, with the batches that it is about.

    Parameters
    ----------
    batches : iterable of BatchEvidence

    Returns
    -------
    tuple of SheetRow
        Label, the file, and in a sentence what has become of it.
    """
    found: dict[tuple[str, str], list[str]] = {}
    for batch in batches:
        if batch.rule_said:
            rule = batch.promises[-1][1].product.quantity_rule or ""
            found.setdefault((rule, batch.rule_said), []).append(batch.run)
    return tuple(
        SheetRow("Rule", rule, f"{said} Batch {named(runs)}.")
        for (rule, said), runs in found.items()
    )


def without_rule(batch: BatchEvidence) -> bool:
    """Return whether nothing on record says what the rule of a batch was.

    Parameters
    ----------
    batch : BatchEvidence

    Returns
    -------
    bool
    """
    return bool(batch.rule_said) and batch.promises[-1][1].product.rule_text is None
