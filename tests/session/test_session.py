"""A trainee at the saw: what the verbs do, what is sealed, what is counted."""

import hashlib

import pytest

from sim.debrief.debrief import debrief
from sim.debrief.hints import hint
from sim.errors import CommandError
from sim.faults.catalogue import CATALOGUE
from sim.pilot.autopilot import as_found, measure, power_up, wait_until, whole_job
from sim.scenario import library
from sim.session.hands.table import to_mend
from sim.session.locking import do_all, giving_back, locking_out
from sim.session.opening import open_session, read
from sim.session.why import against
from tests.records.chains import ChainLog


def test_a_clean_job_cuts_every_post_to_length_without_a_warning():
    session = open_session("rail-posts")

    outcome = whole_job(session)

    assert outcome.finished
    assert session.tally.good == session.tally.pieces == 24
    assert session.saw.consequences == []
    lengths = [cut.length_m for cut in session.saw.cuts if not cut.squaring]
    assert lengths == pytest.approx([0.230] * 24, abs=1e-9)
    assert debrief(session).score == 100


def test_the_same_job_with_the_plunger_on_the_land_drives_the_bar_into_the_band():
    session = open_session("rail-posts")
    session.set("head.stop_plunger", "on the land")

    outcome = as_found(session, 24)

    assert not outcome.finished
    assert [c.kind for c in session.saw.consequences] == ["bar-into-band"]
    assert "50 mm above the bed" in str(session.saw.consequences[0].sentence)


def test_a_length_stop_wound_up_to_its_setting_makes_every_post_short_by_its_play():
    session = open_session("rail-posts")
    session.set("shuttle.stop_mm", 225)
    session.set("shuttle.stop_mm", 231.5)

    as_found(session, 24)

    lengths = [cut.length_m for cut in session.saw.cuts if not cut.squaring]
    assert lengths == pytest.approx([0.230 - session.machine.play_m] * 24, abs=1e-9)


def test_a_wrecked_run_takes_no_more_acts_and_says_so():
    session = open_session("head-stops-short")
    as_found(session, 2)

    with pytest.raises(CommandError, match="the run is over"):
        session.press("job.hold")


def test_the_hidden_cause_is_sealed_until_the_close_and_then_opens_the_seal():
    record = ChainLog()
    session = open_session("head-stops-short", record=record)
    whole_job(session)
    during = record.text()
    session.close()
    closing = record.text().removeprefix(during)

    assert "plunger-on-the-land" not in during
    assert "plunger-on-the-land" in closing
    names = ",".join(fault.name for fault in session.hidden)
    nonce = closing.split('"nonce":"')[1].split('"')[0]
    assert f'"seal":"{hashlib.sha256(f"{names}/{nonce}".encode()).hexdigest()}"' in during


def test_no_drill_is_named_after_its_cause():
    for name in library.names():
        scenario, path = read(name)
        for fault in scenario.faults:
            shown = f"{path.stem} {scenario.title} {scenario.summary} {scenario.brief} {scenario.report}"
            assert fault.name not in shown


def test_inspections_take_their_time_and_show_what_the_machine_shows():
    session = open_session("head-stops-short")

    answer = session.inspect("stop-plunger")

    assert str(answer.message) == (
        "The plunger of the ring rides on the land, and the ring stands 40 mm below its notch."
    )
    assert session.now_s == pytest.approx(20.0)


def test_a_meter_reads_the_wire_that_the_controller_sees():
    session = open_session("rail-posts")
    power_up(session)

    assert "K1 is live" in str(session.inspect("meter K1").message)
    assert "Q1 is dead" in str(session.inspect("meter Q1").message)


def test_hands_in_the_machine_without_lock_out_fail_the_drill_whatever_else_was_done():
    session = open_session("head-will-not-come-down")
    session.press("supply.isolator")
    session.set("band.wheel_cover", "open")  # without it nobody gets there
    session.inspect("pulley")
    session.diagnose("variator-forced")
    session.put_right("variator-forced")
    session.set("band.wheel_cover", "closed")
    as_found(session, 2)
    result = debrief(session)

    assert session.tally.good == 2
    assert result.score == 0
    assert not result.passed
    assert len(result.critical) == 2  # the look and the repair


def test_the_same_drill_under_lock_out_is_passed():
    session = open_session("head-will-not-come-down")
    do_all(session, locking_out(session, work=to_mend(CATALOGUE["variator-forced"])))
    assert all(not step.against for step in session.done.lockout_steps)
    session.inspect("pulley")
    session.diagnose("variator-forced")
    session.put_right("variator-forced")
    locked = session.press("supply.isolator")
    do_all(session, giving_back(session))
    assert all(not step.against for step in session.done.lockout_steps)
    assert not session.lockout.begun
    as_found(session, 2)
    assert measure(session)
    result = debrief(session)

    assert locked is not None
    assert not locked.accepted
    assert result.passed
    assert result.critical == ()


def test_a_lock_out_counts_nothing_that_the_saw_does_not_show():
    session = open_session("rail-posts")

    assert not session.lock_out("verify").taken
    assert session.lock_out("tell").taken
    assert not session.lock_out("lock-air").taken
    assert session.lock_out("lock-isolator").taken
    assert "air cock is open" in str(session.lock_out("verify").message)


def test_a_lock_out_is_refused_while_the_band_turns_and_while_the_isolator_is_on(tmp_path):
    coasts_long = tmp_path / "coasts-long.yaml"
    coasts_long.write_text("title: Coasts long\nband: {coast_s: 100}\n", encoding="utf-8")
    session = open_session("rail-posts", machine=str(coasts_long))
    power_up(session)
    session.lock_out("tell")
    live = session.lock_out("lock-isolator")
    session.set("head.feed_valve_mm_min", 250)
    session.set("head.stop_notch", 12)
    session.hold("head.raise", 8)
    session.set("head.prop", "in")
    session.hold("head.lower", 20)
    session.palms("band.run")
    wait_until(session, lambda: session.saw.bus.seen["B2"], 5)
    session.release("supply.isolator")
    session.set("supply.air_cock", "shut")
    for step in ("lock-isolator", "lock-air"):
        assert session.lock_out(step).taken

    assert "isolator is still on" in str(live.message)
    assert "band still turns" in str(session.lockout.wanting)
    assert not session.lock_out("verify").taken


def test_a_wrong_cause_and_a_needless_remedy_cost_points_and_the_reason_says_so():
    session = open_session("head-stops-short")
    session.inspect("stop-plunger")
    session.diagnose("height-stop-low")
    session.put_right("height-stop-low")
    session.diagnose("plunger-on-the-land")
    session.put_right("plunger-on-the-land")
    as_found(session, 2)
    assert measure(session)
    result = debrief(session)

    parts = {str(part.title): part for part in result.parts}
    assert (parts["Cause"].points, parts["Care"].points) == (20, 0)
    assert "1 named that was not there, 1 needless remedy" in str(parts["Cause"].reason)
    assert str(parts["Care"].reason) == "1 needless remedy."
    assert result.score == 40


def test_a_setting_put_right_by_hand_counts_as_put_right():
    session = open_session("head-stops-short")
    session.set("head.stop_plunger", "home")

    assert session.faults.still_wrong() == ()


def test_the_debrief_shows_a_sound_path_that_was_found_by_looking():
    session = open_session("posts-come-out-short")

    path = debrief(session).sound_path

    assert str(path[0]) == "Look: Read the length stop against the card."
    assert str(path[1]) == "Look: Try the length stop for play (own control first)."
    assert str(path[-1]) == "Run the job, and measure a good piece."


def test_a_refused_key_says_which_device_refuses_and_what_would_satisfy_it():
    session = open_session("rail-posts")

    decision = session.tap("supply.control_on")

    assert decision is not None
    assert not decision.accepted
    assert str(decision.sentence) == (
        "Q0: the isolator is off, or no voltage comes from it. Switch the isolator on when you know why it was "
        "off and nobody is at the saw."
    )


def test_why_says_everything_that_stands_against_an_action():
    session = open_session("rail-posts")

    reasons = tuple(map(str, against(session.saw, "job.start")))

    assert any("no control power" in reason for reason in reasons)
    assert any("Turn the mode switch to PRODUCTION" in reason for reason in reasons)
    assert any("The job is stopped" in reason for reason in reasons)


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda s: s.press("head.rise"), "head.raise"),
        (lambda s: s.inspect("plunger"), "stop-plunger"),
        (lambda s: s.diagnose("plunger-on-land"), "plunger-on-the-land"),
        (lambda s: s.lock_out("lock-isolatr"), "lock-isolator"),
        (lambda s: against(s.saw, "job.strat"), "job.start"),
        (lambda s: s.turn("auto"), "manual"),
        (lambda s: s.palms("band.runs"), "band.run"),
    ],
)
def test_a_mistyped_name_is_answered_with_the_nearest(call, says):
    session = open_session("rail-posts")

    with pytest.raises(CommandError, match=says.replace(".", r"\.")):
        call(session)


@pytest.mark.parametrize("setting", [9999, -1, "many", "nan", "inf"])
def test_a_setting_outside_its_limits_is_refused_and_changes_nothing(setting):
    session = open_session("rail-posts")
    before = session.saw.digest()

    with pytest.raises(CommandError):
        session.set("cutting_vise.pressure_bar", setting)

    assert session.saw.digest() == before


# The verbs of the console -----------------------------------------------------------------


def powered():
    session = open_session("rail-posts")
    power_up(session)
    return session


def test_a_key_and_both_palm_keys_are_one_deed_and_one_line_each_for_down_and_up():
    session = powered()
    acts = len(session.done.acts)

    answer = session.palms("band.run")

    assert answer is not None
    assert answer.accepted
    pressed, released = session.done.acts[acts:]
    assert pressed.keys == released.keys == ("band.run", "palm.left", "palm.right")
    assert session.done.all[-2].refused == frozenset()
    assert session.saw.held == {"supply.isolator"}


def test_palm_keys_after_a_key_that_is_refused_tell_why_the_key_was():
    session = powered()
    session.set("band.guard", "open")

    answer = session.palms("band.run")

    assert answer is not None
    assert not answer.accepted
    assert str(answer.sentence) == "B41: the band guard is open. Close the band guard."
    assert "B41" in str(session.heard.events[-1].message)


def test_reset_answers_when_its_key_comes_up():
    session = open_session("rail-posts")
    session.press("supply.isolator")

    assert session.press("supply.reset") is None
    released = session.release("supply.reset")
    session.saw.press("supply.emergency_stop")
    session.saw.release("supply.emergency_stop")
    tapped = session.tap("supply.reset")

    assert released is not None
    assert released.accepted
    assert tapped is not None
    assert tapped.accepted


def test_a_mode_that_is_turned_to_has_taken_effect_half_a_second_later_and_starts_nothing():
    session = powered()
    before = {tag for tag, live in session.saw.bus.seen.items() if live}
    at_s = session.now_s

    session.turn("PRODUCTION")

    assert session.saw.controller.image["mode"] == "PRODUCTION"
    assert session.now_s == pytest.approx(at_s + 0.5)
    after = {tag for tag, live in session.saw.bus.seen.items() if live}
    assert after - before == {"S6C"}


def test_a_key_that_is_held_moves_its_part_for_so_long_and_no_longer():
    session = powered()

    session.hold("head.raise", 0.2)
    raised_m = session.saw.plant.head.place.position
    session.advance(5)

    lift_m_s = session.machine.lift_m_s
    assert raised_m == pytest.approx(session.saw.plant.bar.height_m + 0.2 * lift_m_s, abs=1e-4)
    assert session.saw.plant.head.place.position == raised_m


def test_at_a_frozen_machine_the_mode_switch_stays_where_it_is():
    session = powered()
    session.instructor.freeze(True)

    answer = session.turn("production")

    assert answer is not None
    assert not answer.accepted
    assert session.saw.bus.seen["S6A"]
    assert session.now_s == 0.0


def test_no_lock_counts_as_taken_off_before_the_way_back_and_a_hint_asks_for_that_first():
    session = open_session("motor-hums")
    do_all(session, locking_out(session))
    shown = {step: session.lockout.counts(step) for step in ("lock-air", "unlock-air", "ask")}
    told = str(hint(session).message)
    do_all(session, giving_back(session))

    assert shown == {"lock-air": True, "unlock-air": False, "ask": False}
    assert told.startswith("First take the lock-out back")
    assert not session.lockout.begun
    assert "lock-out" not in str(hint(session).message)
