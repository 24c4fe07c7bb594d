"""One fault from the start and one that sets in later: the plan hears both, and both are proved."""

import pytest

from sim.authoring.search import find_cause, put_right
from sim.debrief.best_path import best_way
from sim.debrief.debrief import debrief
from sim.diagnosis.dependency import cause_of
from sim.diagnosis.matrix_from_saw import for_role, matrix_for
from sim.diagnosis.stages import RUN
from sim.pilot.autopilot import prove
from sim.session.opening import library_entries, open_session

EARLY, LATE = "stop-from-below", "head-up-wire"
DRILL = "a-touch-short-and-then-it-stands"
BOTH = cause_of(sorted((EARLY, LATE)))

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def matrix():
    scenario = open_session(DRILL, nonce="").scenario
    return for_role(scenario, matrix_for(scenario))


def test_a_drill_hides_one_from_the_start_and_one_that_sets_in_later():
    mixed = [
        name
        for name, scenario in library_entries()
        if len({row.from_the_start for row in scenario.faults}) == 2
    ]

    assert DRILL in mixed


def test_the_report_makes_the_two_together_likelier_than_either_alone(matrix):
    belief = {cause.name: cause.weight for cause in matrix.causes}

    assert belief[BOTH] > 10 * belief[EARLY]
    assert belief[BOTH] > 10 * belief[LATE]


def test_the_best_plan_finds_both_and_names_no_other_first(matrix):
    way = best_way(matrix, BOTH)

    assert way.told_apart
    assert way.ahead == (BOTH,)
    assert not way.misled
    assert RUN in way.columns  # as the operator ran it: the late one sets in then


def _found(*mended):
    """Find both by the plan, put some right, cut a piece and close; return the debrief."""
    session = open_session(DRILL, nonce="")
    assert find_cause(session)[0] == BOTH
    for name in (EARLY, LATE):
        session.diagnose(name)
    for name in mended:
        put_right(session, name)
    prove(session)
    session.close()
    return debrief(session)


def test_who_finds_both_puts_both_right_and_proves_it_has_passed():
    found = _found(EARLY, LATE)
    points = {part.key: part.points for part in found.parts}

    assert found.outcome == "passed"
    assert (points["cause"], points["proof"]) == (40, 20)


@pytest.mark.parametrize("left", [EARLY, LATE])
def test_who_leaves_one_of_them_as_it_was_has_proved_nothing(left):
    found = _found(*({EARLY, LATE} - {left}))
    points = {part.key: part.points for part in found.parts}

    assert found.outcome == "found"
    assert points["proof"] == 0
