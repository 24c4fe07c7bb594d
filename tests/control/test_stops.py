"""What stops the saw: drive stop, guards, wander, lost grip, lost speed; and that nothing restarts."""

import pytest

from sim.signals import BY_KEY, Source

STEPS = (
    "GRIP_FOR_TRIM",
    "FREE_SHUTTLE_VISE",
    "SHUTTLE_TO_STOP",
    "GRIP_SHUTTLE_VISE",
    "FREE_CUTTING_VISE",
    "SHUTTLE_TO_BLADE",
    "GRIP_CUTTING_VISE",
    "BAND_TO_SPEED",
    "LOWER_HEAD",
    "LIFT_HEAD",
)
MOTION = {"Q1", "Y11", "Y12", "Y21", "Y22"}


def stop_everything(hands, how):
    if how == "isolator":
        hands.release("supply.isolator")
    else:
        hands.press("supply.emergency_stop")


def come_back(hands, how):
    if how == "isolator":
        hands.press("supply.isolator")
    else:
        hands.release("supply.emergency_stop")


# Loss of control power (I1, I2, I14) -------------------------------------------------------


@pytest.mark.parametrize("how", ["isolator", "emergency stop"])
@pytest.mark.parametrize("step", STEPS)
def test_in_every_step_loss_of_control_power_takes_every_output_and_none_returns(hands, step, how):
    hands.begin_and_get_to(step)
    stop_everything(hands, how)

    assert hands.on == set()
    assert hands.job == "ABORTED"
    assert hands.step == "PARKED"
    assert hands.reason == f"the {how} was " + ("switched off" if how == "isolator" else "pressed")
    hands.wait(30)
    assert hands.on == set()
    come_back(hands, how)
    hands.wait(30)
    assert hands.on == set()
    assert hands.job == "ABORTED"

    shuttle_m, head_m, front_m, *_ = hands.places
    hands.start("supply.control_on")
    hands.wait(60)
    assert hands.on == {"K1", "Q2"}
    assert hands.job == "STOPPED"
    assert hands.places[:3] == (shuttle_m, head_m, front_m)
    assert hands.state("band") == "STOPPED"


@pytest.mark.parametrize("step", ["SHUTTLE_TO_BLADE", "LOWER_HEAD"])
def test_after_an_emergency_stop_the_job_begins_only_from_the_beginning(hands, step):
    hands.begin_and_get_to(step)
    stop_everything(hands, "emergency stop")
    come_back(hands, "emergency stop")
    hands.start("supply.control_on")

    assert "Arm the job first" in str(hands.start("job.begin_on_piece").sentence)
    hands.arm()
    hands.tap("head.hand")
    hands.press("head.lift")
    hands.until(lambda: hands.sees("B11"))
    hands.release("head.lift")
    hands.arm()
    hands.begin("trim")
    assert hands.step in ("BAND_TO_SPEED", "GRIP_FOR_TRIM")


@pytest.mark.parametrize(
    "held", ["band.faster", "head.lower", "head.lift", "shuttle.to_stop", "cutting_vise.grip"]
)
def test_a_key_held_through_a_loss_of_power_moves_nothing_when_it_returns(hands, held):
    hands.set_up()
    hands.start("band.start")
    hands.wait(3)
    hands.press(held)
    hands.wait(0.1)
    stop_everything(hands, "emergency stop")
    come_back(hands, "emergency stop")
    hands.start("supply.control_on")

    assert hands.on == {"K1", "Q2"}


def test_an_emergency_stop_pressed_before_control_on_blocks_it(hands):
    hands.press("supply.emergency_stop", "supply.isolator")
    answer = hands.start("supply.control_on")

    assert [refusal.device for refusal in answer.refusals] == ["S1"]
    hands.release("supply.emergency_stop")
    assert hands.on == set()
    assert hands.start("supply.control_on").accepted


def test_switching_the_isolator_off_and_on_does_not_forget_a_latched_emergency_stop(hands):
    hands.control_on()
    hands.press("supply.emergency_stop")
    hands.release("supply.isolator")
    hands.press("supply.isolator")

    assert not hands.start("supply.control_on").accepted
    assert hands.on == set()


def test_control_on_with_the_isolator_off_is_refused_and_says_why(hands):
    answer = hands.start("supply.control_on")

    assert [refusal.device for refusal in answer.refusals] == ["Q0"]
    assert hands.state("supply") == "DEAD"


def test_the_fresh_saw_gives_no_reason_for_a_stop_that_never_was(hands):
    hands.control_on()

    assert hands.reason == ""
    assert hands.job == "STOPPED"


def test_a_band_sensor_that_closes_without_power_does_not_arm_the_coolant(hands):
    hands.set_up()
    hands.arm()
    stop_everything(hands, "emergency stop")
    hands.stick("B1", True)
    come_back(hands, "emergency stop")
    hands.start("supply.control_on")

    assert hands.on == {"K1", "Q2"}


def test_coolant_that_flowed_by_hand_stays_off_after_a_loss_of_power(hands):
    hands.control_on()
    hands.tap("coolant.flow")
    stop_everything(hands, "emergency stop")
    come_back(hands, "emergency stop")
    hands.start("supply.control_on")

    assert hands.on == {"K1", "Q2"}


def test_the_supply_knows_its_isolator_and_its_emergency_stop_without_control_power(hands):
    hands.press("supply.isolator")
    assert hands.state("supply") == "OFF"
    hands.press("supply.emergency_stop")
    assert hands.state("supply") == "EMERGENCY"
    hands.release("supply.isolator")
    assert hands.state("supply") == "DEAD"
    hands.release("supply.emergency_stop")
    hands.press("supply.isolator")
    assert hands.state("supply") == "OFF"
    hands.release("supply.isolator")

    assert hands.state("supply") == "DEAD"


# Drive stop, guards and the rest of I3 ------------------------------------------------------

TRIPS = {
    "B41": "the band guard was opened",
    "B42": "the wheel cover was opened",
    "B51": "the band lost its tension",
}


def test_the_drive_stop_drops_the_band_alone_and_latches(hands):
    hands.begin_job("piece")
    hands.until_in_metal()
    hands.tap("supply.drive_stop")

    assert not hands.sees("Q1")
    assert {"K1", "Q2"} <= hands.on
    assert hands.state("band") == "TRIPPED"
    assert hands.reason == "the drive stop was pressed"
    hands.until_job("STOPPED")
    assert hands.sees("B11")
    assert "The band fault is latched" in str(hands.start("job.begin_on_piece").sentence)


@pytest.mark.parametrize("step", STEPS)
def test_the_drive_stop_stops_the_job_at_every_step_and_reset_restarts_nothing(hands, step):
    hands.begin_and_get_to(step)
    hands.tap("supply.drive_stop")
    assert hands.on & (MOTION - {"Y11"}) == set()
    hands.until_job("STOPPED")
    hands.wait(5)
    places = hands.places
    assert hands.tap("supply.reset").accepted
    hands.wait(60)

    assert hands.state("band") == "STOPPED"
    assert hands.job == "STOPPED"
    assert hands.on & MOTION == set()
    assert hands.places == places


@pytest.mark.parametrize("step", STEPS)
def test_the_band_stop_key_stops_the_job_at_every_step(hands, step):
    hands.begin_and_get_to(step)
    assert hands.tap("band.stop").accepted
    assert not hands.sees("Q1")
    hands.until_job("STOPPED")

    assert hands.state("band") in ("STOPPED", "COASTING")
    assert hands.on & MOTION == set()


def test_the_band_stop_key_ends_a_job_that_is_held(hands):
    hands.begin_and_get_to("SHUTTLE_TO_BLADE")
    hands.tap("job.hold")
    hands.tap("band.stop")

    assert hands.job == "STOPPED"


def test_the_drive_stop_held_in_keeps_the_band_from_starting(hands):
    hands.control_on()
    hands.press("supply.drive_stop")
    hands.tap("supply.reset")
    assert [r.device for r in hands.start("band.start").refusals] == ["S2"]
    hands.release("supply.drive_stop")

    assert hands.start("band.start").accepted


@pytest.mark.parametrize("tag", TRIPS)
@pytest.mark.parametrize("after_s", [0.5, 3.0])
def test_a_guard_opened_or_tension_lost_while_the_band_runs_trips_it(hands, tag, after_s):
    hands.control_on()
    hands.start("band.start")
    hands.wait(after_s)
    hands.stick(tag, False)

    assert not hands.sees("Q1")
    assert hands.state("band") == "TRIPPED"
    assert hands.reason == TRIPS[tag]
    hands.mend(tag)
    hands.wait(5)
    assert hands.on == {"K1", "Q2"}
    assert not hands.start("band.start").accepted
    hands.tap("supply.reset")
    assert not hands.sees("Q1")
    assert hands.start("band.start").accepted


@pytest.mark.parametrize("tag", TRIPS)
def test_a_guard_opened_while_the_band_coasts_trips_it_and_at_rest_it_does_not(hands, tag):
    hands.control_on()
    hands.stick(tag, False)
    hands.mend(tag)
    assert hands.state("band") == "STOPPED"
    hands.start("band.start")
    hands.wait(3)
    hands.tap("band.stop")
    assert hands.state("band") == "COASTING"
    hands.stick(tag, False)

    assert hands.state("band") == "TRIPPED"


@pytest.mark.parametrize("tag", TRIPS)
def test_a_guard_opened_in_the_cut_lifts_the_head_and_stops_the_job(hands, tag):
    hands.begin_job("piece")
    hands.until_in_metal()
    hands.stick(tag, False)
    assert not hands.sees("Q1")
    assert not hands.sees("Y12")
    assert hands.sees("Y11")
    hands.until_job("STOPPED")

    assert hands.sees("B11")
    assert hands.lengths_mm() == []


def test_reset_is_refused_while_the_band_still_turns(hands):
    hands.control_on()
    hands.start("band.start")
    hands.wait(3)
    hands.tap("supply.drive_stop")
    assert [r.device for r in hands.tap("supply.reset").refusals] == ["B1"]
    hands.until(lambda: not hands.sees("B1"))

    assert hands.tap("supply.reset").accepted


def test_a_band_that_loses_its_motion_trips(hands):
    hands.control_on()
    hands.start("band.start")
    hands.wait(3)
    hands.stick("B1", False)

    assert hands.state("band") == "TRIPPED"
    assert hands.reason == "the band lost its speed"
    assert not hands.sees("Q1")


def test_a_band_stopped_before_it_turned_is_stopped(hands):
    hands.control_on()
    hands.start("band.start")
    hands.wait(0.01)
    hands.tap("band.stop")

    assert not hands.sees("B1")
    assert hands.state("band") == "STOPPED"
    assert hands.start("band.start").accepted


def test_a_coasting_band_starts_again_only_from_standstill(hands):
    hands.control_on()
    hands.start("band.start")
    hands.wait(3)
    hands.tap("band.stop")
    answer = hands.start("band.start")

    assert not answer.accepted
    assert "still coasting" in str(answer.sentence)
    assert hands.tap("band.stop").accepted
    hands.until(lambda: hands.state("band") == "STOPPED")
    assert hands.start("band.start").accepted


def test_an_overload_trips_the_band_at_rest_too(hands):
    hands.control_on()
    hands.stick("F1", False)

    assert hands.state("band") == "TRIPPED"


# Deviation (I8) ----------------------------------------------------------------------------


def test_wander_of_19_9_s_is_let_pass_and_of_20_1_s_stops_and_latches(new_hands):
    for seconds, latched in ((19.9, False), (20.1, True)):
        hands = new_hands()
        hands.control_on()
        hands.start("band.start")
        hands.wait(3)
        hands.stick("B52", False)
        hands.wait(seconds)
        hands.mend("B52")

        assert hands.saw.controller.image["latch.deviation"] is latched
        assert hands.sees("Q1") is not latched
        hands.wait(30)
        assert hands.sees("Q1") is not latched


def test_wander_that_comes_and_goes_is_counted_afresh_each_time(hands):
    hands.control_on()
    hands.start("band.start")
    for _ in range(3):
        hands.stick("B52", False)
        hands.wait(15)
        hands.mend("B52")
        hands.wait(1)

    assert hands.sees("Q1")


def test_the_deviation_latch_blocks_the_band_until_reset(hands):
    hands.begin_job("piece")
    hands.until_in_metal()
    hands.set(head__feed_valve_mm_min=10)
    hands.stick("B52", False)
    hands.wait(20.1)
    assert hands.reason == "the band wandered beyond its range for more than 20 s"
    hands.mend("B52")
    hands.until_job("STOPPED")
    hands.wait(5)
    devices = [refusal.device for refusal in hands.start("job.begin_on_piece").refusals]
    assert "latch.deviation" in devices
    assert hands.tap("supply.reset").accepted
    hands.wait(10)

    assert not hands.sees("Q1")
    assert hands.saw.controller.image["latch.deviation"] is False
    hands.arm()
    assert hands.start("job.begin_on_piece").accepted


def test_reset_with_the_band_still_wandering_stops_it_again_after_20_s(hands):
    hands.control_on()
    hands.stick("B52", False)
    hands.wait(20.1)
    assert hands.tap("supply.reset").accepted
    assert hands.start("band.start").accepted
    hands.wait(19.8)
    assert hands.sees("Q1")
    hands.wait(0.3)

    assert hands.state("band") == "TRIPPED"


# The cut (I6, I10) --------------------------------------------------------------------------


def test_a_grip_lost_in_the_cut_lifts_the_head_and_stops(hands):
    hands.begin_job("piece")
    hands.until_in_metal()
    hands.stick("B33", False)

    assert not hands.sees("Q1")
    assert not hands.sees("Y12")
    assert hands.sees("Y11")
    assert hands.reason == "the cutting vise lost its grip in the cut"
    hands.until_job("STOPPED")
    assert hands.sees("B11")
    assert hands.step == "PARKED"


def test_a_band_below_its_speed_in_the_cut_lifts_the_head_and_stops(hands):
    hands.begin_job("piece")
    hands.until_in_metal()
    hands.stick("B2", False)

    assert not hands.sees("Q1")
    assert not hands.sees("Y12")
    assert hands.sees("Y11")
    assert hands.reason == "the band fell below its speed in the cut"
    hands.until_job("STOPPED")


@pytest.mark.parametrize("stop", ["band.stop", "supply.drive_stop"])
def test_a_stop_with_the_head_in_hand_leaves_it_where_it_is_but_not_driven(hands, stop):
    hands.begin_job("piece")
    hands.until_in_metal()
    hands.tap("head.hand")
    hands.tap(stop)

    assert hands.on & {"Q1", "Y11", "Y12"} == set()
    head_m = hands.places[1]
    hands.until_job("STOPPED")
    hands.wait(20)
    assert hands.places[1] == head_m


def test_a_hold_with_the_head_in_hand_and_the_band_tripped_does_not_drive_it(hands):
    hands.begin_job("piece")
    hands.until_in_metal()
    hands.tap("head.hand")
    hands.stick("F1", False)

    assert hands.on & {"Q1", "Y11", "Y12"} == set()
    assert hands.job == "HELD"


# Coolant (I7) --------------------------------------------------------------------------------


def test_coolant_in_auto_flows_while_the_band_turns(hands):
    hands.begin_job("piece", wanted=1)
    hands.until(lambda: hands.sees("B1"))
    assert hands.sees("Q3")
    hands.until(lambda: not hands.sees("Q1"))
    assert hands.sees("Q3")
    hands.until(lambda: not hands.sees("B1"))

    assert not hands.sees("Q3")


def test_coolant_in_hand_follows_its_keys_alone(hands):
    hands.control_on()
    hands.start("band.start")
    hands.wait(3)
    assert not hands.sees("Q3")
    hands.tap("coolant.flow")
    assert hands.sees("Q3")
    hands.tap("band.stop")
    hands.wait(5)
    assert hands.sees("Q3")
    hands.tap("coolant.dry")

    assert not hands.sees("Q3")


@pytest.mark.parametrize("band", ["running", "stopped"])
def test_arming_puts_the_coolant_where_the_band_is(hands, band):
    hands.set_up()
    hands.tap("coolant.flow")
    if band == "running":
        hands.start("band.start")
        hands.wait(3)
    hands.arm()

    assert hands.sees("Q3") is (band == "running")


# Reset ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("step", STEPS)
def test_reset_changes_nothing_in_a_job_that_runs(hands, step):
    hands.begin_and_get_to(step)
    before = hands.states
    hands.tap("supply.reset")

    assert hands.states == before


def test_every_latch_stays_and_every_key_springs_back():
    latches = {name for name, row in BY_KEY.items() if row.source is Source.LATCH}

    assert latches == {"supply.isolator", "supply.emergency_stop"}
