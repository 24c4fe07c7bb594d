"""The burr that a cut leaves along the lower edge of a piece, where the teeth come out.

Never here: a whole cut, or who feels the burr.

Theory. The last layer under the teeth has nothing behind it and bends over instead of coming off; it is as
thick as a chip, and as what a round edge ploughs under besides. Blunt teeth press more for the same chip and
bend more over. That a burr grows with the chip and most with wear, from about a tenth of a millimetre in steel
to some tenths, is common practice, no source; the figures are chosen for this saw.
"""

from typing import Final

from sim.trade.edge import blunted
from sim.units import MM

BY_CHIP: Final = 10.0  # burr by chip, of sharp teeth
BY_EDGE: Final = 8.0  # burr by radius of the edge, of sharp teeth
BY_WEAR: Final = 2.0  # how much more of it there is with worn teeth, on top of 1
BURR_SEEN_M: Final = 0.2 * MM  # that catches a fingernail and an eye; common practice, no source


def burr_m(chip_m: float, edge_m: float, wear: float) -> float:
    """Return the height of the burr, m.

    Args:
        chip_m: Mean chip of the cut, m.
        edge_m: Radius of the teeth's edge, m.
        wear: Share of the band's life that is used up, 0 to 1 and beyond.
    """
    return (BY_CHIP * chip_m + BY_EDGE * edge_m) * (1.0 + BY_WEAR * blunted(wear))
