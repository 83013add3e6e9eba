"""Where pages cannot be served is said in one sentence, and a crowd is hung up on."""

from __future__ import annotations

import errno
import socket
from contextlib import ExitStack

import pytest

from weighstation.errors import SpecificationError
from weighstation.station.pages.door import listening as at
from weighstation.station.pages.door.listening import Listener, listening
from weighstation.station.pages.place import Place


def test_a_port_in_use_is_said() -> None:
    with listening(Place("127.0.0.1", 0)) as first:
        port = first.getsockname()[1]

        with pytest.raises(SpecificationError, match=f"127.0.0.1 port {port}") as caught:
            listening(Place("127.0.0.1", port))
    assert caught.value.sentence.endswith("Give another port, or end the program that uses it.")


def test_an_address_of_another_machine_is_said() -> None:
    """203.0.113.0/24 is nobody's: RFC 5737."""
    with pytest.raises(SpecificationError, match=r"203\.0\.113\.7") as caught:
        listening(Place("203.0.113.7", 0))

    assert "Give an address of this machine" in caught.value.sentence


@pytest.mark.parametrize("host", ["no-such-host.invalid", "", "x" * 300, "a..b", "ä" * 70])
def test_a_name_that_is_none_is_said(host: str) -> None:
    """.invalid never is one: RFC 2606."""
    with pytest.raises(SpecificationError, match="There is no such name"):
        refused(host)


def refused(host: str) -> None:
    try:
        listening(Place(host, 0))
    except SpecificationError as exc:
        raise SpecificationError(exc.sentence) from exc


def test_a_port_of_the_system_is_said_to_who_may_not(monkeypatch: pytest.MonkeyPatch) -> None:
    """Who runs the tests may, perhaps: the refusal is put in the place of the call."""

    def refuse(*_: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(Listener, "bind", refuse)

    with pytest.raises(SpecificationError, match="permission denied") as caught:
        listening(Place("127.0.0.1", 80))
    assert "give one above" in caught.value.sentence


def test_an_ipv6_address_is_served_too() -> None:
    try:
        with listening(Place("::1", 0)) as listener:
            assert socket.AF_INET6 == listener.family
    except SpecificationError:
        pytest.skip("this machine has no IPv6")


@pytest.mark.parametrize("limit", ["MOST", "MOST_OF_ONE"])
def test_a_crowd_is_hung_up_on_until_somebody_goes(
    monkeypatch: pytest.MonkeyPatch, limit: str
) -> None:
    monkeypatch.setattr(at, limit, 2)
    with listening(Place("127.0.0.1", 0)) as listener, ExitStack() as stack:

        def come() -> socket.socket:
            socket_ = socket.create_connection(listener.getsockname(), timeout=5)
            return stack.enter_context(socket_)

        guests = [come() for _ in range(3)]
        inside = [stack.enter_context(listener.accept()[0]) for _ in range(2)]

        with pytest.raises(BlockingIOError):
            listener.accept()
        assert b"" == guests[2].recv(1)
        inside[0].close()
        come()
        stack.enter_context(listener.accept()[0])


@pytest.mark.skipif(not hasattr(socket, "TCP_USER_TIMEOUT"), reason="the system has no such limit")
def test_a_device_out_of_reach_is_given_up_after_seconds() -> None:
    """RFC 5482: so long may pass before what was sent must have been received."""
    with (
        listening(Place("127.0.0.1", 0)) as listener,
        socket.create_connection(listener.getsockname()),
    ):
        connection, _ = listener.accept()
        with connection:
            limit_ms = connection.getsockopt(socket.IPPROTO_TCP, socket.TCP_USER_TIMEOUT)

    assert 20_000 == limit_ms


def test_a_flood_from_the_network_leaves_room_for_this_machine(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Of the loopback addresses all but one stand for other machines here."""
    monkeypatch.setattr(at, "MOST_OF_OTHERS", 2)
    monkeypatch.setattr(at, "is_here", lambda address: address == "127.0.0.1")
    with listening(Place("127.0.0.1", 0)) as listener, ExitStack() as stack:

        def come(source: str) -> None:
            to, own = listener.getsockname(), (source, 0)
            stack.enter_context(socket.create_connection(to, timeout=5, source_address=own))

        for source in ("127.0.0.2", "127.0.0.3"):
            come(source)
            stack.enter_context(listener.accept()[0])
        come("127.0.0.4")

        with pytest.raises(BlockingIOError):
            listener.accept()
        come("127.0.0.1")
        stack.enter_context(listener.accept()[0])
