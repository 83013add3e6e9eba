"""What each page needs, said where the page is put on the site."""

from __future__ import annotations

from enum import Enum
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from starlette.routing import Mount, Route


class Role(Enum):
    """Who someone is to this station; each may do what those before it may."""

    READER = "reader"
    BENCH = "bench"
    OWNER = "owner"

    def may(self, needed: Role) -> bool:
        """Return whether it reaches as far as another.

        Parameters
        ----------
        needed : Role

        Returns
        -------
        bool
        """
        order = list(Role)
        return order.index(self) >= order.index(needed)


ANYBODY = None
"""Is let in without a key."""


class Opening(NamedTuple):
    """A page, and who may open it; no page is on the site without.

    Parameters
    ----------
    needs : Role or None
        None for anybody.
    route : Route or Mount
    is_logged : bool
        Whether the request log names it; a refusal it always names.
    """

    needs: Role | None
    route: Route | Mount
    is_logged: bool = True
