"""What share of a cut the feed valve holds back: against scipy, and of a bar that is turned over."""

import pytest
from scipy.integrate import quad

from sim.trade.binding import valve_share
from sim.trade.cut_table import cut_table
from sim.trade.cutting import CutConditions
from sim.trade.sections import Angle, Round

MM = 1e-3
STEEL = CutConditions(1780e6, 0.17, 6.35 * MM, 1.5 * MM, 1.0, 0.8)
VALVES_M_S = (5e-4, 1e-3, 1.5e-3)


class TurnedOver(Angle):
    """The same angle with its apex down: what was cut last is cut first."""

    @property
    def breaks_m(self):
        return tuple(self.height_m - depth_m for depth_m in reversed(super().breaks_m))

    def half_widths_m(self, depth_m):
        return super().half_widths_m(self.height_m - depth_m)


@pytest.mark.parametrize("valve_m_s", VALVES_M_S)
def test_a_bar_turned_over_is_held_back_for_the_same_share(valve_m_s):
    # DERIVED: the same contacts in the other order, each at the same pace
    up, down = (
        cut_table(shape(60 * MM, 8 * MM), 60.0, valve_m_s, STEEL) for shape in (Angle, TurnedOver)
    )

    assert down.contact_m_at(5 * MM) == pytest.approx(up.contact_m_at(up.section.height_m - 5 * MM))
    assert 0.0 < valve_share(up, valve_m_s) < 1.0
    assert valve_share(down, valve_m_s) == pytest.approx(valve_share(up, valve_m_s), rel=1e-12)


@pytest.mark.parametrize("valve_m_s", VALVES_M_S)
def test_the_share_of_a_round_is_that_of_scipy_quad(valve_m_s):
    # DERIVED: at the ends of a round, where the chord is short, the valve holds; in between the force does
    table = cut_table(Round(60 * MM), 150.0, valve_m_s, STEEL)
    free_m = table.law.free_contact_m
    assert free_m < 60 * MM
    depth_m = (60 * MM - (3600 * MM**2 - free_m**2) ** 0.5) / 2
    held_s = 2 * depth_m / valve_m_s
    forced_s = quad(lambda y: 1 / table.feed_m_s_at(y), depth_m, 60 * MM - depth_m)[0]

    # one cell of 128 at each end is counted with the valve or with the force
    assert valve_share(table, valve_m_s) == pytest.approx(held_s / (held_s + forced_s), abs=1 / 64)
