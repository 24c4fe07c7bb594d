"""The instructor at a running session: put a fault in, take one out, freeze, pace, note, mark.

Each is an act of the session like the trainee's own, written down with `by: instructor` and played
again with the rest. What the trainee must not know yet (which fault, and that there is one) goes
behind their back until the close; answers are for the instructor's eyes.

Never here: how an order gets here from elsewhere (see `orders`).
"""

from collections.abc import Callable
from typing import Final

from sim.errors import CommandError
from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Fault
from sim.scenario.nearest import nearest
from sim.session.hidden import Hidden
from sim.session.journal import Journal

SLOWEST: Final = 0.25
FASTEST: Final = 20.0
MOST_TEXT: Final = 500  # characters of a note or a mark
_BY: Final = "instructor"


class Instructor:
    """What an instructor does to one session.

    Args:
        journal: Where it is written down.
        faults: The session's hidden faults.
        ready: Has everything happen that is due at this instant; raises CommandError when the run
            is over and `going` is asked for.
    """

    def __init__(self, journal: Journal, faults: Hidden, ready: Callable[[bool], None]) -> None:
        self.frozen = False
        self.pace_factor = 1.0  # of the front end's own pace; it changes nothing on the machine
        self._journal = journal
        self._faults = faults
        self._ready = ready

    def put_in(self, name: str) -> str:
        """Put a fault into the machine as it runs; return what came of it, for the instructor.

        Raises:
            CommandError: There is no such fault, the machine has it already, or the run is over.
        """
        fault = _fault(name, "put-in")
        self._ready(True)
        if self._faults.of(fault) is not None or self._faults.present(fault):
            raise CommandError(f"the machine has it already: {fault.title}", "put-in")
        if not self._faults.would_change(fault):
            raise CommandError(
                f"it changes nothing on this machine: {fault.title}", "put-in", "choose another"
            )
        self._journal.sealed_act("put_in", name)
        self._faults.put_in(fault)
        self._journal.secretly(_BY, f"Put in: {fault.title}.")
        return f"Put in: {fault.title}."

    def take_out(self, name: str) -> str:
        """Take a hidden fault out, so that it no longer counts; return what came of it.

        Raises:
            CommandError: There is no such fault, it is not hidden here, or the run is over.
        """
        fault = _fault(name, "take-out")
        self._ready(True)
        if self._faults.of(fault) is None:
            raise CommandError(f"it is not hidden in the machine: {fault.title}", "take-out")
        self._journal.sealed_act("take_out", name)
        self._faults.take_out(fault)
        self._journal.secretly(_BY, f"Taken out: {fault.title}.")
        return f"Taken out: {fault.title}."

    def freeze(self, on: bool) -> str:
        """Stop the machine's time and refuse the trainee's acts, or let both go on."""
        self._ready(False)
        if on == self.frozen:
            return "It is frozen already." if on else "It is not frozen."
        self._journal.act("freeze", on=on, by=_BY)
        self.frozen = on
        text = f"The instructor {'froze the machine' if on else 'let the machine go on'}."
        self._journal.event(_BY, text)
        return text

    def pace(self, factor: float) -> str:
        """Have the front end run the machine so many times as fast as it would.

        Raises:
            CommandError: The factor is no pace.
        """
        if not SLOWEST <= factor <= FASTEST:
            raise CommandError(f"{factor:g} is no pace", "pace", f"give {SLOWEST:g} to {FASTEST:g}")
        self._ready(False)
        self._journal.act("pace", factor=factor, by=_BY)
        self.pace_factor = factor
        text = f"The instructor set the pace to {factor:g}."
        self._journal.event(_BY, text)
        return text

    def note(self, text: str) -> str:
        """Tell the trainee something."""
        self._ready(False)
        self._journal.act("note", text=text[:MOST_TEXT], by=_BY)
        told = f"The instructor says: {text[:MOST_TEXT]}"
        self._journal.event(_BY, told)
        return told

    def mark(self, text: str) -> str:
        """Mark this instant for the debrief; the trainee reads it only then."""
        self._ready(False)
        self._journal.act("mark", text=text[:MOST_TEXT], by=_BY)
        self._journal.secretly(_BY, f"Marked: {text[:MOST_TEXT]}")
        return "Marked."


def _fault(name: str, where: str) -> Fault:
    if name not in CATALOGUE:
        raise CommandError(f"there is no fault called {name!r}", where, nearest(name, CATALOGUE))
    return CATALOGUE[name]
