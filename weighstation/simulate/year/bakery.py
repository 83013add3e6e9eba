"""An invented bakery: its products, people, scales and habits."""

from __future__ import annotations

from dataclasses import dataclass
from statistics import fmean

from weighstation.errors import SpecificationError
from weighstation.specification.limits import Limits
from weighstation.specification.product import Product


@dataclass(frozen=True, slots=True)
class BakeryPerson:
    """How one person divides.

    Parameters
    ----------
    name : str
    bias, spread : float, fractions of the scaling weight
        Mean error and standard deviation of the first cut.
    miss : float, fraction of the error
        Standard deviation of what a correction leaves.
    aims_inside : float
        Where a correction aims: 0 at the scaling weight, 1 at the limit that was passed.
    pace : float
        Length of every movement; 1 is usual, less is faster.
    """

    name: str
    bias: float
    spread: float
    miss: float = 0.2
    aims_inside: float = 0.0
    pace: float = 1.0


@dataclass(frozen=True, slots=True)
class BakeryScale:
    """One scale of the bakery.

    Parameters
    ----------
    name : str
    division_mg : int, milligrams
    check_load_mg : int, milligrams
        What it is checked with.
    check_limit_mg : int, milligrams
        How far off it may be then.
    """

    name: str
    division_mg: int = 1000
    check_load_mg: int = 1_000_000
    check_limit_mg: int = 1000


@dataclass(frozen=True, slots=True)
class BakeryProduct:
    """A product and what the oven does to it.

    Parameters
    ----------
    product : Product
    oven_loss : float, fraction of the dough
        On average.
    lot_spread, loaf_spread : float, fractions of the dough
        Standard deviation of the loss from lot to lot, and within one.
    """

    product: Product
    oven_loss: float
    lot_spread: float = 0.004
    loaf_spread: float = 0.006


@dataclass(frozen=True, slots=True)
class Bakery:
    """All that a year is made of.

    Parameters
    ----------
    products : tuple of BakeryProduct
    people : tuple of BakeryPerson
    scales : tuple of BakeryScale
        One to a bench; people change benches every week.
    pieces : int
        That one person divides of one product on a usual day: one dough.
    weekdays : (7,) tuple of float
        That number is multiplied by this from Monday to Sunday; 0 is closed.
    check_weekdays : tuple of int
        When scales are checked, 0 for Monday.
    lot_loaves : int
        Baked loaves that are weighed of each product every day.
    dough_spread : float, fraction of the scaling weight
        Standard deviation of what a dough does to all its first cuts.
    ageing_per_min : float, fraction of the scaling weight per minute
        What a minute more does to a first cut.
    agreement : float
        Lag-1 autocorrelation of first cuts within a dough; from 0 to below 1.
    drift_per_week : float, fraction of the scaling weight
    drift_weeks : int
    off_mg : int, milligrams
        What the scale shows too much while it is off.
    typed_days : int
        Days of work for which weights are typed.
    most_touches : int
        After so many the piece is boarded as it is.
    boarded_anyway : float, share of pieces out of band
        Boarded as first cut.
    struck_out, struck_out_late : float, shares of pieces

    Raises
    ------
    SpecificationError
        If a bench has nobody, or nothing is sold.
    """

    products: tuple[BakeryProduct, ...]
    people: tuple[BakeryPerson, ...]
    scales: tuple[BakeryScale, ...]
    pieces: int = 156
    weekdays: tuple[float, ...] = (0.8, 0.9, 0.95, 1.0, 1.2, 1.3, 0.0)
    check_weekdays: tuple[int, ...] = (0, 3)
    lot_loaves: int = 8
    dough_spread: float = 0.003
    ageing_per_min: float = -0.00025
    agreement: float = 0.2
    drift_per_week: float = 0.001
    drift_weeks: int = 10
    off_mg: int = 3000
    typed_days: int = 4
    most_touches: int = 4
    boarded_anyway: float = 0.01
    struck_out: float = 0.0008
    struck_out_late: float = 0.00004

    def __post_init__(self) -> None:
        """Refuse a bakery in which nothing can happen."""
        if not self.products or not self.scales or len(self.people) < len(self.scales):
            raise SpecificationError("A bakery takes a product, a scale, and a person for each.")
        if len(self.weekdays) != 7 or sum(share > 0 for share in self.weekdays) < 2:
            raise SpecificationError("Give seven weekdays, at least two of them open.")

    @property
    def everyone(self) -> BakeryPerson:
        """Return one person who is the mean of all."""
        return BakeryPerson(
            name="everyone",
            bias=fmean(person.bias for person in self.people),
            spread=fmean(person.spread for person in self.people),
            miss=fmean(person.miss for person in self.people),
            aims_inside=fmean(person.aims_inside for person in self.people),
            pace=fmean(person.pace for person in self.people),
        )


def invented_bakery() -> Bakery:
    """Return three products, four people and two scales.

    Returns
    -------
    Bakery

    Notes
    -----
    Products, bands and losses are those of the file that ``init`` writes. A skilled person's first
    cuts spread by 2 to 4 % (common practice, no source); the other numbers are invented.
    """
    return Bakery(
        products=(
            BakeryProduct(_product("Tin loaf", (920, 5, 10), declared_g=800), 0.118),
            BakeryProduct(_product("Hearth loaf", (1195, 8, 12), declared_g=1000), 0.152),
            BakeryProduct(_product("Sesame roll", (70, 2, 2)), 0.16),
        ),
        people=(
            BakeryPerson("Person A", bias=0.004, spread=0.020),
            BakeryPerson("Person B", bias=-0.002, spread=0.025, pace=1.1),
            BakeryPerson("Person C", bias=0.008, spread=0.032, miss=0.3, pace=1.3),
            BakeryPerson("Person D", bias=0.001, spread=0.022, aims_inside=0.5, pace=0.9),
        ),
        scales=(BakeryScale("left bench"), BakeryScale("right bench")),
    )


def _product(name: str, band_g: tuple[int, int, int], declared_g: int | None = None) -> Product:
    target_mg, under_mg, over_mg = (1000 * grams for grams in band_g)
    declared_mg = None if declared_g is None else 1000 * declared_g
    return Product(name, Limits(target_mg, under_mg, over_mg), declared_mg=declared_mg)
