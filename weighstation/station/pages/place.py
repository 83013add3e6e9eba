"""Where pages are served."""

from __future__ import annotations

from typing import NamedTuple


class Place(NamedTuple):
    """An address of this machine.

    Parameters
    ----------
    host : str
    port : int
        0 for any that is free.
    """

    host: str
    port: int
