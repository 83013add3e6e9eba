"""A statement -> the products that are scaled below their least lawful weight."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.quantities import grams
from weighstation.report.page.local import Local

if TYPE_CHECKING:
    from weighstation.report.giveaway.rows import LabelBasis
    from weighstation.report.giveaway.statement import Statement

PLAIN = Local()


@dataclass(frozen=True, slots=True)
class TooLight:
    """A product whose newest scaling weight is below the least lawful one.

    Parameters
    ----------
    product : str
    target_mg, lawful_mg : int, milligrams
        The scaling weight, and the least lawful one.
    interval_mg : (2,) tuple of int, milligrams, or None
        Where the least lawful one lies at 95 %; None where nobody can say.
    """

    product: str
    target_mg: int
    lawful_mg: int
    interval_mg: tuple[int, int] | None

    @property
    def is_sure(self) -> bool:
        """Whether all of the range lies above the scaling weight."""
        return self.interval_mg is not None and self.interval_mg[0] > self.target_mg

    def said(self, local: Local = PLAIN) -> str:
        """Return what is wrong and what to do, in plain sentences.

        Parameters
        ----------
        local : Local
            How numbers are written.

        Returns
        -------
        str
        """
        what = "Scale it heavier, or more evenly," if self.is_sure else "Weigh baked loaves"
        so = "" if self.is_sure else " to be sure,"
        return f"{self.found(local)} {what}{so} before anything is saved on it."

    def found(self, local: Local = PLAIN) -> str:
        """Return what is wrong, in one plain sentence.

        Parameters
        ----------
        local : Local
            How numbers are written.

        Returns
        -------
        str
        """
        target, lawful = (
            f"{local.number(grams(mg), 1)} g" for mg in (self.target_mg, self.lawful_mg)
        )
        if self.is_sure:
            return (
                f"'{self.product}' is scaled at {target}, below its least lawful weight of"
                f" {lawful}: loaves may be too light for their label."
            )
        return (
            f"'{self.product}' is scaled at {target}, and its least lawful weight may be {lawful},"
            " which is more."
        )


def too_light(found: Statement) -> tuple[TooLight, ...]:
    """Return the products that are scaled below their least lawful weight.

    Parameters
    ----------
    found : Statement

    Returns
    -------
    tuple of TooLight
        By the newest run of each product: what was scaled otherwise before is mended already.
    """
    newest = {row.product.name: row for row in found.rows}
    every = (
        too_light_by(row.product.name, row.state.target_mg, row.basis) for row in newest.values()
    )
    return tuple(each for each in every if each is not None)


def too_light_by(product: str, target_mg: int, basis: LabelBasis | None) -> TooLight | None:
    """Return what is wrong with a scaling weight; None where nothing is, or nobody can say.

    Parameters
    ----------
    product : str
    target_mg : int, milligrams
    basis : LabelBasis or None
        What its label asks for.

    Returns
    -------
    TooLight or None
    """
    if basis is None or basis.lawful_mg <= target_mg:
        return None
    return TooLight(product, target_mg, basis.lawful_mg, basis.lawful_interval_mg)
