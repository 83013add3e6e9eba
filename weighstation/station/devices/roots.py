"""Where the system tells of itself."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Roots:
    """The folders that are looked into; those of this machine if nothing else is said.

    Parameters
    ----------
    proc : Path
        Of processes.
    dev : Path
        Of devices.
    sysfs : Path
        Of what the kernel knows of devices.
    run : Path
        Of what other programs know now.
    rules : Path
        Of rules for devices that came with programs.
    """

    proc: Path = Path("/proc")
    dev: Path = Path("/dev")
    sysfs: Path = Path("/sys")
    run: Path = Path("/run")
    rules: Path = Path("/usr/lib/udev/rules.d")

    @property
    def locks(self) -> Path:
        """Where terminal programs leave their lock files."""
        return self.run / "lock"
