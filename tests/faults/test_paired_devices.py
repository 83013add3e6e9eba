"""Devices of the network, in a real browser and over HTTPS: let in by a link, and sent away."""

from __future__ import annotations

import socket
import ssl
import time
import urllib.request
from typing import TYPE_CHECKING, Any

import pytest
import trustme
from chromium_pages import barriers, launched, until
from pages_station import SEND_S, PagesStation

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, Page

EVIL = "=1+1<img src=x onerror=alert(1)><script>alert(2)</script>"
"""A name that a spreadsheet would reckon with and a page would run."""
PRODUCTS = f"""
currency = "EUR"
[[product]]
name = "{EVIL}"
scaling_weight_g = 740
under_g = 8
over_g = 8
"""


@pytest.fixture(scope="module")
def station(tmp_path_factory: pytest.TempPathFactory) -> Iterator[PagesStation]:
    home = tmp_path_factory.mktemp("paired") / "home"
    home.mkdir()
    (home / "products.toml").write_text(PRODUCTS)
    running = PagesStation(home, product=EVIL)
    yield running
    running.end()


def link(station: PagesStation, role: str, name: str) -> str:
    secret, _ = station.pairs.link(name, role, time.time_ns() // 1_000_000)
    return f"{station.url}pair/{secret}"


# ---- in Chromium


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with launched() as opened:
        yield opened


@pytest.fixture
def stranger(browser: Browser) -> Iterator[Page]:
    """A page whose requests were not asked on this machine, and which may complain of nothing."""
    context = browser.new_context(extra_http_headers={"Via": "1.1 somewhere"})
    shown = context.new_page()
    complaints: list[str] = []
    shown.on("pageerror", lambda error: complaints.append(str(error)))
    shown.on("dialog", lambda dialog: complaints.append(dialog.message))
    shown.on("console", lambda message: complaints.append(message.text))
    yield shown
    context.close()

    # that a page was refused is what some tests are about
    assert [] == [said for said in complaints if "status of 403" not in said]


def test_a_device_without_a_key_is_told_how_to_get_in(
    station: PagesStation, stranger: Page
) -> None:
    stranger.goto(station.url)

    assert "This device is not paired" == stranger.inner_text("h1")
    assert "weighstation pair --role bench" in stranger.inner_text("main")
    assert [] == barriers(stranger)


def test_a_tablet_opens_its_link_follows_the_bench_and_is_sent_away(
    station: PagesStation, stranger: Page
) -> None:
    opened = link(station, "bench", "tablet")
    stranger.goto(opened)
    until(lambda: stranger.get_attribute("body", "data-state") == "following")

    assert f"{station.url}bench" == stranger.url
    assert "" == stranger.evaluate("document.cookie"), "no script can read the key"
    (cookie,) = stranger.context.cookies()
    assert ("Strict", True, False) == (
        cookie["sameSite"],
        cookie["httpOnly"],
        cookie["secure"],
    )
    station.pairs.revoke("tablet", time.time_ns() // 1_000_000)
    until(lambda: "This device is not paired" in stranger.inner_text("body"))
    stranger.goto(opened)
    assert "This link is no good any more" == stranger.inner_text("h1")


def test_a_reader_has_no_keys_and_is_told_that_it_may_not_touch(
    station: PagesStation, stranger: Page
) -> None:
    stranger.goto(link(station, "reader", "phone"))
    until(lambda: stranger.get_attribute("body", "data-state") == "following")
    shown = [key.is_visible() for key in stranger.locator("#keys [data-control]").all()]
    stranger.keyboard.press("p")

    assert shown
    assert not any(shown)

    until(lambda: "paired as reader" in stranger.inner_text("#says"))


def test_a_product_named_like_a_script_is_a_name_like_any_other(
    station: PagesStation, stranger: Page
) -> None:
    stranger.goto(link(station, "reader", "another phone"))
    until(lambda: EVIL in stranger.inner_text("#product"))

    assert 0 == stranger.locator("#product *").count()
    assert 0 == stranger.locator("img").count()


# ---- over HTTPS, and from an address that is not this machine's alone


def test_over_https_the_key_never_travels_in_the_clear(tmp_path: Path) -> None:
    authority = trustme.CA()
    issued = authority.issue_cert("localhost", "127.0.0.1")
    certificate, key = tmp_path / "station.pem", tmp_path / "station.key"
    certificate.write_bytes(issued.cert_chain_pems[0].bytes())
    key.write_bytes(issued.private_key_pem.bytes())
    station = PagesStation(tmp_path / "home", "--certificate", str(certificate), "--key", str(key))
    try:
        trusting = ssl.create_default_context()
        authority.configure_trust(trusting)
        opener = urllib.request.build_opener(
            urllib.request.HTTPSHandler(context=trusting), _NoWayOn()
        )
        with opener.open(link(station, "bench", "tablet")) as answer:
            cookie = answer.headers["set-cookie"]
        with opener.open(f"{station.url}bench") as page:
            token = page.read().decode().partition('station-token" content="')[2].split('"')[0]
        touched = {
            scheme: _status(opener, station, token, f"{scheme}://127.0.0.1:{station.port}")
            for scheme in ("http", "https")
        }
        with station.connected() as plain:
            plain.sendall(b"GET / HTTP/1.1\r\nHost: localhost\r\n\r\n")
            said_in_plain = plain.recv(100)
        with station.connected() as silent:
            began_s = time.monotonic()
            said_to_nobody = silent.recv(100)
            waited_s = time.monotonic() - began_s
    finally:
        station.end()

    assert station.url.startswith("https://")
    assert "; Secure" in cookie
    assert {"http": 403, "https": 400} == touched, "400: it got as far as what was touched"
    assert b"HTTP" not in said_in_plain
    assert b"" == said_to_nobody
    assert waited_s < SEND_S + 1.5, "who connects and never begins to speak TLS"


class _NoWayOn(urllib.request.HTTPRedirectHandler):
    """Answers with the redirection itself."""

    def http_error_303(self, *asked: Any) -> Any:
        return asked[1]


def _status(
    opener: urllib.request.OpenerDirector, station: PagesStation, token: str, origin: str
) -> int:
    headers = {"Origin": origin, "X-Weighstation-Token": token}
    asked = urllib.request.Request(f"{station.url}bench/ask", b"{}", headers)
    try:
        with opener.open(asked) as answer:
            return int(answer.status)
    except urllib.error.HTTPError as exc:
        with exc:
            return exc.code


def own_address() -> str:
    """Return an address by which others reach this machine; nothing is sent to find it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as looking:
        try:
            looking.connect(("198.51.100.1", 9))
        except OSError:
            pytest.skip("this machine is on no network")
        return str(looking.getsockname()[0])


def test_on_the_network_it_warns_and_lets_nobody_in_without_a_key(tmp_path: Path) -> None:
    address = own_address()
    station = PagesStation(tmp_path / "home", "--page-host", "0.0.0.0")
    try:
        host = f"Host: {address}:{station.port}\r\n"
        with socket.create_connection((address, station.port), timeout=10) as connection:
            connection.sendall(f"GET /bench HTTP/1.1\r\n{host}Connection: close\r\n\r\n".encode())
            from_the_network = connection.recv(100)
        from_here = station.get("/bench")
        foreign = station.get("/bench", "Host: 198.51.100.1\r\n")
    finally:
        station.end()

    assert f"http://{address}:{station.port}/" == station.url == station.pairs.served_at()
    assert b"403" in from_the_network
    assert (200, 400) == (from_here.status, foreign.status)
    assert "this is plain HTTP" in "".join(station.said)
