"""The band as a thing that is fitted and used up: its teeth, how they stand, how worn and how new they are.

Theory. What a state of the teeth does is a row of CONDITIONS: how much more force a chip takes, how
much more of it presses down than pulls along, and what share of the downward force goes sideways
because the teeth cut unevenly; what a rounder edge does besides is in `sim.trade.toothed_cut`. All factors are chosen for this saw; that blunt teeth want more
pressing, and one-sided set pulls aside, is common practice, no source.
Between sharp and worn they go smoothly with the share of the band's life that is used up
(`sim.trade.edge.blunted`), in steps of a hundredth, finer than anybody tells by eye or clock.
A band turned inside out points its teeth against their run, and does not cut.
"""

from copy import copy
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from sim.plant.surroundings import Site
from sim.trade.choice import pitch_m_from_teeth_per_inch
from sim.trade.edge import (
    EDGE_SHARP_M,
    RUN_IN_M2,
    blunted,
    edge_radius_m,
    fresh_share,
    worn_out,
)
from sim.trade.kerf import kerf_width_m


@dataclass(frozen=True, slots=True)
class Condition:
    """One state of the teeth."""

    name: str
    force: float  # by that of sharp teeth, for one chip
    thrust: float  # down by along, by that of sharp teeth
    side: float  # share of the force down that goes sideways
    edge_m: float = EDGE_SHARP_M  # radius of the edge


SHARP, WORN, ONE_SIDED, STRIPPED = "sharp", "worn", "one-sided", "stripped"
FORWARD, INSIDE_OUT = "forward", "inside out"
FACES: Final = (FORWARD, INSIDE_OUT)

CONDITIONS: Final = {
    row.name: row
    for row in (
        # Between these two goes what is used up of a band's life.
        Condition(SHARP, 1.0, 1.0, 0.08),
        Condition(WORN, 1.2, 1.5, 0.125),
        Condition(ONE_SIDED, 1.05, 1.1, 0.8),
        Condition(STRIPPED, 1.6, 1.8, 0.4),
    )
}

_STEP: Final = 0.01  # of wear and of running-in
_MOST_WEAR: Final = 1.75  # of its life; such a band goes no blunter, and hardly goes down
_MOST_SIDE: Final = 0.8  # share of the force that goes sideways: as much as with one-sided teeth


@dataclass(frozen=True, slots=True)
class HungBand:
    """A band that was taken off and hangs coiled on the hook, as it was when it came off."""

    number: int
    teeth_per_inch: float
    state: str
    wear: float
    sawn_m2: float
    packed: float
    tired: float  # share of the bends that it stands

    @property
    def fresh(self) -> float:
        """Share of its running-in that it still has before it."""
        return fresh_share(self.sawn_m2)


@lru_cache(maxsize=256)
def _teeth(name: str, worn_steps: int, fresh_steps: int) -> Condition:
    """Return teeth in a state of the table, with so much of their life used up."""
    row, sharp, worn = CONDITIONS[name], CONDITIONS[SHARP], CONDITIONS[WORN]
    wear = worn_steps * _STEP
    plain = min(wear, 1.0)  # what it wears beyond its life is in `worn_out`
    share, past = blunted(plain), worn_out(wear)
    side = row.side + (worn.side - sharp.side) * share
    return Condition(
        name=WORN if name == SHARP and wear >= 1.0 else name,
        force=row.force * (1.0 + (worn.force / sharp.force - 1.0) * share),
        thrust=row.thrust * (1.0 + (worn.thrust / sharp.thrust - 1.0) * share) * past,
        side=min(side * past, max(side, _MOST_SIDE)),
        edge_m=edge_radius_m(plain, fresh_steps * _STEP),
    )


class Blade:
    """The band that is fitted."""

    def __init__(self, site: Site) -> None:
        self._site = site
        self._space_teeth(4.0)
        self.face = FORWARD
        self._state = SHARP  # or what else than wear has come to its teeth
        self.wear = 0.0  # share of its life that is used up
        self.sawn_m2 = RUN_IN_M2  # since it was new, as far as it counts; it is found run in
        self.packed = 0.0  # share of the gullets that old chips fill
        self.number = 1  # of the band, counted from the first on this saw
        self.bought = 1  # bands that were on this saw, those that hang counted once
        self.used = 0.0  # shares of a life that were used up on this saw, over all bands
        self.hung: tuple[HungBand, ...] = ()  # on the hook, the last one first

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

    @property
    def condition(self) -> Condition:
        """The state of its teeth."""
        return _teeth(self._state, round(self.wear / _STEP), round(self.fresh / _STEP))

    @property
    def fresh(self) -> float:
        """Share of its running-in that it still has before it, 1 (new) to 0 (run in)."""
        return fresh_share(self.sawn_m2)

    def _space_teeth(self, teeth_per_inch: float) -> None:
        self.teeth_per_inch = teeth_per_inch
        self.pitch_m = pitch_m_from_teeth_per_inch(teeth_per_inch)
        """From tooth to tooth, m."""

    def fit(self, teeth_per_inch: float, *, run_in: bool = False) -> None:
        """Fit a band with so many teeth to the inch, the right way out.

        Args:
            teeth_per_inch: Its pitch.
            run_in: Whether it has been run in before; else it is new.
        """
        self._space_teeth(teeth_per_inch)
        self.face = FORWARD
        self.bought += 1
        self.number = self.bought
        self.wear = 0.0
        self.packed = 0.0
        self.sawn_m2 = RUN_IN_M2 if run_in else 0.0
        self.set_condition(SHARP)

    def hang_up(self, tired: float) -> None:
        """Hang the band that is coiled on the hook, unless its teeth are worn out or stripped: then it is scrap.

        Args:
            tired: Share of the bends that it stands and has had.
        """
        if self._state == STRIPPED or self.wear >= 1.0:
            return
        coil = HungBand(
            self.number, self.teeth_per_inch, self._state, self.wear, self.sawn_m2, self.packed, tired
        )  # fmt: skip
        self.hung = (coil, *self.hung)

    def hanging(self, teeth_per_inch: float) -> HungBand | None:
        """Return the band of so many TPI that was hung up last, or None."""
        alike = (each for each in self.hung if each.teeth_per_inch == teeth_per_inch)
        return next(alike, None)

    def take_down(self, coil: HungBand) -> None:
        """Fit a band that hangs on the hook, as it was when it came off, the right way out."""
        self.hung = tuple(each for each in self.hung if each is not coil)
        self._space_teeth(coil.teeth_per_inch)
        self.face = FORWARD
        self.number, self._state = coil.number, coil.state
        self.wear, self.sawn_m2, self.packed = coil.wear, coil.sawn_m2, coil.packed
        self._site.cut_changed()

    def turn(self, face: str) -> None:
        """Have it fitted `forward` or `inside out`."""
        self.face = face
        self._site.cut_changed()

    def set_condition(self, name: str) -> None:
        """Have its teeth in a state of the table; worn ones have used up their life."""
        self._state = SHARP if name == WORN else name
        if name == WORN:
            self.wear = max(self.wear, 1.0)
        elif name == SHARP and self.wear >= 1.0:
            self.wear = 0.0
        self._site.cut_changed()

    def copy(self) -> "Blade":
        """Return a band like it, to be used up in thought."""
        return copy(self)

    def use(self, share: float, area_m2: float) -> None:
        """Use up a share of its life, 0 to 1, on an area, m2."""
        was = self.wear
        self.wear = min(self.wear + share, _MOST_WEAR)
        self.used += self.wear - was
        self.sawn_m2 = min(self.sawn_m2 + area_m2, RUN_IN_M2)
