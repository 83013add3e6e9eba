"""What a person reads of a line of the journal."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from weighstation.events import LiftedTurned, Piece, TookFor, Verdict
from weighstation.journal import (
    BakedLoaf,
    BoardStage,
    Entry,
    Kind,
    RunStarted,
    baked,
    baked_struck_out,
    board_closed,
    board_moved,
    board_opened,
    codec,
)
from weighstation.journal.entry import body_text
from weighstation.specification import LiftedPolicy, Limits, Product, Way
from weighstation.station.commands.journals.texts import entry_text

if TYPE_CHECKING:
    from weighstation.journal import Body


def piece(number: int, final_g: int) -> Piece:
    return Piece(number, 9.0, 5.0, 768_000, final_g * 1000, 0, Verdict.KEEP)


def said(kind: Kind, body: Body) -> str:
    text = entry_text(Entry("bench", 7, 0, kind, body_text(body), "ab"))
    return text.split(kind.value)[1].strip()


@pytest.mark.parametrize(
    ("took_for", "removes", "adds", "text"),
    [
        (
            TookFor.BOARDED,
            (piece(1, 741),),
            (piece(1, 768), piece(3, 741)),
            "piece 1: boarded; counts 768 g, and piece 3 (741 g) on its own",
        ),
        (TookFor.BOARDED, (), (piece(1, 768),), "piece 1: boarded; counts 768 g"),
        (
            TookFor.CAME_BACK,
            (piece(1, 768), piece(3, 741)),
            (piece(1, 741),),
            "piece 1: brought back; counts 741 g, and piece 3 no longer",
        ),
        (TookFor.CAME_BACK, (piece(1, 768),), (), "piece 1: brought back; is open again"),
    ],
)
def test_a_piece_turned_round_says_what_counts_now(
    took_for: TookFor, removes: tuple[Piece, ...], adds: tuple[Piece, ...], text: str
) -> None:
    turned = LiftedTurned(50.0, 1, took_for, removes, adds)

    assert text == said(Kind.LIFTED_TURNED, codec.lifted_turned("r1", turned, dough_t_s=0.0))


@pytest.mark.parametrize(
    ("product", "text"),
    [("740 g", "run r1: 740 g"), ("Country loaf", "run r1: Country loaf, 740 g")],
)
def test_a_run_says_its_scaling_weight_once(product: str, text: str) -> None:
    started = RunStarted(
        run="r1",
        product=Product(product, Limits(740_000, 8_000, 8_000)),
        way=Way.SINGLE,
        lifted=LiftedPolicy.GUESS,
        scale="replay://",
        software="0.1.0",
    )

    assert text == said(Kind.RUN_STARTED, codec.run_started(started))


@pytest.mark.parametrize(
    ("kind", "body", "text"),
    [
        (Kind.BOARD_OPENED, board_opened(1, 12, run="r1"), "board 1: 12 places"),
        (Kind.BOARD_CLOSED, board_closed(2), "board 2: closed before it was full"),
        (Kind.BOARD_MOVED, board_moved(3, BoardStage.AT_BENCH), "board 3: to the bench"),
        (Kind.BOARD_MOVED, board_moved(3, BoardStage.IN_OVEN), "board 3: into the oven"),
        (Kind.BOARD_MOVED, board_moved(3, BoardStage.OUT), "board 3: out of the oven"),
    ],
)
def test_a_board_says_where_it_is(kind: Kind, body: Body, text: str) -> None:
    assert text == said(kind, body)


def test_a_loaf_says_its_batch_and_its_piece() -> None:
    loaf = BakedLoaf("r1", "Rye", 3, 652_500, "simulated://", "simulated://", "0.1.0", piece=12)

    assert "batch r1, loaf 3: 652.5 g, of piece 12" == said(Kind.BAKED, baked(loaf))
    assert "batch r1, loaf 3: 652.5 g, of piece 12, fell" == said(
        Kind.BAKED, baked_struck_out(loaf, "fell")
    )
