"""What was done: one list of deeds, each an act of a person and what came of it; views of that list.

Never here: what an act does, or what is told of it.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import chain
from typing import TypeVar

from sim.control.decision import Decision
from sim.kernel.long_list import LongList
from sim.records.acts import (
    Act,
    ActKind,
    Diagnosed,
    Forced,
    Hinted,
    Jumpered,
    LockoutTaken,
    Mended,
    OrderRefused,
    Pressed,
    Released,
    Swapped,
    is_carried_out,
)
from sim.words.message import NOTHING, Message

_Kind = TypeVar("_Kind")


@dataclass(frozen=True, slots=True)
class Answer:
    """What came of an act: whether it was taken, and a sentence to read."""

    taken: bool
    message: Message


@dataclass(frozen=True, slots=True)
class Deed:
    """One act, and what was answered."""

    act: Act
    done_us: int  # when it was over; the act says when it began
    decisions: tuple[Decision, ...] = ()  # of the control, to keys
    answer: Answer | None = None  # to everything else
    unsafe: Message = NOTHING  # what hands did in a machine that was not locked out
    untold: bool = False  # control power came, and those affected had been told of a lock-out only
    played: bool = True  # False for what was refused at once: it has no line in the record
    cured: tuple[str, ...] = ()  # hidden faults that a setting by hand or a spare put right
    undid: tuple[str, ...] = ()  # and those that it brought back

    @property
    def kind(self) -> ActKind:
        """What kind of act it was."""
        return self.act.kind

    @property
    def by_hand(self) -> bool:
        """Whether it moved a key or was answered; a note, a hint or an instructor's order is neither."""
        return bool(self.decisions) or bool(self.keys) or self.answer is not None

    @property
    def done(self) -> bool:
        """Whether it came to its end; hands that were struck, or taken out before, have not done it."""
        return self.answer is None or self.answer.taken

    @property
    def put_right(self) -> tuple[str, ...]:
        """The faults whose remedy it was, or that a setting or a spare cured."""
        return (self.act.name,) if isinstance(self.act, Mended) and self.done else self.cured

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys that were pressed or let go."""
        return self.act.keys if isinstance(self.act, Pressed | Released) else ()

    @property
    def accepted(self) -> frozenset[str]:
        """The actions that the control took."""
        return frozenset(answer.action for answer in self.decisions if answer.accepted)

    @property
    def decision(self) -> Decision | None:
        """The control's answer that tells: the last when it was taken, None when there is none.

        Of keys that were pressed as one and refused, it is the last about what was asked first:
        what palm keys are refused for follows from that.
        """
        last = self.decisions[-1] if self.decisions else None
        if last is None or last.accepted:
            return last
        asked = next(answer.action for answer in self.decisions if not answer.accepted)
        return [answer for answer in self.decisions if answer.action == asked][-1]

    @property
    def refused(self) -> frozenset[str]:
        """The actions that were asked for and not taken; of keys pressed together one may take it."""
        asked = frozenset(answer.action for answer in self.decisions if not answer.accepted)
        return asked - self.accepted


@dataclass(frozen=True, slots=True)
class LockoutStep:
    """One step of the lock-out that was tried."""

    at_us: int
    name: str
    against: Message  # why it did not count, or nothing


@dataclass(frozen=True, slots=True)
class UnsafeAct:
    """Hands in the machine without lock-out."""

    at_us: int
    what: Message


@dataclass(frozen=True, slots=True)
class Meddling:
    """A force or a jumper that was put in or taken out, or that was tried where it may not be."""

    at_us: int
    message: Message
    allowed: bool
    out: bool  # taken out again


class Deeds:
    """Everything done in a session, in order.

    Args:
        wrote: Called with every act that can be played again, before it is done.
    """

    def __init__(self, wrote: Callable[[Act], None]) -> None:
        self.all: LongList[Deed] = LongList()
        # What can be played again, in the order in which it was begun.
        self.acts: LongList[Act] = LongList()
        # Undone on the saw by going back, and not out of the books: see `ever`.
        self.taken_back: tuple[Deed, ...] = ()
        self.acts_taken_back: tuple[Act, ...] = ()
        self._wrote = wrote

    def begin(self, act: Act) -> None:
        """Write an act down, just before it is done."""
        self.acts.append(act)
        self._wrote(act)

    def take_over(self, before: "Deeds") -> None:
        """Keep what was done in a session from which this one went back: what it shares, once."""
        self.taken_back = *before.taken_back, *before.all[len(self.all) :]
        self.acts_taken_back = *before.acts_taken_back, *before.acts[len(self.acts) :]

    @property
    def ever(self) -> Iterator[Deed]:
        """Everything that was done, also what was taken back, which comes first."""
        return chain(self.taken_back, self.all)

    @property
    def standing(self) -> "Deeds":
        """The deeds without those that were taken back."""
        stands = Deeds(self._wrote)
        stands.all, stands.acts = self.all, self.acts
        return stands

    def __len__(self) -> int:
        return len(self.all)

    def of(self, kind: type[_Kind]) -> list[_Kind]:
        """Return the acts of a kind."""
        return [deed.act for deed in self.all if deed.played and isinstance(deed.act, kind)]

    @property
    def named(self) -> list[str]:
        """The causes named, in order."""
        return [act.name for act in self.of(Diagnosed)]

    @property
    def told_by_doing(self) -> dict[str, int]:
        """When each fault was put right for good by its remedy or by setting it, us: that counts as its name does.

        An exchange on trial is none of it, nor what was set wrong again afterwards.
        """
        done_us: dict[str, int] = {}
        for deed in self.all:
            if not isinstance(deed.act, Swapped):
                for name in deed.put_right:
                    done_us.setdefault(name, deed.act.at_us)
            for name in deed.undid:
                if name not in self.mended:
                    done_us.pop(name, None)
        return done_us

    @property
    def mended(self) -> list[str]:
        """The faults whose remedies were applied, in order."""
        return [deed.act.name for deed in self.all if isinstance(deed.act, Mended) and deed.done]

    @property
    def swapped(self) -> list[str]:
        """The parts that were exchanged, in order."""
        return [deed.act.name for deed in self.all if isinstance(deed.act, Swapped) and deed.done]

    @property
    def put_right(self) -> list[str]:
        """The faults that were mended, by remedy, spare or setting something by hand, in order."""
        return [name for deed in self.all for name in deed.put_right]

    @property
    def hints(self) -> list[Hinted]:
        """The hints that were taken; no going back takes one back."""
        return [deed.act for deed in self.ever if isinstance(deed.act, Hinted)]

    @property
    def lockout_steps(self) -> list[LockoutStep]:
        """The steps of the lock-out that were tried, with what stood against each."""
        return [
            LockoutStep(deed.done_us, deed.act.step, NOTHING if answer.taken else answer.message)
            for deed, answer in self._answered(self.all)
            if isinstance(deed.act, LockoutTaken)
        ]

    @property
    def unsafe(self) -> list[UnsafeAct]:
        """Hands in the machine without lock-out."""
        return [UnsafeAct(deed.act.at_us, deed.unsafe) for deed in self.ever if deed.unsafe]

    @property
    def untold(self) -> list[int]:
        """When control power was switched on before those affected were told that the locks are off, us."""
        return [deed.act.at_us for deed in self.ever if deed.untold]

    @property
    def meddled(self) -> list[Meddling]:
        """What was forced and jumpered."""
        return [
            Meddling(deed.act.at_us, answer.message, answer.taken, _out(deed.act))
            for deed, answer in self._answered(self.ever)
            if isinstance(deed.act, Forced | Jumpered)
        ]

    @property
    def orders(self) -> int:
        """How many orders of an instructor were carried out; what a window notes itself is none."""
        return sum(is_carried_out(act) for act in chain(self.acts_taken_back, self.acts))

    @property
    def orders_refused(self) -> int:
        """How many orders reached the session and were not taken."""
        return sum(isinstance(act, OrderRefused) for act in chain(self.acts_taken_back, self.acts))

    @staticmethod
    def _answered(deeds: Iterable[Deed]) -> Iterator[tuple[Deed, Answer]]:
        return ((deed, deed.answer) for deed in deeds if deed.answer is not None)


def _out(act: Forced | Jumpered) -> bool:
    return act.value is None if isinstance(act, Forced) else not act.on
