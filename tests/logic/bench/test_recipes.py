"""From random states of the saw, each recipe of why-not is followed literally, in words of the terminal.

What is random is what people do: keys, palms, modes, latches, hands at the machine, jobs that are set
going, and time. What is typed goes through the terminal's own grammar. Together the groups begin from
10,000 states; `RECIPES` asks for another number.
"""

import os
from collections import Counter
from random import Random

import pytest

from sim.control.decision import Decision
from sim.logic.bench.freeing import free, search
from sim.plant.harm.consequences import Severity
from sim.session.opening import open_session, twin_of
from sim.session.playback.replay import play
from sim.text.typed.acts import perform
from sim.text.typed.language import parse
from sim.text.way_lines import typed
from sim.text.whys import why
from tests.random_states import asked, random_states

STATES = int(os.environ.get("RECIPES", "10000"))
GROUPS = 20
QUICK = 1  # group that a quick run does too, so 500 states


def followed(session, steps):
    """Type a recipe; return the answer to its last key, or what the terminal refused on the way."""
    harmed = len(session.saw.consequences)
    for step in steps:
        seen = len(session.done.all)
        for line in typed(step.act):
            act = parse(line)
            assert act is not None
            perform(session, act)
            if harm := _harm(session, harmed):
                return f"{line}: harm {harm}"
        answers = [answer for deed in session.done.all[seen:] for answer in deed.decisions]
        if answers and not answers[-1].accepted:
            return f"{typed(step.act)}: {answers[-1].sentence}"
    return answers[-1]


def _harm(session, harmed):
    return [
        str(harm.row.title)
        for harm in session.saw.consequences[harmed:]
        if harm.row.severity is not Severity.WARNING
    ]


def _copy(session, acts, now_us):
    """Return a session that stands where this one stood after so many acts, at a time."""
    copy = twin_of(session)
    for act in session.done.acts[:acts]:
        copy.advance_us(act.at_us - copy.saw.clock.now_us)
        play(copy, act)
    copy.advance_us(now_us - copy.saw.clock.now_us)
    return copy


def _what_came(session, action, steps):
    """Follow a recipe; return `works`, or of what kind its failing is where that is told."""
    acts, now_us = len(session.done.acts), session.saw.clock.now_us
    before = dict(session.saw.controller.image)
    answer = followed(session, steps)
    if isinstance(answer, Decision):
        assert answer.accepted, (action, answer, before)
        assert answer.action == action
        return "works"
    # Then another way is told, or this one as it is: that it does not get there, or what it does.
    way = free(lambda: _copy(session, acts, now_us).saw, action)
    if way.verified:
        assert way.steps != steps, (action, answer, before)
        answer = followed(_copy(session, acts, now_us), way.steps)
        assert isinstance(answer, Decision), (action, answer, before)
        assert answer.accepted, (action, answer, before)
        return "works another way"
    assert bool(way.harm) == ("harm" in answer), (action, answer, way.stuck_at)
    # A squaring cut fails on a saw that is not set up; it is counted for itself.
    return "squaring" if action == "job.straight" else "not told"


@pytest.mark.parametrize(
    "group",
    [
        pytest.param(group, marks=pytest.mark.slow if group >= QUICK else ())
        for group in range(GROUPS)
    ],
)
def test_from_random_states_every_recipe_followed_literally_works(group):
    chance = Random(f"recipes/{group}")
    found: Counter[str] = Counter()
    for session in random_states(chance):
        if found.total() >= STATES // GROUPS:
            break
        if not (action := asked(session, chance)):
            continue
        steps = search(session.saw, action)
        if steps is None:  # a bar is loaded by the word load, no key and no setting
            assert not session.saw.controller.image["B53"], action
            continue
        found[_what_came(session, action, steps)] += 1
    assert found["works"] > found["not told"] * 50, found
    assert found["works"] > found["squaring"] * 5, found


def test_the_typed_lines_are_told_as_they_are_typed():
    session = open_session("rail-posts")
    (told,) = [str(line) for line in why(session, "job.start") if "Typed:" in str(line)]

    lines = told.partition("Typed: ")[2].removesuffix(".").split("; ")

    for line in lines:
        perform(session, parse(line))
    assert session.saw.controller.job.state == "EXECUTE"
