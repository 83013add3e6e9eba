"""Moments in UTC -> what the clock on the wall showed, which all pages go by."""

from __future__ import annotations

from datetime import datetime


def shown_here(utc_text: str) -> str:
    """Return a moment as the clock of this place showed it.

    Parameters
    ----------
    utc_text : str
        In ISO 8601, with its zone.

    Returns
    -------
    str
        Day and minute, as the tables of a dossier have them.
    """
    return f"{datetime.fromisoformat(utc_text).astimezone():%Y-%m-%d %H:%M}"


def zone_said(now: datetime) -> str:
    """Return by which clock times are told.

    Parameters
    ----------
    now : datetime
        With its zone.

    Returns
    -------
    str
    """
    ahead = f"UTC{now:%z}"[:6] + ":" + f"{now:%z}"[3:5]
    name = now.tzname() or ""
    named = ahead if not name.isalpha() else "UTC" if name == "UTC" else f"{name}, {ahead}"
    return f"Times are those of the clock at this station, now {named}."
