"""Commands asked in processes of their own: few at once, short, bounded, and over at the end."""

from __future__ import annotations

import asyncio
import os
import sys
import time
from typing import TYPE_CHECKING

import pytest

from weighstation.station.pages.office import asked
from weighstation.station.pages.office.asked import Asking
from weighstation.station.pages.office.forms import NotTold

if TYPE_CHECKING:
    from collections.abc import Awaitable
    from pathlib import Path

MARKS = """
import pathlib, sys, time
mark = pathlib.Path(sys.argv[1]) / sys.argv[2]
mark.touch(); print(len(list(mark.parent.iterdir()))); time.sleep(0.5); mark.unlink()
"""


def refused(asking: Awaitable[object]) -> NotTold:
    async def ask() -> None:
        await asking

    with pytest.raises(NotTold) as found:
        asyncio.run(ask())
    return found.value


def python(asking: Asking, program: str, *words: str, longest_s: float = 30.0) -> Awaitable[bytes]:
    return asking.process(sys.executable, "-c", program, *words, longest_s=longest_s)


def test_a_command_says_itself_why_it_has_no_answer(tmp_path: Path) -> None:
    told = refused(Asking(tmp_path).told("today"))

    assert "There is no journal" in str(told)
    assert "'weighstation divide' starts one" in str(told)
    assert 400 == told.status


def test_what_is_asked_twice_at_once_or_with_nothing_new_is_reckoned_once(tmp_path: Path) -> None:
    async def ask() -> tuple[object, object, object]:
        asking = Asking(tmp_path)
        first, second = await asyncio.gather(asking.told("setup"), asking.told("setup"))
        began = time.monotonic()
        third = await asking.told("setup")
        assert time.monotonic() - began < 0.05
        (tmp_path / "products.toml").write_text('currency = "EUR"\n')
        return first, third, await asking.told("setup") if first == second else None

    first, third, changed = asyncio.run(ask())

    assert first == third
    assert isinstance(changed, dict)
    assert 1 == changed["faults"]


def test_one_that_takes_too_long_is_ended(tmp_path: Path) -> None:
    mark = tmp_path / "pid"
    program = (
        "import os, pathlib, sys, time;"
        " pathlib.Path(sys.argv[1]).write_text(str(os.getpid())); time.sleep(60)"
    )
    told = refused(python(Asking(tmp_path), program, str(mark), longest_s=1.5))

    assert "longer than 1.5 s" in str(told)
    assert 503 == told.status
    with pytest.raises(ProcessLookupError):
        os.kill(int(mark.read_text()), 0)


def test_one_that_says_too_much_is_ended(tmp_path: Path) -> None:
    program = f"print('x' * {asked.MOST_ANSWER_BYTES + 1})"

    assert "too long for a page" in str(refused(python(Asking(tmp_path), program)))


def test_no_more_than_two_run_at_once_and_no_more_than_some_wait(tmp_path: Path) -> None:
    async def ask() -> list[object]:
        asking = Asking(tmp_path)
        marks = tmp_path / "marks"
        marks.mkdir()
        each = (python(asking, MARKS, str(marks), str(n)) for n in range(asked.MOST_ASKED + 2))
        return await asyncio.gather(*each, return_exceptions=True)

    found = asyncio.run(ask())
    busy = [each for each in found if isinstance(each, NotTold)]

    assert {503} == {each.status for each in busy}
    assert 2 == len(busy)
    assert max(int(each) for each in found if isinstance(each, bytes)) <= asked.MOST_AT_ONCE


def test_it_gives_way_to_the_weighing(tmp_path: Path) -> None:
    program = "import os, time; time.sleep(0.3); print(os.nice(0))"
    found = asyncio.run(asyncio.wait_for(python(Asking(tmp_path), program), 30))

    assert os.nice(0) < int(found)


def test_what_takes_long_leaves_a_place_to_pages(tmp_path: Path) -> None:
    """Two slow files are asked for, and many wait: a page is answered while the first still runs.

    The slow ones last until the page has its answer, so that no clock decides.
    """
    done = tmp_path / "done"
    program = (
        "import pathlib, sys, time\nwhile not pathlib.Path(sys.argv[1]).exists(): time.sleep(0.02)"
    )

    async def ask() -> tuple[bytes, list[object]]:
        asking = Asking(tmp_path)
        slow = [
            asyncio.ensure_future(
                asking.process(sys.executable, "-c", program, str(done), is_slow=True)
            )
            for _ in range(asked.MOST_ASKED)
        ]
        try:
            page = await asyncio.wait_for(python(asking, "print('today')"), 30)
        finally:
            done.touch()
        return page, await asyncio.gather(*slow, return_exceptions=True)

    page, files = asyncio.run(ask())

    assert b"today\n" == page
    assert asked.MOST_SLOW_ASKED == files.count(b"")
    assert {503} == {each.status for each in files if isinstance(each, NotTold)}
