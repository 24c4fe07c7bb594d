"""The mode switch: half a second at rest, one mode at a time, and no change that starts anything."""

import pytest

from .steps import BEFORE_THE_CUT, STEPS

MODES = ("MANUAL", "MAINTENANCE", "PRODUCTION")
DRIVEN = {"Q1", "Y11", "Y12", "Y21", "Y22", "Y31", "Y32", "Y33", "Y34", "M2", "M3"}
RESTS = ("STOPPED", "IDLE", "COMPLETE", "ABORTED", "HELD")


def bring_to(hands, state):
    """Bring the job to a state, in the mode in which it is brought there."""
    if state in STEPS:
        hands.begin_and_get_to(state)
    elif state == "HELD":
        hands.begin_and_get_to("SHUTTLE_FORWARD")
        hands.tap("job.hold")
        hands.until_job("HELD")
    elif state == "COMPLETE":
        hands.begin_job("square", wanted=1)
        hands.until_job("COMPLETE")
    else:
        hands.set_up()
        hands.ready("square")
        if state == "STOPPED":
            hands.tap("job.stop")
        elif state == "ABORTED":
            hands.press("supply.infeed_stop")
            hands.release("supply.infeed_stop")
            hands.tap("supply.reset")
            hands.tap("supply.control_on")
    hands.wait(0.05)


def test_a_mode_takes_effect_after_half_a_second_at_rest_and_nothing_is_live_between(hands):
    hands.control_on()
    hands.press("mode.production")
    assert hands.state("mode") == "NONE"
    assert [r.device for r in hands.tap("head.raise").refusals] == ["mode"]
    assert "the saw has no mode" in str(hands.tap("head.raise").sentence).lower()
    hands.wait(0.49)
    assert hands.state("mode") == "NONE"
    hands.wait(0.02)

    assert hands.state("mode") == "PRODUCTION"


def test_a_switch_that_is_turned_on_does_not_take_the_mode_in_passing(hands):
    hands.control_on()
    hands.press("mode.maintenance")
    hands.wait(0.4)
    hands.press("mode.production")
    hands.wait(0.4)
    assert hands.state("mode") == "NONE"
    hands.wait(0.2)

    assert hands.state("mode") == "PRODUCTION"


@pytest.mark.parametrize(("tag", "value"), [("S6A", True), ("S6C", False)])
def test_contacts_that_contradict_each_other_are_no_mode(hands, tag, value):
    """Two contacts closed, or none: a broken wire or a welded contact gives no mode at all."""
    hands.control_on()
    hands.turn("PRODUCTION")
    hands.stick(tag, value)
    hands.wait(60)

    assert hands.state("mode") == "NONE"
    assert [r.device for r in hands.tap("head.raise").refusals] == ["mode"]


@pytest.mark.parametrize("to", MODES)
@pytest.mark.parametrize("state", [*RESTS, *STEPS])
def test_no_change_of_mode_starts_anything_from_any_state_of_the_job(hands, state, to):
    bring_to(hands, state)
    if to == hands.state("mode"):
        hands.press("mode.manual")  # there and back again
    before = set(hands.on)
    hands.press(f"mode.{to.lower()}")
    assert hands.on & DRIVEN <= before
    assert hands.on & {"Y12", "Y21", "Y22", "Y11", "Q1"} == set()
    hands.wait(0.6)
    assert hands.state("mode") == to
    assert hands.on & DRIVEN == set()
    hands.wait(60)

    assert hands.on & DRIVEN == set()
    assert hands.job in RESTS


@pytest.mark.parametrize("to", ["MANUAL", "MAINTENANCE"])
@pytest.mark.parametrize("state", RESTS)
def test_a_job_at_rest_keeps_its_state_through_a_change_of_mode(hands, state, to):
    bring_to(hands, state)
    hands.turn(to)
    assert hands.job == state
    hands.turn("PRODUCTION")

    assert hands.job == state


@pytest.mark.parametrize("step", STEPS)
def test_leaving_production_in_a_job_stops_it_raises_nothing_and_ends_stopped(hands, step):
    hands.begin_and_get_to(step)
    hands.press("mode.manual")
    assert hands.on & DRIVEN == set()
    before = hands.places
    hands.until_job("STOPPED")
    hands.wait(60)

    assert hands.places == before

    assert hands.reason == "the mode switch was turned"
    assert hands.on & DRIVEN == set()
    assert hands.saw.controller.job.cut == 0
    if step == "LOWER_HEAD":
        assert hands.state("head") == "BETWEEN"


@pytest.mark.parametrize("key", ["head.raise", "shuttle.back", "cutting_vise.clamp"])
def test_a_held_axis_stops_when_the_mode_changes_and_wants_a_fresh_press(hands, key):
    hands.set_up()
    hands.hold_down("head.lower", 15)
    hands.press(key)
    hands.wait(0.1)
    hands.press("mode.production")
    assert hands.on & DRIVEN == set()
    hands.press("mode.manual")
    hands.wait(1)
    assert hands.on & DRIVEN == set()
    hands.release(key)

    assert hands.press(key).accepted
    assert hands.on & DRIVEN


def test_the_band_stops_when_the_mode_changes(hands):
    hands.set_up()
    hands.palms("band.run")
    hands.wait(3)
    hands.turn("PRODUCTION")

    assert hands.state("band") in ("COASTING", "STOPPED")
    hands.wait(60)
    assert not hands.sees("Q1")


@pytest.mark.parametrize(
    "key",
    [
        "cutting_vise.clamp", "cutting_vise.release", "shuttle_vise.clamp", "shuttle_vise.release",
        "shuttle.back", "shuttle.forward", "head.raise", "head.lower", "band.run",
    ],
)  # fmt: skip
@pytest.mark.parametrize("state", ["IDLE", "SHUTTLE_FORWARD", "HELD"])
def test_movement_keys_are_dead_in_production_and_say_so(hands, state, key):
    bring_to(hands, state)
    before = hands.on
    answer = hands.press(key)

    assert "mode" in [refusal.device for refusal in answer.refusals]
    assert "the job has all parts" in str(answer.sentence)
    assert hands.on == before


@pytest.mark.parametrize("mode", MODES)
def test_slower_faster_and_coolant_are_live_in_every_mode(hands, mode):
    hands.set_up()
    hands.turn(mode)
    hands.press("band.faster")
    assert hands.sees("M2")
    hands.release("band.faster")
    assert hands.tap("coolant.on").accepted
    assert hands.sees("Q3")

    assert hands.tap("coolant.off").accepted


@pytest.mark.parametrize("mode", MODES)
@pytest.mark.parametrize("stop", ["supply.emergency_stop", "supply.infeed_stop"])
def test_the_stops_are_live_in_every_mode(hands, mode, stop):
    hands.set_up()
    hands.turn(mode)
    hands.tap("coolant.on")
    hands.press(stop)

    assert hands.on == set()


def test_job_keys_are_dead_in_maintenance(hands):
    hands.begin_and_get_to("SHUTTLE_FORWARD")
    hands.tap("job.hold")
    hands.until_job("HELD")
    hands.turn("MAINTENANCE")
    hands.press("enable")
    assert not hands.palms("job.unhold").accepted
    hands.tap("job.stop")
    hands.until_job("STOPPED")

    assert [r.device for r in hands.tap("job.reset").refusals] == ["mode"]


# MAINTENANCE ------------------------------------------------------------------------------


@pytest.fixture
def enabled(hands):
    """In MAINTENANCE, the guard open and the enabling device in its middle position."""
    hands.set_up()
    hands.turn("MAINTENANCE")
    hands.set(band__guard="open")
    hands.press("enable")
    return hands


@pytest.mark.parametrize("key", ["head.raise", "shuttle.back", "cutting_vise.clamp", "band.run"])
def test_nothing_moves_in_maintenance_without_the_enabling_device(hands, key):
    hands.set_up()
    hands.turn("MAINTENANCE")
    answer = hands.press(key)

    assert [(r.interlock, r.device) for r in answer.refusals] == [("I18", "S7")]
    assert hands.on & DRIVEN == set()


@pytest.mark.parametrize("key", ["shuttle.back", "head.lower", "cutting_vise.clamp", "band.run"])
def test_letting_the_enabling_device_go_or_pressing_it_through_stops_and_restarts_nothing(
    enabled, key
):
    enabled.press(key)
    enabled.wait(0.05)
    assert enabled.on & DRIVEN
    enabled.release("enable")
    assert enabled.on & DRIVEN == set()
    enabled.press("enable")
    enabled.wait(5)

    assert enabled.on & DRIVEN == set()


def test_one_part_moves_at_a_time(enabled):
    assert enabled.press("shuttle.back").accepted
    answer = enabled.press("head.raise")

    assert [(r.interlock, r.device) for r in answer.refusals] == [("I18", "shuttle")]
    enabled.release("shuttle.back", "head.raise")
    assert enabled.press("head.raise").accepted


def test_everything_creeps_with_the_creep_valve_shut(enabled):
    assert "Y13" not in enabled.on
    plant, machine = enabled.saw.plant, enabled.machine
    enabled.press("shuttle.back")
    enabled.wait(1)
    enabled.release("shuttle.back")

    assert plant.shuttle.place.position == pytest.approx(machine.creep_share * machine.shuttle_m_s)


def test_a_jog_of_the_band_ends_after_0_3_s_and_at_once_when_let_go(enabled):
    enabled.press("band.run")
    enabled.wait(0.29)
    assert enabled.sees("Q1")
    enabled.wait(0.02)
    assert not enabled.sees("Q1")
    enabled.wait(30)
    assert not enabled.sees("Q1")
    enabled.release("band.run")
    assert enabled.press("band.run").accepted
    enabled.wait(0.1)
    enabled.release("band.run")

    assert not enabled.sees("Q1")


def test_a_jog_needs_the_variator_at_its_lowest(hands):
    hands.set_up()
    hands.band_speed(60)
    hands.turn("MAINTENANCE")
    hands.press("enable")
    answer = hands.press("band.run")

    assert [(r.interlock, r.device) for r in answer.refusals] == [("I18", "B3")]
    assert not hands.sees("Q1")


def test_with_the_guard_open_the_band_jogs_in_maintenance_and_runs_in_no_other_mode(enabled):
    assert enabled.press("band.run").accepted
    enabled.wait(5)
    enabled.release("band.run", "enable")
    enabled.turn("MANUAL")

    assert [r.device for r in enabled.tap("band.run").refusals] == ["B41"]
    assert enabled.state("band") == "STOPPED"


def test_the_band_never_gets_to_speed_in_a_jog(enabled):
    enabled.press("band.run")
    enabled.until(lambda: not enabled.sees("Q1"))
    most_m_s = enabled.saw.plant.band.speed_m_s
    enabled.wait(10)

    assert most_m_s < enabled.machine.band_low_m_s
    assert not enabled.sees("B2")


@pytest.mark.parametrize("step", BEFORE_THE_CUT)
def test_a_job_held_and_looked_after_in_maintenance_stays_held(hands, step):
    hands.begin_and_get_to(step)
    hands.tap("job.hold")
    hands.until_job("HELD")
    hands.turn("MAINTENANCE")
    hands.press("enable")
    hands.hold_down("head.raise", 0.2)
    hands.release("enable")

    assert hands.job == "HELD"
