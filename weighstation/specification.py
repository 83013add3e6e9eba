"""What is promised before the first piece: products, limits, and the way of weighing."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import Enum

from weighstation.errors import SpecificationError
from weighstation.quantities import mg_from_grams

MOST_G = 1_000_000
"""No weight for a bench, and no price of dough, is as large as this."""


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
        faults = limit_faults(self.target_mg, self.under_mg, self.over_mg, names=_IN_WORDS)
        if faults:
            raise SpecificationError(
                "; ".join(faults) + ".",
                hint="Give a band that a piece can lie in.",
                faults=faults,
            )


@dataclass(frozen=True, slots=True)
class Guard:
    """How a band was drawn in, so that a piece that reads within it lies within the promised one.

    Parameters
    ----------
    width_mg : int, milligrams
        On either side; not negative.
    check_line : int
        Number of the line of the scale's check that it rests on.
    """

    width_mg: int
    check_line: int

    def widened(self, limits: Limits) -> Limits:
        """Return a band as it was promised, before it was drawn in.

        Parameters
        ----------
        limits : Limits

        Returns
        -------
        Limits
        """
        under_mg, over_mg = limits.under_mg + self.width_mg, limits.over_mg + self.width_mg
        return Limits(limits.target_mg, under_mg, over_mg)


_IN_WORDS = ("The scaling weight", "'under'", "'over'")


def limit_faults(
    target_mg: int, under_mg: int, over_mg: int, *, names: tuple[str, str, str]
) -> tuple[str, ...]:
    """Return what is wrong with a band, in words; empty when nothing is.

    Parameters
    ----------
    target_mg, under_mg, over_mg : int, milligrams
    names : (3,) tuple of str
        What the three are called where they were given.

    Returns
    -------
    tuple of str
    """
    target, under, over = names
    faults = []
    if target_mg <= 0:
        faults.append(f"{target} must be more than 0 g")
    if under_mg < 0:
        faults.append(f"{under} must be 0 g or more")
    if over_mg < 0:
        faults.append(f"{over} must be 0 g or more")
    if target_mg > 0 and under_mg >= target_mg:
        faults.append(f"{under} must be less than {target[0].lower()}{target[1:]}")
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
    is_guarded : bool
        The band is to be drawn in by what a weighing does not know.
    """

    name: str
    limits: Limits
    declared_mg: int | None = None
    dough_cost_per_kg: Decimal | None = None
    is_guarded: bool = False


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


@dataclass(frozen=True, slots=True)
class _Key:
    """What a key of a product table may hold."""

    types: tuple[type, ...]
    word: str


_TEXT = _Key((str,), "text")
_NUMBER = _Key((int, float), "number")
_PRICE = _Key((int, float, str), "number")
_TRUTH = _Key((bool,), "true or false")
_PRODUCT_KEYS = {
    "name": _TEXT,
    "scaling_weight_g": _NUMBER,
    "under_g": _NUMBER,
    "over_g": _NUMBER,
    "declared_g": _NUMBER,
    "dough_cost_per_kg": _PRICE,
    "guard": _TRUTH,
}
_BAND_KEYS = ("scaling_weight_g", "under_g", "over_g")
_NEEDED = ("name", *_BAND_KEYS)
_TOP_KEYS = ("currency", "product")


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
    tables = _tables(text, source)
    entries = tables.get("product")
    entries = entries if isinstance(entries, list) else []
    faults = _top_faults(tables)
    products = []
    for place, entry in enumerate(entries, start=1):
        product, found = _product(entry, place)
        faults += found
        products += [product] if product else []
    faults += _repeated(entries)
    if faults:
        raise _faulty(source, faults)
    return Catalogue(str(tables["currency"]), tuple(products))


def _tables(text: str, source: str) -> dict[str, object]:
    import tomllib  # noqa: PLC0415 - a replay reads no products

    try:
        return tomllib.loads(text)
    except ValueError as exc:  # bad TOML, or an integer past all bounds
        raise SpecificationError(
            f"{source} is not valid TOML: {exc}.", hint="Mend that line and start again."
        ) from exc


def _faulty(source: str, faults: list[str]) -> SpecificationError:
    count = "1 fault" if len(faults) == 1 else f"{len(faults)} faults"
    return SpecificationError(
        f"{source} has {count}: " + "; ".join(faults) + ".",
        hint="Mend the file and start again.",
        faults=tuple(faults),
    )


def _top_faults(tables: dict[str, object]) -> list[str]:
    faults = []
    currency, entries = tables.get("currency"), tables.get("product")
    if not isinstance(currency, str) or not currency.strip():
        faults.append('currency is missing: write a line like currency = "EUR"')
    if not isinstance(entries, list) or not entries:
        faults.append("there is no [[product]] table")
    unknown = (key for key in tables if key not in _TOP_KEYS)
    return faults + [f"'{key}' is not known at the top of the file" for key in unknown]


def _repeated(entries: list[object]) -> list[str]:
    given = [entry.get("name") for entry in entries if isinstance(entry, dict)]
    names = [name.strip().casefold() for name in given if isinstance(name, str)]
    twice = sorted({name for name in names if name and names.count(name) > 1})
    return [f"the name '{name}' is used twice" for name in twice]


def _product(entry: object, place: int) -> tuple[Product | None, list[str]]:
    """Return one product, or None and what is wrong with it."""
    if not isinstance(entry, dict):
        return None, [f"product {place} is not a table"]
    name = entry.get("name")
    where = f"product {place} ('{name}')" if name else f"product {place}"
    faults = _key_faults(entry) or _sense_faults(entry)
    if faults:
        return None, [f"{where}: {fault}" for fault in faults]
    return _made(entry), []


def _key_faults(entry: dict[str, object]) -> list[str]:
    missing = [f"{key} is missing" for key in _NEEDED if key not in entry]
    return missing + [fault for pair in entry.items() for fault in _value_faults(*pair)]


def _value_faults(key: str, value: object) -> list[str]:
    if key not in _PRODUCT_KEYS:
        return [f"'{key}' is not known"]
    allowed = _PRODUCT_KEYS[key]
    if allowed is _TRUTH:
        return [] if isinstance(value, bool) else [f"{key} must be {allowed.word}"]
    if isinstance(value, bool) or not isinstance(value, allowed.types):
        return [f"{key} must be a {allowed.word}"]
    return _empty_name(value) if allowed is _TEXT else _number_faults(key, value)


def _empty_name(value: object) -> list[str]:
    return [] if str(value).strip() else ["name is empty"]


def _number_faults(key: str, value: object) -> list[str]:
    number = _decimal(value)
    if number is None or not number.is_finite() or not 0 <= number < MOST_G:
        return [f"{key} must be a number, 0 or more and less than a million"]
    return []


def _sense_faults(entry: dict[str, object]) -> list[str]:
    faults = list(limit_faults(*_band_mg(entry), names=_BAND_KEYS))
    if "declared_g" in entry and _mg(entry, "declared_g") == 0:
        faults.append("declared_g must be more than 0")
    return faults


def _made(entry: dict[str, object]) -> Product:
    cost = entry.get("dough_cost_per_kg")
    return Product(
        name=str(entry["name"]).strip(),
        limits=Limits(*_band_mg(entry)),
        declared_mg=_mg(entry, "declared_g") if "declared_g" in entry else None,
        dough_cost_per_kg=None if cost is None else _decimal(cost),
        is_guarded=entry.get("guard") is True,
    )


def _band_mg(entry: dict[str, object]) -> tuple[int, int, int]:
    target_mg, under_mg, over_mg = (_mg(entry, key) for key in _BAND_KEYS)
    return target_mg, under_mg, over_mg


def _mg(entry: dict[str, object], key: str) -> int:
    return mg_from_grams(str(entry[key]))


def _decimal(value: object) -> Decimal | None:
    try:
        return Decimal(str(value))
    except (ArithmeticError, ValueError):
        return None
