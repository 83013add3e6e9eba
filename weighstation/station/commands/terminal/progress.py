"""Something that takes long -> a bar on a terminal, so that nobody thinks it hangs."""

from __future__ import annotations

import sys
import time
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

PATIENCE_S = 2.0
"""What takes less needs no bar."""
_EVERY = 256
_T = TypeVar("_T")


def with_bar(
    steps: Iterable[_T],
    total: int,
    what: str,
    *,
    clock: Callable[[], float] = time.monotonic,
) -> Iterator[_T]:
    """Yield steps, and once that takes long, show on a terminal how many are done.

    Parameters
    ----------
    steps : iterable
    total : int
        How many there are.
    what : str
        What is done, to stand before the bar.
    clock : callable
        Returns seconds.

    Yields
    ------
    object
    """
    if not sys.stderr.isatty():
        yield from steps
        return
    from rich.console import Console  # noqa: PLC0415 - only on a terminal
    from rich.progress import Progress  # noqa: PLC0415 - the same

    began_s, is_shown = clock(), False
    with Progress(console=Console(file=sys.stderr), transient=True, auto_refresh=False) as bar:
        task = bar.add_task(what, total=total, visible=False)
        for done, step in enumerate(steps, start=1):
            yield step
            if done % _EVERY == 0:
                is_shown = is_shown or clock() - began_s > PATIENCE_S
                bar.update(task, completed=done, visible=is_shown)
                bar.refresh()
