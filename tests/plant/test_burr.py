"""The burr of a piece on the saw, and that everything that wear does grows smoothly over the life of a band."""

from itertools import pairwise

import pytest

from sim.trade.burr import burr_m
from sim.units import MM

LIFE = (0.0, 0.5, 0.9, 0.99)


def worn(wear):
    """Have so much of the life of the band used up."""

    def spoil(plant):
        plant.blade.wear = wear

    return spoil


def plan_at(ready, wear, **card):
    """Return what a cut is planned as, in metal, with so much of the life of the band used up."""
    hands = ready(**card)
    worn(wear)(hands.saw.plant)
    hands.clamp_bar()
    hands.palms("band.run")
    hands.wait(3)
    hands.press("head.lower")
    hands.until_in_metal()
    return hands.saw.plant.head.cutting


def test_a_piece_has_the_burr_of_the_chip_and_wear_that_cut_it(ready, ran):
    chip_m = plan_at(ready, 0.5).teeth.chip_m
    hands = ran(spoil=worn(0.5))
    blade = hands.saw.plant.blade

    assert hands.saw.cuts[0].burr_m == pytest.approx(
        burr_m(chip_m, blade.condition.edge_m, blade.wear), rel=1e-6
    )


def test_a_squared_end_and_a_piece_have_the_same_burr(ran):
    sharp, blunt = ran(), ran(spoil=worn(0.9))

    assert 0.05 * MM < sharp.saw.cuts[0].burr_m < 0.2 * MM < blunt.saw.cuts[0].burr_m


def test_time_force_wander_and_burr_grow_with_wear_all_along_the_life_of_a_band(ready, ran):
    card = {"head__feed_valve_mm_min": 200}
    plans = [plan_at(ready, wear, **card) for wear in LIFE]
    burrs = [ran(spoil=worn(wear), **card).saw.cuts[0].burr_m for wear in LIFE]
    took = [plan.table.duration_s for plan in plans]
    force = [plan.setup.blade.force * plan.setup.blade.thrust * plan.teeth.harder for plan in plans]
    wander = [plan.most_wander_m for plan in plans]

    for grows in (took, force, wander, burrs):
        assert all(before < after for before, after in pairwise(grows)), grows
        assert grows[-1] > 1.2 * grows[0]


def test_nothing_jumps_on_the_way(ready):
    steps = [share / 20 for share in range(20)]
    plans = [plan_at(ready, wear, head__feed_valve_mm_min=200) for wear in steps]
    for of in (
        lambda plan: plan.table.duration_s,
        lambda plan: plan.setup.blade.thrust,
        lambda plan: plan.most_wander_m,
        lambda plan: burr_m(plan.teeth.chip_m, plan.setup.blade.edge_m, 0.0),
    ):
        found = [of(plan) for plan in plans]
        whole = max(found) - min(found)
        assert max(abs(after - before) for before, after in pairwise(found)) < 0.25 * whole


def test_a_cut_takes_longer_with_every_fiftieth_of_a_life_and_by_no_leap(ready):
    # Second differences: from one fiftieth to the next the increase itself grows by no more than a little.
    steps = [share / 50 for share in range(51)]
    took = [plan_at(ready, wear, head__feed_valve_mm_min=200).table.duration_s for wear in steps]
    more = [after - before for before, after in pairwise(took)]
    bends = [after - before for before, after in pairwise(more)]

    assert min(more) > 0.0
    assert max(abs(bend) for bend in bends) < 0.02 * took[0]
