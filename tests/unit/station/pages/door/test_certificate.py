"""A certificate that cannot be used is said in one sentence, before anything is served."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest
import trustme
from cryptography.hazmat.primitives.serialization import (
    BestAvailableEncryption,
    Encoding,
    PrivateFormat,
    load_pem_private_key,
)

from weighstation.errors import SpecificationError
from weighstation.station.pages.door.certificate import cautions, refuse_bad
from weighstation.station.pages.place import Certificate

if TYPE_CHECKING:
    from pathlib import Path


NOW = datetime.now(UTC)
DAY = timedelta(days=1)


def made(
    folder: Path, name: str, begins: datetime = NOW - DAY, ends: datetime = NOW + 90 * DAY
) -> Certificate:
    issued = trustme.CA().issue_cert("localhost", not_before=begins, not_after=ends)
    both = Certificate(folder / f"{name}.pem", folder / f"{name}.key")
    both.path.write_bytes(issued.cert_chain_pems[0].bytes())
    both.key_path.write_bytes(issued.private_key_pem.bytes())
    return both


def sentence(certificate: Certificate) -> str:
    with pytest.raises(SpecificationError) as caught:
        refuse_bad(certificate)
    return caught.value.sentence


def test_a_good_one_is_taken_and_one_file_may_hold_both(tmp_path: Path) -> None:
    good = made(tmp_path, "station")
    whole = tmp_path / "whole.pem"
    whole.write_bytes(good.key_path.read_bytes() + good.path.read_bytes())

    refuse_bad(good)
    refuse_bad(Certificate(whole, whole))


def test_what_is_not_there_is_named_with_its_option(tmp_path: Path) -> None:
    good = made(tmp_path, "station")
    nothing = tmp_path / "nothing.pem"

    assert "nothing.pem' cannot be read" in sentence(Certificate(nothing, good.key_path))
    assert "Give --key a file" in sentence(Certificate(good.path, nothing))


def test_a_key_of_another_certificate_or_no_pem_at_all_is_refused(tmp_path: Path) -> None:
    good, other = made(tmp_path, "station"), made(tmp_path, "other")
    text = tmp_path / "text.pem"
    text.write_text("flour, water, salt")

    for bad in (Certificate(good.path, other.key_path), Certificate(text, good.key_path)):
        assert "made for each other" in sentence(bad)
    assert "made for each other" in sentence(Certificate(good.path, text))


def test_a_key_with_a_password_is_refused_and_nobody_is_asked_for_it(tmp_path: Path) -> None:
    good = made(tmp_path, "station")
    key = load_pem_private_key(good.key_path.read_bytes(), None)
    locked = key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, BestAvailableEncryption(b"flour"))
    good.key_path.write_bytes(locked)

    assert "the key without a password" in sentence(good)


@pytest.mark.parametrize(
    ("begins", "ends", "said"),
    [
        (-1, 90, ""),
        (-1, 31, ""),
        (-1, 5, "runs out in 5 days"),
        (-90, -1, "has run out"),
        (1, 90, "is not valid yet"),
    ],
)
def test_a_certificate_whose_dates_are_odd_is_said(
    tmp_path: Path, begins: int, ends: int, said: str
) -> None:
    """As OpenSSL judges them: `X509_verify_cert_error_string`, X509_V_ERR 9 and 10."""
    one = made(tmp_path, "dated", NOW + begins * DAY, NOW + ends * DAY)
    one.key_path.chmod(0o600)
    found = cautions(one, NOW.timestamp())

    assert ([said] if said else []) == [text.partition("' ")[2].partition(":")[0] for text in found]


def test_a_key_that_everybody_may_read_is_said(tmp_path: Path) -> None:
    one = made(tmp_path, "open")
    one.key_path.chmod(0o644)

    assert "chmod o= " in cautions(one, NOW.timestamp())[0]
    one.key_path.chmod(0o640)
    assert () == cautions(one, NOW.timestamp())
