"""A sample of the recipes of why-not, followed on the keys of the window, by mouse and palm keys."""

from collections import Counter
from random import Random

from sim.logic.bench.freeing import search
from sim.session.session import Session
from sim.text.way_lines import typed
from sim.view.play.hands import PALMS
from tests.random_states import asked, random_states

from .conftest import person_at

SAMPLE = 60


def _at_the_window(people):
    """Return the session of somebody who has just sat down at the console."""
    person = person_at(scenario="rail-posts")
    person.play.go("console")
    person.play.paused = True
    person.frame()
    people.append(person)
    return person.session


def _lasts(session: Session, act):
    """Let time pass for as long as an act takes; hands on keys and the clock are the window's."""
    if act.seconds:
        session.advance(act.seconds)
    elif act.verb in ("hold", "wait"):
        lines = [line for line in typed(act) if line.startswith("wait until ")]
        machine, _, state = (
            lines[0].removeprefix("wait until ").partition(".") if lines else ("", "", "")
        )
        clock = session.saw.clock
        for _ in range(20_000):
            if (
                clock.still
                if not machine
                else session.saw.controller.image[machine] == state.upper()
            ):
                return
            if session.over or (due_us := clock.next_us()) is None:
                return
            session.advance_us(due_us - clock.now_us)
    elif act.verb == "turn":
        session.advance(0.5)


def _does(person, act):
    """Do an act at the console, with the mouse; the palm keys with both hands."""
    if act.verb == "set":
        for name, setting in act.settings:
            person.session.set(name, setting)
        return
    keys = [key for key in act.names if key not in PALMS]
    if act.verb == "hold":
        (key,) = keys
        place = person.mouse_down(f"key.{key}")
        _lasts(person.session, act)
        person.mouse_up(place)
        return
    for key in keys:
        person.click(f"key.{key}")
    if len(act.names) > 1:
        person.palms()
    _lasts(person.session, act)


def test_a_sample_of_recipes_works_on_the_keys_of_the_window():
    found: Counter[str] = Counter()
    people: list = []
    for session in random_states(Random("window"), lambda: _at_the_window(people)):
        if found.total() >= SAMPLE:
            break
        action = asked(session, Random(f"{found.total()}"))
        steps = search(session.saw, action) if action else None
        if steps is None:
            continue
        person = people[-1]
        person.play.hands.let_go()
        for step in steps:
            _does(person, step.act)
            if session.over:
                break
        taken = [d for deed in session.done.all[-4:] for d in deed.decisions if d.action == action]
        found["works" if taken and taken[-1].accepted else f"not: {action}"] += 1
    others = {kind: count for kind, count in found.items() if kind != "works"}
    assert found["works"] > SAMPLE * 0.9, others
    assert set(others) <= {"not: job.straight"}, others  # squares on a saw that is not set up
