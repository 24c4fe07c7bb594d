"""Which outputs a state energises, and none without control power."""

import pytest

from sim.control.outputs import OF_MACHINE, ON_IN, energised
from sim.control.table import TABLES
from sim.signals import OUTPUTS

STATES = {table.name: table.states for table in TABLES}
REST = {table.name: table.initial for table in TABLES}
VARIATOR = {"M2", "M3"}  # driven by their keys, in no state


def test_every_row_names_a_state_and_outputs_that_there_are():
    for (machine, state), on in ON_IN.items():
        assert state in STATES[machine]
        assert set(on) <= set(OUTPUTS)


def test_every_output_belongs_to_one_machine():
    owned = [tag for tags in OF_MACHINE.values() for tag in tags]

    assert sorted(owned) == sorted(set(OUTPUTS) - VARIATOR)


@pytest.mark.parametrize("machine", OF_MACHINE)
def test_no_state_pulls_two_ways_at_once(machine):
    opposite = [{"Y11", "Y12"}, {"Y21", "Y22"}, {"Y31", "Y33"}, {"Y32", "Y34"}]
    for state in STATES[machine]:
        on = set(ON_IN.get((machine, state), ()))
        assert not any(pair <= on for pair in opposite)


@pytest.mark.parametrize(("machine", "state"), [key for key in ON_IN if key[0] != "supply"])
def test_an_output_is_on_in_its_state_and_off_without_power(machine, state):
    powered = {**REST, "supply": "ON", machine: state}

    assert energised(powered) == {"K1", "Q2", *ON_IN[(machine, state)]}
    for supply in ("DEAD", "OFF", "EMERGENCY"):
        assert energised({**powered, "supply": supply}) == frozenset()
