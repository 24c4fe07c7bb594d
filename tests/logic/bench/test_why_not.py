"""Why it will not go, and the way out: what is said is so, and what is proposed works on the saw."""

import pytest

from sim.control.actions import ACTIONS
from sim.logic.bench.freeing import free, search
from sim.logic.bench.way import Way, do
from sim.logic.bench.why_not import behind, why_not
from sim.pilot.autopilot import begin, make_ready, power_up, wait_until
from sim.session.opening import open_session
from sim.session.why import against, devices_against
from sim.signals import SIGNALS
from sim.teaching.way_out import fresh_saw, way_out
from sim.text.typed.console import play
from sim.text.whys import why
from sim.words.message import NOTHING


def _cold():
    return open_session("rail-posts")


def _guard_open_and_estop():
    session = open_session("rail-posts")
    session.set("band.guard", "open")
    session.press("supply.emergency_stop")
    return session


def _tripped_by_the_guard():
    session = open_session("rail-posts")
    power_up(session)
    make_ready(session)
    session.palms("band.run")
    session.advance(5)
    session.set("band.guard", "open")
    return session


def _held_in_the_job():
    session = open_session("rail-posts")
    power_up(session)
    make_ready(session)
    begin(session)
    session.advance(3)
    session.tap("job.hold")
    wait_until(session, lambda: session.saw.controller.job.state == "HELD", 300)
    return session


def _ready_with_the_head_down():
    session = open_session("rail-posts")
    power_up(session)
    session.turn("production")
    session.tap("job.reset")
    return session


def _in_maintenance():
    session = open_session("rail-posts")
    power_up(session)
    session.turn("maintenance")
    return session


STANDS = [_cold, _guard_open_and_estop, _tripped_by_the_guard, _held_in_the_job,
          _ready_with_the_head_down, _in_maintenance]  # fmt: skip


def test_from_cold_the_way_to_a_job_is_power_head_mode_reset_start():
    way = way_out(_cold(), "job.start")

    assert way.verified
    acts = [step.act.names for step in way.steps]
    assert acts[:3] == [("supply.isolator",), ("supply.reset",), ("supply.control_on",)]
    assert sorted(acts[3:-1]) == [("head.raise",), ("job.reset",), ("mode.production",)]
    assert acts.index(("head.raise",)) < acts.index(("mode.production",))  # by hand, before it
    assert acts[-1] == ("job.start", "palm.left", "palm.right")


@pytest.mark.parametrize("stand", STANDS)
@pytest.mark.parametrize(
    "action", ["job.start", "job.unhold", "band.run", "shuttle.back", "coolant.with_band"]
)
def test_a_way_that_is_found_works_and_no_act_of_it_can_be_left_out(stand, action):
    session = stand()
    way = way_out(session, action)

    if way is None:
        assert action == "job.unhold"  # there is no way to a hold but a job that runs
        assert stand is not _held_in_the_job
        return
    assert way.verified, way
    for left_out in range(len(way.steps) - 1):
        fewer = (*way.steps[:left_out], *way.steps[left_out + 1 :])
        assert _fails(session, fewer, action), way.steps[left_out]


def _fails(session, steps, action):
    steps = tuple(type(step)(step.act, ()) for step in steps)  # its images are other ones
    saw = fresh_saw(session)
    return bool(do(saw, steps, action))


@pytest.mark.parametrize("stand", STANDS)
def test_every_action_that_is_refused_has_rows_with_devices_and_none_that_is_taken_has(stand):
    session = stand()
    controller = session.saw.controller
    refused = 0
    for action in ACTIONS:
        found = devices_against(session.saw, session.trace, action.name)
        assert [str(row.sentence) for row in found] == [
            sentence[: len(str(row.sentence))]
            for row, sentence in zip(
                found, map(str, against(session.saw, action.name)), strict=True
            )
        ]
        refused += bool(found)
        for row in found:
            assert row.devices
            for device in row.devices:
                assert device.tag in controller.image
    assert refused


def test_the_band_fault_is_traced_to_the_guard_that_was_opened_and_to_the_moment():
    session = _tripped_by_the_guard()
    opened_us = session.saw.clock.now_us
    session.advance(7)

    device = _behind_the_band_fault(session)

    assert device.tag == "B41"
    assert device.changed.time_us == opened_us
    assert str(device.sentence).startswith(
        "It is so because the band guard was opened. "
        "B41 is off (on means the band guard is closed); it last"
    )
    assert behind(session.saw.controller, "supply") == ("supply", NOTHING)


def test_what_latched_a_fault_is_remembered_when_its_switch_shows_nothing_any_more():
    session = _tripped_by_the_guard()
    session.set("band.guard", "closed")
    session.set("band.wheel_cover", "open")  # another that would have done it, and did not

    device = _behind_the_band_fault(session)

    assert device.tag == "B41"
    assert str(device.sentence).startswith("It is so because the band guard was opened. B41 is on")


def _behind_the_band_fault(session):
    rows = {str(row.sentence): row for row in why_not(session.saw, session.trace, "band.run")}
    return rows["The band fault is latched."].devices[0]


def test_the_latched_band_is_freed_by_guard_a_wait_until_it_stands_and_reset():
    session = _tripped_by_the_guard()

    way = way_out(session, "band.run")

    words = [str(act) for act in way.words]
    assert words.index("Wait until everything stands still.") < words.index("Press supply.reset.")
    assert "Close the band guard." in words
    assert way.verified


def test_the_emergency_stop_is_turned_out_before_anything_that_it_forbids():
    way = way_out(_guard_open_and_estop(), "band.run")

    words = [str(act) for act in way.words]
    out = words.index("Turn the emergency stop out when the reason for it is gone.")
    assert out < words.index("Press supply.reset.") < words.index("Press supply.control_on.")
    assert way.verified


def test_a_way_that_would_press_the_band_on_to_the_bar_is_not_told_as_one_that_works():
    way = way_out(_cold(), "head.lower")

    assert not way.verified
    assert "Band pressed on to the bar at rest" in str(way.stuck_at)


def test_in_maintenance_the_way_to_a_start_leads_out_of_it():
    way = way_out(_in_maintenance(), "band.run")

    assert "Turn the mode switch to MANUAL." in [str(act) for act in way.words]
    assert way.verified


@pytest.mark.parametrize("stand", STANDS)
def test_why_is_at_most_seven_lines_whatever_stands_against_whatever_key(stand):
    session = stand()
    for action in ACTIONS:
        assert 1 <= len(why(session, action.name)) <= 7, action.name


def test_a_copy_of_a_session_stands_where_the_session_stands():
    for stand in STANDS:
        session = stand()
        assert fresh_saw(session).digest() == session.saw.digest()


def test_looking_for_a_way_changes_nothing_on_the_saw():
    session = _ready_with_the_head_down()
    before = session.saw.digest()

    way_out(session, "job.start")

    assert session.saw.digest() == before


def test_a_switch_that_lies_is_found_out_when_the_way_is_done():
    session = open_session("neither-up-nor-back")

    way = free(lambda: fresh_saw(session), "job.start")

    assert not way.verified
    assert "B11 does not show it" in str(way.stuck_at)


def test_in_a_drill_the_way_is_told_by_the_tables_and_not_tried():
    session = open_session("neither-up-nor-back")

    way = way_out(session, "job.start")

    assert isinstance(way, Way)
    assert not way.verified
    assert "B11" not in str(way.stuck_at)


def test_in_an_assessment_no_way_is_told():
    session = _cold()
    session.scenario = session.scenario.model_copy(update={"mode": "assessment"})

    assert way_out(session, "job.start") is None


def test_a_missing_bar_has_no_way_by_keys():
    session = _cold()
    session.bench.force("B53", False)

    assert search(session.saw, "job.start") is None


def test_what_a_hand_sets_at_the_machine_does_bring_its_switch():
    by_hand = [row for row in SIGNALS if row.good]
    assert {row.tag for row in by_hand} == {"F1", "B41", "B42", "B51", "B54", "B61", "B62", "B63"}
    for row in by_hand:
        tag, saw = row.tag, _cold().saw
        for name, setting in row.good:
            saw.set(name, setting)
        saw.advance_to(saw.clock.now_us + 300_000_000)
        assert saw.bus.seen[tag], tag


def test_the_terminal_says_device_last_change_hazard_and_the_way():
    told: list[str] = []
    ready = ["press supply.isolator", "tap supply.reset", "tap supply.control_on",
             "turn production", "tap job.reset", "why job.start"]  # fmt: skip

    play(open_session("rail-posts"), ready, told.append, interactive=False)

    text = " ".join(line.strip() for line in told)
    assert "B11 is off (on means the head is up at its height stop); it has not changed" in text
    assert "I4 keeps you from bar driven into the band." in text
    assert "The shortest way, tried on a copy of this saw:" in text
    assert "1. Turn the mode switch to MANUAL." in text
    assert "2. Hold head.raise until it is there." in text
    assert "3. Turn the mode switch to PRODUCTION." in text
    assert "4. Press job.start, then both palm keys together." in text


def test_from_cold_why_says_the_first_three_things_and_how_many_more():
    said = [str(line) for line in why(_cold(), "job.start")]

    assert said[0].startswith("There is no control power.")
    assert said[3] == "1 more thing blocks it."
    assert "Switch the isolator on." in said[-1]
