"""The cut that the head would make now: its table, made only when something it depends on changes.

Imports `trade` and the parts it reads.
"""

from sim.plant.band import Band
from sim.plant.bar import Bar
from sim.plant.surroundings import Site
from sim.trade.cut_table import CutTable, cut_table
from sim.trade.cutting import CutConditions

_LEAST_DESCENT_M_S = 1e-6  # below this the feed valve counts as shut


class Cut:
    """Works out cut tables and remembers the last ones."""

    def __init__(self, site: Site, band: Band, bar: Bar) -> None:
        self._site = site
        self._band = band
        self._bar = bar
        self.pitch_m = 0.00635
        self._made: dict[tuple[object, ...], CutTable] = {}

    def conditions(self) -> CutConditions:
        """Return what metal and band bring to the cut as things stand."""
        material = self._bar.stock.material
        return CutConditions(
            kc11_pa=material.kc11_pa,
            mc=material.mc,
            pitch_m=self.pitch_m,
            kerf_m=self._site.machine.kerf_m,
            band_speed_m_s=self._band.cutting_speed_m_s,
            thrust_ratio=self._site.machine.thrust_ratio,
        )

    def table(self, force_n: float, valve_m_s: float) -> CutTable | None:
        """Return the cut from top to bottom of the bar, or None when nothing would be cut.

        Args:
            force_n: Feed force, N.
            valve_m_s: Fastest descent that the feed valve allows, m/s.
        """
        speed_m_s = self._band.cutting_speed_m_s
        if speed_m_s <= 0.0 or valve_m_s <= _LEAST_DESCENT_M_S:
            return None
        key = (self._bar.stock, force_n, valve_m_s, speed_m_s, self.pitch_m)
        table = self._made.get(key)
        if table is None:
            if len(self._made) > 32:
                self._made.clear()
            table = cut_table(self._bar.stock.section, force_n, valve_m_s, self.conditions())
            self._made[key] = table
        return table
