"""The names of the whole package, each from a room of its own."""

from __future__ import annotations

import pytest

from weighstation import plan


def test_every_name_is_found_in_one_module() -> None:
    late = [name for names in plan._MODULES.values() for name in names]

    assert sorted(plan.__all__) == sorted(late)
    assert all(getattr(plan, name) is not None for name in plan.__all__)


def test_a_name_that_is_none_is_refused() -> None:
    with pytest.raises(AttributeError, match="no attribute 'ready_dough'"):
        plan.__getattr__("ready_dough")
