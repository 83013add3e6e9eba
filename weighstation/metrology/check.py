"""Judge a check: what the scale showed with known loads -> findings, and fit or not."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from itertools import groupby
from typing import TYPE_CHECKING

from weighstation.errors import NotEnoughDataError, SpecificationError
from weighstation.metrology.check_weights import SHARE_OF_LIMIT, weight_suits
from weighstation.metrology.limits import plain_grams
from weighstation.quantities import decimals

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from weighstation.metrology.limits import ScaleLimits


class Step(Enum):
    """What was done in one step of a check."""

    ZERO = "zero"
    """The pan is empty, before a load."""
    LOAD = "load"
    """A load in the middle of the pan; the same load again, lifted between, is a repetition."""
    CORNER = "corner"
    """A load off the middle."""
    RETURN = "return"
    """The pan is empty again, after a load."""


@dataclass(frozen=True, slots=True)
class Shown:
    """What the scale showed in one step.

    Parameters
    ----------
    step : Step
    indicated_g : Fraction, grams
    load_g : Fraction, grams
        What lay on the pan.
    weight_error_g : Fraction, grams
        By how much that may be wrong.
    where : str
        Which corner.
    """

    step: Step
    indicated_g: Fraction
    load_g: Fraction = Fraction()
    weight_error_g: Fraction = Fraction()
    where: str = ""


class Subject(Enum):
    """What a finding is about."""

    ZERO = "zero"
    LOAD = "load"
    REPEATABILITY = "repeatability"
    CORNERS = "corners"
    RETURN = "return"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that was looked at.

    Parameters
    ----------
    subject : Subject
    good : bool
    text : str
        One plain sentence.
    load_g : Fraction, grams
    error_g : Fraction, grams
        Sign kept; of repeatability, greatest less least.
    limit_g : Fraction, grams
        The limit belongs to what is allowed.
    close : bool
        Good as shown, but rounding hides whether the scale is within its limit.
    """

    subject: Subject
    good: bool
    text: str
    load_g: Fraction
    error_g: Fraction
    limit_g: Fraction
    close: bool = False


@dataclass(frozen=True, slots=True)
class Judgement:
    """What a check says of a scale.

    Parameters
    ----------
    findings : (n,) tuple of Finding
    """

    findings: tuple[Finding, ...]

    @property
    def is_fit(self) -> bool:
        """Whether nothing was found wrong."""
        return all(finding.good for finding in self.findings)

    @property
    def text(self) -> str:
        """The verdict in one plain sentence."""
        wrong = [finding for finding in self.findings if not finding.good]
        if wrong:
            count = "One thing is" if len(wrong) == 1 else f"{len(wrong)} things are"
            return f"The scale is not fit: {count} beyond the limit."
        if any(finding.close for finding in self.findings):
            return (
                "The scale is fit as far as its display shows; at the limit the division hides the"
                " rest, so let it be looked at soon."
            )
        return "The scale is fit."


def judge(shown: Sequence[Shown], *, limits: ScaleLimits) -> Judgement:
    """Return what a check says of a scale.

    Parameters
    ----------
    shown : (n,) sequence of Shown
        In the order it was done: an empty pan first, then at least one load.
    limits : ScaleLimits

    Returns
    -------
    Judgement

    Raises
    ------
    NotEnoughDataError
        If there is no load, or no empty pan before the first.
    SpecificationError
        If a weight is not sure enough, or heavier than Max.

    Notes
    -----
    A load's error is what is shown, less what the empty pan showed before it, less the load.
    Errors within limits: OIML R 76-1:2006, 3.5; repeatability, greatest less least, 3.6.1;
    corners, 3.6.2; zero, 4.5.2 (from memory). A standard frees the indication of its rounding
    first; here what is shown is judged, and what rounding may hide is said as `close`. The pan
    emptied again, at its worst, is held against the limit at no load.
    """
    if not shown or shown[0].step is not Step.ZERO:
        raise NotEnoughDataError("A check begins with an empty pan.", have=0, need=1)
    loads = [one for one in shown if one.step in (Step.LOAD, Step.CORNER)]
    if not loads:
        raise NotEnoughDataError("A check needs at least one load.", have=0, need=1)
    for one in loads:
        check_weight_suits(one.load_g, one.weight_error_g, limits=limits)
    errors = _errors(shown)
    findings = [_zero(one, limits) for one in shown if one.step is Step.ZERO]
    findings += _loads([pair for pair in errors if pair[0].step is Step.LOAD], limits)
    findings += _corners([pair for pair in errors if pair[0].step is Step.CORNER], limits)
    back = [one.indicated_g - shown[0].indicated_g for one in shown if one.step is Step.RETURN]
    findings += [_returned(max(back, key=abs), limits)] if back else []
    return Judgement(tuple(findings))


def check_weight_suits(load_g: Fraction, error_g: Fraction, *, limits: ScaleLimits) -> None:
    """Refuse a load that cannot judge the scale, before or after it was weighed.

    Parameters
    ----------
    load_g : Fraction, grams
    error_g : Fraction, grams
        By how much the load may be wrong.
    limits : ScaleLimits

    Raises
    ------
    SpecificationError
        If that is more than a third of the limit, or the load is more than Max or less than Min.
    """
    limit = limits.at(load_g)
    if load_g < limits.least_load_g:
        raise SpecificationError(
            f"{plain_grams(load_g)} g is too little to check this scale with: take"
            f" {plain_grams(limits.least_load_g)} g or more."
        )
    if not weight_suits(error_g, limit_g=limit):
        raise SpecificationError(
            f"{plain_grams(load_g)} g of weights may be {plain_grams(error_g)} g wrong, and only"
            f" {float(limit * SHARE_OF_LIMIT):.3g} g, a third of the limit, will do: take a"
            " better weight."
        )


_Erring = tuple[Shown, Fraction]


def _errors(shown: Sequence[Shown]) -> list[_Erring]:
    """Return each loaded step with its error against the empty pan before it."""
    zero = Fraction()
    errors = []
    for one in shown:
        if one.step in (Step.ZERO, Step.RETURN):
            zero = one.indicated_g
        else:
            errors.append((one, one.indicated_g - zero - one.load_g))
    return errors


def _zero(one: Shown, limits: ScaleLimits) -> Finding:
    good = abs(one.indicated_g) <= limits.zero_g
    said = f"Empty, the scale shows {_shown(one.indicated_g, limits)} g"
    text = f"{said}." if good else f"{said}: clean the pan, press its zero key and check again."
    return Finding(Subject.ZERO, good, text, Fraction(), one.indicated_g, limits.zero_g)


def _returned(left: Fraction, limits: ScaleLimits) -> Finding:
    limit = limits.at(Fraction())
    good = abs(left) <= limit
    text = (
        f"Emptied again, it is {_signed(left, limits)} g off where it began;"
        f" {_allowed(limit, good=good)}."
    )
    if not left:
        text = "Emptied again, it shows what it showed before."
    return Finding(Subject.RETURN, good, text, Fraction(), left, limit)


def _loads(errors: Sequence[_Erring], limits: ScaleLimits) -> list[Finding]:
    """Return a finding for each load, and one for its repetitions where there are."""
    findings = []
    in_order = sorted(errors, key=_load_of)
    for load, group in groupby(in_order, key=_load_of):
        same = list(group)
        findings.append(_load(load, same, limits))
        if len(same) > 1:
            findings.append(_repeatability(load, [one for one, _ in same], same, limits))
    return findings


def _load_of(erring: _Erring) -> Fraction:
    return erring[0].load_g


def _worst(errors: Iterable[_Erring]) -> _Erring:
    return max(errors, key=lambda pair: abs(pair[1]))


def _load(load: Fraction, same: Sequence[_Erring], limits: ScaleLimits) -> Finding:
    one, error = _worst(same)
    said = f"{plain_grams(load)} g in the middle: shows {_shown(one.indicated_g, limits)} g"
    return _held(Subject.LOAD, said, load, error, limits)


def _corners(errors: Sequence[_Erring], limits: ScaleLimits) -> list[Finding]:
    if not errors:
        return []
    one, error = _worst(errors)
    worst = f"{plain_grams(one.load_g)} g at {len(errors)} corners, worst {one.where}"
    said = f"{worst}: shows {_shown(one.indicated_g, limits)} g"
    return [_held(Subject.CORNERS, said, one.load_g, error, limits)]


def _held(
    subject: Subject, said: str, load: Fraction, error: Fraction, limits: ScaleLimits
) -> Finding:
    limit = limits.at(load)
    good = abs(error) <= limit
    half = Fraction(limits.division_g) / 2
    text = f"{said}, {_signed(error, limits)} g; {_allowed(limit, good=good)}."
    if not error:
        text = f"{said}."
    return Finding(
        subject, good, text, load, error, limit, close=good and abs(error) + half > limit
    )


def _repeatability(
    load: Fraction, same: Sequence[Shown], errors: Sequence[_Erring], limits: ScaleLimits
) -> Finding:
    limit = limits.at(load)
    only = [error for _, error in errors]
    apart = max(only) - min(only)
    good = apart <= limit
    values = ", ".join(_shown(one.indicated_g, limits) for one in same)
    text = f"{plain_grams(load)} g {len(same)} times: {values} g, {plain_grams(apart)} g apart"
    return Finding(
        Subject.REPEATABILITY, good, f"{text}; {_allowed(limit, good=good)}.", load, apart, limit
    )


def _allowed(limit: Fraction, *, good: bool) -> str:
    verb = "is" if limit == 1 else "are"
    return f"{'' if good else 'only '}{plain_grams(limit)} g {verb} allowed"


def _shown(mass: Fraction, limits: ScaleLimits) -> str:
    return f"{float(mass):.{_places(limits)}f}".replace("-", "\N{MINUS SIGN}")


def _signed(mass: Fraction, limits: ScaleLimits) -> str:
    """Return a difference with its sign, with more digits than the display's where it has them."""
    places = _places(limits)
    exact = f"{float(mass):+.{places}f}" if mass * 10**places % 1 == 0 else f"{float(mass):+.10g}"
    return exact.replace("-", "\N{MINUS SIGN}")


def _places(limits: ScaleLimits) -> int:
    return decimals(round(Fraction(limits.division_g) * 1000) or 1)
