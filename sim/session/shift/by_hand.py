"""A shift that a trainee does himself: he takes an order and a bar, and does all the rest by the acts of a session.

Every piece is booked to the order that was taken when it fell, every millimetre to the bar that lay on
the saw. A change-over lasts from the taking of an order until its job is started; what passes
between the last thing done for an order and the taking of the next is standing. A piece counts as good
only where it was cut from the bar that was taken for it, and is good by its true size.

Never here: words and lines.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from sim.control.table import JOB_UNDER_WAY
from sim.errors import CommandError
from sim.records.acts import OrderTaken
from sim.saw import Cut
from sim.scenario.nearest import nearest
from sim.scenario.shift import OrderWanted, alike
from sim.session.inspections import find
from sim.session.kept.deeds import Answer
from sim.session.shift.shop import Served, Shop
from sim.trade.handling import CRANE
from sim.units import MM, US
from sim.words.fields import name
from sim.words.message import NOTHING, Message, plain, row

_NO_ORDER: Final = row("shift.take.no-order", "the cut list has no order {order}", order=name())
_NO_BAR: Final = row("shift.take.no-bar", "the rack has no bar {bar}", bar=name())
_OTHER_METAL: Final = row(
    "shift.take.other-bar",
    "bar {bar} is not of the metal and section of {order}",
    bar=name(), order=name(),
)  # fmt: skip
_WHICH: Final = row("shift.take.which", "say which bar {order} is cut from", order=name())
_ONE_OF: Final = row("shift.take.one-of", "take one of {bars}", bars=name())
_UNDER_WAY: Final = plain("shift.take.under-way", "a job is under way")
_END_IT: Final = plain(
    "shift.take.under-way.do", "end it first, with job.complete after its piece or with job.stop"
)
_NONE_TAKEN: Final = plain("shift.load.none-taken", "no order is taken, so no bar is chosen")
TAKE_ONE: Final = plain("shift.load.none-taken.do", "take an order first: take ORDER BAR")
_LIES: Final = row("shift.load.lies", "bar {bar} lies on the saw already", bar=name())
_TAKE_OTHER: Final = plain("shift.load.lies.do", "take the order from another bar, or cut this one")
_RACK_AND_SAW: Final = row(
    "shift.lies.other", "{bar} is on the rack; {there} lies on the saw", bar=name(), there=name()
)
_RACK_ONLY: Final = row(
    "shift.lies.last", "{bar} is on the rack; what lies on the saw is of the last shift", bar=name()
)
_RESTING: Final = "HELD"


@dataclass(slots=True)
class _Visit:
    """What is under way for an order; times in seconds of the shift."""

    order: str
    bar: str
    wanted: int
    first: bool
    from_s: float
    cuts: int  # that had fallen before it
    deeds: int  # that were done before it
    looks: int
    used: float  # of band lives, before it
    band: int  # bands that were bought before it
    right_from: int | None  # cuts that had fallen when the bar that was taken lay there
    used_kg: float = 0.0
    used_cost: float = 0.0


class ByHand(Shop):
    """A shift at the hands of a trainee."""

    def __post_init__(self) -> None:
        """Begin as every shift begins."""
        self._visit: _Visit | None = None
        super().__post_init__()
        self.session.shop = self

    # What is known ------------------------------------------------------------------------

    @property
    def order(self) -> str:
        """The order that is taken; empty before the first."""
        return self._visit.order if self._visit is not None else ""

    @property
    def bar(self) -> str:
        """The bar that is taken for it."""
        return self._visit.bar if self._visit is not None else ""

    @property
    def lies_wrong(self) -> Message:
        """That no order's bar lies on the saw, or another than was taken, a clause; nothing where it does."""
        if self._visit is None:
            return _NONE_TAKEN
        if self.bar == self.on_saw:
            return NOTHING
        if not self.on_saw:
            return _RACK_ONLY(bar=self.bar)
        return _RACK_AND_SAW(bar=self.bar, there=self.on_saw)

    def fell(self, order: str) -> int:
        """Return how many pieces fell for an order so far; how long they are, only measuring tells.

        What was cut from another bar than was taken is none of them.
        """
        here = self._visit
        now = len(self._right(here)) if here is not None and here.order == order else 0
        return now + sum(each.cut - each.wrong for each in self.served if each.order == order)

    def _right(self, here: _Visit) -> Sequence[Cut]:
        """Return the pieces that fell from the bar that was taken."""
        return [] if here.right_from is None else self.fell_since(here.right_from)

    def left_m(self, bar: str) -> float:
        """Return how long a bar of the rack now is, m, on the saw or off it."""
        on = self.session.saw.plant.bar
        return on.length_m if bar == self.on_saw else self.rack[bar].length_m

    # Acts ---------------------------------------------------------------------------------

    def take(self, order: str, bar: str = "") -> OrderWanted:
        """Take an order from a bar: card, measuring and booking are its own from now on.

        Args:
            order: Its name.
            bar: The bar's name; left out, it is the one that lies there, or the only one that will do.

        Raises:
            CommandError: There is no such order or bar, the bar is of another kind, or a job is under way.
        """
        wanted = self._order(order)
        chosen = self._bar(wanted, bar)
        self.session.going.stands()
        if self.session.saw.controller.job.state in (*JOB_UNDER_WAY, _RESTING):
            raise CommandError(_UNDER_WAY, "take", _END_IT)
        self.book()
        saw, first = self.session.saw, not self.fell(wanted.name)
        pieces = max(1, wanted.pieces - self.fell(wanted.name))
        self.session.journal.act(OrderTaken(saw.clock.now_us, wanted.name, chosen))
        self.turn_to(wanted, self.rack[chosen], pieces)
        self._visit = _Visit(
            wanted.name, chosen, pieces, first, self.now_s, len(saw.cuts), len(self.session.done.all),
            len(self.session.seen.looks), saw.plant.blade.used, saw.plant.blade.bought,
            len(saw.cuts) if chosen == self.on_saw else None,
        )  # fmt: skip
        return wanted

    def _order(self, given: str) -> OrderWanted:
        names = {each.name.lower(): each for each in self.shift.orders}
        if given.lower() not in names:
            known = [each.name for each in self.shift.orders]
            raise CommandError(_NO_ORDER(order=given), "take", nearest(given, known))
        return names[given.lower()]

    def _bar(self, order: OrderWanted, given: str) -> str:
        fit = [each.name for each in self.shift.rack if alike(each, order)]
        one_of = _ONE_OF(bars=", ".join(fit))
        if not given:
            if self.on_saw in fit:
                return self.on_saw
            if len(fit) == 1:
                return fit[0]
            raise CommandError(_WHICH(order=order.name), "take", one_of)
        names = {each.lower(): each for each in self.rack}
        if given.lower() not in names:
            raise CommandError(_NO_BAR(bar=given), "take", one_of)
        bar = names[given.lower()]
        if bar not in fit:
            raise CommandError(_OTHER_METAL(bar=bar, order=order.name), "take", one_of)
        return bar

    def load(self, how: str = CRANE) -> Answer:
        """Have the bar that was taken put on the saw; what lay there goes back to the rack as it now is.

        Args:
            how: A way of `trade.handling`.

        Raises:
            CommandError: No order is taken, or its bar lies there already.
        """
        here, session = self._visit, self.session
        if here is None:
            raise CommandError(_NONE_TAKEN, "load", TAKE_ONE)
        if here.bar == self.on_saw:
            raise CommandError(_LIES(bar=here.bar), "load", _TAKE_OTHER)
        return session.load_bar(how)

    def bar_off(self) -> None:
        """Write down the bar that is just taken off the saw."""
        self._write_down()

    def bar_on(self) -> None:
        """Write down that the bar that was taken now lies there."""
        here = self._visit
        if here is not None:
            self.on_saw = here.bar
            self.rack[here.bar].brought = True
            self.rack[here.bar].length_m = self.session.saw.plant.bar.length_m
            here.right_from = len(self.session.saw.cuts)

    def close(self) -> None:
        """Book what is under way, and end the session."""
        self.session.close()
        self.book()

    # Booking ------------------------------------------------------------------------------

    def _write_down(self) -> None:
        """Write down how long the bar on the saw now is, and who used what is gone."""
        if not self.on_saw:
            return  # what lay there as the shift began is none of the rack's
        bar, on = self.rack[self.on_saw], self.session.saw.plant.bar
        if self._visit is not None:
            used_kg = (bar.length_m - on.length_m) * bar.kg_m
            self._visit.used_kg += used_kg
            self._visit.used_cost += used_kg * bar.price_kg
        bar.length_m, bar.end_rad = on.length_m, on.end_rad

    def book(self) -> None:
        """Book what was done for the order that is taken."""
        self._write_down()
        here, session = self._visit, self.session
        if here is None:
            return
        self._visit = None
        now_s, order, bar = self.now_s, self.shift.order(here.order), self.rack[here.bar]
        fell = self.fell_since(here.cuts)
        if now_s <= here.from_s and not fell:
            return  # taken and given back at once
        began_s = self._began_s(here, now_s)
        looks = [
            look
            for look in session.seen.looks[here.looks :]
            if look.measured is not None and self._at(look.at_us) > began_s
        ]
        measuring_s = sum(self._took_s(look.name) for look in looks)
        last_us = [cut.at_us for cut in session.saw.cuts[here.cuts :]] + [
            look.at_us for look in looks
        ]
        to_s = max((self._at(us) for us in last_us), default=now_s)
        to_s = max(to_s, began_s)
        right = self._right(here)
        good = sum(session.tally.is_good(cut) for cut in right)
        measuring_s = min(measuring_s, to_s - began_s)
        self.served.append(Served(
            here.order, here.bar, here.wanted, good, len(fell), here.first,
            self.stood_s(here.from_s), here.from_s,
            began_s - here.from_s, to_s - began_s - measuring_s, measuring_s, here.used_kg, here.used_cost,
            good * order.length_mm * MM * bar.kg_m,
            *self.band_since(here.band, here.used),
            session.saw.controller.job.state == "COMPLETE", here.first and self._proved(fell, right),
            len(fell) - len(right),
        ))  # fmt: skip

    def _at(self, us: int) -> float:
        return us / US - self._begun_s

    def _began_s(self, here: _Visit, now_s: float) -> float:
        """Return when the job of an order was started; without one, when its first piece fell, or now."""
        starts = (
            deed.done_us
            for deed in self.session.done.all[here.deeds :]
            if "job.start" in deed.accepted
        )
        cuts = (cut.at_us for cut in self.session.saw.cuts[here.cuts :])
        first = next(starts, None) or next(cuts, None)
        return now_s if first is None else max(self._at(first), here.from_s)

    def _proved(self, fell: Sequence[Cut], right: Sequence[Cut]) -> bool:
        """Return whether a piece was measured and found good while none lay there that was not measured.

        Args:
            fell: All that fell.
            right: Those of the bar that was taken; before the first of them nothing is proved.
        """
        measured: set[int] = set()
        for reading in self.session.measuring.readings:
            if reading.tool.squareness or not reading.counts:
                continue
            measured.add(reading.piece)
            lay = sum(cut.at_us <= reading.at_us for cut in fell)
            any_right = any(cut.at_us <= reading.at_us for cut in right)
            if reading.proves and reading.good and any_right and len(measured) >= lay:
                return True
        return False

    @staticmethod
    def _took_s(look: str) -> float:
        row = find(look)
        return row.seconds if row is not None else 0.0
