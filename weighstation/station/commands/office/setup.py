"""``setup``: the products with their faults, the scales, the check, and what to type for each."""

from __future__ import annotations

import shlex
import time
from contextlib import suppress
from typing import TYPE_CHECKING

from weighstation.errors import WeighstationError
from weighstation.report.page.page import Page, page_record
from weighstation.report.page.tables import NONE, SheetRow, SheetTable, counted
from weighstation.station.commands.checking.standing import scale_text, which_scale
from weighstation.station.commands.checking.state import state_on_disk
from weighstation.station.commands.office.products import sections_of
from weighstation.station.commands.scales.scales import hid_place, serial_place
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.terminal.pages import show_page, show_record
from weighstation.station.devices import list_serial_devices
from weighstation.station.devices.hid_scales import list_hid_devices
from weighstation.station.devices.opening import key_of
from weighstation.station.devices.profiles import Profile
from weighstation.station.ports import Address

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from weighstation.station.commands.office.products import Field, Section
    from weighstation.station.commands.scales.scales import Place

FAULT = "FAULT: "


def run_setup(home: Path | None, *, as_json: bool) -> int:
    """Show how a station is set up.

    Parameters
    ----------
    home : Path or None
    as_json : bool

    Returns
    -------
    int
        Exit code: 1 where there is no products file, or it has faults.

    Raises
    ------
    SpecificationError
        If the file of scales cannot be read.
    JournalError
        If the journal cannot be read.
    """
    shop = Home.find(home)
    sections = _sections(shop)
    faults = sum(section.faults for section in sections)
    page = _page(shop, sections, faults)
    if as_json:
        show_record(
            {
                "home": str(shop.folder),
                "products": [section.name for section in sections[1:]],
                "faults": faults if sections else None,
                "page": page_record(page),
            }
        )
    else:
        show_page(page)
    return 1 if faults or not sections else 0


def _sections(shop: Home) -> tuple[Section, ...]:
    """Return what stands in the products file; nothing where there is none."""
    try:
        return sections_of(shop.products_path.read_text(encoding="utf-8-sig"))
    except FileNotFoundError:
        return ()
    except (OSError, UnicodeDecodeError):
        shop.catalogue()  # says why it cannot be read
        raise


def _page(shop: Home, sections: tuple[Section, ...], faults: int) -> Page:
    return Page(
        title="How this station is set up",
        parts=(
            *(_section(section) for section in sections),
            SheetTable("Scales plugged in", tuple(_plugged(shop)) or (_none("nothing is"),)),
            SheetTable("Scales learned", tuple(_learned(shop)) or (_none("no scale was learned"),)),
            SheetTable("Scale check", (_check(shop),)),
            SheetTable("What to type", tuple(_to_type(shop))),
        ),
        conclusion=_conclusion(shop, sections, faults),
    )


def _conclusion(shop: Home, sections: tuple[Section, ...], faults: int) -> str:
    if not sections:
        return f"There is no products file yet: type '{_typed(shop, 'init')}'."
    if faults:
        return f"The products file has {counted(faults, 'fault')}: mend each beside its key."
    return f"{counted(len(sections) - 1, 'product')}, and the file has no fault."


def _section(section: Section) -> SheetTable:
    rows = tuple(_field(field) for field in section.fields)
    return SheetTable(section.name or "The shop", rows or (_none("nothing is said"),))


def _field(field: Field) -> SheetRow:
    said = f"{FAULT}{'; '.join(field.faults)}" if field.faults else ""
    return SheetRow(field.key or "the file", field.value or NONE, said)


def _plugged(shop: Home) -> Iterator[SheetRow]:
    known = shop.profiles().values()
    learned = frozenset(profile.identity for profile in known if not profile.is_plate_only)
    hid = list_hid_devices()
    for device in list_serial_devices():
        yield _place(serial_place(device, learned))
    for found in hid.devices:
        yield _place(hid_place(found, learned))
    if hid.note:
        yield SheetRow("Mind", NONE, hid.note)


def _place(place: Place) -> SheetRow:
    said = "learned" if place.learned else "not learned" if place.opens else "does not open"
    notes = (place.description, place.looks_like, place.problem, place.cure, place.caution)
    return SheetRow(place.port, said, ". ".join(filter(None, (*notes, place.caution_cure))))


def _learned(shop: Home) -> Iterator[SheetRow]:
    for profile in shop.profiles().values():
        if not profile.is_plate_only:
            said = {**profile.settings, **profile.recipe.plain()}
            notes = [f"{key} {value}" for key, value in said.items()]
            notes += [f"open: {', '.join(profile.open)}"] if profile.open else []
            yield SheetRow(profile.identity, profile.learned[:10] or NONE, ", ".join(notes))
        if profile.plate is not None:
            plate = profile.plate
            note = f"class {plate.accuracy_class.value}, e {plate.e_g:f} g, Max {plate.max_g:f} g"
            yield SheetRow(f"Plate of {profile.identity}", "as read", note)


def _check(shop: Home) -> SheetRow:
    with suppress(WeighstationError):
        url = which_scale(None, shop)
        scale, now_ms = key_of(Address.parse(url)), time.time_ns() // 1_000_000
        due_h = shop.profiles().get(scale, Profile(scale)).check_due_h
        state = state_on_disk(shop.journal_path, scale=scale, due_h=due_h)
        said = "good" if state.is_good(now_ms) else "LOOK"
        due = f"It is to be checked every {state.due_h:g} h."
        return SheetRow(scale_text(url), said, f"{state.text(now_ms)} {due}")
    return _none("no scale was used here yet")


def _to_type(shop: Home) -> Iterator[SheetRow]:
    if shop.products_path.exists():
        change = f"change {shop.products_path} in an editor, and look here again"
    else:
        change = _typed(shop, "init")
    yield SheetRow("Products, shop", "", change)
    for label, words in (
        ("What is plugged in", "scales"),
        ("Learn a scale", "learn PORT"),
        ("A scale's plate", "check --class III --e 1 --max 3000"),
        ("Check every 24 h", "check --due 24"),
        ("Start by itself", "service"),
    ):
        yield SheetRow(label, "", _typed(shop, words))


def _typed(shop: Home, words: str) -> str:
    """Return a command as it is typed for this station."""
    return f"weighstation {words} --home {shlex.quote(str(shop.folder))}"


def _none(why: str) -> SheetRow:
    return SheetRow("None", NONE, why)
