"""A person whom rights bind, where the administrator runs the tests."""

from __future__ import annotations

import os
import shutil

import pytest


def bound_by_rights() -> tuple[str, ...]:
    """Return what to put before a command so that rights bind the administrator too."""
    if os.getuid() != 0:
        return ()
    tool = shutil.which("setpriv")
    if tool is None:
        pytest.skip("rights do not bind the administrator, and there is no setpriv")
    return (tool, "--bounding-set=-dac_override,-dac_read_search")
