"""What a shop promises -> products and limits, before the first piece.

Pure and small, because every stage stands on it; the text of a products file is read here, the
file itself is opened by the station.
"""

from weighstation.specification.catalogue import Catalogue
from weighstation.specification.limits import Guard, Limits, limit_faults
from weighstation.specification.product import Product
from weighstation.specification.products_file import MOST_G, parse_catalogue
from weighstation.specification.ways import LiftedPolicy, Way

__all__ = [
    "MOST_G",
    "Catalogue",
    "Guard",
    "LiftedPolicy",
    "Limits",
    "Product",
    "Way",
    "limit_faults",
    "parse_catalogue",
]
