"""Of a debrief, tests of safety ask what happened to hands, not what it believes of causes."""

import pytest


@pytest.fixture(scope="module", autouse=True)
def _weighed_with_few(weighed_with_few):
    return weighed_with_few
