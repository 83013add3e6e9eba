"""Outcome -> the JSON lines that a program can read, live or from a replay."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from weighstation.events import Cue, LiftedTurned, PieceKept, PieceLifted, Voided
from weighstation.journal import read_body, read_dough_weighed, read_pan_shifted
from weighstation.journal.held import integer
from weighstation.quantities import MG_PER_G, decimals
from weighstation.station.bench.board_news import Laid

if TYPE_CHECKING:
    from weighstation.acquire import Counts
    from weighstation.events import Outcome, Piece
    from weighstation.journal import Entry, RunState
    from weighstation.station.bench.board_news import BoardNews
    from weighstation.station.bench.clocks import Clocks
    from weighstation.station.bench.offer import Offer, ToCome

TIME_DIGITS = 4
MEAN_DIGITS = 4


class Vocabulary:
    """Writes outcomes as lines and leaves out what says nothing new.

    A line's time is never before that of the line made before it: a piece of which it turned out
    later that it counts has the time of turning out, not of leaving.

    Attributes
    ----------
    division_mg : int, milligrams, or None
        Gives masses their digits; None while it is not known.
    t_s : float, seconds
        Time of the newest line that was made.
    """

    def __init__(self) -> None:
        self.division_mg: int | None = None
        self.t_s = 0.0
        self._told: Cue | None = None

    def line(self, outcome: Outcome) -> str | None:
        """Return the line of an outcome, or None when it tells nobody anything new.

        Parameters
        ----------
        outcome : Outcome

        Returns
        -------
        str or None
            Without its newline.
        """
        match outcome:
            case Cue():
                return self._cue(outcome)
            case PieceKept(piece):
                fields = {"event": "piece", "t": self._now(piece.t_s), **self._facts(piece)}
            case PieceLifted(piece):
                self._told = None  # if it comes back, it is told again
                fields = {"event": "lifted", "t": self._now(piece.t_s), **self._facts(piece)}
            case LiftedTurned():
                fields = {
                    "event": "turned",
                    "t": self._now(outcome.t_s),
                    "number": outcome.number,
                    "took_for": outcome.took_for.value,
                    "removes": [piece.number for piece in outcome.removes],
                    "adds": [self._facts(piece) for piece in outcome.adds],
                }
            case Voided():
                fields = {
                    "event": "voided",
                    "t": self._now(outcome.t_s),
                    "number": outcome.piece.number,
                    "reason": outcome.reason,
                }
        return json.dumps(fields)

    def stamp(self, t_s: float) -> float:
        """Return the time of a line that is asked for now, and make no later line older.

        Parameters
        ----------
        t_s : float, seconds

        Returns
        -------
        float, seconds
        """
        self.t_s = max(self.t_s, t_s)
        return self.t_s

    def signal(self, entry: Entry, t_s: float) -> str:
        """Return the line of a signal that is on the disk.

        Parameters
        ----------
        entry : Entry
            Of kind ``signal``.
        t_s : float, seconds
            Of the line of the piece that it follows from.

        Returns
        -------
        str
            Without its newline.
        """
        body = read_body(entry.body)
        fields = {
            "event": "signal",
            "t": round(t_s, TIME_DIGITS),
            "first": body["first"],
            "last": body["last"],
            "error": integer(body, "error_mg") / MG_PER_G,
            "text": body["text"],
            "reaction": body["reaction"],
        }
        return json.dumps(fields)

    def dough_left(self, entry: Entry, t_s: float) -> str:
        """Return the line of dough that was weighed back and is on the disk.

        Parameters
        ----------
        entry : Entry
            Of kind ``dough_weighed``.
        t_s : float, seconds

        Returns
        -------
        str
            Without its newline.
        """
        said = read_dough_weighed(read_body(entry.body))
        fields = {
            "event": "dough_left",
            "t": self._now(t_s),
            "grams": self._grams(said.left_mg),
            "lumps": said.lumps,
            "after": said.after,
        }
        return json.dumps(fields)

    def pan_shifted(self, entry: Entry, t_s: float) -> str:
        """Return the line of an empty pan that came to show something else.

        Parameters
        ----------
        entry : Entry
            Of kind ``pan_shifted``.
        t_s : float, seconds

        Returns
        -------
        str
            Without its newline.
        """
        said = read_pan_shifted(read_body(entry.body))
        fields = {
            "event": "pan_shifted",
            "t": self._now(t_s),
            "from_g": self._grams(said.from_mg),
            "to_g": self._grams(said.to_mg),
            "after": said.after,
        }
        return json.dumps(fields)

    def of_board(self, news: BoardNews, clocks: Clocks, t_s: float) -> str:
        """Return the line of what is new of boards.

        Parameters
        ----------
        news : Laid or Moved
        clocks : Clocks
            After it.
        t_s : float, seconds
            Of the line that it follows from, or when a person asked for it.

        Returns
        -------
        str
            Without its newline.
        """
        if isinstance(news, Laid):
            fields: dict[str, Any] = {
                "event": "boarded",
                "t": round(t_s, TIME_DIGITS),
                "number": news.piece.number,
                "board": news.board,
                "place": news.piece.place,
                "cut": round(clocks.station_s(news.piece.cut_s), TIME_DIGITS),
            }
            return json.dumps(fields)
        board, rest = news.board, clocks.rest(news.board, t_s)
        fields = {
            "event": "board",
            "t": round(t_s, TIME_DIGITS),
            "board": board.number,
            "stage": news.stage,
            "pieces": len(board.pieces),
            "places": board.places,
        }
        if rest is not None and not rest.is_waiting:
            fields |= {"rest": round(rest.rest_s, TIME_DIGITS), "rested": rest.rested.value}
        return json.dumps(fields)

    def offer(self, offer: Offer, t_s: float) -> str:
        """Return the line of an offer.

        Parameters
        ----------
        offer : Offer
        t_s : float, seconds
            Of the line that it follows from.

        Returns
        -------
        str
            Without its newline.
        """
        fields = {
            "event": "offer",
            "t": round(t_s, TIME_DIGITS),
            "dough_left_g": self._grams(offer.dough_left_mg),
            **self._to_come(offer.planned),
            "instead": None if offer.instead is None else self._to_come(offer.instead),
            "text": offer.text(self.division_mg or MG_PER_G),
        }
        return json.dumps(fields)

    def _to_come(self, to_come: ToCome) -> dict[str, Any]:
        return {
            "to_come": to_come.pieces,
            "target_g": to_come.target_mg / MG_PER_G,
            "left_over_g": self._grams(to_come.left_mg),
        }

    def _cue(self, cue: Cue) -> str | None:
        if self._told is not None and _same(self._told, cue, self.division_mg or 1):
            return None
        self._told = cue
        fields = {
            "event": "cue",
            "t": self._now(cue.t_s),
            "piece": cue.piece,
            "touch": cue.touch,
            "grams": self._grams(cue.net_mg),
            "verdict": cue.verdict.value,
            "error": self._grams(cue.error_mg),
            "firm": cue.firm,
        }
        return json.dumps(fields)

    def _facts(self, piece: Piece) -> dict[str, Any]:
        return {
            "number": piece.number,
            "grams": self._grams(piece.final_mg),
            "first_grams": self._grams(piece.first_mg),
            "touches": piece.touches,
            "verdict": piece.verdict.value,
            "placed": round(piece.placed_s, TIME_DIGITS),
            "seconds": round(piece.seconds, TIME_DIGITS),
        }

    def _grams(self, mg: int) -> float:
        return round(mg / MG_PER_G, decimals(self.division_mg) if self.division_mg else 3)

    def _now(self, t_s: float) -> float:
        return round(self.stamp(t_s), TIME_DIGITS)


def end_line(totals: RunState | None, counts: Counts, head: str) -> str:
    """Return the last line of a batch.

    Parameters
    ----------
    totals : RunState or None
        None when nothing was weighed.
    counts : Counts
        Frames, good and bad.
    head : str
        Digest of the journal's last line.

    Returns
    -------
    str
    """
    mean_mg = totals.kept_mean_mg if totals else None
    sd_mg = totals.kept.sd_mg if totals else None
    fields = {
        "event": "end",
        "pieces": totals.kept.n if totals else 0,
        "lifted": len(totals.open_lifted) if totals else 0,
        "mean_g": None if mean_mg is None else round(mean_mg / MG_PER_G, MEAN_DIGITS),
        "sd_g": None if sd_mg is None else round(sd_mg / MG_PER_G, MEAN_DIGITS),
        "frames": counts.frames,
        "frames_bad": counts.unreadable,
        "head": head,
    }
    return json.dumps(fields)


def _same(told: Cue, cue: Cue, division_mg: int) -> bool:
    """Tell whether a person is told the same by two cues."""
    return (
        abs(told.net_mg - cue.net_mg) < division_mg
        and told.verdict is cue.verdict
        and told.firm == cue.firm
        and told.piece == cue.piece
        and told.touch == cue.touch
    )
