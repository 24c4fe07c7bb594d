"""Guard locking against ISO 14119 and ISO 14120.

Nobody here has read these standards. FOUND: where stopping takes longer than reaching, an interlock must be joined by a
lock (public pages on ISO 13855 and 14119). MEMORY: the lock stays until the hazard is over, known by
standstill and not guessed by a time alone; locks by spring and unlocked by power stay locked when power
fails; opening gives a stop; closing gives no start; a lock does not trap people, who are outside.
"""

import pytest

from sim.session.opening import open_session

from .test_standard_guard_distance import (
    NEAR_M,
    SAWS,
    coasting_s,
    least_distance_m,
    running_at_top_speed,
)

DOORS = ("band.guard", "band.wheel_cover")


def powered(saw="harbour-saw"):
    session = open_session("rail-posts", machine=saw)
    session.press("supply.isolator")
    session.tap("supply.reset")
    session.tap("supply.control_on")
    return session


def runs(session):
    session.hold("head.raise", 8)
    session.palms("band.run")
    session.advance(5)
    assert session.saw.plant.band.turning
    return session


@pytest.mark.parametrize("door", DOORS)
def test_it_is_locked_while_the_band_runs(door):
    # MEMORY: guard locking prevents opening until the hazard has passed.
    session = runs(powered())

    assert not session.set(door, "open").taken
    assert session.saw.read(door) == "closed"
    assert session.saw.plant.band.turning  # a guard that holds needs no stop


@pytest.mark.parametrize("door", DOORS)
def test_the_lock_asks_the_band_and_not_its_sensor(door):
    # MEMORY: a single fault must not open it; here the wire of B1 is cut and reads rest.
    session = runs(powered())
    session.saw.bus.distort("B1", lambda _driven: False)
    session.saw.bus.settle()

    assert not session.set(door, "open").taken


@pytest.mark.parametrize("door", DOORS)
def test_a_stop_alone_does_not_unlock_it_and_standstill_does(door):
    session = runs(powered())
    session.tap("band.stop")
    assert not session.set(door, "open").taken
    session.advance(session.machine.coast_s + 1)

    assert session.set(door, "open").taken


@pytest.mark.parametrize("door", DOORS)
@pytest.mark.parametrize("lost", ["isolator", "running"])
def test_without_power_it_stays_locked_for_good(door, lost):
    # MEMORY: spring to lock, power to unlock.
    session = runs(powered()) if lost == "running" else powered()
    session.release("supply.isolator")
    for _ in range(5):
        assert not session.set(door, "open").taken
        session.advance(60)

    assert session.saw.read(door) == "closed"
    session.press("supply.isolator")
    session.tap("supply.reset")
    assert session.set(door, "open").taken


@pytest.mark.parametrize("door", DOORS)
def test_opened_before_the_power_goes_it_stays_open_and_can_be_shut(door):
    session = powered()
    assert session.set(door, "open").taken
    session.release("supply.isolator")
    session.advance(600)

    assert session.saw.read(door) == "open"
    assert session.set(door, "closed").taken
    assert not session.set(door, "open").taken


@pytest.mark.parametrize("door", DOORS)
def test_no_force_opens_it(door):
    # MEMORY: the lock hangs in the safety circuit and not on the controller.
    session = runs(powered())
    for tag, value in (("B1", False), ("B41", False), ("B42", False), ("Q1", True)):
        session.bench.force(tag, value)
        assert not session.set(door, "open").taken
        session.bench.force(tag, None)


@pytest.mark.parametrize("door", DOORS)
def test_opening_keeps_the_band_from_starting_and_closing_starts_nothing(door):
    # MEMORY: opening gives a stop, and closing by itself no start.
    session = powered()
    session.hold("head.raise", 8)
    session.set(door, "open")
    answer = session.palms("band.run")
    assert answer is not None
    assert not answer.accepted
    session.set(door, "closed")
    session.advance(600)

    assert session.saw.plant.band.speed_m_s == 0


@pytest.mark.parametrize("saw", SAWS)
@pytest.mark.parametrize("door", DOORS)
def test_it_stays_locked_until_nothing_is_left_to_stop(saw, door):
    session = running_at_top_speed(saw)
    session.tap("band.stop")
    band = session.saw.plant.band
    looks = 0
    while not session.set(door, "open").taken:
        assert session.saw.read(door) == "closed"
        session.advance(0.05)
        looks += 1
        assert looks < 2000

    assert looks > 0
    # Whoever pulls at the moment that the lock lets go finds no tooth that still runs when a hand is there.
    left_s = coasting_s(session, 0.001)
    assert least_distance_m(left_s, 0.0) <= session.machine.guard_reach_m + NEAR_M
    assert not band.turning
    assert session.saw.read(door) == "open"
