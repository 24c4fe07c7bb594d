"""Who follows the best plan to the letter has all points for the way, and was neither quicker nor dearer."""

import pytest

from sim.authoring.search import find_cause
from sim.debrief.best_path import ways, whole_s
from sim.debrief.debrief import debrief
from sim.diagnosis.dependency import faults_of
from sim.session.opening import open_session

# Each plan powers up and goes on to a look; the first meters beside the head.
POWERED = ("trips-while-it-stands", "goes-back-and-stays-there", "jaw-closes-and-no-more")


def followed(drill):
    session = open_session(drill)
    for name in faults_of(find_cause(session)[0]):
        session.diagnose(name)
    return session


@pytest.mark.sampled(3)
@pytest.mark.parametrize("drill", POWERED)
def test_a_power_up_made_whole_has_the_price_that_it_has_in_the_plan(drill):
    both = ways(followed(drill))

    assert [str(leg.title) for leg in both.taken] == [str(leg.title) for leg in both.best]
    assert any(str(leg.title).startswith("Power up") for leg in both.best)
    assert whole_s(both.taken) == pytest.approx(both.best_s)
    assert both.taken_s <= both.best_s
    assert not both.quicker


@pytest.mark.parametrize("drill", POWERED)
def test_who_does_as_the_plan_does_has_all_points_for_the_way(drill):
    way = next(part for part in debrief(followed(drill)).parts if part.key == "way")

    assert way.points == way.of == 30
    assert "looks for every possible cause" not in str(way.reason)
