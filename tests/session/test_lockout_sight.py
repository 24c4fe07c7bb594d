"""The list of a lock-out tells in a drill what was looked at, set by hand or seen in a step, and no more."""

import pytest

from sim.faults.catalogue import CATALOGUE
from sim.session.opening import open_session, session_for
from sim.session.sights.energy import energy_in_sight, how_it_stands

COCK, DRILL = "Air cock", "posts-come-out-short"


def line(session, title):
    [said] = [str(said) for _, said in energy_in_sight(session) if str(said).startswith(title)]
    return said


def with_cock(cock):
    """Return a drill on a saw whose air cock stands so."""
    scenario = open_session(DRILL).scenario.model_copy(update={"inspections": "all"})
    session = session_for(scenario, nonce="")
    if cock == "shut":
        session.faults.put_in(CATALOGUE["air-cock-shut"])
    session.advance(60)
    return session


def isolate(session):
    session.lock_out("tell")
    session.release("supply.isolator")
    session.lock_out("lock-isolator")


@pytest.mark.parametrize("cock", ["open", "shut"])
def test_a_cock_that_nobody_looked_at_is_not_told(cock):
    session = with_cock(cock)
    isolate(session)

    assert line(session, COCK) == "Air cock: unseen; inspect air-cock"
    assert line(session, "Air:") == "Air: unseen; inspect air-gauge"
    assert line(session, "Key of") == "Key of the mode switch: unseen; inspect mode-key"
    assert str(how_it_stands(session)) == (
        "Wanting: that you see the air cock shut (look at it, or shut it yourself), "
        "and your own padlock on it."
    )


@pytest.mark.parametrize("cock", ["open", "shut"])
def test_once_looked_at_it_is_told_as_it_stands(cock):
    session = with_cock(cock)
    session.inspect("air-cock")

    assert line(session, COCK).startswith(f"Air cock: {cock}")


def test_set_by_hand_it_is_told_and_its_gauge_with_it():
    session = with_cock("open")
    session.set("supply.air_cock", "shut")
    session.advance(60)

    assert line(session, COCK) == "Air cock: shut, no padlock"
    assert line(session, "Air:") == "Air: no pressure"


def test_a_padlock_hung_on_it_has_shown_it():
    session = with_cock("shut")
    isolate(session)
    session.lock_out("lock-air")

    assert line(session, COCK) == "Air cock: shut, your padlock"


def test_what_no_gauge_was_read_for_is_not_told_and_verifying_still_refuses_it():
    session = open_session(DRILL, nonce="")
    session.press("supply.isolator")
    session.tap("supply.reset")
    session.tap("supply.control_on")
    session.hold("cutting_vise.clamp", 4)
    session.set("infeed.bar_chock", "in")
    isolate(session)
    session.set("supply.air_cock", "shut")
    session.set("head.oil_relief", "open")
    session.advance(60)
    session.lock_out("lock-air")
    before = str(how_it_stands(session))
    verified = session.lock_out("verify")

    assert before.startswith(
        "Nothing is wanting of what you have seen. Look at the rest, or verify"
    )
    assert not verified.taken
    assert "gauge of the cutting vise" in str(verified.message)
    assert not session.lockout.verified
    session.set("cutting_vise.oil_relief", "open")
    session.advance(10)
    assert session.lock_out("verify").taken
    assert str(how_it_stands(session)).startswith("Verified")


def test_in_practice_all_is_told():
    session = open_session("rail-posts", nonce="")
    isolate(session)

    assert line(session, COCK) == "Air cock: open, no padlock"
    assert "air cock is open" in str(how_it_stands(session))
