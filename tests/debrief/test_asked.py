"""What the control says when a key is asked about is evidence like a refusal, costs nothing and is on the record."""

import pytest

from sim.debrief.evidence import evidence
from sim.pilot.autopilot import power_up
from sim.records.acts import Asked
from sim.session.opening import open_recorded, open_session
from sim.session.playback.replay import play, replay
from sim.text.whys import why

DRILL, KEY = "motor-hums", "band.run"


def _powered():
    session = open_session(DRILL, nonce="")
    power_up(session)
    return session


def _believed(session, cause):
    """Return the belief in a cause now."""
    found = evidence(session, up_to_now=True)
    return found.steps[-1].shares[found.causes.index(cause)]


def test_an_answer_rules_out_what_would_have_been_answered_otherwise():
    silent, asking = _powered(), _powered()
    asking.ask(KEY)

    assert _believed(silent, "guard-wire") > 0.0  # which would block the band
    assert _believed(asking, "guard-wire") == 0.0
    asked = [step for step in evidence(asking, up_to_now=True).steps if step.asked]
    assert [str(step.title) for step in asked] == ["Asked what blocks band.run"]
    assert not asked[0].look


def test_a_naming_counts_by_the_answers_before_it():
    worth = []
    for keys in ((), (KEY,)):
        session = _powered()
        for key in keys:
            session.ask(key)
        session.diagnose("band-motor-fuse")
        (naming,) = evidence(session).namings
        worth.append(naming.credit)
    assert worth[1] > worth[0]


def test_asking_takes_no_time_and_moves_nothing():
    session = _powered()
    acts = len(session.done.all)
    before = session.saw.digest(), session.saw.clock.now_us
    session.ask(KEY)
    assert (session.saw.digest(), session.saw.clock.now_us) == before
    assert not any(deed.by_hand for deed in session.done.all[acts:])


def test_what_is_due_at_the_instant_happens_before_the_answer():
    asked, due = [], []
    for waits in (False, True):
        session = _powered()
        session.saw.clock.after(
            0, lambda session=session: session.saw.press("supply.emergency_stop")
        )
        if waits:
            session.going.ready()
        session.ask(KEY)
        asked.append(session.seen.answers[-1])
        due.append(session.saw.controller.image["supply"])
    assert asked[0] == asked[1]
    assert due == ["TRIPPED", "TRIPPED"]


def test_a_question_typed_is_on_the_record_and_plays_again(tmp_path):
    path = tmp_path / "asked.jsonl"
    session = open_recorded(DRILL, path)
    why(session, KEY)
    session.advance(2.0)
    why(session, "head.raise")
    session.close()

    again = replay(path)
    assert again.same
    assert [a.name for a in again.session.done.acts if isinstance(a, Asked)] == [KEY, "head.raise"]
    assert again.session.seen.answers == session.seen.answers


@pytest.mark.parametrize("key", ["band.run", "band.faster", "supply.isolator", "palm.left"])
def test_every_kind_of_key_can_be_asked(key):
    session = open_session(DRILL, nonce="")
    session.ask(key)
    assert session.seen.answers[-1].key == key
    copy = open_session(DRILL, nonce="")
    play(copy, session.done.acts[-1])
    assert copy.seen.answers == session.seen.answers


def test_who_hears_the_pump_run_and_the_band_motor_hum_has_more_than_a_guess():
    session = _powered()
    session.advance(2.0)
    session.diagnose("band-motor-fuse")
    found = evidence(session)
    (sight,) = found.steps

    assert "the oil pump whines" in str(sight.found)
    assert not found.namings[0].told_apart  # of three fuses any hums so
    assert found.namings[0].credit > 1.5 * found.namings[0].heard
