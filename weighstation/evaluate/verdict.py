"""What a weight means against the band: integers only, both limits belong to the band."""

from __future__ import annotations

from typing import TYPE_CHECKING

from weighstation.events import Verdict

if TYPE_CHECKING:
    from weighstation.specification import Limits

MOST_EXTRA_BITS = 2


def two_at_once_from_mg(limits: Limits) -> int:
    """Return the least load that is taken for more than one piece.

    Parameters
    ----------
    limits : Limits

    Returns
    -------
    int, milligrams
        Twice the scaling weight, less a quarter of it or twice the lower limit, whichever is
        more; always above one and a half times the scaling weight, which is still one fat piece.

    Notes
    -----
    Two pieces that are each in band weigh at least ``2 * (target - under)``. First cuts spread by
    2 to 4 % of the scaling weight (skilled) or 8 to 12 % (learner; common practice, no source),
    so two of a learner's first cuts of 10 % spread reach the quarter in 96 % of cases, and a
    single cut does not come near it.

    Examples
    --------
    >>> from weighstation.specification import Limits
    >>> two_at_once_from_mg(Limits(740_000, 8_000, 8_000))
    1295000
    """
    twice_mg = 2 * limits.target_mg
    short_by_mg = max(2 * limits.under_mg, limits.target_mg // 4)
    return max(twice_mg - short_by_mg, 3 * limits.target_mg // 2 + 1)


def is_two_at_once(net_mg: int, limits: Limits) -> bool:
    """Say whether a load is more than one piece.

    Parameters
    ----------
    net_mg : int, milligrams
    limits : Limits

    Returns
    -------
    bool
        A load in band never is.
    """
    out_of_band = net_mg > limits.target_mg + limits.over_mg
    return out_of_band and net_mg >= two_at_once_from_mg(limits)


def judge(net_mg: int, limits: Limits) -> Verdict:
    """Return what to do with a load.

    Parameters
    ----------
    net_mg : int, milligrams
    limits : Limits

    Returns
    -------
    Verdict
        However light the load, it is ADD; from ``two_at_once_from_mg`` it is ONE_AT_A_TIME.

    Examples
    --------
    >>> from weighstation.specification import Limits
    >>> limits = Limits(740_000, 8_000, 12_000)
    >>> [judge(mg, limits).value for mg in (731_999, 732_000, 752_000, 752_001, 1_480_000)]
    ['add', 'keep', 'keep', 'trim', 'one_at_a_time']
    """
    if net_mg < limits.target_mg - limits.under_mg:
        return Verdict.ADD
    if net_mg <= limits.target_mg + limits.over_mg:
        return Verdict.KEEP
    return Verdict.ONE_AT_A_TIME if is_two_at_once(net_mg, limits) else Verdict.TRIM
