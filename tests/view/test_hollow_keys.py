"""A hollow key is one that would be refused now, and a filled one would not: asked beforehand, then pressed."""

import pytest

from sim.control.actions import ACTIONS
from sim.control.rules_of_use import WANTS_PALMS
from sim.pilot import autopilot
from sim.records.acts import Asked
from sim.session.opening import open_session
from sim.text import whys
from sim.view.play.asking import against, may

from .conftest import person_at


def _dead(session):
    """Nobody has touched it."""


def _tripped(session):
    session.press("supply.isolator")


def _on(session):
    autopilot.power_up(session)


def _in_production(session):
    autopilot.power_up(session)
    session.turn("production")


def _in_maintenance(session):
    autopilot.power_up(session)
    session.turn("maintenance")


def _cutting(session):
    autopilot.power_up(session)
    autopilot.set_up(session)
    autopilot.begin(session)
    session.advance(10.0)


def _stopped_in_the_cut(session):
    _cutting(session)
    session.press("supply.emergency_stop")


def _coasting(session):
    autopilot.power_up(session)
    autopilot.raise_head(session)
    session.palms("band.run")
    session.advance(3.0)
    session.tap("band.stop")
    session.advance(0.2)


def test_in_a_drill_no_key_is_hollow_for_what_nobody_has_asked():
    session = open_session("motor-hums", nonce="for tests")
    assert any(against(session, action.name) for action in ACTIONS)
    assert all(may(session, action.name) for action in ACTIONS)


@pytest.mark.parametrize("by", ["the bench", "the console"])
def test_what_the_window_tells_of_a_key_is_asked_on_the_record_as_in_the_terminal(by):
    person, typed = person_at(scenario="motor-hums"), open_session("motor-hums", nonce="for tests")
    person.play.paused = True
    if by == "the bench":
        person.play.go("bench")
        person.play.ask_why("head.raise")
        person.frame()
        person.frame()
    else:
        person.app.stage.page.why("key.head.raise")
    whys.why(typed, "head.raise")

    asked = [act.name for act in person.session.done.acts if isinstance(act, Asked)]
    assert asked.count("head.raise") == 1
    assert person.session.seen.answers[-1].said == typed.seen.answers[-1].said


@pytest.mark.parametrize(
    "stand",
    [
        _dead, _tripped, _on, _in_production, _in_maintenance, _cutting, _stopped_in_the_cut,
        _coasting,
    ],
)  # fmt: skip
def test_a_key_is_hollow_just_when_it_would_be_refused(stand):
    hollow = 0
    for action in ACTIONS:
        session = open_session("rail-posts", nonce="for tests")
        stand(session)
        allowed, reasons = may(session, action.name), against(session, action.name)
        assert allowed == (not reasons), action.name
        hollow += not allowed
        answer = session.press(action.name)
        if action.on_release:
            answer = session.release(action.name)
        assert answer is not None, action.name
        waits = answer.refusals == (WANTS_PALMS,)
        assert allowed == (answer.accepted or waits), (action.name, answer)
    assert hollow
