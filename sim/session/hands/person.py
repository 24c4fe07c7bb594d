"""One person at the saw: walks to where an act is done, has hands in there, and what comes of that.

While hands are in, a hazard that is active in the zone strikes, whether it was there before or began
later; the act breaks off and the run is lost. Hands in a zone whose row does not hold are exposed, in
seconds. Between acts a person is outside, at the console. Time that is paused or frozen passes nothing.

Never here: points, and anything that refuses an act.
"""

from dataclasses import dataclass
from math import fsum
from typing import Final

from sim.plant.harm.consequences import Consequence
from sim.plant.hood import HOOD_OPEN, HOOD_SHUT
from sim.saw import Saw
from sim.session.going import Going
from sim.session.hands.hazards import SAID, Hazard, Opens, active, let_out
from sim.session.hands.rule import holds
from sim.session.hands.table import Reach
from sim.session.hands.zones import (
    HARMLESS,
    STRIKES,
    UNDER_HOOD,
    WHERE,
    Demand,
    Zone,
    kind_of_strike,
)
from sim.session.kept import told
from sim.session.kept.heard import EventKind, Heard
from sim.session.lockout import Lockout
from sim.signals import BY_KEY, Source
from sim.units import US
from sim.words.fields import part
from sim.words.message import Message, row

_HOOD: Final = "infeed.hood"
_STRUCK: Final = row("harm.struck.detail", "{hazard} Hands were there for this: {what}", hazard=part(), what=part())  # fmt: skip
_STRUCK_BARE: Final = row(
    "harm.struck.no-lock-out.detail", "{hazard} Hands were there without lock-out for this: {what}",
    hazard=part(), what=part(),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Exposure:
    """Hands in a zone whose row did not hold."""

    zone: Zone
    demand: Demand
    from_us: int
    to_us: int
    what: Message  # the act


class Person:
    """The hands of the trainee."""

    def __init__(self, saw: Saw, going: Going, heard: Heard, lockout: Lockout) -> None:
        self.exposures: list[Exposure] = []
        self.struck: Hazard | None = None
        self._saw = saw
        self._going = going
        self._heard = heard
        self._lockout = lockout

    @property
    def now_us(self) -> int:
        """Simulated time since the session began, us."""
        return self._going.now_us

    @property
    def strikes(self) -> tuple[Consequence, ...]:
        """What hands came to, in order."""
        return tuple(each for each in self._saw.consequences if each.kind in STRIKES)

    def exposures_s(self) -> dict[Zone, float]:
        """Return the seconds of exposure by zone."""
        spans: dict[Zone, list[float]] = {}
        for each in self.exposures:
            spans.setdefault(each.zone, []).append((each.to_us - each.from_us) / US)
        return {zone: fsum(seconds) for zone, seconds in spans.items()}

    def exposed_for(self, what: Message) -> bool:
        """Return whether hands were ever exposed for an act."""
        return any(each.what == what for each in self.exposures)

    def reach_in(self, reach: Reach, what: Message, seconds: float | None = None) -> bool:
        """Walk there, and have hands in for the rest of the time; return whether they were struck.

        Args:
            reach: Where to, and for how long.
            what: The act, as it is told.
            seconds: Less than the row's own, where a part of the act is done at the console.
        """
        going = self._going
        end_us = going.now_us + round((reach.seconds if seconds is None else seconds) * US)
        if reach.zone in HARMLESS:
            going.pass_us(end_us - going.now_us)
            return False
        self._let_keys_go()
        going.pass_us(round(reach.walk_s * US))
        if not going.over:
            lifted = self._lift_hood(reach.zone)
            hands = _Hands(self, reach, what, end_us)
            going.pass_until(hands.look, end_us - going.now_us)
            hands.come_out()
            if lifted:
                self._saw.set(_HOOD, HOOD_SHUT)
        return self.struck is not None

    def _lift_hood(self, zone: Zone) -> bool:
        """Lift a hood that is shut over a zone, for as long as hands are in; return whether it was."""
        lifted = zone in UNDER_HOOD and self._saw.plant.hood.state == HOOD_SHUT
        if lifted:
            self._saw.set(_HOOD, HOOD_OPEN)
        return lifted

    def _let_keys_go(self) -> None:
        """Take every hand off the keys of the console; they are out of reach from now on."""
        for key in sorted(self._saw.held):
            if BY_KEY[key].source is Source.KEY:
                self._saw.release(key)

    def danger(self, reach: Reach) -> Hazard | None:
        """Return what would hit hands that are there for an act now, or None."""
        plant, safe = self._saw.plant, self.safe(reach)
        works = reach.bare and reach.demand is Demand.LOCKED_OUT
        hazard = active(reach.zone, plant, works=works)
        locked = safe and reach.demand is Demand.LOCKED_OUT  # and so no oil and no air is left
        if hazard is None and (reach.opens is Opens.SPRING or not locked):
            hazard = let_out(reach.opens, plant)
        return hazard

    def safe(self, reach: Reach) -> bool:
        """Return whether what must hold for an act holds now."""
        return holds(reach.demand, reach.zone, self._saw.plant, self._lockout)

    def strike(self, hazard: Hazard, reach: Reach, what: Message) -> None:
        """Tell of hands that are struck, and of a lock-out that was wanting; it ends the run."""
        self.struck = hazard
        bare = reach.demand is Demand.LOCKED_OUT and not self.safe(reach)
        said = (_STRUCK_BARE if bare else _STRUCK)(hazard=SAID[hazard], what=what)
        self._saw.plant.site.tell(kind_of_strike(reach.zone), said)

    def expose(self, reach: Reach, what: Message) -> None:
        """Tell of hands that nothing protects, as it begins."""
        where = WHERE[reach.zone]
        if reach.demand is Demand.LOCKED_OUT:
            cabinet = reach.zone is Zone.CABINET
            said = told.NOT_PROVED(where=where, what=what) if cabinet else told.UNSAFE(what=what)
        elif reach.zone is Zone.CABINET:
            said = told.UNQUALIFIED(where=where, what=what)
        else:
            said = told.IN_REACH(where=where, what=what)
        self._heard.tell(EventKind.UNSAFE, said)

    def was_exposed(self, reach: Reach, from_us: int, what: Message) -> None:
        """Count hands that were exposed from an instant until now."""
        now_us = self._going.now_us
        if now_us > from_us:
            self.exposures.append(Exposure(reach.zone, reach.demand, from_us, now_us, what))


class _Hands:
    """Hands that are in a zone for one act."""

    def __init__(self, person: Person, reach: Reach, what: Message, out_us: int) -> None:
        self._out_us = out_us  # when they are out again
        self._person = person
        self._reach = reach
        self._what = what
        self._from_us: int | None = None  # since when what must hold does not
        self._told = False

    def look(self) -> bool:
        """Take note of how things stand now; return whether the hands were struck."""
        person, reach = self._person, self._reach
        if person.now_us >= self._out_us:
            return True
        if person.struck is None:
            hazard = person.danger(reach)
            if hazard is not None:
                person.strike(hazard, reach, self._what)
        if person.safe(reach):
            self.come_out()
        elif self._from_us is None:
            self._from_us = person.now_us
            if not self._told:
                self._told = True
                person.expose(reach, self._what)
        return person.struck is not None

    def come_out(self) -> None:
        """Count what was exposed until now."""
        if self._from_us is not None:
            self._person.was_exposed(self._reach, self._from_us, self._what)
            self._from_us = None
