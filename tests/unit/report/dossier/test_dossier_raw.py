"""Raw rows for an outsider, and the words beside them."""

from __future__ import annotations

import csv
import io

import pytest

from weighstation.journal import Entry, Head, Kind
from weighstation.report.dossier import Proof
from weighstation.report.dossier.raw import chain_rows, csv_lines, entry_rows, recipe


def proof(first_line: int) -> Proof:
    return Proof("ab" * 16, "bench", first_line, "cd" * 32, Head(44, "ef" * 32), 0, is_whole=True)


@pytest.mark.parametrize("body", ['{"v":1}', '{"a":"x,\\"y\\"","v":1}', '{"a":"é—日","v":1}'])
def test_a_body_comes_back_byte_for_byte(body: str) -> None:
    entry = Entry('=a,"b', 7, -5, Kind.NOTED, body, "0" * 64)
    text = "".join(csv_lines(entry_rows([entry])))
    names, row = csv.reader(io.StringIO(text, newline=""))

    assert (body, '=a,"b') == (row[names.index("body")], bytes.fromhex(row[1]).decode())
    assert ["7", "-5", "noted"] == [row[names.index(n)] for n in ("seq", "t_utc_ms", "kind")]


def test_the_chain_says_from_where_to_where() -> None:
    names, row = chain_rows(proof(8))

    assert {"first_seq": 8, "prev_digest": "cd" * 32, "last_seq": 44, "head_digest": "ef" * 32} == {
        name: value for name, value in zip(names, row, strict=True) if name != "journal_id"
    }


def test_the_recipe_says_what_is_not_there() -> None:
    from_first, from_later = recipe(proof(1)), recipe(proof(8))

    assert "begin with the first line of the journal" in from_first
    assert "Those before line 8 are not" in from_later
    assert "digest of line 7" in from_later
    assert "{" not in from_first.replace("`{`", "")
