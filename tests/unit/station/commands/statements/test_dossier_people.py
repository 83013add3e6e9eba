"""Nobody is named in any form of a dossier, unless it is asked for."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from datetime import UTC
from typing import TYPE_CHECKING

import pytest
from audited_bench import CHECK, COUNTRY, FAILED, Bench, write_days

from weighstation.journal import Kind, Settled, settled
from weighstation.report.dossier import Scope
from weighstation.report.dossier.pages import dossier_pages
from weighstation.report.dossier.raw import csv_lines, piece_rows
from weighstation.report.dossier.record import dossier_record
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.statements.evidence import Meant, evidence_of
from weighstation.station.commands.terminal.patience import Patience
from weighstation.station.stores import MemoryStore

if TYPE_CHECKING:
    from pathlib import Path

PERSONS = ("Ada Krume", "AK", "JS")
"""Who checked and settled, and who divided and noted."""


def forms(folder: Path, *, people: bool) -> dict[str, str]:
    """Return each form of a dossier on days with checks, notes and a settled doubt, as text."""
    store = MemoryStore(journal_id="0f" * 16, station="bench-1")
    write_days(store)
    bench = Bench(store)
    bench.day(5)
    bench.check()
    bench.begin("dddd0001", COUNTRY, person="AK")
    bench.pieces(5)
    bench.end()
    failed, good = bench.check(FAILED), bench.check()
    bench.write(Kind.NOTED, settled(Settled(failed, good, "Ada Krume", "flour under the pan")))
    evidence = evidence_of(
        store, Home(folder), Meant(product="Country loaf"), Scope("test", UTC, people), Patience()
    )
    return {
        "pages": str(dossier_pages(evidence)),
        "record": json.dumps(dossier_record(evidence)),
        "pieces": "".join(csv_lines(piece_rows(evidence))),
    }


@pytest.mark.parametrize("form", ["pages", "record", "pieces"])
def test_people_are_named_only_where_they_are_asked_for(tmp_path: Path, form: str) -> None:
    shown, hidden = (forms(tmp_path, people=people)[form] for people in (True, False))
    named = {person for person in PERSONS if re.search(rf"\b{person}\b", shown)}

    assert named >= {"AK", "JS"}
    assert not [person for person in PERSONS if re.search(rf"\b{person}\b", hidden)]


def test_that_somebody_signed_is_said_all_the_same(tmp_path: Path) -> None:
    pages = forms(tmp_path, people=False)["pages"]

    assert "by somebody, scale usb:0403:6001:A1" in pages
    assert "second mix made with 1 % less water; person: somebody" in pages
    assert "by somebody: the check on line" in pages


def test_a_check_that_nobody_signed_says_so(tmp_path: Path) -> None:
    store = MemoryStore(journal_id="0f" * 16, station="bench-1")
    bench = Bench(store)
    bench.check(replace(CHECK, person=""))
    bench.begin("aaaa0001", COUNTRY, person="")
    bench.pieces(3)
    evidence = evidence_of(store, Home(tmp_path), Meant(), Scope("test", UTC), Patience())

    assert "by nobody named" in str(dossier_pages(evidence)[0].page)
