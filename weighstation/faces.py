"""The names of a package, each once in its stub -> names that are imported when first asked for.

A package that offers many names lists them in `__init__.pyi`, a line each, where a type checker
reads them too::

    from weighstation.plan.pieces.room import Room as Room

and its `__init__.py` takes what `face` makes of that list. No two names and no module beside the
stub may be called the same, because a module that is imported becomes an attribute of its package.
"""

from __future__ import annotations

import sys
from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable
    from importlib.machinery import ModuleSpec

    Face = tuple[Callable[[str], object], Callable[[], list[str]], list[str]]


def face(spec: ModuleSpec) -> Face:
    """Return what a package offers, out of the stub beside it.

    Parameters
    ----------
    spec : ModuleSpec
        The package's ``__spec__``.

    Returns
    -------
    callable, callable, list of str
        Its ``__getattr__``, which imports and keeps a name, its ``__dir__`` and its ``__all__``.

    Examples
    --------
    >>> from weighstation import plan
    >>> "Room" in dir(plan), plan.Room.__module__
    (True, 'weighstation.plan.pieces.room')
    """
    package, homes = spec.name, _homes(spec)

    def get(name: str) -> object:
        if name not in homes:
            raise AttributeError(f"module {package!r} has no attribute {name!r}")
        found = getattr(import_module(homes[name]), name)
        setattr(sys.modules[package], name, found)
        return found

    return get, lambda: sorted(homes), sorted(homes)


def _homes(spec: ModuleSpec) -> dict[str, str]:
    """Return each name of the stub, and the module it comes from."""
    # the loader reads it out of a folder and out of a zip file alike
    stub: bytes = spec.loader.get_data(f"{spec.origin}i")  # type: ignore[union-attr]
    words = (line.split() for line in stub.decode().splitlines())
    return {line[3]: line[1] for line in words if line[:1] == ["from"]}
