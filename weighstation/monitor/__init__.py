"""Weights -> control charts and signals.

What the run of first cuts says about the dividing, in formulas that carry their source. The
functions take plain numbers in grams and return frozen values; nothing here knows a band or a
journal. Its rooms are `charts` (limits, rules, signals) and `process` (what the weights say of the
dividing); what stands beside them is what both are made of.

Its names stand in `__init__.pyi`; a module is imported when one of them is first asked for,
because the bench needs its detector only.
"""

from weighstation.faces import face

__getattr__, __dir__, __all__ = face(__spec__)
