"""Proofs over all states, reachable or not, of what one scan does: by z3, from the unfolded trees.

A tree is run once on symbols: a question becomes a case, an assignment a new term. What z3 is asked
about is therefore what the live controller's code does, whatever its memory holds; only that two
ends of one travel are never reached at once is taken for granted, as the trees do.
"""

from functools import cache

import pytest
import z3

from sim.control import outputs
from sim.control.actions import ACTIONS, BY_NAME, PARTS, Action
from sim.control.cycle import MOVING
from sim.control.interlocks import PERMISSIVES, Permissive, When
from sim.control.table import TABLES
from sim.logic.bench.rungs import interlock_contacts
from sim.logic.proof.compile import Model, compiled
from sim.logic.proof.memory import DOMAINS, NEVER_TOGETHER, QUESTIONS, Value
from sim.logic.proof.moves import FAILURES, Edge, Scope
from sim.logic.proof.tree import TOOK, Ask, Call, End, Grove, Put, Step, Tree
from sim.logic.proof.unfold import JOB_ASKS, Live, Unfolder
from sim.signals import MODE_SWITCH

# Where the machine's own table refuses too: a tripped band has no way to START, nor a tripped safety
# relay to CONTROL_ON.
TWICE_GUARDED = {("band.run", "band"), ("supply.control_on", "supply")}
BY_HAND, NO_HAND = ("MANUAL", "MAINTENANCE"), ("PRODUCTION", "NONE")

Terms = dict[str, z3.ExprRef]
KEY_RUNGS = [action.name for action in ACTIONS if action.moves]


@cache
def model() -> Model:
    return compiled(Scope(together=True))


# States as terms --------------------------------------------------------------------------


@cache
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


def either(here: z3.BoolRef, one: z3.ExprRef, other: z3.ExprRef) -> z3.ExprRef:
    """Return the term that is `one` here, else the other."""
    return other if other is one or other.eq(one) else z3.If(here, one, other)


def run(
    tree: Tree, state: Terms, called: dict[Step, Tree], took: z3.ExprRef
) -> tuple[Terms, z3.ExprRef]:
    """Return what a tree makes of a state, and its answer."""
    return _Run(called).of(tree, state, took)


class _Run:
    """One run of a tree; what is come to by several branches, in one state, is run once."""

    def __init__(self, called: dict[Step, Tree]) -> None:
        self._called = called
        self._known: dict[tuple[int, int, int], tuple[Terms, z3.ExprRef]] = {}
        self._kept: list[object] = []  # so that no id is used twice

    def of(self, tree: Tree, state: Terms, took: z3.ExprRef) -> tuple[Terms, z3.ExprRef]:
        key = (id(tree), id(state), id(took))
        if key not in self._known:
            self._kept += (tree, state, took)
            self._known[key] = self._of(tree, state, took)
        return self._known[key]

    def _of(self, tree: Tree, state: Terms, took: z3.ExprRef) -> tuple[Terms, z3.ExprRef]:
        if isinstance(tree, End):
            return state, took if tree.result == TOOK else number(TOOK, bool(tree.result))
        if isinstance(tree, Put):
            return self.of(tree.then, {**state, tree.name: number(tree.name, tree.value)}, took)
        if isinstance(tree, Call):
            state, took = self.of(self._called[(tree.machine, tree.event)], state, took)
            return self.of(tree.then, state, took)
        asked = took if tree.name == TOOK else state[tree.name]
        if z3.is_bv_value(asked):  # it has just been put
            values = DOMAINS.get(tree.name, (False, True))
            return self.of(tree.branches[values[asked.as_long()]], state, took)
        *some, last = tree.branches
        after, answer = self.of(tree.branches[last], state, took)
        for value in some:
            other, other_answer = self.of(tree.branches[value], state, took)
            here = asked == number(tree.name, value)
            if other is not after:
                after = {name: either(here, other[name], after[name]) for name in after}
            answer = either(here, other_answer, answer)
        return after, answer


def edges_of(action: Action) -> tuple[Edge, ...]:
    """Return the edges of asking for an action, and of nothing else."""
    down, up = (action.tag, True), (action.tag, False)
    if action.palms:
        # The key stays down: letting it go is what ends a jog.
        return (down, ("S3", True), ("S4", True), ("S4", False), ("S3", False))
    return (down,) if action.halt else (down, up)


@cache
def pressed(action: str, row: Permissive | None = None) -> Tree:
    """Return the tree of pressing an action's key in any mode, with a row jumpered or none."""
    unfolder = Unfolder(Grove(), [row] if row else [])
    return unfolder.deed(lambda c: taken(c, edges_of(BY_NAME[action])))


@cache
def after_key(action: str) -> Terms:
    """Return what comes of pressing an action's key in any state."""
    return run(pressed(action), any_state(), model().called, number(TOOK, False))[0]


@cache
def after_asking(action: str) -> Terms:
    """Return what comes of the job's asking for an action in any state."""
    tree = model().called[(JOB_ASKS, action)]
    return run(tree, any_state(), model().called, number(TOOK, False))[0]


def same(after: Terms) -> z3.BoolRef:
    return z3.And(*(after[name] == term for name, term in any_state().items()))


def refuted(*claims: z3.BoolRef) -> z3.ModelRef | None:
    """Return a state in which the claims hold, None if there is none."""
    solver = z3.SolverFor("QF_BV")
    solver.add(possible(), *claims)
    return solver.model() if solver.check() == z3.sat else None


def asked_by_job(action: str) -> bool:
    return (JOB_ASKS, action) in model().called


JOB_RUNGS = [action.name for action in ACTIONS if asked_by_job(action.name)]


def outcomes(row: Permissive) -> list[Terms]:
    """Return what comes of asking for a row's action, by everybody to whom the row applies."""
    asked = [after_key(row.action)] if row.when is not When.JOB else []
    if row.when is not When.KEY and asked_by_job(row.action):
        asked.append(after_asking(row.action))
    return asked


def str_of(row: Permissive) -> str:
    return f"{row.number} {row.action} {row.when} {row.need.subject}"


def trees_of(row: Permissive) -> list[tuple[When, Tree, Tree]]:
    """Return who asks for a row's action, and the trees of it as it is and with the row jumpered."""
    pairs = []
    if row.when is not When.JOB:
        pairs.append((When.KEY, pressed(row.action), pressed(row.action, row)))
    if row.when is not When.KEY and asked_by_job(row.action):
        step = (JOB_ASKS, row.action)
        pairs.append((When.JOB, model().called[step], Unfolder(Grove(), [row]).called(*step)))
    return pairs


def fails(row: Permissive) -> z3.BoolRef:
    """The row stands against its action."""
    given = [is_one_of(any_state(), subject, values) for subject, values in row.given]
    return z3.And(z3.Not(is_one_of(any_state(), row.need.subject, row.need.values)), *given)


def taken(controller: Live, edges: tuple[Edge, ...]) -> None:
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
    assert refuted(fails(row)) is not None
    for after in asked:
        assert refuted(fails(row), z3.Not(same(after))) is None


@pytest.mark.sampled(3)
@pytest.mark.parametrize("row", PERMISSIVES, ids=str_of)
def test_with_its_row_jumpered_an_action_no_longer_stops_at_it(row: Permissive) -> None:
    # What is so in another mode only stands against no job: that is refused by the mode already.
    not_the_jobs = any(s == "mode" and "PRODUCTION" not in values for s, values in row.given)
    for who, tree, jumpered in trees_of(row):
        assert refuted(fails(row), does_anything(tree, any_state())) is None
        found = refuted(fails(row), does_anything(jumpered, any_state())) is not None
        twice = (row.action, row.need.subject) in TWICE_GUARDED
        assert found != (twice or (who is When.JOB and not_the_jobs))


# Rungs ------------------------------------------------------------------------------------


def closed(name: str, origin: When) -> z3.BoolRef:
    """Power comes through what the interlocks put into the way of an action."""
    return z3.And(
        *(
            z3.Or(
                is_one_of(any_state(), contact.subject, contact.values),
                *(z3.Not(is_one_of(any_state(), s, values)) for s, values in contact.given),
            )
            for contact in interlock_contacts(name, origin)
        )
    )


def takes(action: Action) -> z3.BoolRef:
    """The station's machine has a row for what is asked."""
    rows = next(table.rows for table in TABLES if table.name == action.machine)
    states = tuple(row.state for row in rows if row.event == action.event)
    return is_one_of(any_state(), action.machine, states)


def moves_where_it_is_closed(name: str, origin: When, after: Terms, modes: tuple[str, ...]) -> None:
    """Hold a rung to its part: it moves where the rung is closed in some modes, nowhere else."""
    action = BY_NAME[name]
    in_mode = is_one_of(any_state(), "mode", modes)
    accepted = z3.And(closed(name, origin), in_mode, takes(action))
    moved = after[action.machine] != any_state()[action.machine]
    assert refuted(accepted) is not None
    assert refuted(accepted, z3.Not(moved)) is None
    assert refuted(z3.Not(accepted), z3.Not(same(after))) is None


@pytest.mark.parametrize("name", KEY_RUNGS)
def test_a_key_moves_its_part_where_the_rung_is_closed_by_hand_and_nowhere_else(name: str) -> None:
    moves_where_it_is_closed(name, When.KEY, after_key(name), BY_HAND)


@pytest.mark.parametrize("name", JOB_RUNGS)
def test_the_job_moves_a_part_where_the_rung_is_closed_in_production_and_nowhere_else(
    name: str,
) -> None:
    moves_where_it_is_closed(name, When.JOB, after_asking(name), ("PRODUCTION",))


@pytest.mark.parametrize("action", [action for action in BY_NAME if BY_NAME[action].moves])
def test_from_every_state_in_production_or_without_a_mode_a_movement_key_is_dead(
    action: str,
) -> None:
    nobody = is_one_of(any_state(), "mode", NO_HAND)
    assert refuted(nobody, z3.Not(same(after_key(action)))) is None


# Stops and modes --------------------------------------------------------------------------

POWERED = ("supply", ("ON",))
MOTIONS = {"band": ("STARTING", "RUNNING"), **MOVING}


@cache
def after_edges(*edges: Edge) -> Terms:
    """Return what comes of some edges in any state."""
    tree = Unfolder(Grove()).deed(lambda c: taken(c, edges))
    return run(tree, any_state(), model().called, number(TOOK, False))[0]


@cache
def after_move(name: str) -> Terms:
    """Return what comes of a move that is possible in any state."""
    return run(model().trees[name], any_state(), model().called, number(TOOK, False))[0]


@pytest.mark.parametrize("stop", ["Q0", "S1", "S9"])
def test_from_every_state_isolator_and_emergency_stops_leave_nothing_energised(stop: str) -> None:
    after = after_edges((stop, False))
    was_on = is_one_of(any_state(), *POWERED)
    for machine, state in outputs.ON_IN:
        if machine == "mode":  # drives the creep valve, which has no power then
            continue
        assert refuted(was_on, is_one_of(after, machine, (state,))) is None, (machine, state)
    assert refuted(was_on, is_one_of(after, *POWERED)) is None


@pytest.mark.parametrize("stop", ["S2", "F1", "B51", "B54"])
def test_from_every_state_with_power_what_is_there_to_stop_the_band_stops_it(stop: str) -> None:
    driven = is_one_of(any_state(), "band", ("STARTING", "RUNNING"))
    powered = is_one_of(any_state(), *POWERED)
    still_driven = is_one_of(after_edges((stop, False)), "band", ("STARTING", "RUNNING"))
    assert refuted(powered, driven) is not None
    assert refuted(powered, driven, still_driven) is None


@pytest.mark.parametrize("cover", ["B41", "B42"])
def test_from_every_state_outside_maintenance_an_opened_guard_stops_the_band(cover: str) -> None:
    closed_in = z3.Not(is_one_of(any_state(), "mode", ("MAINTENANCE",)))
    driven = is_one_of(any_state(), "band", ("STARTING", "RUNNING"))
    still_driven = is_one_of(after_edges((cover, False)), "band", ("STARTING", "RUNNING"))
    assert refuted(closed_in, driven, still_driven) is None


def test_from_every_state_the_deviation_time_stops_the_band() -> None:
    assert refuted(is_one_of(after_move("deviation time"), "band", ("STARTING", "RUNNING"))) is None


@pytest.mark.parametrize("putting_right", ["S1", "S9", "Q0", *FAILURES])
def test_from_every_state_putting_something_right_starts_no_part(putting_right: str) -> None:
    after = after_edges((putting_right, True))
    for part in PARTS:
        changed = after[part] != any_state()[part]
        was_driven = is_one_of(any_state(), part, outputs.DRIVEN[part])
        goes_on = is_one_of(after, part, outputs.DRIVEN[part])
        assert refuted(changed, z3.Or(z3.Not(was_driven), goes_on)) is None, part


def test_from_every_state_clamping_lost_in_the_cut_ends_the_job() -> None:
    cut = z3.And(
        is_one_of(any_state(), "head", ("LOWERING",)),
        is_one_of(any_state(), "job", ("STARTING", "EXECUTE", "HOLDING", "COMPLETING")),
        any_state()["B33"] == number("B33", True),
    )
    lost = after_edges(("B33", False))
    assert refuted(cut, z3.Not(is_one_of(lost, "job", ("STOPPING",)))) is None


@pytest.mark.parametrize("contact", MODE_SWITCH)
@pytest.mark.parametrize("value", [True, False])
def test_from_every_state_a_turn_of_the_mode_switch_stops_everything_and_leaves_no_mode(
    contact: str, value: bool
) -> None:
    after = after_edges((contact, value))
    assert refuted(z3.Not(is_one_of(after, "mode", ("NONE",)))) is None
    had_one = z3.Not(is_one_of(any_state(), "mode", ("NONE",)))
    for part, moving in MOTIONS.items():
        assert refuted(had_one, is_one_of(any_state(), part, moving)) is not None
        assert refuted(had_one, is_one_of(after, part, moving)) is None, part


def test_from_every_state_a_switch_at_rest_starts_nothing_and_takes_the_one_mode_it_points_to() -> (
    None
):
    before, after = any_state(), after_move("mode rests")
    changed = z3.Or(*(after[name] != term for name, term in before.items() if name != "mode"))
    assert refuted(changed) is None
    on = [before[tag] == number(tag, True) for tag in MODE_SWITCH]
    none = is_one_of(before, "mode", ("NONE",))
    for mode, this in zip(("MANUAL", "MAINTENANCE", "PRODUCTION"), on, strict=True):
        taken_now = is_one_of(after, "mode", (mode,))
        alone = z3.And(this, *(z3.Not(other) for other in on if other is not this))
        assert refuted(none, alone, z3.Not(taken_now)) is None
        assert refuted(none, taken_now, z3.Not(alone)) is None


@pytest.mark.parametrize("action", [row.name for row in BY_NAME.values() if row.halt])
def test_from_every_state_by_hand_letting_a_key_go_halts_what_it_moved(action: str) -> None:
    row = BY_NAME[action]
    (table,) = (table for table in TABLES if table.name == row.machine)
    moved = tuple({step.to for step in table.rows if step.event == row.event})
    by_hand = is_one_of(any_state(), "mode", BY_HAND)
    after = after_edges((row.tag, False))
    assert refuted(by_hand, is_one_of(any_state(), row.machine, moved)) is not None
    assert refuted(by_hand, is_one_of(after, row.machine, moved)) is None


def test_from_every_state_in_maintenance_nothing_moves_on_without_the_enabling_device() -> None:
    slow = is_one_of(any_state(), "mode", ("MAINTENANCE",))
    after = after_edges(("S7", False))
    for part, moving in MOTIONS.items():
        assert refuted(slow, is_one_of(any_state(), part, moving)) is not None
        assert refuted(slow, is_one_of(after, part, moving)) is None, part


@pytest.mark.parametrize("key", ["supply.reset", "job.clear", "job.reset"])
def test_from_every_state_clearing_and_resetting_move_no_part(key: str) -> None:
    driven = {**MOTIONS, "coolant": ("FLOWING",)}
    after = after_key(key)
    for part, states in driven.items():
        began = z3.And(z3.Not(is_one_of(any_state(), part, states)), is_one_of(after, part, states))
        assert refuted(began) is None, part


# The count --------------------------------------------------------------------------------


def test_from_every_state_nothing_but_a_finished_cut_is_counted() -> None:
    before = any_state()
    after, _ = run(model().advance, before, model().called, number(TOOK, False))
    paid = z3.And(
        before["job.owes"] == number("job.owes", True),
        after["job.owes"] == number("job.owes", False),
    )
    squared = z3.And(
        is_one_of(before, "cycle", ("COUNT",)),
        before["job.squaring"] == number("job.squaring", True),
    )
    assert refuted(paid) is not None
    assert refuted(paid, z3.Not(squared)) is None


def test_from_every_state_an_aborted_piece_leaves_the_end_to_be_squared() -> None:
    before = any_state()
    after, _ = run(model().advance, before, model().called, number(TOOK, False))
    begun = z3.And(
        is_one_of(before, "job", ("ABORTING",)),
        z3.Or(before["job.fed"] == number("job.fed", True),
              before["job.squaring"] == number("job.squaring", True)),
    )  # fmt: skip
    assert refuted(begun) is not None
    assert refuted(begun, after["job.owes"] != number("job.owes", True)) is None
    assert refuted(begun, z3.Not(is_one_of(after, "first", ("SQUARE",)))) is None
    assert refuted(begun, z3.Not(is_one_of(after, "cycle", ("PARKED",)))) is None
