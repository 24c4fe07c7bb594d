"""What was wrong and was set right by hand counts as its remedy does: care, way, name, hints, what is said."""

import pytest

from sim.debrief.debrief import debrief
from sim.debrief.hints import next_thing
from sim.faults.catalogue import CATALOGUE
from sim.pilot.autopilot import again, prove
from sim.pilot.careful import careful
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.session.hands.table import mended_by_setting, to_set
from sim.session.kept import told
from sim.session.opening import open_session

from .technicians import look as look_at

BY_SETTING = {
    "newels-short-and-uneven": (
        "shuttle-clamping-low", ("clamping-valves",), (("shuttle_vise.pressure_bar", 60.0),)
    ),
    "posts-come-out-short": (
        "stop-from-below", ("stop-play",), (("shuttle.stop_mm", 240.0), ("shuttle.stop_mm", 231.5))
    ),
    "cut-smokes": ("coolant-out", ("coolant-tank",), (("coolant.level_percent", 80.0),)),
}  # fmt: skip
NEWELS = "newels-short-and-uneven"
LOW = "shuttle-clamping-low"
VALVE = "shuttle_vise.pressure_bar"


def set_to(session, *settings):
    for name, setting in settings:
        with careful(session, to_set(name)):
            assert session.set(name, setting).taken


def care(found):
    [part] = [part for part in found.parts if part.key == "care"]
    return part.points, str(part.reason)


@pytest.mark.parametrize("drill", BY_SETTING)
def test_what_was_set_right_by_hand_has_its_care_and_its_place_in_the_way(drill):
    fault, looks, settings = BY_SETTING[drill]
    session = open_session(drill, nonce="")
    look_at(session, *looks)
    session.diagnose(fault)
    set_to(session, *settings)
    prove(session)
    found = debrief(session)
    name, setting = settings[-1]
    last = str(told.SET_TO(name=name, setting=setting))

    assert found.outcome == "passed"
    assert care(found) == (10, "No needless remedy, no warning and no damage.")
    assert [str(step.message) for step in found.steps_taken].count(last) == 1


def test_what_was_set_by_hand_before_it_was_named_counts_as_of_then():
    session = open_session(NEWELS, nonce="")
    session.advance(5)
    set_to(session, (VALVE, 60.0))
    again(session, 3)
    session.diagnose(LOW)
    [naming] = debrief(session).namings
    steps = [str(step.message) for step in debrief(session).steps_taken]

    assert naming.mended_us == 5_000_000
    assert naming.premature
    assert (
        "Set shuttle_vise.pressure_bar to 60. Too early: others could still have been it." in steps
    )


def test_looked_at_first_what_was_set_by_hand_counts_in_full():
    session = open_session(NEWELS, nonce="")
    look_at(session, "clamping-valves")
    set_to(session, (VALVE, 60.0))
    session.diagnose(LOW)
    prove(session)
    found = debrief(session)

    assert [naming.mended_us for naming in found.namings] == [15_000_000]
    assert found.outcome == "passed"


def test_set_right_after_the_look_that_told_and_proved_it_needs_no_name():
    session = open_session("ends-have-flat-spots", nonce="")
    look_at(session, "clamping-valves")
    set_to(session, ("cutting_vise.pressure_bar", 9.0))
    prove(session)
    found = debrief(session)
    points = {part.key: part.points for part in found.parts}

    assert session.done.named == []
    assert found.outcome == "passed"
    assert points == {"cause": 40, "proof": 20, "way": 30, "care": 10}
    assert found.named == found.causes


def test_set_right_before_any_look_it_is_a_guess_as_its_name_would_be():
    guessed, named = (open_session(NEWELS, nonce="") for _ in range(2))
    set_to(guessed, (VALVE, 60.0))
    prove(guessed)
    named.diagnose(LOW)
    put = debrief(guessed)

    assert put.outcome == "not passed"
    [as_set], [as_named] = put.namings, debrief(named).namings
    assert as_set.worth == pytest.approx(as_named.worth, abs=0.02)  # the name sees one instant more
    assert as_set.worth < 0.05
    assert put.premature


def test_set_right_and_wrong_again_and_never_named_it_is_not_found():
    session = open_session(NEWELS, nonce="")
    look_at(session, "clamping-valves")
    was = session.saw.read(VALVE)
    set_to(session, (VALVE, 60.0), (VALVE, was))
    found = debrief(session)

    assert found.namings == ()
    assert found.named == ()


def test_set_wrong_again_it_was_a_trial_and_the_name_counts_when_it_is_given():
    session = open_session(NEWELS, nonce="")
    was = session.saw.read(VALVE)
    set_to(session, (VALVE, 60.0), (VALVE, was))
    session.diagnose(LOW)
    [naming] = debrief(session).namings

    assert session.faults.still_wrong()
    assert naming.mended_us is None


def test_let_down_a_tension_that_was_too_high_is_not_put_right():
    session = open_session("rail-posts", nonce="")
    session.faults.put_in(CATALOGUE["tension-high"])
    set_to(session, ("band.tension_mpa", 0.0))
    assert session.done.put_right == []

    right = next(line.setting for line in session.card if line.name == "band.tension_mpa")
    set_to(session, ("band.tension_mpa", right))
    assert session.done.put_right == ["tension-high"]


def test_what_changes_nothing_hidden_puts_nothing_right():
    session = open_session(NEWELS, nonce="")
    set_to(session, ("cutting_vise.pressure_bar", 50.0), ("cutting_vise.pressure_bar", 60.0))
    session.diagnose(LOW)

    assert session.done.put_right == []
    assert care(debrief(session)) == (0, "Nothing that was wrong was put right.")


@pytest.mark.parametrize("hidden", [LOW, "shuttle-jaws-oily"])
def test_the_answer_to_a_name_hangs_on_what_was_set_and_not_on_what_is_hidden(hidden):
    session = open_session("rail-posts", nonce="")
    session.faults.put_in(CATALOGUE[hidden])
    before = str(session.diagnose(LOW).message)
    set_to(session, (VALVE, 60.0))
    after = str(session.diagnose(LOW).message)

    assert "Put it right" in before
    assert "Put it right" not in after
    assert "prove it with a good piece" in after


def test_the_hint_after_a_setting_that_helped_is_the_proof():
    session = open_session(NEWELS, nonce="")
    session.diagnose(LOW)
    assert "fix shuttle-clamping-low" in next_thing(session).acts
    set_to(session, (VALVE, 60.0))

    assert next_thing(session).said == told.HINT_PROVE
    assert not any("fix" in act for act in next_thing(session).acts)


def test_every_set_point_that_can_mend_a_fault_is_known_as_one():
    """A setting that makes a fault be gone, tried at both ends and in the middle of its scale."""
    unknown = []
    for fault in CATALOGUE.values():
        session = open_session("rail-posts", nonce="")
        if not session.faults.would_change(fault):
            continue
        for name, point in SET_POINTS.items():
            low, high = point.limits(session.machine)
            session.faults.put_in(fault)
            for setting in point.words or (low, high, (low + high) / 2):
                if session.saw.blocked(name, setting):
                    continue
                session.saw.set(name, setting)
                if not session.faults.present(fault) and name not in mended_by_setting(fault):
                    unknown.append((fault.name, name))
                    break
    assert unknown == []
