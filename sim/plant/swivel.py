"""The swivel of the head: mitre, index plunger, clamp lever, and the back rail of the outfeed.

Theory. The band pulls at an arm about the upright pivot. An index plunger drops home into a bush at
each of some angles; the clamp lever presses a shoe on the quadrant, as hard as its setting screw lets
it. Between the index angles the plunger is drawn out and the shoe alone holds, up to the moment of
its friction. At an index angle a plunger that is not home rests on the rim of its bush, the shoe bears
on its nose, and that gives like a spring, as does what friction of the pivot is left with the lever
open, for the plunger has play in its bush. The head then stands askew by moment / stiffness. The stiffnesses are chosen for this saw.
"""

from math import radians
from typing import Final

from sim.plant.surroundings import Site
from sim.trade.sections import mitre_factor

HOME, OUT = "home", "out"
PLUNGER: Final = (HOME, OUT)
CLOSED, OPEN = "closed", "open"
LEVER: Final = (CLOSED, OPEN)
BACK, IN_PLACE = "back", "in place"
RAIL: Final = (BACK, IN_PLACE)
_HAIR_DEG: Final = 1e-9


class Swivel:
    """Mitre angle and what holds it."""

    def __init__(self, site: Site) -> None:
        self._site = site
        self.mitre_deg = 0.0
        self.plunger = HOME
        self.lever = CLOSED
        self.screw_turns = site.machine.clamp_screw_right
        self.rail = IN_PLACE

    @property
    def mitre_rad(self) -> float:
        """Angle from the square cut, rad."""
        return radians(self.mitre_deg)

    @property
    def widening(self) -> float:
        """How many times as long the mitre makes the way through the bar."""
        return mitre_factor(self.mitre_rad)

    @property
    def at_index(self) -> bool:
        """Whether the plunger has a bush at the present angle."""
        angles_deg = self._site.machine.index_deg
        return any(abs(self.mitre_deg - angle_deg) < _HAIR_DEG for angle_deg in angles_deg)

    @property
    def screw_too_tight(self) -> bool:
        """Whether the setting screw keeps the lever from closing."""
        return self.screw_turns > self._site.machine.clamp_screw_high

    @property
    def rail_in_way(self) -> bool:
        """Whether the band would come down on the back rail."""
        return self.mitre_deg > 0.0 and self.rail == IN_PLACE

    def set_mitre(self, mitre_deg: float) -> None:
        """Swing the head to an angle, degrees."""
        self.mitre_deg = mitre_deg
        self._site.cut_changed()

    def set_plunger(self, plunger: str) -> None:
        """Let the index plunger snap home, or draw it out."""
        self.plunger = plunger

    def set_lever(self, lever: str) -> None:
        """Close or open the clamp lever."""
        self.lever = lever

    def set_screw(self, turns: float) -> None:
        """Turn the setting screw of the lever so many turns in; a closed lever springs open on a tight one."""
        self.screw_turns = turns
        if self.screw_too_tight:
            self.lever = OPEN

    def set_rail(self, rail: str) -> None:
        """Slide the back rail of the outfeed back, or into place."""
        self.rail = rail
        self._site.cut_changed()

    @property
    def clamping_nm(self) -> float:
        """The moment about the pivot that the clamped shoe holds by friction, Nm."""
        machine = self._site.machine
        if self.lever == OPEN:
            return 0.0
        per_turn_nm = machine.clamp_nm / (machine.clamp_screw_right - machine.clamp_screw_low)
        return per_turn_nm * max(0.0, self.screw_turns - machine.clamp_screw_low)

    def askew_rad(self, pull_n: float) -> float:
        """Return how far a pull of the band, N, turns the head, rad."""
        machine = self._site.machine
        moment_nm = pull_n * machine.yaw_arm_m
        give_rad = max(0.0, moment_nm - self.clamping_nm) / machine.lever_open_nm_rad
        if self.plunger == OUT and self.at_index:
            give_rad += moment_nm / machine.plunger_out_nm_rad
        return give_rad
