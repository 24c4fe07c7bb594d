"""The ladder: every rung says what the controller does, in every state, proved by z3 and by doing."""

import itertools

import pytest
import z3

from sim.control import outputs
from sim.control.controller import Controller
from sim.control.cycle import STEPS
from sim.control.interlocks import PERMISSIVES, When, needs_of
from sim.control.outputs import VARIATOR_KEYS as VARIATOR
from sim.control.table import TABLES
from sim.kernel.clock import Clock
from sim.logic.bench.rungs import Contact, Rung, action_rungs, drawn, flow, output_rungs
from sim.signals import BY_TAG, OUTPUTS, Bus

STATES = {table.name: table.states for table in TABLES}
OF_STATES = [rung for rung in output_rungs() if rung.coil not in VARIATOR.values()]
# Every value that the tables name for a subject that is neither a wire nor a machine.
LATCH = (False, True)


def _domain(subject):
    return STATES.get(subject, LATCH)


def _is(subject, values):
    """A formula: the subject has one of the values."""
    name = z3.Int(subject)
    return z3.Or([name == _domain(subject).index(value) for value in values])


def _anything(subjects):
    return z3.And([
        z3.And(z3.Int(s) >= 0, z3.Int(s) < len(_domain(s))) for s in subjects
    ])  # fmt: skip


def _rung_formula(rung):
    return z3.And([
        z3.Or(_is(contact.subject, contact.values), _elsewhere(contact.given))
        for contact in rung.contacts
    ])  # fmt: skip


def _elsewhere(given):
    """A formula: something that is given does not hold."""
    return z3.Or([z3.Not(_is(subject, values)) for subject, values in given])


def _table_formula(tag, on_in):
    """The table's rule: power, and some machine in a state that energises the tag."""
    states = [_is(machine, (state,)) for (machine, state), on in on_in.items() if tag in on]
    return z3.And(_is("supply", ("ON",)), z3.Or(states))


def _differ(left, right):
    solver = z3.Solver()
    solver.add(_anything(STATES), left != right)
    return solver.check() == z3.sat


@pytest.mark.parametrize("rung", OF_STATES, ids=lambda rung: rung.coil)
def test_the_rung_of_an_output_is_the_table_of_outputs_in_all_states(rung):
    assert not _differ(_rung_formula(rung), _table_formula(rung.coil, outputs.ON_IN))


@pytest.mark.parametrize("machine", outputs.OF_MACHINE)
def test_a_table_with_one_row_less_is_found_to_differ_from_its_rungs(machine):
    for row, on in outputs.ON_IN.items():
        if row[0] != machine:
            continue
        less = {key: value for key, value in outputs.ON_IN.items() if key != row}
        for tag in on:
            (rung,) = (rung for rung in OF_STATES if rung.coil == tag)
            assert _differ(_rung_formula(rung), _table_formula(tag, less))


@pytest.mark.parametrize("rung", OF_STATES, ids=lambda rung: rung.coil)
def test_the_rung_is_what_energised_returns_for_every_state_of_its_machine(rung):
    others = {name: states[0] for name, states in STATES.items()}
    machine = rung.contacts[-1].subject
    for supply, state in itertools.product(STATES["supply"], STATES[machine]):
        states = {**others, machine: state, "supply": supply if machine != "supply" else state}
        assert rung.holds(states) == (rung.coil in outputs.energised(machine, states))


def test_the_job_has_a_rung_for_what_it_asks_of_a_part_and_for_nothing_else():
    asked = {step.action for step in STEPS.values()}
    needing = {row.action for row in PERMISSIVES}

    assert {rung.coil for rung in action_rungs(When.JOB)} == asked & needing
    assert {rung.coil for rung in action_rungs(When.KEY)} >= {"supply.reset", "supply.control_on"}


@pytest.mark.parametrize("origin", [When.KEY, When.JOB])
def test_the_rung_of_an_action_is_its_permissives(origin):
    for rung in action_rungs(origin):
        needs = needs_of(rung.coil, origin)
        required = z3.And([
            z3.Or(_is(row.need.subject, row.need.values), _elsewhere(row.given)) for row in needs
        ])  # fmt: skip
        subjects = {row.need.subject for row in needs} | {s for row in needs for s, _ in row.given}
        solver = z3.Solver()
        solver.add(_anything(subjects), _rung_formula(rung) != required)

        assert solver.check() == z3.unsat
        assert [contact.number for contact in rung.contacts] == [row.number for row in needs]


@pytest.mark.parametrize("supply", ["OFF", "ON"])
def test_the_variator_rungs_are_what_the_controller_drives(supply):
    rungs = {rung.coil: rung for rung in output_rungs()}
    for keys in itertools.product((False, True), repeat=2):
        bus = Bus()
        controller = Controller(Clock(), bus)
        bus.drive("Q0", True)
        bus.settle()
        if supply == "ON":
            controller.fire("supply", "RESET")
            controller.fire("supply", "CONTROL_ON")
        for tag, down in zip(VARIATOR, keys, strict=True):
            bus.drive(tag, down)
        bus.settle()

        for tag in VARIATOR.values():
            assert bus.driven(tag) == rungs[tag].holds(controller.image)


def test_every_output_has_one_rung():
    assert sorted(rung.coil for rung in output_rungs()) == sorted(OUTPUTS)
    assert all(rung.text == BY_TAG[rung.coil].text for rung in output_rungs())


def test_power_flows_as_far_as_the_first_open_contact():
    rung = Rung("Y", "y", (Contact("A", (True,)), Contact("B", (False,)), Contact("C", ("X", "Z"))))

    assert flow(rung, {"A": False, "B": False, "C": "X"}) == 0
    assert flow(rung, {"A": True, "B": True, "C": "X"}) == 1
    assert flow(rung, {"A": True, "B": False, "C": "Z"}) == 3
    assert drawn(rung) == "|--[ A ]--[ /B ]--[ C=X|Z ]--( Y )--|"
    assert drawn(rung, {"A": True, "B": True, "C": "X"}) == "|==[ A ]==[ /B ]--[ C=X|Z ]--( Y )--|"
    assert drawn(rung, {"A": True, "B": False, "C": "X"}).endswith("==( Y )==|")
