"""The band as it is fitted: pitch, way round, and the state of its teeth."""

import pytest

from sim.plant.bar import Stock
from sim.trade.edge import RUN_IN_M2
from sim.trade.materials import Material
from sim.trade.sections import Round, RoundTube
from sim.units import MM
from sim.words.message import NOTHING

STAINLESS = Material(
    "stainless", "stainless steel", 7900, 210e6, 200e9, 2350e6, 0.21, 30 / 60, 45 / 60, "memory"
)
ALL_OPEN = {"cutting_vise__pressure_bar": 12, "shuttle_vise__pressure_bar": 12}


def minutes_in_cut(hands):
    return hands.saw.cuts[0].at_us / 60e6


def in_state(name):
    return lambda plant: plant.blade.set_condition(name)


def test_sharp_teeth_take_for_a_chip_what_a_table_has_for_the_metal(ready, steel):
    hands = ready()
    hands.palms("band.run")
    hands.wait(3)
    cut = hands.saw.plant.cut.plan(300.0, 1e-3).table.conditions

    assert (cut.kc11_pa, cut.mc) == (steel.kc11_pa, steel.mc)  # Kienzle's are of sharp teeth
    assert cut.thrust_ratio == hands.machine.thrust_ratio


def test_ten_teeth_to_the_inch_stand_a_tenth_of_an_inch_apart_in_the_cut(hands):
    hands.saw.plant.blade.fit(10)

    assert hands.saw.plant.cut.pitch_m == pytest.approx(2.54 * MM)


def test_a_new_band_that_sawed_half_of_its_running_in_has_the_other_half_before_it(hands):
    blade = hands.saw.plant.blade
    assert blade.fresh == 0.0
    blade.fit(4)
    assert blade.fresh == 1.0
    blade.use(0.0, RUN_IN_M2 / 2)

    assert blade.fresh == pytest.approx(0.5)


def test_coarse_teeth_in_a_thin_wall_are_stripped_and_fine_ones_are_not(ran, told, tube):
    coarse = ran(tube, band__teeth_per_inch=4, **ALL_OPEN)
    fine = ran(tube, band__teeth_per_inch=18, **ALL_OPEN)

    assert "teeth-stripped" in coarse.harm
    assert "teeth in the wall" in told(coarse, "teeth-stripped")
    assert coarse.saw.plant.blade.condition.name == "stripped"
    assert fine.harm == []
    assert fine.saw.plant.blade.condition.name == "sharp"


def test_a_slower_feed_saves_coarse_teeth_in_a_thicker_wall(ran, steel):
    thick = Stock(steel, RoundTube(60 * MM, 6 * MM), 6.0, 12 * MM)
    assert "teeth-stripped" in ran(thick, head__feed_valve_mm_min=200, **ALL_OPEN).harm
    assert ran(thick, head__feed_valve_mm_min=40, **ALL_OPEN).harm == []


def test_a_hard_feed_on_to_a_slow_band_strips_teeth_at_the_entry(ran, told):
    hands = ran(speed_m_min=20, head__feed_valve_mm_min=250, head__feed_force_n=600)

    assert "On coming on to the bar" in told(hands, "teeth-stripped")


def test_a_stripped_band_is_told_once_and_cuts_on_slowly(ran):
    stripped = ran(wanted=3, spoil=in_state("stripped"))
    sharp = ran(wanted=1)

    assert "teeth-stripped" not in stripped.harm
    assert stripped.job == "COMPLETE"
    assert minutes_in_cut(stripped) > 3 * minutes_in_cut(sharp)


def test_worn_teeth_cut_slower_and_wander_more_at_the_same_feed_force(ran):
    worn, sharp = ran(spoil=in_state("worn")), ran()

    assert minutes_in_cut(worn) > 1.5 * minutes_in_cut(sharp)
    assert worn.saw.cuts[0].out_of_square > 2 * sharp.saw.cuts[0].out_of_square
    assert worn.harm == sharp.harm == []


def test_one_sided_set_cuts_out_of_square_at_nearly_the_same_pace(ran):
    one_sided, sharp = ran(spoil=in_state("one-sided")), ran()

    assert one_sided.harm == ["cut-out-of-square"]
    assert minutes_in_cut(one_sided) < 1.3 * minutes_in_cut(sharp)
    assert one_sided.saw.cuts[0].out_of_square > 5 * sharp.saw.cuts[0].out_of_square


def test_a_band_inside_out_rubs_and_does_not_cut(ran):
    hands = ran(band__teeth_face="inside out", hours=0.5)

    assert hands.harm == ["band-rubbed"]
    assert hands.saw.cuts == []
    assert hands.saw.plant.head.place.position == pytest.approx(60 * MM, abs=1e-6)


def test_a_new_band_is_sharp_and_the_right_way_round(ready):
    hands = ready(band__teeth_face="inside out")
    blade = hands.saw.plant.blade
    blade.set_condition("worn")
    blade.wear = 1.2
    hands.set(band__wheel_cover="open")
    hands.set(band__teeth_per_inch=6)

    assert (blade.face, blade.condition.name, blade.wear) == ("forward", "sharp", 0.0)
    assert blade.pitch_m == pytest.approx(25.4 * MM / 6)


def test_a_band_is_changed_only_with_the_cover_open_and_the_band_still(ready):
    hands = ready()
    assert "cover" in str(hands.saw.blocked("band.teeth_per_inch"))
    hands.set(band__wheel_cover="open")
    assert "still on" in str(hands.saw.blocked("band.teeth_per_inch"))
    hands.set(band__tension_mpa=0, band__seat="coiled in gloves")
    assert "still tied" in str(hands.saw.blocked("band.teeth_per_inch"))
    hands.set(band__seat="new coil opened in gloves")
    assert hands.saw.blocked("band.teeth_per_inch") == NOTHING
    hands.set(band__seat="seated", band__tension_mpa=225)
    hands.set(band__wheel_cover="closed")
    hands.palms("band.run")
    hands.wait(3)
    hands.set(band__wheel_cover="open")
    assert "turns" in str(hands.saw.blocked("band.teeth_per_inch"))


def test_teeth_far_too_fast_for_the_metal_are_burnt_dull_within_a_cut(ran, told):
    bar = Stock(STAINLESS, Round(60 * MM), 6.0, 12 * MM)
    fast = ran(bar, speed_m_min=110)
    right = ran(bar, speed_m_min=38)

    assert "teeth-dulled" in fast.harm
    assert "110 m/min in stainless steel" in told(fast, "teeth-dulled")
    assert fast.saw.plant.blade.condition.name == "worn"
    assert right.harm == []


def test_wear_goes_with_the_length_of_the_cuts(ran):
    one, three = ran(wanted=1), ran(wanted=3)

    assert three.saw.plant.blade.wear == pytest.approx(3 * one.saw.plant.blade.wear, rel=1e-6)
    assert 0.0 < one.saw.plant.blade.wear < 0.01


def test_a_band_at_the_end_of_its_life_is_worn_without_any_harm(ran):
    def nearly_done(plant):
        plant.blade.wear = 0.9999

    hands = ran(wanted=2, spoil=nearly_done)

    assert hands.harm == []
    assert hands.saw.plant.blade.condition.name == "worn"


def test_a_band_started_with_its_teeth_in_the_bar_loses_them(ready, told):
    hands = ready()
    hands.clamp_bar()
    hands.palms("band.run")
    hands.wait(3)
    hands.press("head.lower")
    hands.until_in_metal()
    hands.wait(20)
    hands.release("head.lower")
    hands.tap("band.stop")
    hands.wait(10)
    assert hands.harm == []
    answer = hands.palms("band.run")

    assert answer.accepted
    assert hands.harm == ["started-buried"]
    assert "teeth lay in the cut" in told(hands, "started-buried")
    assert hands.saw.plant.blade.condition.name == "stripped"


def test_a_band_started_clear_of_its_kerf_does_no_harm(ready):
    hands = ready()
    hands.clamp_bar()
    hands.palms("band.run")
    hands.wait(3)
    hands.press("head.lower")
    hands.until_in_metal()
    hands.wait(20)
    hands.release("head.lower")
    hands.tap("band.stop")
    hands.hold_down("head.raise", 5)
    hands.palms("band.run")
    hands.wait(3)
    hands.press("head.lower")
    hands.until(lambda: bool(hands.saw.cuts))

    assert "started-buried" not in hands.harm
