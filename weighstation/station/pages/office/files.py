"""A file that a command writes -> an answer to be saved, and nothing left behind."""

from __future__ import annotations

import re
import shutil
import sys
import tempfile
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from starlette.background import BackgroundTask
from starlette.responses import FileResponse

from weighstation.station.pages.office.asked import LONGEST_FILE_S
from weighstation.station.pages.office.forms import NotTold, with_option

if TYPE_CHECKING:
    from collections.abc import Mapping

    from starlette.responses import Response

    from weighstation.station.pages.office.asked import Asking

KINDS = {
    "html": "text/html; charset=utf-8",
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "pdf": "application/pdf",
    "zip": "application/zip",
}
MOST_FILE_BYTES = 256 * 1024 * 1024
_NO_LETTER = re.compile(r"[\W_]+")
_NEEDS = {"pdf": "typst", "xlsx": "xlsxwriter"}


def makeable(*forms: str) -> tuple[str, ...]:
    """Return the forms whose extra is installed.

    Parameters
    ----------
    forms : str

    Returns
    -------
    tuple of str
    """
    return tuple(form for form in forms if form not in _NEEDS or find_spec(_NEEDS[form]))


def file_name(what: str, more: str, fields: Mapping[str, str]) -> str:
    """Return the name of a file, without its end, by what is asked for.

    Parameters
    ----------
    what, more : str
        The second may be empty.
    fields : mapping of str to str
        Of the form.

    Returns
    -------
    str
        Letters, digits and dashes.

    Examples
    --------
    >>> fields = {"from": "2026-03-02", "to": "2026-03-08", "product": "Rye / 1 kg"}
    >>> file_name("give-away", "", fields)
    'give-away-2026-03-02-2026-03-08-Rye-1-kg'
    """
    said = (what, *(fields.get(name, "") for name in ("from", "to", "product")), more)
    return "-".join(filter(None, (_NO_LETTER.sub("-", text).strip("-") for text in said)))


async def saved(asking: Asking, name: str, form: str, *words: str) -> Response:
    """Return what a command writes, as a file to be saved.

    Parameters
    ----------
    asking : Asking
    name : str
        Of the file, without its end.
    form : str
        One of `KINDS`; of a ``zip``, the command writes a folder.
    words : str
        The command; where it writes to is added.

    Returns
    -------
    Response

    Raises
    ------
    NotTold
        If the command refuses, or the file is too large for a page.
    """
    folder = Path(tempfile.mkdtemp(prefix="weighstation-"))
    leaving = BackgroundTask(shutil.rmtree, folder, ignore_errors=True)
    try:
        path = await _written(asking, folder / f"{words[0]}.{form}", words)
        _require_small(path)
    except BaseException:
        await leaving()
        raise
    return FileResponse(path, media_type=KINDS[form], filename=f"{name}.{form}", background=leaving)


async def _written(asking: Asking, path: Path, words: tuple[str, ...]) -> Path:
    if path.suffix != ".zip":
        await asking.run(
            *with_option(words, f"--out={path}"), longest_s=LONGEST_FILE_S, is_slow=True
        )
        return path
    rows = path.with_suffix("")
    await asking.run(*with_option(words, f"--out={rows}/"), longest_s=LONGEST_FILE_S, is_slow=True)
    await asking.process(sys.executable, "-m", "zipfile", "-c", str(path), f"{rows}/", is_slow=True)
    return path


def _require_small(path: Path) -> None:
    if path.stat().st_size > MOST_FILE_BYTES:
        raise NotTold("That file is too large for a page: ask for fewer days.", 400)
