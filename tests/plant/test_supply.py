"""Air, oil and coolant: what their switches show."""

import pytest

from sim.units import BAR


@pytest.mark.parametrize(("bar", "enough"), [(6.0, True), (4.5, True), (4.4, False), (0.0, False)])
def test_the_air_switch_opens_below_its_pressure(hands, bar, enough):
    hands.saw.plant.set_air(bar * BAR)
    hands.saw.bus.settle()

    assert hands.sees("B61") is enough


@pytest.mark.parametrize(("level", "enough"), [(1.0, True), (0.3, True), (0.29, False)])
def test_the_oil_switch_opens_below_its_level(hands, level, enough):
    hands.saw.plant.set_oil(level)
    hands.saw.bus.settle()

    assert hands.sees("B62") is enough


@pytest.mark.parametrize(("level", "enough"), [(0.8, True), (0.2, True), (0.19, False)])
def test_the_coolant_switch_opens_below_its_level(hands, level, enough):
    hands.saw.plant.coolant.set_level(level)
    hands.saw.bus.settle()

    assert hands.sees("B63") is enough


def test_coolant_flows_while_its_pump_runs_and_the_tank_is_not_empty(hands):
    hands.control_on()
    hands.tap("coolant.on")
    assert hands.saw.plant.coolant.flowing
    hands.saw.plant.coolant.set_level(0.0)
    assert not hands.saw.plant.coolant.flowing
    hands.saw.plant.coolant.set_level(0.8)
    hands.tap("coolant.off")

    assert not hands.saw.plant.coolant.flowing


def test_oil_pressure_comes_with_the_pump_and_goes_with_it(hands):
    assert not hands.saw.plant.supply.oil
    hands.control_on()
    assert hands.saw.plant.supply.oil
    hands.press("supply.emergency_stop")

    assert not hands.saw.plant.supply.oil
