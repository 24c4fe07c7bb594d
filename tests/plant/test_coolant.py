"""The coolant: level, strength, the wash-down hose, and what a cut without it costs."""

import pytest


def with_pump(ready, **settings):
    hands = ready(**settings)
    hands.tap("coolant.on")
    return hands


def test_a_cut_without_coolant_says_what_it_cost_the_band(ran):
    dry, wet = ran(coolant="off", speed_m_min=85), ran(speed_m_min=85)
    told = next(c for c in dry.saw.consequences if c.kind == "cut-dry")

    assert dry.harm == ["cut-dry"]
    assert wet.harm == []
    assert told.band_life == pytest.approx(dry.saw.plant.blade.wear - wet.saw.plant.blade.wear)
    assert dry.saw.plant.blade.wear == pytest.approx(wet.saw.plant.blade.wear / 0.05, rel=1e-6)


@pytest.mark.parametrize(
    ("per_cent", "poor"), [(1, True), (3, True), (5, False), (7, False), (10, False), (20, True)]
)
def test_five_to_ten_per_cent_is_right(ran, per_cent, poor):
    hands = ran(coolant__concentration_percent=per_cent)

    assert hands.harm == (["coolant-poor"] if poor else [])


def test_leaner_coolant_costs_more_life(ran):
    wear = [ran(coolant__concentration_percent=p).saw.plant.blade.wear for p in (0.5, 2, 4, 6)]

    assert wear == sorted(wear, reverse=True)


def test_a_hose_left_open_empties_the_tank_on_to_the_floor(ready, told):
    hands = with_pump(ready, coolant__wash_down="open")
    began_s = hands.now_s
    hands.wait(29)
    assert hands.harm == []
    hands.wait(2)
    assert hands.harm == ["spill"]
    assert "5 litres" in told(hands, "spill")
    assert hands.saw.read("coolant.floor") == "wet"
    hands.until(lambda: not hands.sees("B63"))

    # 60 litres at 10 litres a minute, and 2.5 an hour more for chips and drying
    assert hands.now_s - began_s == pytest.approx(60 / (10 / 60 + 2.5 / 3600), abs=1e-3)
    assert hands.saw.plant.coolant.level == pytest.approx(0.2, abs=1e-6)


def test_the_hose_runs_ten_litres_a_minute(ready):
    hands = with_pump(ready, coolant__wash_down="open")
    before = hands.saw.plant.coolant.level
    hands.wait(60)

    assert before - hands.saw.plant.coolant.level == pytest.approx(0.1, rel=1e-2)


def test_a_hose_left_open_with_the_pump_off_spills_nothing(ready):
    hands = ready(coolant__wash_down="open")
    hands.wait(3600)

    assert hands.harm == []
    assert hands.saw.plant.coolant.level == 0.8


def test_mopping_the_floor_lets_the_next_spill_be_told(ready):
    hands = with_pump(ready, coolant__wash_down="open")
    hands.wait(60)
    hands.set(coolant__floor="dry")
    hands.wait(60)

    assert hands.harm == ["spill", "spill"]


def test_an_empty_tank_gives_no_flow_and_topping_up_gives_it_back(ready):
    hands = with_pump(ready, coolant__level_percent=21, coolant__wash_down="open")
    hands.wait(120)
    coolant = hands.saw.plant.coolant
    assert not coolant.flowing
    assert not hands.sees("B63")
    hands.set(coolant__wash_down="shut", coolant__level_percent=80)

    assert coolant.flowing
    assert hands.sees("B63")


def test_water_dries_off_and_the_mixture_gets_stronger(ready):
    hands = with_pump(ready)
    coolant = hands.saw.plant.coolant
    assert coolant.concentration == pytest.approx(0.07)
    hands.wait(10 * 3600)

    # 25 litres gone in ten hours, five of them plain water, at 2.5 litres an hour of 80
    left = 55.0
    expected = 0.07 * 80 * (left / 80) ** (2.0 / 2.5) / left
    assert coolant.level * 100 == pytest.approx(left, rel=1e-6)
    assert coolant.concentration == pytest.approx(expected, rel=1e-6)


def test_topping_up_keeps_the_strength_and_mixing_keeps_the_level(ready):
    hands = ready(coolant__concentration_percent=4)
    coolant = hands.saw.plant.coolant
    hands.set(coolant__level_percent=100)
    assert coolant.concentration == pytest.approx(0.04)
    hands.set(coolant__concentration_percent=8)

    assert (coolant.level, coolant.concentration) == (1.0, pytest.approx(0.08))


def test_a_blocked_nozzle_shows_in_the_flow(ready):
    hands = with_pump(ready)
    coolant = hands.saw.plant.coolant
    coolant.block(1.0)
    assert not coolant.flowing
    coolant.block(0.4)
    assert coolant.flowing
    assert coolant.quality == pytest.approx(0.6)


def test_coolant_that_fails_early_in_the_cut_counts_as_dry(ready):
    hands = ready(head__feed_valve_mm_min=14, coolant__level_percent=20.5)
    hands.clamp_bar()
    hands.tap("coolant.with_band")
    hands.ready("square")
    hands.start()
    hands.until_in_metal()
    hands.set(coolant__wash_down="open")
    hands.until(lambda: bool(hands.saw.cuts))

    # So slow a feed rubs besides.
    assert [harm for harm in hands.harm if harm != "teeth-rubbed"] == ["spill", "cut-dry"]
