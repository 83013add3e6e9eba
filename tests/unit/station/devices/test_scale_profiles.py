"""scales.toml is written and read alike, and what is in it sets a scale when it is opened."""

from __future__ import annotations

import os
import threading
from typing import TYPE_CHECKING

import pytest

from weighstation.acquire import OPEN, Recipe
from weighstation.acquire.checksum import Checksum, Rule
from weighstation.acquire.marks import StableMark
from weighstation.errors import SpecificationError
from weighstation.quantities import Unit
from weighstation.station.commands.shop.home import Home
from weighstation.station.devices.opening import find, key_of
from weighstation.station.devices.profiles import Profile, read_profiles, write_profiles
from weighstation.station.ports import Address, open_port
from weighstation.station.ports.standard_input import StandardInput

if TYPE_CHECKING:
    from pathlib import Path

FULL = Profile(
    identity="usb:0403:6001:A50285BI",
    settings={
        "baud": "4800",
        "bits": "7",
        "parity": "E",
        "stop": "1",
        "ask": "P\r\n",
        "every": "0.5",
    },
    recipe=Recipe(
        unit=Unit.KILOGRAM,
        decimal_sign=",",
        implied_decimals=3,
        stable_mark=StableMark(">unit", present=True),
        division_mg=2000,
        checksum=Checksum(Rule.TWOS, hexed=True, end=b"\r\n", behind_end=False, covers_end=True),
        weight_number=1,
    ),
    learned="2026-03-02T04:10:00Z",
    readings_per_s=10.0,
    settle_s=0.8,
    open=("unit",),
)


def test_profiles_are_read_as_they_were_written() -> None:
    plain = Profile("tcp://scale:4001")
    text = write_profiles([FULL, plain])

    assert {FULL.identity: FULL, plain.identity: plain} == read_profiles(text, "scales.toml")


@pytest.mark.parametrize("rule", list(Rule))
@pytest.mark.parametrize("end", [b"\r\n", b"\n", b"\x03"])
@pytest.mark.parametrize("flags", [(False, False, False), (True, True, True)])
def test_a_checksum_is_read_as_it_was_written(
    rule: Rule, end: bytes, flags: tuple[bool, bool, bool]
) -> None:
    hexed, behind, covers = flags
    checksum = Checksum(rule, hexed, end, behind, covers)

    assert checksum == Checksum.of_text(checksum.text())


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[[scale", "is not valid TOML"),
        ("scale = 1", "has no tables"),
        ("[[scale]]\nunit = 'g'", "without an identity"),
        ("[[scale]]\nidentity = 'x'\nunit = 'stone'", "unit = 'stone'"),
        ("[[scale]]\nidentity = 'x'\ndivision_g = 'fine'", "division_g = 'fine'"),
        ("[[scale]]\nidentity = 'x'\ndecimal_sign = ';'", "decimal_sign = ';'"),
        ("[[scale]]\nidentity = 'x'\nchecksum = 'xor'", "checksum = 'xor'"),
        ("[[scale]]\nidentity = 'x'\ndivision_g = nan", "division_g = nan"),
        ("[[scale]]\nidentity = 'x'\n[[scale]]\nidentity = 'x'", "x twice"),
        ("[[scale]]\nidentity = 'x'\nweight_number = 400", "weight_number = 400"),
    ],
)
def test_a_spoilt_file_is_answered_in_a_sentence(text: str, says: str) -> None:
    with pytest.raises(SpecificationError, match=says) as caught:
        read_profiles(text, "scales.toml")

    assert "\n" not in caught.value.sentence


def test_a_profile_takes_the_place_of_an_older_one(tmp_path: Path) -> None:
    home = Home(tmp_path / "station")
    home.keep_profile(FULL)
    home.keep_profile(Profile("path:/dev/ttyS0"))
    home.keep_profile(Profile(FULL.identity, {"baud": "9600"}))

    assert {FULL.identity, "path:/dev/ttyS0"} == set(home.profiles())
    assert {"baud": "9600"} == home.profiles()[FULL.identity].settings


def test_what_the_url_says_goes_before_the_profile() -> None:
    profile = Profile("tcp://scale:4001", {"ask": "P", "every": "0.5"}, Recipe(unit=Unit.GRAM))
    found = find("tcp://scale:4001?every=1", {profile.identity: profile})

    assert {"ask": "P", "every": "1"} == found.address.options
    assert Recipe(unit=Unit.GRAM) == found.recipe
    assert OPEN == find("tcp://other:4001", {profile.identity: profile}).recipe


def test_a_scale_on_usb_is_filed_under_who_it_is() -> None:
    assert "usb:0922:8003" == key_of(Address.parse("hid://0922:8003"))
    assert "rfc2217://h:1" == key_of(Address.parse("rfc2217://h:1?baud=4800"))


def frozen() -> float:
    return 0.0


@pytest.mark.skipif(os.name != "posix", reason="needs a pseudo-terminal")
@pytest.mark.parametrize("ask", ["", "?ask=W%0D%0A&every=0.05", "?ask=hex:05&every=0.05"])
def test_nothing_is_sent_unless_the_port_says_what(ask: str) -> None:
    near, far = os.openpty()
    os.set_blocking(near, False)
    port = open_port(f"serial://{os.ttyname(far)}{ask}", frozen)
    for _ in range(6):
        port.read(0.05)
    port.close()
    try:
        sent = os.read(near, 100)
    except BlockingIOError:
        sent = b""
    os.close(near)
    os.close(far)
    wanted = {"": b"", "?ask=W%0D%0A&every=0.05": b"W\r\n", "?ask=hex:05&every=0.05": b"\x05"}[ask]

    assert (sent == b"") is (ask == "")
    assert sent == wanted * (len(sent) // max(len(wanted), 1))


@pytest.mark.parametrize("options", ["ask=", "every=1", "ask=hex:zz", "ask=W&every=0.001"])
def test_asking_that_makes_no_sense_is_refused(options: str) -> None:
    with pytest.raises(SpecificationError):
        open_port(f"serial:///dev/null?{options}", frozen)


def test_standard_input_gives_what_comes_and_ends() -> None:
    out, into = os.pipe()
    port = StandardInput(Address.parse("-"), frozen, out)
    quiet = port.read(0.01)
    threading.Timer(0.05, lambda: os.write(into, b"740 g\r\n")).start()
    heard = port.read(2.0)
    os.close(into)

    assert quiet is None
    assert heard is not None
    assert b"740 g\r\n" == heard.data
    assert port.read(2.0) is None
    assert port.ended
    os.close(out)
