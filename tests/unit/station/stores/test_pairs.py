"""Who may come in: a link is used once, a key is kept as its digest, and what is over is gone."""

from __future__ import annotations

import hashlib
import os
import sqlite3
from typing import TYPE_CHECKING

import pytest

from weighstation.errors import JournalFullError, SchemaTooNewError, SpecificationError
from weighstation.station.stores.pairs import KEY_S, LINK_S, MOST, Pairs

if TYPE_CHECKING:
    from pathlib import Path

NOW_MS = 1_800_000_000_000


@pytest.fixture
def pairs(tmp_path: Path) -> Pairs:
    return Pairs(tmp_path)


def test_a_link_becomes_a_key_once(pairs: Pairs) -> None:
    secret, link = pairs.link("tablet", "bench", NOW_MS)
    used = pairs.use(secret, NOW_MS + 1)
    assert used
    key, device = used

    assert ("tablet", "bench", True) == link[:3]
    assert ("tablet", "bench", False) == device[:3]
    assert device == pairs.device(key, NOW_MS + 2)
    assert None is pairs.use(secret, NOW_MS + 2)
    assert None is pairs.device(secret, NOW_MS + 2)
    assert key != secret


def test_a_link_is_no_key_and_a_key_no_link(pairs: Pairs) -> None:
    secret, _ = pairs.link("tablet", "bench", NOW_MS)

    assert None is pairs.device(secret, NOW_MS)
    used = pairs.use(secret, NOW_MS)
    assert used
    assert None is pairs.use(used[0], NOW_MS)


def test_a_link_is_good_for_ten_minutes_and_a_key_for_400_days(pairs: Pairs) -> None:
    late, _ = pairs.link("late", "reader", NOW_MS)
    soon, _ = pairs.link("soon", "reader", NOW_MS)
    used = pairs.use(soon, NOW_MS + LINK_S * 1000 - 1)

    assert 600 == LINK_S
    assert None is pairs.use(late, NOW_MS + LINK_S * 1000)
    assert used
    last_ms = NOW_MS + LINK_S * 1000 - 1 + KEY_S * 1000
    assert pairs.device(used[0], last_ms - 1)
    assert None is pairs.device(used[0], last_ms)


def test_a_clock_that_is_set_back_gives_a_link_no_more_time(pairs: Pairs) -> None:
    secret, _ = pairs.link("tablet", "bench", NOW_MS)

    assert None is pairs.use(secret, NOW_MS - 3600 * 1000)
    assert pairs.use(secret, NOW_MS - 1000)


def test_who_is_revoked_within_one_tick_of_the_file_s_clock_is_out(
    tmp_path: Path, pairs: Pairs
) -> None:
    used = pairs.use(pairs.link("phone", "owner", NOW_MS)[0], NOW_MS)
    assert used
    reader, file = Pairs(tmp_path), tmp_path / "pairs.sqlite"
    assert reader.device(used[0], NOW_MS)
    tick_ns = file.stat().st_mtime_ns
    pairs.revoke("phone", NOW_MS)
    os.utime(file, ns=(tick_ns, tick_ns))

    assert None is reader.device(used[0], NOW_MS)


def test_a_guess_writes_nothing(tmp_path: Path, pairs: Pairs) -> None:
    pairs.link("phone", "owner", NOW_MS)
    before = (tmp_path / "pairs.sqlite").read_bytes()

    assert None is pairs.use("guess", NOW_MS)
    assert before == (tmp_path / "pairs.sqlite").read_bytes()


def test_no_secret_is_in_the_file_and_only_its_owner_may_read_it(tmp_path: Path) -> None:
    pairs = Pairs(tmp_path)
    first, _ = pairs.link("tablet", "bench", NOW_MS)
    second, _ = pairs.link("phone", "reader", NOW_MS)
    used = pairs.use(first, NOW_MS)
    assert used
    (file,) = tmp_path.iterdir()
    kept = file.read_bytes()

    assert 0o600 == file.stat().st_mode & 0o777
    for secret in (first, second, used[0]):
        assert secret.encode() not in kept
    assert hashlib.sha256(used[0].encode()).digest() in kept


def test_secrets_have_at_least_128_random_bits(pairs: Pairs) -> None:
    """OWASP Session Management: 128 bits; base64 has 6 a letter."""
    secrets = {pairs.link("", "reader", NOW_MS)[0] for _ in range(20)}

    assert 20 == len(secrets)
    assert all(128 <= 6 * len(secret) for secret in secrets)


def test_who_is_revoked_is_out_for_another_reader_of_the_file_too(tmp_path: Path) -> None:
    pairs, server = Pairs(tmp_path), Pairs(tmp_path)
    used = pairs.use(pairs.link("phone", "reader", NOW_MS)[0], NOW_MS)
    assert used
    assert server.device(used[0], NOW_MS)

    assert pairs.revoke("phone", NOW_MS)
    assert None is server.device(used[0], NOW_MS)
    assert not pairs.revoke("phone", NOW_MS)


def test_a_link_that_was_not_used_is_revoked_too(pairs: Pairs) -> None:
    secret, _ = pairs.link("phone", "reader", NOW_MS)

    assert pairs.revoke("phone", NOW_MS)
    assert None is pairs.use(secret, NOW_MS)


def test_devices_without_a_name_are_numbered_and_a_name_is_given_once(pairs: Pairs) -> None:
    names = [pairs.link("", "bench", NOW_MS)[1].name for _ in range(2)]
    pairs.revoke("bench 1", NOW_MS)

    assert ["bench 1", "bench 2"] == names
    assert "bench 1" == pairs.link("", "bench", NOW_MS)[1].name
    with pytest.raises(SpecificationError, match="a device called 'bench 2' already"):
        pairs.link("bench 2", "reader", NOW_MS)


def test_there_are_so_many_and_no_more_and_what_is_over_makes_room(pairs: Pairs) -> None:
    for _ in range(MOST):
        pairs.link("", "reader", NOW_MS)

    with pytest.raises(SpecificationError, match=f"{MOST} devices already"):
        pairs.link("", "reader", NOW_MS)
    assert pairs.link("", "reader", NOW_MS + LINK_S * 1000)
    assert 1 == len(pairs.devices(NOW_MS + LINK_S * 1000))


def test_what_is_not_there_lets_nobody_in(pairs: Pairs, tmp_path: Path) -> None:
    assert None is pairs.device("key", NOW_MS)
    assert None is pairs.use("link", NOW_MS)
    assert [] == pairs.devices(NOW_MS)
    assert not pairs.revoke("phone", NOW_MS)
    assert "" == pairs.served_at()
    assert [] == list(tmp_path.iterdir()), "looking makes no file"


def test_where_pages_were_served_last_is_remembered(pairs: Pairs) -> None:
    pairs.link("", "reader", NOW_MS)

    assert "" == pairs.served_at()
    pairs.serve_at("http://192.0.2.7:8650/", NOW_MS)
    pairs.serve_at("http://192.0.2.8:8650/", NOW_MS)
    assert "http://192.0.2.8:8650/" == pairs.served_at()


def test_a_file_that_was_made_and_nothing_more_holds_nobody(tmp_path: Path, pairs: Pairs) -> None:
    """The power may go between making the file and its first table."""
    (tmp_path / "pairs.sqlite").touch()

    assert [] == pairs.devices(NOW_MS)
    assert "" == pairs.served_at()
    assert not pairs.revoke("phone", NOW_MS)
    assert pairs.link("phone", "reader", NOW_MS)


def test_a_link_that_leads_to_itself_lets_nobody_in_and_is_said(tmp_path: Path) -> None:
    path = tmp_path / "pairs.sqlite"
    path.symlink_to(path)
    for ask in (Pairs(tmp_path).device, Pairs(tmp_path).use, Pairs(tmp_path).revoke):
        with pytest.raises(JournalFullError, match="who may come in"):
            ask("anybody", NOW_MS)


def test_a_file_that_cannot_be_read_is_said(tmp_path: Path) -> None:
    (tmp_path / "pairs.sqlite").write_text(
        "no database at all, and long enough to be taken for one" * 9
    )

    with pytest.raises(JournalFullError, match="who may come in"):
        Pairs(tmp_path).device("key", NOW_MS)


def test_a_file_of_a_newer_weighstation_is_left_alone(tmp_path: Path) -> None:
    pairs = Pairs(tmp_path)
    pairs.link("", "reader", NOW_MS)
    with sqlite3.connect(tmp_path / "pairs.sqlite") as file:
        file.execute("PRAGMA user_version = 2")
    file.close()

    with pytest.raises(SchemaTooNewError):
        pairs.link("", "reader", NOW_MS)
    with pytest.raises(SchemaTooNewError):
        Pairs(tmp_path).devices(NOW_MS)
