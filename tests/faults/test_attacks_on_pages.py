"""What a stranger on the network may try, on a station that divides: refused, and it weighs on."""

from __future__ import annotations

import socket
import threading
import time
from contextlib import ExitStack, suppress
from typing import TYPE_CHECKING

import pytest
from pages_station import SEND_S, STRANGER, TAKE_S, PagesStation, answer_on

from weighstation.station.pages.bench.stream import MOST_STREAMS
from weighstation.station.pages.door.guesses import OF_ONE

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from pages_station import Answer

PATIENCE_S = 1.5
"""What a busy machine may take longer."""


@pytest.fixture(scope="module")
def running(tmp_path_factory: pytest.TempPathFactory) -> Iterator[PagesStation]:
    station = PagesStation(tmp_path_factory.mktemp("attacked") / "home")
    yield station
    station.end()


@pytest.fixture
def station(running: PagesStation) -> Iterator[PagesStation]:
    """The station, whose weighing loop must have gone on when the attack is over."""
    before = running.turns()
    yield running
    end_s = time.monotonic() + 5
    while running.turns() <= before and time.monotonic() < end_s:
        time.sleep(0.05)

    assert running.turns() > before


# ---- somebody else's page, in a browser that can reach the station


@pytest.mark.parametrize("host", ["evil.example", "evil.example:80", "localhost.evil.example", ""])
def test_a_foreign_host_is_refused(station: PagesStation, host: str) -> None:
    """As DNS rebinding has it: a foreign name that leads here."""
    assert 400 == station.get("/bench", f"Host: {host}\r\n").status


def test_a_request_without_host_or_with_two_is_refused(station: PagesStation) -> None:
    """RFC 9112, section 3.2: a server must answer either with 400."""
    with station.connected() as connection:
        connection.sendall(b"GET /bench HTTP/1.1\r\n\r\n")
        without = answer_on(connection)
    two = f"Host: 127.0.0.1:{station.port}\r\nHost: evil.example\r\n"

    assert 400 == without.status
    assert 400 == station.get("/bench", two).status


@pytest.mark.parametrize(
    "origin",
    [
        *("http://evil.example", "null", "http://127.0.0.1:1", "https://127.0.0.1:{port}"),
        *("http://127.0.0.1:{port}.evil.example", ""),
    ],
)
def test_a_post_of_a_foreign_origin_is_refused(station: PagesStation, origin: str) -> None:
    said = origin.format(port=station.port)
    headers = f"Origin: {said}\r\nX-Weighstation-Token: {station.token()}\r\n"

    assert 403 == station.post(headers=headers).status


def test_a_page_that_says_it_is_foreign_reads_nothing(station: PagesStation) -> None:
    """A WebSocket, or a fetch over plain HTTP on a network, says nothing else of who asks."""
    upgrade = "Upgrade: websocket\r\nConnection: Upgrade\r\n"
    own, foreign = f"Origin: http://127.0.0.1:{station.port}\r\n", "Origin: http://evil.example\r\n"

    assert 403 == station.get("/bench/stream", f"{foreign}{upgrade}").status
    assert 403 == station.get("/bench", foreign).status
    assert 200 == station.get("/bench", own).status


def test_a_post_without_origin_or_with_two_is_refused(station: PagesStation) -> None:
    token = f"X-Weighstation-Token: {station.token()}\r\n"
    two = f"Origin: http://evil.example\r\nOrigin: http://127.0.0.1:{station.port}\r\n"

    assert 403 == station.post(headers=token).status
    assert 403 == station.post(headers=token + two).status


@pytest.mark.parametrize("token", ["", "X-Weighstation-Token: guessed\r\n"])
def test_a_post_without_the_token_of_the_page_is_refused(station: PagesStation, token: str) -> None:
    origin = f"Origin: http://127.0.0.1:{station.port}\r\n"

    assert 403 == station.post(headers=origin + token).status
    assert 400 == station.post().status, "with the token it gets as far as what was touched"


def test_a_foreign_page_can_link_here_but_fetch_and_embed_nothing(station: PagesStation) -> None:
    """Fetch Metadata Request Headers, W3C: what a browser says of who asks."""
    site, mode = "Sec-Fetch-Site: cross-site\r\n", "Sec-Fetch-Mode: {}\r\n"
    statuses = [
        station.get("/bench", site + mode.format(how)).status
        for how in ("navigate", "no-cors", "cors")
    ]
    embedded = [
        station.get(
            "/owner", site + mode.format("navigate") + f"Sec-Fetch-Dest: {where}\r\n"
        ).status
        for where in ("iframe", "frame", "embed", "object", "fencedframe")
    ]
    linked = station.get("/bench", site + mode.format("navigate") + "Sec-Fetch-Dest: document\r\n")

    assert [200, 403, 403] == statuses
    assert 200 == linked.status
    assert [403] * 5 == embedded, "what is framed is asked for by navigating too"
    assert "'none'" in station.get("/bench").header("content-security-policy")


# ---- a stranger without a key, or with a wrong one


def test_a_stranger_is_shown_nothing(station: PagesStation) -> None:
    for path in ("/", "/bench", "/bench/stream"):
        answer = station.get(path, STRANGER)

        assert 403 == answer.status
        assert "station-token" not in answer.body


def test_a_pairing_link_works_once(station: PagesStation) -> None:
    secret, _ = station.pairs.link("once", "reader", time.time_ns() // 1_000_000)
    first = station.get(f"/pair/{secret}", STRANGER)
    again = station.get(f"/pair/{secret}", STRANGER, source="127.0.0.61")

    assert (303, "/") == (first.status, first.header("location"))
    assert secret not in first.head
    for said in ("HttpOnly", "SameSite=strict", "Path=/"):
        assert said in first.header("set-cookie")
    assert (403, "") == (again.status, again.header("set-cookie"))


def test_a_link_opened_by_two_at_once_lets_one_in(station: PagesStation) -> None:
    secret, _ = station.pairs.link("race", "reader", time.time_ns() // 1_000_000)
    came: list[int] = []

    def opened() -> None:
        came.append(station.get(f"/pair/{secret}", STRANGER, source="127.0.0.62").status)

    threads = [threading.Thread(target=opened) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert [303] + [403] * 7 == sorted(came)


@pytest.mark.parametrize("how", ["link", "cookie"])
def test_who_guesses_is_not_heard_any_more(station: PagesStation, how: str) -> None:
    """For a while; a device that is let in is, though it may be what the guesses come from.

    A page of somebody else, open on it, can ask for links that there are not.
    """
    source = {"link": "127.0.0.63", "cookie": "127.0.0.64"}[how]
    good = station.paired("reader", f"good {how}")
    name = good.partition("Cookie: ")[2].partition("=")[0]

    def guess(number: int) -> Answer:
        if how == "link":
            return station.get(f"/pair/guess-{number}", STRANGER, source)
        return station.get("/bench", f"{STRANGER}Cookie: {name}=guess-{number}\r\n", source)

    refused = [guess(number).status for number in range(OF_ONE + 5)]

    assert [403] * OF_ONE == refused[:OF_ONE]
    assert 429 == refused[-1]
    assert 200 == station.get("/bench", good, source).status
    secret, _ = station.pairs.link(f"late {how}", "reader", time.time_ns() // 1_000_000)
    assert 429 == station.get(f"/pair/{secret}", STRANGER, source).status


def test_no_secret_gets_into_the_log(station: PagesStation) -> None:
    secret, _ = station.pairs.link("logged", "reader", time.time_ns() // 1_000_000)
    cookie = station.get(f"/pair/{secret}?token=in-the-query", STRANGER).header("set-cookie")
    key = cookie.partition("=")[2].partition(";")[0]
    station.get("/bench?token=in-the-query", f"{STRANGER}Cookie: {cookie.partition(';')[0]}\r\n")
    station.get(f"/pair/{secret}/more", STRANGER)
    station.get(f"/pair/{secret}", "Host: evil.example\r\n")
    station.get(f"/PAIR/{secret}%0d%0aforged", STRANGER)
    log = (station.home / "requests.log").read_text()

    assert '"logged" GET /bench 200' in log
    assert "GET /pair/{secret} 303" in log
    for hidden in (secret, key, "in-the-query", "forged"):
        assert hidden not in log
    assert 0o600 == (station.home / "requests.log").stat().st_mode & 0o777


def test_a_stranger_is_not_told_where_files_lie(station: PagesStation) -> None:
    file = station.home / "pairs.sqlite"
    station.pairs.link("told", "reader", time.time_ns() // 1_000_000)
    kept = file.read_bytes()
    file.write_bytes(b"no database " * 99)
    try:
        answer = station.get("/pair/link", STRANGER, source="127.0.0.66")
    finally:
        file.write_bytes(kept)

    assert 503 == answer.status
    assert str(station.home) not in answer.body
    assert "pairs.sqlite" not in answer.body


# ---- a device that may less than it tries


def test_a_reader_looks_and_touches_nothing(station: PagesStation) -> None:
    reader, bench = station.paired("reader", "phone"), station.paired("bench", "tablet")
    as_reader = station.post(headers=station.page_headers() + reader)
    as_bench = station.post(headers=station.page_headers() + bench)

    assert 200 == station.get("/bench", reader).status
    assert (403, "This device is paired as reader: it may not do that.\n") == as_reader[::2]
    assert 400 == as_bench.status, "it gets as far as what was touched"


def test_the_raw_rows_which_hold_costs_and_initials_are_the_owner_s(station: PagesStation) -> None:
    reader, bench = station.paired("reader", "auditor"), station.paired("bench", "another tablet")
    asked = [station.get("/auditor/dossier.zip", who).status for who in (reader, bench, "")]

    assert [403, 403] == asked[:2]
    assert 403 != asked[2]
    assert "dossier.zip" not in station.get("/auditor", reader).body


def test_who_is_revoked_is_out_within_a_second_with_the_stream_open(station: PagesStation) -> None:
    viewer = station.paired("reader", "lost phone")
    with station.connected() as connection:
        connection.sendall(
            f"GET /bench/stream HTTP/1.1\r\nHost: 127.0.0.1:{station.port}\r\n{viewer}\r\n".encode()
        )
        assert b"200 OK" in connection.recv(4096)
        station.pairs.revoke("lost phone", time.time_ns() // 1_000_000)
        began_s = time.monotonic()
        rest = answer_until_end(connection)

    assert rest.endswith(b"0\r\n\r\n"), "the stream is ended as a whole one"
    assert time.monotonic() - began_s < 1 + PATIENCE_S
    assert 403 == station.get("/bench", viewer).status


def answer_until_end(connection: socket.socket) -> bytes:
    """Return what comes until a chunked answer is over, nothing comes any more, or it is late."""
    came, end_s = b"", time.monotonic() + 5
    while not came.endswith(b"\r\n0\r\n\r\n") and time.monotonic() < end_s:
        part = connection.recv(65_536)
        if not part:
            break
        came += part
    return came


# ---- what no page of ours sends


def test_a_body_that_is_too_long_is_refused_however_it_comes(station: PagesStation) -> None:
    long = "x" * 5000
    chunked = station.page_headers() + "Transfer-Encoding: chunked\r\n"
    declared = station.post(long)
    in_chunks = station.post(f"1388\r\n{long}\r\n0\r\n\r\n", headers=chunked)
    a_lie = station.ask(
        f"POST /bench/ask HTTP/1.1\r\n{station.page_headers()}Content-Length: {10**12}\r\n"
    )

    assert [413, 413, 413] == [declared.status, in_chunks.status, a_lie.status]


@pytest.mark.parametrize(
    "path",
    [
        *("/static/../guarding.py", "/static/..%2f..%2f..%2f..%2fpyproject.toml"),
        *("/static/%2e%2e/%2e%2e/place.py", "/static/..%5c..%5cplace.py", "/static//etc/passwd"),
        *("/static/%252e%252e/place.py", "/static/....//place.py", "/static/%00", "/static/"),
        "/static/" + "../" * 12 + "etc/passwd",
    ],
)
def test_nothing_but_what_lies_in_static_is_served_from_it(
    station: PagesStation, path: str
) -> None:
    answer = station.get(path)

    assert 404 == answer.status
    assert "root:" not in answer.body
    assert 200 == station.get("/static/station.css").status


@pytest.mark.parametrize("method", ["PUT", "DELETE", "OPTIONS", "TRACE", "PATCH", "BREW", "PRI"])
def test_a_method_that_no_page_uses_is_refused(station: PagesStation, method: str) -> None:
    answer = station.ask(f"{method} /bench HTTP/1.1\r\n")

    assert (405, "GET, HEAD, POST") == (answer.status, answer.header("allow"))


@pytest.mark.parametrize(
    "path",
    [
        *("/%0d%0aSet-Cookie:%20forged=1", "//evil.example/%2e%2e", "/bench/", "//evil.example"),
        "/pair/%0d%0aLocation:%20http://evil.example",
    ],
)
def test_nothing_of_what_is_asked_comes_back_in_a_header(station: PagesStation, path: str) -> None:
    answer = station.get(path, source="127.0.0.65")

    assert answer.status in (403, 404)
    assert "forged" not in answer.head
    assert "evil.example" not in answer.head
    assert "" == answer.header("location")


def test_no_answer_says_what_answers(station: PagesStation) -> None:
    broken = b"NOT HTTP AT ALL\r\n\r\n"
    with station.connected() as connection:
        connection.sendall(broken)
        answers = [answer_on(connection)]
    answers += [station.get(path) for path in ("/", "/bench", "/nothing", "/static/bench.js")]
    for answer in answers:
        assert "" == answer.header("server")
        assert "uvicorn" not in answer.head.lower()
        assert "python" not in answer.head.lower()


# ---- who holds on


def test_who_sends_slowly_is_cut_off_and_hurts_nobody(station: PagesStation) -> None:
    """A head that never ends, a body that never ends, and a connection that says nothing."""
    head = f"POST /bench/ask HTTP/1.1\r\nHost: 127.0.0.1:{station.port}\r\n"
    body = f"{head}{station.page_headers()}Content-Length: 900\r\n\r\n"
    with ExitStack() as stack:
        slow = [stack.enter_context(station.connected("127.0.0.71")) for _ in range(3)]
        began_s, ended_s = time.monotonic(), [0.0] * 3
        for text, connection in zip((head, body, ""), slow, strict=True):
            connection.sendall(text.encode())
            connection.setblocking(False)
        while not all(ended_s) and time.monotonic() - began_s < 10:
            for place, connection in enumerate(slow):
                if not ended_s[place] and is_cut(connection, b"" if place == 2 else b"x"):
                    ended_s[place] = time.monotonic() - began_s
            assert 200 == station.get("/bench").status
            time.sleep(0.05)

    assert all(0 < each < SEND_S + PATIENCE_S for each in ended_s), ended_s


def is_cut(connection: socket.socket, letter: bytes) -> bool:
    """Send one letter more, and say whether the other side has hung up."""
    try:
        connection.send(letter)
        return connection.recv(1) == b""
    except BlockingIOError:
        return False
    except OSError:
        return True


def test_who_reads_nothing_is_cut_off_and_hurts_nobody(station: PagesStation) -> None:
    request = f"GET /static/bench.js HTTP/1.1\r\nHost: 127.0.0.1:{station.port}\r\n\r\n".encode()
    with socket.socket() as connection:
        connection.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4096)
        connection.settimeout(10)
        connection.connect(("127.0.0.1", station.port))
        connection.sendall(request * 60)
        began_s = time.monotonic()
        while time.monotonic() - began_s < TAKE_S + PATIENCE_S:
            assert 200 == station.get("/bench").status
            time.sleep(0.1)
        came = len(answer_on(connection).body)

    assert came < 60 * len(station.get("/static/bench.js").body) / 2


def test_who_reads_slowly_but_on_and_on_gets_all_of_it(station: PagesStation) -> None:
    """A long file over a poor Wi-Fi takes longer than the patience with somebody who is gone."""
    script = len(station.get("/static/bench.js").body.encode())
    head = f"GET /static/bench.js HTTP/1.1\r\nHost: 127.0.0.1:{station.port}\r\n"
    came, began_s = 0, time.monotonic()
    with socket.socket() as connection:
        connection.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4096)
        connection.settimeout(10)
        connection.connect(("127.0.0.1", station.port))
        connection.sendall(
            f"{head}\r\n".encode() * 59 + f"{head}Connection: close\r\n\r\n".encode()
        )
        while part := connection.recv(8192):
            came += len(part)
            time.sleep(0.03 * len(part) / 8192)

    assert time.monotonic() - began_s > TAKE_S
    assert came > 60 * script


def test_of_two_hundred_streams_a_few_are_let_in_and_nobody_else_is_hurt(
    station: PagesStation,
) -> None:
    request = f"GET /bench/stream HTTP/1.1\r\nHost: 127.0.0.1:{station.port}\r\n\r\n".encode()
    with ExitStack() as stack:
        streams = []
        for _ in range(200):
            streams.append(stack.enter_context(station.connected("127.0.0.72")))
            with suppress(OSError):  # it was hung up on
                streams[-1].sendall(request)
        statuses = [status_on(connection) for connection in streams]

        assert 200 == station.get("/bench").status
    assert MOST_STREAMS == statuses.count(200)
    assert {503, 0} == set(statuses) - {200}, "told to come again, or hung up on"


def test_a_device_that_follows_too_often_crowds_nobody_out(station: PagesStation) -> None:
    """Its oldest stream makes way for its newest; whoever else comes is let in."""
    reader, tablet = station.paired("reader", "a crowd"), station.paired("bench", "one tablet")
    head = f"GET /bench/stream HTTP/1.1\r\nHost: 127.0.0.1:{station.port}\r\n"
    with ExitStack() as stack:
        crowd = [stack.enter_context(station.connected()) for _ in range(MOST_STREAMS)]
        statuses = []
        for connection in crowd:
            connection.sendall(f"{head}{reader}\r\n".encode())
            statuses.append(status_on(connection))
        alone = stack.enter_context(station.connected())
        alone.sendall(f"{head}{tablet}\r\n".encode())

        assert 200 == status_on(alone)
        assert {200} == set(statuses)
        assert answer_until_end(crowd[0]).endswith(b"0\r\n\r\n"), "the oldest was ended"
        assert crowd[-1].recv(4096), "the newest goes on"


def status_on(connection: socket.socket) -> int:
    """Return the status of an answer that may never end; 0 where there is none."""
    try:
        came = connection.recv(4096)
    except OSError:
        return 0
    return int(came.split()[1]) if came else 0


# ---- and then


def test_nothing_of_it_is_said_on_the_screen(station: PagesStation) -> None:
    """A complaint of a library would stand in the middle of the cue."""
    station.ask("BREW * HTTP/9\r\n")

    assert 1 == len([line for line in station.said if "shown at" in line])
    assert [] == [line for line in station.said if "nvalid" in line or "Trace" in line]


def test_it_goes_within_two_seconds_with_viewers_connected(tmp_path: Path) -> None:
    station = PagesStation(tmp_path / "home")
    request = f"GET /bench/stream HTTP/1.1\r\nHost: 127.0.0.1:{station.port}\r\n\r\n".encode()
    with ExitStack() as stack:
        viewers = [stack.enter_context(station.connected()) for _ in range(MOST_STREAMS)]
        for viewer in viewers:
            viewer.sendall(request)
        statuses = {status_on(viewer) for viewer in viewers}
        took_s = station.end()

    assert {200} == statuses
    assert took_s < 2 + PATIENCE_S
