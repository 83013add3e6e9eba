"""Told to go by a signal: the way out is that of an exception, so that everything is put back."""

from __future__ import annotations

import signal
import threading
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

TOLD_TO_GO = tuple(getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name))


def _leave(number: int, _: object) -> None:
    raise SystemExit(128 + number)


@contextmanager
def leaving_on_signals() -> Iterator[None]:
    """Turn SIGTERM and SIGHUP into a `SystemExit` with the code that shells have for them.

    One that is ignored from outside stays ignored, and one that is turned already stays as it is;
    from any thread but the main one nothing is done.

    Yields
    ------
    None
    """
    turned = []
    if threading.current_thread() is threading.main_thread():
        turned = [number for number in TOLD_TO_GO if signal.getsignal(number) is signal.SIG_DFL]
    for number in turned:
        signal.signal(number, _leave)
    try:
        yield
    finally:
        for number in turned:
            signal.signal(number, signal.SIG_DFL)
