"""Wrong keys are counted, for one address and for all together, in a fixed room."""

from __future__ import annotations

from weighstation.station.pages.door.guesses import (
    ALL_FORGIVEN_S,
    FORGIVEN_S,
    MOST_ADDRESSES,
    OF_ALL,
    OF_ONE,
    Guesses,
)


def guessed(address: str, times: int, guesses: Guesses | None = None) -> Guesses:
    guesses = guesses or Guesses()
    for _ in range(times):
        guesses.failed(address, 0.0)
    return guesses


def test_an_address_has_ten_and_then_one_in_six_seconds() -> None:
    guesses = guessed("192.0.2.7", OF_ONE - 1)

    assert guesses.may_try("192.0.2.7", 0.0)
    guesses.failed("192.0.2.7", 0.0)
    assert not guesses.may_try("192.0.2.7", 0.0)
    assert not guesses.may_try("192.0.2.7", FORGIVEN_S - 0.1)
    assert guesses.may_try("192.0.2.7", FORGIVEN_S)
    assert guesses.may_try("192.0.2.8", 0.0)


def test_all_together_have_a_hundred_and_who_has_not_failed_is_heard_still() -> None:
    guesses = Guesses()
    for number in range(OF_ALL):
        guesses.failed(f"192.0.2.{number}", 0.0)

    assert not guesses.may_try("192.0.2.1", 0.0)
    assert guesses.may_try("198.51.100.1", 0.0)
    assert guesses.may_try("192.0.2.1", ALL_FORGIVEN_S)


def test_it_remembers_no_more_addresses_than_it_has_room_for() -> None:
    guesses = Guesses()
    for number in range(3 * MOST_ADDRESSES):
        guesses.failed(f"10.0.{number // 250}.{number % 250}", 1e6)

    assert MOST_ADDRESSES == len(guesses._of)


def test_the_second_half_of_an_ipv6_address_is_free_to_choose_and_does_not_count() -> None:
    """RFC 4291, section 2.5.1: interface identifiers are 64 bits."""
    guesses = guessed("2001:db8::1", OF_ONE)

    assert not guesses.may_try("2001:db8::ffff:1", 0.0)
    assert guesses.may_try("2001:db8:0:1::1", 0.0)
    assert not guessed("192.0.2.7", OF_ONE).may_try("192.0.2.7", 0.0)
