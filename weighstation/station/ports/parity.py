"""Seven bits and a parity bit, checked here: a driver would pass on what fails the check unsaid.

Such a character has as many bits on the wire as one of eight bits without parity, so the line is
opened with eight, and the highest bit is the parity.
"""

from __future__ import annotations

from functools import cache

from weighstation.acquire.lines import DAMAGED


@cache
def parity_table(parity: str) -> bytes:
    r"""Return what each byte that was read with eight bits stands for.

    Parameters
    ----------
    parity : str
        ``E`` for an even number of ones, ``O`` for an odd one.

    Returns
    -------
    (256,) bytes
        For `bytes.translate`.

    Examples
    --------
    >>> bytes([0x37, 0xB7]).translate(parity_table("O"))
    b'7\xfe'
    """
    odd = parity == "O"
    return bytes(
        byte & 0x7F if (byte.bit_count() % 2 == 1) is odd else DAMAGED for byte in range(256)
    )
