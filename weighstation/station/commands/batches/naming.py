"""Names for runs, which nobody has to look up before they are given."""

from __future__ import annotations

import secrets

_BYTES = 8
"""With 4, half of all journals of 77,000 runs would have met a name twice (the same formula)."""


def new_run() -> str:
    """Return a name that no run has.

    Among a million runs two share one of these with a chance of 3 in 10^8 (the birthday problem,
    n^2 / 2 over 2^64).

    Returns
    -------
    str
        Sixteen hexadecimal digits.
    """
    return secrets.token_hex(_BYTES)
