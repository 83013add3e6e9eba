"""The text form of a body."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from weighstation.errors import JournalError, SchemaTooNewError
from weighstation.journal import body_text, read_body

if TYPE_CHECKING:
    from weighstation.journal import Body


def test_a_body_is_written_with_sorted_keys_and_its_version() -> None:
    body: Body = {"run": "r1", "final_mg": 741_000, "parts": [{"b": 2, "a": "Köln"}]}

    assert '{"final_mg":741000,"parts":[{"a":"Köln","b":2}],"run":"r1","v":1}' == body_text(body)


def test_a_body_stays_on_one_line() -> None:
    """The digest joins by newlines, so no part may hold one."""
    assert "\n" not in body_text({"text": "two\nlines\u2028"})


def test_what_goes_in_comes_out() -> None:
    body: Body = {"about": 7, "text": 'a "quoted" note \\ of ours', "v": 1}

    assert body == read_body(body_text(body))


@pytest.mark.parametrize(
    ("body", "says"),
    [
        ({"mean_g": 741.2}, "body.mean_g is a float"),
        ({"division_mg": None}, "body.division_mg is a NoneType"),
        ({"firm": True}, "body.firm is a bool"),
        ({"parts": [1, [2.0]]}, r"body.parts\[1\]\[0\] is a float"),
        ({"part": {"deep": 0.5}}, "body.part.deep is a float"),
        ({"sum": 2**63}, "body.sum is larger"),
        ({"text": "\ud800"}, "valid Unicode"),
        ({1: "one"}, "names its parts by text"),
    ],
)
def test_anything_but_integers_and_text_is_refused(body: Any, says: str) -> None:
    with pytest.raises(JournalError, match=says):
        body_text(body)


@pytest.mark.parametrize("text", ["", "{", "[1]", "{}", '{"v":"1"}', '{"v":1.5}', '{"v":NaN}'])
def test_a_text_that_is_no_body_is_refused(text: str) -> None:
    with pytest.raises(JournalError):
        read_body(text)


def test_a_body_of_a_newer_version_is_refused_by_name() -> None:
    with pytest.raises(SchemaTooNewError, match="newer weighstation"):
        read_body('{"v":2}')
