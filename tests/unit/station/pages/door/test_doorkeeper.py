"""Who is on this machine, and who only seems to be."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING, Any

import pytest

from weighstation.station.pages.door.doorkeeper import HERE, Doorkeeper
from weighstation.station.pages.door.roles import Role
from weighstation.station.stores.pairs import Pairs

if TYPE_CHECKING:
    from pathlib import Path


def scope(address: str, port: int = 8650, **headers: str) -> dict[str, Any]:
    return {
        "type": "http",
        "http_version": "1.1",
        "client": (address, 1234),
        "server": ("192.0.2.2", port),
        "headers": [
            (name.replace("_", "-").encode(), value.encode()) for name, value in headers.items()
        ],
    }


def now_ms() -> int:
    return time.time_ns() // 1_000_000


def test_who_sits_here_may_do_all(tmp_path: Path) -> None:
    keeper = Doorkeeper(Pairs(tmp_path))
    visitors = [keeper.visitor(scope(each)) for each in ("127.0.0.1", "::1", "::ffff:127.0.0.1")]

    assert {(HERE, Role.OWNER)} == {(visitor.name, visitor.role) for visitor in visitors}


@pytest.mark.parametrize(
    "header",
    [
        *("forwarded", "via", "x_forwarded_for", "x_forwarded_host", "x_real_ip"),
        *("x_forwarded_proto", "x_forwarded", "x_client_ip", "x_original_forwarded_for"),
    ],
)
def test_who_is_passed_on_by_a_proxy_does_not_sit_here(tmp_path: Path, header: str) -> None:
    """RFC 7239 and RFC 9110, section 7.6.3; the X ones from memory."""
    visitor = Doorkeeper(Pairs(tmp_path)).visitor(scope("127.0.0.1", 8650, **{header: "192.0.2.9"}))

    assert visitor.role is None


def test_who_speaks_an_http_that_no_browser_speaks_does_not_sit_here(tmp_path: Path) -> None:
    """A proxy that marks nothing may still ask with HTTP/1.0, where every browser has 1.1."""
    asked = {**scope("127.0.0.1"), "http_version": "1.0"}

    assert Doorkeeper(Pairs(tmp_path)).visitor(asked).role is None


def test_a_key_holds_at_the_port_that_gave_it_until_it_is_revoked(tmp_path: Path) -> None:
    pairs = Pairs(tmp_path)
    keeper = Doorkeeper(pairs)
    paired = keeper.pair(pairs.link("phone", "reader", now_ms())[0], scope("192.0.2.9"))
    assert paired
    cookie = f"weighstation-8650={paired[0]}"
    visitor = keeper.visitor(scope("192.0.2.9", cookie=cookie))

    assert ("phone", Role.READER) == (visitor.name, visitor.role)
    assert keeper.visitor(scope("192.0.2.9", port=8651, cookie=cookie)).role is None
    assert keeper.still_in(visitor)
    pairs.revoke("phone", now_ms())
    assert not keeper.still_in(visitor)
    assert keeper.visitor(scope("192.0.2.9", cookie=cookie)).role is None


def test_a_file_that_cannot_be_read_lets_nobody_in_and_takes_no_key_away(tmp_path: Path) -> None:
    pairs = Pairs(tmp_path)
    keeper = Doorkeeper(pairs)
    (tmp_path / "pairs.sqlite").write_text("no database, and long enough to be taken for one" * 9)
    visitor = keeper.visitor(scope("192.0.2.9", cookie="weighstation-8650=key"))

    assert (None, "") == (visitor.role, visitor.key), "no key: it is not asked to be forgotten"
    assert keeper.visitor(scope("127.0.0.1")).role is Role.OWNER


def test_nobody_stays_when_it_closes(tmp_path: Path) -> None:
    keeper = Doorkeeper(Pairs(tmp_path))
    visitor = keeper.visitor(scope("127.0.0.1"))
    assert keeper.still_in(visitor)
    keeper.is_closing = True

    assert not keeper.still_in(visitor)
