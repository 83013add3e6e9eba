"""``init``: a first products file to be changed, and what to type after that."""

from __future__ import annotations

import shlex
import sys
from contextlib import suppress
from typing import TYPE_CHECKING

from weighstation.errors import JournalFullError, SpecificationError
from weighstation.station.commands.shop.first_products import FIRST, FIRST_PRODUCTS
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.terminal.called import called

if TYPE_CHECKING:
    from pathlib import Path


def run_init(home: Path | None) -> int:
    """Write a products file of an invented bakery, and say what comes next.

    Parameters
    ----------
    home : Path or None

    Returns
    -------
    int
        Exit code.

    Raises
    ------
    SpecificationError
        If there is a products file already.
    JournalFullError
        If it cannot be written.
    """
    place = Home.find(home)
    place.make()
    _write_new(place.products_path)
    sys.stdout.write(_what_next(place.products_path, home))
    return 0


def _write_new(path: Path) -> None:
    """Write the file, or nothing: neither over another nor half of it."""
    try:
        file = path.open("x", encoding="utf-8")
    except FileExistsError as exc:
        raise SpecificationError(
            f"There is a products file {path} already, and it is left as it is.",
            hint="Change that one, or give another folder with --home DIR.",
        ) from exc
    except OSError as exc:
        raise _refused(path, exc) from exc
    try:
        with file:
            file.write(FIRST_PRODUCTS)
    except OSError as exc:
        with suppress(OSError):
            path.unlink()
        raise _refused(path, exc) from exc


def _refused(path: Path, exc: OSError) -> JournalFullError:
    return JournalFullError(
        f"The file {path} cannot be written ({(exc.strerror or str(exc)).lower()}).",
        hint="Free some space or choose another home with --home DIR.",
    )


def _what_next(path: Path, home: Path | None) -> str:
    program = called(sys.argv[0])
    option = "" if home is None else f" --home {shlex.quote(str(home))}"
    return f"""\
{path} is written: three products of an invented bakery.
Open it and put your own in their place; faults in it are all named when it is read. Then type:
  {program} scales{option}
to see where your scale is plugged in, and with the port that it names
  {program} learn PORT{option}
  {program} divide "{FIRST}" --port PORT{option}
Without a scale, watch how it goes:
  {program} demo
"""
