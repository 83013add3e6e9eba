"""A port is tuned to what the modelled wire was sent with, and tells what each speed gave."""

from __future__ import annotations

import pytest
from dialects import dialects, stream
from uart import Wire

from weighstation.station.devices.listening import find_settings
from weighstation.station.ports import Arrival


class WiredPort:
    """A port at the end of a modelled wire that is spoken on again and again."""

    def __init__(self, wire: Wire) -> None:
        self.now_s = 0.0
        self.tuned = (0, 0, "")
        self._wire = wire
        self._heard: list[tuple[float, bytes]] = []

    def retune(self, baud: int, bits: int = 8, parity: str = "N") -> None:
        self.tuned = (baud, bits, parity)
        began_s = self.now_s
        heard = self._wire.heard(baud, f"{bits}{parity}1", self._wire.end_s)
        self._heard = [(began_s + t_s, data) for t_s, data in heard]

    def read(self, timeout_s: float) -> Arrival | None:
        if self._heard and self._heard[0][0] <= self.now_s + timeout_s:
            t_s, data = self._heard.pop(0)
            self.now_s = max(self.now_s, t_s)
            return Arrival(self.now_s, data)
        self.now_s += timeout_s
        return None

    def clock(self) -> float:
        return self.now_s


def wired(baud: int, framing: str) -> WiredPort:
    dialect = next(one for one in dialects() if one.name == "first-words")
    arrivals, _ = stream(dialect, 1)
    return WiredPort(Wire([data for _, data in arrivals], baud, framing, 0.02))


@pytest.mark.parametrize("baud", [1200, 2400, 9600, 19200, 115200])
@pytest.mark.parametrize("framing", ["8N1", "7E1", "7O1"])
def test_a_port_is_left_tuned_to_the_scale(baud: int, framing: str) -> None:
    told: list[str] = []
    port = wired(baud, framing)
    settings = find_settings(port, told.append, port.clock)

    assert {"baud": str(baud), "bits": framing[0], "parity": framing[1]} == settings
    assert (baud, int(framing[0]), framing[1]) == port.tuned
    assert f"{baud} baud, {framing}: weights" == told[-1]


def test_a_silent_port_is_said_to_be_silent_at_every_speed() -> None:
    told: list[str] = []
    port = WiredPort(Wire([], 9600, "8N1"))
    settings = find_settings(port, told.append, port.clock)

    assert settings is None
    assert 8 == len(told)
    assert all(text.endswith(": nothing") for text in told)
