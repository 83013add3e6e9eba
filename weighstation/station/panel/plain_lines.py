"""Pictures -> one plain line for each thing that is news, whatever is weighed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Generic, Protocol, TextIO, TypeVar

from weighstation.quantities import grams_text
from weighstation.station.bench.snapshot import Scene
from weighstation.station.showing.facts import TENTH_MG

if TYPE_CHECKING:
    from collections.abc import Callable

SCENES: dict[Scene, str] = {
    Scene.NO_SCALE_YET: "Waiting for the scale.",
    Scene.OVERLOADED: "Too much for the scale: take it off.",
    Scene.SCALE_LOST: "The scale is lost.",
    Scene.PAUSED: "Paused: press P to go on.",
    Scene.DOUGH_LEFT: "Put on the dough that is left, and press D when it is all weighed.",
}


class Picture(Protocol):
    """What every picture of a bench says."""

    @property
    def counted(self) -> int:
        """How many count."""

    @property
    def planned(self) -> int | None:
        """How many are wanted; None where nobody said."""

    @property
    def last_number(self) -> int | None:
        """Number of the last that counts."""

    @property
    def last_mg(self) -> int | None:
        """Its weight in milligrams."""

    @property
    def division_mg(self) -> int:
        """Of the scale, in milligrams."""

    @property
    def notice(self) -> str:
        """One plain sentence, or empty."""

    @property
    def alarm(self) -> str:
        """One plain sentence that must not be missed, or empty."""


PictureT = TypeVar("PictureT", bound=Picture)


@dataclass(frozen=True, slots=True)
class Topic(Generic[PictureT]):
    """One thing that is told.

    Parameters
    ----------
    text : callable
        Gives its line; empty where there is nothing to say.
    about : callable or None
        Gives what the line is about: while that is the same, other words are no news. None where
        the words themselves are.
    counts : bool
        Whether it is news only while more count than before.
    """

    text: Callable[[PictureT], str]
    about: Callable[[PictureT], object] | None = None
    counts: bool = False


def alarm_text(picture: Picture) -> str:
    """Return the alarm as a line, or an empty text.

    Parameters
    ----------
    picture : Picture

    Returns
    -------
    str
    """
    return f"ALARM: {picture.alarm}" if picture.alarm else ""


def notice_text(picture: Picture) -> str:
    """Return the notice.

    Parameters
    ----------
    picture : Picture

    Returns
    -------
    str
    """
    return picture.notice


def last_number(picture: Picture) -> int | None:
    """Return the number of the last that counts.

    Parameters
    ----------
    picture : Picture

    Returns
    -------
    int or None
    """
    return picture.last_number


def counted_text(what: str, picture: Picture, mean_mg: float | None) -> str:
    """Return the line of the last that counts.

    Parameters
    ----------
    what : str
        What is counted, as a first word.
    picture : Picture
    mean_mg : float, milligrams, or None

    Returns
    -------
    str
        Empty where none counts.
    """
    if picture.last_number is None or picture.last_mg is None:
        return ""
    line = f"{what} {picture.last_number} counted: "
    line += f"{grams_text(picture.last_mg, picture.division_mg)} g, {picture.counted} in all"
    if picture.planned is not None:
        line += f", {max(picture.planned - picture.counted, 0)} left"
    if mean_mg is not None:
        line += f", mean {grams_text(round(mean_mg), TENTH_MG)} g"
    return line


class PlainLines(Generic[PictureT]):
    """One line for each thing that a person would want to be told.

    Parameters
    ----------
    stream : TextIO
        Where the lines go; each is flushed.
    topics : tuple of Topic
        What is told, in the order in which it is.
    counted : int
        How many counted before, in earlier runs of the batch.
    """

    def __init__(
        self, stream: TextIO, topics: tuple[Topic[PictureT], ...], counted: int = 0
    ) -> None:
        self._stream = stream
        self._topics = topics
        self._said: dict[Topic[PictureT], object] = {}
        self._counted = counted

    def show(self, picture: PictureT) -> None:
        """Write what is new since the picture before; nothing where nothing is.

        Parameters
        ----------
        picture : Picture
        """
        lines = self.lines(picture)
        if lines:
            text = "".join(f"{line}\n" for line in lines)
            encoding = getattr(self._stream, "encoding", None) or "utf-8"
            self._stream.write(text.encode(encoding, "replace").decode(encoding))
            self._stream.flush()

    def lines(self, picture: PictureT) -> tuple[str, ...]:
        """Return what is new since the picture before, and remember it as said.

        Parameters
        ----------
        picture : Picture

        Returns
        -------
        tuple of str
        """
        told = tuple(text for topic in self._topics if (text := self._news(topic, picture)))
        self._counted = picture.counted
        return told

    def _news(self, topic: Topic[PictureT], picture: PictureT) -> str:
        """Return what is new of one thing, or an empty text."""
        if topic.counts and picture.counted <= self._counted:
            return ""  # one that was struck out, or that another run has counted
        about = (topic.about or topic.text)(picture)
        if self._said.get(topic) == about:
            return ""
        self._said[topic] = about
        return topic.text(picture)
