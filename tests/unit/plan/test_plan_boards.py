"""Boards are a fold over facts: each piece lies on one of them, and no impossible order passes."""

from __future__ import annotations

import math
from functools import reduce

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import SpecificationError
from weighstation.plan import (
    BoardClosed,
    BoardFact,
    BoardOpened,
    Boards,
    BoardToBench,
    OvenIn,
    OvenOut,
    PieceBoarded,
    PieceVoided,
    Stage,
)


def cut(number: int, run: str = "") -> PieceBoarded:
    """Return a piece of a steady hand: one in ten seconds."""
    return PieceBoarded(number, 10.0 * number, run)


def folded(*facts: BoardFact, places: int = 3) -> Boards:
    return reduce(Boards.after, facts, Boards(places=places))


def laid(pieces: int, *, places: int = 3) -> Boards:
    return folded(*map(cut, range(1, pieces + 1)), places=places)


def numbers(boards: Boards) -> list[list[int]]:
    return [[piece.number for piece in board.pieces] for board in boards.boards]


def stages(boards: Boards) -> list[Stage]:
    return [board.stage for board in boards.boards]


def test_pieces_fill_one_board_after_another() -> None:
    boards = laid(7)

    assert [[1, 2, 3], [4, 5, 6], [7]] == numbers(boards)
    assert [Stage.CLOSED, Stage.CLOSED, Stage.FILLING] == stages(boards)
    assert 2 == boards.board_of(6).number
    assert 3 == boards.board(3).number
    assert boards.filling is boards.boards[2]


def test_a_piece_has_its_board_its_place_and_the_time_of_its_cut() -> None:
    board = laid(7).board_of(5)
    piece = board.pieces[1]

    assert (2, 2, 50.0) == (board.number, piece.place, piece.cut_s)
    assert board.oldest is not None
    assert board.newest is not None
    assert (4, 6) == (board.oldest.number, board.newest.number)


def test_a_board_is_closed_early_by_a_key() -> None:
    boards = folded(cut(1), cut(2), BoardClosed(1), cut(3))

    assert [[1, 2], [3]] == numbers(boards)
    assert [Stage.CLOSED, Stage.FILLING] == stages(boards)


def test_a_board_goes_to_the_bench_into_the_oven_and_out_of_it() -> None:
    seen = []
    boards = laid(3)
    for fact in (BoardToBench(1, 700.0), OvenIn(1, 4000.0), OvenOut(1, 5800.0)):
        boards = boards.after(fact)
        seen += stages(boards)

    assert [Stage.AT_BENCH, Stage.IN_OVEN, Stage.OUT] == seen
    done = boards.board(1)
    assert (700.0, 4000.0, 5800.0) == (done.bench_s, done.oven_in_s, done.oven_out_s)


def test_shaping_or_baking_what_is_filling_closes_it() -> None:
    """The last board of a dough is seldom full, and some goods are baked as they were cut."""
    shaped = folded(cut(1), BoardToBench(1, 700.0), cut(2))
    baked = folded(cut(1), OvenIn(1, 700.0), cut(2))

    assert [Stage.AT_BENCH, Stage.FILLING] == stages(shaped)
    assert [Stage.IN_OVEN, Stage.FILLING] == stages(baked)


def test_a_voided_piece_leaves_its_board_and_its_place_is_taken_again() -> None:
    boards = folded(*map(cut, range(1, 4)), PieceVoided(2), cut(4))

    assert [[1, 3, 4]] == numbers(boards)
    assert 2 == boards.board_of(4).pieces[2].place


def test_of_several_free_places_the_first_is_taken() -> None:
    boards = folded(cut(1), cut(2), cut(3), PieceVoided(2), cut(4), places=6)

    assert [1, 3, 2] == [piece.place for piece in boards.board(1).pieces]


def test_a_piece_voided_from_an_earlier_board_leaves_that_closed() -> None:
    boards = folded(*map(cut, range(1, 6)), PieceVoided(2), cut(6), cut(7))

    assert [[1, 3], [4, 5, 6], [7]] == numbers(boards)
    assert [Stage.CLOSED, Stage.CLOSED, Stage.FILLING] == stages(boards)


def test_a_number_that_was_voided_can_count_again() -> None:
    """As when what was lifted turns out to be something else."""
    boards = folded(cut(1), cut(2), PieceVoided(1), cut(1))

    assert [[2, 1]] == numbers(boards)
    assert boards.boards[0].oldest == boards.boards[0].pieces[1]


def test_an_emptied_board_is_neither_next_nor_in_the_way() -> None:
    boards = folded(cut(1), BoardClosed(1), PieceVoided(1), cut(2))

    assert [[], [2]] == numbers(boards)
    assert () == boards.at(Stage.CLOSED)
    assert [[2]] == numbers(boards.without_baked())


def test_runs_have_numbers_of_their_own() -> None:
    boards = folded(cut(1, "a"), cut(1, "b"), PieceVoided(1, "a"))

    assert 1 == boards.board_of(1, run="b").number
    with pytest.raises(SpecificationError):
        boards.board_of(1, run="a")


def test_another_product_has_other_boards() -> None:
    boards = folded(cut(1), BoardClosed(1), BoardOpened(2), cut(2), cut(3), cut(4))

    assert [[1], [2, 3], [4]] == numbers(boards)
    assert [3, 2, 2] == [board.places for board in boards.boards]


def test_an_empty_board_that_is_laid_out_can_still_change_its_places() -> None:
    boards = folded(BoardOpened(5), BoardOpened(1), cut(1), cut(2), cut(3))

    assert [[1], [2], [3]] == numbers(boards)


def test_first_in_first_out_goes_by_the_oldest_piece() -> None:
    """A piece that is counted late, with the time when it was cut, makes its board the first."""
    boards = folded(*map(cut, range(4, 10)), PieceVoided(9), PieceBoarded(3, 30.0))

    assert [2, 1] == [board.number for board in boards.at(Stage.CLOSED)]


def test_what_is_baked_can_be_left_behind() -> None:
    all_boards = folded(*map(cut, range(1, 7)), OvenIn(1, 900.0), OvenOut(1, 2700.0))
    boards = all_boards.without_baked()

    assert [2] == [board.number for board in boards.boards]
    assert 3 == boards.after(cut(7)).board_of(7).number


OPENED = (cut(1), cut(2), cut(3), cut(4))


@pytest.mark.parametrize(
    ("facts", "sentence"),
    [
        ([OvenOut(1, 900.0)], "Board 1 is closed, and only one in the oven comes out."),
        ([OvenIn(7, 900.0)], "There is no board 7. In use are 1, 2."),
        ([BoardClosed(7)], "There is no board 7. In use are 1, 2."),
        ([BoardToBench(1, 700.0)] * 2, "Board 1 is at the bench already."),
        ([OvenIn(1, 700.0), BoardToBench(1, 800.0)], "Board 1 is in the oven already."),
        ([OvenIn(1, 700.0), OvenIn(1, 800.0)], "Board 1 is in the oven already."),
        ([BoardToBench(1, 29.0)], "Board 1 cannot move on 1 s before its last piece was cut."),
        (
            [BoardToBench(1, 700.0), OvenIn(1, 600.0)],
            "Board 1 cannot move on 100 s before its shaping began.",
        ),
        (
            [OvenIn(1, 700.0), OvenOut(1, 600.0)],
            "Board 1 cannot move on 100 s before it went into the oven.",
        ),
        ([OvenIn(1, 700.0), OvenOut(1, 800.0), OvenOut(1, 800.0)], "Board 1 is out of the oven"),
        ([OvenIn(1, 700.0), OvenOut(1, 800.0), OvenIn(1, 900.0)], "Board 1 is out of the oven"),
        ([BoardClosed(1)], "Board 1 is closed already."),
        ([PieceVoided(4), BoardClosed(2)], "Board 2 is empty."),
        ([PieceVoided(4), OvenIn(2, 900.0)], "Board 2 carries no piece."),
        ([cut(2)], "Piece 2 lies on board 1 already."),
        ([PieceVoided(9)], "Piece 9 lies on no board."),
        ([PieceVoided(2), PieceVoided(2)], "Piece 2 lies on no board."),
        ([BoardOpened(4)], "Board 2 is still filling."),
        ([BoardClosed(2), BoardOpened(0)], "A board has a whole number of places"),
        ([OvenIn(1, math.nan)], "A time is a finite number of seconds, not nan."),
        ([PieceBoarded(5, math.inf)], "A time is a finite number of seconds, not inf."),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(facts: list[BoardFact], sentence: str) -> None:
    boards = folded(*OPENED, *facts[:-1])
    before = repr(boards)

    with pytest.raises(SpecificationError) as refused:
        boards.after(facts[-1])

    assert refused.value.sentence.startswith(sentence)
    assert refused.value.hint
    assert before == repr(boards)


@pytest.mark.parametrize("places", [0, -1, 1001, 2.5])
def test_boards_have_places(places: int) -> None:
    with pytest.raises(SpecificationError):
        Boards(places=places)


def test_no_board_is_known_before_the_first_piece() -> None:
    with pytest.raises(SpecificationError, match="no board 1") as refused:
        Boards(places=3).board(1)

    assert "the first piece opens one" in refused.value.hint


boards_of_any_kind = st.integers(1, 6)
pieces_of_any_kind = st.integers(1, 12)
times_s = st.integers(0, 200).map(float)
any_fact = st.one_of(
    st.builds(PieceBoarded, pieces_of_any_kind, times_s, st.sampled_from(["a", "b"])),
    st.builds(PieceBoarded, pieces_of_any_kind, times_s, st.sampled_from(["a", "b"])),
    st.builds(PieceVoided, pieces_of_any_kind, st.sampled_from(["a", "b"])),
    st.builds(BoardOpened, st.integers(1, 4)),
    st.builds(BoardClosed, boards_of_any_kind),
    st.builds(BoardToBench, boards_of_any_kind, times_s),
    st.builds(OvenIn, boards_of_any_kind, times_s),
    st.builds(OvenOut, boards_of_any_kind, times_s),
)


def taken(boards: Boards, facts: list[BoardFact]) -> tuple[Boards, list[BoardFact]]:
    """Return the boards after the facts that were not refused, and these."""
    good = []
    for fact in facts:
        try:
            boards = boards.after(fact)
        except SpecificationError:
            continue
        good.append(fact)
    return boards, good


@given(st.lists(any_fact, max_size=60), st.integers(1, 4))
def test_every_kept_piece_is_on_exactly_one_board(facts: list[BoardFact], places: int) -> None:
    """The account beside it knows only what was kept and what was voided."""
    boards, good = taken(Boards(places=places), facts)
    counted: dict[tuple[str, int], float] = {}
    for fact in good:
        if isinstance(fact, PieceBoarded):
            counted[fact.run, fact.number] = fact.cut_s
        if isinstance(fact, PieceVoided):
            del counted[fact.run, fact.number]
    lying = [piece for board in boards.boards for piece in board.pieces]

    assert len(lying) == len(counted)
    assert counted == {(piece.run, piece.number): piece.cut_s for piece in lying}


@given(st.lists(any_fact, max_size=60), st.integers(1, 4))
def test_boards_are_never_too_full_and_only_the_newest_fills(
    facts: list[BoardFact], places: int
) -> None:
    boards, _ = taken(Boards(places=places), facts)
    for board in boards.boards:
        held = [piece.place for piece in board.pieces]

        assert len(set(held)) == len(held)
        assert set(held) <= set(range(1, board.places + 1))
    assert Stage.FILLING not in stages(boards)[:-1]
    assert list(range(1, boards.opened + 1)) == [board.number for board in boards.boards]


@given(st.lists(any_fact, max_size=60), st.integers(0, 60))
def test_a_fold_is_that_of_any_prefix_continued_as_often_as_one_likes(
    facts: list[BoardFact], middle: int
) -> None:
    whole, good = taken(Boards(places=3), facts)
    prefix = folded(*good[:middle])
    before = repr(prefix)
    first = reduce(Boards.after, good[middle:], prefix)
    second = reduce(Boards.after, good[middle:], prefix)

    assert whole == first == second
    assert before == repr(prefix)


@given(st.lists(any_fact, max_size=60), st.integers(0, 60))
def test_boards_left_behind_change_nothing_for_the_others(
    facts: list[BoardFact], middle: int
) -> None:
    begun, _ = taken(Boards(places=2), facts[:middle])
    held = begun.without_baked()
    gone = {b.number for b in begun.boards} - {b.number for b in held.boards}
    pieces = {(p.run, p.number) for b in begun.boards if b.number in gone for p in b.pieces}
    rest = [
        fact
        for fact in facts[middle:]
        if getattr(fact, "board", None) not in gone
        and (getattr(fact, "run", ""), getattr(fact, "number", 0)) not in pieces
    ]
    whole, _ = taken(begun, rest)
    fewer, _ = taken(held, rest)

    assert [board for board in whole.boards if board.number not in gone] == list(fewer.boards)


def test_the_next_board_is_the_empty_one_or_a_new_one() -> None:
    fresh = Boards(2)
    laid = fresh.after(PieceBoarded(1, 0.0))
    emptied = laid.after(PieceVoided(1))

    assert (1, 2, 1) == (fresh.next_number, laid.next_number, emptied.next_number)


def test_the_newest_boards_are_those_that_carry_so_many_pieces() -> None:
    pieces = [PieceBoarded(number, float(number)) for number in range(1, 8)]
    morning = reduce(Boards.after, pieces, Boards(2))
    kept = morning.newest(5)

    assert [2, 3, 4] == [board.number for board in kept.boards]
    assert 4 == kept.opened
    assert morning is morning.newest(7)
    assert [4] == [board.number for board in morning.newest(0).boards]
