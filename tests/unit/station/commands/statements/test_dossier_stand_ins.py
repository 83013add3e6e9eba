"""A dossier on weights that no scale has weighed says so before anything else."""

from __future__ import annotations

from datetime import UTC
from typing import TYPE_CHECKING

import pytest
from audited_bench import COUNTRY, PORT, Bench

from weighstation.report.dossier import Evidence, Scope
from weighstation.report.dossier.open_points import open_points
from weighstation.report.dossier.pages import dossier_pages
from weighstation.report.dossier.questions import questions
from weighstation.report.dossier.record import dossier_record
from weighstation.report.dossier.summary import summary
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.statements.evidence import Meant, evidence_of
from weighstation.station.commands.terminal.patience import Patience
from weighstation.station.stores import MemoryStore

if TYPE_CHECKING:
    from pathlib import Path

STOOD_IN = "no scale was read, and a simulation or a recording stood in for it"


@pytest.fixture
def bench() -> Bench:
    return Bench(MemoryStore(journal_id="0f" * 16, station="bench-1"))


def divided(bench: Bench, run: str, port: str, *, loaves_by: str = "") -> None:
    """Divide a batch, and weigh its loaves where a port for them is given."""
    bench.check()
    bench.port = port
    bench.begin(run, COUNTRY, person="AK")
    bench.pieces(12)
    bench.end()
    if loaves_by:
        bench.port = loaves_by
        bench.loaves(10, 653)
    bench.check()


def read(bench: Bench, folder: Path) -> Evidence:
    meant = Meant(product="Country loaf")
    return evidence_of(bench.store, Home(folder), meant, Scope("test", UTC), Patience())


@pytest.mark.parametrize("port", ["simulated://?seed=1", "replay://morning.jsonl"])
def test_each_page_says_that_its_weights_prove_nothing(
    bench: Bench, tmp_path: Path, port: str
) -> None:
    divided(bench, "aaaa0001", port)
    divided(bench, "aaaa0002", port)
    evidence = read(bench, tmp_path)
    screen = summary(evidence, questions(evidence))
    cover, cuts, *batches = (page.page for page in dossier_pages(evidence))

    for page in (screen, cover, cuts):
        assert page.conclusion.startswith(f"NO EVIDENCE: {STOOD_IN}.")
    assert [f"NO EVIDENCE of pieces: {STOOD_IN}."] * 2 == [page.conclusion for page in batches]
    first, *_ = open_points(evidence, ())
    assert ("NO EVIDENCE", "2 batches") == (first.label, first.said)
    assert "aaaa0001, aaaa0002" in first.note
    assert "nothing is open" not in str(cover)


def test_loaves_of_a_simulated_scale_are_none_beside_weighed_pieces(
    bench: Bench, tmp_path: Path
) -> None:
    divided(bench, "aaaa0001", PORT, loaves_by="simulated://?seed=1")
    divided(bench, "aaaa0002", PORT, loaves_by=PORT)
    evidence = read(bench, tmp_path)
    batches_told = dossier_record(evidence)["batches"]
    assert isinstance(batches_told, list)
    cover, _, *batches = (page.page for page in dossier_pages(evidence))

    assert cover.conclusion.startswith(f"NO EVIDENCE in 1 of 2 batches: {STOOD_IN}. 2 batches")
    assert [f"NO EVIDENCE of baked loaves: {STOOD_IN}.", ""] == [p.conclusion for p in batches]
    assert [["baked loaves"], []] == [each["not_weighed"] for each in batches_told]


def test_a_batch_that_a_scale_weighed_is_no_less_evidence(bench: Bench, tmp_path: Path) -> None:
    divided(bench, "aaaa0001", PORT)
    evidence = read(bench, tmp_path)
    cover, batch = (page.page for page in dossier_pages(evidence))

    assert "NO EVIDENCE" not in str((cover, batch))
    assert cover.conclusion.startswith("1 batch, 12 pieces")
