"""The instructor at a running session: put a fault in, take one out, freeze, pace, note, mark.

Each is an act of the session like the trainee's own, written down with `by: instructor` and played
again with the rest. What the trainee must not know yet (which fault, and that there is one) is kept
back until the close; answers are for the instructor's eyes.

Never here: how an order gets here from elsewhere (see `orders`).
"""

from typing import Final

from sim.errors import CommandError
from sim.records.acts import (
    Frozen,
    Marked,
    Noted,
    OrderRefused,
    Paced,
    PutIn,
    SecondTold,
    TakenOut,
)
from sim.records.kinds import By, as_message, remarked, written
from sim.scenario.second_does import Does, does_from
from sim.session.another import Another
from sim.session.going import Going
from sim.session.hidden import Hidden
from sim.session.kept.heard import EventKind, Heard
from sim.session.known import fault_called
from sim.words.fields import entry, name, number, part
from sim.words.message import Message, plain, row

SLOWEST: Final = 0.25
FASTEST: Final = 20.0
MOST_TEXT: Final = 500  # characters of a note or a mark
MOST_NAME: Final = 40

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
_WILL: Final = row("instructor.second", "Told {who}: {does}.", who=name(), does=name())
_FROZEN_ALREADY: Final = plain("instructor.frozen.already", "It is frozen already.")
_NOT_FROZEN: Final = plain("instructor.frozen.not", "It is not frozen.")
_FROZE: Final = plain("instructor.froze", "The instructor froze the machine.")
_LET_GO: Final = plain("instructor.let-go-on", "The instructor let the machine go on.")
_PACE: Final = row("instructor.pace", "The instructor set the pace to {factor}.", factor=entry())
_SAYS: Final = row("instructor.says", "The instructor says: {text}", text=part())
_MARKED: Final = row("instructor.marked", "Marked: {text}", text=part())
_REFUSED: Final = row(
    "instructor.refused", "An order was refused: {order}: {why}.", order=name(), why=part()
)
_REFUSED_LINE: Final = row("instructor.refused.line", "An order was refused: {why}.", why=part())
_SEALED: Final = plain("instructor.refused.sealed", "why is sealed until the close")
_IS_MARKED: Final = plain("instructor.marked.answer", "Marked.")


def told_second(text: str) -> tuple[Does | None, str, str]:
    """Return what a second person is told to do at the saw; None where he comes, leaves or returns.

    Args:
        text: As for `Instructor.second`.

    Returns:
        What he does; else its first word, and what follows it.

    Raises:
        CommandError: He cannot be told that.
    """
    verb, *rest = text.split() or [""]
    if (verb == "comes" and rest) or (verb in ("leaves", "returns") and not rest):
        return None, verb, " ".join(rest)
    return does_from(text), verb, " ".join(rest)


class Instructor:
    """What an instructor does to one session.

    Args:
        going: The session under way.
        heard: Where it is told.
        faults: The session's hidden faults.
        another: The other person at the saw.
    """

    def __init__(self, going: Going, heard: Heard, faults: Hidden, another: Another) -> None:
        self.pace_factor = 1.0  # of the front end's own pace; it changes nothing on the machine
        self._going = going
        self._heard = heard
        self._faults = faults
        self._another = another

    def put_in(self, fault_name: str) -> Message:
        """Put a fault into the machine as it runs; return what came of it, for the instructor.

        Raises:
            CommandError: There is no such fault, the machine has it already, or the run is over.
        """
        fault = fault_called(fault_name, "put-in")
        self._going.ready()
        if self._faults.of(fault) is not None or self._faults.present(fault):
            raise CommandError(_HAS_IT(title=fault.title), "put-in")
        if not self._faults.would_change(fault):
            raise CommandError(NO_CHANGE(title=fault.title), "put-in", CHOOSE_ANOTHER)
        self._going.wrote(PutIn(self._going.now_us, fault.name))
        self._faults.put_in(fault)
        self._going.ordered()
        return self._keep_back(_PUT_IN(title=fault.title))

    def take_out(self, fault_name: str) -> Message:
        """Take a hidden fault out, so that it no longer counts; return what came of it.

        Raises:
            CommandError: There is no such fault, it is not hidden here, or the run is over.
        """
        fault = fault_called(fault_name, "take-out")
        self._going.ready()
        if self._faults.of(fault) is None:
            raise CommandError(_NOT_HIDDEN(title=fault.title), "take-out")
        self._going.wrote(TakenOut(self._going.now_us, fault.name))
        self._faults.take_out(fault)
        self._going.ordered()
        return self._keep_back(_TAKEN_OUT(title=fault.title))

    def second(self, text: str) -> Message:
        """Have a second person come, go away, come back, or work the saw; return what came of it.

        Args:
            text: `comes NAME`, `leaves`, `returns`, or what he does, as `second_does.does_from` has it.

        Raises:
            CommandError: He cannot be told that, or the run is over.
        """
        self._going.ready()
        does, verb, rest = told_second(text)
        another, now_us = self._another, self._going.now_us
        who = written(rest, MOST_NAME) if verb == "comes" else another.who
        another.check_told(does, verb)
        self._going.wrote(SecondTold(now_us, written(text, MOST_TEXT), who))
        if does is not None:
            another.will_do(does, now_us)
            return _WILL(who=who, does=text)
        if verb == "comes":
            return another.comes(who)
        return another.leaves() if verb == "leaves" else another.returns()

    def freeze(self, on: bool) -> Message:
        """Stop the machine's time and refuse the trainee's acts, or let both go on."""
        self._going.ready(going=False)
        if on == self._going.frozen:
            return _FROZEN_ALREADY if on else _NOT_FROZEN
        self._going.wrote(Frozen(self._going.now_us, on))
        self._going.frozen = on
        return self._tell(_FROZE if on else _LET_GO)

    def pace(self, factor: float) -> Message:
        """Make the front end run the machine `factor` times as fast as it is set to.

        Raises:
            CommandError: The factor is no pace.
        """
        if not SLOWEST <= factor <= FASTEST:
            raise CommandError(NO_PACE(factor=f"{factor:g}"), "pace", PACES)
        self._going.ready(going=False)
        self._going.wrote(Paced(self._going.now_us, float(factor)))
        self.pace_factor = factor
        return self._tell(_PACE(factor=factor))

    def note(self, text: str | Message) -> Message:
        """Tell the trainee something."""
        self._going.ready(going=False)
        act = Noted(self._going.now_us, remarked(text, MOST_TEXT), By.INSTRUCTOR)
        self._going.wrote(act)
        return self._tell(_SAYS(text=as_message(act.text)))

    def mark(self, text: str | Message) -> Message:
        """Mark this instant for the debrief; the trainee reads it only then."""
        self._going.ready(going=False)
        act = Marked(self._going.now_us, remarked(text, MOST_TEXT))
        self._going.wrote(act)
        self._keep_back(_MARKED(text=as_message(act.text)))
        return _IS_MARKED

    def refused(self, order: str, why: Message | None) -> None:
        """Write down an order that was not taken; the trainee reads of it only in the debrief.

        Args:
            order: Its verb; empty where a line was none.
            why: What was against it, a clause; None of a record that has it sealed.
        """
        self._going.ready(going=False)
        self._going.wrote(OrderRefused(self._going.now_us, order, why))
        said = _SEALED if why is None else why
        self._keep_back(_REFUSED(order=order, why=said) if order else _REFUSED_LINE(why=said))

    def _tell(self, told: Message) -> Message:
        self._heard.tell(EventKind.INSTRUCTOR, told)
        return told

    def _keep_back(self, told: Message) -> Message:
        self._heard.keep_back(EventKind.INSTRUCTOR, told)
        return told
