"""The band as a thing that is fitted and used up: its teeth, how they stand, how worn they are.

Theory. What a state of the teeth does is a row of CONDITIONS: how much more force a chip takes, how
much more of it presses down than pulls along, and what share of the downward force goes sideways
because the teeth cut unevenly. All factors are chosen for this saw; that blunt teeth want more
pressing, and one-sided set pulls aside, is common practice, no source.
A band turned inside out points its teeth against their run, and does not cut.
"""

from dataclasses import dataclass
from typing import Final

from sim.plant.surroundings import Site
from sim.trade.choice import pitch_m_from_teeth_per_inch
from sim.trade.kerf import kerf_width_m


@dataclass(frozen=True, slots=True)
class Condition:
    """One state of the teeth."""

    name: str
    force: float  # by that of sharp teeth, for one chip
    thrust: float  # down by along, by that of sharp teeth
    side: float  # share of the force down that goes sideways


SHARP, WORN, ONE_SIDED, STRIPPED = "sharp", "worn", "one-sided", "stripped"
FORWARD, INSIDE_OUT = "forward", "inside out"
FACES: Final = (FORWARD, INSIDE_OUT)

CONDITIONS: Final = {
    row.name: row
    for row in (
        Condition(SHARP, 1.0, 1.0, 0.08),
        Condition(WORN, 1.3, 1.8, 0.25),
        Condition(ONE_SIDED, 1.05, 1.1, 0.8),
        Condition(STRIPPED, 2.0, 3.0, 0.4),
    )
}


class Blade:
    """The band that is fitted."""

    def __init__(self, site: Site) -> None:
        self._site = site
        self.teeth_per_inch = 4.0
        self.face = FORWARD
        self.condition = CONDITIONS[SHARP]
        self.wear = 0.0  # share of its life that is used up
        self.packed = 0.0  # share of the gullets that old chips fill
        self.number = 1  # of the band, counted from the first on this saw

    @property
    def pitch_m(self) -> float:
        """From tooth to tooth, m."""
        return pitch_m_from_teeth_per_inch(self.teeth_per_inch)

    @property
    def worn(self) -> float:
        """Share of its life that is used up, as its set shows it, 0 to 1."""
        return 1.0 if self.condition.name in (WORN, STRIPPED) else min(self.wear, 1.0)

    @property
    def kerf_m(self) -> float:
        """How wide a slot it saws, m, by what is left of its set."""
        machine = self._site.machine
        return kerf_width_m(machine.kerf_m, machine.band_thickness_m, self.worn)

    @property
    def cuts(self) -> bool:
        """Whether the teeth point the way the band runs."""
        return self.face == FORWARD

    def fit(self, teeth_per_inch: float) -> None:
        """Fit a new band with so many teeth to the inch, the right way out."""
        self.teeth_per_inch = teeth_per_inch
        self.face = FORWARD
        self.number += 1
        self.wear = 0.0
        self.packed = 0.0
        self.set_condition(SHARP)

    def turn(self, face: str) -> None:
        """Have it fitted `forward` or `inside out`."""
        self.face = face
        self._site.cut_changed()

    def set_condition(self, name: str) -> None:
        """Have its teeth in a state of the table."""
        self.condition = CONDITIONS[name]
        self._site.cut_changed()

    def use(self, share: float) -> None:
        """Use up a share of its life, 0 to 1; sharp teeth that have none left are worn from then on."""
        self.wear += share
        if self.wear >= 1.0 and self.condition.name == SHARP:
            self.set_condition(WORN)
