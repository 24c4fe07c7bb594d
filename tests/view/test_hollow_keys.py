"""A hollow key is one that would be refused now, and a filled one would not: asked beforehand, then pressed."""

import pytest

from sim.control.actions import ACTIONS
from sim.control.rules_of_use import WANTS_PALMS
from sim.pilot import autopilot
from sim.session.opening import open_session
from sim.view.play.asking import against, may


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
