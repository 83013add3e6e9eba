"""What is promised before the first piece: products, limits, and the way of weighing."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum

from weighstation.errors import SpecificationError
from weighstation.quantities import mg_from_grams


class Way(Enum):
    """How pieces meet the scale."""

    SINGLE = "single"
    BUILD_UP = "build-up"
    TAKE_AWAY = "take-away"


class LiftedPolicy(Enum):
    """What a piece lifted out of band is taken for."""

    BACK = "back"
    BOARDED = "boarded"
    GUESS = "guess"


@dataclass(frozen=True, slots=True)
class Limits:
    """The band around a scaling weight; both limits belong to it.

    Parameters
    ----------
    target_mg : int, milligrams
        Scaling weight, positive.
    under_mg, over_mg : int, milligrams
        How far below and above a piece may be and still be kept; not negative.

    Raises
    ------
    SpecificationError
        If the target is not positive, a limit is negative, or the band reaches zero.
    """

    target_mg: int
    under_mg: int
    over_mg: int

    def __post_init__(self) -> None:
        """Refuse a band that no piece can meet."""
        faults = limit_faults(self.target_mg, self.under_mg, self.over_mg)
        if faults:
            raise SpecificationError("; ".join(faults) + ".", faults=faults)


def limit_faults(target_mg: int, under_mg: int, over_mg: int) -> tuple[str, ...]:
    """Return what is wrong with a band, in words; empty when nothing is.

    Parameters
    ----------
    target_mg, under_mg, over_mg : int, milligrams

    Returns
    -------
    tuple of str
    """
    faults = []
    if target_mg <= 0:
        faults.append("the scaling weight must be more than 0 g")
    if under_mg < 0:
        faults.append("'under' must be 0 g or more")
    if over_mg < 0:
        faults.append("'over' must be 0 g or more")
    if target_mg > 0 and under_mg >= target_mg:
        faults.append("'under' must be less than the scaling weight")
    return tuple(faults)


@dataclass(frozen=True, slots=True)
class Product:
    """What is being divided.

    Parameters
    ----------
    name : str
    limits : Limits
    declared_mg : int, milligrams, or None
        Declared weight of the baked loaf, where there is one.
    dough_cost_per_kg : Decimal or None
        Price of a kilogram of dough, in the catalogue's currency.
    """

    name: str
    limits: Limits
    declared_mg: int | None = None
    dough_cost_per_kg: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Catalogue:
    """The products of a shop.

    Parameters
    ----------
    currency : str
        Currency code or sign, as it is to be printed.
    products : tuple of Product
    """

    currency: str
    products: tuple[Product, ...]

    def product(self, name: str) -> Product:
        """Return the product of that name, its case ignored.

        Parameters
        ----------
        name : str

        Returns
        -------
        Product

        Raises
        ------
        SpecificationError
            If there is none.
        """
        for product in self.products:
            if product.name.casefold() == name.casefold():
                return product
        known = ", ".join(f"'{product.name}'" for product in self.products)
        raise SpecificationError(f"There is no product '{name}'.", hint=f"Choose one of {known}.")


_PRODUCT_KEYS = {
    "name": str,
    "scaling_weight_g": (int, float),
    "under_g": (int, float),
    "over_g": (int, float),
    "declared_g": (int, float),
    "dough_cost_per_kg": (int, float, str),
}
_NEEDED = ("name", "scaling_weight_g", "under_g", "over_g")


def parse_catalogue(text: str, *, source: str = "products.toml") -> Catalogue:
    """Return the catalogue that a product file describes.

    Parameters
    ----------
    text : str
        TOML with ``currency`` and ``[[product]]`` tables.
    source : str
        What to call the file in a message.

    Returns
    -------
    Catalogue

    Raises
    ------
    SpecificationError
        With every fault of the file at once.
    """
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as exc:
        raise SpecificationError(
            f"{source} is not valid TOML: {exc}.", hint="Mend that line and start again."
        ) from exc
    faults: list[str] = []
    currency = tables.get("currency")
    if not isinstance(currency, str) or not currency.strip():
        faults.append('currency is missing: write a line like currency = "EUR"')
    entries = tables.get("product")
    if not isinstance(entries, list) or not entries:
        faults.append("there is no [[product]] table")
        entries = []
    faults += [
        f"'{key}' is not known at the top of the file"
        for key in tables
        if key not in ("currency", "product")
    ]
    products = [_product(entry, place, faults) for place, entry in enumerate(entries, start=1)]
    names = [product.name.casefold() for product in products if product]
    faults += [f"the name '{name}' is used twice" for name in _repeated(names)]
    if faults:
        count = "1 fault" if len(faults) == 1 else f"{len(faults)} faults"
        raise SpecificationError(
            f"{source} has {count}: " + "; ".join(faults) + ".",
            hint="Mend the file and start again.",
            faults=tuple(faults),
        )
    return Catalogue(str(currency), tuple(product for product in products if product))


def _repeated(names: list[str]) -> list[str]:
    return sorted({name for name in names if names.count(name) > 1})


def _product(entry: object, place: int, faults: list[str]) -> Product | None:
    """Return one product, or None after adding its faults."""
    if not isinstance(entry, dict):
        faults.append(f"product {place} is not a table")
        return None
    where = f"product {place} ('{entry['name']}')" if entry.get("name") else f"product {place}"
    before = len(faults)
    for key in _NEEDED:
        if key not in entry:
            faults.append(f"{where}: {key} is missing")
    for key, value in entry.items():
        if key not in _PRODUCT_KEYS:
            faults.append(f"{where}: '{key}' is not known")
        elif isinstance(value, bool) or not isinstance(value, _PRODUCT_KEYS[key]):
            faults.append(f"{where}: {key} must be a {'text' if key == 'name' else 'number'}")
    if len(faults) > before:
        return None
    if not entry["name"].strip():
        faults.append(f"{where}: name is empty")
    numbers = {key: _decimal(entry[key]) for key in entry if key != "name"}
    for key, number in numbers.items():
        if number is None or not number.is_finite() or number < 0:
            faults.append(f"{where}: {key} must be a number, 0 or more")
    if len(faults) > before:
        return None
    masses = {key: mg_from_grams(number) for key, number in numbers.items() if number is not None}
    band = (masses["scaling_weight_g"], masses["under_g"], masses["over_g"])
    wrong = limit_faults(*band)
    if masses.get("declared_g") == 0:
        wrong += ("declared_g must be more than 0",)
    faults += [f"{where}: {fault}" for fault in wrong]
    if wrong:
        return None
    return Product(
        name=entry["name"].strip(),
        limits=Limits(*band),
        declared_mg=masses.get("declared_g"),
        dough_cost_per_kg=numbers.get("dough_cost_per_kg"),
    )


def _decimal(value: float | str) -> Decimal | None:
    try:
        return Decimal(str(value))
    except ArithmeticError:
        return None
