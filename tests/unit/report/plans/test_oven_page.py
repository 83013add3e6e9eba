"""The page of an oven."""

from __future__ import annotations

import pytest

from weighstation.plan import Oven, bake_time, oven_loads
from weighstation.report.page.page import Grid
from weighstation.report.page.tables import SheetRow
from weighstation.report.plans.oven import OvenPlan, oven_page, oven_record


def baked(pieces: int, *, cut_every_s: float = 0.0, piece_g: float | None = None) -> OvenPlan:
    oven = Oven(24, 40)
    return OvenPlan(
        product="Loaf",
        pieces=pieces,
        oven=oven,
        proof_min=60,
        cut_every_s=cut_every_s,
        loads=oven_loads(pieces, oven=oven, proof_min=60, cut_every_s=cut_every_s),
        piece_g=piece_g,
        set_g=909.0,
        bake=None if piece_g is None else bake_time(30, usual_g=909, piece_g=piece_g),
    )


def test_each_load_has_its_row() -> None:
    loads = oven_page(baked(50)).parts[1]

    assert isinstance(loads, Grid)
    assert (
        ("1", "1 to 24", "0 min", "0 %", "minute 0"),
        ("2", "25 to 48", "40 min", "67 %", "minute 40"),
        ("3", "49 to 50", "80 min", "133 %", "minute 80"),
    ) == loads.rows


@pytest.mark.parametrize(
    ("plan", "said"),
    [
        (baked(24), "Load 1, pieces 1 to 24, does not wait for the oven."),
        (
            baked(48),
            "Load 2, pieces 25 to 48, waits 40 min for the oven, 67 % of its proof: divide",
        ),
        (
            baked(48, cut_every_s=90),
            "Load 2, pieces 25 to 48, waits 4 min for the oven, 7 % of its",
        ),
    ],
)
def test_the_conclusion_names_what_would_wait_too_long(plan: OvenPlan, said: str) -> None:
    assert oven_page(plan).conclusion.startswith(said)


def test_another_weight_has_its_time() -> None:
    page = oven_page(baked(24, piece_g=999.9))
    record = oven_record(baked(24))

    assert page.conclusion.endswith("A piece of 999.9 g bakes 1.6 to 2.0 min longer than 30 min.")
    assert 3 == len(page.parts)
    assert None is record["bake"]


def test_minutes_and_percents_of_a_light_piece_go_the_same_way() -> None:
    """30 min at 0.55 of the weight: 30 * 0.55**(2/3) and 30 * 0.55**0.55, own arithmetic."""
    bake = oven_page(baked(24, piece_g=499.95)).parts[2]
    row = bake.rows[1]
    assert isinstance(row, SheetRow)

    assert ("20.1 to 21.6 min", "\u221232.9 to \u221228.0 %") == (row.said, row.note)
