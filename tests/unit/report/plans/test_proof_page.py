"""The page of a proof."""

from __future__ import annotations

import pytest

from weighstation.plan import ProofNeeded, TemperatureLog, ready_times
from weighstation.report.plans.proof import ProofPlan, proof_page, proof_record

NEEDED = ProofNeeded(60, 26)


def proved(minutes: tuple[float, ...], temps_c: tuple[float, ...], ahead_c: float) -> ProofPlan:
    log = TemperatureLog(minutes, temps_c)
    (ready,) = ready_times({1: minutes[0]}, log=log, needed=NEEDED, ahead_c=ahead_c)
    return ProofPlan("Loaf", NEEDED, log, ahead_c, ready)


@pytest.mark.parametrize(
    ("plan", "said"),
    [
        (proved((0, 30), (26, 26), 26), "Loaf is ready in 30 min (30 to 30), if it stays as warm."),
        (proved((0, 90), (26, 26), 26), "Loaf has been ready for 30 min: look at it now."),
        (proved((0, 30), (26, 4), 4), "Loaf stands still in the cold, 17 % proved."),
    ],
)
def test_the_conclusion_is_about_the_product(plan: ProofPlan, said: str) -> None:
    assert said == proof_page(plan).conclusion


def test_a_dough_that_never_is_ready_is_null() -> None:
    record = proof_record(proved((0, 30), (26, 4), 4))

    assert (None, None, None) == tuple(
        record[key] for key in ("ready_min", "earliest_min", "latest_min")
    )
    assert 10 == record["done_min"]


def test_a_cold_middle_is_warned_of() -> None:
    cold, warm = proved((0, 30), (26, 10), 26), proved((0, 30), (26, 26), 26)

    assert any("has 10 C" in caution for caution in proof_page(cold).cautions)
    assert not any("pass 16 C" in caution for caution in proof_page(warm).cautions)
