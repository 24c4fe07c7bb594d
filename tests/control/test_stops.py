"""What stops the saw: trip line, guards, wander, lost clamping, lost speed; and nothing restarts."""

import pytest

from sim.signals import BY_KEY, Source

from .steps import STEPS

MOTION = {"Q1", "Y11", "Y12", "Y21", "Y22"}
AT_REST = {"K1", "Q2", "Y13"}
STOPS = {
    "isolator": "the voltage from the isolator went",
    "supply.emergency_stop": "the emergency stop at the console was pressed",
    "supply.infeed_stop": "the emergency stop at the infeed was pressed",
}


def stop_everything(hands, how):
    if how == "isolator":
        hands.release("supply.isolator")
    else:
        hands.press(how)


def come_back(hands, how):
    if how == "isolator":
        hands.press("supply.isolator")
    else:
        hands.release(how)


def control_on(hands):
    """Reset and control on, once the band stands."""
    hands.until(lambda: not hands.sees("B1"))
    assert hands.tap("supply.reset").accepted
    assert hands.tap("supply.control_on").accepted


# Loss of control power (I1, I2, I14) -------------------------------------------------------


@pytest.mark.parametrize("how", STOPS)
@pytest.mark.parametrize("step", STEPS)
def test_in_every_step_loss_of_control_power_takes_every_output_and_none_returns(hands, step, how):
    hands.begin_and_get_to(step)
    stop_everything(hands, how)

    assert hands.on == set()
    assert hands.job == "ABORTED"
    assert hands.step == "PARKED"
    assert hands.reason == STOPS[how]
    hands.wait(30)
    assert hands.on == set()
    come_back(hands, how)
    hands.wait(30)
    assert hands.on == set()
    assert hands.job == "ABORTED"

    shuttle_m, head_m, front_m, *_ = hands.places
    control_on(hands)
    hands.wait(60)
    assert hands.on == AT_REST
    assert hands.job == "ABORTED"
    assert hands.places[:3] == (shuttle_m, head_m, front_m)
    assert hands.state("band") == "STOPPED"


@pytest.mark.parametrize("step", ["SHUTTLE_FORWARD", "LOWER_HEAD"])
def test_after_an_emergency_stop_the_job_starts_only_from_clear_reset_and_start(hands, step):
    hands.begin_and_get_to(step)
    stop_everything(hands, "supply.emergency_stop")
    come_back(hands, "supply.emergency_stop")
    control_on(hands)

    assert "The job is aborted" in str(hands.tap("job.start").sentence)
    assert not hands.tap("job.reset").accepted
    assert hands.tap("job.clear").accepted
    assert "The job is stopped" in str(hands.tap("job.start").sentence)
    assert hands.tap("job.reset").accepted
    hands.turn("MANUAL")
    hands.press("head.raise")
    hands.until(lambda: hands.sees("B11"))
    hands.release("head.raise")
    hands.turn("PRODUCTION")
    hands.start()
    assert hands.step in ("BAND_TO_SPEED", "CLAMP_TO_SQUARE")


@pytest.mark.parametrize(
    "held",
    ["band.faster", "head.lower", "head.raise", "shuttle.back", "cutting_vise.clamp", "band.run"],
)
def test_a_key_held_through_a_loss_of_power_moves_nothing_when_it_returns(hands, held):
    hands.set_up()
    hands.palms("band.run")
    hands.wait(3)
    hands.press(held)
    hands.wait(0.1)
    stop_everything(hands, "supply.emergency_stop")
    come_back(hands, "supply.emergency_stop")
    control_on(hands)

    assert hands.on == AT_REST


@pytest.mark.parametrize("stop", ["supply.emergency_stop", "supply.infeed_stop"])
def test_an_emergency_stop_pressed_in_blocks_reset_and_control_on(hands, stop):
    hands.press(stop, "supply.isolator")
    assert [r.device for r in hands.tap("supply.reset").refusals] == [
        {"supply.emergency_stop": "S1", "supply.infeed_stop": "S9"}[stop]
    ]
    assert [r.device for r in hands.tap("supply.control_on").refusals] == ["supply"]
    hands.release(stop)
    assert hands.on == set()
    assert not hands.tap("supply.control_on").accepted
    control_on(hands)

    assert hands.on == AT_REST


def test_one_emergency_stop_released_does_not_speak_for_the_other(hands):
    hands.control_on()
    hands.press("supply.emergency_stop", "supply.infeed_stop")
    hands.release("supply.emergency_stop")

    assert [r.device for r in hands.tap("supply.reset").refusals] == ["S9"]


def test_switching_the_isolator_off_and_on_does_not_forget_a_latched_emergency_stop(hands):
    hands.control_on()
    hands.press("supply.emergency_stop")
    hands.release("supply.isolator")
    hands.press("supply.isolator")

    assert not hands.tap("supply.reset").accepted
    assert not hands.tap("supply.control_on").accepted
    assert hands.on == set()


def test_control_on_with_the_isolator_off_is_refused_and_says_why(hands):
    answer = hands.tap("supply.control_on")

    assert "Q0" in [refusal.device for refusal in answer.refusals]
    assert hands.state("supply") == "DEAD"


def test_control_on_without_a_reset_is_refused(hands):
    hands.press("supply.isolator")
    answer = hands.tap("supply.control_on")

    assert [refusal.device for refusal in answer.refusals] == ["supply"]
    assert "Press reset" in str(answer.sentence)


def test_reset_acts_when_its_key_is_let_go(hands):
    hands.press("supply.isolator")
    hands.press("supply.reset")
    hands.wait(5)
    assert hands.state("supply") == "TRIPPED"
    assert hands.release("supply.reset").accepted

    assert hands.state("supply") == "OFF"


def test_a_reset_key_that_is_stuck_down_resets_nothing(hands):
    hands.press("supply.reset")
    hands.press("supply.isolator")
    hands.wait(60)

    assert hands.state("supply") == "TRIPPED"


def test_the_fresh_saw_gives_no_reason_for_a_stop_that_never_was(hands):
    hands.control_on()

    assert hands.reason == ""
    assert hands.job == "STOPPED"


def test_a_band_sensor_that_closes_without_power_does_not_start_the_coolant(hands):
    hands.set_up()
    hands.tap("coolant.with_band")
    stop_everything(hands, "supply.emergency_stop")
    come_back(hands, "supply.emergency_stop")
    assert hands.tap("supply.reset").accepted
    hands.stick("B1", True)
    assert hands.tap("supply.control_on").accepted

    assert hands.on == AT_REST


def test_coolant_that_was_on_stays_off_after_a_loss_of_power(hands):
    hands.control_on()
    hands.tap("coolant.on")
    assert hands.sees("Q3")
    stop_everything(hands, "supply.emergency_stop")
    come_back(hands, "supply.emergency_stop")
    control_on(hands)

    assert hands.on == AT_REST


def test_the_supply_knows_its_isolator_and_its_emergency_stop_without_control_power(hands):
    hands.press("supply.isolator")
    assert hands.state("supply") == "TRIPPED"
    hands.tap("supply.reset")
    assert hands.state("supply") == "OFF"
    hands.press("supply.emergency_stop")
    assert hands.state("supply") == "TRIPPED"
    hands.release("supply.isolator")
    assert hands.state("supply") == "DEAD"
    hands.release("supply.emergency_stop")
    hands.press("supply.isolator")
    assert hands.state("supply") == "TRIPPED"
    hands.release("supply.isolator")

    assert hands.state("supply") == "DEAD"


# Trip line, guards and the rest of I3 -------------------------------------------------------

TRIPS = {
    "B41": "the band guard was opened",
    "B42": "the wheel cover was opened",
    "B51": "the band lost its tension",
    "B54": "the band was tensioned too far",
}


@pytest.mark.parametrize("key", ["shuttle.back", "head.raise", "cutting_vise.clamp"])
def test_the_trip_line_halts_what_a_hand_moves_too(hands, key):
    hands.set_up()
    hands.hold_down("head.lower", 15)
    hands.press(key)
    hands.wait(0.1)
    hands.press("supply.trip_line")

    assert hands.on == AT_REST


def test_the_trip_line_takes_band_and_lowering_and_control_stays(hands):
    hands.begin_job("straight")
    hands.until_in_metal()
    hands.press("supply.trip_line")

    assert hands.on & MOTION == set()
    assert {"K1", "Q2"} <= hands.on
    assert hands.reason == "the trip line was pulled"
    assert hands.job == "ABORTED"
    hands.release("supply.trip_line")
    hands.until(lambda: not hands.sees("B1"))
    assert "latch.trip_line" in [r.device for r in hands.tap("job.start").refusals]


@pytest.mark.parametrize("step", STEPS)
def test_the_trip_line_stops_the_job_at_every_step_and_reset_restarts_nothing(hands, step):
    hands.begin_and_get_to(step)
    hands.press("supply.trip_line")
    assert hands.on & (MOTION - {"Y11"}) == set()
    assert hands.job == "ABORTED"
    before = hands.places
    hands.wait(10)
    places = hands.places
    assert places[1] >= before[1]  # raised out of a cut, or where it was; it never sinks
    assert (places[0], *places[2:]) == (before[0], *before[2:])
    assert not hands.tap("supply.reset").accepted
    hands.release("supply.trip_line")
    assert not hands.tap("job.clear").accepted
    assert hands.tap("supply.reset").accepted
    hands.wait(60)

    assert hands.state("band") == "STOPPED"
    assert hands.job == "ABORTED"
    assert hands.on & MOTION == set()
    assert hands.places == places
    assert hands.tap("job.clear").accepted
    assert hands.on & MOTION == set()


def test_the_trip_line_held_keeps_the_band_from_starting_and_its_release_is_no_reset(hands):
    hands.control_on()
    hands.press("supply.trip_line")
    assert [r.device for r in hands.tap("supply.reset").refusals] == ["S2"]
    assert [r.device for r in hands.tap("band.run").refusals] == ["latch.trip_line"]
    hands.release("supply.trip_line")
    assert not hands.tap("band.run").accepted
    assert hands.tap("supply.reset").accepted

    assert hands.palms("band.run").accepted


def test_the_trip_line_is_remembered_through_a_loss_of_power(hands):
    hands.control_on()
    hands.press("supply.trip_line")
    hands.release("supply.isolator", "supply.trip_line")
    hands.press("supply.isolator")

    assert hands.saw.controller.image["latch.trip_line"] is True


@pytest.mark.parametrize("step", STEPS)
def test_the_band_stop_key_stops_the_job_at_every_step(hands, step):
    hands.begin_and_get_to(step)
    assert hands.tap("band.stop").accepted
    assert not hands.sees("Q1")
    hands.until_job("STOPPED")

    assert hands.state("band") == "STOPPED"
    assert hands.on & MOTION == set()
    assert hands.saw.controller.job.cut == 0


def test_the_band_stop_key_ends_a_job_that_is_held(hands):
    hands.begin_and_get_to("SHUTTLE_FORWARD")
    hands.tap("job.hold")
    hands.until_job("HELD")
    hands.tap("band.stop")
    hands.until_job("STOPPED")

    assert hands.on & MOTION == set()


@pytest.mark.parametrize("tag", TRIPS)
@pytest.mark.parametrize("after_s", [0.5, 3.0])
def test_a_guard_opened_or_tension_lost_while_the_band_runs_trips_it(hands, tag, after_s):
    hands.control_on()
    hands.palms("band.run")
    hands.wait(after_s)
    hands.stick(tag, False)

    assert not hands.sees("Q1")
    assert hands.state("band") == "TRIPPED"
    assert hands.reason == TRIPS[tag]
    hands.mend(tag)
    hands.wait(5)
    assert hands.on == AT_REST
    assert not hands.tap("band.run").accepted
    hands.tap("supply.reset")
    assert not hands.sees("Q1")
    assert hands.palms("band.run").accepted


@pytest.mark.parametrize("tag", TRIPS)
def test_a_guard_opened_while_the_band_coasts_trips_it_and_at_rest_it_does_not(hands, tag):
    hands.control_on()
    hands.stick(tag, False)
    hands.mend(tag)
    assert hands.state("band") == "STOPPED"
    hands.palms("band.run")
    hands.wait(3)
    hands.tap("band.stop")
    assert hands.state("band") == "COASTING"
    hands.stick(tag, False)

    assert hands.state("band") == "TRIPPED"


@pytest.mark.parametrize("tag", TRIPS)
def test_a_guard_opened_in_the_cut_raises_the_head_and_stops_the_job(hands, tag):
    hands.begin_job("straight")
    hands.until_in_metal()
    hands.stick(tag, False)
    assert not hands.sees("Q1")
    assert not hands.sees("Y12")
    assert hands.sees("Y11")
    hands.until_job("STOPPED")

    assert hands.sees("B11")
    assert hands.lengths_mm() == []


@pytest.mark.parametrize("tag", TRIPS)
def test_a_guard_opened_while_a_job_completes_stops_it_and_closing_it_starts_nothing(hands, tag):
    hands.begin_job("straight")
    hands.until_step("CLAMP_CUTTING_VISE")
    hands.tap("job.complete")
    hands.stick(tag, False)
    hands.until_job("STOPPED")
    hands.mend(tag)
    hands.wait(60)

    assert hands.reason == TRIPS[tag]
    assert hands.on & MOTION == set()
    assert hands.saw.controller.job.cut == 0


@pytest.mark.parametrize("tag", ["B61", "B62", "F1"])
def test_air_oil_or_motor_lost_in_the_last_cut_of_a_job_that_completes_starts_nothing_again(
    hands, tag
):
    hands.begin_job("straight")
    hands.until_in_metal()
    hands.tap("job.complete")
    hands.stick(tag, False)
    assert hands.on & {"Q1", "Y12"} == set()
    hands.until_job("STOPPED")
    hands.mend(tag)
    hands.wait(60)

    assert hands.on & MOTION == set()
    assert hands.saw.controller.job.cut == 0


def test_reset_is_refused_while_the_band_still_turns(hands):
    hands.control_on()
    hands.palms("band.run")
    hands.wait(3)
    hands.press("supply.trip_line")
    hands.release("supply.trip_line")
    assert [r.device for r in hands.tap("supply.reset").refusals] == ["B1"]
    hands.until(lambda: not hands.sees("B1"))

    assert hands.tap("supply.reset").accepted


def test_a_band_that_loses_its_motion_trips(hands):
    hands.control_on()
    hands.palms("band.run")
    hands.wait(3)
    hands.stick("B1", False)

    assert hands.state("band") == "TRIPPED"
    assert hands.reason == "the band lost its speed"
    assert not hands.sees("Q1")


def test_a_band_stopped_before_it_turned_is_stopped(hands):
    hands.control_on()
    hands.palms("band.run")
    hands.wait(0.01)
    hands.tap("band.stop")

    assert not hands.sees("B1")
    assert hands.state("band") == "STOPPED"
    assert hands.palms("band.run").accepted


def test_a_coasting_band_starts_again_only_from_standstill(hands):
    hands.control_on()
    hands.palms("band.run")
    hands.wait(3)
    hands.tap("band.stop")
    answer = hands.palms("band.run")

    assert not answer.accepted
    assert "still coasting" in str(answer.sentence)
    assert hands.tap("band.stop").accepted
    hands.until(lambda: hands.state("band") == "STOPPED")
    assert hands.palms("band.run").accepted


def test_an_overload_trips_the_band_at_rest_too(hands):
    hands.control_on()
    hands.stick("F1", False)

    assert hands.state("band") == "TRIPPED"


# Deviation (I8) ----------------------------------------------------------------------------


def test_wander_of_5_9_s_is_let_pass_and_of_6_1_s_stops_and_latches(new_hands):
    for seconds, latched in ((5.9, False), (6.1, True)):
        hands = new_hands()
        hands.control_on()
        hands.palms("band.run")
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
    hands.palms("band.run")
    for _ in range(3):
        hands.stick("B52", False)
        hands.wait(5)
        hands.mend("B52")
        hands.wait(1)

    assert hands.sees("Q1")


def test_the_deviation_latch_blocks_the_band_until_reset(hands):
    hands.begin_job("straight")
    hands.until_in_metal()
    hands.set(head__feed_valve_mm_min=10)
    hands.stick("B52", False)
    hands.wait(6.1)
    assert hands.reason == "the band wandered beyond its range for too long"
    hands.mend("B52")
    hands.until_job("STOPPED")
    hands.wait(5)
    hands.tap("job.reset")
    devices = [refusal.device for refusal in hands.tap("job.start").refusals]
    assert "latch.deviation" in devices
    assert hands.tap("supply.reset").accepted
    hands.wait(10)

    assert not hands.sees("Q1")
    assert hands.saw.controller.image["latch.deviation"] is False
    assert hands.palms("job.start").accepted


def test_reset_with_the_band_still_wandering_stops_it_again_after_6_s(hands):
    hands.control_on()
    hands.stick("B52", False)
    hands.wait(6.1)
    assert hands.tap("supply.reset").accepted
    assert hands.palms("band.run").accepted
    hands.wait(5.8)
    assert hands.sees("Q1")
    hands.wait(0.3)

    assert hands.state("band") == "TRIPPED"


# The cut (I6, I10) --------------------------------------------------------------------------


def test_clamping_lost_in_the_cut_raises_the_head_and_stops(hands):
    hands.begin_job("straight")
    hands.until_in_metal()
    hands.stick("B33", False)

    assert not hands.sees("Y12")
    assert hands.sees("Y11")
    assert hands.reason == "the cutting vise lost its clamping in the cut"
    hands.until_job("STOPPED")
    assert not hands.sees("Q1")
    assert hands.sees("B11")
    assert hands.step == "PARKED"
    assert hands.saw.controller.job.cut == 0


def test_a_band_below_its_speed_in_the_cut_raises_the_head_and_stops(hands):
    hands.begin_job("straight")
    hands.until_in_metal()
    hands.stick("B2", False)

    assert not hands.sees("Y12")
    assert hands.sees("Y11")
    assert hands.reason == "the band fell below its speed in the cut"
    hands.until_job("STOPPED")
    assert not hands.sees("Q1")


@pytest.mark.parametrize("to", ["mode.manual", "mode.maintenance"])
def test_turned_out_of_production_in_the_cut_the_head_stays_where_it_is_and_is_not_driven(
    hands, to
):
    hands.begin_job("straight")
    hands.until_in_metal()
    hands.press(to)

    assert hands.on & {"Q1", "Y11", "Y12"} == set()
    head_m = hands.places[1]
    hands.until_job("STOPPED")
    hands.wait(20)
    assert hands.places[1] == head_m


# Coolant (I7) --------------------------------------------------------------------------------


def test_coolant_with_the_band_flows_while_the_band_turns(hands):
    hands.begin_job("straight", wanted=1)
    hands.until(lambda: hands.sees("B1"))
    assert hands.sees("Q3")
    hands.until(lambda: not hands.sees("Q1"))
    assert hands.sees("Q3")
    hands.until(lambda: not hands.sees("B1"))

    assert not hands.sees("Q3")


def test_coolant_on_flows_whether_the_band_turns_or_not(hands):
    hands.control_on()
    hands.palms("band.run")
    hands.wait(3)
    assert not hands.sees("Q3")
    hands.tap("coolant.on")
    assert hands.sees("Q3")
    hands.tap("band.stop")
    hands.wait(5)
    assert hands.sees("Q3")
    hands.tap("coolant.off")

    assert not hands.sees("Q3")


@pytest.mark.parametrize("band", ["running", "stopped"])
@pytest.mark.parametrize("was", ["off", "on"])
def test_choosing_with_the_band_puts_the_coolant_where_the_band_is(hands, band, was):
    hands.set_up()
    hands.tap(f"coolant.{was}")
    if band == "running":
        hands.palms("band.run")
        hands.wait(3)
    hands.tap("coolant.with_band")

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

    assert latches == {
        "supply.isolator",
        "supply.emergency_stop",
        "supply.infeed_stop",
        "supply.trip_line",
    }


# Reasons -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("happens", "reason"),
    [
        (lambda hands: hands.press("mode.manual"), "the mode switch was turned"),
        (lambda hands: hands.set(band__guard="open"), "the band guard was opened"),
        (lambda hands: hands.stick("B61", value=False), "the air pressure is low"),
        (lambda hands: hands.press("supply.trip_line"), "the trip line was pulled"),
        (lambda hands: hands.press("supply.emergency_stop"),
         "the emergency stop at the console was pressed"),
    ],
)  # fmt: skip
def test_a_reason_for_which_several_parts_stop_in_the_cut_is_told_once(hands, happens, reason):
    hands.begin_and_get_to("LOWER_HEAD")
    told = []
    hands.saw.controller.on_reason(told.append)

    happens(hands)
    hands.wait(20)

    assert [str(each) for each in told] == [reason]
    assert hands.reason == reason


def test_a_reason_that_comes_again_is_told_again(hands):
    hands.control_on()
    told = []
    hands.saw.controller.on_reason(told.append)
    for _ in range(2):
        hands.palms("band.run")
        hands.turn("PRODUCTION")
        hands.turn("MANUAL")
        hands.wait(10)

    assert [str(each) for each in told] == ["the mode switch was turned"] * 2
