"""Who follows the best plan to the letter pays what the plan pays, and has all points for the way."""

import pytest

from sim.authoring.search import find_cause
from sim.debrief.best_path import ways
from sim.debrief.debrief import debrief
from sim.diagnosis.dependency import faults_of
from sim.session.opening import open_session

POWERED = ("trips-while-it-stands", "goes-back-and-stays-there", "jaw-closes-and-no-more")


def followed(drill):
    session = open_session(drill)
    for name in faults_of(find_cause(session)[0]):
        session.diagnose(name)
    return session


@pytest.mark.parametrize("drill", POWERED)
def test_the_plan_pays_for_a_power_up_what_the_trainee_pays(drill):
    both = ways(followed(drill))

    assert [str(leg.title) for leg in both.taken] == [str(leg.title) for leg in both.best]
    assert any(str(leg.title).startswith("Power up") for leg in both.best)
    assert [leg.cost_s for leg in both.taken] == pytest.approx([leg.cost_s for leg in both.best])
    assert not both.quicker


@pytest.mark.parametrize("drill", POWERED)
def test_who_does_as_the_plan_does_has_all_points_for_the_way(drill):
    way = next(part for part in debrief(followed(drill)).parts if part.key == "way")

    assert way.points == way.of == 30
    assert "looks for every possible cause" not in str(way.reason)


@pytest.mark.parametrize("wait_s", [0, 30, 300])
def test_a_power_up_costs_the_same_however_long_somebody_reads_after_it(wait_s):
    session = open_session("trips-while-it-stands")
    session.press("supply.isolator")
    session.tap("supply.reset")
    session.tap("supply.control_on")
    session.hold("head.raise", 2)
    session.advance(wait_s)
    session.inspect("output-lamps")
    session.diagnose(session.hidden[0].name)

    assert ways(session).taken_s == pytest.approx(10 + 0.2 + 30 + 60, abs=0.1)
