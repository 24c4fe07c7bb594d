"""Lock-out: six steps in order before hands go in, three in order before power comes back.

The order is that of 29 CFR 1910.147 (d) and (e), read on public pages that quote the rule; ISO 14118
says the same of stored energy. A step is refused while what it rests on is not so. Practice only:
local rules, the maker's manual and an authorised person come first.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from sim.saw import Saw


@dataclass(frozen=True, slots=True)
class Step:
    """One step of taking energy off or putting it back."""

    name: str
    title: str
    seconds: float
    ready: Callable[[Saw], str]  # why the machine is not fit for the step, or empty
    paragraph: str


def _always(_saw: Saw) -> str:
    return ""


def _is_shut_down(saw: Saw) -> str:
    if saw.plant.band.turning:
        return "The band still turns. Stop it first."
    return (
        ""
        if saw.controller.machines["job"].state not in ("EXECUTE", "STARTING")
        else ("The job still runs. Hold or stop it first.")
    )


def _is_isolated(saw: Saw) -> str:
    return "" if not saw.bus.driven("Q0") else "The isolator is still on. Switch it off first."


STEPS: Final = (
    Step("prepare", "Prepare: name the energies: electric, oil, air, the raised head", 60, _always, "(d)(1)"),
    Step("shut-down", "Shut down by the normal stop", 15, _is_shut_down, "(d)(2)"),
    Step("isolate", "Isolate: isolator off, air shut off", 20, _is_isolated, "(d)(3)"),
    Step("lock", "Lock the isolator with your own lock, and tag it", 20, _is_isolated, "(d)(4)"),
    Step("release", "Release stored energy: prop the head, bleed oil and air", 60, _is_isolated, "(d)(5)"),
    Step("verify", "Verify: try the start, and see that nothing comes", 20, _is_isolated, "(d)(6)"),
)  # fmt: skip

BACK: Final = (
    Step("inspect", "Inspect: tools out, covers on, machine whole", 60, _always, "(e)(1)"),
    Step("clear", "Clear: people away, everybody told", 20, _always, "(e)(2)"),
    Step("unlock", "Take your own lock off", 10, _always, "(e)(3)"),
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
    def due(self) -> Step:
        """The next step in order."""
        return (*STEPS, *BACK)[len(self.done)]

    def take(self, name: str, saw: Saw) -> str:
        """Take a step; return why it does not count, or empty when it does.

        Leaving a lock-out that was only begun is always possible until the lock is on.
        """
        row = BY_NAME[name]
        if row.name != self.due.name:
            return f"{row.title}: out of order. The next step is: {self.due.title}."
        reason = row.ready(saw)
        if reason:
            return reason
        self.done.append(name)
        if name == "unlock":
            self.done.clear()
        return ""
