"""Loads of a scale -> baked loaves that count: no band, because a loaf cannot be trimmed."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from weighstation.events import (
    Loaf,
    LoafNotCounted,
    LoafShown,
    LoafVoided,
    LoafWeighed,
    Weighing,
    WhyNot,
)
from weighstation.quantities import MG_PER_G

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from weighstation.evaluate.marks import Marks
    from weighstation.events import LoafOutcome, PanLeft

LEAST_SHARE = 3
"""A loaf below a third of its piece of dough is asked about; house figure.

The flour alone is two fifths of the wettest dough (`weighstation.plan.loss.loss_ratio.LEAST_KEPT`).
"""
AGAIN_SHARE = 20
"""Put on again within a twentieth of what was asked about, it is meant so."""
CHANGED_SHARE = 50
CHANGED_DIVISIONS = 3
"""By more than a fiftieth, and three divisions, no loaf changes while it lies there: another one
was laid beside it, or taken off. Drying takes a part in a thousand a minute at most."""


class LoafCounter:
    """Counts every load that left the pan and can be a loaf.

    Parameters
    ----------
    raw_mg : mapping of int to int, milligrams
        What the pieces of the batch weighed as dough, by their numbers; at least one.
    marks : Marks
    before : iterable of Loaf
        Loaves of the batch that count already, in order.
    next_number : int
        Of the next loaf; more than 1 when a batch goes on.

    Attributes
    ----------
    raw_mg : dict of int to int, milligrams
    marks : Marks
    """

    def __init__(
        self,
        raw_mg: Mapping[int, int],
        marks: Marks,
        before: Iterable[Loaf] = (),
        *,
        next_number: int = 1,
    ) -> None:
        self.marks = marks
        self.raw_mg = dict(raw_mg)
        self._loaves = list(before)
        self._next = next_number
        self._levels_mg: dict[int, int] = {}
        self._told: LoafShown | None = None
        self._asked_mg: int | None = None

    @property
    def last(self) -> Loaf | None:
        """The loaf that would be struck out now."""
        return self._loaves[-1] if self._loaves else None

    def feed(self, item: Weighing | PanLeft, *, division_mg: int = MG_PER_G) -> list[LoafOutcome]:
        """Take in what the detector saw.

        Parameters
        ----------
        item : Weighing or PanLeft
        division_mg : int, milligrams
            Of the scale.

        Returns
        -------
        list of LoafOutcome
        """
        if isinstance(item, Weighing):
            return self._shown(item, division_mg)
        lay = [mg for touch, mg in self._levels_mg.items() if touch <= item.touches]
        self.forget_load()
        return [self._left(item, [*lay, item.first_mg], division_mg)]

    def forget_load(self) -> None:
        """Forget the load on the pan, because nobody sees it leave."""
        self._levels_mg, self._told = {}, None

    def strike_out(self, t_s: float, reason: str) -> LoafVoided | None:
        """Take off the last loaf that counts.

        Parameters
        ----------
        t_s : float, seconds
        reason : str

        Returns
        -------
        LoafVoided or None
            None where none counts.
        """
        if not self._loaves:
            return None
        loaf = self._loaves.pop()
        if loaf.piece is not None:
            self.marks.give_back(loaf.piece)
        return LoafVoided(t_s, loaf, reason)

    def _shown(self, now: Weighing, division_mg: int) -> list[LoafOutcome]:
        if now.firm:  # a hand that rested on it is corrected within its touch
            self._levels_mg[now.touch] = now.net_mg
        shown = LoafShown(
            t_s=now.t_s,
            number=self._next,
            net_mg=now.net_mg,
            firm=now.firm,
            piece=self.marks.next,
            why_not=self._why_not(now.net_mg) if now.firm else None,
        )
        if self._told is not None and _is_same(self._told, shown, division_mg):
            return []
        self._told = shown
        return [shown]

    def _left(self, gone: PanLeft, levels_mg: list[int], division_mg: int) -> LoafOutcome:
        net_mg = gone.final_mg
        slack_mg = max(net_mg // CHANGED_SHARE, CHANGED_DIVISIONS * division_mg)
        has_changed = any(abs(level_mg - net_mg) > slack_mg for level_mg in levels_mg)
        why = WhyNot.CHANGED if has_changed else self._why_not(net_mg)
        self._asked_mg = net_mg if why is WhyNot.LIGHT else None
        if why is not None:
            piece = self.marks.next
            return LoafNotCounted(gone.t_s, net_mg, why, self._held_against_mg(why), piece)
        number, self._next = self._next, self._next + 1
        loaf = Loaf(number, gone.t_s, net_mg, self.marks.take(number))
        self._loaves.append(loaf)
        return LoafWeighed(loaf)

    def _why_not(self, net_mg: int) -> WhyNot | None:
        if net_mg >= self._held_against_mg(WhyNot.HEAVY):
            return WhyNot.HEAVY
        if LEAST_SHARE * net_mg >= self._held_against_mg(WhyNot.LIGHT):
            return None
        asked_mg = self._asked_mg
        is_meant = asked_mg is not None and AGAIN_SHARE * abs(net_mg - asked_mg) <= asked_mg
        return None if is_meant else WhyNot.LIGHT

    def _held_against_mg(self, why: WhyNot) -> int:
        """Return the piece of dough in milligrams: the marked one, else what leaves no doubt."""
        piece = self.marks.next
        if piece is not None:
            return self.raw_mg[piece]
        every_mg = self.raw_mg.values()
        return min(every_mg) if why is WhyNot.LIGHT else max(every_mg)


def _is_same(told: LoafShown, shown: LoafShown, division_mg: int) -> bool:
    """Tell whether nothing is new, the weight by less than a division."""
    is_near = abs(told.net_mg - shown.net_mg) < division_mg
    return is_near and told == replace(shown, t_s=told.t_s, net_mg=told.net_mg)
