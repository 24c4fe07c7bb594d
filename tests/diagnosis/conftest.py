"""A matrix is found by two processes here, as it ships."""

import pytest

from sim.diagnosis import halves

_AS_IT_SHIPS = halves._may_fork


@pytest.fixture(autouse=True)
def _forks(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(halves, "_may_fork", _AS_IT_SHIPS)
