"""Of a debrief, tests of safety ask what happened to hands, not what it believes of causes."""

import pytest

from tests.debrief.eventful import FEW, few_causes

HIDDEN = "bundle-clamp-up"  # in the one drill that a row begins from


@pytest.fixture(scope="module", autouse=True)
def _weighed_with_few():
    with few_causes((*FEW, HIDDEN)):
        yield
