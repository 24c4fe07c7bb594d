"""A second person at the saw: his acts are on the record, are played again, and strike hands."""

import pytest

from sim.debrief.debrief import debrief, finish
from sim.errors import CommandError
from sim.pilot.autopilot import power_up
from sim.records.acts import SecondTold
from sim.records.chain_check import read_chain
from sim.scenario.scenario import Second
from sim.scenario.second_does import Does, does_from
from sim.session.locking import do_all, locking_out
from sim.session.opening import open_recorded, open_session, read, session_for
from sim.session.order_lines import Orders, give
from sim.session.orders import Order
from sim.session.playback.replay import replay
from tests.debrief.eventful import debrief_by_few, few_causes


def with_second(**second):
    scenario, _ = read("rail-posts")
    return session_for(
        scenario.model_copy(update={"second_person": Second(name="Ada", **second)}), nonce=""
    )


def told(session):
    return [str(event.message) for event in session.heard.events if event.kind == "instructor"]


# What he is told ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "does"),
    [
        ("press head.lower", Does("press", "head.lower")),
        ("release head.lower in 2.5", Does("release", "head.lower", after_s=2.5)),
        ("set supply.air_cock shut in 12", Does("set", "supply.air_cock", "shut", 12.0)),
        ("set mode.key in my pocket", Does("set", "mode.key", "in my pocket")),
    ],
)
def test_a_line_says_what_he_does_and_when(text, does):
    assert does_from(text) == does


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "'' does not say"),
        ("kick head.lower", "'kick head.lower' does not say what a second person is to do"),
        ("press", "'press' does not say"),
        ("press head.lower now", "'press head.lower now' does not say"),
        ("press head.lwer", "head.lower"),
        ("set head.prp in", "head.prop"),
        ("press head.lower in 9999", "3600 s at most"),
        ("press head.lower in nan", "nobody waits"),
    ],
)
def test_a_line_that_says_nothing_he_can_do_is_refused_with_what_to_write(text, says):
    with pytest.raises(CommandError, match=says):
        does_from(text)


def test_nobody_is_told_anything_who_is_not_there():
    session = open_session("rail-posts")

    with pytest.raises(CommandError, match="nobody else is at the saw"):
        session.instructor.second("press head.lower")
    session.instructor.second("comes Ada")
    with pytest.raises(CommandError, match="Ada is at the saw already"):
        session.instructor.second("comes Bo")
    session.instructor.second("leaves")
    with pytest.raises(CommandError, match="Ada is away"):
        session.instructor.second("press head.lower")
    session.instructor.second("returns")
    with pytest.raises(CommandError, match="none of"):
        session.instructor.second("set supply.air_cock ajar")
    assert [act.told for act in session.done.of(SecondTold)] == ["comes Ada", "leaves", "returns"]


# What comes of it --------------------------------------------------------------------------


def struck(path):
    """Have Ada lower the head on hands that measure under it."""
    session = open_recorded("rail-posts", path)
    power_up(session)
    session.turn("manual")
    session.hold("head.raise", 8)
    session.instructor.second("comes Ada")
    session.instructor.second("press head.lower in 9")
    session.inspect("band-over-bar")
    return session


def test_his_act_strikes_is_on_the_record_with_who_and_when_and_is_debriefed(tmp_path):
    session = struck(tmp_path / "one.jsonl")
    with few_causes():
        found = finish(session)
    lines = [line for line in read_chain(tmp_path / "one.jsonl") if line.get("act") == "second"]

    assert [(line["who"], line["told"], line["by"]) for line in lines] == [
        ("Ada", "comes Ada", "instructor"), ("Ada", "press head.lower in 9", "instructor"),
    ]  # fmt: skip
    assert [each.kind for each in session.hands.strikes] == ["struck-under-head"]
    assert session.hands.strikes[0].at_us == lines[1]["at_us"] + 9_000_000
    assert (found.score, found.passed, len(found.critical)) == (0, False, 1)
    assert "Ada presses head.lower." in map(str, (event.message for event in found.timeline))
    assert str(found.not_weighed) == ""


def test_a_record_with_his_acts_is_played_again_to_the_same(tmp_path):
    with few_causes():
        found = finish(struck(tmp_path / "one.jsonl"))
        again = replay(tmp_path / "one.jsonl")

        assert again.same
        assert debrief(again.session) == found


def test_looks_are_weighed_where_somebody_else_works_the_saw_meanwhile(tmp_path):
    session = open_recorded("posts-come-out-short", tmp_path / "one.jsonl")
    session.instructor.second("comes Ada")
    session.instructor.second("set supply.air_cock shut in 5")
    session.inspect("walk-round")
    session.inspect("stop-play", "faulty")
    session.diagnose("stop-from-below")
    found = finish(session)

    assert session.saw.read("supply.air_cock") == "shut"
    assert str(found.not_weighed) == ""
    assert [step.look for step in found.steps if "stop" in str(step.title)] == [True]
    assert found.expectations[-1].held
    assert debrief(replay(tmp_path / "one.jsonl").session) == found


def test_who_is_locked_out_is_not_struck_by_what_he_does():
    session = with_second()
    power_up(session)
    do_all(session, locking_out(session))
    session.instructor.second("press supply.isolator in 20")
    session.instructor.second("set supply.air_cock open in 25")

    assert session.inspect("guide-inserts").taken
    assert session.hands.strikes == ()
    assert debrief_by_few(session).exposures == ()
    assert [said.split(":")[0] for said in told(session)] == ["Ada cannot"] * 2


def test_a_key_that_he_holds_stays_down_when_the_trainee_walks_away():
    session = with_second()
    power_up(session)
    session.instructor.second("press head.raise")
    session.advance(0.1)
    session.inspect("walk-round")

    assert "head.raise" in session.saw.held
    session.instructor.second("leaves")
    assert "head.raise" not in session.saw.held


def test_a_scenario_says_what_he_does_and_he_does_it_every_time():
    session = with_second(does=("press supply.emergency_stop in 30",))
    power_up(session)
    session.advance(29.9)
    assert session.saw.bus.driven("S1")
    session.advance(0.2)

    assert not session.saw.bus.driven("S1")
    assert told(session) == ["Ada presses supply.emergency_stop."]


# His padlock -------------------------------------------------------------------------------


def test_he_hangs_his_padlocks_when_told_and_takes_them_off_when_asked():
    session = open_session("rail-posts")
    session.instructor.second("comes Ada")
    do_all(session, locking_out(session))
    locks = session.saw.plant.padlocks
    assert all("Ada" in locks.owners(device) for device in ("isolator", "air cock"))

    before_s = session.now_s
    assert session.lock_out("ask").taken
    assert 60 <= session.now_s - before_s <= 300
    assert session.lockout.others == ()


def test_who_comes_while_it_is_locked_out_hangs_his_own():
    session = open_session("rail-posts")
    do_all(session, locking_out(session))
    session.instructor.second("comes Ada")

    assert session.lockout.others == ("Ada",)


def test_a_lock_whose_owner_is_away_stays_and_the_supervisor_is_asked():
    session = open_session("rail-posts")
    session.instructor.second("comes Ada")
    do_all(session, locking_out(session))
    session.instructor.second("leaves")

    answer = session.lock_out("ask")
    assert not answer.taken
    assert "Ask the supervisor; never cut it" in str(answer.message)
    assert session.lockout.others == ("Ada",)

    session.instructor.second("returns")
    assert session.lock_out("ask").taken


def test_a_lock_left_hanging_keeps_the_isolator_off():
    session = with_second(away=True)
    power_up(session)

    assert session.saw.controller.image["supply"] != "ON"
    assert not session.saw.bus.driven("Q0")


def test_an_order_for_him_reaches_a_running_session(tmp_path):
    path = tmp_path / "one.jsonl"
    session = open_recorded("rail-posts", path)
    orders = Orders(path)
    give(path, Order("second", text="comes Ada"))
    give(path, Order("second", text="press supply.emergency_stop in 3"))

    assert orders.carry_out(session)
    session.advance(4)

    assert orders.refused == []
    assert told(session)[-1] == "Ada presses supply.emergency_stop."
