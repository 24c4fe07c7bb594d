"""Which outputs a state energises, and none without control power."""

import pytest

from sim.control.controller import Controller
from sim.control.outputs import OF_MACHINE, ON_IN, OWNED, put_on
from sim.control.table import TABLES
from sim.kernel.clock import Clock
from sim.signals import OUTPUTS, Bus

STATES = {table.name: table.states for table in TABLES}
REST = {table.name: table.initial for table in TABLES}
VARIATOR = {"M2", "M3"}  # driven by their keys, in no state


def _on(image):
    """Every output that is on, the variator's keys being up."""
    image = {**image, "S12": False, "S13": False}
    return {tag for owner in OWNED for tag, on in put_on(owner, image) if on}


def _on_of_variator(image):
    driven = dict(put_on("variator", image))
    assert set(driven) == VARIATOR  # each is told, so that what was on goes off
    return {tag for tag, on in driven.items() if on}


def test_every_row_names_a_state_and_outputs_that_there_are():
    for (machine, state), on in ON_IN.items():
        assert state in STATES[machine]
        assert set(on) <= set(OUTPUTS)


def test_every_output_belongs_to_one_machine():
    owned = [tag for tags in OF_MACHINE.values() for tag in tags]

    assert sorted(owned) == sorted(set(OUTPUTS) - VARIATOR)
    assert sorted(tag for tags in OWNED.values() for tag in tags) == sorted(OUTPUTS)


@pytest.mark.parametrize("machine", OF_MACHINE)
def test_no_state_pulls_two_ways_at_once(machine):
    opposite = [{"Y11", "Y12"}, {"Y21", "Y22"}, {"Y31", "Y33"}, {"Y32", "Y34"}]
    for state in STATES[machine]:
        on = set(ON_IN.get((machine, state), ()))
        assert not any(pair <= on for pair in opposite)


@pytest.mark.parametrize(("machine", "state"), [key for key in ON_IN if key[0] != "supply"])
def test_an_output_is_on_in_its_state_and_off_without_power(machine, state):
    powered = {**REST, "supply": "ON", machine: state}

    full_flow = () if machine == "mode" else ("Y13",)
    assert _on(powered) == {"K1", "Q2", *full_flow, *ON_IN[(machine, state)]}
    for supply in ("DEAD", "OFF", "TRIPPED"):
        assert _on({**powered, "supply": supply}) == set()


@pytest.mark.parametrize("supply", ["DEAD", "TRIPPED", "OFF", "ON"])
def test_a_variator_key_alone_drives_its_output_with_power_and_both_drive_nothing(supply):
    powered = {**REST, "supply": supply}
    alone = {"S12": {"M3"}, "S13": {"M2"}}
    for key, on in alone.items():
        image = {**powered, "S12": False, "S13": False, key: True}
        assert _on_of_variator(image) == (on if supply == "ON" else set())
    for down in (False, True):
        assert _on_of_variator({**powered, "S12": down, "S13": down}) == set()


def test_a_variator_key_that_is_held_while_power_comes_back_drives_nothing():
    bus = Bus()
    controller = Controller(Clock(), bus)
    for tag in ("Q0", "S12"):
        bus.drive(tag, True)
    bus.settle()
    controller.fire("supply", "RESET")
    controller.fire("supply", "CONTROL_ON")
    bus.settle()

    assert bus.driven("K1")
    assert not bus.driven("M3")
    for down in (False, True):
        bus.drive("S12", down)
        bus.settle()
    assert bus.driven("M3")


@pytest.mark.parametrize("mode", STATES["mode"])
def test_the_creep_valve_is_open_for_full_speed_in_no_mode_but_manual_and_production(mode):
    on = _on({**REST, "supply": "ON", "mode": mode})

    assert ("Y13" in on) is (mode in ("MANUAL", "PRODUCTION"))


def test_who_listens_to_one_subject_hears_of_no_other():
    bus = Bus()
    controller = Controller(Clock(), bus)
    all_of_it, supply = [], []
    controller.on_change(lambda *change: all_of_it.append(change))
    controller.on_change(lambda *change: supply.append(change), only=("supply",))
    for tag, value in (("Q0", True), ("S2", False)):
        bus.drive(tag, value)
        bus.settle()

    assert ("supply", "TRIPPED") in supply
    assert ("latch.trip_line", True) in all_of_it
    assert [change for change in all_of_it if change[0] == "supply"] == supply
