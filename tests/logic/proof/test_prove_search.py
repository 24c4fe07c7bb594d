"""The vectorised search against a plain one that makes one move at a time on one state."""

import multiprocessing
from dataclasses import replace
from functools import cache, partial

import numpy as np
import pytest

from sim.control.interlocks import PERMISSIVES, REACTIONS
from sim.logic.proof.compile import EVERY_ANSWER, Model, compiled
from sim.logic.proof.each import rows_of
from sim.logic.proof.example import breach_of
from sim.logic.proof.memory import DOMAINS
from sim.logic.proof.moves import SMALLEST, Scope
from sim.logic.proof.properties import PROPERTIES, SAFETY, Never, Reachable
from sim.logic.proof.rehearsal import Rehearsal
from sim.logic.proof.search import crew, explore
from sim.logic.proof.search.explore import Explorer
from sim.logic.proof.ways import Ways

NAMES = tuple(DOMAINS)
SUPPLY = {
    "Q0=0",
    "Q0=1",
    "S1=0",
    "S1=1",
    "K0=0",
    "K0=1",
    "supply.reset",
    "supply.control_on",
    "touch",
}
MODE = {"coolant.with_band", "mode.production", "mode rests"}  # the bounds ask for it in this order
JOB = {"job.clear", "job.reset", "job.start", "job.hold", "job.unhold", "job.stop", "band.stop"}
SQUARES = {
    "B31=0", "B33=1", "B33=0", "B1=1", "B2=1", "B2=0", "B1=0", "B11=0", "B12=1", "B12=0", "B11=1",
}  # fmt: skip
FEED = {"B31=1", "B34=0", "B32=1", "B22=0", "B21=1", "B32=0", "B34=1", "B21=0", "B22=1"}
SQUARING = "a squaring cut, with power lost at any time"
BY_HAND = "a bad guard, and the head moved by hand"
WORLDS = {
    SQUARING: (SMALLEST, SUPPLY | MODE | JOB | SQUARES - {"B12=0", "S1=0", "S1=1"}),
    "a whole piece, undisturbed": (
        SMALLEST,
        FEED | SQUARES - {"B2=0", "B1=0"} | MODE
        | {"Q0=1", "K0=1", "supply.reset", "supply.control_on", "job.straight", "job.reset", "job.start", "touch"},
    ),
    BY_HAND: (
        Scope(("MANUAL", "PRODUCTION"), ("B41",)),
        {"Q0=1", "K0=1", "supply.reset", "supply.control_on", "coolant.with_band", "job.reset", "job.start",
         "B31=0", "B33=1", "B33=0", "B1=1", "B2=1", "B1=0", "B2=0", "B41=0", "B41=1", "mode.manual",
         "mode.production", "mode rests", "head.lower", "head.lower let go", "touch", "B11=0",
         "band.run"},
    ),
}  # fmt: skip


@cache
def world(name: str, number: str = "") -> Model:
    """A model with only some of its moves, small enough for the plain search."""
    scope, names = WORLDS[name]
    model = compiled(scope, rows_of(number))
    assert names <= {move.name for move in model.moves}
    return replace(model, moves=tuple(move for move in model.moves if move.name in names))


def frozen(state):
    return tuple(state[name] for name in NAMES)


@cache
def plainly(name: str, number: str = ""):
    """Return every state by the number of moves to it, and every change, one move at a time."""
    model = world(name, number)
    depth = {frozen(model.initial): 0}
    steps = []
    layer = [model.initial]
    while layer:
        fresh = []
        for state in layer:
            for move in model.moves:
                if not move.possible(state):
                    continue
                for answers in EVERY_ANSWER:
                    after = model.apply(state, move, answers)
                    if after != state:
                        steps.append((move, state, after))
                    if frozen(after) not in depth:
                        depth[frozen(after)] = depth[frozen(state)] + 1
                        fresh.append(after)
        layer = fresh
    return depth, steps


@pytest.mark.sampled(3)
@pytest.mark.parametrize("name", WORLDS)
def test_every_state_and_every_step_is_found_that_a_plain_search_finds(name):
    model = world(name)
    depth, steps = plainly(name)
    explorer = Explorer(model)
    reached = explorer.reach()
    frame = explorer.frame

    found = {
        frozen(frame.state(int(number))): at
        for at, layer in enumerate(reached.layers)
        for number in layer
    }
    assert len(depth) > 500
    assert found == depth
    pairs = {
        (int(layer[row]), int(number))
        for layer in reached.layers
        for rows, numbers in explorer.successors(layer)
        for row, number in zip(rows, numbers, strict=True)
    }
    assert pairs == {(frame.number(a), frame.number(b)) for _, a, b in steps}


@pytest.mark.sampled(3)
@pytest.mark.parametrize("number", ["I4", "I6", ""])
def test_the_shortest_break_of_every_safety_property_is_as_short_as_plainly_found(number):
    model = world(BY_HAND, number)
    depth, steps = plainly(BY_HAND, number)
    explorer = Explorer(model, SAFETY)
    reached = explorer.reach()

    shortest = {}
    for row in SAFETY:
        if isinstance(row, Never):
            moves = [
                at
                for state, at in depth.items()
                if row.broken_by(dict(zip(NAMES, state, strict=True)))
            ]
        else:
            moves = [depth[frozen(a)] + 1 for move, a, b in steps if row.broken_by(move.name, a, b)]
        if moves:
            shortest[row.name] = min(moves)
    found = {
        breach.name: breach_of(explorer, reached, PROPERTIES[breach.name])
        for breach in reached.breaches
    }
    assert {name: len(example.strides) for name, example in found.items()} == shortest
    assert bool(shortest) == bool(number)
    for example in found.values():
        Rehearsal(example, rows_of(number)).play()


@pytest.mark.sampled(3)
@pytest.mark.parametrize("goal", ["COMPLETE", "HELD", "EXECUTE"])
@pytest.mark.parametrize("way", [(), ("job.reset", "job.start", "B31=0", "B33=1")])
def test_states_from_which_no_goal_can_be_reached_are_those_plainly_found(goal, way):
    model = world(SQUARING)
    depth, steps = plainly(SQUARING)
    row = Reachable("", "", ((),), ((("job", (goal,)),),), tuple({m.kind for m in model.moves}),
                    ("job.unhold", "Q0=0"), way)  # fmt: skip
    good = {s for s in depth if dict(zip(NAMES, s, strict=True))["job"] == goal}
    edges = [(frozen(a), frozen(b)) for move, a, b in steps if row.allows(move)]
    grown = True
    while grown:
        more = {a for a, b in edges if b in good} - good
        good |= more
        grown = bool(more)

    explorer = Explorer(model)
    reached = explorer.reach()
    stuck = Ways(explorer).stuck(row, reached)
    assert set(stuck.tolist()) == {
        explorer.frame.number(dict(zip(NAMES, s, strict=True))) for s in depth if s not in good
    }
    if stuck.size:
        shallowest = Ways.shallowest(stuck, reached)
        states = np.concatenate(reached.layers)
        assert shallowest in states


def test_two_processes_reach_what_one_reaches(monkeypatch):
    monkeypatch.setattr(crew, "ENOUGH_TO_SHARE", 100)
    monkeypatch.setattr(crew, "SMALLEST_PIECE", 5)
    monkeypatch.setattr(crew, "MOST_AT_ONCE", 250)  # so that a layer is shared in several parts
    explorer = Explorer(world(SQUARING), SAFETY)

    alone, together = explorer.reach(), explorer.reach(alone=False)

    assert together.edges == alone.edges
    assert together.breaches == alone.breaches == []
    for one, other in zip(alone.layers, together.layers, strict=True):
        assert (one == other).all()


@pytest.mark.parametrize("alone", [True, False])
def test_what_the_scout_does_not_find_is_learnt_on_the_way(monkeypatch, alone):
    monkeypatch.setattr(crew, "ENOUGH_TO_SHARE", 100)
    scouted = Explorer(world(SQUARING), SAFETY)
    monkeypatch.setattr(explore, "scout", lambda *_: None)
    unscouted = Explorer(world(SQUARING), SAFETY)
    before = unscouted.frame.counts

    known, found = scouted.reach(), unscouted.reach(alone=alone)

    assert before == (1,) * len(before)
    assert unscouted.frame.counts == tuple(len(part.codes) for part in unscouted.packing.parts)
    assert found.edges == known.edges
    assert found.breaches == known.breaches == []
    for one, other in zip(known.layers, found.layers, strict=True):
        assert {frozen(scouted.frame.state(int(number))) for number in one} == {
            frozen(unscouted.frame.state(int(number))) for number in other
        }


def test_what_fails_in_the_second_process_is_raised_in_the_first(monkeypatch):
    monkeypatch.setattr(crew, "ENOUGH_TO_SHARE", 1)
    monkeypatch.setattr(crew, "SMALLEST_PIECE", 1)
    taken = multiprocessing.get_context("fork").Event()

    def waits(_states):
        assert taken.wait(timeout=60), "the second process took nothing"
        return crew.Work(0, np.zeros(0, dtype=np.int64), True, [], {})

    def fails(_states):
        taken.set()
        raise ZeroDivisionError("for the tests")

    with (
        pytest.raises(ZeroDivisionError, match="for the tests"),
        crew.crew(waits, fails, alone=False) as work,
    ):
        list(work(np.arange(10)))


def test_both_processes_work_and_no_state_is_taken_twice(monkeypatch):
    monkeypatch.setattr(crew, "ENOUGH_TO_SHARE", 1)
    monkeypatch.setattr(crew, "SMALLEST_PIECE", 3)
    monkeypatch.setattr(crew, "MOST_AT_ONCE", 40)
    taken = {marked: multiprocessing.get_context("fork").Event() for marked in (True, False)}

    def work(states, marked):  # neither goes on before the other has taken something
        taken[marked].set()
        taken[not marked].wait(timeout=60)
        return crew.Work(states.size, states.copy(), marked, [], {})

    layer = np.arange(100, 200)
    own, other = (partial(work, marked=marked) for marked in (True, False))
    with crew.crew(own, other, alone=False) as shared:
        done = list(shared(layer))

    assert {one.marked for one in done} == {True, False}
    assert np.array_equal(np.sort(np.concatenate([one.fresh for one in done])), layer)


@pytest.mark.slow
def test_a_model_compiled_from_a_known_one_is_the_same_as_one_compiled_afresh():
    scope = Scope(("MANUAL", "PRODUCTION"), ("B41",))
    known = compiled(scope)
    for row in (PERMISSIVES[22], REACTIONS[7]):
        quick, afresh = (compiled(scope, [row], base) for base in (known, None))
        assert quick.runs < afresh.runs / 2
        counts = []
        for model in (quick, afresh):
            reached = Explorer(model).reach(enough=lambda so_far: so_far.states > 2_000)
            counts.append(([layer.size for layer in reached.layers], reached.edges))
        assert counts[0] == counts[1]
