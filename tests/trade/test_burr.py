"""The burr of a piece, by chip, edge and wear.

That it is about a tenth of a millimetre with sharp teeth in steel, some tenths with blunt ones, and grows
with the chip, is common practice, no source.
"""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.trade.burr import BURR_SEEN_M, burr_m
from sim.trade.edge import EDGE_SHARP_M, EDGE_WORN_M, FAIR_CHIP_M, edge_radius_m
from sim.units import MM


def at(wear, chip_m=FAIR_CHIP_M):
    return burr_m(chip_m, edge_radius_m(wear), wear)


def test_sharp_teeth_leave_a_tenth_and_worn_ones_some_tenths():
    # The figures as they are chosen: 10 chips and 8 edges, three times as much with worn teeth.
    assert at(0.0) == pytest.approx(0.100 * MM)
    assert at(1.0) == pytest.approx(3.0 * (60e-6 + 8.0 * EDGE_WORN_M))
    assert at(0.0) < BURR_SEEN_M < at(1.0)
    assert pytest.approx(0.2 * MM) == BURR_SEEN_M


def test_a_tenth_more_chip_is_a_tenth_of_its_share():
    more_m = burr_m(1.1 * FAIR_CHIP_M, EDGE_SHARP_M, 0.0) - burr_m(FAIR_CHIP_M, EDGE_SHARP_M, 0.0)

    assert more_m == pytest.approx(6e-6)


@given(st.floats(1e-6, 3e-5))
def test_it_grows_with_wear_in_no_step(chip_m):
    burrs = [at(share / 100, chip_m) for share in range(120)]
    steps = [after - before for before, after in pairwise(burrs)]

    assert min(steps) > 0.0
    assert max(steps) < 0.06 * burrs[0] * 2
