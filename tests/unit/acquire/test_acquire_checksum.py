"""Lines with a check, cut whatever pieces they come in."""

from __future__ import annotations

import pytest

from weighstation.acquire import Decoder
from weighstation.acquire.checksum import BadLine, CheckedSplitter, Checksum, Rule
from weighstation.acquire.lines import MAX_BYTES
from weighstation.acquire.recipe import Recipe
from weighstation.events import Reading

PLAIN = Checksum(Rule.XOR, hexed=True, end=b"\r\n", behind_end=False)
RAW = Checksum(Rule.SUM7, hexed=False, end=b"\r\n", behind_end=False)
BEHIND = Checksum(Rule.SUM8, hexed=True, end=b"\x03", behind_end=True)
LAWS = pytest.mark.parametrize("checksum", [PLAIN, RAW, BEHIND], ids=["plain", "raw", "behind"])


def checked(body: bytes, checksum: Checksum) -> bytes:
    value = checksum.rule.of(body)
    check = b"%02X" % value if checksum.hexed else bytes((value,))
    return body + checksum.end + check if checksum.behind_end else body + check + checksum.end


@LAWS
@pytest.mark.parametrize("step", [1, 2, 3, 100, 256, 257, 258, 259, 1000])
@pytest.mark.parametrize("torn", [MAX_BYTES - 2, MAX_BYTES - 1, MAX_BYTES, MAX_BYTES + 1, 700])
def test_an_overlong_line_is_cut_and_the_next_is_whole(
    torn: int, step: int, checksum: Checksum
) -> None:
    """However it comes in pieces; the check of a line that is too long is not even looked at."""
    good = checked(b"651 g", checksum)
    data = checked(b"x" * torn, checksum) + good + b"xyz" + checksum.end + good + good
    whole, single = CheckedSplitter(checksum), CheckedSplitter(checksum)
    lines = whole.feed(data)
    pieces = [data[at : at + step] for at in range(0, len(data), step)]

    assert lines == [line for piece in pieces for line in single.feed(piece)]
    assert b"651 g" == lines[1] == lines[-1]
    assert len(lines[0]) <= MAX_BYTES + 1
    assert isinstance(lines[0], BadLine) is (
        torn + (0 if checksum.behind_end else checksum.length) > MAX_BYTES
    )


@LAWS
def test_what_is_kept_of_an_overlong_line_does_not_grow(checksum: Checksum) -> None:
    splitter = CheckedSplitter(checksum)
    lines = [line for _ in range(3000) for line in splitter.feed(b"x" * 7)]

    assert [BadLine(b"x" * (MAX_BYTES + 1))] == lines
    assert not splitter.idle
    assert len(splitter.finish()) < len(checksum.end)


def test_a_torn_line_before_the_shape_is_known_keeps_its_place() -> None:
    good = [checked(body, PLAIN) for body in (b"651 g", b"652 g", b"653 g")]
    decoder = Decoder(recipe=Recipe(checksum=PLAIN))
    out = [
        item
        for place, line in enumerate([good[0], b"65\r\n", *good[1:]])
        for item in decoder.feed(line, place / 10)
    ]
    readings = [item for item in out if isinstance(item, Reading)]

    assert [651_000, None, 652_000, 653_000] == [reading.gross_mg for reading in readings]
    assert sorted(reading.t_s for reading in readings) == [reading.t_s for reading in readings]
