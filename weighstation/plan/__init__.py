"""Orders, dough on hand, losses -> scaling weight, pieces, what is left over.

Times, pieces, temperatures -> what is next on the bench and in the oven, and when.

Pure functions and small immutable values: no file, no clock asked, nothing printed. Every result is
an offer to the person at the bench; none of them changes a target by itself. Figures that have no
source are defaults, and their docstrings call them common practice or a house figure.

Its names stand in `__init__.pyi`; a module is imported when one of them is first asked for,
because a replay plans nothing.
"""

from weighstation.faces import face

__getattr__, __dir__, __all__ = face(__spec__)
