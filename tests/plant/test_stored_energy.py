"""What is left in the saw when its supplies are off, and what takes it off: oil, air, weight, the bar.

29 CFR 1910.147(d)(5), as quoted on public pages: stored energy is relieved, disconnected or restrained.
"""

from dataclasses import replace

import pytest

from sim.plant.padlocks import AIR_COCK, ISOLATOR
from sim.scenario.machines import first_machine, shipped_machine
from sim.trade.sections import Rectangle
from sim.units import BAR, MM

PROP_MM = 200


@pytest.fixture(params=["sinks", "holds"])
def raised(request, new_hands, stair_rod):
    """A saw with its head at the uppermost notch, power on, of either make-up."""
    sinks = request.param == "sinks"
    hands = new_hands(stair_rod, replace(first_machine(), head_sinks=sinks))
    hands.set_up()
    hands.set(head__feed_valve_mm_min=250, head__stop_notch=12)
    hands.hold_down("head.raise", 8)
    return hands


def height_mm(hands):
    return hands.saw.plant.head.place.position / MM


def propped(hands):
    hands.set(head__prop="in")
    hands.hold_down("head.lower", 60)
    assert hands.saw.plant.head.propped
    return hands


def test_the_prop_carries_the_head_only_when_the_head_has_come_down_on_it(raised):
    raised.set(head__prop="in")
    assert not raised.saw.plant.head.propped
    propped(raised)

    assert height_mm(raised) == pytest.approx(PROP_MM)


def test_a_loaded_prop_does_not_swing_out_and_one_does_not_go_in_under_a_low_head(raised):
    raised.hold_down("head.lower", 60)
    assert raised.saw.blocked("head.prop")
    raised.set(head__prop="in")
    assert raised.saw.read("head.prop") == "out"

    raised.hold_down("head.raise", 8)
    propped(raised)
    assert raised.saw.blocked("head.prop")
    raised.set(head__prop="out")
    assert raised.saw.read("head.prop") == "in"

    raised.hold_down("head.raise", 8)
    assert not raised.saw.blocked("head.prop")
    raised.set(head__prop="out")
    assert raised.saw.read("head.prop") == "out"


def test_on_its_prop_the_head_needs_neither_oil_nor_air_nor_power(raised):
    propped(raised).press("supply.emergency_stop")
    raised.set(supply__air_cock="shut", head__oil_relief="open")
    raised.wait(8 * 3600)

    assert height_mm(raised) == pytest.approx(PROP_MM)
    assert raised.harm == []


def test_air_let_out_drops_a_head_on_to_a_prop_that_it_does_not_rest_on_yet(raised):
    raised.set(head__feed_valve_mm_min=0, head__prop="in")
    raised.press("supply.emergency_stop")
    raised.set(supply__air_cock="shut")
    raised.wait(20)

    assert raised.harm == ["head-dropped"]
    assert raised.saw.plant.head.propped


def test_oil_stays_under_a_head_that_rests_until_its_relief_is_opened(raised):
    head = raised.saw.plant.head
    assert head.oil_pa == pytest.approx(60 * 9.81 / 4e-4)
    propped(raised).press("supply.emergency_stop")
    raised.wait(3600)
    assert head.oil_pa == pytest.approx(2 * BAR)
    raised.set(head__oil_relief="open")
    assert head.oil_pa == 0.0
    raised.set(head__oil_relief="shut")

    assert head.oil_pa == 0.0


def test_its_open_relief_lets_a_raised_head_down_on_to_the_bar(raised):
    raised.press("supply.emergency_stop")
    raised.set(head__oil_relief="open")
    before_mm = height_mm(raised)
    raised.wait(2)
    assert height_mm(raised) == pytest.approx(before_mm - 30)
    assert not raised.saw.plant.head.rests
    raised.wait(20)

    assert raised.saw.plant.head.rests
    assert raised.saw.plant.head.oil_pa == 0.0
    assert raised.harm == []


def test_the_lower_key_does_not_hurry_a_head_that_comes_down_through_its_open_relief(raised):
    raised.set(head__oil_relief="open")
    before_mm = height_mm(raised)
    raised.hold_down("head.lower", 2)

    assert height_mm(raised) == pytest.approx(before_mm - 30)


@pytest.mark.parametrize("machine", ["harbour-saw", "quay-saw"])
@pytest.mark.parametrize("height_mm", [6, 10, 12, 15, 20, 25, 30, 35, 40, 50, 60])
def test_let_down_on_a_bar_of_any_height_it_rests_and_the_air_may_go(
    new_hands, stair_rod, machine, height_mm
):
    stock = replace(stair_rod, section=Rectangle(40 * MM, height_mm * MM))
    hands = new_hands(stock, shipped_machine(machine))
    hands.set_up()
    hands.set(head__stop_notch=12)
    hands.hold_down("head.raise", 12)
    hands.set(head__oil_relief="open")
    hands.wait(60)
    assert hands.saw.plant.head.rests

    hands.set(supply__air_cock="shut")
    assert hands.harm == []


def test_with_its_relief_open_the_head_is_not_raised(raised):
    raised.set(head__oil_relief="open")
    raised.wait(20)
    low_mm = height_mm(raised)
    raised.hold_down("head.raise", 5)

    assert height_mm(raised) == low_mm


def test_the_hand_pump_raises_the_head_without_power_or_air_stroke_by_stroke(raised):
    propped(raised).press("supply.emergency_stop")
    raised.set(supply__air_cock="shut", head__feed_valve_mm_min=0, head__oil_relief="open")
    raised.wait(30)
    raised.set(head__oil_relief="shut", head__hand_pump=10)
    assert height_mm(raised) == pytest.approx(PROP_MM + 5)
    raised.set(head__hand_pump=10)

    assert height_mm(raised) == pytest.approx(PROP_MM + 10, abs=0.01)
    assert raised.saw.plant.head.oil_pa > 10 * BAR
    assert raised.harm == []


def test_through_an_open_relief_the_hand_pump_raises_nothing(raised):
    propped(raised).set(head__oil_relief="open", head__hand_pump=20)
    raised.wait(30)

    assert raised.saw.plant.head.propped
    assert raised.saw.plant.head.oil_pa == 0.0


@pytest.mark.parametrize("vise", ["cutting_vise", "shuttle_vise"])
def test_a_vise_keeps_its_oil_without_power_until_its_relief_is_opened(raised, vise):
    raised.hold_down(f"{vise}.clamp", 4)
    raised.press("supply.emergency_stop")
    raised.wait(8 * 3600)
    part = getattr(raised.saw.plant, vise)
    assert part.pressure_pa > 0
    raised.set(**{f"{vise}__oil_relief": "open"})

    assert part.pressure_pa == 0
    assert not part.clamped


@pytest.mark.parametrize("vise", ["cutting_vise", "shuttle_vise"])
def test_through_an_open_relief_no_vise_clamps_and_shut_again_it_does(raised, vise):
    part = getattr(raised.saw.plant, vise)
    raised.hold_down(f"{vise}.clamp", 4)
    raised.set(**{f"{vise}__oil_relief": "open"})
    raised.hold_down(f"{vise}.clamp", 4)
    assert not part.clamped
    raised.set(**{f"{vise}__oil_relief": "shut"})
    raised.hold_down(f"{vise}.clamp", 4)

    assert part.clamped


def test_the_shut_air_cock_vents_within_seconds_and_a_padlock_keeps_it_shut(raised):
    propped(raised).set(supply__air_cock="shut")
    raised.wait(15)
    assert raised.saw.plant.supply.air_pa < 0.05 * BAR
    raised.saw.plant.padlocks.hang(AIR_COCK, "me")
    assert raised.saw.blocked("supply.air_cock")
    raised.set(supply__air_cock="open")
    assert raised.saw.read("supply.air_cock") == "shut"
    raised.saw.plant.padlocks.take(AIR_COCK, "me")
    raised.set(supply__air_cock="open")

    assert raised.saw.plant.supply.air_pa == pytest.approx(6 * BAR)


def test_a_padlock_keeps_the_isolator_off_whoever_put_it_on(raised):
    raised.release("supply.isolator")
    for owner in ("me", "Ada"):
        raised.saw.plant.padlocks.hang(ISOLATOR, owner)
    raised.saw.plant.padlocks.take(ISOLATOR, "me")
    answer = raised.saw.press("supply.isolator")

    assert not answer.accepted
    assert not raised.saw.bus.driven("Q0")
    raised.saw.plant.padlocks.take(ISOLATOR, "Ada")
    raised.saw.press("supply.isolator")
    assert raised.saw.bus.driven("Q0")


def test_without_its_key_the_mode_switch_does_not_turn(raised):
    raised.set(mode__key="in my pocket")
    answer = raised.saw.press("mode.production")
    raised.wait(2)
    assert not answer.accepted
    assert raised.saw.controller.image["mode"] == "NONE"
    raised.set(mode__key="in the switch")
    raised.wait(2)
    assert raised.saw.controller.image["mode"] == "MANUAL"
    raised.saw.press("mode.production")
    raised.wait(2)

    assert raised.saw.controller.image["mode"] == "PRODUCTION"


def test_a_chocked_bar_stays_when_the_shuttle_would_take_it_along(raised):
    raised.hold_down("shuttle.back", 6)
    raised.hold_down("shuttle_vise.clamp", 4)
    raised.hold_down("cutting_vise.release", 4)
    raised.set(infeed__bar_chock="in")
    front_m = raised.saw.plant.bar.front_m
    raised.hold_down("shuttle.forward", 2)

    assert raised.saw.plant.bar.front_m == front_m
    assert raised.harm == ["bar-scored"]


def test_air_let_out_under_a_head_that_rests_on_nothing_is_told_at_once_and_a_prop_under_it_is_enough(
    raised,
):
    raised.set(supply__air_cock="shut")
    assert raised.harm == ["head-unsupported"]
    raised.set(supply__air_cock="open")
    raised.set(head__prop="in")
    raised.set(supply__air_cock="shut")

    assert raised.harm == ["head-unsupported"]
