"""``machine -> SerialDevice``: what is plugged in, and what stands in the way of opening it.

No serial port is opened to find out and nothing is sent: opening alone resets some scales.
"""

from weighstation.station.devices.identity import Identity
from weighstation.station.devices.serial_ports import (
    SerialDevice,
    find_device,
    identity_of,
    list_serial_devices,
)
from weighstation.station.devices.trouble import Trouble

__all__ = [
    "Identity",
    "SerialDevice",
    "Trouble",
    "find_device",
    "identity_of",
    "list_serial_devices",
]
