"""From the last byte of a frame to the changed pixel in Chromium, and what viewers cost the loop.

**The pixel.** A process of its own plays a simulated scale, at its own pace of 10 lines a second,
into a pseudo-terminal and notes when it writes the terminator of each line. ``weighstation divide
--pages`` reads the other end. The page notes the first moment after the frame of the browser that
draws a change of the cue: a MutationObserver sees the change, requestAnimationFrame waits for the
frame, and a task posted from it runs once the frame's own work is done. So up to 16.7 ms of it is
the browser waiting for its next frame, and the light of a screen is not in it. Each change belongs
to the line whose terminator was written last before it.
Beside it, in the same run on the same machine, an empty page: a bare ``readline`` loop whose lines
go out as server-sent events, one text on the page, noted in the same way.

**The viewers.** The same bench with its pages, and 20 viewers of them in turns with none: 19 read,
one takes nothing. Measured are the last byte of each line to the picture published, in
milliseconds, and the memory of the process.

**The cue.** The whole bench with its panel, as ``cue_latency.py`` measures it: alone, with pages
that three viewers follow, and with somebody besides who has the day, the week and the set-up
reckoned over and over in the office, two at a time.

Run: ``python tests/benchmarks/page_latency.py [PIECES [SECONDS]]``: pieces of the first part and of
each turn of the third, and seconds of each of the four turns of the second.
"""

from __future__ import annotations

import asyncio
import itertools
import os
import re
import shutil
import socket
import statistics
import subprocess
import sys
import tempfile
import threading
import time
import urllib.error
import urllib.request
from bisect import bisect_right
from collections import Counter
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import serial
import uvicorn
from cue_latency import (
    FASTER,
    Played,
    cues_late_ms,
    nothing_beside,
    report,
    scale_of,
    session_of,
)
from playwright.sync_api import sync_playwright
from starlette.applications import Starlette
from starlette.responses import HTMLResponse, StreamingResponse
from starlette.routing import Route

from weighstation.simulate import HandsSpec, ScaleSpec, morning
from weighstation.station.bench.runner import Runner
from weighstation.station.bench.session import Session
from weighstation.station.pages.bench.feed import Feed
from weighstation.station.pages.place import Place
from weighstation.station.pages.serving import serving
from weighstation.station.ports import Arrival
from weighstation.station.stores import open_for_writing

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Callable, Iterator

    from cue_latency import Beside, TimedRunner
    from playwright.sync_api import Page
    from starlette.requests import Request
    from starlette.responses import Response

    from weighstation.station.bench.messages import Message

Chunks = list[tuple[float, bytes]]
PLACES = 6
VIEWERS = 20
FOLLOWERS = 3
OFFICE = ("/today", "/owner", "/auditor", "/setup")
OFFICE_PRODUCTS = """\
currency = "EUR"
[[product]]
name = "Country loaf"
scaling_weight_g = 740
under_g = 8
over_g = 8
cost_per_kg = 1.2
"""
LINES_A_SECOND = 10
NOTED = """
window.changedMs = [];
addEventListener("DOMContentLoaded", () => {
  const channel = new MessageChannel();
  let isWaiting = false;
  channel.port1.onmessage = () => {
    isWaiting = false;
    window.changedMs.push(performance.timeOrigin + performance.now());
  };
  new MutationObserver(() => {
    if (isWaiting) return;
    isWaiting = true;
    requestAnimationFrame(() => channel.port2.postMessage(0));
  }).observe(document.getElementById("cue"), {
    subtree: true, childList: true, characterData: true, attributes: true,
    attributeFilter: ["data-shape", "data-firm"],
  });
});
"""
EMPTY_PAGE = """<!doctype html><title>Empty</title><p id="cue"></p><script>
new EventSource("/stream").onmessage = (event) => {
  document.getElementById("cue").textContent = event.data;
};
</script>"""
VIEWER = """\
import socket, sys, time
host, port, reading, count = sys.argv[1], int(sys.argv[2]), sys.argv[3] == "reads", int(sys.argv[4])
asked = f"GET /bench/stream HTTP/1.1\\r\\nHost: {host}:{port}\\r\\n\\r\\n".encode()
streams = [socket.create_connection((host, port)) for _ in range(count)]
for stream in streams:
    stream.sendall(asked)
    stream.setblocking(False)
print("there", flush=True)
while True:
    time.sleep(0.05)
    for stream in streams if reading else ():
        try:
            stream.recv(65536)
        except BlockingIOError:
            pass
"""


def played_morning(pieces: int) -> Chunks:
    """Return a morning of a simulated scale, line by line."""
    return [
        (c.t_s, c.data) for c in morning(ScaleSpec(), HandsSpec(), pieces=pieces, seed=2).chunks
    ]


# ---- the pixel


def changes_late_ms(chunks: Chunks, page: Page, served: Callable[[str], Any]) -> list[float]:
    """Return how late each change of a page was after the last byte before it."""
    played = Played(chunks, faster=1.0)
    with served(played.device) as url:
        page.goto(url)
        time.sleep(1.0)
        to_wall_ns = time.time_ns() - time.monotonic_ns()
        played.start()
        written_ms = [(t_ns + to_wall_ns) / 1e6 for t_ns in played.written_ns()]
        time.sleep(0.5)
        changed_ms: list[float] = page.evaluate("changedMs")
    found = [(t_ms, bisect_right(written_ms, t_ms) - 1) for t_ms in changed_ms]
    return [t_ms - written_ms[place] for t_ms, place in found if place >= 0]


@contextmanager
def bench_page(device: str) -> Iterator[str]:
    """Run the whole station on a device, in a process of its own."""
    with tempfile.TemporaryDirectory() as folder:
        command = [sys.executable, "-m", "weighstation"]
        subprocess.run([*command, "init", "--home", folder], check=True, stdout=subprocess.DEVNULL)
        plan = ["divide", "--target", "740", "--under", "8", "--over", "8", "--plain", "--fresh"]
        pages = ["--port", f"serial://{device}", "--pages", "--page-port", "0", "--home", folder]
        with subprocess.Popen(
            [*command, *plan, *pages],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            text=True,
        ) as process:
            assert process.stderr is not None
            said = ""
            while (shown := re.search(r"shown at (http://\S+)/", said)) is None:
                said += process.stderr.readline() or sys.exit(said)
            try:
                yield f"{shown[1]}/bench"
            finally:
                process.kill()


class EmptyPage:
    """Lines of a device as server-sent events, and nothing else."""

    def __init__(self, device: str) -> None:
        self._device = device
        self._lines: asyncio.Queue[str] = asyncio.Queue()
        self._loop: asyncio.AbstractEventLoop | None = None

    async def page(self, _request: Request) -> Response:
        return HTMLResponse(EMPTY_PAGE)

    async def stream(self, _request: Request) -> Response:
        self._loop = asyncio.get_running_loop()
        threading.Thread(target=self._read, daemon=True).start()
        return StreamingResponse(self._events(), media_type="text/event-stream")

    def _read(self) -> None:
        assert self._loop is not None
        with serial.Serial(self._device, 9600) as port:
            for number in range(10**9):
                line = port.readline().decode().strip()
                self._loop.call_soon_threadsafe(self._lines.put_nowait, f"{number} {line}")

    async def _events(self) -> AsyncIterator[str]:
        while True:
            yield f"data: {await self._lines.get()}\n\n"


@contextmanager
def empty_page(device: str) -> Iterator[str]:
    """Serve the empty page from a process of its own."""
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    with subprocess.Popen([sys.executable, __file__, "--empty", device, str(port)]) as process:
        while True:
            with socket.socket() as tried:
                if tried.connect_ex(("127.0.0.1", port)) == 0:
                    break
            time.sleep(0.05)
        try:
            yield f"http://127.0.0.1:{port}/"
        finally:
            process.kill()


def serve_empty(device: str, port: int) -> None:
    """Serve the empty page until killed."""
    empty = EmptyPage(device)
    routes = [Route("/", empty.page), Route("/stream", empty.stream)]
    uvicorn.run(Starlette(routes=routes), port=port, log_level="warning", http="h11")


def the_pixel(pieces: int) -> None:
    """Print how late changed pixels are, beside those of the empty page."""
    chunks = played_morning(pieces)
    print(f"{pieces} pieces, {len(chunks)} lines, as fast as life")
    with sync_playwright() as driver:
        words = ["--no-sandbox", "--disable-dev-shm-usage"]
        browser = driver.chromium.launch(executable_path=shutil.which("chromium"), args=words)
        context = browser.new_context(viewport={"width": 1280, "height": 800})
        page = context.new_page()
        page.add_init_script(NOTED)
        empty_ms = changes_late_ms(chunks, page, empty_page)
        bench_ms = changes_late_ms(chunks, page, bench_page)
        browser.close()
    empty_p99 = report("pixel of an empty page", empty_ms)
    bench_p99 = report("pixel of the bench page", bench_ms)
    p50 = statistics.median(bench_ms) / statistics.median(empty_ms)
    print(f"ratio to the empty page: p50 {p50:.2f}, p99 {bench_p99 / empty_p99:.2f}")


# ---- the viewers


class WatchedRunner(Runner[Session]):
    """A runner that notes when the picture of each whole line is published."""

    def start(self) -> None:
        """Start, with the session's ``take`` watched from outside."""
        self.published_ns: list[int] = []
        self._plain_take = self.session.take
        self.session.take = self._watched_take  # type: ignore[method-assign]
        super().start()

    def _watched_take(self, message: Message) -> None:
        self._plain_take(message)
        if isinstance(message, Arrival) and message.data.endswith(b"\n"):
            self.published_ns.append(time.monotonic_ns())


def pictures_late_ms(chunks: Chunks, viewers: int) -> tuple[list[float], float]:
    """Return how late pictures were with so many viewers, and the memory of the process in MiB."""
    played = Played(chunks, faster=1.0)
    feed = Feed()
    with ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory()))
        url = stack.enter_context(serving(Place("127.0.0.1", 0), feed, folder))
        path = folder / "journal.sqlite"
        store = open_for_writing(path, journal_id="0" * 32, station="bench")
        runner = WatchedRunner(session_of(PLACES), scale_of(played), store)
        feed.follow(runner)
        runner.start()
        with viewing(url, viewers, max(0, viewers - 1)):
            played.start()
            written = played.written_ns()
            time.sleep(0.2)
            resident_mib = resident()
        runner.close()
        store.close()
    published = runner.published_ns
    found = [(t_ns - written[bisect_right(written, t_ns) - 1]) / 1e6 for t_ns in published]
    return found, resident_mib


@contextmanager
def viewing(url: str, viewers: int, reading: int) -> Iterator[None]:
    """Have so many viewers follow; those that are not reading take nothing."""
    host, port = url.removeprefix("http://").rstrip("/").split(":")
    started = []
    for does, count in (("reads", reading), ("takes nothing", viewers - reading)):
        if count > 0:
            words = [sys.executable, "-c", VIEWER, host, port, does, str(count)]
            started.append(subprocess.Popen(words, stdout=subprocess.PIPE))
    for each in started:
        assert each.stdout is not None
        each.stdout.readline()
    try:
        yield
    finally:
        for each in started:
            each.kill()
            each.communicate()


def resident() -> float:
    """Return the resident memory of this process, in MiB."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 2**20


def the_viewers(seconds: float) -> None:
    """Print what viewers cost the loop, in turns with none of them."""
    lines = round(seconds * LINES_A_SECOND)
    chunks = played_morning(max(2, round(seconds / 4)))[:lines]
    late: dict[int, list[float]] = {0: [], VIEWERS: []}
    memory: dict[int, list[float]] = {0: [], VIEWERS: []}
    print(f"\n{len(chunks)} lines a turn, {LINES_A_SECOND} a second")
    for viewers in (0, VIEWERS, VIEWERS, 0):
        found, resident_mib = pictures_late_ms(chunks, viewers)
        late[viewers] += found
        memory[viewers].append(resident_mib)
        print(f"  {viewers:2d} viewers: {resident_mib:.1f} MiB resident")
    alone = report("picture, nobody looks", late[0])
    seen = report(f"picture, {VIEWERS} viewers", late[VIEWERS])
    p50 = statistics.median(late[VIEWERS]) / statistics.median(late[0])
    more_mib = memory[VIEWERS][0] - memory[0][0]
    print(
        f"ratio: p50 {p50:.2f}, p99 {seen / alone:.2f}; {more_mib:+.1f} MiB for {VIEWERS} viewers"
    )


# ---- the cue


@contextmanager
def pages_beside(runner: TimedRunner, folder: Path) -> Iterator[str]:
    """Serve the pages of a bench to those who follow it."""
    feed = Feed()
    with serving(Place("127.0.0.1", 0), feed, folder) as url:
        feed.follow(runner)
        with viewing(url, FOLLOWERS, reading=FOLLOWERS):
            yield url


@contextmanager
def office_beside(runner: TimedRunner, folder: Path) -> Iterator[None]:
    """Have somebody besides who asks for pages of the office without rest."""
    (folder / "products.toml").write_text(OFFICE_PRODUCTS)
    done = threading.Event()
    answers: Counter[int] = Counter()
    with pages_beside(runner, folder) as url:
        people = [threading.Thread(target=read_on, args=(url, done, answers)) for _ in range(2)]
        for each in people:
            each.start()
        try:
            yield
        finally:
            done.set()
            for each in people:
                each.join()
    print(f"  the office was answered: {dict(answers)}")


def read_on(url: str, done: threading.Event, answers: Counter[int]) -> None:
    """Ask for one page after the other, and count the answers by their status."""
    for number in itertools.count():
        if done.is_set():
            return
        page = OFFICE[number % len(OFFICE)]
        try:
            with urllib.request.urlopen(url.rstrip("/") + page, timeout=60) as answer:
                answer.read()
                answers[answer.status] += 1
        except urllib.error.HTTPError as exc:
            answers[exc.code] += 1


def the_cue(pieces: int) -> None:
    """Print how late cues are alone, with pages, and with the office asked for."""
    chunks = played_morning(pieces)
    print(f"\n{pieces} pieces a turn, {FASTER:g} times as fast as life, panel on")
    ways: dict[str, Beside] = {
        "cue, panel": nothing_beside,
        f"cue, {FOLLOWERS} viewers": pages_beside,
        "cue, viewers and office": office_beside,
    }
    late = {name: list[float]() for name in ways}
    for turn in range(2):
        for name, beside in list(ways.items())[:: 1 if turn == 0 else -1]:
            late[name] += cues_late_ms(chunks, PLACES, beside)
    found = [report(name, late_ms) for name, late_ms in late.items()]
    print(f"p99, budget 5 ms; ratio to the panel alone {found[1] / found[0]:.1f} and")
    print(f"  {found[2] / found[0]:.1f} with the office")


def main() -> None:
    """Measure all three."""
    if sys.argv[1:2] == ["--empty"]:
        serve_empty(sys.argv[2], int(sys.argv[3]))
        return
    the_pixel(int(sys.argv[1]) if len(sys.argv) > 1 else 30)
    the_viewers(float(sys.argv[2]) if len(sys.argv) > 2 else 60.0)
    the_cue(int(sys.argv[1]) if len(sys.argv) > 1 else 30)


if __name__ == "__main__":
    main()
