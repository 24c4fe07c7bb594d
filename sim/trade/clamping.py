"""How hard a vise holds, and between which pressures it holds without denting.

Never here: valves, switches or how a wall bends (`sim.trade.crush`).

Theory. A cylinder of area A at pressure p presses with p A and loses a little to seals. Each
of the two jaws holds by friction, so together they hold 2 mu F. Friction between jaws and bar
is spread widely in print, 0.15 to 0.30, oily to serrated and dry; a machine file says what its jaws
have. Source: statics.

A feeding vise, its drive and whatever holds the bar back are three links in a row: the weakest gives.
If the bar is what gives, it goes along; if the feeding jaws are, they slide over it; if the drive is,
it stands. Nothing goes through a jaw that is shut before it, or through a chock: they hold back
whatever it takes.
"""

from dataclasses import dataclass
from enum import Enum

from sim.trade.bounds import require_above_zero, require_fraction
from sim.trade.crush import first_yield_n
from sim.trade.materials import Material
from sim.trade.sections import Section


@dataclass(frozen=True)
class Jaws:
    """A powered vise: cylinder, losses, friction of its jaws and the length they clamp."""

    cylinder_area_m2: float
    length_m: float
    efficiency: float  # 0.85 to 0.95 from memory
    friction: float

    def __post_init__(self) -> None:
        require_above_zero(
            "Jaws",
            cylinder_area_m2=self.cylinder_area_m2,
            length_m=self.length_m,
            efficiency=self.efficiency,
            friction=self.friction,
        )
        require_fraction("Jaws", efficiency=self.efficiency)


def clamping_force_n(pressure_pa: float, area_m2: float, efficiency: float = 1.0) -> float:
    """Return the force between the jaws, N."""
    return pressure_pa * area_m2 * efficiency


def holding_force_n(friction: float, clamping_n: float) -> float:
    """Return the pull along the jaws that both together hold by friction, N."""
    return 2.0 * friction * clamping_n


class Gives(Enum):
    """The link that gives when a vise on a drive pulls at a bar."""

    BAR = "bar"  # it goes along
    JAWS = "jaws"  # they slide over it
    DRIVE = "drive"  # it stands


def what_gives(drive_n: float, grip_n: float, held_back_n: float) -> Gives:
    """Return the weakest of the three links between a drive and what holds its bar back.

    Args:
        drive_n: The most that the drive pulls with, N.
        grip_n: What the feeding jaws hold along the bar, N; infinity where they stand behind its end.
        held_back_n: What it takes to move the bar, N; infinity where nothing moves it.
    """
    if held_back_n <= min(drive_n, grip_n):
        return Gives.BAR
    return Gives.JAWS if grip_n < drive_n else Gives.DRIVE


def pressure_to_hold_pa(load_n: float, jaws: Jaws, safety: float = 1.0) -> float:
    """Return the pressure at which the jaws just hold a load a number of times over, Pa."""
    return (
        safety
        * load_n
        / holding_force_n(
            jaws.friction, clamping_force_n(1.0, jaws.cylinder_area_m2, jaws.efficiency)
        )
    )


def clamping_window_pa(
    section: Section,
    material: Material,
    cutting_force_n: float,
    jaws: Jaws,
    safety: float = 2.0,
) -> tuple[float, float]:
    """Return the least pressure that holds a bar and the most that does not dent it, Pa.

    With the first above the second the bar cannot be held at all without a dent: it wants a
    plug, wider jaws or less feed force.

    Args:
        section: The bar as it lies.
        material: The metal.
        cutting_force_n: Pull of the band on the bar, N.
        jaws: The vise.
        safety: How many times over the bar is to be held; 2 is a choice.
    """
    least_pa = pressure_to_hold_pa(cutting_force_n, jaws, safety)
    yield_n = first_yield_n(section, material, jaws.length_m)
    return least_pa, yield_n / clamping_force_n(1.0, jaws.cylinder_area_m2, jaws.efficiency)
