"""``bake``: loaves on a simulated scale, from a recording, and by a person at a terminal."""

from __future__ import annotations

import json
import math
import signal
import sqlite3
import statistics
import subprocess
import sys
import time
from contextlib import closing
from typing import TYPE_CHECKING, Any

import pytest
from scipy import stats  # type: ignore[import-untyped]
from station_process import events_of, of_kind, weighstation
from station_terminal import POSIX, Terminal

from weighstation.simulate import ScaleSpec
from weighstation.simulate.check_loads import check_loads

if TYPE_CHECKING:
    from pathlib import Path

PRODUCTS = """\
currency = "EUR"

[[product]]
name = "Country loaf"
scaling_weight_g = 910
under_g = 300
over_g = 300
declared_g = 800

[[product]]
name = "Roll"
scaling_weight_g = 62
under_g = 2
over_g = 2
"""
RAW = (910, 905, 912, 908, 907)
BAKED = (806, 799, 803, 804, 802)


def loads(*grams: float, speed: str = "max") -> str:
    """Return a simulated scale onto which just these are put, one after another."""
    return f"simulated://?speed={speed}&loads={','.join(f'{one:g}' for one in grams)}"


def divided(home: Path, *grams: float, product: str = "Country loaf") -> str:
    """Divide pieces of just these weights, and return the run."""
    weighstation("divide", product, "--port", loads(*grams), "--events", "--fresh", home=home)
    return str([line for line in lines(home) if line["kind"] == "run_started"][-1]["body"]["run"])


def bake(home: Path, *words: str, port: str = "") -> subprocess.CompletedProcess[str]:
    return weighstation("bake", *words, *(("--port", port) if port else ()), home=home)


def lines(home: Path) -> list[dict[str, Any]]:
    shown = weighstation("journal", "show", "--last", "999", "--json", home=home)
    return [json.loads(line) for line in shown.stdout.splitlines()]


def loaves(home: Path) -> list[dict[str, Any]]:
    return [line["body"] for line in lines(home) if line["kind"] == "baked"]


@pytest.fixture
def home(tmp_path: Path) -> Path:
    (tmp_path / "products.toml").write_text(PRODUCTS)
    return tmp_path


def test_each_loaf_is_one_line_of_the_batch_divided_last(home: Path) -> None:
    run = divided(home, *RAW)
    result = bake(home, "--mark", "all", "--out-of-oven", "58", "--json", port=loads(*BAKED))
    told = json.loads(result.stdout)
    (batch,) = told["batches"]

    assert 0 == result.returncode, result.stderr
    assert [(grams * 1000, number, number) for number, grams in enumerate(BAKED, start=1)] == [
        (body["baked_mg"], body["number"], body["piece"]) for body in loaves(home)
    ]
    assert {(run, "Country loaf", 800_000, "simulated://")} == {
        (body["batch"], body["product"], body["declared_mg"], body["scale_identity"])
        for body in loaves(home)
    }
    assert [float(grams) for grams in RAW] == [loaf["raw_grams"] for loaf in batch["loaves"]]
    assert all(58 < loaf["minutes"] < 60 for loaf in batch["loaves"])
    assert 0 == weighstation("journal", "verify", home=home).returncode


def test_the_loss_is_that_of_scipy_and_there_is_no_line_of_five_like_pieces(home: Path) -> None:
    """Ratio of sums; Student's t about it, Fieller's quadratic by hand."""
    divided(home, *RAW)
    told = json.loads(bake(home, "--mark", "all", "--json", port=loads(*BAKED)).stdout)["loss"]
    n, t = len(RAW), stats.t.ppf(0.975, len(RAW) - 1)
    x, y = sum(RAW), sum(BAKED)
    xx, yy, xy = (
        n * statistics.covariance(one, other)
        for one, other in ((RAW, RAW), (BAKED, BAKED), (RAW, BAKED))
    )
    a, b, c = x * x - t * t * xx, x * y - t * t * xy, y * y - t * t * yy
    ends = sorted(1 - (b + side * math.sqrt(b * b - a * c)) / a for side in (-1, 1))

    assert 1 - y / x == pytest.approx(told["loss"])
    assert ends == pytest.approx(told["interval"])
    assert ("ratio", None) == (told["law"], told["slope"])


def test_pieces_scaled_lighter_and_heavier_make_a_line_stand(home: Path) -> None:
    """The measured law: dough = 45.654 g + 1.0624 bread, of pieces from 650 to 1000 g."""
    raw = (650, 700, 750, 900, 1000)
    law = [round((grams - 45.654) / 1.0624) for grams in raw]
    divided(home, *raw)
    result = bake(home, "--mark", "all", "--json", port=loads(*law))
    told = json.loads(result.stdout)
    fitted = stats.linregress(raw, law)

    assert "line" == told["loss"]["law"]
    assert fitted.slope == pytest.approx(told["loss"]["slope"])
    assert 1.0624 == pytest.approx(told["loss"]["dough_of_bread"][1], abs=0.005)
    assert 895.6 == pytest.approx(told["scaling"]["scaling_g"], abs=1)


def test_out_of_range_is_refused(home: Path) -> None:
    divided(home, 1000, 1010, 990)
    told = json.loads(bake(home, "--mark", "all", "--json", port=loads(880, 890, 872)).stdout)

    assert told["scaling"]["scaling_g"] is None
    assert "lie outside the 990 to 1010 g" in told["scaling"]["why_not"]


def test_a_recording_is_weighed_like_a_scale(home: Path, tmp_path: Path) -> None:
    """Minutes since the oven go by the recording's own time, however fast it is played."""
    file = tmp_path / "loaves.jsonl"
    rows = [
        json.dumps({"t": line.t_s, "data": line.data.decode("latin-1")})
        for line in check_loads(ScaleSpec(), [float(g) for g in BAKED], seed=3)
    ]
    file.write_text("\n".join(rows))
    divided(home, *RAW)
    result = bake(
        home, "--mark", "all", "--out-of-oven", "50", "--events", port=f"replay://{file}?speed=max"
    )
    found = of_kind(events_of(result), "loaf")

    assert [float(grams) for grams in BAKED] == [loaf["grams"] for loaf in found]
    assert [50 + loaf["t"] / 60 for loaf in found] == pytest.approx(
        [loaf["minutes"] for loaf in found], abs=0.01
    )
    assert found[-1]["minutes"] - found[0]["minutes"] == pytest.approx(4 * 6.5 / 60, abs=0.03)


def test_events_tell_what_the_journal_holds(home: Path) -> None:
    divided(home, *RAW)
    events = events_of(bake(home, "--mark", "2,1", "--events", port=loads(*BAKED[:3])))
    end = events[-1]

    assert [(1, 806.0, 2, 905.0), (2, 799.0, 1, 910.0), (3, 803.0, None, None)] == [
        (loaf["number"], loaf["grams"], loaf["piece"], loaf["raw_grams"])
        for loaf in of_kind(events, "loaf")
    ]
    assert 1 - 806 / 905 == pytest.approx(of_kind(events, "loaf")[0]["loss"], abs=1e-5)
    assert (3, lines(home)[-1]["digest"]) == (end["loaves"], end["head"])
    assert statistics.fmean(BAKED[:3]) == pytest.approx(end["mean_g"], abs=1e-4)


def test_without_options_it_goes_on_with_the_last_batch_and_scale(home: Path) -> None:
    divided(home, *RAW)
    bake(home, port=loads(*BAKED[:2]))
    again = bake(home)

    assert 0 == again.returncode
    assert "Going on with simulated://" in again.stderr
    assert [1, 2, 3, 4] == [body["number"] for body in loaves(home)]


def test_a_product_or_a_batch_may_be_named(home: Path) -> None:
    first = divided(home, *RAW)
    second = divided(home, 62, 61, 62, product="Roll")
    bake(home, port=loads(52))
    bake(home, "country loaf", port=loads(803))
    bake(home, "--batch", first, port=loads(804))

    assert [(second, 1), (first, 1), (first, 2)] == [
        (body["batch"], body["number"]) for body in loaves(home)
    ]


def test_the_runs_of_an_interrupted_batch_are_one(home: Path) -> None:
    command = [sys.executable, "-m", "weighstation", "divide", "Country loaf", "--events"]
    port = loads(*RAW, speed="40")
    with subprocess.Popen(
        [*command, "--port", port, "--home", str(home)], stdout=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout is not None
        for line in process.stdout:
            if '"piece",' in line and '"number": 2' in line:
                process.kill()
                break
    weighstation("divide", "--resume", "--port", loads(915), "--events", home=home)
    runs = [line["body"]["run"] for line in lines(home) if line["kind"] == "run_started"]
    pieces = [line["body"]["number"] for line in lines(home) if line["kind"] == "piece_kept"]
    result = bake(home, "--batch", runs[0], "--mark", "all", port=loads(*[803] * len(pieces)))

    assert 2 == len(runs)
    assert 0 == result.returncode, result.stderr
    assert [(runs[1], number) for number in pieces] == [
        (body["batch"], body["piece"]) for body in loaves(home)
    ]


def killed_after(home: Path, count: int, *grams: float) -> list[int]:
    """Kill it after so many loaves were shown; return the numbers that were."""
    command = [sys.executable, "-m", "weighstation", "bake", "--mark", "all", "--events"]
    shown = []
    with subprocess.Popen(
        [*command, "--port", loads(*grams, speed="30"), "--home", str(home)],
        stdout=subprocess.PIPE,
        text=True,
    ) as process:
        assert process.stdout is not None
        for line in process.stdout:
            if line.endswith("\n") and '"event": "loaf"' in line:
                shown.append(json.loads(line)["number"])
            if len(shown) == count:
                process.kill()
        process.wait()
    return shown


def test_killed_again_and_again_nothing_that_was_shown_is_lost(home: Path) -> None:
    divided(home, *RAW)
    shown: list[int] = []
    for _ in range(3):
        shown += killed_after(home, 1, *BAKED[len(loaves(home)) :])
        assert set(shown) <= {body["number"] for body in loaves(home)}
    result = bake(home, "--mark", "all", port=loads(*BAKED[len(loaves(home)) :]))

    assert 0 == result.returncode, result.stderr
    assert [(number, number, grams * 1000) for number, grams in enumerate(BAKED, start=1)] == [
        (body["number"], body["piece"], body["baked_mg"]) for body in loaves(home)
    ]
    assert 0 == weighstation("journal", "verify", home=home).returncode


def test_a_light_loaf_is_asked_about_and_counts_when_it_is_put_on_again(home: Path) -> None:
    divided(home, *RAW)
    result = bake(home, "--events", port=loads(250, 250, 803))
    events = [json.loads(line) for line in result.stdout.splitlines()]
    (asked,) = of_kind(events, "not_counted")

    assert 1 == result.returncode  # so light a mean is below 800 g
    assert ("light", 250.0) == (asked["why"], asked["grams"])
    assert "250 g is less than a third of the lightest piece (905 g as dough)" in asked["text"]
    assert [250.0, 803.0] == [loaf["grams"] for loaf in of_kind(events, "loaf")]


def test_two_loaves_at_once_are_not_counted(home: Path) -> None:
    divided(home, *RAW)
    (asked,) = of_kind(events_of(bake(home, "--events", port=loads(1606, 803))), "not_counted")

    assert "heavy" == asked["why"]
    assert "1606 g is not less than the heaviest piece (912 g as dough)" in asked["text"]
    assert [803_000] == [body["baked_mg"] for body in loaves(home)]


def test_it_ends_with_the_last_of_those_wanted(home: Path) -> None:
    divided(home, *RAW)
    result = bake(home, "--pieces", "2", port=loads(*BAKED, speed="20"))

    assert 2 == len(loaves(home))
    assert "Loaf 2 counted: 799 g, 2 in all, 0 left, mean 802.5 g" in result.stdout


def test_a_lot_that_fails_leaves_with_1(home: Path) -> None:
    """The mean of 795 g is below the 800 g declared."""
    divided(home, *RAW)
    result = bake(home, "--out-of-oven", "57", port=loads(790, 795, 800, 795, 795))
    told = json.loads(bake(home, "--report", "--json").stdout)
    words = ("random-sample", "verified-scale", "tare-known")
    said = [word for name in words for word in ("--said", name)]
    sure = bake(home, "--report", *said)

    assert 1 == result.returncode
    assert "Verdict indicative by eu-76-211; the numbers do NOT pass" in " ".join(
        result.stdout.split()
    )
    assert told["fails"]
    assert 1 == sure.returncode
    assert "Verdict rejected by eu-76-211" in " ".join(sure.stdout.split())


def test_a_product_names_its_own_rule_and_its_cooling(home: Path) -> None:
    """An hour after 1.6 % of cooling: 803 g at 15 min are 793.3 g and too light."""
    divided(home, *RAW)
    more = 'quantity_rule = "nist-hb133"\n\n[product.losses]\nbasis = "dough"\ncooling_pct = 1.6\n'
    text = PRODUCTS.replace("declared_g = 800\n", f"declared_g = 800\n{more}")
    (home / "products.toml").write_text(text)
    result = bake(home, "--out-of-oven", "15", "--json", port=loads(*[803] * 5))
    told = json.loads(result.stdout)
    (batch,) = told["batches"]
    shares = [0.984 / (1 - 0.016 * loaf["minutes"] / 60) for loaf in batch["loaves"]]

    assert "nist-hb133" == batch["quantity"]["rule"]
    assert [803 * share for share in shares] == pytest.approx(batch["one_hour"]["grams"], abs=0.01)
    assert 1 == result.returncode


def test_a_rule_file_of_the_shop_is_read_from_its_home(home: Path) -> None:
    divided(home, *RAW)
    text = PRODUCTS.replace("declared_g = 800", 'declared_g = 800\nquantity_rule = "ours.toml"')
    (home / "products.toml").write_text(text)
    result = bake(home, port=loads(*BAKED))

    assert 0 == result.returncode
    assert "cannot be read (no such file or directory). Put it there" in " ".join(
        result.stdout.split()
    )


def test_hot_loaves_without_a_known_cooling_are_not_turned_into_an_hour(home: Path) -> None:
    divided(home, *RAW)
    told = json.loads(bake(home, "--out-of-oven", "15", "--json", port=loads(*BAKED)).stdout)
    (batch,) = told["batches"]

    assert batch["one_hour"]["grams"] is None
    assert "what they lose until one hour is not known" in batch["one_hour"]["why_not"]
    assert "go on losing weight" in batch["quantity"]["reasons"][-1]


def test_without_a_declared_weight_it_weighs_and_says_so(home: Path) -> None:
    divided(home, 62, 61, 62, product="Roll")
    result = bake(home, "--mark", "all", port=loads(52, 51, 53))

    assert 0 == result.returncode
    assert (
        "Roll has no declared weight: nothing is held against one until you write declared_g into"
        " products.toml.\n"
    ) == result.stderr
    assert 3 == len(loaves(home))
    assert "declared_mg" not in loaves(home)[0]


def test_a_declared_weight_that_was_written_since_is_taken(home: Path) -> None:
    divided(home, 62, 61, 62, product="Roll")
    (home / "products.toml").write_text(PRODUCTS + "declared_g = 50\n")
    bake(home, port=loads(52))

    assert 50_000 == loaves(home)[0]["declared_mg"]


def test_a_failed_check_of_the_scale_makes_loaves_doubtful(home: Path) -> None:
    """They lie before it, were weighed on the same scale, and teach nothing then."""
    run = divided(home, *RAW)
    bake(home, "--mark", "all", port=loads(*BAKED))
    checked = weighstation(
        *("check", "--weight", "500:M1", "--json", "--port", loads(500, 504, 500)), home=home
    )
    pieces, baked = json.loads(checked.stdout)["doubtful"]
    told = json.loads(bake(home, "--report", "--json").stdout)
    shown = weighstation("check", "--state", home=home)
    more = bake(home, port=loads(803))

    assert (run, [], [1, 2, 3, 4, 5]) == (baked["run"], baked["pieces"], baked["loaves"])
    assert [1, 2, 3, 4, 5] == pieces["pieces"]
    assert all(loaf["doubtful"] for loaf in told["batches"][0]["loaves"])
    assert told["loss"]["loss"] is None
    assert "5 pieces and 5 loaves are doubtful" in shown.stdout
    assert f"Country loaf, batch {run}: loaves 1-5" in shown.stdout
    assert "was found not fit" in more.stderr


def test_a_report_tells_the_batches_of_a_product_in_a_span_of_days(home: Path) -> None:
    divided(home, *RAW)
    bake(home, "--mark", "all", port=loads(*BAKED))
    divided(home, *RAW)
    bake(home, "--mark", "all", port=loads(*BAKED))
    divided(home, 62, 61, product="Roll")
    bake(home, port=loads(52))
    every = json.loads(bake(home, "Country loaf", "--report", "--json").stdout)
    last = json.loads(bake(home, "--report", "--json").stdout)
    before = bake(home, "Country loaf", "--report", "--to", "2020-01-01")
    since = bake(home, "Country loaf", "--report", "--from", "2020-01-01")

    assert (2, 10) == (len(every["batches"]), every["loss"]["pairs"])
    assert "Roll" == last["product"]
    assert 2 == before.returncode
    assert "No baked loaf of 'Country loaf' is on record in that span." in before.stderr
    assert "From batch to batch" in since.stdout


def test_a_report_needs_no_scale_and_writes_nothing(home: Path) -> None:
    divided(home, *RAW)
    bake(home, port=loads(*BAKED))
    before = (home / "journal.sqlite").read_bytes(), len(lines(home))
    bake(home, "--report")

    assert before == ((home / "journal.sqlite").read_bytes(), len(lines(home)))


def test_the_batch_sheet_is_what_it_was_before_its_loaves(home: Path) -> None:
    divided(home, *RAW)
    before = json.loads(weighstation("journal", "sheet", "--json", home=home).stdout)
    bake(home, port=loads(*BAKED))
    after = json.loads(weighstation("journal", "sheet", "--json", home=home).stdout)

    assert before | {"as_of": None} == after | {"as_of": None}


def test_a_changed_line_is_refused_and_named(home: Path) -> None:
    divided(home, *RAW)
    bake(home, port=loads(*BAKED))
    seq = lines(home)[-1]["seq"]
    with closing(sqlite3.connect(home / "journal.sqlite")) as journal:
        journal.executescript(
            "DROP TRIGGER entry_is_never_updated;"
            f"UPDATE entry SET body = replace(body, '802000', '812000') WHERE seq = {seq};"
        )
    result = bake(home, "--report")

    assert 1 == result.returncode
    assert f"Line {seq} does not follow from the lines before it" in result.stderr
    assert "812" not in result.stdout


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            ("Baguette",),
            "No batch of 'Baguette' was divided here. There are batches of",
        ),
        (("--batch", "beef"), "There is no batch 'beef' in the journal."),
        (("Roll", "--batch", "RUN"), "is of Country loaf, not of Roll."),
        (("--mark", "9"), "--mark 9: there is no piece 9 that counts in this batch."),
        (("--mark", "1,1"), "--mark 1,1: piece 1 is named twice."),
        (("--mark", "one"), "--mark 'one' is no list of pieces."),
        (("--out-of-oven", "soon"), "--out-of-oven 'soon' is neither a time nor minutes."),
        (("--out-of-oven", "900"), "--out-of-oven 900 is 15 hours ago."),
        (("--said", "so"), "--said so says nothing that is known."),
        (("--report",), "No baked loaf is on record."),
        (("--report", "--batch", "RUN"), "No loaf of batch"),
        (("--report", "--from", "monday"), "'monday' is no day."),
        (("--port", "carrier://pigeon"), "carrier"),
        (("--division", "0"), "--division must be 0.001 g or more."),
    ],
)
def test_wrong_input_gets_one_sentence(home: Path, words: tuple[str, ...], said: str) -> None:
    run = divided(home, *RAW)
    result = bake(home, *(run if word == "RUN" else word for word in words))

    assert 2 == result.returncode
    assert said in result.stderr
    assert 1 == result.stderr.count("\n")
    assert [] == loaves(home)


def test_a_products_file_with_faults_is_said_before_a_loaf_is_weighed(home: Path) -> None:
    divided(home, *RAW)
    (home / "products.toml").write_text(PRODUCTS.replace("over_g = 300", "over_g = -1"))
    result = bake(home, port=loads(803))

    assert (2, []) == (result.returncode, loaves(home))
    assert "has 1 fault" in result.stderr


def test_a_piece_that_is_marked_already_is_refused(home: Path) -> None:
    divided(home, *RAW)
    bake(home, "--mark", "2", port=loads(803))
    result = bake(home, "--mark", "2", port=loads(803))

    assert 2 == result.returncode
    assert "piece 2 is marked already, it was loaf 1" in result.stderr


def test_without_a_batch_there_is_nothing_to_weigh(tmp_path: Path) -> None:
    nothing = bake(tmp_path, port=loads(803))
    (tmp_path / "products.toml").write_text(PRODUCTS)
    checked = weighstation(
        "check", "--weight", "500:M1", "--port", loads(500, 500, 500), home=tmp_path
    )
    only_checked = bake(tmp_path, port=loads(803))

    assert [2, 0, 2] == [each.returncode for each in (nothing, checked, only_checked)]
    for result in (nothing, only_checked):
        assert result.stderr.startswith("Nothing was divided here yet")


def test_without_a_loaf_it_says_so(home: Path) -> None:
    """Crumbs of 30 g are no load."""
    divided(home, *RAW)

    assert "No loaf was weighed.\n" == bake(home, port=loads(30)).stdout
    assert "null\n" == bake(home, "--json", port=loads(30)).stdout


def test_a_station_at_work_keeps_the_journal(home: Path) -> None:
    divided(home, *RAW)
    command = [sys.executable, "-m", "weighstation", "divide", "Country loaf", "--events"]
    with subprocess.Popen(
        [*command, "--port", loads(*RAW, speed="1"), "--home", str(home)],
        stdout=subprocess.PIPE,
        text=True,
    ) as process:
        assert process.stdout is not None
        process.stdout.readline()
        result = bake(home, port=loads(803))
        process.kill()

    assert 4 == result.returncode
    assert "Another station is writing the journal" in result.stderr


@POSIX
def test_a_person_weighs_strikes_out_marks_and_ends(home: Path) -> None:
    divided(home, *RAW)
    terminal = Terminal("bake", "--port", loads(*BAKED, speed="4"), home=home)
    terminal.until("declared 800 g")
    terminal.until("loaf 1, 806 g, saved")
    terminal.press("v")
    terminal.until("Press V again to strike out loaf 1")
    time.sleep(0.2)  # sooner, it is a key held down
    terminal.press("v")
    terminal.until("Loaf 1 (806 g) is struck out.")
    terminal.press("5")
    terminal.until("piece 5, typed 5")
    terminal.until("loaf 2, 799 g, saved")
    terminal.press("e")
    terminal.until("Press E again to end")
    time.sleep(0.2)
    terminal.press("e")
    code = terminal.rest()
    first, gone, second, *_ = loaves(home)

    assert 1 == code, terminal.seen  # 799 g on average is below 800 g
    assert "Baked loaves: Country loaf" in terminal.seen
    assert (first["number"], gone["reason"]) == (gone["number"], "struck out at the bench")
    assert (2, 5) == (second["number"], second["piece"])


@POSIX
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_stopped_it_says_what_is_on_record(home: Path, number: signal.Signals) -> None:
    divided(home, *RAW)
    terminal = Terminal("bake", "--plain", "--port", loads(*BAKED, speed="4"), home=home)
    terminal.until("Loaf 1 counted: 806 g, 1 in all, mean 806.0 g")
    terminal.process.send_signal(number)
    code = terminal.rest()

    assert 128 + number == code
    assert "Stopped: 1 loaf is on record, and 'weighstation bake' goes on with the batch." in (
        terminal.seen
    )
