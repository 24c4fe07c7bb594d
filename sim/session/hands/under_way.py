"""An act under way: the walk there, hands in, and out again, as time passes; and breaking it off.

Hands are looked at when they go in, at every instant at which anything happens, and when they come
out; never at an instant that only a front end has chosen, so a run played again comes to the same.

Never here: what an act does in the end.
"""

from collections.abc import Callable
from typing import Final, Protocol

from sim.session.hands.hazards import Hazard
from sim.session.hands.table import Reach
from sim.session.hands.zones import HARMLESS
from sim.session.kept.deeds import Answer
from sim.units import US
from sim.words.message import Message

BREAK_OFF_S: Final = 1.0
"""Seconds until hands are out, from the moment at which an act is broken off; a choice."""


class Doer(Protocol):
    """Who does it, and what can come of that."""

    @property
    def now_us(self) -> int:
        """Simulated time, us."""

    def goes_in(self, reach: Reach) -> bool:
        """Lift a hood that is in the way of hands; return whether there was one."""

    def shuts_hood(self) -> None:
        """Shut the hood again that was lifted."""

    def danger(self, reach: Reach) -> Hazard | None:
        """Return what would hit hands that are there now."""

    def safe(self, reach: Reach) -> bool:
        """Return whether what must hold there holds now."""

    def strike(self, hazard: Hazard, reach: Reach, what: Message, *, ordered: bool) -> None:
        """Tell of hands that are struck; by what an instructor has ordered meanwhile, or not."""

    def expose(self, reach: Reach, what: Message) -> None:
        """Tell of hands that nothing protects."""

    def head_loose(self, reach: Reach) -> bool:
        """Return whether the head can come down on hands that are there."""

    def was_exposed(self, reach: Reach, from_us: int, what: Message, *, head: bool) -> bool:
        """Count hands that were exposed until now; return whether that is any time."""


class UnderWay:
    """One act, from leaving the console until it is over.

    Args:
        person: Who does it.
        reach: Where to.
        what: The act, as it is told.
        seconds: How long it takes, s.
        finish: Does the act when its time is over, or says why it came to nothing.
    """

    def __init__(
        self,
        person: Doer,
        reach: Reach,
        what: Message,
        seconds: float,
        finish: "Callable[[UnderWay], Answer]",
    ) -> None:
        self.reach = reach
        self.what = what
        self.lasts_s = seconds
        self.begun_us = person.now_us
        self.out_us = self.begun_us + round(seconds * US)
        self.in_us = self.begun_us + round(min(reach.walk_s, seconds) * US)
        self.broken = False
        self.struck = False
        self.exposed = False
        self.answer: Answer | None = None  # when it is over
        self._person = person
        self._finish = finish
        self._from_us: int | None = None  # since when what must hold does not
        self._head = False  # the head rested on nothing then
        self._told = False
        self._in = False
        self._lifted = False  # the hood, to get there
        self._ordered = False  # an instructor has changed the saw meanwhile

    @property
    def harmless(self) -> bool:
        """Whether it is done where nothing reaches anybody."""
        return self.reach.zone in HARMLESS

    @property
    def hands_in(self) -> bool:
        """Whether hands are in its zone now."""
        return not self.harmless and self.in_us <= self._person.now_us < self.out_us

    @property
    def seconds_left(self) -> float:
        """How long until it is over, s."""
        return max(self.out_us - self._person.now_us, 0) / US

    @property
    def walk_left(self) -> float:
        """How long until the hands go in, s."""
        return max(self.in_us - self._person.now_us, 0) / US

    @property
    def bare(self) -> bool:
        """Whether hands are in, and what must hold for them does not."""
        return self.hands_in and not self._person.safe(self.reach)

    @property
    def by_order(self) -> bool:
        """Whether it was broken off by a strike that an instructor brought about."""
        return self.struck and self._ordered

    @property
    def over(self) -> bool:
        """Whether nothing more of it is to come."""
        return self.struck or self._person.now_us >= self.out_us

    @property
    def next_us(self) -> int:
        """The next instant of its own, us."""
        now_us = self._person.now_us
        return self.in_us if now_us < self.in_us < self.out_us else self.out_us

    def look(self) -> bool:
        """Take note of how things stand now; return whether the hands were struck."""
        person, reach = self._person, self.reach
        if not self.hands_in or self.struck:
            return self.struck
        if not self._in:
            self._in, self._lifted = True, person.goes_in(reach)
        hazard = person.danger(reach)
        if hazard is not None:
            self.struck = True
            person.strike(hazard, reach, self.what, ordered=self._ordered)
        if person.safe(reach):
            self._come_out()
        elif self._from_us is None:
            self._from_us, self._head = person.now_us, person.head_loose(reach)
            if not self._told:
                self._told = True
                person.expose(reach, self.what)
        return self.struck

    def ordered(self) -> None:
        """Take note that an instructor has just changed the saw: it may strike at once, or later."""
        self._ordered = True
        self.look()

    def break_off(self) -> None:
        """Take the hands out; the act comes to nothing, and what it was done to stays as it was."""
        self.broken = True
        self.out_us = min(self.out_us, self._person.now_us + round(BREAK_OFF_S * US))

    def _come_out(self) -> None:
        """Count what was exposed until now."""
        if self._from_us is not None:
            self.exposed |= self._person.was_exposed(
                self.reach, self._from_us, self.what, head=self._head
            )
            self._from_us = None

    def leave(self) -> None:
        """Have the hands out, and the act neither done nor undone."""
        self._come_out()
        if self._lifted:
            self._lifted = False
            self._person.shuts_hood()

    def finish(self) -> None:
        """Have the hands out, and do the act."""
        self.leave()
        self.answer = self._finish(self)
