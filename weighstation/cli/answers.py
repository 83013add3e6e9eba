"""Every way a command can end, answered in one plain sentence on standard error."""

from __future__ import annotations

import errno
import os
import sys
from typing import Any

import typer
from typer.core import TyperGroup

from weighstation.errors import WeighstationError

STOPPED = 130
"""Exit code after Ctrl-C, as shells have it."""
_REFUSED_BY_DISK = (errno.ENOSPC, errno.EDQUOT, errno.EROFS, errno.EFBIG, errno.EIO)


class Commands(TyperGroup):
    """A group of commands that answers every fault in one sentence."""

    def main(self, *args: Any, **kwargs: Any) -> Any:  # noqa: ANN401 - typer's own
        """Run the command line.

        Parameters
        ----------
        args, kwargs
            As typer gives them.

        Returns
        -------
        object
            What the command returned.
        """
        _open_standard_streams()
        try:
            return super().main(*args, **kwargs)
        except OSError as exc:
            if exc.errno not in _REFUSED_BY_DISK:
                raise
            _let_go_of_output()
            sys.stderr.write(
                f"What was to be written was refused ({str(exc.strerror).lower()})."
                " Free some space or write elsewhere, and do it again.\n"
            )
            sys.exit(4)

    def invoke(self, ctx: Any) -> Any:  # noqa: ANN401 - typer moves its type between versions
        """Run the chosen command.

        Parameters
        ----------
        ctx : typer.Context

        Returns
        -------
        object
            What the command returned.
        """
        try:
            return super().invoke(ctx)
        except WeighstationError as exc:
            _leave(exc.sentence, exc.exit_code)
        except KeyboardInterrupt:
            _leave("Stopped.", STOPPED)
        except BrokenPipeError:
            # Whoever read our lines has gone: nothing is left to say, and nobody to say it to.
            _let_go_of_output()
            raise typer.Exit(0) from None
        except (typer.Exit, typer.Abort):
            raise
        except Exception as exc:
            if not _is_ours(exc) or getattr(exc, "errno", None) in _REFUSED_BY_DISK:
                raise
            if os.environ.get("WEIGHSTATION_TRACEBACK"):
                import traceback  # noqa: PLC0415 - it takes 4 ms

                traceback.print_exc()
            _leave(
                f"This is a fault in weighstation ({type(exc).__name__}: {exc}). Set"
                " WEIGHSTATION_TRACEBACK=1, do it again, and send us what it prints.",
                1,
            )


def _open_standard_streams() -> None:
    """Put an empty stream where one was closed, lest a file of ours takes its number."""
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:
            setattr(sys, name, os.fdopen(os.open(os.devnull, os.O_RDWR), mode))


def _let_go_of_output() -> None:
    from weighstation.station.commands.terminal.streams import let_go_of  # noqa: PLC0415 - hardly ever needed

    let_go_of(sys.stdout)


def _is_ours(exc: Exception) -> bool:
    """Tell whether an exception is a fault in here, and not typer's answer to bad usage."""
    return not any(kind.__name__ == "ClickException" for kind in type(exc).__mro__)


def _leave(sentence: str, code: int) -> None:
    """Say one sentence on standard error and leave."""
    typer.echo(sentence, err=True)
    raise typer.Exit(code)


def finish(code: int) -> None:
    """Leave with an exit code; 0 just returns.

    Parameters
    ----------
    code : int
    """
    if code:
        raise typer.Exit(code)
