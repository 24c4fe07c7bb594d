"""The worlds that are kept beside a session tell what living through all of it again would tell."""

import pytest

from sim.authoring.search import put_right
from sim.debrief import evidence as weighing
from sim.debrief.evidence import evidence
from sim.debrief.hints import hint, next_thing
from sim.diagnosis.worlds import Worlds
from sim.pilot.autopilot import as_found, power_up, prove
from sim.session.opening import open_session

from .eventful import few_causes

FEW = ("stop-from-below", "length-without-kerf", "coolant-out")


@pytest.fixture(autouse=True)
def three_causes():
    """Weigh three faults and the sound machine only."""
    with few_causes(FEW):
        yield


def look_about(session):
    session.inspect("length-stop")
    session.advance(3)
    session.inspect("stop-play")


def begin_a_job(session):
    power_up(session)
    session.press("job.start")
    session.advance(1)


def put_something_in(session):
    session.instructor.put_in("coolant-out")
    session.inspect("coolant-tank")


def take_it_out(session):
    session.instructor.take_out("coolant-out")
    session.inspect("coolant-tank")


def mend(session):
    session.diagnose("stop-from-below")
    put_right(session, "stop-from-below")


DEEDS = {
    "look": look_about,
    "wait": lambda session: session.advance(40),
    "cut": lambda session: as_found(session, 1),
    "begin": begin_a_job,
    "put in": put_something_in,
    "take out": take_it_out,
    "mend": mend,
    "prove": prove,
}


def anew(session, **how):
    """Return the evidence with nothing kept beside the session."""
    weighing._BESIDE.pop(session, None)
    return evidence(session, **how)


@pytest.mark.parametrize(
    "deeds",
    [
        ("wait", "look", "wait", "cut", "look", "mend", "prove"),
        ("begin", "look", "wait", "mend"),
        ("look", "put in", "wait", "take out", "look"),
    ],
    ids=" ".join,
)
def test_what_was_lived_through_bit_by_bit_tells_what_all_at_once_tells(deeds):
    session = open_session("posts-come-out-short", nonce="")
    other = open_session("posts-come-out-short", nonce="")
    for deed in deeds:
        DEEDS[deed](session)
        DEEDS[deed](other)
        # Asked in this order, so that both go on from what the other way of asking has left.
        kept = (evidence(session, up_to_now=True), evidence(session))

        assert kept == (anew(other, up_to_now=True), anew(other))


def test_what_was_seen_since_the_last_act_is_weighed_however_often_it_is_asked():
    session = open_session("posts-come-out-short", nonce="")
    as_found(session, 1)  # a post falls, some minutes after the last key
    first = evidence(session, up_to_now=True)

    assert evidence(session, up_to_now=True) == first == anew(session, up_to_now=True)


def test_a_hint_that_is_asked_again_says_how_the_same_is_done():
    session = open_session("posts-come-out-short", nonce="")
    as_found(session, 1)
    session.advance(1)
    first = next_thing(session)

    assert next_thing(session) == first
    assert str(hint(session).message).startswith(str(first.said))
    again = str(hint(session).message)
    assert again.startswith(str(first.said))
    assert first.acts[-1] in again


def test_worlds_go_on_and_are_not_built_again(monkeypatch):
    built = []

    class Counted(Worlds):
        def __init__(self, *what):
            built.append(what)
            super().__init__(*what)

    monkeypatch.setattr(weighing, "Worlds", Counted)
    session = open_session("posts-come-out-short", nonce="")
    for deed in ("look", "wait", "cut", "look", "mend"):
        DEEDS[deed](session)
        evidence(session, up_to_now=True)
    evidence(session)

    assert len(built) == 1

    put_something_in(session)
    evidence(session)

    assert len(built) == 2
