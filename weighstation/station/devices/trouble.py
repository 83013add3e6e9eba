"""Why a device cannot be opened, or may misbehave, and what mends that."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Trouble:
    """Something that is wrong with a device.

    Parameters
    ----------
    says : str
        What is wrong.
    cure : str
        What to do about it, in plain sentences.
    commands : tuple of str
        What to type for that, in this order; often nothing.
    """

    says: str
    cure: str
    commands: tuple[str, ...] = ()
