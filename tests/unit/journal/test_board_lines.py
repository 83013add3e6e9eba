"""What is said about boards, on the record and back."""

from __future__ import annotations

import pytest

from weighstation.errors import JournalError
from weighstation.journal import (
    BoardStage,
    board_closed,
    board_moved,
    board_opened,
    body_text,
    read_stage,
)


def test_a_board_is_opened_with_its_number_and_its_places() -> None:
    assert '{"board":3,"places":12,"run":"r1","v":1}' == body_text(board_opened(3, 12, run="r1"))


def test_a_board_is_closed_by_its_number() -> None:
    assert '{"board":3,"run":"r1","v":1}' == body_text(board_closed(3, run="r1"))


@pytest.mark.parametrize("stage", BoardStage)
def test_a_board_is_moved_to_a_stage_at_a_time_of_the_run(stage: BoardStage) -> None:
    body = board_moved(3, stage, run="r1", at_ms=754_200)

    assert (3, "r1", 754_200) == (body["board"], body["run"], body["at_ms"])
    assert stage is read_stage(body)
    assert body_text(body)


def test_the_stages_on_the_record_never_change() -> None:
    assert ["at_bench", "in_oven", "out_of_oven"] == [stage.value for stage in BoardStage]


def test_between_two_batches_there_is_no_run_to_name() -> None:
    assert {"board": 3, "stage": "in_oven"} == board_moved(3, BoardStage.IN_OVEN)
    assert {"board": 3} == board_closed(3)


@pytest.mark.parametrize("broken", [{}, {"stage": 2}, {"stage": "on the floor"}])
def test_a_stage_that_is_not_known_is_refused(broken: dict[str, int | str]) -> None:
    with pytest.raises(JournalError, match="'stage'"):
        read_stage(broken)
