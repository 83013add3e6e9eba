"""The commands: words in, one run of the station out.

Nothing heavy is imported before a command is chosen, and every way of going wrong leaves one plain
sentence on standard error.
"""

from __future__ import annotations

from weighstation.cli import baking, machine, office  # noqa: F401 - their commands join the app
from weighstation.cli.bench import app

__all__ = ["app"]
