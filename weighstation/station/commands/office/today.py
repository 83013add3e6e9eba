"""``today``: what was divided on a day and how it stands, on a page or as JSON."""

from __future__ import annotations

from contextlib import suppress
from datetime import datetime
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.station.commands.office.day import read_day
from weighstation.station.commands.office.day_page import day_page, day_record
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.statements.giveaway import local_of
from weighstation.station.commands.terminal.days import day_from
from weighstation.station.commands.terminal.here import HERE
from weighstation.station.commands.terminal.pages import show_page, show_record

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.specification import Catalogue


def run_today(home: Path | None, day: str | None, *, run: str, as_json: bool) -> int:
    """Show a day.

    Parameters
    ----------
    home : Path or None
    day : str or None
        As typed; None for today.
    run : str
        Whose first cuts are charted; empty for the newest batch of the day.
    as_json : bool

    Returns
    -------
    int
        Exit code.

    Raises
    ------
    SpecificationError
        If the day is none or lies in the future, or there is no such run, or no journal.
    JournalError
        If the journal cannot be read.
    """
    shop, today = Home.find(home), datetime.now(HERE).date()
    meant = day_from(day, "--day") or today
    if meant > today:
        raise SpecificationError(
            f"{meant} lies in the future, and nothing was divided there yet.",
            hint="Give a day that has been with --day.",
        )
    catalogue = _catalogue(shop)
    people = catalogue is not None and catalogue.show_people
    found, local = read_day(shop, meant, run=run), local_of(catalogue)
    if as_json:
        show_record(day_record(found, local, shows_people=people))
    else:
        show_page(day_page(found, local, shows_people=people))
    return 0


def _catalogue(shop: Home) -> Catalogue | None:
    """Return the products file; None where there is none, or it has faults."""
    with suppress(SpecificationError):
        return shop.catalogue()
    return None
