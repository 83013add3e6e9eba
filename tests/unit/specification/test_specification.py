"""The package gives every name that it promises, and imports it when it is first asked for."""

from __future__ import annotations

import pytest

from weighstation import specification


@pytest.mark.parametrize("name", specification.__all__)
def test_every_promised_name_is_there(name: str) -> None:
    assert getattr(specification, name) is not None


def test_every_name_that_is_imported_late_is_promised() -> None:
    late = [name for names in specification._MODULES.values() for name in names]

    assert sorted(specification.__all__) == sorted(late)


def test_another_name_is_no_attribute() -> None:
    with pytest.raises(AttributeError, match="has no attribute 'Bread'"):
        specification.Bread  # noqa: B018 - asking is the test
