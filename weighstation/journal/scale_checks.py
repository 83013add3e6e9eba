"""A check of the scale as it stands on the record."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import JournalError
from weighstation.journal.held import integer, integer_or_none, part, parts, word, word_or_empty

if TYPE_CHECKING:
    from weighstation.journal.entry import Body, Value

FIT, UNFIT = "fit", "unfit"


@dataclass(frozen=True, slots=True)
class UsedWeight:
    """A weight that a scale was checked with.

    Parameters
    ----------
    name : str
    mass_ug, error_ug : int, micrograms
        What it weighs, and by how much that may be wrong.
    weight_class : str
        Empty where it is certified by value.
    certified_on, due_on : str
        ISO 8601 dates; may be empty.
    """

    name: str
    mass_ug: int
    error_ug: int
    weight_class: str = ""
    certified_on: str = ""
    due_on: str = ""


@dataclass(frozen=True, slots=True)
class CheckStep:
    """What the scale indicated in one step.

    Parameters
    ----------
    step : str
        ``zero``, ``load``, ``corner`` or ``return``.
    indicated_mg : int, milligrams
    load_ug : int, micrograms
    weight : str
        What lay on the pan.
    where : str
        Which corner.
    """

    step: str
    indicated_mg: int
    load_ug: int = 0
    weight: str = ""
    where: str = ""


@dataclass(frozen=True, slots=True)
class CheckFinding:
    """What was found of one thing.

    Parameters
    ----------
    subject : str
    is_good : bool
    text : str
        One plain sentence.
    load_ug, error_ug, limit_ug : int, micrograms
    """

    subject: str
    is_good: bool
    text: str
    load_ug: int
    error_ug: int
    limit_ug: int


@dataclass(frozen=True, slots=True)
class HeldAgainst:
    """The limits that were used.

    Parameters
    ----------
    basis : str
        ``plate``, ``house`` or ``division``.
    text : str
        In one plain sentence.
    division_mg : int, milligrams
    accuracy_class : str
        Empty without a plate.
    e_ug, max_ug : int, micrograms, or None
        From the plate.
    limit_ug : int, micrograms, or None
        Of the house.
    """

    basis: str
    text: str
    division_mg: int
    accuracy_class: str = ""
    e_ug: int | None = None
    max_ug: int | None = None
    limit_ug: int | None = None


@dataclass(frozen=True, slots=True)
class ScaleChecked:
    """A check of a scale.

    Parameters
    ----------
    scale : str
        Who the scale is, as scales.toml names it.
    port : str
        URL it was read at.
    person : str
        May be empty.
    is_fit : bool
    text : str
        The verdict in one plain sentence.
    held_against : HeldAgainst
    weights : tuple of UsedWeight
    steps : tuple of CheckStep
    findings : tuple of CheckFinding
    good_line : int
        Number of the line of the last good check of this scale; 0 where there is none.
    software : str
    """

    scale: str
    port: str
    person: str
    is_fit: bool
    text: str
    held_against: HeldAgainst
    weights: tuple[UsedWeight, ...]
    steps: tuple[CheckStep, ...]
    findings: tuple[CheckFinding, ...]
    good_line: int
    software: str


def scale_checked(check: ScaleChecked) -> Body:
    """Return the body of the line for a check.

    Parameters
    ----------
    check : ScaleChecked

    Returns
    -------
    Mapping
    """
    return {
        "scale": check.scale,
        "port": check.port,
        "person": check.person,
        "verdict": FIT if check.is_fit else UNFIT,
        "text": check.text,
        "held_against": _plain(check.held_against),
        "weights": [_plain(weight) for weight in check.weights],
        "steps": [_plain(step) for step in check.steps],
        "findings": [_plain(finding) for finding in check.findings],
        "good_line": check.good_line,
        "software": check.software,
    }


def _plain(part: HeldAgainst | UsedWeight | CheckStep | CheckFinding) -> dict[str, Value]:
    """Return the fields of a part that hold something; a truth as 1 or 0."""
    values = {name: getattr(part, name) for name in type(part).__dataclass_fields__}
    return {
        name: int(value) if isinstance(value, bool) else value
        for name, value in values.items()
        if value is not None and value != ""
    }


def read_scale_checked(body: Body) -> ScaleChecked:
    """Return the check that a body holds.

    Parameters
    ----------
    body : Mapping

    Returns
    -------
    ScaleChecked

    Raises
    ------
    JournalError
        If something is missing or not of its kind.
    """
    verdict = word(body, "verdict")
    if verdict not in (FIT, UNFIT):
        raise JournalError("A journal line holds a 'verdict' that is not known.")
    return ScaleChecked(
        scale=word(body, "scale"),
        port=word(body, "port"),
        person=word(body, "person"),
        is_fit=verdict == FIT,
        text=word(body, "text"),
        held_against=_held_against(part(body, "held_against")),
        weights=tuple(_weight(each) for each in parts(body, "weights")),
        steps=tuple(_step(each) for each in parts(body, "steps")),
        findings=tuple(_finding(each) for each in parts(body, "findings")),
        good_line=integer(body, "good_line"),
        software=word(body, "software"),
    )


def _held_against(held: Body) -> HeldAgainst:
    return HeldAgainst(
        basis=word(held, "basis"),
        text=word(held, "text"),
        division_mg=integer(held, "division_mg"),
        accuracy_class=word_or_empty(held, "accuracy_class"),
        e_ug=integer_or_none(held, "e_ug"),
        max_ug=integer_or_none(held, "max_ug"),
        limit_ug=integer_or_none(held, "limit_ug"),
    )


def _weight(held: Body) -> UsedWeight:
    return UsedWeight(
        name=word(held, "name"),
        mass_ug=integer(held, "mass_ug"),
        error_ug=integer(held, "error_ug"),
        weight_class=word_or_empty(held, "weight_class"),
        certified_on=word_or_empty(held, "certified_on"),
        due_on=word_or_empty(held, "due_on"),
    )


def _step(held: Body) -> CheckStep:
    return CheckStep(
        step=word(held, "step"),
        indicated_mg=integer(held, "indicated_mg"),
        load_ug=integer(held, "load_ug"),
        weight=word_or_empty(held, "weight"),
        where=word_or_empty(held, "where"),
    )


def _finding(held: Body) -> CheckFinding:
    return CheckFinding(
        subject=word(held, "subject"),
        is_good=integer(held, "is_good") == 1,
        text=word(held, "text"),
        load_ug=integer(held, "load_ug"),
        error_ug=integer(held, "error_ug"),
        limit_ug=integer(held, "limit_ug"),
    )
