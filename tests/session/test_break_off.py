"""Breaking off what hands are busy with: it takes a second, is in the record, and plays again."""

import pytest

from sim.debrief.debrief import debrief, finish
from sim.pilot import autopilot
from sim.records.acts import BrokenOff
from sim.session.opening import open_recorded, open_session
from sim.session.playback.replay import replay
from sim.teaching.way_out import fresh_session
from sim.view.play.player import player_of

_SLOW = "band.guide_span_mm"  # 4 s of walking, 11 s with both hands at the band


@pytest.fixture
def session(tmp_path):
    session = open_recorded("rail-posts", tmp_path / "run.jsonl")
    autopilot.power_up(session)
    session.turn("manual")
    session.set("band.guide_lock", "slack")
    return session


def test_an_act_that_is_only_begun_is_done_when_its_time_is_over(session):
    before = session.saw.read(_SLOW)
    session.set(_SLOW, before + 5, wait=False)
    session.advance(14.999)
    assert session.saw.read(_SLOW) == before
    assert session.going.doing.hands_in
    session.advance(0.001)
    assert session.saw.read(_SLOW) == before + 5
    assert session.going.doing is None
    assert session.done.all[-1].answer.taken


@pytest.mark.parametrize("after_s", [1.0, 6.0])
def test_an_act_broken_off_is_over_a_second_later_and_has_changed_nothing(session, after_s):
    before, begun_us = session.saw.read(_SLOW), session.saw.clock.now_us
    session.set(_SLOW, before + 5, wait=False)
    session.advance(after_s)
    assert session.break_off().taken
    assert not session.break_off().taken
    session.advance(5.0)
    done = session.done.all[-1]
    assert done.done_us - begun_us == round((after_s + 1.0) * 1e6)
    assert str(done.answer.message).startswith("Broken off: ")
    assert session.saw.read(_SLOW) == before


def test_hands_that_come_out_are_exposed_for_no_longer_than_they_were_in(session):
    session.hands.exposures.clear()
    session.set(_SLOW, 100, wait=False)
    session.advance(6.0)
    session.break_off()
    session.advance(20.0)
    assert session.hands.exposures_s() == {"band": 3.0}  # 4 s of walking, 2 s, and 1 s


def test_what_begins_to_move_while_hands_come_out_still_strikes(session):
    session.set(_SLOW, 100, wait=False)
    session.advance(6.0)
    session.break_off()
    session.saw.press("head.raise")  # by somebody else, at the console
    session.advance(1.0)
    assert [each.kind for each in session.hands.strikes] == ["struck-band"]


def test_a_record_with_a_break_off_plays_again_to_the_same(session):
    session.set(_SLOW, 100, wait=False)
    session.advance(6.0)
    session.break_off()
    session.advance(3.0)
    session.set("mode.key", "in my pocket")
    shown = session.hands.exposures_s()
    here = fresh_session(session)
    assert here.saw.digest() == session.saw.digest()
    finish(session)
    assert [act for act in session.done.acts if isinstance(act, BrokenOff)]
    again = replay(session.record_path)
    assert again.same
    assert again.session.hands.exposures_s() == shown
    player = player_of(session)
    player.seek(session.saw.clock.now_us)
    assert player.session.saw.digest() == session.saw.digest()


def test_a_session_closed_with_hands_in_counts_them_and_plays_again(session):
    session.hands.exposures.clear()
    session.set(_SLOW, 100, wait=False)
    session.advance(6.0)
    finish(session)
    assert session.hands.exposures_s() == {"band": 2.0}
    assert replay(session.record_path).same


def test_a_key_pressed_meanwhile_waits_until_the_hands_are_back(session):
    session.set(_SLOW, 100, wait=False)
    session.press("head.raise")
    assert session.saw.read(_SLOW) == 100


def test_nothing_is_under_way_where_nothing_was_begun():
    session = open_session("rail-posts")
    assert str(session.break_off().message) == "There is nothing to break off."


# Hands and held keys --------------------------------------------------------------------------


def test_who_walks_away_from_the_console_leaves_every_key():
    session = open_session("rail-posts")
    autopilot.power_up(session)
    session.press("head.raise")
    session.set("head.feed_valve_mm_min", 100)  # outside, at its valve
    assert "head.raise" not in session.saw.held


def test_a_hand_stays_on_its_key_while_the_other_works_at_the_console_or_one_looks():
    session = open_session("rail-posts")
    autopilot.power_up(session)
    session.press("head.raise")
    session.set("job.wanted", 3)
    session.inspect("oil-pressure")
    assert "head.raise" in session.saw.held


def test_two_held_keys_leave_no_hand_for_a_dial():
    session = open_session("rail-posts")
    session.press("palm.left", "palm.right")
    session.set("job.wanted", 3)
    assert not session.saw.held


# An instructor's order while hands are in ---------------------------------------------------


def test_a_fault_put_in_that_strikes_is_told_as_the_instructors_and_not_scored():
    session = open_session("rail-posts")
    autopilot.power_up(session)
    autopilot.make_ready(session)
    session.turn("manual")
    session.press("head.raise")
    session.advance(8.0)
    session.release("head.raise")
    session.set("outfeed.back_rail", "in place", wait=False)
    session.advance(8.0)
    session.instructor.put_in("lower-valve-open")  # and the head comes down
    assert [each.kind for each in session.hands.strikes] == ["struck-outfeed"]
    assert not session.done.all[-1].answer.taken
    assert "The instructor had changed the saw meanwhile" in str(session.hands.strikes[0].sentence)
    assert debrief(session).critical == ()


def _struck_by_order(path, act):
    """Raise the head, begin an act under it, and have an instructor put a fault in that lets it down."""
    session = open_recorded("rail-posts", path)
    autopilot.power_up(session)
    autopilot.make_ready(session)
    session.turn("manual")
    session.hold("head.raise", 8.0)
    act(session)
    session.advance(10.0)
    session.instructor.put_in("lower-valve-open")
    return session


def test_a_strike_by_order_is_named_in_the_record_counted_for_nobody_and_plays_again(tmp_path):
    session = _struck_by_order(
        tmp_path / "a.jsonl", lambda s: s.set("outfeed.back_rail", "in place", wait=False)
    )
    found = finish(session)
    again = replay(session.record_path)

    assert [each.kind for each in session.hands.strikes] == ["struck-outfeed"]
    assert (found.strikes, found.critical) == (0, ())
    put_in = [event for event in found.timeline if "Put in: Head lower valve" in str(event.message)]
    assert [event.at_us for event in put_in] == [session.hands.strikes[0].at_us]
    assert again.same
    assert debrief(again.session) == found


def test_a_lock_out_that_was_wanting_is_scored_though_the_strike_was_an_instructors(tmp_path):
    session = _struck_by_order(
        tmp_path / "a.jsonl", lambda s: s.inspect("guide-inserts", wait=False)
    )
    found = debrief(session)

    assert [each.kind for each in session.hands.strikes] == ["struck-band"]
    assert found.strikes == 0
    [critical] = map(str, found.critical)
    assert critical.startswith("Hands in the machine without the lock-out that this asks for: ")
