"""What people signed -> the same without their names, for a shop that shows nobody."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from weighstation.journal import Reaction, ScaleChecked, Settled
    from weighstation.report.sheet.figures import BatchFigures
    from weighstation.report.sheet.happenings import Happening

SOMEBODY = "somebody"
"""Stands for who signed; the line itself says who."""
Signed = TypeVar("Signed", "ScaleChecked", "Settled", "Reaction")


def unsigned(said: Signed) -> Signed:
    """Return what somebody signed, without a name.

    Parameters
    ----------
    said : ScaleChecked, Settled or Reaction

    Returns
    -------
    ScaleChecked, Settled or Reaction
        As it is where nobody signed it.
    """
    return replace(said, person=SOMEBODY) if said.person else said


def without_people(figures: BatchFigures) -> BatchFigures:
    """Return the figures of a batch without the names of those who signed what happened in it.

    Parameters
    ----------
    figures : BatchFigures

    Returns
    -------
    BatchFigures
    """
    return replace(
        figures,
        settled=tuple(replace(each, said=unsigned(each.said)) for each in figures.settled),
        happenings=tuple(map(_unsigned_happening, figures.happenings)),
    )


def _unsigned_happening(each: Happening) -> Happening:
    reactions = (replace(noted, said=unsigned(noted.said)) for noted in each.reactions)
    return replace(each, reactions=tuple(reactions))
