"""A day of a simulated bakery -> its facts, those that come days later too."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from random import Random
from typing import TYPE_CHECKING

from weighstation.simulate.year.cuts import Dividing, divide
from weighstation.simulate.year.facts import (
    LoafBaked,
    PieceStruckOut,
    PieceWeighed,
    RunBegan,
    RunClosed,
    ScaleTried,
    WeightTyped,
)

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from weighstation.journal.facts import PieceFacts
    from weighstation.simulate.year.bakery import Bakery, BakeryPerson, BakeryProduct, BakeryScale
    from weighstation.simulate.year.causes import YearCauses
    from weighstation.simulate.year.facts import YearFact
    from weighstation.simulate.year.truth import YearTruth

MINUTE_MS = 60_000
HOUR_MS = 60 * MINUTE_MS
DAY_MS = 24 * HOUR_MS
CHECK_AT_MS = 2 * HOUR_MS
BEGIN_AT_MS = 3 * HOUR_MS
TYPED_AT_MS = 15 * HOUR_MS
BETWEEN_RUNS_MS = 5 * MINUTE_MS
TO_THE_OVEN_MS = 2 * HOUR_MS
OUT_OF_OVEN_MS = HOUR_MS
STRUCK_OUT_AFTER_MS = 1000
AT_THE_BENCH, AT_THE_DESK = "struck out at the bench", "weighed with a scraper on the pan"


@dataclass(frozen=True, slots=True)
class Dough:
    """One dough of a day: who divides what, and where.

    Parameters
    ----------
    run : str
    product : BakeryProduct
    person : BakeryPerson
    scale : BakeryScale
    pieces : int
    """

    run: str
    product: BakeryProduct
    person: BakeryPerson
    scale: BakeryScale
    pieces: int


@dataclass(frozen=True, slots=True)
class Divided:
    """A dough that is divided.

    Parameters
    ----------
    dough : Dough
    began_ms : int, milliseconds since 1970
    pieces : list of (PieceFacts, int)
        Each with what it truly weighs, in milligrams.
    """

    dough: Dough
    began_ms: int
    pieces: list[tuple[PieceFacts, int]]

    @property
    def ended_ms(self) -> int:
        """When the last piece left the pan, milliseconds since 1970."""
        last, _ = self.pieces[-1]
        return self.began_ms + last.off_ms


class BakeryDay:
    """One day.

    Parameters
    ----------
    bakery : Bakery
    causes : YearCauses
    truth : YearTruth
    day : date
    """

    def __init__(self, bakery: Bakery, causes: YearCauses, truth: YearTruth, day: date) -> None:
        self._bakery = bakery
        self._causes = causes
        self._truth = truth
        self._day = day
        midnight = datetime(day.year, day.month, day.day, tzinfo=UTC)
        self._midnight_ms = round(midnight.timestamp() * 1000)

    def facts(self) -> Iterator[YearFact]:
        """Yield what comes of this day, bench by bench; sort it by time.

        Yields
        ------
        YearFact
        """
        weighed: list[Divided] = []
        yield from self._checks()
        for place in range(len(self._bakery.scales)):
            at_ms = self._midnight_ms + BEGIN_AT_MS
            for dough in self._doughs(place):
                divided = self._divided(dough, at_ms)
                at_ms = divided.ended_ms + BETWEEN_RUNS_MS
                if self._is_typed(dough.person):
                    yield from self._typed(divided)
                else:
                    weighed.append(divided)
                    yield from self._run(divided)
        yield from self._baked(weighed)

    def _random(self, *what: object) -> Random:
        """Return random numbers that belong to one thing of this day, whatever else happens."""
        return Random(" ".join(map(str, (self._truth.seed, self._day, *what))))

    def _doughs(self, place: int) -> Iterator[Dough]:
        """Yield the doughs of one bench; everybody moves on to the next bench every week."""
        bakery, scale = self._bakery, self._bakery.scales[place]
        week = self._day.isocalendar().week
        benches = len(bakery.scales)
        for product in bakery.products:
            for who, person in enumerate(bakery.people):
                if (who * benches // len(bakery.people) + week) % benches == place:
                    run = f"{self._day} {product.product.name}, {person.name}"
                    yield Dough(run, product, person, scale, self._pieces(run))

    def _pieces(self, run: str) -> int:
        usual = self._bakery.pieces * self._bakery.weekdays[self._day.weekday()]
        return max(1, round(usual * self._random(run, "pieces").uniform(0.9, 1.1)))

    def _offset_mg(self, scale: BakeryScale) -> int:
        off = self._truth.scale_off
        return off.offset_mg if off and off.scale == scale.name and off.is_off(self._day) else 0

    def _is_typed(self, person: BakeryPerson) -> bool:
        typed = self._truth.typed
        return typed is not None and person.name == typed.person and self._day in typed.days

    def _checks(self) -> Iterator[YearFact]:
        if self._day.weekday() not in self._bakery.check_weekdays:
            return
        off = self._truth.scale_off
        for place, scale in enumerate(self._bakery.scales):
            at_ms = self._midnight_ms + CHECK_AT_MS + place * 4 * MINUTE_MS
            if off and off.scale == scale.name and off.found == self._day:
                yield self._tried(scale, at_ms, off.offset_mg)
                at_ms += 20 * MINUTE_MS
            yield self._tried(scale, at_ms, 0)

    def _tried(self, scale: BakeryScale, at_ms: int, offset_mg: int) -> ScaleTried:
        division_mg = scale.division_mg
        indicated_mg = round((scale.check_load_mg + offset_mg) / division_mg) * division_mg
        is_fit = abs(indicated_mg - scale.check_load_mg) <= scale.check_limit_mg
        return ScaleTried(
            t_utc_ms=at_ms,
            scale=scale.name,
            person=self._bakery.people[self._day.toordinal() % len(self._bakery.people)].name,
            load_mg=scale.check_load_mg,
            indicated_mg=indicated_mg,
            limit_mg=scale.check_limit_mg,
            division_mg=division_mg,
            is_fit=is_fit,
        )

    def _divided(self, dough: Dough, began_ms: int) -> Divided:
        rng = self._random(dough.run)
        dough_shift = rng.gauss(0.0, self._bakery.dough_spread)
        run = self._dividing(dough, dough_shift if self._causes.doughs_differ else 0.0)
        return Divided(dough, began_ms, list(divide(run, pieces=dough.pieces, rng=rng)))

    def _dividing(self, dough: Dough, shift: float) -> Dividing:
        bakery, causes, drifted = self._bakery, self._causes, self._truth.drifted
        if drifted and drifted.person == dough.person.name:
            shift += drifted.shift(self._day)
        return Dividing(
            person=dough.person if causes.people_differ else bakery.everyone,
            limits=dough.product.product.limits,
            division_mg=dough.scale.division_mg,
            offset_mg=self._offset_mg(dough.scale),
            shift=shift,
            ageing_per_min=bakery.ageing_per_min if causes.doughs_age else 0.0,
            agreement=bakery.agreement if causes.neighbours_agree else 0.0,
            most_touches=bakery.most_touches,
            boarded_anyway=bakery.boarded_anyway,
            heavy_are_boarded=causes.heavy_are_boarded,
        )

    def _run(self, divided: Divided) -> Iterator[YearFact]:
        dough, began_ms = divided.dough, divided.began_ms
        yield RunBegan(
            t_utc_ms=began_ms,
            run=dough.run,
            product=dough.product.product,
            person=dough.person.name,
            scale=dough.scale.name,
            dough=f"{dough.product.product.name} {self._day} {dough.person.name}",
            division_mg=dough.scale.division_mg,
        )
        for piece, _ in divided.pieces:
            yield PieceWeighed(began_ms + piece.off_ms, dough.run, piece)
        voids = list(self._voids(divided))
        yield from voids
        ended_ms = divided.ended_ms + 2 * STRUCK_OUT_AFTER_MS
        struck_out = sum(void.t_utc_ms < ended_ms for void in voids)
        yield RunClosed(ended_ms, dough.run, len(divided.pieces), struck_out)

    def _voids(self, divided: Divided) -> Iterator[PieceStruckOut]:
        bakery, causes, run = self._bakery, self._causes, divided.dough.run
        rng = self._random(run, "voids")
        for piece, _ in divided.pieces:
            chance, days = rng.random(), 1 + 9 * rng.random()
            left_ms = divided.began_ms + piece.off_ms
            if chance < bakery.struck_out:
                if causes.pieces_struck_out:
                    at_ms = left_ms + STRUCK_OUT_AFTER_MS
                    yield PieceStruckOut(at_ms, run, piece, AT_THE_BENCH)
            elif chance < bakery.struck_out + bakery.struck_out_late and causes.struck_out_late:
                at_ms = left_ms + round(DAY_MS * days)
                yield PieceStruckOut(at_ms, run, piece, AT_THE_DESK)

    def _typed(self, divided: Divided) -> Iterator[WeightTyped]:
        """Yield what a person types who weighed nothing: about these weights, made round."""
        dough = divided.dough
        limits, step_mg = dough.product.product.limits, 5 * dough.scale.division_mg
        order = self._bakery.products.index(dough.product)
        for piece, _ in divided.pieces:
            round_mg = round(piece.final_mg / step_mg) * step_mg
            off_mg = round_mg - limits.target_mg
            in_band = -limits.under_mg <= off_mg <= limits.over_mg
            said_ms = divided.began_ms + piece.placed_ms
            yield WeightTyped(
                t_utc_ms=self._midnight_ms + TYPED_AT_MS + order * MINUTE_MS + piece.number * 20,
                said_utc_ms=said_ms // MINUTE_MS * MINUTE_MS,
                product=dough.product.product,
                person=dough.person.name,
                net_mg=round_mg if in_band else limits.target_mg,
            )

    def _baked(self, weighed: list[Divided]) -> Iterator[LoafBaked]:
        """Yield baked loaves of the first dough of each product that was weighed."""
        for product in self._bakery.products:
            found = next((one for one in weighed if one.dough.product is product), None)
            if found:
                yield from self._lot(found)

    def _lot(self, divided: Divided) -> Iterator[LoafBaked]:
        dough, product = divided.dough, divided.dough.product
        rng = self._random(product.product.name, "oven")
        causes = self._causes
        lot_loss = causes.lots_differ * rng.gauss(0.0, product.lot_spread)
        loaves = min(self._bakery.lot_loaves, len(divided.pieces))
        division_mg, offset_mg = dough.scale.division_mg, self._offset_mg(dough.scale)
        for number in range(1, loaves + 1):
            piece, true_mg = divided.pieces[(number - 1) * len(divided.pieces) // loaves]
            loaf_loss = causes.loaves_differ * rng.gauss(0.0, product.loaf_spread)
            baked_mg = true_mg * (1 - product.oven_loss - lot_loss - loaf_loss)
            yield LoafBaked(
                t_utc_ms=divided.ended_ms + TO_THE_OVEN_MS + OUT_OF_OVEN_MS + number * 15_000,
                run=dough.run,
                product=product.product,
                number=number,
                piece=piece.number,
                baked_mg=round((baked_mg + offset_mg) / division_mg) * division_mg,
                scale=dough.scale.name,
                out_of_oven_ms=OUT_OF_OVEN_MS + number * 15_000,
            )
