"""Proofs over all states, reachable or not, of what one scan does: by z3, from the unfolded trees.

A tree is run once on symbols: a question becomes a case, an assignment a new term. What z3 is asked
about is therefore what the live controller's code does, whatever its memory holds; only that two
ends of one travel are never reached at once is taken for granted, as the trees do.
"""

from functools import cache

import pytest
import z3

from sim.control import outputs
from sim.control.actions import BY_NAME, STATIONS, Action
from sim.control.controller import Controller
from sim.control.interlocks import PERMISSIVES, Permissive, When
from sim.control.table import TABLES
from sim.logic.bench.rungs import Rung, action_rungs
from sim.logic.proof.compile import Model, compiled
from sim.logic.proof.memory import DOMAINS, NEVER_TOGETHER, QUESTIONS, Value
from sim.logic.proof.moves import FAILURES, Edge, Scope
from sim.logic.proof.tree import TOOK, Ask, Call, End, Grove, Put, Step, Tree
from sim.logic.proof.unfold import JOB_ASKS, Unfolder

# Where the machine's own table refuses too: a tripped band has no way to START.
TWICE_GUARDED = {("band.start", "band")}

Terms = dict[str, z3.ExprRef]
KEY_RUNGS = [rung for rung in action_rungs(When.HAND) if rung.coil.partition(".")[0] in STATIONS]


@cache
def model() -> Model:
    return compiled(Scope(together=True))


# States as terms --------------------------------------------------------------------------


def number(name: str, value: Value) -> z3.ExprRef:
    """Return a value of a variable as a term."""
    values = DOMAINS.get(name, (False, True))
    return z3.BitVecVal(values.index(value), 5)


@cache
def any_state() -> Terms:
    return {name: z3.BitVec(name, 5) for name in (*DOMAINS, *QUESTIONS)}


@cache
def possible() -> z3.BoolRef:
    """What is taken for granted of every state."""
    state = any_state()
    ranges = [z3.ULT(term, len(DOMAINS.get(name, (False, True)))) for name, term in state.items()]
    apart = [
        z3.Not(z3.And(state[a] == number(a, x), state[b] == number(b, y)))
        for (a, x), (b, y) in NEVER_TOGETHER
    ]
    return z3.And(*ranges, *apart)


def is_one_of(state: Terms, name: str, values: tuple[Value, ...]) -> z3.BoolRef:
    domain = DOMAINS[name]
    return z3.Or(*(state[name] == number(name, value) for value in values if value in domain))


def run(
    tree: Tree, state: Terms, called: dict[Step, Tree], took: z3.ExprRef
) -> tuple[Terms, z3.ExprRef]:
    """Return what a tree makes of a state, and its answer."""
    if isinstance(tree, End):
        return state, took if tree.result == TOOK else number(TOOK, bool(tree.result))
    if isinstance(tree, Put):
        return run(tree.then, {**state, tree.name: number(tree.name, tree.value)}, called, took)
    if isinstance(tree, Call):
        state, took = run(called[(tree.machine, tree.event)], state, called, took)
        return run(tree.then, state, called, took)
    asked = took if tree.name == TOOK else state[tree.name]
    *some, last = tree.branches
    after, answer = run(tree.branches[last], state, called, took)
    for value in some:
        other, other_answer = run(tree.branches[value], state, called, took)
        here = asked == number(tree.name, value)
        after = {
            name: after[name]
            if after[name].eq(other[name])
            else z3.If(here, other[name], after[name])
            for name in after
        }
        answer = z3.If(here, other_answer, answer)
    return after, answer


@cache
def after_key(action: str) -> Terms:
    """Return what comes of pressing an action's key in any state."""
    return run(model().trees[action], any_state(), model().called, number(TOOK, False))[0]


@cache
def after_asking(action: str) -> Terms:
    """Return what comes of the job's asking for an action in any state."""
    tree = model().called[(JOB_ASKS, action)]
    return run(tree, any_state(), model().called, number(TOOK, False))[0]


def same(after: Terms) -> z3.BoolRef:
    return z3.And(*(after[name] == term for name, term in any_state().items()))


def refuted(*claims: z3.BoolRef) -> z3.ModelRef | None:
    """Return a state in which the claims hold, None if there is none."""
    solver = z3.Solver()
    solver.add(possible(), *claims)
    return solver.model() if solver.check() == z3.sat else None


def asked_by_job(action: str) -> bool:
    return (JOB_ASKS, action) in model().called


JOB_RUNGS = [rung for rung in action_rungs(When.AUTO) if asked_by_job(rung.coil)]


def outcomes(row: Permissive) -> list[Terms]:
    """Return what comes of asking for a row's action, by everybody to whom the row applies."""
    asked = [after_key(row.action)] if row.when is not When.AUTO else []
    if row.when is not When.HAND and asked_by_job(row.action):
        asked.append(after_asking(row.action))
    return asked


def str_of(row: Permissive) -> str:
    return f"{row.number} {row.action} {row.when} {row.need.subject}"


def trees_of(row: Permissive, unfolder: Unfolder) -> list[tuple[Tree, Tree]]:
    """Return the trees of asking for a row's action, as it is and by another unfolder."""
    pairs = []
    if row.when is not When.AUTO:
        edges = next(move.edges for move in model().moves if move.name == row.action)
        letting_go = tuple(edge for edge in edges if not edge[1])
        pairs.append(
            (model().trees[row.action], unfolder.deed(lambda c: taken(c, edges), letting_go))
        )
    if row.when is not When.HAND and asked_by_job(row.action):
        step = (JOB_ASKS, row.action)
        pairs.append((model().called[step], unfolder.called(*step)))
    return pairs


def taken(controller: Controller, edges: tuple[Edge, ...]) -> None:
    for tag, value in edges:
        controller.take(tag, value)


def does_anything(tree: Tree, state: Terms) -> z3.BoolRef:
    """Whether a tree comes to an assignment or a call."""
    if not isinstance(tree, Ask):
        return z3.BoolVal(not isinstance(tree, End))
    return z3.Or(
        *(
            z3.And(state[tree.name] == number(tree.name, value), does_anything(branch, state))
            for value, branch in tree.branches.items()
        )
    )


# Permissives ------------------------------------------------------------------------------


@pytest.mark.parametrize("row", PERMISSIVES, ids=str_of)
def test_nothing_at_all_happens_when_a_permissive_does_not_hold(row: Permissive) -> None:
    asked = outcomes(row)
    assert asked
    fails = z3.Not(is_one_of(any_state(), row.need.subject, row.need.values))
    assert refuted(fails) is not None
    for after in asked:
        assert refuted(fails, z3.Not(same(after))) is None


@pytest.mark.parametrize("row", PERMISSIVES, ids=str_of)
def test_with_its_row_jumpered_an_action_no_longer_stops_at_it(row: Permissive) -> None:
    unfolder = Unfolder(Grove(), [row])
    fails = z3.Not(is_one_of(any_state(), row.need.subject, row.need.values))
    for tree, jumpered in trees_of(row, unfolder):
        assert refuted(fails, does_anything(tree, any_state())) is None
        found = refuted(fails, does_anything(jumpered, any_state())) is not None
        assert found != ((row.action, row.need.subject) in TWICE_GUARDED)


# Rungs ------------------------------------------------------------------------------------


def closed(rung: Rung) -> z3.BoolRef:
    """Power comes through to the coil."""
    return z3.And(
        *(is_one_of(any_state(), contact.subject, contact.values) for contact in rung.contacts)
    )


def takes(action: Action) -> z3.BoolRef:
    """The station's machine has a row for what is asked."""
    rows = next(table.rows for table in TABLES if table.name == action.machine)
    states = tuple(row.state for row in rows if row.event == action.event)
    return is_one_of(any_state(), action.machine, states)


def moves_where_it_is_closed(rung: Rung, after: Terms, mode: str) -> None:
    """Hold a rung to its station: it moves where the rung is closed in a mode, and nowhere else."""
    action = BY_NAME[rung.coil]
    in_mode = is_one_of(any_state(), f"mode.{action.machine}", (mode,))
    accepted = z3.And(closed(rung), in_mode, takes(action))
    moved = after[action.machine] != any_state()[action.machine]
    assert refuted(accepted) is not None
    assert refuted(accepted, z3.Not(moved)) is None
    assert refuted(z3.Not(accepted), z3.Not(same(after))) is None


@pytest.mark.parametrize("rung", KEY_RUNGS, ids=lambda rung: rung.coil)
def test_a_key_moves_its_station_where_the_rung_is_closed_in_hand_and_nowhere_else(
    rung: Rung,
) -> None:
    moves_where_it_is_closed(rung, after_key(rung.coil), "HAND")


@pytest.mark.parametrize("rung", JOB_RUNGS, ids=lambda rung: rung.coil)
def test_the_job_moves_a_station_where_the_rung_is_closed_in_auto_and_nowhere_else(
    rung: Rung,
) -> None:
    moves_where_it_is_closed(rung, after_asking(rung.coil), "AUTO")


# Stops ------------------------------------------------------------------------------------


def after_move(name: str) -> Terms:
    return run(model().trees[name], any_state(), model().called, number(TOOK, False))[0]


@pytest.mark.parametrize("stop", ["Q0=0", "S1=0"])
def test_from_every_state_isolator_and_emergency_stop_leave_nothing_energised(stop: str) -> None:
    after = after_move(stop)
    was_on = is_one_of(any_state(), "supply", ("ON",))
    for machine, state in outputs.ON_IN:
        assert refuted(was_on, is_one_of(after, machine, (state,))) is None, (machine, state)


@pytest.mark.parametrize("stop", ["S2=0", "F1=0", "B41=0", "B42=0", "B51=0", "20 s"])
def test_from_every_state_with_power_what_is_there_to_stop_the_band_stops_it(stop: str) -> None:
    driven = is_one_of(any_state(), "band", ("STARTING", "RUNNING"))
    powered = is_one_of(any_state(), "supply", ("ON",))
    still_driven = is_one_of(after_move(stop), "band", ("STARTING", "RUNNING"))
    assert refuted(powered, driven) is not None
    assert refuted(powered, driven, still_driven) is None


@pytest.mark.parametrize("putting_right", ["S1=1", "Q0=1", *(f"{tag}=1" for tag in FAILURES)])
def test_from_every_state_putting_something_right_starts_no_station(putting_right: str) -> None:
    after = after_move(putting_right)
    for station in STATIONS:
        assert refuted(after[station] != any_state()[station]) is None, station


def test_from_every_state_a_grip_lost_in_the_cut_ends_the_job() -> None:
    cut = z3.And(
        is_one_of(any_state(), "head", ("LOWERING",)),
        is_one_of(any_state(), "job", ("STARTING", "EXECUTE", "HOLDING", "COMPLETING")),
        any_state()["B33"] == number("B33", True),
    )
    assert refuted(cut, z3.Not(is_one_of(after_move("B33=0"), "job", ("STOPPING",)))) is None
