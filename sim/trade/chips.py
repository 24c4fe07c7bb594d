"""How chips look that a cut throws: their form by chip and edge, their colour by their warmth.

Never here: where chips lie or are drawn.

Theory of form. Thin, curled and of the metal's own colour is right; powder says that the teeth rub, thick
hard chips that the feed is too much (two public trade pages that agree). Cast iron and free-cutting brass
break into crumbs at any feed (common practice, no source).

Theory of colour. Cook's relation for the rise at the chip's tool side (Cook 1973, as Groover's textbook has
it, from memory):

    rise = 0.4 U / C (v h / K)^(1/3)

with U the specific force, C the heat that a volume takes, v the speed, h the chip, K the diffusivity. U is
taken at the thinnest chip that Kienzle's constants are fitted to: what a thinner one costs more goes into
ploughing, and not into the chip.
What is left of it in a chip that lies under the saw is less, and least with good coolant: both shares are
chosen for this saw. Steel shows straw from some 220 degrees on and blue from some 300 (temper colours, from
memory).
"""

from enum import StrEnum
from typing import Final

from sim.trade.cutting import specific_cutting_force_pa
from sim.trade.materials import Material

POWDER_RUBBING: Final = 0.25  # of the way; at the least chip, 0.3 of the edge's radius
THICK_M: Final = (
    15e-6  # half-way in the published 5 to 50 um, by order of size (their geometric mean)
)
VOLUME_HEAT_J_M3_K: Final = 3.6e6  # of steel, and of any metal within a third; from memory
ROOM_C: Final = 20.0
STRAW_C: Final = 220.0  # temper colours, from memory
BLUE_C: Final = 300.0
FITTED_FROM_M: Final = 50e-6  # from memory
DRY_LEFT: Final = 0.8  # of the rise at the tool side, in the chip that falls; chosen for this saw
WET_LEFT: Final = 0.38  # with good coolant; chosen for this saw
_COLOURS_FROM_PA: Final = 150e9  # stiffness: of what takes temper colours, the steels


class Form(StrEnum):
    """What chips look like."""

    POWDER = "powder"
    CURLS = "curls"
    THICK = "thick"
    TORN = "torn"


class Colour(StrEnum):
    """The colour of chips."""

    METAL = "metal"
    STRAW = "straw"
    BLUE = "blue"


def chip_form(chip_m: float, rubbed: float) -> Form:
    """Return the form of chips.

    Args:
        chip_m: Mean chip of the cut, m.
        rubbed: Share of the way on which the teeth rub, 0 to 1.
    """
    if rubbed >= POWDER_RUBBING:
        return Form.POWDER
    return Form.THICK if chip_m >= THICK_M else Form.CURLS


def cook_rise_k(
    energy_j_m3: float,
    heat_j_m3_k: float,
    diffusivity_m2_s: float,
    *,
    speed_m_s: float,
    chip_m: float,
) -> float:
    """Return the rise at a chip's tool side, K, by Cook's relation (see the head of this file).

    Args:
        energy_j_m3: What taking a volume costs, J/m3; the specific cutting force, Pa.
        heat_j_m3_k: What a volume takes for each kelvin, J/(m3 K).
        diffusivity_m2_s: Of the metal, m2/s.
        speed_m_s: Band speed, m/s.
        chip_m: Chip, m.
    """
    number = speed_m_s * chip_m / diffusivity_m2_s
    return float(0.4 * energy_j_m3 / heat_j_m3_k * number ** (1.0 / 3.0))


def rise_k(material: Material, chip_m: float, speed_m_s: float, harder: float = 1.0) -> float:
    """Return by how much the tool side of a chip is warmer than the bar, K, by Cook's relation.

    Args:
        material: The metal.
        chip_m: Chip, m, above zero.
        speed_m_s: Band speed, m/s.
        harder: Force on the tooth by what Kienzle's law has.
    """
    known_m = max(chip_m, FITTED_FROM_M)
    energy_j_m3 = harder * specific_cutting_force_pa(material.kc11_pa, material.mc, known_m)
    diffusivity_m2_s = material.conductivity_w_mk / VOLUME_HEAT_J_M3_K
    return cook_rise_k(
        energy_j_m3, VOLUME_HEAT_J_M3_K, diffusivity_m2_s, speed_m_s=speed_m_s, chip_m=chip_m
    )


def chip_warmth_c(
    material: Material, chip_m: float, speed_m_s: float, quality: float, harder: float = 1.0
) -> float:
    """Return how warm the chips are that fall, degrees Celsius; arguments as `chip_colour`."""
    left = DRY_LEFT + (WET_LEFT - DRY_LEFT) * quality
    return ROOM_C + left * rise_k(material, chip_m, speed_m_s, harder)


def chip_colour(
    material: Material, chip_m: float, speed_m_s: float, quality: float, harder: float = 1.0
) -> Colour:
    """Return the colour of the chips that fall; of what is no steel always its own.

    Args:
        material: The metal.
        chip_m: Chip, m, above zero.
        speed_m_s: Band speed, m/s.
        quality: Worth of the coolant at the cut, 0 to 1.
        harder: Force on the tooth by what Kienzle's law has.
    """
    if material.young_pa < _COLOURS_FROM_PA:
        return Colour.METAL
    warm_c = chip_warmth_c(material, chip_m, speed_m_s, quality, harder)
    if warm_c >= BLUE_C:
        return Colour.BLUE
    return Colour.STRAW if warm_c >= STRAW_C else Colour.METAL
