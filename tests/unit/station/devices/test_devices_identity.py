"""Who a device is: the same text whatever its name is now."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weighstation.errors import SpecificationError
from weighstation.station.devices import Identity


@pytest.mark.parametrize(
    ("identity", "text"),
    [
        (Identity.usb(0x0403, 0x6001, serial="A50285BI", location="1-2"), "usb:0403:6001:A50285BI"),
        (Identity.usb(0x1A86, 0x7523, location="1-1.2"), "usb:1a86:7523@1-1.2"),
        (Identity.usb(0x1A86, 0x7523, location="1-1.2:1.0"), "usb:1a86:7523@1-1.2:1.0"),
        (Identity.usb(0xABCD, 0x000F, serial="a@b:c"), "usb:abcd:000f:a@b:c"),
        (Identity.usb(0xABCD, 0x000F), "usb:abcd:000f"),
        (Identity(path="/dev/ttyS0"), "path:/dev/ttyS0"),
        (Identity(path="COM3"), "path:COM3"),
    ],
)
def test_text_of_an_identity_and_back(identity: Identity, text: str) -> None:
    assert text == str(identity)
    assert identity == Identity.parse(text)


IDS = st.integers(0, 0xFFFF)


@given(IDS, IDS, st.text(), st.text())
def test_whatever_a_device_calls_itself_it_is_known_again(
    vendor_id: int, product_id: int, serial: str, location: str
) -> None:
    identity = Identity.usb(vendor_id, product_id, serial=serial, location=location)

    assert identity == Identity.parse(str(identity))


@pytest.mark.parametrize(
    "text",
    [
        *("", "path:", "usb:", "usb:0403", "usb:0403:6001:", "usb:0403:6001@", "usb:403:6001:A"),
        *("usb:0403:600G:A", "USB:0403:6001:A", "usb:0403:60011", "/dev/ttyUSB0"),
    ],
)
def test_text_that_names_no_device_is_refused_in_one_sentence(text: str) -> None:
    with pytest.raises(SpecificationError) as caught:
        Identity.parse(text)

    assert "scales --json" in caught.value.sentence
    assert "\n" not in caught.value.sentence
