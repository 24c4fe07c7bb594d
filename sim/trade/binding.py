"""Which of feed force and feed valve holds the head back in a cut.

Never here: why force and valve are set as they are (see the set-up card).

Theory. The head sinks at the lesser of what the valve lets through and what the force takes at the contact
there is (`sim.trade.feed_law`). Where force alone would go faster the head sinks at the valve's pace.
"""

from math import fsum
from typing import Final

from sim.trade.cut_table import CutTable

_CELLS: Final = 128  # of the cut's depth
_HAIR: Final = 1e-9


def valve_share(table: CutTable, valve_m_s: float) -> float:
    """Return the share of a cut's time in which the feed valve holds the head back, 0 to 1.

    Args:
        table: The cut.
        valve_m_s: Fastest descent that the feed valve allows, m/s.
    """
    cell_m = table.section.height_m / _CELLS
    paces_m_s = [table.feed_m_s_at((cell + 0.5) * cell_m) for cell in range(_CELLS)]
    held = (1.0 / pace_m_s for pace_m_s in paces_m_s if pace_m_s >= valve_m_s * (1.0 - _HAIR))
    return fsum(held) / fsum(1.0 / pace_m_s for pace_m_s in paces_m_s)
