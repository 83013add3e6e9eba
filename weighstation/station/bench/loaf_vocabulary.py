"""Baked loaves -> the JSON lines that a program can read."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from weighstation.events import LoafNotCounted, LoafShown, LoafVoided, LoafWeighed
from weighstation.quantities import MG_PER_G, decimals
from weighstation.station.bench.loaf_words import not_counted_text
from weighstation.station.bench.vocabulary import MEAN_DIGITS, TIME_DIGITS

if TYPE_CHECKING:
    from collections.abc import Mapping

    from weighstation.acquire import Counts
    from weighstation.events import Loaf, LoafOutcome
    from weighstation.station.bench.loaf_lines import LoafPromise, LoafStanding

MINUTE_DIGITS = 2
LOSS_DIGITS = 5


class LoafVocabulary:
    """Writes what happens to loaves as lines, none with an earlier time than the one before it.

    Parameters
    ----------
    promise : LoafPromise
    raw_mg : mapping of int to int, milligrams
        Pieces of the batch as dough, by their numbers.

    Attributes
    ----------
    division_mg : int, milligrams, or None
        Gives masses their digits; None while it is not known.
    """

    def __init__(self, promise: LoafPromise, raw_mg: Mapping[int, int]) -> None:
        self.division_mg: int | None = None
        self._promise = promise
        self._raw_mg = raw_mg
        self._t_s = 0.0

    def line(self, outcome: LoafOutcome) -> str:
        """Return the line of an outcome.

        Parameters
        ----------
        outcome : LoafOutcome

        Returns
        -------
        str
            Without its newline.
        """
        match outcome:
            case LoafShown():
                fields = {
                    "event": "on_pan",
                    "t": self._now(outcome.t_s),
                    "loaf": outcome.number,
                    "grams": self._grams(outcome.net_mg),
                    "firm": outcome.firm,
                    "piece": outcome.piece,
                }
            case LoafWeighed(loaf):
                fields = {"event": "loaf", "t": self._now(loaf.t_s), **self._facts(loaf)}
            case LoafNotCounted():
                fields = {
                    "event": "not_counted",
                    "t": self._now(outcome.t_s),
                    "grams": self._grams(outcome.net_mg),
                    "why": outcome.why.value,
                    "piece": outcome.piece,
                    "text": not_counted_text(outcome, self.division_mg or MG_PER_G),
                }
            case LoafVoided():
                fields = {
                    "event": "voided",
                    "t": self._now(outcome.t_s),
                    "number": outcome.loaf.number,
                    "reason": outcome.reason,
                }
        return json.dumps(fields)

    def _facts(self, loaf: Loaf) -> dict[str, Any]:
        raw_mg = None if loaf.piece is None else self._raw_mg[loaf.piece]
        out_min = self._promise.out_min(loaf.t_s)
        return {
            "number": loaf.number,
            "grams": self._grams(loaf.baked_mg),
            "piece": loaf.piece,
            "raw_grams": None if raw_mg is None else self._grams(raw_mg),
            "loss": None if raw_mg is None else round(1 - loaf.baked_mg / raw_mg, LOSS_DIGITS),
            "minutes": None if out_min is None else round(out_min, MINUTE_DIGITS),
        }

    def _grams(self, mg: int) -> float:
        return round(mg / MG_PER_G, decimals(self.division_mg) if self.division_mg else 3)

    def _now(self, t_s: float) -> float:
        self._t_s = max(self._t_s, t_s)
        return round(self._t_s, TIME_DIGITS)


def loaves_end_line(standing: LoafStanding, counts: Counts, head: str) -> str:
    """Return the last line where loaves were weighed.

    Parameters
    ----------
    standing : LoafStanding
    counts : Counts
        Frames, good and bad.
    head : str
        Digest of the journal's last line.

    Returns
    -------
    str
    """
    mean_mg, sd_mg = standing.mean_mg, standing.sd_mg
    fields = {
        "event": "end",
        "loaves": standing.counted,
        "mean_g": None if mean_mg is None else round(mean_mg / MG_PER_G, MEAN_DIGITS),
        "sd_g": None if sd_mg is None else round(sd_mg / MG_PER_G, MEAN_DIGITS),
        "frames": counts.frames,
        "frames_bad": counts.unreadable,
        "head": head,
    }
    return json.dumps(fields)
