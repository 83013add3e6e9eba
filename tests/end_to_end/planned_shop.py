"""The products of an invented bakery that plans, and its commands."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from station_process import weighstation

if TYPE_CHECKING:
    import subprocess
    from pathlib import Path

PRICES = """
currency = "EUR"

[prices_per_kg]
flour = 0.55
water = 0.002
salt = 0.30
yeast = 2.20
"""
FORMULA_168 = (
    '[product.formula]\nflours = ["flour"]\nflour = 100\nwater = 65\nsalt = 2\nyeast = 1\n'
)
FORMULA_170 = (
    '[product.formula]\nflours = ["flour"]\nflour = 100\nwater = 67\nsalt = 2\nyeast = 1\n'
)


def product(name: str, scaling_g: float, *lines: str, room_g: float = 9.09) -> str:
    """Return a table of a product; lines with a dot or a bracket in front come last."""
    band = f"scaling_weight_g = {scaling_g}\nunder_g = {room_g}\nover_g = {room_g}\n"
    return "\n".join((f'\n[[product]]\nname = "{name}"\n{band}', *lines))


def losses(basis: str = "dough", **stages: float) -> str:
    said = "".join(f"{stage}_pct = {pct}\n" for stage, pct in stages.items())
    return f'[product.losses]\nbasis = "{basis}"\n{said}'


def shop(folder: Path, *parts: str) -> Path:
    """Write the products of a shop, and return its home."""
    folder.mkdir(exist_ok=True)
    (folder / "products.toml").write_text(PRICES + "".join(parts))
    return folder


def planned(home: Path, *words: str) -> dict[str, Any]:
    """Return what a plan says to a program."""
    result = weighstation("plan", *words, "--json", home=home)
    assert result.returncode in (0, 1), result.stderr
    said: dict[str, Any] = json.loads(result.stdout)
    return said


def refused(result: subprocess.CompletedProcess[str]) -> str:
    """Return the one sentence that a refusal is, on one line of standard error."""
    assert (2, "") == (result.returncode, result.stdout)
    assert 1 == len(result.stderr.splitlines())
    return result.stderr
