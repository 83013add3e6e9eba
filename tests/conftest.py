"""Which tests keep to one worker when several run them, and what a busy machine may not fail."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, settings
from workers import group_of

# Other work on the machine makes an example slow: what a law takes is no part of the law.
settings.register_profile("laws", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("laws")


@pytest.hookimpl(tryfirst=True)  # before the runner asks each test for its group
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        group = group_of(item.path)
        if group is not None:
            item.add_marker(pytest.mark.xdist_group(group))
