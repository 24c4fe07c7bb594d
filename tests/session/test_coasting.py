"""A band that coasts in the cut while a head without control power sinks on: it cuts, and breaks no tooth."""

import pytest

from sim.pilot.autopilot import again, begin, power_up, set_up
from sim.session.before.keys import wait_until
from sim.session.opening import read, session_for
from sim.units import MM


def in_the_cut(name, machine_sinks):
    scenario, _ = read(name)
    changes = {"faults": (), "found": {}, "mode": "drill", "steps": ()}
    session = session_for(scenario.model_copy(update=changes), nonce="")
    assert session.machine.head_sinks is machine_sinks
    power_up(session)
    set_up(session)
    begin(session)
    head = session.saw.plant.head
    wait_until(session, lambda: head.cutting is not None, 600)
    session.advance(head.cutting.table.duration_s * 0.5)
    return session


def depth_m(session):
    plant = session.saw.plant
    return plant.bar.height_m - plant.head.place.position


@pytest.mark.parametrize("name", ["rail-posts", "11-thin-wall", "12-bundles"])
@pytest.mark.parametrize("stop", ["emergency stop", "isolator"])
def test_a_stop_in_the_cut_saws_on_for_its_coasting_and_strips_nothing(name, stop):
    session = in_the_cut(name, machine_sinks=True)
    before_m = depth_m(session)
    if stop == "isolator":
        session.release("supply.isolator")
    else:
        session.press("supply.emergency_stop")
    session.advance(session.machine.coast_s + 1.0)
    after_m = depth_m(session)
    session.advance(60.0)

    assert after_m - before_m > 0.5 * MM
    assert depth_m(session) == after_m
    assert session.saw.plant.bar.kerf_depth_m == pytest.approx(after_m)
    assert not session.saw.consequences


def test_a_stop_in_the_cut_and_the_piece_that_follows_tell_of_no_harm():
    session = in_the_cut("rail-posts", machine_sinks=True)
    session.press("supply.emergency_stop")
    session.advance(10.0)
    session.release("supply.emergency_stop")
    again(session, 1)

    assert session.tally.good == 1
    assert not session.saw.consequences
