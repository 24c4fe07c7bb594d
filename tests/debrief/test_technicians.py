"""The score gives each technician what a master who watched would give."""

import pytest

from sim.debrief.debrief import debrief
from sim.session.opening import open_session

from .technicians import TECHNICIANS

PARTS = ("cause", "proof", "way", "care")


def _within(points, marks):
    least, most = marks
    return least <= points <= most


@pytest.mark.sampled(3)
@pytest.mark.parametrize("each", TECHNICIANS, ids=lambda each: each.name)
def test_a_technician_gets_the_marks_that_a_master_would_give(each):
    session = open_session(each.drill, nonce="")
    each.works(session)
    session.close()
    found = debrief(session)
    points = {part.key: part.points for part in found.parts}

    assert found.outcome == each.outcome, each.why
    for name in PARTS:
        assert _within(points[name], getattr(each, name)), (name, points, each.why)
