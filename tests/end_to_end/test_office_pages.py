"""The pages of the office in a real browser, over weeks of an invented bakery."""

from __future__ import annotations

import io
import json
import re
import sqlite3
import time
import urllib.request
import zipfile
from contextlib import closing
from datetime import date
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

import pytest
from audited_bench import FIRST_DAY, LAST_DAY, audited_home
from chromium_pages import barriers, launched
from served_station import served
from station_process import weighstation
from weeks_of_a_shop import SPAN, weeks

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, Page
    from served_station import Station

EVIL = '<img src="https://example.org/x.png" onerror="console.error(1)">'
DAYS = urlencode({"from": SPAN[1], "to": SPAN[3]})
DAY = "2026-03-27"
PLACES = (
    f"/today?day={DAY}",
    f"/owner?{DAYS}",
    f"/owner?{DAYS}&product=Tin+loaf&aim=915&wage=24",
    f"/auditor?{DAYS}&verify=yes",
    "/auditor?run=r2",
    "/setup",
)
LOOKS: dict[str, dict[str, Any]] = {
    "light": {"viewport": {"width": 1280, "height": 800}},
    "dark": {"viewport": {"width": 1280, "height": 800}, "color_scheme": "dark"},
    "phone": {"viewport": {"width": 390, "height": 844}, "has_touch": True},
}
IDLE = ("serve", "--port", "0", "--scale", "simulated://?seed=5&speed=10")
PATIENCE_S = 60.0


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with launched() as found:
        yield found


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return weeks(tmp_path_factory.mktemp("shop") / "home", renamed=("Sesame roll", EVIL))


@pytest.fixture(scope="module")
def station(home: Path) -> Iterator[Station]:
    with served(*IDLE, home=home) as found:
        yield found


@pytest.fixture(scope="module")
def audited(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, Station]]:
    home = audited_home(tmp_path_factory.mktemp("audited") / "home")
    with served(*IDLE, home=home) as found:
        yield home, found


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(**LOOKS["light"])
    yield context.new_page()
    context.close()


def told(home: Path, *words: str) -> dict[str, Any]:
    result = weighstation(*words, "--json", home=home)
    assert result.returncode in (0, 1), result.stderr
    found: dict[str, Any] = json.loads(result.stdout)
    return found


def fetched(url: str) -> bytes:
    with urllib.request.urlopen(url, timeout=PATIENCE_S) as answer:
        read: bytes = answer.read()
    return read


@pytest.mark.parametrize("look", LOOKS)
def test_pages_are_whole_and_in_nobody_s_way(browser: Browser, station: Station, look: str) -> None:
    """No complaint in the console, no outside request, nothing to the side, nothing serious."""
    context = browser.new_context(**LOOKS[look])
    page, complaints = context.new_page(), list[str]()
    page.on("console", lambda message: complaints.append(message.text))
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on("request", lambda asked: complaints.append(asked.url))
    found: dict[str, object] = {}
    for place in PLACES:
        page.goto(station.url + place)
        wide, seen = page.evaluate("[document.documentElement.scrollWidth, innerWidth]")
        found[place] = (wide - seen, barriers(page), page.locator("img").count())
    context.close()

    assert dict.fromkeys(PLACES, (0, [], 0)) == found
    assert [] == [each for each in complaints if not each.startswith(station.url)]


def test_the_owner_s_page_says_what_the_lines_add_up_to(
    page: Page, station: Station, home: Path
) -> None:
    """Beside a plain sum over the bodies of the journal's lines, product by product."""
    over_mg: dict[str, int] = {}
    with closing(sqlite3.connect(home / "journal.sqlite")) as connection:
        product = target_mg = None
        for kind, body in connection.execute("SELECT kind, body FROM entry ORDER BY seq"):
            said = json.loads(body)
            if kind == "run_started":
                product, target_mg = said["product"], said["target_mg"]
            elif kind == "piece_kept":
                assert product is not None
                assert target_mg is not None
                over_mg[product] = over_mg.get(product, 0) + said["final_mg"] - target_mg
    page.goto(f"{station.url}/owner?{DAYS}")
    table = page.get_by_role("region", name="By product")
    place = table.locator("thead tr > *").all_inner_texts().index("give-away")
    rows = _texts(table.locator("tbody tr").all())
    shown = {cells[0]: cells[place] for cells in map(str.splitlines, rows)}

    assert {name: f"{mg / 1000:.0f} g" for name, mg in over_mg.items()} == {
        name: text.replace("\N{MINUS SIGN}", "-") for name, text in shown.items()
    }


def _texts(rows: list[Any]) -> list[str]:
    return ["\n".join(row.locator("th, td").all_inner_texts()) for row in rows]


def test_bars_and_words_of_the_causes_are_those_of_the_statement(
    page: Page, station: Station, home: Path
) -> None:
    """Bars are as wide as the command's own figures say, and end where the total ends."""
    why = list(told(home, "giveaway", *SPAN)["why"].values())
    page.goto(f"{station.url}/owner?{DAYS}")
    bars = page.get_by_role("region", name="Why").locator("svg.bar rect")
    widths = [float(bar.get_attribute("width").rstrip("%")) for bar in bars.all()]  # type: ignore[union-attr]
    scale = max(map(abs, why)) / max(widths[:-1])

    assert [abs(grams) / scale for grams in why] == pytest.approx(widths[:-1], abs=0.02)
    assert abs(sum(why)) / scale == pytest.approx(widths[-1], abs=0.03)
    assert page.locator(".conclusion").inner_text().startswith("What would save most:")


def test_a_what_if_is_asked_with_the_keys_alone(page: Page, station: Station, home: Path) -> None:
    asked = ("--product", "Tin loaf", "--aim", "915", "--wage", "24")
    outcome = told(home, "giveaway", *SPAN, *asked)["what_if"]["as_asked"]
    page.goto(f"{station.url}/owner?{DAYS}")
    page.keyboard.press("Tab")
    assert "To the page" == page.evaluate("document.activeElement.textContent")
    for field, text in (("aim", "915"), ("wage", "24")):
        while page.evaluate("document.activeElement.name") != field:
            page.keyboard.press("Tab")
        page.keyboard.type(text)
    page.keyboard.press("Enter")
    grid = page.get_by_role("region", name="What if: Tin loaf, 480 pieces")
    grid.wait_for()
    rows = {cells[0]: cells[2] for cells in map(str.splitlines, _texts(grid.locator("tr").all()))}

    assert "915.0 g" == rows["scaling weight"]
    assert f"{outcome['dough_g'] / 1000:.1f} kg" == rows["dough"]
    assert f"{100 * outcome['touched_share']:.1f} %" == rows["pieces to add to or trim"]


@pytest.mark.parametrize(
    ("place", "status", "said"),
    [
        ("/owner?from=2999-01-01", 400, "2999-01-01 lies in the future"),
        ("/owner?from=2026-03-09&to=2026-03-02", 400, "before it begins on 2026-03-09"),
        ("/owner?from=2020-01-01&to=2020-01-07", 400, "No piece was counted"),
        ("/owner?product=Tin+loav", 400, "(did you mean 'Tin loaf'?)"),
        ("/owner?aim=lots", 400, "The scaling weight 'lots' is no number"),
        ("/auditor?run=nobody", 400, "There is no run 'nobody'"),
        ("/auditor?product=-x", 400, "There is no batch of '-x'"),
        ("/today?day=31.31.2026", 400, "is no day"),
        ("/today?run=zz", 400, "There is no run 'zz'"),
        ("/today?day=2999-01-01", 400, "Give a day that has been with 'Day'."),
        ("/today?day=2026-02-30", 400, "'Day' '2026-02-30' is no day."),
        (
            "/owner?from=2020-01-01&to=2020-01-07&product=Tin+loaf",
            400,
            "'First day' and 'Last day'",
        ),
        ("/owner?aim=915", 400, "Name it with 'Product'."),
        ("/owner?product=Tin+loaf&wage=20", 400, "Give 'Scaling weight', 'Band', 'Spread', 'Cost"),
        (
            f"/owner?{DAYS}&product=Tin+loaf&aim=9",
            400,
            "'Scaling weight' 9 is far from the scaling",
        ),
        ("/owner?product=Tin+loaf&band=0", 400, "'Band' is above 0 g"),
        ("/owner?product=Tin+loaf&spread-times=11", 400, "'Spread' is above 0 and at most 10."),
        ("/auditor?from=2020-01-01&to=2020-01-07", 400, "with 'First day' and 'Last day'."),
        ("/auditor?run=r1&product=Tin+loaf", 400, "Give 'Batch', or a product and days, not both."),
    ],
)
def test_bad_input_is_answered_in_the_command_s_words_and_the_page_s_fields(
    page: Page, station: Station, place: str, status: int, said: str
) -> None:
    answer = page.goto(station.url + place)

    assert answer is not None
    assert status == answer.status
    assert said in page.get_by_role("alert").inner_text()
    assert " --" not in page.get_by_role("alert").inner_text()
    for field in set(re.findall(r"'([A-Z][a-z ]+)'", said)) - {"Batch"}:
        assert page.get_by_label(field).count() > 0
    assert "Traceback" not in page.content()
    assert 5 == page.get_by_role("navigation", name="Pages").get_by_role("link").count()


@pytest.mark.parametrize("form", ["csv", "html", "xlsx"])
def test_the_statement_that_is_saved_is_the_command_s(
    station: Station, home: Path, tmp_path: Path, form: str
) -> None:
    path = tmp_path / f"week.{form}"
    weighstation("giveaway", *SPAN, "--out", str(path), home=home)
    saved = fetched(f"{station.url}/owner/giveaway.{form}?{DAYS}")

    if form == "xlsx":  # it carries the second in which it was made
        with zipfile.ZipFile(io.BytesIO(saved)) as one, zipfile.ZipFile(path) as other:
            assert other.read("xl/sharedStrings.xml") == one.read("xl/sharedStrings.xml")
    else:
        assert path.read_bytes() == saved


def test_the_auditor_gets_evidence_and_what_recomputes_it(
    page: Page, audited: tuple[Path, Station]
) -> None:
    """An unfit check, a reaction and three days are there; the raw rows are those of the lines."""
    home, station = audited
    days = urlencode({"from": FIRST_DAY, "to": LAST_DAY})
    page.goto(f"{station.url}/auditor?{days}&verify=yes")
    text = page.locator("main").inner_text()
    with zipfile.ZipFile(
        io.BytesIO(fetched(f"{station.url}/auditor/dossier.zip?{days}"))
    ) as folder:
        names = {name.rpartition("/")[2] for name in folder.namelist()} - {""}
        lines = folder.read(next(n for n in folder.namelist() if n.endswith("entries.csv")))
    with closing(sqlite3.connect(home / "journal.sqlite")) as connection:
        head = connection.execute("SELECT digest FROM entry ORDER BY seq DESC").fetchone()[0]

    assert "Every line follows from the one before it" in text
    assert head in text
    assert "NOT fit: 4 g off" in text
    assert {"entries.csv", "pieces.csv", "chain.csv", "recompute.py", "RECOMPUTE.md"} == names
    assert head.encode() in lines
    assert 404 == station.get("/auditor/dossier.exe").status


def test_a_changed_line_is_said_in_place_of_evidence(page: Page, tmp_path: Path) -> None:
    home = audited_home(tmp_path / "home")
    with closing(sqlite3.connect(home / "journal.sqlite")) as connection:
        for (name,) in connection.execute(
            "SELECT name FROM sqlite_master WHERE type = 'trigger'"
        ).fetchall():
            connection.execute(f"DROP TRIGGER {name}")
        connection.execute("UPDATE entry SET t_utc_ms = t_utc_ms + 1 WHERE seq = 9")
        connection.commit()
    with served(*IDLE, home=home) as station:
        page.goto(f"{station.url}/auditor?from={FIRST_DAY}&to={LAST_DAY}&verify=yes")
        said = page.get_by_role("alert").all_inner_texts()

    assert 2 == len(said)
    assert all("Line 9 does not follow" in each for each in said)


def test_persons_are_told_apart_only_where_the_shop_chose_to(
    page: Page, audited: tuple[Path, Station]
) -> None:
    home, station = audited
    products = home / "products.toml"
    shown = []
    for chosen in ("false", "true"):
        products.write_text(
            f'currency = "EUR"\ndecimal = ","\ndays = "day-month"\nshow_people = {chosen}\n'
            '[[product]]\nname = "Country loaf"\nscaling_weight_g = 740\nunder_g = 8\nover_g = 8\n'
        )
        page.goto(f"{station.url}/today?day={FIRST_DAY}")
        shown.append(page.locator("main").inner_text())
    products.unlink()

    assert ["AK" in text for text in shown] == [False, True]
    assert all("02.03.2024" in text.replace("\N{NON-BREAKING HYPHEN}", "-") for text in shown)
    assert all("740,0 g" in text or "741," in text or "739," in text for text in shown)


def test_what_is_under_the_limit_is_said_first_of_all(page: Page, tmp_path: Path) -> None:
    """Beside the statement's own list: 890 g of dough for 800 g of bread is too little.

    The owner and the auditor see it in a frame of its own, above what is said of the rest. One
    batch alone has a spread of its own, so its least lawful weight is another.
    """
    home = weeks(
        tmp_path / "home", weeks=1, changed=("scaling_weight_g = 920", "scaling_weight_g = 890")
    )
    week = urlencode({"from": "2026-03-02", "to": "2026-03-08"})
    (light,) = told(home, "giveaway", "--from", "2026-03-02", "--to", "2026-03-08")["too_light"]
    (run, *_) = told(home, "dossier", "--from", "2026-03-02", "--to", "2026-03-08")["batches"]
    fact = light["text"].partition(" Weigh baked loaves")[0]
    with served(*IDLE, home=home) as station:
        seen = {}
        for place in (f"/owner?{week}", f"/auditor?{week}", f"/auditor?run={run['batch']}"):
            page.goto(station.url + place)
            said = page.locator(".urgent, .conclusion").all_inner_texts()
            frame = page.locator(".urgent").bounding_box()
            assert frame is not None
            alike = fact if "run=" not in place else fact[: fact.index(" g,")]
            seen[place] = (page.locator(".urgent").count(), alike in said[0], frame["y"] < 700)

    assert "'Tin loaf' is scaled at 890.0 g" in fact
    assert "Tin loaf" == run["product"]
    assert {(1, True, True)} == set(seen.values())


def test_today_goes_from_day_to_day_by_the_keys(page: Page, station: Station) -> None:
    page.goto(f"{station.url}/today?day={DAY}")
    titles = [page.locator("h2.said").inner_text()]
    for name in ("Day before", "Day after"):
        _focus(page, f"document.activeElement.textContent === '{name}'")
        page.keyboard.press("Enter")
        page.wait_for_load_state()
        titles.append(page.locator("h2.said").inner_text())
    _focus(page, "document.activeElement.name === 'day'")
    page.keyboard.type("03252026")  # as a browser of this language shows a day
    page.keyboard.press("Enter")
    page.wait_for_url("**/today?day=2026-03-25")
    titles.append(page.locator("h2.said").inner_text())
    page.goto(f"{station.url}/today")

    days = [text.replace("\N{NON-BREAKING HYPHEN}", "-").rpartition(" ")[2] for text in titles]
    assert [DAY, "2026-03-26", DAY, "2026-03-25"] == days
    assert 0 == page.get_by_role("link", name="Day after").count()
    assert date.today().isoformat() == page.get_by_label("Day", exact=True).input_value()  # noqa: DTZ011 - the clock on the wall


def _focus(page: Page, holds: str) -> None:
    """Press the tabulator until something holds of what has the focus."""
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate(holds):
            return
    raise AssertionError(f"the keys never came to where {holds}")


def test_all_pages_go_by_the_clock_on_the_wall(
    page: Page, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """04:10 UTC on 27 March 2026 is 05:10 in central Europe, by the system's zone database."""
    monkeypatch.setenv("TZ", "Europe/Berlin")
    monkeypatch.setenv("LC_ALL", "C.UTF-8")
    with served(*IDLE, home=home) as station:
        page.goto(f"{station.url}/today?day={DAY}")
        today = page.get_by_role("region", name="Batches").inner_text()
        zones = [page.locator(".zone").inner_text()]
        page.goto(f"{station.url}/auditor?from={DAY}&to={DAY}")
        batches = page.get_by_label("Batch").inner_text()
        table = page.get_by_role("region", name="Tin loaf: kept pieces").inner_text()
        zones.append(page.locator(".zone").inner_text())
        page.get_by_role("button", name="Show this batch").click()
        alone = page.get_by_label("First day").input_value()
        for place in ("/owner", "/setup"):
            page.goto(f"{station.url}{place}")
            zones.append(page.locator(".zone").inner_text())

    assert "05:10" in today
    assert f"{DAY} 05:10, Tin loaf" in batches
    assert f"{DAY} 05:10" in table
    assert DAY == alone  # the way back to the day of a batch
    assert "UTC" not in batches
    assert 1 == len(set(zones))
    assert re.search(r"now (CET, UTC\+01:00|CEST, UTC\+02:00)\.", zones[0])


def test_set_up_names_every_fault_beside_its_key(page: Page, tmp_path: Path) -> None:
    home = tmp_path / "home"
    weighstation("init", home=home)
    text = (home / "products.toml").read_text()
    (home / "products.toml").write_text(text.replace("under_g = 5 ", "under_g = -5 "))
    with served(*IDLE, home=home) as station:
        page.goto(f"{station.url}/setup")
        fault = page.locator("tr.fault").all_inner_texts()
        said = page.locator(".conclusion").inner_text()
        today = page.goto(f"{station.url}/today")
        first = page.locator("main").inner_text()

    assert 1 == len(fault)
    assert fault[0].startswith("under_g")
    assert "under_g must be a number" in fault[0]
    assert "1 fault" in said
    assert today is not None
    assert 404 == today.status
    assert "What to do first" in first
    assert "weighstation divide" in first


def test_today_follows_a_batch_by_itself(page: Page, tmp_path: Path) -> None:
    """The page is not loaded again: what it shows grows while pieces are counted."""
    home = weeks(tmp_path / "home", weeks=1)
    words = ("divide", "Tin loaf", "--port", "simulated://?seed=3&speed=15", "--pieces", "900")
    with served(*words, "--events", "--pages", "--page-port", "0", home=home) as station:
        page.goto(f"{station.url}/today")
        page.evaluate("window.loaded = 'once'")
        first = _counted(page)
        until_s = time.monotonic() + PATIENCE_S
        while _counted(page) <= first and time.monotonic() < until_s:
            page.wait_for_timeout(200)
        later, kept = _counted(page), page.evaluate("window.loaded")

    assert first < later
    assert "once" == kept


def _counted(page: Page) -> int:
    words = page.locator(".conclusion").inner_text().partition("divided: ")[2]
    return int(words.split(" ")[0] or 0)
