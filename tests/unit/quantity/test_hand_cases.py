"""Lots worked out by hand from the texts, with the factors as they are printed.

Half of the pieces weigh one weight and half another, so the mean is their middle and s half their
distance times root n / (n - 1). Factors: 76/211/EEC annex II 2.3.3 (read), R 87 as copied in
reg. 4.34 (read), NIST HB 133 table 2-1 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from weighstation.quantity import judge_lot, least_aim


@dataclass(frozen=True)
class Case:
    """A lot, and what the text says of its mean."""

    rule: str
    plan: str
    lot: int
    n: int
    light_g: float
    heavy_g: float
    least_g: float
    mean_ok: bool


CASES = [
    # s = 2.4 x 1.010153 = 2.424366, k = 0.379: 800 - 0.918835
    Case("eu-76-211", "single", 100, 50, 797.0, 801.8, 799.0812, True),
    Case("eu-76-211", "single", 500, 50, 796.6, 801.4, 799.0812, False),
    # s = 2.4 x 1.017095 = 2.441028, k = 0.503: 800 - 1.227837
    Case("eu-76-211", "double", 500, 30, 796.9, 801.7, 798.7722, True),
    Case("eu-76-211", "double", 100, 30, 796.2, 801.0, 798.7722, False),
    # s = 2.4 x 1.010153, k = 0.379
    Case("eu-76-211", "double", 501, 50, 796.6, 801.4, 799.0812, False),
    # s = 3 x 1.025978 = 3.077935, k = 0.640: 800 - 1.969878
    Case("eu-76-211", "destructive", 9000, 20, 795.5, 801.5, 798.0301, True),
    Case("eu-76-211", "destructive", 9000, 20, 794.9, 800.9, 798.0301, False),
    # s = 0.8 x 1.006309 = 0.805047, k = 0.295: 800 - 0.237489
    Case("oiml-r87", "single", 3200, 80, 798.9, 800.5, 799.7625, False),
    Case("oiml-r87", "single", 501, 80, 799.0, 800.6, 799.7625, True),
    # s = 2 x 1.044466 = 2.088932, SCF = 0.635: 800 - 1.326472
    Case("nist-hb133", "single", 250, 12, 797.0, 801.0, 798.6735, True),
    # s = 9 x 1.414214 = 12.727922, SCF = 8.985: 800 - 114.360
    Case("nist-hb133", "single", 2, 2, 790.0, 808.0, 685.640, True),
    # a lot below 100 by its plain mean, 4.7
    Case("eu-76-211", "single", 98, 98, 798.9, 801.0, 800.0, False),
]


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.rule}-{case.plan}-{case.n}")
def test_mean_by_hand(case: Case) -> None:
    """Within what rounding a factor to three places makes of the limit."""
    found = judge_lot(
        [case.light_g, case.heavy_g] * (case.n // 2),
        nominal_g=800,
        rule=case.rule,
        lot_size=case.lot,
        plan=case.plan,
    )

    assert case.mean_ok is found.mean_ok
    assert case.least_g == pytest.approx(found.least_mean_g, abs=6e-3)


@pytest.mark.parametrize(
    ("rule", "nominal_g", "weight_g", "t1", "t2"),
    [
        # T = 9 % of 45 = 4.05, up to 4.1: 40.9 and 36.8
        *(("eu-76-211", 45, 40.9, 0, 0), ("eu-76-211", 45, 40.8, 1, 0)),
        *(("eu-76-211", 45, 36.8, 1, 0), ("eu-76-211", 45, 36.7, 1, 1)),
        # T = 15: 485 and 470 (read: the Australian guide's zone of 500 g)
        *(("oiml-r87", 500, 485.0, 0, 0), ("oiml-r87", 500, 484.9, 1, 0)),
        *(("oiml-r87", 500, 470.0, 1, 0), ("oiml-r87", 500, 469.9, 1, 1)),
        # 1.5 % of 1,250 = 18.75: up to 18.8 in Europe, 19 by R 87
        *(("eu-76-211", 1250, 1231.1, 1, 0), ("oiml-r87", 1250, 1231.1, 0, 0)),
        # a variation of 29.0 and no outer limit
        *(("nist-hb133", 800, 771.0, 0, 0), ("nist-hb133", 800, 700.0, 1, 0)),
    ],
)
def test_one_piece_by_hand(rule: str, nominal_g: float, weight_g: float, t1: int, t2: int) -> None:
    n = 12 if rule == "nist-hb133" else 50
    found = judge_lot(
        [weight_g, *[nominal_g + 5] * (n - 1)], nominal_g=nominal_g, rule=rule, lot_size=200
    )

    assert (t1, t2) == (found.count_t1, found.count_t2)
    assert found.passes is (not t2 and t1 <= found.allowed_t1)


@pytest.mark.parametrize(("lot", "allowed"), [(19, 0), (20, 1), (39, 1), (40, 2), (99, 4)])
def test_a_twentieth_of_a_small_lot_may_be_short(lot: int, allowed: int) -> None:
    """SI 2006/659 schedule 2, 3.6 (read): not more than 5 %."""
    for short in (allowed, allowed + 1):
        found = judge_lot(
            [784.0] * short + [830.0] * (lot - short), nominal_g=800, rule="eu-76-211", lot_size=lot
        )

        assert found.passes is (short == allowed)


def test_an_aim_by_hand() -> None:
    """800 + 1.644854 root(64 / 48 + 9) = 805.287; 785 + 1.959964 root 73 = 801.746;
    770 + 3.719016 root 73 = 801.775.
    """
    found = least_aim(800, 8, rule="eu-76-211", batch_size=48, batch_sd_g=3, risk=0.05)

    assert found.aim_g == pytest.approx(805.287, abs=5e-4)
    assert found.by_t1_g == pytest.approx(801.746, abs=5e-4)
    assert found.by_t2_g == pytest.approx(801.775, abs=5e-4)
    assert "mean" == found.binding.value
