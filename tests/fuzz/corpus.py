"""Bytes that broke a law once, or that reach far; each is tried again by the tests."""

from __future__ import annotations

_HEX: dict[str, tuple[str, ...]] = {
    "lines": (
        "267934c7ce54aa",  # an overlong line in pieces, with a check
        "78bf769a0c3c05eca10db493b0c713b41d6d9241a6",  # the same, behind one that was held
        "0e850834b8fe0047fd610c0d74d6b5f6e38451488077d6d02127bde0ae0c90",  # a bad line overtook
        "e38ac4",  # forty nines
    ),
    "back_in_step": (
        # kilograms whose comma was guessed wrong, and ounces were forgotten with them
        (
            "b597d5a42be52d3622f9077f195c06fd6c304f2c54cb5d60fbb90e790b03ef65226192de927fb7769e3c0841"
            "adcd97cbb98c"
        ),
    ),
    "recording": (
        "62622d4459",  # a start before the year 1 in UTC
    ),
    "learns": (
        "9edc491e44",  # forty nines
        "e6ed4dba4c3391e90d82",  # a division below half a milligram
    ),
}


def of(target: str) -> list[bytes]:
    """Return the inputs of one target."""
    return [bytes.fromhex(text) for text in _HEX.get(target, ())]


def size() -> int:
    """Return how many inputs are kept."""
    return sum(map(len, _HEX.values()))
