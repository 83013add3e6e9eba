"""The ``journal`` commands."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path  # noqa: TC003 - typer reads the annotations
from typing import Annotated

import typer

from weighstation.cli.answers import finish
from weighstation.cli.options import (
    MOST_LINES,
    HomeOption,
    JsonOption,
    RunOption,
    example,
)


class BoardTo(StrEnum):
    """Where a board goes: the words of `station.commands.journals.boards.BoardTo`."""

    BENCH = "bench"
    OVEN = "oven"
    OUT = "out"
    CLOSED = "closed"


journal_app = typer.Typer(
    help="Read, prove and mend the journal.",
    epilog=example("weighstation journal verify"),
    rich_markup_mode=None,
    no_args_is_help=True,
)


@journal_app.command("show", epilog=example("weighstation journal show --last 50"))
def journal_show(
    *,
    last: Annotated[int, typer.Option("--last", metavar="N", min=1, help="How many lines.")] = 20,
    as_json: JsonOption = False,
    home: HomeOption = None,
) -> None:
    """Show the last lines."""
    from weighstation.station.commands.journals import desk  # noqa: PLC0415 - see above

    finish(desk.show(home, last=last, as_json=as_json))


@journal_app.command(
    "sheet",
    epilog=example("weighstation journal sheet", "weighstation journal sheet --left 310"),
)
def journal_sheet(
    *,
    run: RunOption = "",
    left: Annotated[
        str | None, typer.Option("--left", metavar="GRAMS", help="Dough that was left over.")
    ] = None,
    loss: Annotated[
        str | None, typer.Option("--loss", metavar="GRAMS", help="Dough that was lost.")
    ] = None,
    as_json: JsonOption = False,
    home: HomeOption = None,
) -> None:
    """Print the sheet of a batch, all its runs together.

    Where the dough was given with 'divide --dough', it is added up: dough that is in no counted
    piece, and was neither left nor lost, went out in a piece that was not counted.
    """
    from weighstation.station.commands.journals import desk  # noqa: PLC0415 - see above
    from weighstation.station.commands.terminal import options  # noqa: PLC0415 - see above

    rest = (options.rest_from(left, "--left"), options.rest_from(loss, "--loss"))
    finish(desk.sheet(home, run=run, rest=rest, as_json=as_json))


@journal_app.command("verify", epilog=example("weighstation journal verify"))
def journal_verify(
    *,
    line: Annotated[
        int | None,
        typer.Option(
            metavar="N", min=1, max=MOST_LINES, help="Number of a line on a printed sheet."
        ),
    ] = None,
    head: Annotated[
        str | None, typer.Option(metavar="H", help="Its digest there, or the beginning of it.")
    ] = None,
    as_json: JsonOption = False,
    home: HomeOption = None,
) -> None:
    """Prove that no line was changed, and that totals agree."""
    from weighstation.station.commands.journals import proof  # noqa: PLC0415 - see above

    finish(proof.verify(home, as_json=as_json, line=line, head=head))


@journal_app.command("rebuild", epilog=example("weighstation journal rebuild"))
def journal_rebuild(
    *,
    anyway: Annotated[
        bool,
        typer.Option("--anyway", help="Even where lines are missing at the end; it hides that."),
    ] = False,
    as_json: JsonOption = False,
    home: HomeOption = None,
) -> None:
    """Make the totals again from the lines."""
    from weighstation.station.commands.journals import proof  # noqa: PLC0415 - see above

    finish(proof.rebuild(home, as_json=as_json, anyway=anyway))


@journal_app.command(
    "import",
    epilog=example(
        "weighstation journal import tallies.csv --dry-run",
        "weighstation journal import tallies.csv",
    ),
)
def journal_import(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A CSV file in UTF-8.")],
    *,
    dry_run: Annotated[
        bool, typer.Option("--dry-run", help="Say what would be entered, and write nothing.")
    ] = False,
    as_json: JsonOption = False,
    home: HomeOption = None,
) -> None:
    """Enter hand tallies and old weights from a file.

    All of it is entered, or nothing. Its first line names the columns: time, product and grams of
    the kept piece must be there; batch, first_grams, touches, person (initials) and dough_age_min
    (since its first cut) may be. Commas or semicolons are between them, and a decimal comma is as
    good as a point. The time has its offset from UTC, as in 2026-11-02T05:10:00+01:00. Every fault
    is named with its line. What is on record already is not added again.
    """
    from weighstation.station.commands.journals import importing  # noqa: PLC0415 - see above

    finish(importing.run_import(home, file, is_dry=dry_run, as_json=as_json))


@journal_app.command(
    "void", epilog=example('weighstation journal void 12 --reason "fell on the floor"')
)
def journal_void(
    piece: Annotated[int, typer.Argument(metavar="PIECE", help="Number of the piece.")],
    *,
    reason: Annotated[
        str, typer.Option("--reason", metavar="TEXT", help="Why.")
    ] = "struck out at the desk",
    run: RunOption = "",
    home: HomeOption = None,
) -> None:
    """Strike out a piece by a new line; the line that counted it stays."""
    from weighstation.station.commands.journals import desk  # noqa: PLC0415 - see above

    finish(desk.void(home, piece, run=run, reason=reason))


@journal_app.command(
    "note",
    epilog=example(
        'weighstation journal note 31 "the pan was dusty, wiped"',
        'weighstation journal note 31 --reason "new flour" --action "cut smaller" --person AB',
    ),
)
def journal_note(
    line: Annotated[int, typer.Argument(metavar="LINE", help="Number of the line.")],
    text: Annotated[
        str | None, typer.Argument(metavar="TEXT", help="What there is to say about it.")
    ] = None,
    *,
    reason: Annotated[
        str | None, typer.Option("--reason", metavar="TEXT", help="What was found.")
    ] = None,
    action: Annotated[
        str | None, typer.Option("--action", metavar="TEXT", help="What was done about it.")
    ] = None,
    person: Annotated[
        str | None, typer.Option("--person", metavar="AB", help="Initials of who says so.")
    ] = None,
    home: HomeOption = None,
) -> None:
    """Note something about a line, or what was done.

    TEXT may be about any line. A reason, an action and a person go together, and are about a
    signal, a failed check, a gap, or a piece or loaf that was struck out; sheet and chart of its
    batch show them.
    """
    from weighstation.station.commands.journals import noting  # noqa: PLC0415 - see above

    said = noting.note_from(line, text, reason=reason, action=action, person=person)
    finish(noting.note(home, line, said) if isinstance(said, str) else noting.react(home, said))


@journal_app.command(
    "settle",
    epilog=example(
        'weighstation journal settle 31 --person "Ada Krume" --reason "1 kg put on for 500 g"'
    ),
)
def journal_settle(
    line: Annotated[int, typer.Argument(metavar="LINE", help="Number of the failed check.")],
    *,
    person: Annotated[str, typer.Option("--person", metavar="NAME", help="Who says so.")],
    reason: Annotated[str, typer.Option("--reason", metavar="TEXT", help="What went wrong.")],
    home: HomeOption = None,
) -> None:
    """Say that a check of the scale failed by mistake.

    That settles the doubt about its pieces. The next check of that scale must have been good, with
    the same weights in the same places and against the same limits; a check that failed twice in a
    row is no mistake. Nothing is deleted: the failed check, the good one, the reason and the name
    stay on record and stand on the sheet.
    """
    from weighstation.station.commands.journals.settling import settle  # noqa: PLC0415 - see above

    finish(settle(home, line, person=person, reason=reason))


@journal_app.command(
    "board", epilog=example("weighstation journal board", "weighstation journal board 3 bench")
)
def journal_board(
    board: Annotated[int | None, typer.Argument(metavar="BOARD", help="Its number.")] = None,
    to: Annotated[
        BoardTo | None,
        typer.Argument(help="Where it goes: shaping begins, into the oven, out of it; or closed."),
    ] = None,
    *,
    as_json: JsonOption = False,
    home: HomeOption = None,
) -> None:
    """Say where the boards are, or that one has come further.

    It is for the time after the last batch. While a batch is divided, the keys C, S, I and O say it
    at the bench.
    """
    from weighstation.station.commands.journals import boards  # noqa: PLC0415 - see above

    if board is None:
        finish(boards.show_boards(home, as_json=as_json))
    else:
        where = None if to is None else boards.BoardTo(to.value)
        finish(boards.move_board(home, board, where))
