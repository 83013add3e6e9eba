"""Which places other machines reach."""

from __future__ import annotations

import pytest

from weighstation.station.pages.place import Place, in_url, is_here, parsed


@pytest.mark.parametrize("host", ["localhost", "127.0.0.1", "127.9.9.9", "::1", "::ffff:127.0.0.1"])
def test_nobody_else_reaches_a_loopback_address(host: str) -> None:
    """127.0.0.0/8 and ::1: RFC 6890."""
    assert not Place(host, 8650).is_on_network


@pytest.mark.parametrize(
    "host", ["0.0.0.0", "::", "192.168.1.7", "fe80::1%eth0", "127.example", "bench.local", ""]
)
def test_others_reach_any_other(host: str) -> None:
    assert Place(host, 8650).is_on_network
    assert not is_here(host)


def test_an_ipv4_address_in_ipv6_is_the_same_one() -> None:
    """RFC 4291, section 2.5.5.2."""
    assert parsed("192.0.2.7") == parsed("::ffff:192.0.2.7")


def test_an_ipv6_address_stands_in_brackets_in_a_url() -> None:
    """RFC 3986, section 3.2.2."""
    assert "[2001:db8::1]" == in_url("2001:db8::1")
    assert "192.0.2.7" == in_url("192.0.2.7")
