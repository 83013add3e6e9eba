"""``pair``: a link, a list, one sent away; what cannot be is said in one sentence."""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING

import pytest
from station_process import weighstation

if TYPE_CHECKING:
    import subprocess
    from pathlib import Path

URL = "http://192.0.2.7:8650"


def linked(home: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return weighstation("pair", "--url", URL, *words, home=home)


def test_a_link_is_shown_listed_and_revoked(tmp_path: Path) -> None:
    made = linked(tmp_path, "--role", "bench", "--name", "tablet at the bench")
    listed = weighstation("pair", "--list", home=tmp_path)
    as_json = json.loads(weighstation("pair", "--list", "--json", home=tmp_path).stdout)
    revoked = weighstation("pair", "--revoke", "tablet at the bench", home=tmp_path)
    empty = weighstation("pair", "--list", home=tmp_path)

    assert 0 == made.returncode, made.stderr
    assert re.match(rf"{URL}/pair/[\w-]{{32}}\n", made.stdout)
    assert "within 10 minutes; it works once" in made.stdout
    assert re.match("tablet at the bench +bench +link not used, good until ", listed.stdout)
    (device,) = as_json["devices"]
    assert ("tablet at the bench", "bench", True) == tuple(device.values())[:3]
    assert "'tablet at the bench' is let in no more.\n" == revoked.stdout
    assert "No device is let in" in empty.stdout


def test_a_link_as_json(tmp_path: Path) -> None:
    made = json.loads(linked(tmp_path, "--role", "owner", "--json").stdout)

    assert made["url"].startswith(f"{URL}/pair/")
    assert ("owner 1", "owner") == (made["name"], made["role"])


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "Give one of --role, --list and --revoke"),
        (("--role", "bench", "--list"), "Give one of --role, --list and --revoke"),
        (("--role", "baker"), "Give --role reader, bench or owner"),
        (("--role", "bench"), "No pages were served on the network from this home yet"),
        (("--role", "bench", "--url", "192.168.1.7"), "Give --url as http://HOST:PORT"),
        (("--role", "bench", "--url", "ftp://a"), "Give --url as http://HOST:PORT"),
        (("--role", "bench", "--url", "http://a:99999"), "Give --url as http://HOST:PORT"),
        (("--role", "bench", "--url", "http://a/b"), "Give --url as http://HOST:PORT"),
        (("--role", "bench", "--url", "http://127.0.0.1:8650"), "No other device reaches"),
        (("--role", "bench", "--url", URL, "--name", "a\nb"), "That is no name for a device"),
        (("--role", "bench", "--url", URL, "--name", "a" * 41), "That is no name for a device"),
        (("--revoke", "nobody"), "There is no device called 'nobody'"),
    ],
)
def test_what_cannot_be_is_one_sentence(tmp_path: Path, words: tuple[str, ...], said: str) -> None:
    result = weighstation("pair", *words, home=tmp_path)

    assert 2 == result.returncode
    assert "" == result.stdout
    assert said in result.stderr
    assert 1 == len(result.stderr.splitlines())


def test_a_name_that_is_taken_is_said(tmp_path: Path) -> None:
    linked(tmp_path, "--role", "bench", "--name", "tablet")
    again = linked(tmp_path, "--role", "reader", "--name", "tablet")

    assert 2 == again.returncode
    assert "There is a device called 'tablet' already." in again.stderr


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--page-host", "203.0.113.7"), "Give an address of this machine"),
        (("--page-host", "no-such.invalid"), "There is no such name"),
        (("--certificate", "c.pem"), "Give both --certificate and --key"),
        (("--certificate", "no.pem", "--key", "no.key"), "'no.pem' cannot be read"),
    ],
)
def test_pages_that_cannot_be_served_are_one_sentence(
    tmp_path: Path, words: tuple[str, ...], said: str
) -> None:
    band = ("--target", "740", "--under", "8", "--over", "8", "--port", "simulated://?speed=max")
    result = weighstation(
        "divide", *band, "--pages", "--page-port", "0", *words, home=tmp_path / "home"
    )

    assert 2 == result.returncode
    assert said in result.stderr
    assert 1 == len(result.stderr.splitlines())
