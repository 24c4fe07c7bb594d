"""The faults that are hidden in one machine: when each sets in, whether it is there, how it goes.

A fault is there from the start, or sets in at a time, before a piece, or when a wire changes; an
instructor may put one in and take it out. One that comes and goes does so at times drawn from its
own seed. Everything hangs on the saw's clock and wires, so a session played again has every fault
at the same instant.

Never here: what is told to whom.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from math import ceil, log, log1p
from typing import Final

from sim.faults.catalogue import EVERY
from sim.faults.fault import Fault, Wreck
from sim.kernel.clock import Appointment
from sim.kernel.streams import stream
from sim.plant.set_points import Setting
from sim.saw import Saw
from sim.scenario import scenario
from sim.signals import BY_TAG
from sim.units import US
from sim.words.fields import part
from sim.words.message import Message, row

CHANCE: Final = 0.01  # that pieces are good by luck, though the fault still comes and goes

_SET_IN: Final = row("fault.set-in", "{title} set in.", title=part())
_SET_IN_COMES: Final = row(
    "fault.set-in.comes-and-goes", "{title} set in, and from now on comes and goes.", title=part()
)


@dataclass
class Culprit:
    """One fault and what has become of it."""

    fault: Fault
    row: scenario.HiddenFault
    live: bool = False  # put in by the instructor
    set_in_us: int | None = None  # None until it first sets in
    withdrawn: bool = False  # taken out by the instructor
    cured: bool = False  # of one that comes and goes: it will not come again
    due: list[Appointment] = field(default_factory=list)

    def cancel(self) -> None:
        """Take back every appointment at which it would set in, come or go."""
        for appointment in self.due:
            appointment.cancel()
        self.due.clear()


class Hidden:
    """Every fault of a session, in the order of the scenario, then as they were put in.

    Args:
        saw: The machine.
        rows: The scenario's faults.
        right: What a good operator would set for the job, by set point.
        told: Called when a fault sets in later than at the start.
    """

    def __init__(
        self,
        saw: Saw,
        rows: Sequence[scenario.HiddenFault],
        right: Mapping[str, Setting],
        told: Callable[[Message], None],
    ) -> None:
        self.culprits = [Culprit(EVERY[row.name], row) for row in rows]
        self._saw = saw
        self._told = told
        self._wreck = Wreck(saw.plant, saw.bus, right)
        self._pieces = 0

    def apply(self) -> None:
        """Put the faults in that the machine is found with."""
        for culprit in self.culprits:
            if culprit.row.from_the_start:
                self._set_in(culprit)

    def leave(self, found: Iterable[Fault]) -> None:
        """Put in what a round comes upon; it hides nothing, so it counts for no drill."""
        for each in found:
            each.apply(self._wreck)

    def wait(self) -> None:
        """Have the others set in when they are due."""
        for culprit in self.culprits:
            row = culprit.row
            if row.from_s or (row.intermittent and not row.from_piece and not row.when):
                at_us = self._saw.clock.now_us + round(row.from_s * US)
                culprit.due.append(self._saw.clock.at(at_us, self._setting_in(culprit)))
            elif row.when is not None:
                self._listen(culprit, row.when)

    def _listen(self, culprit: Culprit, when: scenario.Trigger) -> None:
        left = when.times

        def edge(tag: str, value: bool) -> None:
            nonlocal left
            if tag == when.signal and value == (when.goes == "live"):
                left -= 1
                if not left:
                    self._soon(culprit)

        self._saw.bus.listen(BY_TAG[when.signal].direction, edge)

    def piece(self) -> None:
        """Count a piece of the job; faults that wait for the next one set in."""
        self._pieces += 1
        for culprit in self.culprits:
            if culprit.row.from_piece == self._pieces + 1:
                self._soon(culprit)

    def _soon(self, culprit: Culprit) -> None:
        """Set it in at this instant, once the clock has finished the call it is making."""
        if not culprit.withdrawn:
            culprit.due.append(self._saw.clock.after(0, self._setting_in(culprit)))

    def _setting_in(self, culprit: Culprit) -> Callable[[], None]:
        return lambda: self._set_in(culprit)

    def _set_in(self, culprit: Culprit) -> None:
        culprit.set_in_us = self._saw.clock.now_us
        comes = culprit.row.intermittent
        if not culprit.row.from_the_start and not culprit.live:
            said = _SET_IN_COMES if comes else _SET_IN
            self._told(said(title=culprit.fault.title))
        if comes is None:
            culprit.fault.apply(self._wreck)
            self._saw.bus.settle()
        else:
            self._period(culprit, comes, stream(comes.seed, culprit.fault.name).random)

    def _period(
        self, culprit: Culprit, comes: scenario.Intermittent, chance: Callable[[], float]
    ) -> None:
        """Appoint one period: it comes, goes, and the next period begins."""
        period_us = max(round(comes.period_s * US), 2)
        there_us = min(max(round(period_us * comes.share), 1), period_us - 1)
        comes_us = round(chance() * (period_us - there_us))
        after = self._saw.clock.after
        culprit.due = [
            after(comes_us, lambda: culprit.fault.apply(self._wreck)),
            after(comes_us + there_us, lambda: self._go(culprit)),
            after(period_us, lambda: self._period(culprit, comes, chance)),
        ]

    def _go(self, culprit: Culprit) -> None:
        """Make it vanish until it comes again; when a hand has mended it first, for good."""
        if culprit.fault.present(self._wreck):
            culprit.fault.mend(self._wreck)
        else:
            self._cure(culprit)

    def _cure(self, culprit: Culprit) -> None:
        culprit.cancel()
        culprit.cured = True

    # By hand ------------------------------------------------------------------------------

    def put_in(self, fault: Fault) -> None:
        """Put a fault in now."""
        culprit = Culprit(fault, scenario.HiddenFault(name=fault.name), live=True)
        self.culprits.append(culprit)
        self._set_in(culprit)

    def take_out(self, fault: Fault) -> None:
        """Take out a fault that is hidden; it no longer counts."""
        culprit = self.of(fault)
        if culprit is not None:
            culprit.cancel()
            culprit.withdrawn = True
            if culprit.set_in_us is not None:
                self.mend(fault)

    def mend(self, fault: Fault) -> None:
        """Apply a remedy; a fault that comes and goes stays away then, if it has set in."""
        fault.mend(self._wreck)
        self._saw.bus.settle()
        culprit = self.of(fault)
        if culprit is not None and culprit.row.intermittent and culprit.set_in_us is not None:
            self._cure(culprit)

    def mend_all(self, faults: Iterable[Fault]) -> tuple[str, ...]:
        """Mend those of some faults that the machine has, or that come and go; return the hidden ones that went."""
        wrong = {fault.name for fault in self.still_wrong()}
        for fault in faults:
            if self.present(fault) or self.of(fault) is not None:
                self.mend(fault)
        return tuple(sorted(wrong - {fault.name for fault in self.still_wrong()}))

    # What there is ------------------------------------------------------------------------

    def of(self, fault: Fault) -> Culprit | None:
        """Return the culprit of a fault that is hidden now, or None."""
        return next((c for c in self.counted if c.fault.name == fault.name), None)

    @property
    def counted(self) -> tuple[Culprit, ...]:
        """Those that the instructor has not taken out."""
        return tuple(culprit for culprit in self.culprits if not culprit.withdrawn)

    @property
    def good_to_prove(self) -> int:
        """How many good pieces in a row prove that nothing is wrong any more.

        One does, but for a fault that comes and goes. That is there in the moment that matters with the
        chance of its share, so that many pieces may be good by luck: as many are asked for as leave 1 %.
        """
        shares = [c.row.intermittent.share for c in self.counted if c.row.intermittent]
        return max((ceil(log(CHANCE) / log1p(-share)) for share in shares), default=1)

    def would_change(self, fault: Fault) -> bool:
        """Return whether the machine can have a fault: a clamp left up means nothing to one bar.

        Nothing is touched to find out, for an order that is refused is in no record.
        """
        return fault.possible(self._wreck)

    def present(self, fault: Fault) -> bool:
        """Whether the machine has a fault now, however it came by it."""
        return fault.present(self._wreck)

    def still_wrong(self) -> tuple[Fault, ...]:
        """Return the faults that are there now, that will come again, or that have yet to set in."""
        return tuple(c.fault for c in self.counted if self._wrong(c))

    def as_should_be(self, rivals: Callable[[Fault], Iterable[Fault]]) -> frozenset[str]:
        """Return the faults that have set in, and that somebody has put right by now.

        What is set wrong the other way instead is not put right: a tension that was too high is no
        longer, once the band is let down, and that mends nothing.

        Args:
            rivals: Tells the faults of the catalogue that lie in the same set point.
        """
        counted = {c.fault.name for c in self.counted}
        return frozenset(
            c.fault.name
            for c in self.counted
            if c.set_in_us is not None
            and not c.fault.present(self._wreck)
            and not any(
                other.present(self._wreck) for other in rivals(c.fault) if other.name not in counted
            )
        )

    def _wrong(self, culprit: Culprit) -> bool:
        if culprit.set_in_us is None:
            return True
        if culprit.row.intermittent is not None:
            return not culprit.cured
        return culprit.fault.present(self._wreck)
