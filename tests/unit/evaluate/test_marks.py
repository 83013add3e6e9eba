"""Which piece the next loaf is: in order, or as somebody says, and none twice."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from weighstation.evaluate import Marks


def taken(marks: Marks, loaves: int) -> list[int | None]:
    return [marks.take(number) for number in range(1, loaves + 1)]


def test_in_order_each_piece_is_taken_once_and_then_none() -> None:
    assert [3, 7, 12, None] == taken(Marks(range(1, 13), order=(3, 7, 12)), 4)


def test_without_an_order_no_loaf_has_a_mark() -> None:
    assert [None, None] == taken(Marks(range(1, 13)), 2)


def test_what_is_said_comes_next_and_the_order_goes_on_after_it() -> None:
    marks = Marks(range(1, 10), order=range(1, 10))
    first = marks.take(1)
    fault = marks.say(5)

    assert ("", 1) == (fault, first)
    assert [5, 6] == [marks.next, (marks.take(2), marks.next)[1]]


def test_what_is_said_outside_the_order_leaves_the_order_where_it_is() -> None:
    marks = Marks(range(1, 10), order=(1, 2))
    marks.say(7)

    assert [7, 1, 2] == taken(marks, 3)


def test_a_piece_that_is_none_and_one_that_is_marked_are_refused() -> None:
    marks = Marks(range(1, 10), {4: 2})

    assert "There is no piece 99 that counts in this batch." == marks.say(99)
    assert "Piece 4 is marked already: it was loaf 2." == marks.say(4)


def test_after_a_refusal_the_next_loaf_has_no_mark_until_another_is_said() -> None:
    """Not that of the order either: the person said that it is another."""
    marks = Marks(range(1, 10), order=(1, 2))
    marks.say(99)
    refused = marks.next
    marks.unsay()

    assert (None, 1) == (refused, marks.next)


def test_a_piece_that_is_given_back_is_the_next_one_again() -> None:
    marks = Marks(range(1, 10), order=(1, 2, 3))
    taken(marks, 2)
    marks.give_back(2)

    assert [2, 3, None] == taken(marks, 3)


def test_pieces_that_are_marked_before_are_passed_over() -> None:
    assert [1, 4] == taken(Marks(range(1, 5), {2: 1, 3: 2}, range(1, 5)), 2)


@given(st.lists(st.integers(1, 12), max_size=30), st.booleans())
def test_no_piece_is_given_twice(said: list[int], has_order: bool) -> None:
    marks = Marks(range(1, 11), order=range(1, 11) if has_order else ())
    given_out = []
    for number, piece in enumerate(said, start=1):
        marks.say(piece)
        given_out.append(marks.take(number))
    pieces = [piece for piece in given_out if piece is not None]

    assert len(pieces) == len(set(pieces))
    assert set(pieces) <= set(range(1, 11))
