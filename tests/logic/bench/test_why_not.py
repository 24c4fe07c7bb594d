"""Why it will not go, and the way out: what is said is so, and what is proposed works on the saw."""

import pytest

from sim.control.actions import ACTIONS
from sim.logic.bench.freeing import free, search
from sim.logic.bench.way import Way, do
from sim.logic.bench.why_not import devices, why_not
from sim.pilot.autopilot import begin, make_ready, power_up, wait_until
from sim.session.opening import open_session
from sim.session.why import against, devices_against
from sim.signals import SIGNALS
from sim.teaching.way_out import fresh_saw, way_out
from sim.text.typed.console import play


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
    session.tap("supply.two_hand", "band.start")
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


def _armed_with_the_head_down():
    session = open_session("rail-posts")
    power_up(session)
    session.tap("job.arm")
    return session


STANDS = [_cold, _guard_open_and_estop, _tripped_by_the_guard, _held_in_the_job,
          _armed_with_the_head_down]  # fmt: skip


def test_from_cold_the_way_to_the_trim_cut_is_power_lift_arm_begin():
    way = way_out(_cold(), "job.begin_on_trim")

    assert way.verified
    assert [step.act.names for step in way.steps] == [
        ("supply.isolator",),
        ("supply.two_hand", "supply.control_on"),
        ("head.lift",),
        ("job.arm",),
        ("supply.two_hand", "job.begin_on_trim"),
    ]


@pytest.mark.parametrize("stand", STANDS)
@pytest.mark.parametrize(
    "action", ["job.begin_on_piece", "band.start", "head.lower", "coolant.flow"]
)
def test_a_way_that_is_found_works_and_no_act_of_it_can_be_left_out(stand, action):
    session = stand()
    way = way_out(session, action)

    if way is None:
        assert stand is _held_in_the_job
        return
    assert way.verified, way
    for left_out in range(len(way.steps) - 1):
        fewer = (*way.steps[:left_out], *way.steps[left_out + 1 :])
        assert _fails(session, fewer, action)


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

    rows = {str(row.sentence): row for row in why_not(session.saw, session.trace, "band.start")}
    device = rows["The band fault is latched."].devices[0]

    assert device.tag == "B41"
    assert device.changed.time_us == opened_us
    assert str(device.sentence).startswith(
        "B41 is off (on means the band guard is closed); it last"
    )
    assert devices(session.saw.controller.image, "supply") == ("supply",)


def test_the_latched_band_is_freed_by_guard_reset_and_a_wait_until_it_stands():
    session = _tripped_by_the_guard()

    way = way_out(session, "band.start")

    assert str(way.words[0]) == "Close the band guard."
    assert str(way.words[1]) == "Press supply.reset."
    assert ("B1", False) in way.steps[0].shows
    assert way.verified


def test_a_copy_of_a_session_stands_where_the_session_stands():
    for stand in STANDS:
        session = stand()
        assert fresh_saw(session).digest() == session.saw.digest()


def test_looking_for_a_way_changes_nothing_on_the_saw():
    session = _armed_with_the_head_down()
    before = session.saw.digest()

    way_out(session, "job.begin_on_trim")

    assert session.saw.digest() == before


def test_a_switch_that_lies_is_found_out_when_the_way_is_done():
    session = open_session("neither-up-nor-back")

    way = free(lambda: fresh_saw(session), "job.begin_on_trim")

    assert not way.verified
    assert "B11 does not show it" in str(way.stuck_at)


def test_in_a_drill_the_way_is_told_by_the_tables_and_not_tried():
    session = open_session("neither-up-nor-back")

    way = way_out(session, "job.begin_on_trim")

    assert isinstance(way, Way)
    assert not way.verified
    assert "B11" not in str(way.stuck_at)


def test_in_an_assessment_no_way_is_told():
    session = _cold()
    session.scenario = session.scenario.model_copy(update={"mode": "assessment"})

    assert way_out(session, "job.begin_on_trim") is None


def test_a_missing_bar_has_no_way_by_keys():
    session = _cold()
    session.bench.force("B53", False)

    assert search(session.saw, "job.begin_on_piece") is None


def test_what_a_hand_sets_at_the_machine_does_bring_its_switch():
    by_hand = [row for row in SIGNALS if row.good]
    assert {row.tag for row in by_hand} == {"F1", "B41", "B42", "B51", "B61", "B62", "B63"}
    for row in by_hand:
        tag, saw = row.tag, _cold().saw
        for name, setting in row.good:
            saw.set(name, setting)
        saw.advance_to(saw.clock.now_us + 300_000_000)
        assert saw.bus.seen[tag], tag


def test_the_terminal_says_devices_last_change_hazard_and_the_way():
    told: list[str] = []

    play(open_session("rail-posts"), ["why begin_on_trim"], told.append, interactive=False)

    text = " ".join(line.strip() for line in told)
    assert "B11 is off (on means the head is up at its height stop); it has not changed" in text
    assert "I4 keeps you from bar driven into the band." in text
    assert "The shortest way, tried on a copy of this saw:" in text
    assert "3. Hold head.lift until it is there." in text
    assert "5. Press job.begin_on_trim with both hands." in text
