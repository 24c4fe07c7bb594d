"""A killed session has lost nothing that it had acknowledged; `kills` is the long run."""

import os

import pytest

from .kills import kill


@pytest.mark.slow
@pytest.mark.skipif(not hasattr(os, "fork"), reason="forks")
def test_sessions_that_are_killed_lose_no_acknowledged_act():
    found = kill(24, seed=2)

    assert found.acknowledged > 200
    assert found.rescued >= 1
    assert (found.lost, found.unreadable, found.otherwise) == (0, 0, 0)
