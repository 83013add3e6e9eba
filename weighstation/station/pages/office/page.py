"""The addresses of the pages that are read in the office."""

from __future__ import annotations

import hashlib
import json
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route

from weighstation.quantities import MG_PER_G
from weighstation.report.page.local import Local
from weighstation.station.pages.door.roles import Opening, Role
from weighstation.station.pages.office.asked import Asking
from weighstation.station.pages.office.bars import from_nothing, steps
from weighstation.station.pages.office.clock import shown_here, zone_said
from weighstation.station.pages.office.drawing import chart_drawn
from weighstation.station.pages.office.files import file_name, makeable, saved
from weighstation.station.pages.office.forms import (
    LABELS,
    WHAT_IF,
    NotTold,
    fields_of,
    options_of,
)
from weighstation.station.pages.office.shop import Shop, shop_in

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable, Mapping, Sequence
    from pathlib import Path

    from starlette.requests import Request

    from weighstation.station.pages.paper import Paper

    Shown = dict[str, Any]

YOUNG_S = 8.0
"""The day is reckoned no more often than this, however many look at it."""
SINCE_HEADER = "x-weighstation-since"
WEEK_DAYS = 7
TREND_WEEKS = 8
STATEMENT_FORMS = ("html", "pdf", "xlsx", "csv")
DOSSIER_FORMS = ("html", "pdf")
RAW_FORM = "zip"
"""Lines as they are on record, which hold costs and initials: nothing can be left out of them."""
RAW_IS_THE_OWNER_S = "The raw rows hold costs and initials: an owner's device saves them.\n"
_SPAN = ("from", "to", "product")
_EVIDENCE = (*_SPAN, "run")
_WHY = "Why"
_BY_PRODUCT = "By product"
_TREND = "Week by week"
_OVER = "over by"


class OfficePages:
    """What is read in the office; nothing can be changed from here.

    Parameters
    ----------
    folder : Path
        Home of the station.
    paper : Paper
    """

    def __init__(self, folder: Path, paper: Paper) -> None:
        self._folder = folder
        self._paper = paper
        self._asking = Asking(folder)

    @property
    def openings(self) -> Sequence[Opening]:
        """The addresses that are answered here; what says how money goes is the owner's."""
        return (
            Opening(Role.READER, Route("/today", self._today)),
            Opening(Role.OWNER, Route("/owner", self._shown("owner", self._owner))),
            Opening(Role.OWNER, Route("/owner/giveaway.{form}", self._statement)),
            Opening(Role.READER, Route("/auditor", self._shown("auditor", self._auditor))),
            Opening(Role.READER, Route("/auditor/dossier.{form}", self._dossier)),
            Opening(Role.OWNER, Route("/setup", self._shown("setup", self._setup))),
        )

    def _shop(self) -> Shop:
        return shop_in(self._folder)

    def _shown(
        self, name: str, find: Callable[[Request], Awaitable[Shown]]
    ) -> Callable[[Request], Awaitable[Response]]:
        """Return what answers with a page, and with the command's own sentence where it refuses."""

        async def answer(request: Request) -> Response:
            try:
                shown = await find(request)
                return self._page(name, request, shown.pop("status", 200), shown)
            except NotTold as exc:
                return self._page(name, request, exc.status, {"problem": str(exc)})

        return answer

    def _page(self, name: str, request: Request, status: int, shown: Mapping[str, Any]) -> Response:
        is_new = not (self._folder / "journal.sqlite").exists()
        said: Shown = {
            "here": name,
            "is_owner": request.state.role.may(Role.OWNER),
            "typed": request.query_params,
            "problem": "",
            "told": None,
            "proof": None,
            "asked": {},
            "is_what_if": any(name in request.query_params for name in (*WHAT_IF, "bands")),
            "shop": self._shop(),
            "is_new": is_new,
            "folder": str(self._folder),
            "field": LABELS,
            "shown_here": shown_here,
            "zone": zone_said(datetime.now().astimezone()),
        }
        return self._paper.page(
            f"{name}.html",
            status=404 if is_new and status == 400 else status,
            **(said | dict(shown)),
        )

    async def _today(self, request: Request) -> Response:
        try:
            fields = fields_of(request.query_params, "day", "run")
            told = await self._asking.told("today", *options_of(fields), young_s=YOUNG_S)
        except NotTold as exc:
            said = {"problem": str(exc), "tag": "", "days": {}}
            return self._page("today", request, exc.status, said)
        tag = hashlib.sha256(json.dumps(told).encode()).hexdigest()[:16]
        if request.headers.get(SINCE_HEADER) == tag:
            return Response(status_code=204)
        drawn = chart_drawn(told["chart"], decimal=told["decimal"]) if told["chart"] else ()
        now = datetime.now().astimezone()
        shown = {
            "told": told,
            "drawn": drawn,
            "tag": tag,
            "seen": f"{now:%H:%M:%S}",
            "days": _days_around(date.fromisoformat(told["day"]), now.date()),
        }
        return self._page("today", request, 200, shown)

    async def _owner(self, request: Request) -> Shown:
        fields, bands = _statement_fields(request)
        told = await self._asking.told("giveaway", *options_of(fields), *bands)
        trend = await self._trend(told["to"], fields.get("product", ""))
        parts = told["page"]["parts"]
        why = next(part for part in parts if part["title"] == _WHY)
        asked = [part for part in parts if part["title"].startswith(("What if", "How tight"))]
        left_out = (_WHY, _TREND, _BY_PRODUCT, *(part["title"] for part in asked))
        return {
            "told": told,
            "headline": _headline(told, Local(self._shop().decimal)),
            "by_product": next(part for part in parts if part["title"] == _BY_PRODUCT),
            "to_save": fields
            | {"from": told["from"], "to": told["to"]}
            | ({"bands": "yes"} if bands else {}),
            "why": why,
            "why_bars": steps(list(told["why"].values())),
            "parts": [part for part in parts if part["title"] not in left_out],
            "asked": asked,
            **trend,
            "forms": makeable(*STATEMENT_FORMS),
        }

    async def _trend(self, until: str, product: str) -> Shown:
        """Return the weeks up to a day as the statement has them; none where it has none."""
        last = date.fromisoformat(until)
        first = last - timedelta(days=last.weekday() + (TREND_WEEKS - 1) * WEEK_DAYS)
        fields = {"from": first.isoformat(), "to": until, "product": product}
        try:
            told = await self._asking.told("giveaway", *options_of(_filled(fields)))
        except NotTold:
            return {"trend": None, "trend_bars": ()}
        grid = next((part for part in told["page"]["parts"] if part["title"] == _TREND), None)
        shares = [week["giveaway_pct"] for week in told["by"].get("week", ())]
        if grid is None:
            return {"trend": None, "trend_bars": ()}
        trend = _with_shares(grid, shares, Local(self._shop().decimal))
        return {"trend": trend, "trend_bars": from_nothing(shares)}

    async def _statement(self, request: Request) -> Response:
        try:
            fields, bands = _statement_fields(request)
            is_changed = bands or any(name in fields for name in WHAT_IF)
            name = file_name("give-away", "what-if" if is_changed else "", fields)
            words = ("giveaway", *options_of(fields), *bands)
            return await self._file(request, STATEMENT_FORMS, name, *words)
        except NotTold as exc:
            return self._page("owner", request, exc.status, {"problem": str(exc)})

    async def _auditor(self, request: Request) -> Shown:
        fields = fields_of(request.query_params, *_EVIDENCE)
        verify = "verify" in request.query_params
        proof: Shown | None = None
        if verify:
            proof = await self._asking.told("journal", "verify", is_slow=True)
        try:
            told = await self._asking.told(*self._evidence(fields or _last_week()))
        except NotTold as exc:
            status = exc.status if fields or exc.status != 400 else 200
            return {"problem": str(exc), "proof": proof, "status": status}
        chart = await self._chart(fields["run"]) if "run" in fields else None
        return {
            "told": told,
            "proof": proof,
            "asked": fields or _last_week(),
            "chart": chart,
            "drawn": chart_drawn(chart, decimal=self._shop().decimal) if chart else (),
            "forms": makeable(*_dossier_forms(request)),
        }

    def _evidence(self, fields: Mapping[str, str]) -> tuple[str, ...]:
        """Return the command for a dossier."""
        asked = dict(fields)
        product = asked.pop("product", "")
        people = ("--people",) if self._shop().shows_people else ()
        named = ("--", product) if product else ()
        return "dossier", *options_of(asked), *people, *named

    async def _chart(self, run: str) -> Shown | None:
        """Return the chart of a batch; None where it has too few pieces for one."""
        try:
            return await self._asking.told("chart", f"--run={run}")
        except NotTold:
            return None

    async def _dossier(self, request: Request) -> Response:
        form, forms = request.path_params["form"], _dossier_forms(request)
        if form == RAW_FORM and form not in forms:
            return PlainTextResponse(RAW_IS_THE_OWNER_S, 403)
        try:
            fields = fields_of(request.query_params, *_EVIDENCE) or _last_week()
            name = file_name("dossier", fields.get("run", ""), fields)
            return await self._file(request, forms, name, *self._evidence(fields))
        except NotTold as exc:
            return self._page("auditor", request, exc.status, {"problem": str(exc)})

    async def _file(
        self, request: Request, forms: Sequence[str], name: str, *words: str
    ) -> Response:
        form = request.path_params["form"]
        if form not in makeable(*forms):
            return PlainTextResponse("There is no such file.\n", 404)
        return await saved(self._asking, name, form, *words)

    async def _setup(self, _request: Request) -> Shown:
        return {"told": await self._asking.told("setup")}


def _statement_fields(request: Request) -> tuple[dict[str, str], tuple[str, ...]]:
    """Return the fields of a statement, and the option for bands where they are wanted."""
    query = request.query_params
    return fields_of(query, *_SPAN, *WHAT_IF), ("--bands",) if "bands" in query else ()


def _headline(told: Mapping[str, Any], local: Local) -> list[tuple[str, str]]:
    """Return what an owner looks for first: figures, each with what it is."""
    found = [
        (local.grams(round(told["giveaway_g"] * MG_PER_G)), "of dough given away"),
        (f"{local.signed(told['giveaway_pct'], 2)} %", "of all dough scaled"),
    ]
    for money, counted, said in (
        ("money", "costed", "at the cost of dough"),
        ("money_at_price", "priced", "as bread sold"),
    ):
        if told[money] is not None:
            some = f", for {told[counted]} pieces" if told[counted] < told["pieces"] else ""
            amount = local.money(Decimal(told[money]), told["currency"])
            found.append((amount, f"{said}{some}"))
    return found


def _with_shares(grid: Shown, shares: Sequence[float], local: Local) -> Shown:
    """Return the weeks of a statement with their shares, where it does not tell them already."""
    name, *heads = grid["heads"]
    rows = grid["rows"]
    if _OVER in heads and all(row[heads.index(_OVER) + 1].endswith("%") for row in rows):
        return grid
    told = [
        (row[0], f"{local.signed(share, 2)} %", *row[1:])
        for row, share in zip(rows, shares, strict=True)
    ]
    return {"title": grid["title"], "heads": (name, "of the dough", *heads), "rows": told}


def _days_around(day: date, today: date) -> dict[str, str]:
    """Return a day with the one before it, and the one after where that has come."""
    found = {"day": day, "before": day - timedelta(days=1)}
    if day < today:
        found["after"] = day + timedelta(days=1)
    return {name: each.isoformat() for name, each in found.items()}


def _last_week() -> dict[str, str]:
    """Return the last seven days as fields of a form."""
    today = datetime.now().astimezone().date()
    first = today - timedelta(days=WEEK_DAYS - 1)
    return {"from": first.isoformat(), "to": today.isoformat()}


def _dossier_forms(request: Request) -> tuple[str, ...]:
    is_owner = request.state.role.may(Role.OWNER)
    return (*DOSSIER_FORMS, RAW_FORM) if is_owner else DOSSIER_FORMS


def _filled(fields: Mapping[str, str]) -> dict[str, str]:
    return {name: text for name, text in fields.items() if text}
