"""Lock-out: six steps in order before hands go in, three in order before power comes back.

The order is that of 29 CFR 1910.147 (d) and (e), read on public pages that quote the rule; ISO 14118
says the same of stored energy. A step is refused out of its order, and until
the machine is ready for it. Practice only:
local rules, the maker's manual and a qualified or authorised person come first.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from sim.saw import Saw
from sim.words.fields import part
from sim.words.message import NOTHING, Message, plain, row

_BAND_TURNS: Final = plain("lockout.band-turns", "The band still turns. Stop it first.")
_JOB_RUNS: Final = plain("lockout.job-runs", "The job still runs. Hold or stop it first.")
_NOT_ISOLATED: Final = plain(
    "lockout.not-isolated", "The isolator is still on. Switch it off first."
)
_OUT_OF_ORDER: Final = row(
    "lockout.out-of-order", "{title}: out of order. The next step is: {due}.",
    title=part(), due=part(),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class EnergyStep:
    """One step of taking energy off or putting it back."""

    name: str
    title: Message
    seconds: float
    ready: Callable[[Saw], Message]  # why the machine is not fit for the step, or nothing
    paragraph: str


def _always(_saw: Saw) -> Message:
    return NOTHING


def _is_shut_down(saw: Saw) -> Message:
    if saw.plant.band.turning:
        return _BAND_TURNS
    runs = saw.controller.machines["job"].state in ("EXECUTE", "STARTING")
    return _JOB_RUNS if runs else NOTHING


def _is_isolated(saw: Saw) -> Message:
    return _NOT_ISOLATED if saw.bus.driven("Q0") else NOTHING


def _step(
    name: str, title: str, seconds: float, ready: Callable[[Saw], Message], paragraph: str
) -> EnergyStep:
    return EnergyStep(name, plain(f"lockout.{name}.title", title), seconds, ready, paragraph)


STEPS: Final = (
    _step("prepare", "Prepare: name the energies: electric, oil, air, the raised head", 60, _always, "(d)(1)"),
    _step("shut-down", "Shut down by the normal stop", 15, _is_shut_down, "(d)(2)"),
    _step("isolate", "Isolate: isolator off, air shut off", 20, _is_isolated, "(d)(3)"),
    _step("lock", "Lock the isolator with your own lock, and tag it", 20, _is_isolated, "(d)(4)"),
    _step("release", "Release stored energy: prop the head, relieve the hydraulic pressure and the air", 60, _is_isolated, "(d)(5)"),
    _step("verify", "Verify: try the start, and see that nothing comes", 20, _is_isolated, "(d)(6)"),
)  # fmt: skip

BACK: Final = (
    _step("inspect", "Inspect: tools out, covers on, machine whole", 60, _always, "(e)(1)"),
    _step("clear", "Clear: people away, everybody told", 20, _always, "(e)(2)"),
    _step("unlock", "Take your own lock off", 10, _always, "(e)(3)"),
)

BY_NAME: Final = {row.name: row for row in (*STEPS, *BACK)}


class Lockout:
    """How far the lock-out has come."""

    def __init__(self) -> None:
        self.done: list[str] = []

    @property
    def locked(self) -> bool:
        """Whether a lock is on the isolator."""
        return "lock" in self.done

    @property
    def safe(self) -> bool:
        """Whether hands may go in: all six steps done, in order, and none of the way back begun."""
        return self.done == [row.name for row in STEPS]

    @property
    def due(self) -> EnergyStep:
        """The next step in order."""
        return (*STEPS, *BACK)[len(self.done)]

    def take(self, step: EnergyStep, saw: Saw) -> Message:
        """Take a step; return why it does not count, or nothing when it does.

        The last step of the way back ends the lock-out; it can then be begun again.
        """
        if step.name != self.due.name:
            return _OUT_OF_ORDER(title=step.title, due=self.due.title)
        reason = step.ready(saw)
        if reason:
            return reason
        self.done.append(step.name)
        if step.name == "unlock":
            self.done.clear()
        return NOTHING
