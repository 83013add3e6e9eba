"""What a shop promises -> products and limits, before the first piece.

Pure and small, because every stage stands on it; the text of a products file is read here, the
file itself is opened by the station. A module is imported when one of its names is first asked
for, because ``--help`` needs two words and a replay reads no products.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weighstation.specification.catalogue import Catalogue, ShopOven
    from weighstation.specification.kinds import MOST_G, PUBLISHED_RULES
    from weighstation.specification.limits import Guard, Limits, limit_faults
    from weighstation.specification.parts import (
        Bake,
        BakersFormula,
        DustingFlour,
        FinalProof,
        LossBasis,
        StageLosses,
    )
    from weighstation.specification.product import Product
    from weighstation.specification.products_file import catalogue_of, parse_catalogue
    from weighstation.specification.ways import LiftedPolicy, Way

__all__ = [
    "MOST_G",
    "PUBLISHED_RULES",
    "Bake",
    "BakersFormula",
    "Catalogue",
    "DustingFlour",
    "FinalProof",
    "Guard",
    "LiftedPolicy",
    "Limits",
    "LossBasis",
    "Product",
    "ShopOven",
    "StageLosses",
    "Way",
    "catalogue_of",
    "limit_faults",
    "parse_catalogue",
]
_MODULES = {
    "catalogue": ("Catalogue", "ShopOven"),
    "kinds": ("MOST_G", "PUBLISHED_RULES"),
    "limits": ("Guard", "Limits", "limit_faults"),
    "parts": ("Bake", "BakersFormula", "DustingFlour", "FinalProof", "LossBasis", "StageLosses"),
    "product": ("Product",),
    "products_file": ("catalogue_of", "parse_catalogue"),
    "ways": ("LiftedPolicy", "Way"),
}


def __getattr__(name: str) -> object:
    """Return a name of one of the modules, imported now."""
    for module, names in _MODULES.items():
        if name in names:
            return getattr(import_module(f"{__name__}.{module}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
