"""The try of a start proves a lock-out only where the start would answer, were the saw live."""

import pytest

from sim.plant.mode_key import IN_POCKET
from sim.plant.padlocks import ISOLATOR
from sim.records.acts import Adjusted
from sim.session.locking import LockingAct, do_all, locking_out
from sim.session.lockout import STOPS
from sim.session.opening import open_session
from sim.session.sights.energy import how_it_stands
from sim.view.play.guide import STARTS_FREE, light_of
from tests.safety.playing import do

OFF = "release supply.isolator"
KEPT_AWAY = {
    **{f"press {latch}": f"release {latch}" for latch in STOPS},
    "set infeed.hood open": "set infeed.hood shut",
    "set mode.key in my pocket": "set mode.key in the switch",
}
STARTS = ("supply.reset", "supply.control_on", "head.raise", "band.run", "job.reset", "job.start")


def run(session, *lines):
    for line in lines:
        do(session, line)
    return session


def locked(session):
    """Have all of a lock-out but the try."""
    do_all(session, (act for act in locking_out(session) if act.name != "verify"))
    return session


def answering(session):
    """Return the starts that a live saw answers as it stands, in MANUAL and, for the job, in PRODUCTION."""
    taken = set()
    for key in STARTS:
        if key == "job.reset":
            session.turn("production")
        if key == "head.raise":
            answer = session.hold(key, 8)
        else:
            answer = (session.palms if key in ("band.run", "job.start") else session.tap)(key)
        if answer is not None and answer.accepted:
            taken.add(key)
        if key == "band.run":
            run(session, "wait 1", "tap band.stop", "wait 12")
    return taken


@pytest.mark.parametrize("keeps", KEPT_AWAY)
def test_what_is_refused_for_keeps_a_start_away_from_a_live_saw(keeps):
    live = run(open_session("rail-posts"), "press supply.isolator")
    every = answering(live)
    kept = run(open_session("rail-posts"), keeps, "press supply.isolator")

    assert every == set(STARTS)
    assert answering(kept) < every


@pytest.mark.parametrize("keeps", KEPT_AWAY)
def test_a_try_that_proves_nothing_is_refused_until_what_it_says_is_done(keeps):
    session = run(locked(open_session("rail-posts")), keeps)
    refused = session.lock_out("verify")

    assert not refused.taken
    assert str(refused.message) in str(how_it_stands(session))
    assert not session.lockout.verified
    run(session, KEPT_AWAY[keeps])
    assert session.lock_out("verify").taken
    run(session, keeps)
    assert session.lockout.verified  # the saw was tried; a stop more takes nothing from that


@pytest.mark.parametrize("keeps", KEPT_AWAY)
def test_the_acts_that_a_hint_types_put_it_back_with_the_padlock_on_and_verify(keeps):
    session = run(open_session("rail-posts"), keeps)
    acts = list(locking_out(session))
    typed = [act.typed for act in acts]
    do_all(session, iter(acts))

    assert (
        typed.index("lockout lock-isolator")
        < typed.index(KEPT_AWAY[keeps])
        < typed.index("lockout verify")
    )
    assert session.lockout.verified
    assert session.done.unsafe == []


@pytest.mark.parametrize("key", ["palm.left", "band.run", "supply.control_on", "head.raise"])
def test_a_start_that_somebody_holds_down_is_not_tried(key):
    session = locked(open_session("rail-posts"))
    session.another.held.add(key)
    session.saw.press(key)
    said = str(session.lock_out("verify").message)

    assert key in said
    assert not session.lockout.verified
    session.saw.release(key)
    assert session.lock_out("verify").taken


def test_guard_and_cover_open_stay_as_they_are_for_the_try():
    """Their locks open with power only; control on and the head answer with them open."""
    live = run(open_session("rail-posts"), "set band.guard open", "press supply.isolator")
    assert {"supply.control_on", "head.raise"} <= answering(live)
    session = run(open_session("rail-posts"), "press supply.isolator", "set band.guard open")
    do_all(session, locking_out(session))

    assert session.saw.read("band.guard") == "open"
    assert session.lockout.verified


def test_a_saw_without_a_hood_wants_none_shut():
    session = open_session("rail-posts", machine="quay-saw")
    assert LockingAct("set", "infeed.hood", "shut") not in list(locking_out(session))


def test_the_sheet_of_the_lock_out_has_a_step_that_is_lit_for_the_hood():
    session = run(locked(open_session("rail-posts")), "set infeed.hood open")
    lit = light_of(Adjusted(0, "infeed.hood", "shut"), session)

    assert session.lockout.mine(ISOLATOR)
    assert f"lockout.{STARTS_FREE}" in lit.names


def test_a_key_drawn_again_after_the_try_takes_nothing_from_it():
    session = open_session("rail-posts")
    do_all(session, locking_out(session))
    session.set("mode.key", IN_POCKET)

    assert session.lockout.verified
