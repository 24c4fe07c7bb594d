"""Gullets and the chip brush that sweeps them."""

import pytest

from sim.plant.bar import Stock
from sim.trade.sections import Round
from sim.units import MM

GULLET_MM = 0.35 * 25.4 / 4


def test_a_brush_clear_of_the_gullets_lets_them_fill_until_chips_pack(ran, told):
    hands = ran(wanted=6, band__brush_mm=0)

    assert set(hands.harm) == {"chips-packed"}
    assert len(hands.harm) == 3  # cuts 4, 5 and 6: once each
    assert "old chips in 85 % of them" in told(hands, "chips-packed")


def test_a_deeper_brush_packs_later_and_half_a_gullet_is_deep_enough(ran):
    harm = [len(ran(wanted=6, band__brush_mm=depth_mm).harm) for depth_mm in (0, 0.3, 1.15, 3.0)]

    assert harm[0] > harm[1]
    assert harm[2:] == [0, 0]


def test_a_brush_that_reaches_a_quarter_of_the_gullets_leaves_half_of_the_chips(ran):
    hands = ran(wanted=1, band__brush_mm=GULLET_MM / 4)

    assert hands.saw.plant.blade.packed == pytest.approx(0.5 * 28.274 / 100, rel=1e-3)


def test_a_brush_set_right_sweeps_packed_gullets_clean_in_the_next_cut(ran):
    hands = ran(wanted=3, band__brush_mm=0)
    assert hands.saw.plant.blade.packed == pytest.approx(3 * 28.274 / 100, rel=1e-3)
    hands.set(band__brush_mm=1.5, job__wanted=1)
    hands.ready("square")
    hands.start()
    hands.until_job("COMPLETE")

    assert hands.saw.plant.blade.packed == 0.0


def test_a_brush_too_deep_wears_the_teeth_and_is_ground_away(ran, told):
    right, deep = ran(wanted=9), ran(wanted=9, band__brush_mm=7)

    assert right.harm == []
    assert deep.harm[0] == "brush-worn"
    assert "7.0 mm deep in gullets of 2.2 mm" in told(deep, "brush-worn")
    assert deep.saw.plant.blade.wear > 3 * right.saw.plant.blade.wear
    assert deep.saw.plant.brush.sweeps == 0.0


@pytest.mark.parametrize("deep_mm", [1.0, 3.0])
def test_each_millimetre_too_deep_wears_the_teeth_as_much_again(ran, hands, deep_mm):
    room_mm = GULLET_MM + hands.machine.brush_spare_m / MM
    right, deep = ran(band__brush_mm=room_mm), ran(band__brush_mm=room_mm + deep_mm)

    assert deep.saw.plant.blade.wear == pytest.approx((1 + deep_mm) * right.saw.plant.blade.wear)


def test_setting_a_worn_brush_puts_a_new_one_in(ran):
    hands = ran(wanted=9, band__brush_mm=7)
    hands.set(band__brush_mm=1.5)

    assert hands.saw.plant.brush.sweeps == pytest.approx(1.5 / GULLET_MM)
    assert hands.saw.plant.brush.wear == 0.0


@pytest.mark.parametrize("bristles_mm", [0.0, 1.4])
def test_bristles_may_stand_a_little_deeper_than_the_gullets(ready, bristles_mm):
    hands = ready(band__brush_mm=GULLET_MM + bristles_mm)

    assert hands.saw.plant.brush.extra_wear == 0.0


def test_fine_teeth_in_a_large_bar_pack_with_the_brush_set_right(ran, steel, told):
    big = Stock(steel, Round(200 * MM), 3.0, 12 * MM)
    card = {"head__feed_force_n": 500, "cutting_vise__pressure_bar": 40}
    hard = {**card, "head__feed_force_n": 1000}  # with 500 N so many teeth would only rub
    fine = ran(big, band__teeth_per_inch=10, band__brush_mm=0.8, hours=9, **hard)
    coarse = ran(big, band__teeth_per_inch=3, band__brush_mm=2, hours=9, **card)

    assert "chips-packed" in fine.harm
    assert "old chips" not in told(fine, "chips-packed")
    assert coarse.harm == []
    rubs = ran(big, band__teeth_per_inch=10, band__brush_mm=0.8, hours=9, **card)
    assert coarse.saw.cuts[0].at_us < rubs.saw.cuts[0].at_us
