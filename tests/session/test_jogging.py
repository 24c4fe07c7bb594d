"""A remedy that is jogs of the band is done on a saw that can be jogged, and refused on every other."""

import pytest

from sim.authoring.search import put_right
from sim.faults.catalogue import EVERY
from sim.pilot.locking import lock_out
from sim.plant.harm.kinds import KINDS
from sim.scenario import library
from sim.session import typed
from sim.session.before.tracking import jog, track
from sim.session.kept.origin import Origin
from sim.session.lockout import WHOLE
from sim.session.opening import read, session_for
from sim.teaching.slips import slip
from sim.text.typed.acts import perform
from sim.text.typed.language import parse
from sim.words.message import NOTHING

DRILL, REMEDY = "off-square-since-the-early-shift", "band-untracked"


def opened(machine="harbour-saw"):
    return session_for(read(DRILL, machine)[0], origin=Origin(seed=7))


def ready():
    session = opened()
    for line in typed.raising(session):
        perform(session, parse(line))
    return session


def beside_its_guides(session):
    """Leave a band laid on its wheels, under tension, behind the closed cover of a saw that runs."""
    session.saw.plant.band.seat.place = "laid on"


WRONG = {
    "Nothing is jogged without control power": lambda s: s.release("supply.isolator"),
    "The key of the mode switch is out": lambda s: s.set("mode.key", "in my pocket"),
    "The band stands no higher than the bar": lambda s: s.hold("head.lower", 60),
    "The wheel cover stands open": lambda s: s.set("band.wheel_cover", "open"),
    "The band guard stands open": lambda s: s.set("band.guard", "open"),
    "The band is let down": lambda s: s.set("band.tension_mpa", 0),
    "The band is not in its guides": beside_its_guides,
}


def test_it_is_done_with_control_on_head_up_and_cover_closed():
    session = ready()
    answer = session.put_right(REMEDY)

    assert answer.taken
    assert session.saw.plant.band.seat.tracks
    assert session.hands.exposures == []


@pytest.mark.parametrize("said", WRONG)
def test_on_a_saw_that_cannot_be_jogged_it_is_refused_at_once_with_what_to_do(said):
    session = ready()
    WRONG[said](session)
    before_us = session.saw.clock.now_us
    answer = session.put_right(REMEDY)

    assert not answer.taken
    assert str(answer.message).startswith(said)
    assert session.saw.clock.now_us == before_us
    assert not session.saw.plant.band.seat.tracks
    assert REMEDY not in session.done.put_right


def test_at_a_running_band_it_strikes_at_the_screw_outside_and_says_to_stop_first_and_then_jog():
    session = ready()
    for line in ("palms band.run", "wait 5", f"fix {REMEDY}"):
        perform(session, parse(line))
    harm = session.saw.consequences[-1]

    assert session.over
    assert harm.kind == "struck-tracking-screw"
    assert "from outside" in str(harm.sentence)
    assert "between band and wheel" not in str(harm.sentence)
    assert str(KINDS[harm.kind].instead).startswith("stop the band")
    assert "lock" not in str(KINDS[harm.kind].instead)


def test_under_lock_out_it_is_refused_and_nobody_is_sent_to_a_locked_isolator():
    session = ready()
    lock_out(session)
    assert not session.put_right(REMEDY).taken
    for name, (whole, _) in WHOLE.items():
        if session.saw.read(name) != whole:
            session.set(name, whole)
    said = str(session.put_right(REMEDY).message)

    assert "The isolator is locked off: leave it off" in said
    assert "witch the isolator on" not in said


def test_behind_an_emergency_stop_all_that_is_wanted_is_told_at_once_and_does():
    session = ready()
    session.press("supply.emergency_stop")
    session.advance(60)  # the head sinks on to the bar
    session.set("mode.key", "in my pocket")
    said = str(session.put_right(REMEDY).message)

    wanted = (
        "Turn the emergency stop out",
        "press reset",
        "switch control on",
        "Put the key in",
        "raise the head",
    )
    places = [said.index(each) for each in wanted]

    assert places == sorted(places)

    session.release("supply.emergency_stop")
    session.tap("supply.reset")
    session.tap("supply.control_on")
    session.set("mode.key", "in the switch")
    session.hold("head.raise", 10)

    assert session.put_right(REMEDY).taken


@pytest.mark.parametrize("machine", library.machine_names())
def test_the_search_and_the_hint_bring_the_saw_there_first(machine):
    for mends in (lambda s: put_right(s, REMEDY), _as_typed):
        session = opened(machine)
        mends(session)

        assert session.saw.plant.band.seat.tracks
        assert REMEDY in session.done.put_right
        assert (session.hands.exposures, session.saw.consequences) == ([], [])


def test_named_beside_a_cause_under_lock_out_it_comes_after_the_way_back_with_the_head_raised_anew():
    session = ready()  # whose head the lock-out lets down
    session.diagnose("guides-worn")
    _as_typed(session)

    assert {"guides-worn", REMEDY} <= set(session.done.put_right)
    assert session.saw.plant.band.seat.tracks
    assert (session.hands.exposures, session.saw.consequences) == ([], [])


def _as_typed(session):
    session.diagnose(REMEDY)
    acts = typed.proving(session)
    for line in acts[: acts.index(f"fix {REMEDY}") + 1]:
        perform(session, parse(line))


def test_no_other_remedy_asks_for_it():
    assert [name for name, fault in EVERY.items() if fault.jogged] == [REMEDY]


@pytest.mark.parametrize("machine", ["harbour-saw", "quay-saw"])
def test_a_jog_moves_the_band_as_far_as_is_said_and_nowhere_near_once_round(machine):
    """By adding up its speed over a jog, against the ramps by geometry."""
    session = on_its_wheels(machine)
    band, clock = session.saw.plant.band, session.saw.clock
    said_m, moved_m = band.jog_m, 0.0
    session.press("enable")
    session.press("band.run")
    for _ in range(3_000):
        before_m_s, from_us = band.speed_m_s, clock.now_us
        session.advance(0.001)
        moved_m += (before_m_s + band.speed_m_s) / 2.0 * (clock.now_us - from_us) / 1e6

    assert not band.moves
    assert said_m == pytest.approx(moved_m, rel=0.02)
    assert 80 <= band.jogs_a_turn <= 150
    assert 0.03 <= round(said_m, 2) <= 0.05
    assert (
        (band.jogs_a_turn - 1) * said_m < session.machine.band_length_m <= band.jogs_a_turn * said_m
    )


def on_its_wheels(machine):
    session = opened(machine)
    for line in typed.raising(session):
        perform(session, parse(line))
    session.turn("maintenance")
    session.advance(2.0)
    return session


@pytest.mark.parametrize("lesson", ["11-thin-wall", "15-band-change"])
def test_the_lessons_say_how_little_a_jog_moves_and_what_is_watched(lesson):
    scenario, _ = read(lesson)
    step = next(each for each in scenario.steps if each.goal.measure)

    assert "3 to 5 cm" in step.hint
    assert "80 to 150" in step.hint
    assert "Watch its back at both flanges" in step.hint


@pytest.mark.parametrize("machine", library.machine_names())
def test_a_band_that_was_put_on_is_let_round_once_before_it_runs_faster(machine):
    """Common practice, no source: jogs show that it stays on, a whole turn what its weld does."""
    session = opened(machine)
    for line in typed.raising(session):
        perform(session, parse(line))
    seat = session.saw.plant.band.seat
    seat.refit()
    jog(session)
    few = str(session.inspect("tracking").message)
    told = str(slip(session, "band.seat"))
    track(session)

    assert seat.tracks
    assert "of it have not" in few
    assert "first let it round once in MANUAL at the lowest speed" in told
    assert seat.unseen_m == 0.0
    assert slip(session, "band.seat") == NOTHING
    assert (session.hands.exposures, session.saw.consequences) == ([], [])
