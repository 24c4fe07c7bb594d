"""The job: arm, begin, hold, resume, count; and the walk through the steps of a piece.

What the job may do next follows from its state (table JOB) and its step (table CYCLE). `pursue` is
called whenever anything changed, asks the stations for what the step needs, and moves on when it is
done. The job waits at a step whose command is refused, and says for what.
"""

from collections.abc import Callable
from typing import Final, Protocol

from sim.control.cycle import IN_THE_CUT, RETURN_LANE, STEPS
from sim.control.decision import Decision, Refusal
from sim.control.interlocks import When
from sim.control.machine import Runner
from sim.control.nouns import state_word
from sim.words.fields import part
from sim.words.message import NOTHING, Message, plain, row


class Desk(Protocol):
    """What the job needs of the controller."""

    image: dict[str, object]
    machines: dict[str, Runner]

    def fire(self, machine: str, event: str) -> bool:
        """Make a step in a machine and let follow what follows."""

    def ask(self, action: str, origin: When) -> Decision:
        """Ask for an action."""


ACTING = ("STARTING", "UNHOLDING", "RESETTING", "ABORTING", "CLEARING")


class Job:
    """Counters, and the walk through CYCLE."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self.wanted = 1
        self.cut = 0
        self.strokes = 1  # strokes a piece
        self.stroke = 0  # strokes made for the present piece
        desk.image["job.trimming"] = False
        desk.image["job.armed"] = False  # armed again after a hold
        self.reason: Message = NOTHING  # of the last hold or stop
        self.waits: tuple[Refusal, ...] = ()
        self._on_piece: Callable[[int, bool], None] = lambda _cut, _trim: None

    def on_piece(self, listener: Callable[[int, bool], None]) -> None:
        """Have `listener(count, trimming)` called when a cut has been counted."""
        self._on_piece = listener

    @property
    def state(self) -> str:
        """The job's state."""
        return str(self._desk.image["job"])

    @property
    def step(self) -> str:
        """The step of the piece."""
        return str(self._desk.image["cycle"])

    @property
    def trimming(self) -> bool:
        """Whether the present cut is the trim cut, which is not counted."""
        return bool(self._desk.image["job.trimming"])

    @property
    def cutting(self) -> bool:
        """Whether the head has left its upper limit for the present cut."""
        if self.step == "LOWER_HEAD":
            return not self._desk.image["B11"]
        return self.step in IN_THE_CUT

    def refusals(self, action: str) -> tuple[Refusal, ...]:
        """Return what in the job's own state stands against a job key."""
        state = self.state
        if action == "job.arm":
            fit = state in ("STOPPED", "COMPLETE", "IDLE", "HELD")
            return () if fit else (_not_now(state, _ARM_WHEN),)
        if action == "job.hold":
            fit = state in ("STARTING", "EXECUTE", "UNHOLDING", "HOLDING", "HELD")
            return () if fit else (_not_now(state, _NOTHING_TO_HOLD),)
        if state == "IDLE":
            return ()
        if state != "HELD":
            return (_not_now(state, _ARM_FIRST),)
        if action == "job.begin_on_trim":
            return (_not_now(state, _RESUME),)
        return () if self._desk.image["job.armed"] else (_not_now(state, _ARM_AGAIN),)

    def arm(self) -> None:
        """Be ready to begin, or to resume from a hold."""
        self._desk.image["job.armed"] = True
        if self.state in ("STOPPED", "COMPLETE"):
            self._desk.fire("job", "RESET")

    def begin(self, *, on_trim: bool) -> None:
        """Begin the job, or resume it."""
        self._desk.image["job.armed"] = False
        self.reason = NOTHING
        if self.state == "HELD":
            self._desk.fire("job", "UNHOLD")
            return
        self.cut = 0
        self.stroke = 0
        self._desk.image["job.trimming"] = on_trim
        self._desk.fire("cycle", "PARK")
        self._desk.fire("cycle", "BEGIN_TRIM" if on_trim else "BEGIN_PIECE")
        self._desk.fire("job", "START")

    def enough(self, cut: int) -> bool:
        """Return whether so many pieces are all that are wanted."""
        return cut >= self.wanted

    def more_strokes(self, stroke: int) -> bool:
        """Return whether a piece needs more strokes than so many."""
        return stroke < self.strokes

    def pursue(self) -> None:
        """Do what the job's state and step ask for, as far as it goes now."""
        while self.advance():
            pass

    def advance(self) -> bool:
        """Make one move; return whether something changed and more may follow."""
        state = self.state
        if state in ACTING:
            if state == "ABORTING":
                self._desk.fire("cycle", "PARK")
            return self._desk.fire("job", "STATE_COMPLETE")
        if state == "EXECUTE":
            return self._walk()
        if state == "HOLDING":
            return self._hold()
        if state == "STOPPING":
            return self._stop()
        return state == "COMPLETING" and self._complete()

    def _complete(self) -> bool:
        self._halt()  # the shuttle may be on its way back for a piece that is no longer wanted
        return not self._band_turns() and self._desk.fire("job", "STATE_COMPLETE")

    def _hold(self) -> bool:
        if self.cutting and self._cuts_on():
            return self._walk()
        if self.cutting and not self._lifted():
            return False
        self._halt()
        self._desk.image["job.armed"] = False
        return self._desk.fire("job", "STATE_COMPLETE")

    def _cuts_on(self) -> bool:
        """Whether a cut can be finished: the band runs, and no hand took the head out of it."""
        image = self._desk.image
        in_it = self.step != "LOWER_HEAD" or image["head"] in ("LOWERING", "DOWN")
        return image["band"] == "RUNNING" and in_it

    def _halt(self) -> None:
        """Stop what could carry the bar or cut it; a vise on its way is left to get there."""
        self._desk.fire("shuttle", "HALT")
        if self._desk.machines["head"].state == "LOWERING":
            self._desk.fire("head", "HALT")

    def _stop(self) -> bool:
        self._desk.fire("cycle", "PARK")
        self._halt()
        lifted = self._lifted()
        if not lifted or self._band_turns():
            return False
        return self._desk.fire("job", "STATE_COMPLETE")

    def _lifted(self) -> bool:
        """Take the head up out of the way; return whether there is nothing more to lift."""
        if self._desk.image["mode.head"] != "AUTO":
            return True
        head = self._desk.machines["head"].state
        if head not in ("UP", "LIFTING"):
            self._desk.ask("head.lift", When.AUTO)
        return self._desk.machines["head"].state == "UP"

    def _band_turns(self) -> bool:
        band = self._desk.machines["band"].state
        return self._desk.image["mode.band"] == "AUTO" and (
            band in ("STARTING", "RUNNING", "COASTING") or bool(self._desk.image["B1"])
        )

    def _walk(self) -> bool:
        step = self.step
        if step == "PARKED":
            return self._desk.fire("job", "COMPLETE")
        if step == "COUNT":
            return self._count()
        row = STEPS[step]
        image = self._desk.image
        if step == "LOWER_HEAD":
            if image["band"] != "RUNNING":  # resumed after a hold; it may still coast at speed
                return self._desk.fire("cycle", "BAND_STANDS")
            self._return_shuttle()
        before = image[row.station]
        if before == row.done or before == row.under_way:
            self.waits = ()
            return before == row.done and self._done(step)
        self.waits = self._desk.ask(row.action, When.AUTO).refusals
        return image[row.station] != before

    def _done(self, step: str) -> bool:
        if step == "GRIP_CUTTING_VISE":
            self.stroke += 1
            if self.more_strokes(self.stroke):
                return self._desk.fire("cycle", "STROKES_LEFT")
            self.stroke = 0
        return self._desk.fire("cycle", "NEXT")

    def _count(self) -> bool:
        trimming = self.trimming
        self._desk.image["job.trimming"] = False
        if not trimming:
            self.cut += 1
        self._on_piece(self.cut, trimming)
        if self.enough(self.cut):
            self._desk.fire("cycle", "LAST_PIECE")
        else:
            self._desk.fire("cycle", "PIECES_LEFT")
        return True

    def _return_shuttle(self) -> None:
        """Send the shuttle back for the next piece while the cut runs."""
        if self.state != "EXECUTE" or not self.cutting:
            return
        if not self.trimming and self.enough(self.cut + 1):
            return
        for step in RETURN_LANE:
            row = STEPS[step]
            if self._desk.image[row.station] not in (row.done, row.under_way):
                self._desk.ask(row.action, When.AUTO)
            if self._desk.image[row.station] != row.done:
                return


_IS: Final = row("job.not-now", "the job is {state}", state=part())
_ARM_WHEN: Final = plain("job.arm-when", "arm when the job is stopped, complete or held")
_NOTHING_TO_HOLD: Final = plain("job.nothing-to-hold", "there is nothing to hold")
_ARM_FIRST: Final = plain("job.arm-first", "arm the job first")
_RESUME: Final = plain("job.resume", "resume with begin on piece")
_ARM_AGAIN: Final = plain("job.arm-again", "arm the job again first")


def _not_now(state: str, remedy: Message) -> Refusal:
    return Refusal("", "job", _IS(state=state_word("job", state)), remedy)
