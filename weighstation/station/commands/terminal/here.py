"""The clock on the wall of this place, summer time and all."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, tzinfo


class Here(tzinfo):
    """The machine's own zone, each moment by its own rule.

    ``datetime.astimezone()`` freezes the difference to UTC of one moment: a July told in December
    would be an hour early, and so would half of the night on which the clocks are changed.
    """

    def utcoffset(self, dt: datetime | None) -> timedelta | None:
        """Return how far this clock is ahead of UTC at a time on it.

        Parameters
        ----------
        dt : datetime or None

        Returns
        -------
        timedelta or None
        """
        return None if dt is None else dt.replace(tzinfo=None).astimezone().utcoffset()

    def dst(self, dt: datetime | None) -> timedelta | None:
        """Return None: what part of the difference is summer time is not told.

        Parameters
        ----------
        dt : datetime or None

        Returns
        -------
        None
        """
        del dt
        return None

    def tzname(self, dt: datetime | None) -> str | None:
        """Return the name of the zone at a time on this clock.

        Parameters
        ----------
        dt : datetime or None

        Returns
        -------
        str or None
        """
        return None if dt is None else dt.replace(tzinfo=None).astimezone().tzname()

    def fromutc(self, dt: datetime) -> datetime:
        """Return what this clock showed at a moment.

        Parameters
        ----------
        dt : datetime
            In UTC, with this zone attached, as `tzinfo` asks for it.

        Returns
        -------
        datetime
        """
        moment = dt.replace(tzinfo=UTC)
        shown = moment.astimezone().replace(tzinfo=self)
        return shown if shown.timestamp() == moment.timestamp() else shown.replace(fold=1)


HERE = Here()


def last_shown(hour: int, minute: int, now: datetime) -> datetime:
    """Return the last moment at which a clock on the wall showed a time.

    Parameters
    ----------
    hour, minute : int
    now : datetime
        On that clock. An hour that comes twice, as summer time ends, is the later one that was.

    Returns
    -------
    datetime
        Not after now.
    """
    today = now.replace(hour=hour, minute=minute, second=0, microsecond=0)
    days = (today, today - timedelta(days=1))
    shown = (day.replace(fold=fold) for day in days for fold in (1, 0))
    return next(each for each in shown if each.timestamp() <= now.timestamp())
