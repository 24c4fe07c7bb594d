"""The overload relay: class 10, its dial, a lost phase, and its reset by hand."""

from math import log

import pytest

from sim.plant.bar import Stock
from sim.trade.sections import Round
from sim.units import MM
from sim.words.message import NOTHING


def test_a_healthy_job_never_comes_near_a_trip(ran):
    hands = ran(wanted=6)

    assert hands.harm == []
    assert hands.saw.plant.band.relay.heat < 0.6


def test_a_dial_set_too_low_trips_in_a_heavy_cut_and_holds_the_job(ran, told, steel):
    heavy = Stock(steel, Round(150 * MM), 6.0, 12 * MM)
    card = {
        "head__feed_force_n": 700, "band__teeth_per_inch": 3, "band__brush_mm": 2,
        "cutting_vise__pressure_bar": 60,
    }  # fmt: skip
    low = ran(heavy, speed_m_min=90.0, wanted=3, band__relay_a=4, **card)
    right = ran(heavy, speed_m_min=90.0, wanted=3, **card)

    assert right.harm == []

    assert low.harm[-1] == "overload-trip"
    assert low.job == "HELD"
    assert low.reason == "the overload relay tripped"
    assert "with the relay set to 4.0 A" in told(low, "overload-trip")


def test_a_motor_that_has_lost_a_phase_does_not_start_and_trips_within_class_10(ready):
    hands = ready()
    relay = hands.saw.plant.band.relay
    hands.wait(3600)
    relay.lose_phase(True)
    hands.palms("band.run")
    took_s = hands.until(lambda: not hands.sees("F1"))

    # six times the setting from cold, tau 250 s, trip at 1.125 times
    setting = relay.setting_a / 6.86
    target, limit = 36 / setting**2, 1.125**2
    assert took_s == pytest.approx(250 * log(target / (target - limit)), rel=0.02)
    assert 4 < took_s < 10
    assert not hands.saw.plant.band.turning
    assert hands.harm == ["overload-trip"]


def test_a_phase_lost_under_load_trips_where_three_phases_carry_it(ready):
    hands = ready()
    hands.palms("band.run")
    hands.wait(3)
    band = hands.saw.plant.band
    square = band.square_of(1000.0)
    band.carry(square)
    band.relay.lose_phase(True)
    hands.until(lambda: not hands.sees("F1"), 3600)

    assert square < 1.125**2 < 3 * square
    assert hands.state("band") == "TRIPPED"


def test_the_clamp_meter_shows_the_current_of_the_load_and_root_three_of_it_on_two_phases(ready):
    hands = ready()
    relay = hands.saw.plant.band.relay
    hands.palms("band.run")
    hands.wait(3)
    three = relay.current_a
    relay.lose_phase(True)

    assert 3.0 < three < 6.9
    assert relay.current_a == pytest.approx(three * 3**0.5)


def test_a_cut_that_asks_the_motor_for_the_power_of_its_plate_draws_the_current_of_its_plate(hands):
    machine, band = hands.machine, hands.saw.plant.band
    idle_w = machine.idle_w * band.dial.position / machine.band_high_m_s
    square = band.square_of((machine.motor_w - idle_w) * machine.drive_efficiency)

    assert square == pytest.approx(1.0)
    # What three lines feed is what comes out at the shaft, by power factor and efficiency.
    fed_w = 3**0.5 * machine.voltage_v * band.relay.setting_a * machine.power_factor
    assert fed_w * machine.motor_efficiency == pytest.approx(machine.motor_w, rel=0.01)


def test_at_a_steady_load_the_heat_comes_to_the_square_of_current_by_setting(ready):
    hands = ready(band__relay_a=5)
    relay = hands.saw.plant.band.relay
    hands.palms("band.run")
    hands.wait(3600)

    assert relay.heat == pytest.approx((relay.current_a / 5) ** 2, rel=1e-4)


def test_a_trip_tells_how_long_it_is_until_the_relay_can_be_reset(ready):
    hands = ready()
    relay = hands.saw.plant.band.relay
    relay.lose_phase(True)
    hands.palms("band.run")
    hands.until(lambda: not hands.sees("F1"))
    told_s = hands.saw.consequences[-1].detail["wait"]
    began_s = hands.now_s
    relay.lose_phase(False)
    while not relay.reset():
        hands.wait(1)

    assert hands.now_s - began_s == pytest.approx(told_s, abs=1.1)


def test_many_starts_in_a_row_trip_it(ready):
    hands = ready()
    starts = 0
    while hands.sees("F1") and starts < 30:
        hands.palms("band.run")
        hands.wait(2)
        hands.tap("band.stop")
        hands.wait(4)
        starts += 1

    assert 4 < starts < 15
    assert hands.harm == ["overload-trip"]


def test_a_tripped_relay_is_reset_by_hand_only_when_it_has_cooled(ready):
    hands = ready()
    relay = hands.saw.plant.band.relay
    relay.lose_phase(True)
    hands.palms("band.run")
    hands.until(lambda: not hands.sees("F1"))
    relay.lose_phase(False)
    assert "Wait 148 s" in str(hands.saw.blocked("band.relay"))
    hands.set(band__relay="set")
    assert not hands.sees("F1")
    hands.wait(149)
    assert hands.saw.blocked("band.relay") == NOTHING
    hands.set(band__relay="set")

    assert hands.sees("F1")
    hands.tap("supply.reset")
    hands.palms("band.run")
    hands.wait(3)
    assert hands.sees("B2")


def test_resetting_the_relay_starts_nothing(ready):
    hands = ready()
    hands.set(band__relay="tripped")
    assert not hands.sees("F1")
    hands.wait(10)
    hands.set(band__relay="set")
    hands.wait(10)

    assert hands.sees("F1")
    assert "Q1" not in hands.on
    assert hands.harm == []


def test_a_tripped_relay_refuses_the_band(ready):
    hands = ready(band__relay="tripped")
    answer = hands.palms("band.run")

    assert not answer.accepted
    assert "F1" in str(answer.sentence)
