"""The key of the mode switch: while it is out nobody starts or moves anything, and nothing comes back with it."""

import pytest

from sim.control.actions import BY_NAME
from sim.pilot.autopilot import power_up
from sim.pilot.locking import lock_out
from sim.plant.mode_key import IN_POCKET, IN_SWITCH
from sim.session.locking import locking_out
from sim.session.opening import open_session

KEYS = [
    name
    for name, action in BY_NAME.items()
    if action.moves or name.startswith(("job.start", "job.unhold"))
]


def drawn(mode="manual"):
    session = open_session("rail-posts")
    power_up(session)
    session.hold("head.raise", 8)
    session.turn(mode)
    session.set("mode.key", IN_POCKET)
    return session


@pytest.mark.parametrize("mode", ["manual", "maintenance", "production"])
@pytest.mark.parametrize("key", KEYS)
def test_with_the_key_in_a_pocket_no_key_moves_or_starts_anything(mode, key):
    session = drawn(mode)
    before = session.saw.plant.head.place.position
    if mode == "maintenance":
        session.press("enable")
    answer = session.palms(key)

    assert answer is not None
    assert not answer.accepted
    session.hold(key, 2)
    axes = [
        session.saw.plant.cutting_vise.jaw,
        session.saw.plant.shuttle_vise.jaw,
        session.saw.plant.shuttle.place,
    ]
    assert not any(axis.moving for axis in axes)
    assert session.saw.plant.head.place.position == before
    assert session.saw.plant.band.motor.position == 0.0


def test_drawing_the_key_stops_a_running_band_and_putting_it_back_starts_nothing():
    session = drawn()
    session.set("mode.key", IN_SWITCH)
    session.palms("band.run")
    session.advance(3)
    assert session.saw.plant.band.motor.position > 0.0
    session.set("mode.key", IN_POCKET)
    session.advance(10)

    assert session.saw.plant.band.motor.position == 0.0
    session.set("mode.key", IN_SWITCH)
    session.advance(5)
    assert session.saw.controller.image["mode"] == "MANUAL"
    assert session.saw.plant.band.motor.position == 0.0


@pytest.mark.parametrize("machine", ["harbour-saw", "quay-saw"])
def test_a_try_with_the_key_out_proves_nothing_and_does_not_count(machine):
    session = open_session("rail-posts", machine=machine)
    lock_out(session, "lock-air")
    for relief in ("head", "cutting_vise", "shuttle_vise"):
        session.set(f"{relief}.oil_relief", "open")
    session.set("mode.key", IN_POCKET)
    assert not session.lockout.wanting
    assert "With the key of the mode switch out" in str(session.lockout.stands)
    answer = session.lock_out("verify")

    assert not answer.taken
    assert "Put it in, try" in str(answer.message)
    assert not session.lockout.verified

    session.set("mode.key", IN_SWITCH)
    assert session.lock_out("verify").taken
    session.set("mode.key", IN_POCKET)
    assert session.lockout.verified


@pytest.mark.parametrize("until", ["verify", "prove-dead"])
def test_the_way_of_a_lock_out_puts_a_drawn_key_in_for_the_try(until):
    session = drawn()
    typed = [act.typed for act in locking_out(session, until=until)]
    assert f"set mode.key {IN_SWITCH}" in typed[typed.index("lockout lock-air") :]
    lock_out(session, until)

    assert session.lockout.verified


@pytest.mark.parametrize("forced", [False, True])
def test_a_key_in_the_pocket_protects_nobody_while_a_contact_of_its_switch_is_forced(forced):
    session = drawn()
    if forced:
        session.bench.force("S6A", True)
    session.set("shuttle.stop_mm", 240)

    assert bool(session.hands.exposures) is forced


@pytest.mark.parametrize("enabled", [True, False])
def test_a_jog_at_an_open_cover_is_no_harm_while_the_enabling_device_is_held(enabled):
    session = open_session("rail-posts")
    power_up(session)
    session.hold("head.raise", 8)
    session.palms("band.run")
    session.advance(3)
    session.hold("band.slower", 5)
    session.tap("band.stop")
    session.advance(20)
    session.turn("maintenance")
    session.set("band.wheel_cover", "open")
    if enabled:
        session.press("enable")
    else:
        session.bench.force("S7", True)
    answer = session.press("band.run")
    session.advance(0.5)

    assert answer is not None
    assert answer.accepted
    assert session.saw.plant.band.turning
    assert [c.kind for c in session.saw.consequences] == (
        [] if enabled else ["band-set-going-uncovered"]
    )
