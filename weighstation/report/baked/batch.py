"""Baked loaves of batches -> weights at one hour, and what the loss of the oven is learned from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weighstation.errors import SpecificationError
from weighstation.monitor.moments import Moments
from weighstation.plan import BatchMeans, one_hour_share
from weighstation.plan.loss.loss_ratio import checked_pairs
from weighstation.plan.loss.one_hour import ONE_HOUR_MIN
from weighstation.quantities import grams

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from weighstation.journal import BakedLoaf, CountedLoaf
    from weighstation.plan.loss.loss_ratio import Pair
    from weighstation.specification import Product

NEAR_HOUR_MIN = 5.0
"""So many minutes beside one hour are one hour; house figure.

By the 1 to 2 % that a loaf loses in its first hour (common practice, no source) they are 0.7 to
1.3 g of 800 g, and ten loaves are not weighed in one moment.
"""
_MS_PER_MIN = 60_000


@dataclass(frozen=True, slots=True)
class BakedBatch:
    """A batch of which loaves were weighed.

    Parameters
    ----------
    batch : str
        Its newest run.
    product : Product
        As promised.
    began_utc_ms : int, milliseconds since 1970 UTC
        When its dividing began.
    raw_mg : mapping of int to int, milligrams
        Its counted pieces as they left the bench, by their numbers.
    loaves : tuple of CountedLoaf
        In the order they were weighed.
    struck_out : tuple of (int, str)
        Numbers of loaves that count no longer, and why.
    doubtful : frozenset of int
        Numbers of loaves that a failed check of their scale makes doubtful.
    doubtful_pieces : frozenset of int
        The same of pieces.
    """

    batch: str
    product: Product
    began_utc_ms: int
    raw_mg: Mapping[int, int]
    loaves: tuple[CountedLoaf, ...]
    struck_out: tuple[tuple[int, str], ...] = ()
    doubtful: frozenset[int] = frozenset()
    doubtful_pieces: frozenset[int] = frozenset()

    @property
    def weights_g(self) -> tuple[float, ...]:
        """Of the loaves, as they were weighed; grams."""
        return tuple(grams(counted.loaf.baked_mg) for counted in self.loaves)

    @property
    def minutes(self) -> tuple[float, ...] | None:
        """Out of the oven when each was weighed; None where that is not known of all."""
        spans_ms = [counted.loaf.out_of_oven_ms for counted in self.loaves]
        known_ms = [span_ms for span_ms in spans_ms if span_ms is not None]
        is_known = len(known_ms) == len(spans_ms)
        return tuple(span_ms / _MS_PER_MIN for span_ms in known_ms) if is_known else None

    @property
    def out_before_cut(self) -> tuple[int, ...]:
        """Numbers of loaves that are said to have left the oven before their dough was divided."""
        return tuple(
            counted.loaf.number
            for counted in self.loaves
            if counted.loaf.out_of_oven_ms is not None
            and counted.t_utc_ms - counted.loaf.out_of_oven_ms < self.began_utc_ms
        )

    @property
    def is_at_one_hour(self) -> bool:
        """Whether every loaf was weighed about one hour out of the oven."""
        minutes = self.minutes
        return bool(minutes) and all(map(_is_one_hour, minutes or ()))

    def one_hour_g(self, cooling_loss_per_h: float | None) -> tuple[float, ...]:
        """Return what the loaves weigh one hour out of the oven.

        Parameters
        ----------
        cooling_loss_per_h : float or None
            As for `weighstation.plan.one_hour_share`.

        Returns
        -------
        (n,) tuple of float, grams

        Raises
        ------
        SpecificationError
            If that cannot be said of one of them.
        """
        return tuple(_one_hour_g(counted.loaf, cooling_loss_per_h) for counted in self.loaves)

    def best_g(self, cooling_loss_per_h: float | None) -> tuple[float, ...]:
        """Return the weights at one hour where that can be said of all, else as they were weighed.

        Parameters
        ----------
        cooling_loss_per_h : float or None

        Returns
        -------
        (n,) tuple of float, grams
        """
        try:
            return self.one_hour_g(cooling_loss_per_h)
        except SpecificationError:
            return self.weights_g


def _is_one_hour(minutes: float) -> bool:
    return abs(minutes - ONE_HOUR_MIN) <= NEAR_HOUR_MIN


def _one_hour_g(loaf: BakedLoaf, cooling_loss_per_h: float | None) -> float:
    if loaf.out_of_oven_ms is None:
        raise SpecificationError(
            f"Nobody said when loaf {loaf.number} left the oven.",
            hint="Give --out-of-oven when loaves are weighed.",
        )
    minutes = loaf.out_of_oven_ms / _MS_PER_MIN
    if _is_one_hour(minutes):
        return grams(loaf.baked_mg)
    # In tenths, because the minutes stand in the sentence that refuses them.
    share = one_hour_share(round(minutes, 1), cooling_loss_per_h=cooling_loss_per_h)
    return share * grams(loaf.baked_mg)


@dataclass(frozen=True, slots=True)
class Learned:
    """What `weighstation.plan.loss.oven_loss` learns from.

    Parameters
    ----------
    pairs : tuple of (float, float), grams
        Raw and baked weight of marked loaves.
    batches : tuple of BatchMeans
        Loaves without marks, and the pieces of their batches that no marked loaf was.
    left_out : tuple of str
        What is not among them, and why; one sentence each.
    """

    pairs: tuple[Pair, ...] = ()
    batches: tuple[BatchMeans, ...] = ()
    left_out: tuple[str, ...] = ()


def learned(batches: Iterable[BakedBatch], *, cooling_loss_per_h: float | None = None) -> Learned:
    """Return what the loaves of a product teach about its oven.

    Parameters
    ----------
    batches : iterable of BakedBatch
        Of one product.
    cooling_loss_per_h : float or None
        For the weights at one hour, batch by batch where that can be said of all its loaves.

    Returns
    -------
    Learned

    Notes
    -----
    Doubtful pieces and loaves teach nothing, nor do pairs and means that no loaf can have. One
    marked loaf alone counts with the others of its batch.
    """
    found = tuple(batches)
    lessons = [_Lesson(batch, cooling_loss_per_h) for batch in found]
    if sum(len(lesson.pairs) for lesson in lessons) == 1:
        lessons = [_Lesson(batch, cooling_loss_per_h, marked=False) for batch in found]
    return Learned(
        pairs=tuple(pair for lesson in lessons for pair in lesson.pairs),
        batches=tuple(lesson.means for lesson in lessons if lesson.means is not None),
        left_out=tuple(said for lesson in lessons for said in lesson.left_out),
    )


class _Lesson:
    """What one batch teaches."""

    def __init__(
        self, batch: BakedBatch, cooling_loss_per_h: float | None, *, marked: bool = True
    ) -> None:
        self.pairs: list[Pair] = []
        self.means: BatchMeans | None = None
        self.left_out: list[str] = []
        raw_g = {
            number: grams(mg)
            for number, mg in batch.raw_mg.items()
            if number not in batch.doubtful_pieces
        }
        rest_g: list[float] = []
        weights_g = batch.best_g(cooling_loss_per_h)
        for counted, baked_g in zip(batch.loaves, weights_g, strict=True):
            loaf = counted.loaf
            if loaf.number in batch.doubtful:
                continue
            if not marked or loaf.piece is None:
                rest_g.append(baked_g)
            elif loaf.piece in raw_g:
                self._pair(batch, loaf.number, (raw_g.pop(loaf.piece), baked_g))
        self._batch(batch, list(raw_g.values()), rest_g)
        if batch.doubtful:
            self.left_out.append(f"{len(batch.doubtful)} doubtful of batch {batch.batch}.")

    def _pair(self, batch: BakedBatch, number: int, pair: Pair) -> None:
        fault = _pair_fault(pair)
        if fault:
            self.left_out.append(f"Loaf {number} of batch {batch.batch}: {fault}.")
        else:
            self.pairs.append(pair)

    def _batch(self, batch: BakedBatch, raw_g: list[float], baked_g: list[float]) -> None:
        if len(raw_g) < 2 or len(baked_g) < 2:
            return
        means = BatchMeans(Moments.of(raw_g), Moments.of(baked_g))
        fault = _pair_fault((means.raw.mean, means.baked.mean))
        if fault:
            self.left_out.append(f"The loaves without marks of batch {batch.batch}: {fault}.")
        else:
            self.means = means


def _pair_fault(pair: Pair) -> str:
    """Return why a raw and a baked weight cannot be of one loaf; empty where they can."""
    try:
        checked_pairs([pair])
    except SpecificationError as exc:
        return exc.faults[0].partition(": ")[2]
    return ""
