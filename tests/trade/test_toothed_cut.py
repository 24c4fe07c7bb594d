"""A cut with the edge of its teeth: worked by hand where the valve gives every tooth one chip."""

import pytest

from sim.trade.cut_table import cut_table
from sim.trade.cutting import CutConditions
from sim.trade.edge import EDGE_SHARP_M
from sim.trade.sections import Round, Square
from sim.trade.toothed_cut import ToothEdge, toothed_cut

BAR = Square(0.05)
CUT = CutConditions(1780e6, 0.17, 6.35e-3, 1.5e-3, 1.0, 1.0)
EDGE = ToothEdge(5e-6, 1.9)
STRONG_N = 1e6  # so that the valve rules


def valve_for(chip_m):
    return chip_m * CUT.band_speed_m_s / CUT.pitch_m


def test_a_tooth_that_bites_leaves_the_table_as_it_is():
    plain = cut_table(Round(0.06), 360.0, 0.003, CUT)
    cut = toothed_cut(Round(0.06), 360.0, 0.003, CUT, ToothEdge(EDGE_SHARP_M, 1.25))

    assert cut.table == plain
    assert (cut.rubbed, cut.harder, cut.sideways) == (0.0, 1.0, 1.0)


def test_what_rubbing_adds_is_what_its_law_says():
    cut = toothed_cut(BAR, STRONG_N, valve_for(1.5e-6), CUT, EDGE)

    assert cut.chip_m == pytest.approx(1.5e-6)
    assert cut.rubbed == pytest.approx(0.25)  # half-way to 0.6 x 5 um
    harder = (1 + 0.25 * (2.0**0.83 - 1)) * (1 + 0.25 * 0.9)
    assert cut.harder == pytest.approx(harder)
    assert cut.table.conditions.kc11_pa == pytest.approx(1780e6 * harder)
    assert cut.table.conditions.thrust_ratio == pytest.approx(1.25)
    assert cut.sideways == pytest.approx(1.25)
    wear = (1 + 0.1**3 + 6 * 1.9**2 * 0.25) / (1 + 0.4**3)
    assert cut.toil == pytest.approx(50 / 47.1 * wear)


@pytest.mark.parametrize("chip_um", [0.1, 0.5, 1.0, 2.0])
def test_under_a_feed_force_rubbing_makes_the_cut_longer(chip_um):
    force_n = cut_table(BAR, STRONG_N, valve_for(chip_um * 1e-6), CUT).peak_power_w
    bites = toothed_cut(BAR, force_n, 0.01, CUT, ToothEdge(1e-9, 1.9))
    rubs = toothed_cut(BAR, force_n, 0.01, CUT, EDGE)

    assert bites.rubbed == 0.0
    assert rubs.table.duration_s > bites.table.duration_s
    assert rubs.rubbed > 0.0


@pytest.mark.parametrize("force_n", [1500.0, 2500.0])
def test_a_round_asks_the_same_of_a_band_on_its_way_out_as_on_its_way_in(force_n):
    # DERIVED: a round is its own mirror image, so its cut is the same told backwards
    cut = toothed_cut(Round(0.06), force_n, 0.003, CUT, EDGE)

    assert max(cut.powers_w) > 1.5 * min(cut.powers_w)
    assert cut.powers_w == pytest.approx(cut.powers_w[::-1], rel=1e-6)
