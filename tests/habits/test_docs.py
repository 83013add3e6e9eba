"""The pages say what is so: their commands run, their product files parse, their links lead on.

In a block marked ``console`` every line that begins with ``$ `` is run by a shell, in an empty
folder for each page; the lines under it are what it must print, and ``...`` stands for anything.
A block marked ``toml`` that holds products becomes ``bench/products.toml``. Where a page lets its
reader watch (``speed=4``), the test does not wait (``speed=max``); lines that tell what is shown
meanwhile (``--plain``) are looked for at a speed at which a busy machine still looks in time.
"""

from __future__ import annotations

import json
import os
import re
import sqlite3
import subprocess
import sys
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from weighstation.journal import Kind
from weighstation.specification import parse_catalogue

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).parents[2]
PAGES = sorted([*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md")])
RECORDINGS = ROOT / "fixtures" / "recordings"
JOURNAL_PAGE = ROOT / "docs" / "reference" / "journal.md"
FENCE = re.compile(r"^( *)```(\w*)\n(.*?)^ *```$", re.MULTILINE | re.DOTALL)
WATCHED = re.compile(r"speed=[\d.]+")


@dataclass(frozen=True)
class Typed:
    """A command of a page and what is said to come of it."""

    command: str
    shown: str


def name_of(page: Path) -> str:
    return str(page.relative_to(ROOT))


def blocks(text: str) -> Iterator[tuple[str, str]]:
    """Yield the kind and the lines of every fenced block."""
    for indent, kind, body in FENCE.findall(text):
        yield kind, "".join(line.removeprefix(indent) for line in body.splitlines(keepends=True))


def typed(body: str) -> Iterator[Typed]:
    """Yield the commands of a console block."""
    for part in re.split(r"^\$ ", body, flags=re.MULTILINE)[1:]:
        command, _, shown = part.partition("\n")
        while command.endswith("\\"):
            more, _, shown = shown.partition("\n")
            command = command[:-1] + more
        yield Typed(command, shown)


def agrees(shown: str, printed: str) -> bool:
    """Tell whether what was printed is what a page shows; ``...`` stands for anything."""
    wanted = (re.escape(part) for part in shown.strip().split("..."))
    return re.fullmatch(".*".join(wanted), printed.strip(), re.DOTALL) is not None


def shell(folder: Path) -> dict[str, str]:
    """Make a place to type in, and return its environment."""
    tools = folder / "tools"
    tools.mkdir()
    (folder / "bench").mkdir()
    (folder / "fixtures").symlink_to(ROOT / "fixtures")
    program = tools / "weighstation"
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m weighstation "$@"\n')
    program.chmod(0o755)
    return os.environ | {
        "PATH": f"{tools}:{Path(sys.executable).parent}:{os.environ['PATH']}",
        "HOME": str(folder),
        "WEIGHSTATION_HOME": "bench",
        "COLUMNS": "80",
        "TZ": "UTC",
    }


WITH_COMMANDS = [
    page for page in PAGES if any(kind == "console" for kind, _ in blocks(page.read_text("utf-8")))
]


@pytest.mark.skipif(os.name != "posix", reason="the pages are typed into a POSIX shell")
@pytest.mark.parametrize("page", WITH_COMMANDS, ids=name_of)
def test_commands_of_a_page_do_what_it_shows(page: Path, tmp_path: Path) -> None:
    environment = shell(tmp_path)
    for kind, body in blocks(page.read_text(encoding="utf-8")):
        if kind == "toml" and "[[product]]" in body:
            (tmp_path / "bench" / "products.toml").write_text(body, encoding="utf-8")
        for line in typed(body) if kind == "console" else ():
            ended = subprocess.run(
                ["/bin/sh", "-c", in_haste(line.command)],
                check=False,
                stdin=subprocess.DEVNULL,
                stdout=subprocess.PIPE,
                stderr=subprocess.STDOUT,
                text=True,
                cwd=tmp_path,
                env=environment,
            )

            assert 0 == ended.returncode, f"{line.command}\n{ended.stdout}"
            if line.shown.strip():
                assert agrees(line.shown, ended.stdout), f"{line.command}\n{ended.stdout}"


def in_haste(command: str) -> str:
    return WATCHED.sub("speed=20" if "--plain" in command else "speed=max", command)


def test_the_pages_that_teach_have_commands() -> None:
    """A page whose blocks are marked otherwise would be passed over in silence."""
    named = {name_of(page) for page in WITH_COMMANDS}

    assert {
        name_of(page)
        for page in PAGES
        if page.parent.name in ("tutorial", "how-to") and page.name != "index.md"
    } <= named


@pytest.mark.parametrize(
    ("shown", "printed", "agreed"),
    [
        ("Line 2 ...\n", "Line 2 notes that.\n", True),
        ("a\n...\nc\n", "a\nb\nb\nc\n", True),
        ("Line 2\n", "Line 3\n", False),
        ("10 pieces\n", "10 pieces\nmore\n", False),
    ],
)
def test_what_is_shown_is_compared(shown: str, printed: str, agreed: bool) -> None:
    assert agreed == agrees(shown, printed)


def test_the_readme_has_two_commands_and_each_makes_its_own_environment() -> None:
    """They are run as they stand by the checks of every change."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    demo, tests = re.findall(r"^```sh\n(.*)\n```$", text, re.MULTILINE)

    assert demo.startswith("python3 -m venv .venv && .venv/bin/pip install")
    assert demo.endswith("&& .venv/bin/weighstation demo")
    assert tests.startswith("python3 -m venv .venv-test && .venv-test/bin/pip install")
    assert tests.endswith("&& .venv-test/bin/python -m pytest -n 3 --dist loadgroup")


def catalogues() -> list[tuple[str, str]]:
    found = []
    for page in PAGES:
        bodies = [body for kind, body in blocks(page.read_text("utf-8")) if kind == "toml"]
        found += [(name_of(page), body) for body in bodies if "[[product]]" in body]
    return found


@pytest.mark.parametrize(("page", "body"), catalogues(), ids=lambda value: value[:30])
def test_product_files_of_the_pages_hold_products(page: str, body: str) -> None:
    catalogue = parse_catalogue(body, source=page)

    assert catalogue.products


@pytest.mark.parametrize("page", PAGES, ids=name_of)
def test_links_lead_somewhere(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    for target in re.findall(r"\]\(([^)#\s]+)(?:#[^)]*)?\)", text):
        if "://" not in target:
            assert (page.parent / target).exists(), f"{name_of(page)} links to {target}"


@pytest.mark.parametrize("page", PAGES, ids=name_of)
def test_a_page_is_reached_from_the_readme(page: Path) -> None:
    """Follow the links from README.md; one to a folder reaches the pages in it."""
    seen: set[Path] = set()
    ahead = [ROOT / "README.md"]
    while ahead:
        here = ahead.pop()
        if here in seen:
            continue
        seen.add(here)
        for target in re.findall(r"\]\(([^)#\s]+)(?:#[^)]*)?\)", here.read_text("utf-8")):
            there = (here.parent / target).resolve()
            ahead += there.glob("*.md") if there.is_dir() else [there] * (there.suffix == ".md")

    assert page.resolve() in seen


def written(*words: str) -> list[dict[str, object]]:
    """Return the JSON lines that a command writes."""
    done = subprocess.run(
        [sys.executable, "-m", "weighstation", *words], check=True, capture_output=True, text=True
    )
    return [json.loads(line) for line in done.stdout.splitlines()]


def keys_of(value: object) -> Iterator[str]:
    """Yield the names in a value, those inside its parts too."""
    if isinstance(value, dict):
        for key, part in value.items():
            yield key
            yield from keys_of(part)
    elif isinstance(value, list):
        for part in value:
            yield from keys_of(part)


def test_events_page_names_all_that_is_written() -> None:
    page = (ROOT / "docs" / "reference" / "events.md").read_text(encoding="utf-8")
    recording = str(RECORDINGS / "back-and-boarded.jsonl")
    band = ("--target", "740", "--under", "8", "--over", "8")
    lines = written("replay", recording, *band, "--events")
    names = {key for line in lines for key in keys_of(line)}
    kinds = {str(line["event"]) for line in lines}

    assert {"cue", "piece", "lifted", "end"} == kinds
    assert set() == {name for name in names | kinds if f"`{name}`" not in page}


ON_BOARDS = """\
currency = "EUR"

[[product]]
name = "Loaf"
scaling_weight_g = 740
under_g = 8
over_g = 8
board_places = 2
rest_min = [10, 15]
dough_limit_min = 20
"""


def test_events_page_names_what_is_said_of_boards(tmp_path: Path) -> None:
    page = (ROOT / "docs" / "reference" / "events.md").read_text(encoding="utf-8")
    (tmp_path / "products.toml").write_text(ON_BOARDS)
    port = "simulated://?seed=1&pieces=3&speed=max"
    lines = written("divide", "Loaf", "--port", port, "--events", "--home", str(tmp_path))
    told = [line for line in lines if line["event"] in ("board", "boarded")]

    assert {"board", "boarded"} == {line["event"] for line in told}
    assert set() == {key for line in told for key in keys_of(line) if f"`{key}`" not in page}
    assert set() == {f"`{line['stage']}`" for line in told if "stage" in line} - set(
        re.findall(r"`\w+`", page)
    )


def test_journal_page_names_what_is_said_of_boards(tmp_path: Path) -> None:
    page = JOURNAL_PAGE.read_text(encoding="utf-8")
    (tmp_path / "products.toml").write_text(ON_BOARDS)
    home = ("--home", str(tmp_path))
    port = "simulated://?seed=1&pieces=3&speed=max"
    written("divide", "Loaf", "--port", port, "--mixed", "75", "--events", *home)
    for to in ("closed", "bench", "oven", "out"):
        words = ("journal", "board", "2", to, *home)
        subprocess.run([sys.executable, "-m", "weighstation", *words], check=True)
    lines = written("journal", "show", "--json", "--last", "1000", *home)
    names = {key for line in lines for key in keys_of(line)}

    assert {"board_opened", "board_closed", "board_moved"} < {str(line["kind"]) for line in lines}
    assert set() == {name for name in names if f"`{name}`" not in page}


def test_events_page_names_all_that_is_written_of_loaves(tmp_path: Path) -> None:
    page = (ROOT / "docs" / "reference" / "events.md").read_text(encoding="utf-8")
    home = ("--home", str(tmp_path))
    band = ("--target", "740", "--under", "8", "--over", "8")
    port = "simulated://?speed=max&loads="
    written("divide", "--port", f"{port}741,739", *band, "--events", *home)
    words = ("--mark", "all", "--out-of-oven", "58", "--events")
    lines = written("bake", "--port", f"{port}200,652,650", *words, *home)
    names = {key for line in lines for key in keys_of(line)}
    kinds = {str(line["event"]) for line in lines}

    assert {"on_pan", "not_counted", "loaf", "end"} == kinds
    assert set() == {name for name in names | kinds if f"`{name}`" not in page}


def test_journal_page_names_all_that_is_written(tmp_path: Path) -> None:
    page = JOURNAL_PAGE.read_text(encoding="utf-8")
    port = f"replay://{RECORDINGS / 'back-and-boarded.jsonl'}?speed=max"
    band = ("--target", "740", "--under", "8", "--over", "8", "--home", str(tmp_path))
    written("divide", "--port", port, *band, "--events")
    loaves = ("--mark", "all", "--out-of-oven", "58", "--events", "--home", str(tmp_path))
    written("bake", "--port", "simulated://?speed=max&loads=652,650", *loaves)
    lines = written("journal", "show", "--json", "--last", "1000", "--home", str(tmp_path))
    names = {key for line in lines for key in keys_of(line)}

    assert {"piece_kept", "piece_lifted", "baked"} < names | {str(line["kind"]) for line in lines}
    assert set() == {name for name in names if f"`{name}`" not in page}
    assert set() == {kind.value for kind in Kind if f"`{kind.value}`" not in page}


WITH_LABEL = ON_BOARDS.replace("board_places = 2", "declared_g = 650\ndough_cost_per_kg = 0.9")
WITH_LABEL += '[product.losses]\nbasis = "dough"\noven_pct = 11\n'


def test_statement_page_names_every_key_and_column(tmp_path: Path) -> None:
    page = (ROOT / "docs" / "reference" / "statement.md").read_text(encoding="utf-8")
    (tmp_path / "products.toml").write_text(WITH_LABEL)
    home = ("--home", str(tmp_path))
    for seed in (1, 2):
        port = f"simulated://?seed={seed}&pieces=20&speed=max"
        written("divide", "Loaf", "--port", port, "--events", *home)
    (record,) = written("giveaway", "--product", "Loaf", "--band", "6", "--bands", "--json", *home)
    table = tmp_path / "week.csv"
    words = ("giveaway", "--out", str(table), *home)
    subprocess.run([sys.executable, "-m", "weighstation", *words], check=True)
    columns = table.read_text(encoding="utf-8").splitlines()[0].split(",")

    assert record["over_label"] is not None
    assert set() == {key for key in keys_of(record) if f"`{key}`" not in page}
    assert set() == {column for column in columns if f"`{column}`" not in page}


@pytest.mark.parametrize("changed", [False, True])
def test_the_reader_on_the_journal_page_finds_a_changed_line(tmp_path: Path, changed: bool) -> None:
    """It uses nothing of ours, so it is a second opinion on the chain."""
    port = "simulated://?seed=1&pieces=3&speed=max"
    band = ("--target", "740", "--under", "8", "--over", "8", "--home", str(tmp_path))
    written("divide", "--port", port, *band, "--events")
    if changed:
        with closing(sqlite3.connect(tmp_path / "journal.sqlite")) as journal:
            journal.executescript(
                "DROP TRIGGER entry_is_never_updated;"
                "UPDATE entry SET t_utc_ms = t_utc_ms + 1 WHERE seq = 2;"
            )
    reader, _ = [body for kind, body in blocks(JOURNAL_PAGE.read_text("utf-8")) if kind == "python"]
    read = subprocess.run(
        [sys.executable, "-c", reader], check=False, cwd=tmp_path, capture_output=True, text=True
    )

    assert changed == ("AssertionError" in read.stderr)
    assert int(changed) == read.returncode
