"""Seven bits and parity on a modelled wire: no character that was damaged passes as a weight."""

from __future__ import annotations

import random

import pytest
from dialects import dialects, stream
from uart import Wire

from weighstation.acquire import Decoder
from weighstation.acquire.lines import DAMAGED
from weighstation.events import Reading
from weighstation.station.ports.parity import parity_table
from weighstation.station.ports.serial_line import SerialPort


class HeardLine:
    """A line opened with eight bits and no parity, with what came already in it."""

    def __init__(self, heard: bytes) -> None:
        self.timeout = 0.0
        self.baudrate, self.bytesize, self.parity = 9600, 8, "N"
        self._heard = heard

    @property
    def in_waiting(self) -> int:
        return len(self._heard)

    def read(self, size: int) -> bytes:
        data, self._heard = self._heard[:size], self._heard[size:]
        return data

    def reset_input_buffer(self) -> None:
        pass


def heard(framing: str) -> bytes:
    dialect = next(one for one in dialects() if one.name == "unit-whole")
    arrivals, _ = stream(dialect, 1)
    wire = Wire([data for _, data in arrivals], 9600, framing, 0.02)
    return b"".join(data for _, data in wire.heard(9600, "8N1", 60.0))


def weights(data: bytes, parity: str) -> list[int | None]:
    port = SerialPort(HeardLine(data), "wire", lambda: 0.0, parity=parity)
    arrival = port.read(0.0)
    assert arrival is not None
    decoder = Decoder()
    items = [*decoder.feed(arrival.data, 0.0), *decoder.finish()]
    return [item.gross_mg for item in items if isinstance(item, Reading)]


@pytest.mark.parametrize("framing", ["7E1", "7O1"])
def test_what_was_sent_with_parity_is_read(framing: str) -> None:
    assert weights(heard("8N1"), "N") == weights(heard(framing), framing[1])


@pytest.mark.parametrize("framing", ["7E1", "7O1"])
@pytest.mark.parametrize("seed", range(20))
def test_a_flipped_bit_never_makes_another_weight(framing: str, seed: int) -> None:
    """One bit in each of twenty characters: parity sees any odd number of flips."""
    clean, damaged = heard(framing), bytearray(heard(framing))
    rng = random.Random(seed)
    for place in rng.sample(range(40, len(clean)), 20):
        damaged[place] ^= 1 << rng.randrange(8)
    found = weights(bytes(damaged), framing[1])

    assert set(found) <= {*weights(clean, framing[1]), None}
    assert None in found


def test_parity_of_a_few_characters_by_hand() -> None:
    """'7' is 0110111, five ones: odd as it is, even with the highest bit set."""
    assert bytes([0x37]) == bytes([0xB7]).translate(parity_table("E"))
    assert bytes([0x37]) == bytes([0x37]).translate(parity_table("O"))
    assert bytes([DAMAGED]) == bytes([0x37]).translate(parity_table("E"))


def test_a_retuned_line_checks_parity_itself() -> None:
    line = HeardLine(bytes([0xB7, 0x37]))
    port = SerialPort(line, "wire", lambda: 0.0)
    port.retune(4800, 7, "E")
    arrival = port.read(0.0)

    assert (4800, 8, "N") == (line.baudrate, line.bytesize, line.parity)
    assert arrival is not None
    assert bytes([0x37, DAMAGED]) == arrival.data
