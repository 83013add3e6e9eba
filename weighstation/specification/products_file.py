"""The text of a products file -> a catalogue, or every fault of it at once."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from weighstation.errors import SpecificationError
from weighstation.quantities import mg_from_grams
from weighstation.specification.catalogue import Catalogue
from weighstation.specification.limits import Limits, limit_faults
from weighstation.specification.product import Product

MOST_G = 1_000_000
"""No weight for a bench, and no price of dough, is as large as this."""

MOST_PLACES = 1000
"""No board and no couche carries more pieces than this."""

MOST_MIN = 1440
"""No piece rests, and no dough is divided, for more minutes than this: a day."""


@dataclass(frozen=True, slots=True)
class _Key:
    """What a key of a product table may hold."""

    types: tuple[type, ...]
    word: str


_TEXT = _Key((str,), "text")
_NUMBER = _Key((int, float), "number")
_PRICE = _Key((int, float, str), "number")
_TRUTH = _Key((bool,), "true or false")
_PLACES = _Key((int,), "whole number")
_WINDOW = _Key((list,), "pair of minutes, the least first, like [10, 15]")
_PRODUCT_KEYS = {
    "name": _TEXT,
    "scaling_weight_g": _NUMBER,
    "under_g": _NUMBER,
    "over_g": _NUMBER,
    "declared_g": _NUMBER,
    "dough_cost_per_kg": _PRICE,
    "guard": _TRUTH,
    "board_places": _PLACES,
    "rest_min": _WINDOW,
    "dough_limit_min": _NUMBER,
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
    if isinstance(value, list):
        return _window_faults(key, value)
    return _empty_name(value) if allowed is _TEXT else _number_faults(key, value)


def _window_faults(key: str, window: list[object]) -> list[str]:
    minutes = [
        each for each in window if isinstance(each, (int, float)) and not isinstance(each, bool)
    ]
    if len(window) != 2 or len(minutes) != 2 or not 0 <= minutes[0] <= minutes[1] <= MOST_MIN:
        return [f"{key} must be a {_WINDOW.word}"]
    return []


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
    if not 1 <= int(str(entry.get("board_places", 1))) <= MOST_PLACES:
        faults.append(f"board_places must be 1 to {MOST_PLACES}")
    if not 0 < float(str(entry.get("dough_limit_min", 1))) <= MOST_MIN:
        faults.append(f"dough_limit_min must be more than 0 and at most {MOST_MIN}")
    return faults


def _made(entry: dict[str, object]) -> Product:
    cost, places = entry.get("dough_cost_per_kg"), entry.get("board_places")
    limit = entry.get("dough_limit_min")
    return Product(
        name=str(entry["name"]).strip(),
        limits=Limits(*_band_mg(entry)),
        declared_mg=_mg(entry, "declared_g") if "declared_g" in entry else None,
        dough_cost_per_kg=None if cost is None else _decimal(cost),
        is_guarded=entry.get("guard") is True,
        board_places=None if places is None else int(str(places)),
        rest_min=_window(entry.get("rest_min")),
        dough_limit_min=None if limit is None else float(str(limit)),
    )


def _window(given: object) -> tuple[float, float] | None:
    if not isinstance(given, list):
        return None
    least, most = given
    return float(least), float(most)


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
