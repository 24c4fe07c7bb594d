"""The instructor at a running session: put a fault in, take one out, freeze, pace, note, mark.

Each is an act of the session like the trainee's own, written down with `by: instructor` and played
again with the rest. What the trainee must not know yet (which fault, and that there is one) goes
behind their back until the close; answers are for the instructor's eyes.

Never here: how an order gets here from elsewhere (see `orders`).
"""

from collections.abc import Callable
from typing import Final

from sim.errors import CommandError
from sim.records.acts import Act, Frozen, Marked, Noted, Paced, PutIn, TakenOut
from sim.records.kinds import By, as_message, remarked
from sim.session.deeds import Deed, Deeds
from sim.session.heard import EventKind, Heard
from sim.session.hidden import Hidden
from sim.session.known import fault_called
from sim.words.fields import entry, name, number, part
from sim.words.message import Message, plain, row

SLOWEST: Final = 0.25
FASTEST: Final = 20.0
MOST_TEXT: Final = 500  # characters of a note or a mark

NO_PACE: Final = row("instructor.no-pace", "{factor} is no pace", factor=name())
PACES: Final = row(
    "instructor.paces", "give {slowest} to {fastest}", slowest=number(None), fastest=number(None)
)(slowest=SLOWEST, fastest=FASTEST)
NO_CHANGE: Final = row(
    "instructor.no-change", "it changes nothing on this machine: {title}", title=part()
)
CHOOSE_ANOTHER: Final = plain("instructor.choose-another", "choose another")
_HAS_IT: Final = row("instructor.has-it", "the machine has it already: {title}", title=part())
_NOT_HIDDEN: Final = row(
    "instructor.not-hidden", "it is not hidden in the machine: {title}", title=part()
)
_PUT_IN: Final = row("instructor.put-in", "Put in: {title}.", title=part())
_TAKEN_OUT: Final = row("instructor.taken-out", "Taken out: {title}.", title=part())
_FROZEN_ALREADY: Final = plain("instructor.frozen.already", "It is frozen already.")
_NOT_FROZEN: Final = plain("instructor.frozen.not", "It is not frozen.")
_FROZE: Final = plain("instructor.froze", "The instructor froze the machine.")
_LET_GO: Final = plain("instructor.let-go-on", "The instructor let the machine go on.")
_PACE: Final = row("instructor.pace", "The instructor set the pace to {factor}.", factor=entry())
_SAYS: Final = row("instructor.says", "The instructor says: {text}", text=part())
_MARKED: Final = row("instructor.marked", "Marked: {text}", text=part())
_IS_MARKED: Final = plain("instructor.marked.answer", "Marked.")


class Instructor:
    """What an instructor does to one session.

    Args:
        done: Where it is written down.
        heard: Where it is told.
        faults: The session's hidden faults.
        ready: Has everything happen that is due at this instant; raises CommandError when the run
            is over and `going` is asked for.
    """

    def __init__(
        self, done: Deeds, heard: Heard, faults: Hidden, ready: Callable[[bool], None]
    ) -> None:
        self.frozen = False
        self.pace_factor = 1.0  # of the front end's own pace; it changes nothing on the machine
        self._done = done
        self._heard = heard
        self._faults = faults
        self._ready = ready

    def put_in(self, fault_name: str) -> Message:
        """Put a fault into the machine as it runs; return what came of it, for the instructor.

        Raises:
            CommandError: There is no such fault, the machine has it already, or the run is over.
        """
        fault = fault_called(fault_name, "put-in")
        self._ready(True)
        if self._faults.of(fault) is not None or self._faults.present(fault):
            raise CommandError(_HAS_IT(title=fault.title), "put-in")
        if not self._faults.would_change(fault):
            raise CommandError(NO_CHANGE(title=fault.title), "put-in", CHOOSE_ANOTHER)
        self._begin(PutIn(self._heard.now_us, fault.name))
        self._faults.put_in(fault)
        return self._keep_back(_PUT_IN(title=fault.title))

    def take_out(self, fault_name: str) -> Message:
        """Take a hidden fault out, so that it no longer counts; return what came of it.

        Raises:
            CommandError: There is no such fault, it is not hidden here, or the run is over.
        """
        fault = fault_called(fault_name, "take-out")
        self._ready(True)
        if self._faults.of(fault) is None:
            raise CommandError(_NOT_HIDDEN(title=fault.title), "take-out")
        self._begin(TakenOut(self._heard.now_us, fault.name))
        self._faults.take_out(fault)
        return self._keep_back(_TAKEN_OUT(title=fault.title))

    def freeze(self, on: bool) -> Message:
        """Stop the machine's time and refuse the trainee's acts, or let both go on."""
        self._ready(False)
        if on == self.frozen:
            return _FROZEN_ALREADY if on else _NOT_FROZEN
        self._begin(Frozen(self._heard.now_us, on))
        self.frozen = on
        return self._tell(_FROZE if on else _LET_GO)

    def pace(self, factor: float) -> Message:
        """Have the front end run the machine so many times as fast as it would.

        Raises:
            CommandError: The factor is no pace.
        """
        if not SLOWEST <= factor <= FASTEST:
            raise CommandError(NO_PACE(factor=f"{factor:g}"), "pace", PACES)
        self._ready(False)
        self._begin(Paced(self._heard.now_us, float(factor)))
        self.pace_factor = factor
        return self._tell(_PACE(factor=factor))

    def note(self, text: str | Message) -> Message:
        """Tell the trainee something."""
        self._ready(False)
        act = Noted(self._heard.now_us, remarked(text, MOST_TEXT), By.INSTRUCTOR)
        self._begin(act)
        return self._tell(_SAYS(text=as_message(act.text)))

    def mark(self, text: str | Message) -> Message:
        """Mark this instant for the debrief; the trainee reads it only then."""
        self._ready(False)
        act = Marked(self._heard.now_us, remarked(text, MOST_TEXT))
        self._begin(act)
        self._keep_back(_MARKED(text=as_message(act.text)))
        return _IS_MARKED

    def _begin(self, act: Act) -> None:
        self._done.begin(act)
        self._done.all.append(Deed(act, act.at_us))

    def _tell(self, told: Message) -> Message:
        self._heard.tell(EventKind.INSTRUCTOR, told)
        return told

    def _keep_back(self, told: Message) -> Message:
        self._heard.keep_back(EventKind.INSTRUCTOR, told)
        return told
