"""Head speed against contact length, for one feed force and one valve setting.

Never here: the shape of a bar or the time a cut takes (`sim.trade.cut_table`).

Theory. The head sinks at v = min(valve, v_force(L)). With the feed force shared by the teeth,
1 / v_force goes with L^(1/(1-mc)) above one tooth and is constant below. So there is one contact
length, the *free contact*, up to which the head sinks at a constant *free feed*, and beyond it

    1 / v = (L / L_free)^(1/(1-mc)) / v_free

Forces are an extrapolation of Kienzle's law, see `sim.trade.cutting`.
"""

from dataclasses import dataclass

from sim.trade.bounds import require_above_zero
from sim.trade.cutting import CutConditions, feed_for_force_m_s


@dataclass(frozen=True)
class FeedLaw:
    """Head speed against contact length: constant up to the free contact, then falling."""

    free_feed_m_s: float
    free_contact_m: float
    slope: float

    def feed_m_s(self, contact_m: float) -> float:
        """Return the head speed at a contact length, m/s."""
        if contact_m <= self.free_contact_m:
            return self.free_feed_m_s
        return float(self.free_feed_m_s * (self.free_contact_m / contact_m) ** self.slope)


def feed_law(feed_force_n: float, valve_m_s: float, cut: CutConditions) -> FeedLaw:
    """Return the head speed against contact for a feed force and a valve setting.

    Args:
        feed_force_n: Force that pushes the band into the metal, N, above zero.
        valve_m_s: Fastest descent that the feed valve lets through, m/s, above zero.
        cut: Metal, band and band speed.

    Raises:
        DrycycleError: Force or valve is zero or less; such a head does not cut.
    """
    require_above_zero("cut", feed_force_n=feed_force_n, valve_m_s=valve_m_s)
    slope = 1.0 / (1.0 - cut.mc)
    one_tooth_m_s = feed_for_force_m_s(feed_force_n, cut.pitch_m, cut)
    if one_tooth_m_s <= valve_m_s:
        return FeedLaw(one_tooth_m_s, cut.pitch_m, slope)
    return FeedLaw(valve_m_s, cut.pitch_m * (one_tooth_m_s / valve_m_s) ** (1.0 / slope), slope)
