"""``demo``: a short morning of an invented bakery, through the same line as a real one."""

from __future__ import annotations

import shlex
import sys
import tempfile
from pathlib import Path

from weighstation.errors import SpecificationError
from weighstation.specification import parse_catalogue
from weighstation.station.commands.dividing.sitting import Job, View, sit
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.terminal.called import called

PIECES = 24
SEED = 2
LIVE_SPEED = 4.0
HANDS = "bias=0.012&spread=0.022&lifts=0.25&boards=0.1&knocks=0.1"
PRODUCT = "Country loaf"
PRODUCTS = """\
# The products of this shop: copy a table, change it, and it can be divided.
currency = "EUR"

[[product]]
name = "Country loaf"
scaling_weight_g = 740
under_g = 8
over_g = 8
declared_g = 650
dough_cost_per_kg = 0.92
board_places = 6
rest_min = [10, 15]
dough_limit_min = 20

[[product]]
name = "Seeded batard"
scaling_weight_g = 480
under_g = 6
over_g = 6
declared_g = 400
dough_cost_per_kg = 1.35

[[product]]
name = "Morning roll"
scaling_weight_g = 62
under_g = 2
over_g = 2
dough_cost_per_kg = 1.05
"""


def run_demo(*, fast: bool, plain: bool, home: Path | None) -> int:
    """Divide an invented dough, print its sheet and say what to try next.

    Parameters
    ----------
    fast : bool
        In virtual time, with nothing shown until the sheet.
    plain : bool
        Plain lines, no panel.
    home : Path or None
        Where to keep the journal; None for a new temporary folder.

    Returns
    -------
    int
        Exit code.

    Raises
    ------
    SpecificationError
        If there is a journal in the folder already.
    JournalError
        If the journal cannot be written.
    """
    place = Home(home or Path(tempfile.mkdtemp(prefix="weighstation-demo-")))
    if place.journal_path.exists():
        raise SpecificationError(
            f"There is a journal in {place.folder} already, and invented pieces must not go into"
            " it.",
            hint="Give an empty folder with --home, or leave it out.",
        )
    place.make()
    if not place.products_path.exists():
        place.products_path.write_text(PRODUCTS, encoding="utf-8")
    catalogue = parse_catalogue(PRODUCTS)
    speed = "max" if fast else f"{LIVE_SPEED:g}"
    view = View.NOTHING if fast else View.PLAIN if plain else View.PANEL
    job = Job(
        product=catalogue.product(PRODUCT),
        currency=catalogue.currency,
        url=f"simulated://?seed={SEED}&pieces={PIECES}&speed={speed}&{HANDS}",
        planned=PIECES,
        resume=False,
        view=view,
        virtual=fast,
    )
    _write(f"A simulated scale and baker divide a dough into {PIECES} pieces of {PRODUCT}.\n\n")
    code = sit(job, place)
    _write(_what_next(place.folder))
    return code


def _write(text: str) -> None:
    sys.stdout.write(text)
    sys.stdout.flush()


def _what_next(folder: Path) -> str:
    program, home = called(sys.argv[0]), shlex.quote(str(folder))
    return f"""
This was the whole line: bytes of a scale, cues, pieces on record. Try next:
  {program} journal verify --home {home}
  {program} divide "Morning roll" --port "simulated://?seed=1" --home {home}
With a real scale, write your products into FOLDER/products.toml as in
  {folder / "products.toml"}
and start with
  {program} divide "{PRODUCT}" --port serial:///dev/ttyUSB0 --home FOLDER
where FOLDER is one of its own: what was invented here stays here.
"""
