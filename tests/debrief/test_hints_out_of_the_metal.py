"""A hint first brings a saw to safety whose band runs, or ran, with its teeth in the metal."""

import pytest

from sim.debrief.hints import hint, next_thing
from sim.session import typed
from sim.session.kept import told
from sim.session.lockout import OPERATOR
from sim.session.opening import open_session
from sim.text.typed.acts import perform
from sim.text.typed.language import parse

IN_THE_CUT = ("auto power", "auto ready", "auto start", "wait until cycle.lower_head", "wait 30")
STOPPED = (
    *IN_THE_CUT, "press supply.emergency_stop", "wait 10", "release supply.emergency_stop",
    "tap supply.reset", "tap supply.control_on", "turn manual", "wait 1",
)  # fmt: skip
BY_HAND = (
    "auto power", "auto ready", "turn manual", "wait 1", "hold cutting_vise.clamp 2", "palms band.run",
    "wait until band.running",
)  # fmt: skip


def played(*lines, machine=""):
    session = open_session("rail-posts", machine=machine)
    do(session, *lines)
    return session


def do(session, *lines):
    for line in lines:
        perform(session, parse(line))


def sawn_into(session):
    plant = session.saw.plant
    while plant.bar.kerf_depth_m < 0.01 and plant.head.cutting is None:
        do(session, "hold head.lower 0.5")
    do(session, "hold head.lower 5")
    return session


@pytest.mark.parametrize("machine", ["harbour-saw", "quay-saw"])
def test_a_band_started_in_its_kerf_is_stopped_raised_and_looked_at_first(machine):
    session = played(*STOPPED, "palms band.run", "wait 3", machine=machine)
    assert next(iter(session.saw.consequences)).kind == "started-buried"
    first = next_thing(session)
    assert first.said == told.HINT_RUNS_BURIED
    assert first.acts[0] == "tap band.stop"
    do(session, *first.acts)
    plant = session.saw.plant
    assert not plant.band.moves
    assert plant.head.place.position > plant.bar.height_m

    then = next_thing(session)
    assert "teeth" in str(then.said)
    assert then.acts[-1] == "inspect band-teeth"
    do(session, *then.acts)
    assert session.hands.exposures == []
    assert next_thing(session).acts[-1:] != ("inspect band-teeth",)


def test_a_band_that_was_stopped_in_its_kerf_is_raised_before_anything_else():
    session = played(*STOPPED, "palms band.run", "wait 3", "press supply.emergency_stop", "wait 20")
    due = next_thing(session)
    assert due.said == told.HINT_LIES_BURIED
    do(session, *due.acts)

    assert session.saw.plant.head.place.position > session.saw.plant.bar.height_m


def test_a_cut_by_hand_that_is_left_rubbing_in_its_kerf_is_stopped_first():
    session = sawn_into(played(*BY_HAND))
    assert session.saw.plant.band.contactor
    do(session, "wait 5")
    assert "Stop the band, raise the head" in str(hint(session).message)
    assert "tap band.stop" in str(hint(session).message)

    session.press("head.lower")
    assert next_thing(session).said != told.HINT_RUNS_BURIED


@pytest.mark.parametrize("lines", [(), IN_THE_CUT, STOPPED])
def test_a_job_under_way_and_a_saw_without_harm_are_not_called_unsafe(lines):
    due = next_thing(played(*lines))

    assert due.said not in (told.HINT_RUNS_BURIED, told.HINT_LIES_BURIED)
    assert due.acts[-1:] != ("inspect band-teeth",)


STARTED = (*STOPPED, "palms band.run", "wait 3")
CASES = {
    "runs": STARTED,
    "stopped by the stop": (*STARTED, "press supply.emergency_stop", "wait 20"),
    "stopped at the infeed": (*STARTED, "press supply.infeed_stop", "wait 20"),
    "trip line": (*STARTED, "press supply.trip_line", "wait 20"),
    "key drawn": (*STARTED, "set mode.key in my pocket", "wait 20"),
    "isolator off": (*STARTED, "release supply.isolator", "wait 20"),
}


def followed(session, until="inspect band-teeth", most=40):
    """Ask for a hint and do its first act alone, again and again; return what was done."""
    done = []
    while not done or done[-1] != until:
        assert len(done) < most, done
        hint(session)
        done.append(next_thing(session).acts[0])
        do(session, done[-1])
    return done


@pytest.mark.parametrize("machine", ["harbour-saw", "quay-saw"])
@pytest.mark.parametrize("before", CASES.values(), ids=CASES)
def test_a_hint_done_act_by_act_goes_on_to_its_end_and_never_begins_anew(before, machine):
    session = played(*before, machine=machine)
    harmed = len(session.saw.consequences)
    done = followed(session)

    assert [act for act in done if act.startswith("lockout")] == [
        "lockout tell", "lockout lock-isolator", "lockout lock-air", "lockout verify",
    ]  # fmt: skip
    assert len(set(done)) == len(done)
    assert done.index("hold head.raise 8") < done.index("lockout tell")
    assert session.seen.has("band-teeth")
    assert (len(session.saw.consequences), session.hands.exposures) == (harmed, [])


def test_the_hint_that_stops_a_band_rubbing_in_its_kerf_has_it_raised_and_looked_at_though_no_harm_came():
    session = sawn_into(played(*BY_HAND))
    do(session, "wait 5")
    assert session.saw.consequences == []
    done = followed(session)

    assert done[:3] == ["tap band.stop", "wait still", "hold head.raise 8"]
    assert done.count("lockout tell") == 1


def test_the_way_back_that_a_hint_begins_ends_with_the_air_on_and_power_up_resets_once():
    session = played(*STARTED)
    followed(session)
    acts = followed_powering_up(session)

    assert acts[-4:] == [
        "set supply.air_cock open", "press supply.isolator", "tap supply.reset", "tap supply.control_on",
    ]  # fmt: skip
    assert len(set(acts)) == len(acts)
    assert session.saw.controller.image["supply"] == "ON"


def followed_powering_up(session):
    """Do the first act of what powers the saw up, again and again."""
    acts = []
    while (due := typed.powering_up(session)) and len(acts) < 30:
        acts.append(due[0])
        do(session, due[0])
    return acts


def test_who_may_not_lock_out_is_told_to_have_the_teeth_looked_at_by_who_may():
    session = played(*STARTED)
    session.lockout.role = OPERATOR
    due = next_thing(session)
    assert due.said == told.HINT_RUNS_BURIED_ASK
    hint(session)
    do(session, "tap band.stop", "wait still")
    assert next_thing(session).said == told.HINT_LIES_BURIED_ASK
    do(session, *next_thing(session).acts)

    assert not any("lockout" in act for act in next_thing(session).acts)
