"""Scenes -> recordings with their truth: ``python -m weighstation.simulate.fixtures DIR``."""

from __future__ import annotations

import json
import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from weighstation.acquire.recording import Header, encode_arrival, encode_header
from weighstation.simulate.scenes import SCENES, Scene, scene

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weighstation.simulate.ledger import Truth
    from weighstation.simulate.morning import Morning

_STARTED = datetime(2026, 3, 2, 4, 10, tzinfo=UTC)
_SEEDS = {"back-and-boarded": 10}


def recording_lines(day: Morning, *, source: str) -> Iterator[str]:
    """Yield a recording of a morning, line by line, without line ends.

    Parameters
    ----------
    day : Morning
    source : str
        Goes into the header.

    Yields
    ------
    str
    """
    division_g = day.truth["division_g"]
    yield encode_header(Header(source=source, division_g=division_g, started=_STARTED))
    for arrival in day.chunks:
        yield encode_arrival(arrival)


def truth_text(truth: Truth) -> str:
    """Return the truth as JSON, one piece, load or rest a line.

    Parameters
    ----------
    truth : dict
        As a morning gives it.

    Returns
    -------
    str
    """
    parts = []
    for key, value in truth.items():
        if isinstance(value, list):
            rows = ",\n  ".join(json.dumps(row) for row in value)
            parts.append(f'"{key}": [\n  {rows}]')
        else:
            parts.append(f'"{key}": {json.dumps(value)}')
    return "{" + ",\n ".join(parts) + "}\n"


def fixture_files(played: Scene) -> dict[str, str]:
    """Return the files of one scene: name to text.

    Parameters
    ----------
    played : Scene

    Returns
    -------
    dict of str to str
    """
    day = played.morning()
    source = f"simulated scene {played.name}, seed {played.seed}"
    lines = recording_lines(day, source=source)
    return {
        f"{played.name}.jsonl": "".join(f"{line}\n" for line in lines),
        f"{played.name}.truth.json": truth_text(day.truth),
    }


def fixture_scenes() -> list[Scene]:
    """Return the scenes that are kept as recordings, with their seeds.

    Returns
    -------
    list of Scene
    """
    return [scene(name, _SEEDS.get(name, 1)) for name in SCENES]


def provenance_text() -> str:
    """Return what the recordings are and where they come from, as Markdown.

    Returns
    -------
    str
    """
    rows = [f"| {kept.name} | {kept.seed} | {kept.about} |" for kept in fixture_scenes()]
    return "\n".join(
        (
            "# Recordings made by the simulator",
            "",
            "No scale, dough or person was involved: `weighstation.simulate` made them all.",
            (
                "`python -m weighstation.simulate.fixtures fixtures/recordings` makes them again, "
                "byte for byte."
            ),
            "Beside each `NAME.jsonl` stands `NAME.truth.json` with the true weights and times.",
            (
                "A float's last bit may differ between C libraries; "
                "the recordings were made on Linux with glibc."
            ),
            "",
            "| recording | seed | what it shows |",
            "|---|---|---|",
            *rows,
            "",
        )
    )


def write_fixtures(folder: Path) -> int:
    """Write every recording, its truth and the page about them.

    Parameters
    ----------
    folder : Path
        Made if it is not there.

    Returns
    -------
    int
        Bytes written.
    """
    folder.mkdir(parents=True, exist_ok=True)
    texts = {"provenance.md": provenance_text()}
    for kept in fixture_scenes():
        texts |= fixture_files(kept)
    for name, text in texts.items():
        (folder / name).write_bytes(text.encode())
    return sum(len(text.encode()) for text in texts.values())


def main(arguments: list[str]) -> int:
    """Write the fixtures into the folder named on the command line.

    Parameters
    ----------
    arguments : list of str

    Returns
    -------
    int
        Exit code.
    """
    if len(arguments) != 1:
        sys.stderr.write("Say into which folder: python -m weighstation.simulate.fixtures DIR\n")
        return 2
    size = write_fixtures(Path(arguments[0]))
    sys.stdout.write(f"{len(SCENES)} recordings, {size / 1000:.0f} kB\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
