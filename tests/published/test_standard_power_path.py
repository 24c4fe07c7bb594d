"""Stop categories, contactor feedback and loss of supply, against what is said of IEC 60204-1 and ISO 13850.

Nobody here has read these standards. FOUND, on public pages on safety relays: two channels of normally
closed contacts that are compared; a deliberate reset; mirror contacts of both contactors in series with
the reset, so that a welded one stops nothing from stopping and everything from starting again. FOUND:
category 0 takes the power off the actuators at once, category 2 keeps it. MEMORY: after undervoltage or
an interruption nothing starts by itself (7.5).
"""

import pytest

from sim.faults.catalogue import CATALOGUE
from sim.pilot.autopilot import begin, make_ready, power_up
from sim.session.opening import open_session
from sim.signals import OUTPUTS

WELDED = sorted(name for name in CATALOGUE if "weld" in name)


def powered(saw=""):
    session = open_session("rail-posts", machine=saw)
    session.press("supply.isolator")
    back_on(session)
    session.hold("head.raise", 8)
    return session


def back_on(session):
    session.tap("supply.reset")
    session.tap("supply.control_on")


def runs(saw=""):
    session = powered(saw)
    session.palms("band.run")
    session.advance(5)
    assert session.saw.plant.band.turning
    return session


def places(session):
    """Everything that oil, air or a motor moves; the head is left out, for its weight moves it too."""
    plant = session.saw.plant
    return (
        plant.shuttle.place.position,
        plant.cutting_vise.jaw.position,
        plant.shuttle_vise.jaw.position,
        plant.bar.front_m,
        plant.band.dial.position,
    )


def dead(session, seconds=30.0):
    """Return whether nothing is driven: the band does not turn, the pump gives nothing, nothing moves."""
    session.advance(session.machine.coast_s + 1)
    before = places(session)
    session.advance(seconds)
    plant = session.saw.plant
    return plant.band.speed_m_s == 0 and not plant.supply.oil and places(session) == before


STOPS = {
    "emergency stop at the console": lambda session: session.press("supply.emergency_stop"),
    "emergency stop at the infeed": lambda session: session.press("supply.infeed_stop"),
    "isolator": lambda session: session.release("supply.isolator"),
}
both_saws = pytest.mark.parametrize("saw", ["harbour-saw", "quay-saw"])
stops = pytest.mark.parametrize("stop", STOPS.values(), ids=STOPS)


@stops
def test_category_0_takes_the_power_off_and_the_band_coasts(stop):
    # FOUND: an uncontrolled stop; power to the actuators is removed at once.
    session = runs()
    stop(session)

    assert session.saw.plant.band.turning
    assert not session.saw.plant.supply.oil
    assert dead(session)


@stops
@pytest.mark.parametrize("tag", [*OUTPUTS, "S1", "S9", "Q0"])
def test_no_force_keeps_an_actuator_fed_behind_a_stop(stop, tag):
    # MEMORY: safety functions do not run through the controller; what is forced there changes nothing.
    session = runs()
    session.bench.force(tag, True)
    stop(session)

    assert dead(session)


@stops
@pytest.mark.parametrize("tag", OUTPUTS)
def test_no_force_moves_anything_while_the_stop_holds(stop, tag):
    session = powered()
    stop(session)
    session.advance(300)
    session.bench.force(tag, True)

    assert dead(session)


def test_one_contact_of_an_emergency_stop_that_never_opens_does_not_keep_the_power_on():
    # FOUND: two channels. The controller's wire of S1 stands for neither of them.
    session = runs()
    session.saw.bus.distort("S1", lambda _driven: True)
    session.press("supply.emergency_stop")

    assert dead(session)


@stops
def test_letting_a_stop_go_only_permits_to_start_again(stop):
    # FOUND: disengaging must not restart.
    session = runs()
    stop(session)
    session.advance(60)
    session.press("supply.isolator")
    session.release("supply.emergency_stop", "supply.infeed_stop")

    assert dead(session)


def test_a_reset_acts_when_its_key_comes_up_and_not_while_it_is_jammed():
    # MEMORY: monitored reset, by the falling edge (ISO 13849-1, 5.2.2).
    session = powered()
    session.press("supply.emergency_stop")
    session.press("supply.reset")
    session.release("supply.emergency_stop")
    session.tap("supply.control_on")
    session.advance(5)
    assert not session.saw.plant.supply.oil
    session.release("supply.reset")
    session.tap("supply.control_on")
    session.advance(1)

    assert session.saw.plant.supply.oil


def test_there_is_a_welded_contactor_to_be_found():
    assert {"main-contactor-q11-welded", "main-contactor-q12-welded"} <= set(WELDED)


@both_saws
@pytest.mark.parametrize("fault", WELDED)
def test_a_welded_contactor_keeps_no_stop_from_stopping(fault, saw):
    # FOUND: the other contactor in series still opens.
    session = runs(saw)
    session.instructor.put_in(fault)
    session.press("supply.emergency_stop")

    assert dead(session)


@both_saws
@pytest.mark.parametrize("fault", WELDED)
def test_what_sticks_behind_a_welded_contactor_is_stopped_by_the_other(fault, saw):
    # FOUND: two in series. Without the second, a band contactor that sticks would run the band on.
    session = runs(saw)
    session.instructor.put_in(fault)
    session.saw.plant.seize("Q1", True)
    session.press("supply.emergency_stop")

    assert dead(session)


@both_saws
@pytest.mark.parametrize("fault", WELDED)
def test_a_welded_contactor_keeps_the_power_from_coming_back(fault, saw):
    # FOUND: its mirror contact stays open, and so the loop of the reset.
    session = runs(saw)
    session.instructor.put_in(fault)
    session.press("supply.emergency_stop")
    session.advance(60)
    session.release("supply.emergency_stop")
    back_on(session)
    session.palms("band.run")

    assert dead(session)


@both_saws
@pytest.mark.parametrize("fault", WELDED)
def test_a_sound_pair_of_contactors_comes_back_by_the_same_keys(fault, saw):
    session = runs(saw)
    session.press("supply.emergency_stop")
    session.advance(60)
    session.release("supply.emergency_stop")
    back_on(session)
    session.advance(1)
    assert session.saw.plant.supply.oil
    session.instructor.put_in(fault)
    session.press("supply.emergency_stop")
    session.advance(60)
    session.release("supply.emergency_stop")
    back_on(session)
    session.advance(1)

    assert not session.saw.plant.supply.oil


def test_category_2_keeps_the_power_while_nothing_moves():
    # FOUND: a controlled stop, power kept: the hold of a job, which therefore protects nobody.
    session = open_session("rail-posts")
    power_up(session)
    make_ready(session)
    begin(session)
    session.advance(4)
    session.tap("job.hold")
    session.advance_until(lambda: session.saw.controller.job.state == "HELD", 600_000_000)

    assert session.saw.controller.job.state == "HELD"
    assert session.saw.plant.supply.oil
