"""Every page of the site says who may open it, and nobody else is let in."""

from __future__ import annotations

import asyncio
import time
from typing import TYPE_CHECKING, Any

import pytest
from starlette.applications import Starlette
from starlette.responses import PlainTextResponse
from starlette.routing import Route

from weighstation.station.pages.bench.feed import Feed
from weighstation.station.pages.door.doorkeeper import Doorkeeper
from weighstation.station.pages.door.guarding import Guarding, Site
from weighstation.station.pages.door.logbook import kept
from weighstation.station.pages.door.roles import Role
from weighstation.station.pages.paper import Paper
from weighstation.station.pages.site import Door, openings, site
from weighstation.station.stores.pairs import Pairs

if TYPE_CHECKING:
    from pathlib import Path

    from weighstation.station.pages.door.roles import Opening

NOW_MS = 1_800_000_000_000
NEEDS = {
    "/": Role.READER,
    "/bench": Role.READER,
    "/bench/stream": Role.READER,
    "/bench/ask": Role.BENCH,
    "/bench/start": Role.BENCH,
    "/today": Role.READER,
    "/owner": Role.OWNER,
    "/owner/giveaway.{form}": Role.OWNER,
    "/auditor": Role.READER,
    "/auditor/dossier.{form}": Role.READER,
    "/setup": Role.OWNER,
    "/pair/{secret}": None,
    "/healthz": None,
    "/static": None,
}


def pages_in(folder: Path) -> tuple[Opening, ...]:
    return openings(Feed(), Doorkeeper(Pairs(folder)), Paper(), folder)


def test_every_page_needs_what_it_is_meant_to(tmp_path: Path) -> None:
    """A page that is added is added here too, by somebody who has thought of it."""
    assert NEEDS == {page.route.path: page.needs for page in pages_in(tmp_path)}


def test_what_changes_something_is_asked_by_post_and_by_nobody_who_only_looks(
    tmp_path: Path,
) -> None:
    for page in pages_in(tmp_path):
        methods = getattr(page.route, "methods", None) or {"GET", "HEAD"}

        assert methods in ({"GET", "HEAD"}, {"POST"})
        assert methods == {"GET", "HEAD"} or page.needs in (Role.BENCH, Role.OWNER)


@pytest.mark.parametrize("path", [path for path, needs in NEEDS.items() if needs])
@pytest.mark.parametrize("role", [None, *Role])
def test_who_is_less_than_a_page_needs_is_not_let_in(
    tmp_path: Path, path: str, role: Role | None
) -> None:
    method = "POST" if path in ("/bench/ask", "/bench/start") else "HEAD"
    with kept(tmp_path / "log") as logbook:
        door = Door(frozenset({"station"}), Doorkeeper(Pairs(tmp_path)), logbook)
        key = key_of(tmp_path, role)
        status, said = asyncio.run(answer(site(Feed(), door, tmp_path), method, path, key))
    needs = NEEDS[path]
    assert needs

    is_kept_out = role is None or list(Role).index(role) < list(Role).index(needs)
    was_kept_out = status == 403 and ("not paired" in said or "may not do that" in said)
    assert is_kept_out == (was_kept_out or (method == "HEAD" and status == 403))


def test_a_route_that_says_nothing_is_not_there(tmp_path: Path) -> None:
    """Even if the app behind the door would answer it."""

    async def secret(_request: object) -> PlainTextResponse:
        return PlainTextResponse("the week")

    app = Starlette(routes=[Route("/owner", secret)])
    behind = Site(app, (), frozenset({"station"}), "token", PlainTextResponse)
    with kept(tmp_path / "log") as logbook:
        door = Guarding(behind, Doorkeeper(Pairs(tmp_path)), logbook)

        assert 404 == asyncio.run(answer(door, "GET", "/owner", key_of(tmp_path, Role.OWNER)))[0]
    assert 200 == asyncio.run(answer(app, "GET", "/owner", ""))[0]


def key_of(folder: Path, role: Role | None) -> str:
    if role is None:
        return ""
    pairs = Pairs(folder)
    used = pairs.use(pairs.link("", role.value, now_ms())[0], now_ms())
    assert used
    return used[0]


def now_ms() -> int:
    return time.time_ns() // 1_000_000


async def answer(app: Any, method: str, path: str, key: str) -> tuple[int, str]:
    """Ask from the network; return the status and the first part of what comes."""
    came: list[dict[str, Any]] = []
    scope = {
        "type": "http",
        "method": method,
        "path": path,
        "raw_path": path.encode(),
        "root_path": "",
        "query_string": b"",
        "scheme": "http",
        "client": ("192.0.2.9", 1234),
        "server": ("192.0.2.2", 8650),
        "headers": [(b"host", b"station"), (b"cookie", f"weighstation-8650={key}".encode())],
    }

    async def receive() -> dict[str, Any]:
        return {"type": "http.disconnect"}

    async def send(message: dict[str, Any]) -> None:
        came.append(message)

    await app(scope, receive, send)
    return came[0]["status"], came[1].get("body", b"").decode() if len(came) > 1 else ""
