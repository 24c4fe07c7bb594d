"""The model that is proved and the live controller are driven through the same events.

The live side is the controller with its `transitions` machines on a bus and a clock of its own; the
compiled side is the model's trees. After every event everything that the model remembers must be
the same on both. This is a check of the unfolding and of the order in which a move is worked off,
by another way of running the same code; that the code is right is what the proofs are for.
"""

from collections import Counter
from collections.abc import Iterable
from functools import cache
from itertools import accumulate
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.control.actions import ACTIONS, Action
from sim.control.controller import Controller
from sim.control.interlocks import PERMISSIVES, REACTIONS, Permissive, Reaction
from sim.control.table import CYCLE, TABLES
from sim.kernel.clock import Clock
from sim.logic.proof.compile import Answers, Model, compiled
from sim.logic.proof.memory import DOMAINS, MATTERS_IN, State, holds, tidied
from sim.logic.proof.moves import Move, MoveKind, Scope
from sim.signals import BY_TAG, Bus

EVENTS = 100_000
JUMPERED = ("I4", "I5", "I6", "I10", "I15", "I16")
MANY = 1 << 30
# What ends everything is drawn rarely, so that a walk comes to the end of a job.
SELDOM = {
    "Q0=0", "S1=0", "S9=0", "K0=0", "band.stop", "job.stop", "job.hold", "job.complete", "deviation time",
    "mode.manual", "mode.maintenance", "mode.between",
}  # fmt: skip
FORWARD = {
    "Q0=1", "S1=1", "S9=1", "K0=1", "supply.control_on", "supply.reset", "job.clear", "job.reset",
    "job.start", "job.unhold", "job.straight", "mode rests", "mode.production", "S7=1",
}  # fmt: skip
# A switch that moves though nothing drives it there is drawn rarely too.
DRIVEN = {
    "B1=1": ("band", "STARTING", "RUNNING"), "B2=1": ("band", "STARTING", "RUNNING"),
    "B1=0": ("band", "COASTING", "TRIPPED"), "B2=0": ("band", "COASTING", "TRIPPED"),
    "B31=0": ("cutting_vise", "CLAMPING"), "B33=1": ("cutting_vise", "CLAMPING"),
    "B33=0": ("cutting_vise", "RELEASING"), "B31=1": ("cutting_vise", "RELEASING"),
    "B32=0": ("shuttle_vise", "CLAMPING"), "B34=1": ("shuttle_vise", "CLAMPING"),
    "B34=0": ("shuttle_vise", "RELEASING"), "B32=1": ("shuttle_vise", "RELEASING"),
    "B22=0": ("shuttle", "GOING_BACK"), "B21=1": ("shuttle", "GOING_BACK"),
    "B21=0": ("shuttle", "GOING_FORWARD"), "B22=1": ("shuttle", "GOING_FORWARD"),
    "B11=0": ("head", "LOWERING"), "B12=1": ("head", "LOWERING"),
    "B12=0": ("head", "RAISING"), "B11=1": ("head", "RAISING", "BETWEEN"),
}  # fmt: skip
AT_REST = {
    "STOPPED", "IDLE", "EXECUTE", "HOLDING", "HELD", "COMPLETING", "COMPLETE", "STOPPING", "ABORTED",
}  # fmt: skip
HELD = {row.tag: row for row in ACTIONS if row.halt or row.name == "band.run"}
TIMERS = {
    "mode rests": "mode",
    "deviation time": "wander",
    "jog time": "jog",
    "run-on time": "run_on",
}


class Live:
    """The live controller, with hands that can do what the model's moves say."""

    def __init__(self, bypassed: Iterable[Permissive | Reaction] = ()) -> None:
        self.clock, self.bus = Clock(), Bus()
        self.controller = Controller(self.clock, self.bus)
        self.controller.bypassed.update(bypassed)
        self._let_go_what_does_nothing()

    @property
    def state(self) -> State:
        """What the model remembers, of the live controller; its machines are asked themselves."""
        image = dict(self.controller.image)
        image.update({name: runner.state for name, runner in self.controller.machines.items()})
        return tidied({name: image[name] for name in DOMAINS})

    def can(self, move: Move) -> bool:
        """Whether the wires can make these edges now, and no other time is over before this one.

        A key that is down cannot go down.
        """
        if move.kind is MoveKind.TIME:
            timers = self.controller._timers
            mine = timers.get(TIMERS[move.name])
            return mine is not None and all(
                mine.time_us <= other.time_us for other in timers.values()
            )
        seen = self.bus.seen
        one = len(move.edges) == 1 or move.kind is not MoveKind.ACT
        return not one or seen[move.edges[0][0]] != move.edges[0][1]

    def make(self, move: Move, answers: Answers) -> None:
        """Make a move, with the counters turned so that the questions have these answers."""
        last, more, runs_on = answers
        job = self.controller.job
        job.wanted = job.cut + 1 if last else MANY
        job.strokes = MANY if more else 1
        job.set_run_on(int(runs_on))
        if move.kind is MoveKind.TIME:
            assert self.clock.step()
        for tag, value in (*move.chosen, *move.edges):
            self.bus.drive(tag, value)
            self.bus.settle()
        self._let_go_what_does_nothing()

    def _let_go_what_does_nothing(self) -> None:
        """Take a hand off a key whose part it does not move, and off the device in other modes."""
        image = self.controller.image
        for tag, action in HELD.items():
            if not self.bus.seen[tag]:
                continue
            by_hand = image["mode"] in ("MANUAL", "MAINTENANCE")
            if not (by_hand and image[action.machine] in _moved(action)):
                self.drive(tag, False)
        for tag, case in MATTERS_IN.items():
            if tag in BY_TAG and not holds(case, image):
                self.drive(tag, False)

    def drive(self, tag: str, value: bool) -> None:
        self.bus.drive(tag, value)
        self.bus.settle()


def _moved(action: Action) -> set[str]:
    """Return the states in which a held key moves its part."""
    if action.name == "band.run":
        return {"STARTING", "RUNNING"}
    (table,) = (table for table in TABLES if table.name == action.machine)
    return {row.to for row in table.rows if row.event == action.event}


@cache
def model_with(*bypassed: Permissive | Reaction) -> Model:
    return compiled(Scope(together=True), bypassed)


def weight(move: Move) -> float:
    """How often a move is drawn beside others."""
    if move.name in SELDOM or (move.kind is MoveKind.DEVICE and move.name.endswith("=0")):
        return 0.02
    if move.name in FORWARD or move.kind in (MoveKind.DEVICE, MoveKind.PLANT):
        return 4.0
    return 1.0


def likely(move: Move, state: State, chance: Random) -> bool:
    """Whether a move is taken when it is drawn."""
    machine, *states = DRIVEN.get(move.name, ("job", state["job"]))
    return state[machine] in states or chance.random() < 0.01


def walked(model: Model, live: Live, events: int, seed: int) -> Counter[object]:
    """Drive both through `events` random events; return how often each job state and step was met."""
    chance = Random(seed)
    state = model.initial
    met: Counter[object] = Counter()
    upto = list(accumulate(weight(move) for move in model.moves))
    for number in range(events):
        (move,) = chance.choices(model.moves, cum_weights=upto)
        while not (move.possible(state) and live.can(move) and likely(move, state, chance)):
            (move,) = chance.choices(model.moves, cum_weights=upto)
        answers = (chance.random() < 0.5, chance.random() < 0.3, chance.random() < 0.3)
        after = model.apply(state, move, answers)
        counted = live.controller.job.cut
        live.make(move, answers)
        assert_count_kept(counted, live.controller.job.cut, move, state)
        if live.state != after:
            told = f"event {number} of seed {seed}: {move.name} with {answers}"
            raise AssertionError(told, different(live.state, after), state)
        state = after
        met[state["job"]] += 1
        met[state["cycle"]] += 1
    return met


def assert_count_kept(before: int, after: int, move: Move, state: State) -> None:
    """Hold the count: it goes up by a cut that squares nothing, and back by two keys only."""
    if after < before:
        assert after == 0
        zeroes = move.name == "job.reset" and state["job"] == "COMPLETE"
        assert move.name == "job.new" or zeroes, move.name
    elif after > before:
        assert after == before + 1, move.name
        assert state["cycle"] == "RAISE_HEAD", move.name
        assert not state["job.squaring"], move.name
        assert not state["job.owes"], move.name


def different(live: State, model: State) -> dict[str, tuple[object, object]]:
    return {name: (live[name], model[name]) for name in live if live[name] != model[name]}


@pytest.mark.slow
def test_the_model_and_the_live_controller_agree_after_each_of_100_000_random_events() -> None:
    met = walked(model_with(), Live(), EVENTS, seed=1)
    assert set(met) == {*AT_REST, *CYCLE.states} - {"COUNT"}, "the walk has not been everywhere"


@pytest.mark.sampled(3)
@pytest.mark.parametrize("number", JUMPERED)
def test_they_agree_with_an_interlock_jumpered(number: str) -> None:
    rows = [row for row in (*PERMISSIVES, *REACTIONS) if row.number == number]
    walked(model_with(*rows), Live(rows), 3_000, seed=2)


@pytest.mark.parametrize("number", JUMPERED)
def test_a_jumper_on_one_side_only_is_noticed(number: str) -> None:
    rows = [row for row in (*PERMISSIVES, *REACTIONS) if row.number == number]
    with pytest.raises(AssertionError):
        walked(model_with(*rows), Live(), EVENTS // 2, seed=6)


@settings(max_examples=100)
@given(
    draws=st.lists(
        st.tuples(st.integers(0, 1 << 16), st.booleans(), st.booleans(), st.booleans()), max_size=60
    )
)
def test_they_agree_on_whatever_hypothesis_thinks_of(
    draws: list[tuple[int, bool, bool, bool]],
) -> None:
    model, live = model_with(), Live()
    state = model.initial
    for draw, *answers in draws:
        possible = [move for move in model.moves if move.possible(state) and live.can(move)]
        move = possible[draw % len(possible)]
        given = (answers[0], answers[1], answers[2])
        state = model.apply(state, move, given)
        live.make(move, given)
        assert not different(live.state, state), move.name


def test_both_begin_with_the_same_memory() -> None:
    assert set(Live().state) == set(DOMAINS)
    assert Live().state == model_with().initial
    assert {table.name for table in TABLES} <= set(DOMAINS)
