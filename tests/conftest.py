"""Which tests keep to one worker when several run them."""

from __future__ import annotations

import pytest

IN_REAL_TIME = ("end_to_end", "faults")
"""Folders whose tests wait on real lines and processes: two of one folder at once disturb each
other, while another worker fills the waiting with tests that only reckon."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        folder = item.path.parent.name
        if folder in IN_REAL_TIME:
            item.add_marker(pytest.mark.xdist_group(folder))
