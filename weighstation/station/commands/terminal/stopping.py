"""A runner shown until it is over, or until somebody stops it."""

from __future__ import annotations

import errno
import sys
from typing import TYPE_CHECKING, Any

from weighstation.station.commands.terminal.streams import let_go_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from weighstation.station.bench.runner import Runner

STOPPED = 130
HUNG_UP = 129
"""Exit code where the terminal has gone, as shells have it."""


def shown_until_over(runner: Runner[Any], show: Callable[[], None]) -> int:
    """Start a runner, show it, and close it however that ends.

    Parameters
    ----------
    runner : Runner
    show : callable
        Returns when the runner is over.

    Returns
    -------
    int
        Exit code of whatever stopped it; 0 where it came to its own end.

    Raises
    ------
    WeighstationError
        Why it had to stop.
    """
    on_terminal = sys.stdout.isatty()
    runner.start()
    try:
        show()
    except KeyboardInterrupt:
        return STOPPED
    except SystemExit as exc:  # a signal told it to go
        return int(exc.code or STOPPED)
    except BrokenPipeError:  # whoever read our lines has gone, and the bench has no keys
        let_go_of(sys.stdout)
        return STOPPED
    except OSError as exc:
        if not (on_terminal and exc.errno == errno.EIO):
            raise
        return HUNG_UP
    finally:
        runner.close()
    return 0


def say_stopped(sentence: str) -> None:
    """Say on standard error what is on record, if there is still somebody to say it to.

    Parameters
    ----------
    sentence : str
    """
    try:
        sys.stderr.write(sentence)
        sys.stdout.flush()
    except OSError:  # the terminal has gone
        let_go_of(sys.stderr)
        let_go_of(sys.stdout)
