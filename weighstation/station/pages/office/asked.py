"""Words of a command -> what it answers, reckoned in a process of its own and kept a little while.

A report takes seconds of one processor; in the weighing process it would hold up the cues.
"""

from __future__ import annotations

import asyncio
import json
import os
import sys
import time
from contextlib import AsyncExitStack, asynccontextmanager, suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from weighstation.station.pages.office.forms import NotTold, in_fields, with_option

if TYPE_CHECKING:
    from asyncio.subprocess import Process
    from collections.abc import AsyncIterator
    from pathlib import Path

    Changed = tuple[tuple[int, int] | None, ...]

LONGEST_S = 60.0
LONGEST_FILE_S = 300.0
MOST_AT_ONCE = 2
MOST_SLOW_AT_ONCE = 1
"""Of what takes long; the other place is left to pages, which a person waits for."""
MOST_ASKED = 8
"""Running and waiting together."""
MOST_SLOW_ASKED = 4
MOST_ANSWER_BYTES = 4 * 1024 * 1024
MOST_FAULT_BYTES = 64 * 1024
KEPT_S = 60.0
"""An answer is not given again after so long, because some speak of how long ago a thing was."""
MOST_KEPT = 8
MOST_KEPT_BYTES = 512 * 1024
"""A longer answer is given once and let go: the weighing has little memory."""
_MEEK = 10
"""How far the weighing goes before such a process where both want the processor."""
_SHOP_FILES = ("products.toml", "scales.toml")
_JOURNAL_FILES = ("journal.sqlite", "journal.sqlite-wal")
_CHUNK = 65536
_STATUS = {1: 409, 2: 400, 4: 503}
"""By exit code: what was read does not hold, bad input, no reading of the journal."""


@dataclass(frozen=True, slots=True)
class _Kept:
    task: asyncio.Task[bytes]
    at_s: float
    shop: Changed
    journal: Changed

    def serves(self, shop: Changed, journal: Changed, *, young_s: float) -> bool:
        """Return whether its answer can be given again."""
        if self.shop != shop:
            return False
        if not self.task.done():
            return True
        if self.task.cancelled() or self.task.exception() is not None:
            return False
        age_s = time.monotonic() - self.at_s
        return age_s < (KEPT_S if self.journal == journal else young_s)


class Asking:
    """Asks the commands of this program about one station.

    Parameters
    ----------
    folder : Path
        Its home.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._kept: dict[tuple[str, ...], _Kept] = {}
        self._all = _Turns(MOST_AT_ONCE, MOST_ASKED)
        self._slow = _Turns(MOST_SLOW_AT_ONCE, MOST_SLOW_ASKED)

    async def told(
        self, *words: str, young_s: float = 0.0, is_slow: bool = False
    ) -> dict[str, Any]:
        """Return what a command answers as JSON.

        Parameters
        ----------
        words : str
            The command and its options, one word each; no shell reads them.
        young_s : float, seconds
            An answer that is no older is given again, whatever was weighed since.
        is_slow : bool
            Whether others are not to wait for it.

        Returns
        -------
        dict

        Raises
        ------
        NotTold
            If it has no answer, takes too long, or too much is asked at once.
        """
        shop, journal = self._changed(_SHOP_FILES), self._changed(_JOURNAL_FILES)
        kept = self._kept.get(words)
        if kept is None or not kept.serves(shop, journal, young_s=young_s):
            task = asyncio.create_task(self.run(*with_option(words, "--json"), is_slow=is_slow))
            task.add_done_callback(_heard)
            kept = _Kept(task, time.monotonic(), shop, journal)
            self._kept.pop(words, None)
            self._kept[words] = kept
            for old in list(self._kept)[:-MOST_KEPT]:
                del self._kept[old]
        answer = await asyncio.shield(kept.task)
        if len(answer) > MOST_KEPT_BYTES:
            self._kept.pop(words, None)
        found: dict[str, Any] = json.loads(answer)
        return found

    async def run(self, *words: str, longest_s: float = LONGEST_S, is_slow: bool = False) -> bytes:
        """Run a command to its end.

        Parameters
        ----------
        words : str
        longest_s : float, seconds
            It is ended then.
        is_slow : bool
            As above.

        Returns
        -------
        bytes
            What it wrote to standard output.

        Raises
        ------
        NotTold
            As above.
        """
        argv = (sys.executable, "-m", "weighstation", *words)
        return await self.process(*argv, longest_s=longest_s, is_slow=is_slow)

    async def process(
        self, *argv: str, longest_s: float = LONGEST_S, is_slow: bool = False
    ) -> bytes:
        """Run a program to its end, in its turn.

        Parameters
        ----------
        argv : str
        longest_s : float, seconds
        is_slow : bool

        Returns
        -------
        bytes
            What it wrote to standard output.

        Raises
        ------
        NotTold
            As above.
        """
        try:
            async with AsyncExitStack() as stack:
                for turns in (self._slow, self._all) if is_slow else (self._all,):
                    await stack.enter_async_context(turns.one())
                async with asyncio.timeout(longest_s):
                    return await self._answer(argv)
        except TimeoutError as exc:
            sentence = f"That took longer than {longest_s:g} s. Ask for fewer days, or type it:"
            raise NotTold(f"{sentence} weighstation {' '.join(argv[3:])}", 503) from exc

    async def _answer(self, argv: tuple[str, ...]) -> bytes:
        async with _started(argv, self._folder) as process:
            assert process.stdout is not None
            assert process.stderr is not None
            out, said, code = await asyncio.gather(
                _read(process.stdout, MOST_ANSWER_BYTES),
                _read(process.stderr, MOST_FAULT_BYTES),
                process.wait(),
            )
        if code != 0 and not out:
            raise _refused(code, said)
        return out

    def _changed(self, names: tuple[str, ...]) -> Changed:
        """Return what differs once one of some files has been written."""
        return tuple(_changed(self._folder / name) for name in names)


class _Turns:
    """Places for so many at once, and for not too many that wait."""

    def __init__(self, most_at_once: int, most_asked: int) -> None:
        self._places = asyncio.Semaphore(most_at_once)
        self._most = most_asked
        self._asked = 0

    @asynccontextmanager
    async def one(self) -> AsyncIterator[None]:
        """Wait for a place and hold it until left.

        Raises
        ------
        NotTold
            If too many wait already.
        """
        if self._asked >= self._most:
            raise NotTold("Too much is being worked out: ask again in a minute.", 503)
        self._asked += 1
        try:
            async with self._places:
                yield
        finally:
            self._asked -= 1


@asynccontextmanager
async def _started(argv: tuple[str, ...], folder: Path) -> AsyncIterator[Process]:
    """Start a process, and see that it is over at the end whatever happens."""
    process = await asyncio.create_subprocess_exec(
        *argv,
        stdin=asyncio.subprocess.DEVNULL,
        stdout=asyncio.subprocess.PIPE,
        stderr=asyncio.subprocess.PIPE,
        env={**os.environ, "WEIGHSTATION_HOME": str(folder)},
        start_new_session=True,  # Ctrl-C at the bench is not meant for it
    )
    with suppress(OSError, AttributeError):  # over already, or a system without this
        os.setpriority(os.PRIO_PROCESS, process.pid, _MEEK)
    try:
        yield process
    finally:
        if process.returncode is None:
            with suppress(ProcessLookupError):
                process.kill()
            await process.wait()


async def _read(stream: asyncio.StreamReader, most: int) -> bytes:
    parts, length = [], 0
    while part := await stream.read(_CHUNK):
        length += len(part)
        if length > most:
            raise NotTold("The answer is too long for a page: ask for fewer days.", 400)
        parts.append(part)
    return b"".join(parts)


def _heard(task: asyncio.Task[bytes]) -> None:
    """Take note of a fault that nobody waits for any more, lest it is written over the panel."""
    if not task.cancelled():
        task.exception()


def _refused(code: int, said: bytes) -> NotTold:
    sentence = said.decode(errors="replace").strip() or f"The command left with {code}."
    return NotTold(in_fields(sentence), _STATUS.get(code, 500))


def _changed(path: Path) -> tuple[int, int] | None:
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size
