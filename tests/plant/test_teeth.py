"""What becomes of teeth in use, measured through the saw: wear, rubbing, running-in, breaks, chips."""

from dataclasses import replace
from itertools import pairwise

import pytest

from sim.plant.bar import Stock
from sim.resources import shipped
from sim.scenario.metals import read_materials
from sim.trade.chips import Colour, Form
from sim.trade.edge import FAIR_CHIP_M, RUN_IN_M2
from sim.trade.sections import Round
from sim.units import MM

METALS = read_materials(shipped("scenarios") / "materials" / "materials.yaml")
STEEL_BAR = Stock(METALS["S275JR"], Round(60 * MM), 6.0, 12 * MM)
STAINLESS_BAR = Stock(METALS["X5CrNi18-10"], Round(60 * MM), 6.0, 12 * MM)
CARD = {"head__feed_valve_mm_min": 174, "head__feed_force_n": 360, "speed_m_min": 85}
UNTIL_IN_METAL_S = 40.0  # of the whole run, what setting up and coming down takes
SLOW = {"head__feed_force_n": 360, "speed_m_min": 38}


def used(share):
    """Have a share of the band's life used up."""
    return lambda plant: setattr(plant.blade, "wear", share)


def cut_s(hands):
    return hands.saw.cuts[0].at_us / 1e6 - UNTIL_IN_METAL_S


@pytest.fixture
def aged(ran):
    """Return the time of a cut, s, and how far it is out of square, with a share of the life used up."""

    def aged(share):
        hands = ran(STEEL_BAR, spoil=used(share), **CARD)
        return cut_s(hands), hands.saw.cuts[0].out_of_square

    return aged


def test_a_cut_takes_longer_and_runs_off_more_with_every_part_of_the_life(aged):
    shares = [0.0, 0.25, 0.5, 0.75, 0.9, 0.99]
    found = [aged(share) for share in shares]
    times, leans = [s for s, _ in found], [m for _, m in found]

    assert times == sorted(times)
    assert leans == sorted(leans)
    assert len(set(times)) == len(times)
    # Smooth: no hundredth of a life makes more than a twentieth of difference.
    for (one, other), (early_s, late_s) in zip(pairwise(shares), pairwise(times), strict=True):
        assert late_s / early_s < 1.05 ** ((other - one) * 100)
    assert times[2] > 1.1 * times[0]
    assert times[-1] > 2.0 * times[0]


def test_nothing_happens_at_the_hundredth_at_which_teeth_are_called_worn(aged):
    before, after = aged(0.99), aged(1.0)

    assert after[0] == pytest.approx(before[0], rel=0.05)
    assert after[1] == pytest.approx(before[1], rel=0.05)


def test_stainless_with_the_feed_nearly_shut_is_hardened_worn_and_crooked(ran, told):
    shut = ran(STAINLESS_BAR, head__feed_valve_mm_min=5, hours=3, **SLOW)
    right = ran(STAINLESS_BAR, head__feed_valve_mm_min=80, hours=3, **SLOW)

    assert right.harm == []
    assert shut.harm == ["teeth-rubbed"]
    said = told(shut, "teeth-rubbed")
    assert "1.9 times as hard as the metal" in said
    assert "costs 5" in said
    assert shut.saw.plant.blade.wear > 50 * right.saw.plant.blade.wear
    assert shut.saw.cuts[0].out_of_square > 1.5 * right.saw.cuts[0].out_of_square


@pytest.mark.parametrize(
    ("metal", "told_hard"), [("CuSn8", True), ("Cu-ETP", False), ("S275JR", False)]
)
def test_what_rubbing_hardens_by_half_is_told_of_and_what_it_hardens_less_is_not(
    ran, told, metal, told_hard
):
    bar = Stock(METALS[metal], Round(60 * MM), 6.0, 12 * MM)
    shut = ran(bar, head__feed_valve_mm_min=4, hours=2, **SLOW)

    assert ("times as hard as the metal" in told(shut, "teeth-rubbed")) == told_hard


@pytest.mark.parametrize(("hardened", "told_hard"), [(1.45, False), (1.5, True)])
def test_a_metal_that_hardens_by_nearly_half_is_not_one_that_hardens_by_half(
    ran, told, hardened, told_hard
):
    metal = replace(METALS["CuSn8"], hardened=hardened)
    shut = ran(Stock(metal, Round(60 * MM), 6.0, 12 * MM), head__feed_valve_mm_min=4, **SLOW)

    assert ("times as hard as the metal" in told(shut, "teeth-rubbed")) == told_hard


def test_a_60_mm_round_with_a_fair_chip_wears_a_band_by_the_time_in_it_over_its_known_life(ran):
    metal = STEEL_BAR.material
    band_m_s = (metal.speed_low_m_s + metal.speed_high_m_s) / 2.0
    feed_m_s = FAIR_CHIP_M * band_m_s / (25.4 * MM / 4)
    hands = ran(
        STEEL_BAR, speed_m_min=band_m_s * 60, head__feed_valve_mm_min=feed_m_s / MM * 60,
        head__feed_force_n=1000, cutting_vise__pressure_bar=60,
    )  # fmt: skip
    wear_s = hands.saw.plant.blade.wear * hands.machine.band_life_s

    assert hands.harm == []
    assert wear_s == pytest.approx(60 * MM / feed_m_s, rel=0.02)


def test_it_is_worn_though_the_cut_is_broken_off(ready):
    hands = ready(STAINLESS_BAR, 38, head__feed_valve_mm_min=2, head__feed_force_n=360)
    hands.clamp_bar()
    hands.tap("coolant.on")
    hands.palms("band.run")
    hands.wait(3)
    hands.set(head__feed_valve_mm_min=40)
    hands.press("head.lower")
    hands.until_in_metal()
    hands.set(head__feed_valve_mm_min=2)
    hands.wait(600)
    hands.release("head.lower")

    assert hands.harm == ["teeth-rubbed"]
    assert 0.1 < hands.saw.plant.blade.wear < 1.0


def test_the_area_that_a_band_lasts_for_has_its_best_feed_between_too_little_and_too_much(ran):
    def an_area(valve_mm_min, force_n):
        card = {"head__feed_valve_mm_min": valve_mm_min, "head__feed_force_n": force_n}
        return ran(
            STEEL_BAR, speed_m_min=85, cutting_vise__pressure_bar=60, **card
        ).saw.plant.blade.wear

    wear = [an_area(*feed) for feed in ((10, 360), (40, 360), (100, 360), (100, 700), (240, 1400))]
    best = wear.index(min(wear))

    assert 1 <= best <= 3
    assert wear[0] > 3 * wear[best]
    assert wear[4] > wear[best]


def test_a_faster_band_lasts_for_less(ran):
    slow, fast = (ran(STEEL_BAR, **{**CARD, "speed_m_min": v}) for v in (85, 105))

    assert fast.saw.plant.blade.wear > 3 * slow.saw.plant.blade.wear


def new_band(plant):
    plant.blade.fit(4.0)


def test_what_a_rubbing_cut_is_said_to_cost_with_a_fair_chip_is_what_it_costs_with_one(ran):
    band_m_s, pitch_m = 1.0, 25.4 * MM / 4
    fair_mm_min = FAIR_CHIP_M * band_m_s / pitch_m / MM * 60
    hold = {"cutting_vise__pressure_bar": 60, "head__feed_force_n": 1000}
    rubs = ran(STEEL_BAR, head__feed_valve_mm_min=6)
    fair = ran(STEEL_BAR, head__feed_valve_mm_min=fair_mm_min, **hold)

    assert rubs.harm == ["teeth-rubbed"]
    assert fair.harm == []
    told = rubs.saw.consequences[0].detail
    assert told["due"] == pytest.approx(fair.saw.plant.blade.wear, rel=0.03)
    assert told["cost"] == pytest.approx(rubs.saw.plant.blade.wear, rel=0.03)


def test_a_new_band_at_full_feed_loses_life_and_at_half_the_chip_none(ran, told):
    half = {**CARD, "head__feed_force_n": 180}
    full, eased, run_in = ran(STEEL_BAR, spoil=new_band, **CARD), ran(
        STEEL_BAR, spoil=new_band, **half
    ), ran(STEEL_BAR, **half)  # fmt: skip

    assert full.harm == ["not-run-in"]
    assert "28 cm2" in told(full, "not-run-in")
    assert eased.harm == []
    assert full.saw.plant.blade.wear > 4 * eased.saw.plant.blade.wear
    assert eased.saw.plant.blade.wear < 3 * run_in.saw.plant.blade.wear


def test_a_band_is_run_in_after_its_area(ran):
    hands = ran(
        STEEL_BAR, wanted=15, hours=5, spoil=new_band, **{**CARD, "head__feed_force_n": 180}
    )

    assert hands.saw.plant.blade.fresh == 0.0
    assert hands.saw.plant.blade.sawn_m2 == RUN_IN_M2
    assert hands.harm == []


def test_fatigue_is_told_apart_from_a_band_drawn_too_tight_and_from_lost_teeth(ran, ready, told):
    tired = ran(STEEL_BAR, wanted=9, spoil=lambda p: p.band.tension.renew(0.9999), **CARD)
    tight = ready()
    tight.set(band__tension_mpa=440)

    assert tired.harm == ["band-tired"]
    assert "191 thousand turns" in told(tired, "band-tired")
    assert tight.harm == ["band-broken"]
    assert tired.saw.plant.blade.condition.name == "sharp"


def test_a_tighter_band_tires_sooner_and_only_while_it_runs(ran):
    def tired(mpa):
        return ran(band__tension_mpa=mpa).saw.plant.band.tension.tired

    loose, right, tight = (tired(mpa) for mpa in (160, 230, 295))
    assert 0.0 < loose < right < tight
    standing = ran(wanted=1)
    before = standing.saw.plant.band.tension.tired
    standing.wait(3600)
    assert standing.saw.plant.band.tension.tired == before


@pytest.mark.parametrize(
    ("set_so", "form", "colour"),
    [
        ({}, Form.CURLS, Colour.METAL),
        ({"coolant": "off"}, Form.CURLS, Colour.STRAW),
        ({"head__feed_valve_mm_min": 8}, Form.POWDER, Colour.METAL),
        ({"spoil": used(1.0), "head__feed_force_n": 280}, Form.POWDER, Colour.METAL),
    ],
)
def test_chips_of_the_last_cut_tell_how_it_went(ran, set_so, form, colour):
    chips = ran(STEEL_BAR, **{**CARD, **set_so}).saw.plant.head.sawing.chips

    assert (chips.form, chips.colour) == (form, colour)
