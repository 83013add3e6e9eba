"""Speed and framing are found on a modelled wire, and no wrong one is ever believed."""

from __future__ import annotations

import pytest
from dialects import dialects, held_out, stream
from uart import Wire

from weighstation.acquire.framing import SPEEDS_BAUD, judge_framing

LISTEN_S = 1.5
PAUSE_S = 0.02
NAMES = ("unit-whole", "alone-tenths", "first-words", "fields-words", "unit-kilos-comma-bowl")


def wire(name: str, baud: int, framing: str) -> Wire:
    dialect = next(one for one in dialects() + held_out() if one.name == name)
    arrivals, _ = stream(dialect, 1)
    return Wire([data for _, data in arrivals], baud, framing, PAUSE_S)


def found(line: Wire, listen_s: float = LISTEN_S) -> tuple[int, str] | None:
    for baud in SPEEDS_BAUD:
        heard = b"".join(data for _, data in line.heard(baud, "8N1", listen_s))
        framing = judge_framing(heard)
        if framing is not None:
            return baud, str(framing)
    return None


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("framing", ["8N1", "7E1", "7O1"])
@pytest.mark.parametrize("baud", sorted(SPEEDS_BAUD))
def test_speed_and_framing_are_found(baud: int, framing: str, name: str) -> None:
    assert (baud, framing) == found(wire(name, baud, framing))


@pytest.mark.parametrize("framing", ["8N1", "7E1", "7O1"])
@pytest.mark.parametrize("baud", sorted(SPEEDS_BAUD))
def test_no_wrong_speed_is_believed_of_any_dialect(baud: int, framing: str) -> None:
    for dialect in dialects()[::3] + held_out()[::3]:
        line = wire(dialect.name, baud, framing)
        for other in SPEEDS_BAUD:
            heard = b"".join(data for _, data in line.heard(other, "8N1", LISTEN_S))
            believed = judge_framing(heard)
            assert believed is None or (other, str(believed)) == (baud, framing), dialect.name


def test_silence_and_noise_tell_nothing() -> None:
    assert judge_framing(b"") is None
    assert judge_framing(bytes(range(256)) * 4) is None
    assert judge_framing(b"hello world\r\n" * 20) is None
