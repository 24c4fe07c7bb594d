"""Where crooked faces are reported a piece proves the saw sound by its length and its face, not by one of them."""

from dataclasses import replace

import pytest

from sim.authoring.check import _provable
from sim.authoring.search import put_right
from sim.debrief.debrief import debrief
from sim.debrief.step_way import step_way
from sim.pilot.autopilot import again, measure
from sim.pilot.lesson_pilot import play_lesson
from sim.records.acts import Inspected
from sim.scenario import library
from sim.session import typed
from sim.session.kept.origin import Origin
from sim.session.lessons.goals import KINDS
from sim.session.lessons.lesson import lesson_of
from sim.session.opening import library_entries, open_session, read, session_for
from sim.trade.measuring import BY_NAME, Ruling, face_tool

CROOKED = [name for name, scenario in library_entries() if scenario.proves_face]
DRILL = "ends-do-not-meet"


def mended(name=DRILL, seed=7):
    """Return a session on a drill whose fault is named and mended, with one new piece and the job on hold."""
    session = session_for(read(name)[0], origin=Origin(seed=seed))
    for fault in session.hidden:
        session.diagnose(fault.name)
        put_right(session, fault.name)
    again(session, 1)
    session.tap("job.hold")
    session.advance(60)
    return session


def proof(session):
    return next(part for part in debrief(session).parts if part.key == "proof")


def test_there_are_thirteen_such_drills():
    assert len(CROOKED) == 13


@pytest.mark.parametrize("machine", library.machine_names())
@pytest.mark.parametrize("name", CROOKED)
def test_each_allows_a_tool_for_the_length_and_one_for_the_face(name, machine):
    scenario, _ = read(name, machine)
    tools = session_for(scenario).measuring.proof_tools(scenario.inspections)

    assert [tool.squareness for tool in tools] == [False, True]
    assert _provable(scenario).holds


def test_without_the_feeler_the_check_says_that_nobody_could_prove_it():
    scenario, _ = read(DRILL)
    looks = tuple(look for look in scenario.inspections if look != "feeler")
    verdict = _provable(scenario.model_copy(update={"inspections": looks}))

    assert not verdict.holds
    assert str(verdict.detail).startswith("crooked faces are reported, and no tool")


def test_a_good_length_alone_proves_nothing_and_the_debrief_says_what_is_wanting():
    session = mended()
    session.inspect("caliper")
    said = str(session.seen.looks[-1].found)

    assert session.measuring.readings[-1].verdict is Ruling.GOOD
    assert said.endswith(
        "Crooked faces were reported, so square or feeler has to find its face good too."
    )
    assert session.tally.proved_us is None
    assert "no square or feeler has found one good" in str(proof(session).reason)
    assert proof(session).points == 5


def test_the_length_and_a_good_face_prove_it_in_either_order():
    for looks in (("caliper", "feeler"), ("feeler", "caliper")):
        session = mended()
        session.inspect(looks[0])
        assert session.tally.proved_us is None
        session.inspect(looks[1])
        assert session.tally.proved_us == session.measuring.readings[-1].at_us


def test_a_face_alone_proves_nothing_either():
    session = mended()
    session.inspect("feeler")

    assert session.tally.proved_us is None
    assert "no length was measured good" in str(proof(session).reason)


def test_a_length_that_is_not_found_good_proves_nothing_with_a_good_face_either():
    session = mended()
    session.inspect("feeler")
    session.inspect("caliper")
    good = session.measuring.readings[-1]
    assert (good.proves, good.verdict) == (True, Ruling.GOOD)
    session.tally.right_length, session.tally.proved_us = False, None
    for verdict in (Ruling.OPEN, Ruling.SHORT, Ruling.LONG):
        session.tally.measured(replace(good, verdict=verdict), session.measuring)

    assert session.tally.right_face
    assert not session.tally.right_length
    assert session.tally.proved_us is None


def test_a_square_that_decides_nothing_on_a_small_face_proves_nothing():
    session = mended()
    for _ in range(6):
        session.inspect("square")
        if session.measuring.readings[-1].verdict is Ruling.OPEN:
            break
    session.tally.right_face = False
    session.inspect("square")
    session.inspect("caliper")
    found = [each.verdict for each in session.measuring.readings if each.tool.squareness]

    assert Ruling.OPEN in found
    assert (session.tally.proved_us is not None) == (found[-1] is Ruling.GOOD)


def test_a_bad_piece_in_between_takes_back_what_was_found_good_before():
    session = mended()
    session.inspect("caliper")
    good = session.saw.cuts[-1]
    session.tally.count(good)
    assert session.tally.right_length
    session.tally.is_good = lambda _cut: False
    session.tally.count(good)

    assert not session.tally.right_length


def test_the_operators_crooked_pieces_prove_nothing_by_their_faces():
    session = session_for(read(DRILL)[0], origin=Origin(seed=7))
    session.inspect("feeler")

    assert session.measuring.readings[-1].left
    assert not session.tally.right_face


def test_the_pilot_lays_the_feeler_to_the_piece_and_what_is_typed_does_too():
    session = mended()

    assert typed.measuring(session)[-2:] == ("inspect caliper", "inspect feeler")
    assert measure(session)
    assert [each.tool.name for each in session.measuring.readings] == ["caliper", "feeler"]
    assert session.tally.proved_us is not None


def test_the_tool_for_a_face_is_the_quickest_that_is_sure_to_half_of_what_counts_as_square():
    assert face_tool(0.3e-3) is BY_NAME["square"]  # sure to 0.115 mm, from memory of a try square
    assert face_tool(0.1e-3) is BY_NAME["feeler"]  # sure to 0.042 mm
    assert face_tool(0.05e-3) is None
    assert face_tool(0.1e-3, ("square", "caliper")) is None


@pytest.mark.parametrize(("lesson", "step"), [("15-band-change", 25), ("18-reading-the-cut", 11)])
def test_a_lesson_counts_a_face_that_square_or_feeler_finds_square_and_no_other(lesson, step):
    scenario, _ = read(lesson)
    goal = scenario.steps[step - 1].goal
    session = mended()
    session.inspect("feeler")
    found = session.measuring.readings[-1]
    judge = KINDS["square_faces"]

    assert step == len(scenario.steps)
    assert goal.square_faces == 1
    assert found.good
    assert not list(judge(session, (), goal.square_faces))
    session.measuring.readings[-1] = replace(found, tool=BY_NAME["square"])
    assert not list(judge(session, (), goal.square_faces))
    for verdict in (Ruling.OPEN, Ruling.LONG):  # nothing decided, and out of square
        session.measuring.readings[-1] = replace(found, verdict=verdict)
        assert list(judge(session, (), goal.square_faces))
    session.measuring.readings[-1] = replace(found, left=True)  # the operator's
    assert list(judge(session, (), goal.square_faces))
    session.measuring.readings[-1] = replace(found, piece=found.piece - 1)  # not the last that fell
    assert list(judge(session, (), goal.square_faces))


def test_the_hint_at_the_end_of_the_band_change_lays_the_feeler_to_the_piece_cut_at_full_feed():
    session = open_session("15-band-change", nonce="")
    lesson = lesson_of(session)
    assert play_lesson(session, lesson, len(lesson.steps) - 1)
    way = step_way(session)
    looks = [act.name for act in way.acts if isinstance(act, Inspected)]

    assert len(session.measuring.own) == 4
    assert looks == ["chips", "feeler 4"]
    session.inspect("feeler 3")  # cut at half the feed
    assert session.measuring.readings[-1].good
    assert list(KINDS["square_faces"](session, (), 1))
    session.inspect("feeler 4")
    assert not list(KINDS["square_faces"](session, (), 1))
