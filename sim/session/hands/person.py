"""One person at the saw: walks to where an act is done, has hands in there, and what comes of that.

While hands are in, a hazard that is active in the zone strikes, whether it was there before or began
later; the act breaks off and the run is lost. Hands in a zone whose row does not hold are exposed, in
seconds. Between acts a person is outside, at the console. Time that is paused or frozen passes nothing.

Never here: points, and anything that refuses an act.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import fsum
from typing import Final

from sim.plant.harm.consequences import Consequence
from sim.plant.hood import HOOD_OPEN, HOOD_SHUT
from sim.saw import Saw
from sim.session.going import Going
from sim.session.hands.hazards import AT_HEAD, SAID, Hazard, Opens, active, head_rests, let_out
from sim.session.hands.rule import at_rest, holds
from sim.session.hands.table import Reach
from sim.session.hands.under_way import UnderWay
from sim.session.hands.zones import (
    AT_SCREW,
    HARMLESS,
    STRIKES,
    UNDER_HOOD,
    WHERE,
    Demand,
    Zone,
    kind_of_strike,
)
from sim.session.kept import told
from sim.session.kept.deeds import Answer
from sim.session.kept.heard import EventKind, Heard
from sim.session.lockout import Lockout
from sim.signals import BY_KEY, Source
from sim.units import US
from sim.words.fields import part
from sim.words.message import Message, row

HANDS: Final = 2
_HOOD: Final = "infeed.hood"
_STRUCK: Final = row("harm.struck.detail", "{hazard} Hands were there for this: {what}", hazard=part(), what=part())  # fmt: skip
_STRUCK_BARE: Final = row(
    "harm.struck.no-lock-out.detail", "{hazard} Hands were there without a whole lock-out for this: {what}",
    hazard=part(), what=part(),
)  # fmt: skip

_STRUCK_BY_ORDER: Final = row(
    "harm.struck.ordered",
    "{hazard} Hands were there for this: {what} The instructor had changed the saw meanwhile, so it is "
    "not scored.",
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
    head: bool = False  # the head rested on nothing as it began, and could come down on them


def seconds_by_zone(exposures: Iterable[Exposure]) -> dict[Zone, float]:
    """Return the seconds of exposures by zone."""
    spans: dict[Zone, list[float]] = {}
    for each in exposures:
        spans.setdefault(each.zone, []).append((each.to_us - each.from_us) / US)
    return {zone: fsum(seconds) for zone, seconds in spans.items()}


class Person:
    """The hands of the trainee."""

    def __init__(self, saw: Saw, going: Going, heard: Heard, lockout: Lockout) -> None:
        self.exposures: list[Exposure] = []
        self.struck: Hazard | None = None
        self.ordered = False  # by what an instructor had put in meanwhile
        self.held_by_another: set[str] = set()  # keys, which stay down when the trainee goes
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
        return seconds_by_zone(self.exposures)

    def exposed_for(self, what: Message) -> bool:
        """Return whether hands were ever exposed for an act."""
        return any(each.what == what for each in self.exposures)

    def take_up(
        self,
        reach: Reach,
        what: Message,
        finish: Callable[[UnderWay], Answer],
        seconds: float | None = None,
    ) -> UnderWay:
        """Leave for an act; its time passes as the session goes on.

        Args:
            reach: Where to, and for how long.
            what: The act, as it is told.
            finish: Does the act when its time is over.
            seconds: Less than the row's own, where a part of the act is done at the console.
        """
        lasts_s = reach.seconds if seconds is None else seconds
        under_way = UnderWay(self, reach, what, lasts_s, finish)
        self._let_keys_go(reach, what)
        if not reach.eyes and any(zone not in HARMLESS for zone in reach.zones):
            self._lockout.hands_in()
        self._going.doing = under_way
        return under_way

    def _let_keys_go(self, reach: Reach, what: Message) -> None:
        """Take the hands off the keys that the act does not leave a hand for.

        At the console a hand may stay on a key while the other one works, and so it may while one only
        looks from there; who walks away leaves every key.
        """
        mine = sorted(self._saw.held - self.held_by_another)
        held = [key for key in mine if BY_KEY[key].source is Source.KEY]
        leaves = reach.zone is not Zone.CONSOLE and not reach.eyes
        if leaves or (not reach.eyes and len(held) + reach.hands > HANDS):
            self.tell_let_go(held, what, leaves=leaves)
            for key in held:
                self._saw.release(key)

    def tell_let_go(self, keys: Iterable[str], what: Message, *, leaves: bool) -> None:
        """Tell of keys that a hand came off for an act: a part that was held on its way stands from then on.

        Args:
            keys: The keys.
            what: The act, as it is told.
            leaves: Whether hands leave the console for it.
        """
        said = told.LET_GO if leaves else told.LET_GO_TO_WORK
        for key in keys:
            self._heard.tell(EventKind.ACT, said(action=key, what=what))

    def goes_in(self, reach: Reach) -> bool:
        """Lift a hood that is shut over a zone, for as long as hands are in; return whether it was."""
        lifted = (
            any(zone in UNDER_HOOD for zone in reach.zones)
            and self._saw.plant.hood.state == HOOD_SHUT
        )
        if lifted:
            self._saw.set(_HOOD, HOOD_OPEN)
        return lifted

    def shuts_hood(self) -> None:
        """Shut the hood again that was lifted."""
        self._saw.set(_HOOD, HOOD_SHUT)

    def meets(self, reach: Reach) -> Hazard | None:
        """Return what moves or is live where hands are for an act, whatever the act lets out, or None."""
        works = reach.bare and reach.demand is Demand.LOCKED_OUT
        plant = self._saw.plant
        found = (active(zone, plant, works=works, aside=reach.aside) for zone in reach.zones)
        return next(filter(None, found), None)

    def danger(self, reach: Reach) -> Hazard | None:
        """Return what would hit hands that are there for an act now, or None."""
        plant, safe = self._saw.plant, self.safe(reach)
        hazard = self.meets(reach)
        locked = safe and reach.demand is Demand.LOCKED_OUT  # and so no oil and no air is left
        if hazard is None and (reach.opens is Opens.SPRING or not locked):
            hazard = let_out(reach.opens, plant)
        return hazard

    def safe(self, reach: Reach) -> bool:
        """Return whether what must hold for an act holds now."""
        return holds(reach.demand, reach.zone, self._saw.plant, self._lockout, reach.aside)

    def strike(self, hazard: Hazard, reach: Reach, what: Message, *, ordered: bool) -> None:
        """Tell of hands that are struck, and of a lock-out that was wanting; it ends the run.

        What an instructor's order brought about meanwhile is told as that, and is no fault of the trainee's.
        """
        self.struck = hazard
        self.ordered = ordered
        bare = reach.demand is Demand.LOCKED_OUT and not self.safe(reach)
        said = _STRUCK_BY_ORDER if ordered else _STRUCK_BARE if bare else _STRUCK
        zone = reach.zone if reach.far is None or hazard is Hazard.LIVE else reach.far
        kind = AT_SCREW if reach.at_screw else kind_of_strike(zone)
        self._saw.plant.site.tell(kind, said(hazard=SAID[hazard], what=what))

    def expose(self, reach: Reach, what: Message) -> None:
        """Tell of hands that nothing protects, as it begins."""
        where = WHERE[reach.zone]
        if reach.demand is Demand.LOCKED_OUT:
            cabinet = reach.zone is Zone.CABINET
            said = told.NOT_PROVED(where=where, what=what) if cabinet else told.UNSAFE(what=what)
        elif reach.zone is Zone.CABINET:
            said = told.UNQUALIFIED(where=where, what=what)
        elif reach.demand is Demand.STANDS:
            said = told.MOVED(where=where, what=what)
        else:
            rests = at_rest(reach.zone, self._saw.plant, reach.aside)
            moving = told.IN_REACH if reach.wants_rest else told.NOT_AT_REST
            said = (told.STARTABLE if rests else moving)(where=where, what=what)
        self._heard.tell(EventKind.UNSAFE, said)

    def head_loose(self, reach: Reach) -> bool:
        """Return whether hands are where the head can come down, and it rests on nothing."""
        there = reach.aside is None and any(zone in AT_HEAD for zone in reach.zones)
        return there and reach.demand > Demand.STANDS and not head_rests(self._saw.plant)

    def was_exposed(self, reach: Reach, from_us: int, what: Message, *, head: bool) -> bool:
        """Count hands that were exposed from an instant until now; return whether that is any time."""
        now_us = self._going.now_us
        if now_us > from_us:
            self.exposures.append(Exposure(reach.zone, reach.demand, from_us, now_us, what, head))
        return now_us > from_us
