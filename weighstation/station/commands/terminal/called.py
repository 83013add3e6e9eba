"""How this program was called -> the words that call it again."""

from __future__ import annotations

import shlex
import shutil
import sys
from pathlib import Path


def called(argv0: str) -> str:
    """Return how this program is called again from the same place, as a shell reads it.

    Parameters
    ----------
    argv0 : str
        How it was called this time.

    Returns
    -------
    str
        Its bare name only where that is found on the path.
    """
    path = Path(argv0)
    if path.name == "__main__.py":
        return f"{shlex.quote(sys.executable)} -m weighstation"
    found = shutil.which(path.stem)
    if found is not None and path.exists() and Path(found).samefile(path):
        return path.stem
    return shlex.quote(argv0)
