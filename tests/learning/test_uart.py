"""The model of a wire: it agrees with bits written out by hand, and with itself."""

from __future__ import annotations

import itertools
import time

import pytest
from uart import FRAMINGS, SPEEDS_BAUD, Waveform, Wire, receive, send

LINES = [b"CALM,  %06.1f g\r\n" % (i * 7.3) for i in range(60)]
TEXT = b"".join(LINES)
WRONG = [pair for pair in itertools.product(SPEEDS_BAUD, SPEEDS_BAUD) if pair[0] != pair[1]]


def drawn(levels: str, baud: float) -> Waveform:
    """Draw a waveform from levels written out, one a bit, with the rest before them."""
    edges_s = [i / baud for i, (a, b) in enumerate(itertools.pairwise("1" + levels)) if a != b]
    return Waveform(tuple(edges_s), len(levels) / baud)


# "g" is 0x67, 0110 0111: lowest bit first 1110 0110, five ones in seven bits.
BY_HAND = [
    ("8N1", "0111001101", b"g"),
    ("7E1", "0111001111", b"g"),
    ("7O1", "0111001101", b"g"),
    # 0xE7, 1110 0111, and two characters in a row: "-" is 0x2D, 0010 1101; "0" is 0x30, 0011 0000.
    ("8N1", "0111001111", b"\xe7"),
    ("8N1", "01011010010000011001", b"-0"),
    ("7E1", "01011010010000011001", b"-0"),
    ("7O1", "01011010110000011011", b"-0"),
]


@pytest.mark.parametrize(("framing", "levels", "data"), BY_HAND)
def test_waveform_is_the_one_drawn_by_hand(framing: str, levels: str, data: bytes) -> None:
    sent = send(data, 1, framing)

    assert drawn(levels, 1) == sent


@pytest.mark.parametrize(("framing", "levels", "data"), BY_HAND)
def test_levels_drawn_by_hand_are_heard(framing: str, levels: str, data: bytes) -> None:
    assert (data, 0, 0) == receive(drawn(levels, 9600), 9600, framing)


def test_edges_of_one_byte_in_bit_times() -> None:
    assert (0, 1, 4, 6, 8, 9) == send(b"g", 1, "8N1").edges_s
    assert (0, 1, 4, 6) == send(b"g", 1, "7E1").edges_s


@pytest.mark.parametrize("framing", FRAMINGS)
@pytest.mark.parametrize("baud", SPEEDS_BAUD)
def test_right_speed_and_framing_give_the_bytes(baud: int, framing: str) -> None:
    assert (TEXT, 0, 0) == receive(send(TEXT, baud, framing), baud, framing)


def test_eight_bits_carry_every_byte() -> None:
    data = bytes(range(256))

    assert (data, 0, 0) == receive(send(data, 4800, "8N1"), 4800, "8N1")


@pytest.mark.parametrize(("framing", "odd"), [("7E1", 0), ("7O1", 1)])
def test_seven_bits_heard_as_eight_have_the_parity_on_top(framing: str, odd: int) -> None:
    heard, parity_errors, framing_errors = receive(send(TEXT, 9600, framing), 9600, "8N1")

    assert TEXT == bytes(byte & 0x7F for byte in heard)
    assert {odd} == {byte.bit_count() % 2 for byte in heard}
    assert any(byte & 0x80 for byte in heard)
    assert (0, 0) == (parity_errors, framing_errors)


def test_eight_bits_heard_as_seven_look_right_and_count_parity_errors() -> None:
    heard, parity_errors, _ = receive(send(TEXT, 9600, "8N1"), 9600, "7E1")

    assert heard == TEXT
    assert sum(byte.bit_count() % 2 for byte in TEXT) == parity_errors > 100


def test_the_other_parity_is_wrong_on_every_byte() -> None:
    assert (TEXT, len(TEXT), 0) == receive(send(TEXT, 9600, "7E1"), 9600, "7O1")


@pytest.mark.parametrize("framing", FRAMINGS)
def test_wrong_speed_gives_no_line(framing: str) -> None:
    for sender, port in WRONG:
        wire = Wire(LINES, sender, framing, pause_s=0.05)
        heard = b"".join(chunk for _, chunk in wire.heard(port, framing, wire.end_s))

        assert heard
        assert not any(line.strip() in heard for line in LINES), (sender, port)


def test_half_the_speed_by_hand() -> None:
    """A port at half the speed samples between the first and the second of two bits."""
    # Its bit k is the sender's bits 2k and 2k + 1; here both are the same: 0 1001 1001 1.
    sent = drawn("00110000111100001111", 9600)

    assert (b"\x99", 0, 0) == receive(sent, 4800, "8N1")


def test_a_short_dip_is_no_start_bit() -> None:
    dip = Waveform((0.1, 0.1 + 0.4 / 9600), 0.2)

    assert (b"", 0, 0) == receive(dip, 9600, "8N1")


def test_a_line_held_low_is_one_nul_with_a_framing_error() -> None:
    held = Waveform((0.1, 0.5), 0.5)

    assert (b"\x00", 0, 1) == receive(held, 9600, "8N1")


@pytest.mark.parametrize(("off_pct", "is_heard"), [(-4, True), (4, True), (-8, False), (8, False)])
def test_clocks_may_differ_by_less_than_half_a_bit_in_ten(off_pct: int, is_heard: bool) -> None:
    heard, _, _ = receive(send(TEXT, 9600 * (1 + off_pct / 100), "8N1"), 9600, "8N1")

    assert is_heard == (heard == TEXT)


def test_lines_come_when_their_last_byte_is_there() -> None:
    wire = Wire(LINES[:3], 9600, "8N1", pause_s=0.1)
    line_s = len(LINES[0]) * 10 / 9600
    heard = wire.heard(9600, "8N1", 60)
    text = b""
    ends_s = [t_s for t_s, chunk in heard if (text := text + chunk).endswith(b"\n")]

    assert text == b"".join(LINES[:3])
    assert (line_s, 2 * line_s + 0.1, 3 * line_s + 0.2) == pytest.approx(wire.ends_s)
    assert ends_s == pytest.approx([end_s - 0.5 / 9600 for end_s in wire.ends_s])


def test_a_port_hears_from_its_opening_to_its_closing() -> None:
    wire = Wire(LINES, 1200, "8N1", pause_s=0.05)
    first = wire.heard(1200, "8N1", 2.0)
    second = wire.heard(1200, "8N1", 60, from_s=wire.ends_s[0] + 0.02)

    assert first[-1][0] <= 2.0
    assert TEXT.startswith(b"".join(chunk for _, chunk in first))
    assert b"".join(LINES[1:]) == b"".join(chunk for _, chunk in second)
    assert 0.03 < second[0][0] < 0.07


def test_opened_amid_a_line_the_port_finds_its_way() -> None:
    wire = Wire(LINES, 2400, "8N1", pause_s=0.02)
    heard = b"".join(chunk for _, chunk in wire.heard(2400, "8N1", 60, from_s=0.021))

    assert not heard.startswith(LINES[0])
    assert heard.endswith(b"".join(LINES[1:]))


def test_bad_parity_comes_through_and_is_counted_unless_dropped() -> None:
    lets = Wire(LINES, 9600, "8N1")
    drops = Wire(LINES, 9600, "8N1", drops_bad_parity=True)
    kept = b"".join(chunk for _, chunk in lets.heard(9600, "7E1", 60))
    left = b"".join(chunk for _, chunk in drops.heard(9600, "7E1", 60))

    assert kept == TEXT
    assert lets.parity_errors == drops.parity_errors == len(kept) - len(left) > 100


def test_sixty_lines_at_any_pair_of_speeds_are_quick() -> None:
    """Far more than the 50 ms meant is allowed here: the machine may be busy."""
    for sender, port in WRONG:
        begun_s = time.process_time()
        Wire(LINES, sender, "8N1", pause_s=0.05).heard(port, "8N1", 60)

        assert time.process_time() - begun_s < 0.25, (sender, port)
