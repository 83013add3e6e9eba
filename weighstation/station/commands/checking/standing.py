"""``check --state``: how it stands with the checks of a scale, told without weighing."""

from __future__ import annotations

import sys
import time
from contextlib import closing
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.station.commands.checking.as_json import state_json
from weighstation.station.commands.checking.doubt_texts import doubtful_text
from weighstation.station.commands.checking.state import (
    doubtful_batches,
    last_port,
    state_on_disk,
)
from weighstation.station.commands.checking.texts import filled, findings_text
from weighstation.station.commands.journals.settling import settling_line
from weighstation.station.commands.shop.home import Home
from weighstation.station.commands.terminal.options import refuse_no_text
from weighstation.station.devices.opening import key_of
from weighstation.station.devices.profiles import Profile
from weighstation.station.ports import Address
from weighstation.station.stores import open_for_reading

if TYPE_CHECKING:
    from weighstation.station.commands.checking.check import CheckOrder
    from weighstation.station.commands.checking.state import CheckState, DoubtfulBatch
    from weighstation.station.stores import Store


def which_scale(port: str | None, home: Home) -> str:
    """Return the URL of the scale that is meant: as given, else the one used last.

    Parameters
    ----------
    port : str or None
    home : Home

    Returns
    -------
    str

    Raises
    ------
    SpecificationError
        If none is named and none was used before, or what is named is no text.
    JournalError
        If the journal cannot be read.
    """
    url = last_port(home.journal_path) if port is None else port
    if url is None:
        raise SpecificationError(
            "No scale is named, and none was used here before.",
            hint="Give one with --port, as in --port serial:///dev/ttyUSB0.",
        )
    refuse_no_text(url, "The port")
    return url


def scale_text(url: str) -> str:
    """Return what the person at the bench calls a scale.

    Parameters
    ----------
    url : str

    Returns
    -------
    str
    """
    address = Address.parse(url)
    return f"a {address.stand_in}" if address.stand_in else address.place or url


def doubt_text(store: Store, state: CheckState, batches: tuple[DoubtfulBatch, ...]) -> str:
    """Return what is doubtful, and after a good check what can be done about that.

    Parameters
    ----------
    store : Store
    state : CheckState
    batches : tuple of DoubtfulBatch

    Returns
    -------
    str
    """
    if state.last is None or (state.last.check.is_fit and not batches):
        return ""
    text = "\n" + doubtful_text(batches, state)
    if not state.last.check.is_fit:
        return text
    return text + filled(_way_out(store, batches[0].failed_line))


def _way_out(store: Store, failed_line: int) -> str:
    try:
        settling_line(store, failed_line)
    except SpecificationError as exc:
        return exc.sentence
    return (
        "If that check failed by mistake alone, as by a wrong weight, and nothing was done to the"
        f" scale since: 'weighstation journal settle {failed_line} --person NAME --reason TEXT'."
    )


def show_state(order: CheckOrder) -> int:
    """Tell how it stands with a scale, without weighing.

    Parameters
    ----------
    order : CheckOrder

    Returns
    -------
    int
        Exit code: 1 where no good check is on record, or it is too old.

    Raises
    ------
    SpecificationError
        If it is not clear which scale is meant.
    JournalError
        If the journal cannot be read.
    """
    home = Home.find(order.home)
    url = which_scale(order.port, home)
    scale = key_of(Address.parse(url))
    profile = home.profiles().get(scale, Profile(scale))
    due_h, now_ms = order.due_h or profile.check_due_h, time.time_ns() // 1_000_000
    state = state_on_disk(home.journal_path, scale=scale, due_h=due_h)
    batches: tuple[DoubtfulBatch, ...] = ()
    doubts = ""
    if state.last is not None:
        with closing(open_for_reading(home.journal_path)) as store:
            batches = doubtful_batches(store, state, now_ms)
            doubts = doubt_text(store, state, batches)
    if order.as_json:
        sys.stdout.write(state_json(state, batches, now_ms) + "\n")
    else:
        sys.stdout.write(f"Scale: {scale_text(url)}\n{filled(state.text(now_ms))}")
        if state.last is not None:
            sys.stdout.write(findings_text(state.last.check) + doubts)
    return 0 if state.is_good(now_ms) else 1
