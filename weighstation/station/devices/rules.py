"""Rules by which the system treats one device, in the words of udev(7)."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weighstation.station.devices.identity import Identity

RULES_FILE = "/etc/udev/rules.d/60-weighstation.rules"
"""It sorts before 73-seat-late.rules, after which rights are given out."""
RELOAD = "sudo udevadm control --reload"
_NOT_LITERAL = re.compile(r"[^\w.:-]", re.ASCII)
_MANY_BYTES = re.compile(r"[^\x00-\x7f]+")


def match_of(identity: Identity) -> str:
    """Return the part of a rule that holds for one device only.

    Parameters
    ----------
    identity : Identity

    Returns
    -------
    str

    Examples
    --------
    >>> from weighstation.station.devices.identity import Identity
    >>> match_of(Identity(0x0403, 0x6001, serial="A5 0"))
    'ATTRS{idVendor}=="0403", ATTRS{idProduct}=="6001", ATTRS{serial}=="A5?0"'
    >>> match_of(Identity(path="/dev/ttyS0"))
    'KERNEL=="ttyS0"'
    """
    if identity.vendor_id is None or identity.product_id is None:
        return f'KERNEL=="{_literal(Path(identity.path).name)}"'
    parts = [_vendor_and_product(identity)]
    if identity.serial:
        parts.append(f'ATTRS{{serial}}=="{_literal(identity.serial)}"')
    elif identity.location:
        # the place of the device, without the number of its interface
        parts.append(f'KERNELS=="{_literal(identity.location.partition(":")[0])}"')
    return ", ".join(parts)


def ignore_rule(identity: Identity) -> str:
    """Return the rule that keeps ModemManager away from devices of a kind.

    Parameters
    ----------
    identity : Identity
        Of a USB device.

    Returns
    -------
    str
    """
    return f'{_vendor_and_product(identity)}, ENV{{ID_MM_DEVICE_IGNORE}}="1"'


def rules_of(identity: Identity, *, group: str, is_hid: bool = False) -> str:
    """Return the lines of a file of rules for the scale of a station.

    Parameters
    ----------
    identity : Identity
    group : str
        Who may open it.
    is_hid : bool
        It is no serial port.

    Returns
    -------
    str
    """
    kernel = 'KERNEL=="hidraw*"' if is_hid else 'SUBSYSTEM=="tty"'
    lines = ['ACTION=="remove", GOTO="weighstation_end"']
    if identity.vendor_id is not None:
        lines += ["# No modem program is to speak to it.", ignore_rule(identity)]
    lines += [
        f"# The group {group} may open it.",
        f'{kernel}, {match_of(identity)}, GROUP="{group}", MODE="0660"',
        'LABEL="weighstation_end"',
    ]
    return "\n".join(lines) + "\n"


def _vendor_and_product(identity: Identity) -> str:
    return (
        f'ATTRS{{idVendor}}=="{identity.vendor_id:04x}",'
        f' ATTRS{{idProduct}}=="{identity.product_id:04x}"'
    )


def _literal(text: str) -> str:
    """Return a text as a pattern, in which a sign that means something stands for any sign."""
    return "*".join(_NOT_LITERAL.sub("?", part) for part in _MANY_BYTES.split(text))
