"""Which tests keep to one worker when several run them."""

from __future__ import annotations

import pytest
from workers import group_of


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        group = group_of(item.path)
        if group is not None:
            item.add_marker(pytest.mark.xdist_group(group))
