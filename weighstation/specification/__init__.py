"""What a shop promises -> products and limits, before the first piece.

Pure and small, because every stage stands on it; the text of a products file is read here, the
file itself is opened by the station. Its names stand in `__init__.pyi`; a module is imported when
one of them is first asked for, because ``--help`` needs two words and a replay reads no products.
"""

from weighstation.faces import face

__getattr__, __dir__, __all__ = face(__spec__)
