"""The three rules for a packer's own control, over all that was packed."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from weighstation.errors import NotEnoughDataError
from weighstation.quantity.checked import exact_g, exact_weights_g
from weighstation.quantity.deficiency import exact_deficiency
from weighstation.quantity.rule_file import rule_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from weighstation.quantity.rule import QuantityRule


@dataclass(frozen=True, slots=True)
class PackersRules:
    """Whether each of the three is kept.

    Parameters
    ----------
    mean_ok : bool
        The mean is not below the nominal quantity.
    t1_ok : bool
        No more than the rule's share is short by more than T.
    t2_ok : bool
        None is short by more than the rule's outer limit.
    mean_g : float, grams
    count_t1, count_t2 : int
    share_t1 : float
    """

    mean_ok: bool
    t1_ok: bool
    t2_ok: bool
    mean_g: float
    count_t1: int
    count_t2: int
    share_t1: float


def packers_rules(
    weights_g: Iterable[float], *, nominal_g: float, rule: str | QuantityRule
) -> PackersRules:
    """Return whether a packer's three rules are kept by what was weighed.

    Parameters
    ----------
    weights_g : (n,) iterable of float, grams
    nominal_g : float, grams
    rule : str or QuantityRule

    Returns
    -------
    PackersRules

    Raises
    ------
    NotEnoughDataError
        If there is no weight.
    SpecificationError
        If a number makes no sense, or the rule is unknown.

    Notes
    -----
    76/211/EEC annex I 1.1 to 1.3 (read). Where the rule has no share, none may be short.

    Examples
    --------
    >>> found = packers_rules([400, 401, 399, 400], nominal_g=400, rule="eu-76-211")
    >>> found.mean_ok, found.t1_ok, found.t2_ok
    (True, True, True)
    """
    known = rule_of(rule)
    weights = exact_weights_g(weights_g)
    if not weights:
        raise NotEnoughDataError("The packer's rules need at least 1 weight.", have=0, need=1)
    nominal = exact_g(nominal_g, "A nominal quantity")
    deficiency = exact_deficiency(nominal, known)
    mean = sum(weights, Fraction()) / len(weights)
    t1 = sum(each < nominal - deficiency for each in weights)
    outer = None if known.t2_times is None else nominal - known.t2_times * deficiency
    t2 = 0 if outer is None else sum(each < outer for each in weights)
    return PackersRules(
        mean_ok=mean >= nominal,
        t1_ok=Fraction(t1, len(weights)) <= (known.t1_share or 0),
        t2_ok=t2 == 0,
        mean_g=float(mean),
        count_t1=t1,
        count_t2=t2,
        share_t1=t1 / len(weights),
    )
