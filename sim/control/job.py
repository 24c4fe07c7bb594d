"""The job: its commands, its counters, and the walk through the steps of a piece.

What the job may do next follows from its state (table JOB) and its step (table CYCLE). `pursue` is
called whenever anything changed, asks the parts for what the step needs, and moves on when it is
done. A step whose command is refused waits, and says for what: that is how a saw stands still.

The count is kept through stops and loss of power. A piece that was begun and not finished is never
counted, and the bar's end must be squared before the next.
"""

from collections.abc import Callable
from typing import Any, Final, Protocol

from sim.control import needs
from sim.control.cycle import IN_THE_CUT, MOVING, RETURN_LANE, STEPS
from sim.control.decision import Decision, Refusal
from sim.control.interlock import FROM_JOB, When
from sim.control.machine import Runner
from sim.control.nouns import said_state
from sim.words.fields import part
from sim.words.message import NOTHING, Message, plain, row


class Desk(Protocol):
    """What the job needs of the controller."""

    image: dict[str, Any]
    machines: dict[str, Runner]

    def fire(self, machine: str, event: str) -> bool:
        """Make a step in a machine and let follow what follows."""

    def ask(self, action: str, origin: When) -> Decision:
        """Ask for an action."""

    def run_on(self) -> None:
        """Let the band run on for its minutes, and then stop it."""

    def forget_run_on(self) -> None:
        """Count no more run-on minutes: they are those of a job that is over."""


ACTING = ("STARTING", "UNHOLDING", "RESETTING", "CLEARING")
_RESTS: Final = ("STOPPED", "IDLE", "COMPLETE", "ABORTED")
_FED_FROM: Final = ("SHUTTLE_FORWARD", "CLAMP_CUTTING_VISE", "BAND_TO_SPEED", *IN_THE_CUT)


class Job:
    """Counters, and the walk through CYCLE."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self.wanted = 1
        self.cut = 0
        self.strokes = 1  # strokes a piece
        self.stroke = 0  # strokes made for the present piece
        self.run_on_min = 0  # minutes that the band runs on after the job
        desk.image["job.squaring"] = False  # the present cut squares the end
        desk.image["job.fed"] = False  # bar has been fed for the present piece
        desk.image["job.owes"] = False  # the end must be squared before the next piece
        desk.image["job.run_on"] = False  # the band runs on after the job
        self.reason: Message = NOTHING  # of the last hold or stop
        self.waits: tuple[Refusal, ...] = ()
        self._on_piece: Callable[[int, bool], None] = lambda _cut, _square: None

    def on_piece(self, listener: Callable[[int, bool], None]) -> None:
        """Have `listener(count, squaring)` called when a cut has been counted."""
        self._on_piece = listener

    @property
    def state(self) -> str:
        """The job's state."""
        state: str = self._desk.image["job"]
        return state

    @property
    def step(self) -> str:
        """The step of the piece."""
        step: str = self._desk.image["cycle"]
        return step

    @property
    def squaring(self) -> bool:
        """Whether the present cut squares the bar's end, and is not counted."""
        return bool(self._desk.image["job.squaring"])

    @property
    def cutting(self) -> bool:
        """Whether the head has left its upper limit for the present cut."""
        if self.step == "LOWER_HEAD":
            return not self._desk.image["B11"]
        return self.step in IN_THE_CUT

    # Commands -----------------------------------------------------------------------------

    def refusals(self, action: str) -> tuple[Refusal, ...]:
        """Return what in the job's own state stands against a job key."""
        state = self.state
        fits = TAKEN_IN[action]
        if state not in fits:
            return (_not_now(state, _SAID[action]),)
        if action == "job.new" and not needs.POWER.holds(self._desk.image):
            return (_NO_POWER,)  # a rule of use: a count is nothing that an interlock keeps
        if action == "job.straight" and self._desk.image["job.owes"]:
            return (_OWES_SQUARE,)
        begins = action == "job.start" or (action == "job.unhold" and self.step == "PARKED")
        if begins and self.enough(self.cut):
            return (_COUNT_FULL,)
        return ()

    def command(self, action: str) -> None:
        """Do what a job key asks for, once nothing stands against it."""
        if action == "job.new":
            self.cut = 0
        elif action == "job.reset":
            if self.state == "COMPLETE":
                self.cut = 0
            self._desk.fire("job", "RESET")
        elif action == "job.start":
            self._begin("START")
        elif action == "job.unhold":
            self._begin("UNHOLD")
        elif action == "job.complete":
            if self.step not in (*IN_THE_CUT, "PARKED") and not self._desk.image["job.fed"]:
                self._desk.fire("shuttle", "HALT")
                self._desk.fire("cycle", "SECURE")
            self._desk.fire("job", "COMPLETE")
        else:
            self._desk.fire("job", action.removeprefix("job.").upper())

    def _begin(self, event: str) -> None:
        self.reason = NOTHING
        image = self._desk.image
        self._desk.forget_run_on()
        if self.step == "PARKED":
            self.stroke = 0
            image["job.fed"] = False
            # A straight beginning is not taken while the end is owed; nor is one that was.
            image["job.squaring"] = image["first"] == "SQUARE" or bool(image["job.owes"])
            self._desk.fire("cycle", "BEGIN_SQUARE" if image["job.squaring"] else "BEGIN_PIECE")
        self._desk.fire("job", event)

    def break_off(self, to: str) -> None:
        """Leave the piece that was begun, by the event PARK or WITHDRAW; it is not counted."""
        image = self._desk.image
        if image["job.fed"] or image["job.squaring"] or self.cutting:
            image["job.owes"] = True
            self._desk.fire("first", "CHOOSE_SQUARE")
        image["job.squaring"] = image["job.fed"] = False
        self.stroke = 0
        self._desk.fire("cycle", to)

    def set_run_on(self, minutes: int) -> None:
        """Set how long the band runs on after the job, minutes."""
        self.run_on_min = minutes
        self._desk.image["job.run_on"] = minutes > 0

    def enough(self, cut: int) -> bool:
        """Return whether so many pieces are all that are wanted."""
        return cut >= self.wanted

    @property
    def to_come(self) -> int:
        """Pieces that are still to come before the count is full; a start from a standing count makes these only."""
        return max(self.wanted - self.cut, 0)

    def more_strokes(self, stroke: int) -> bool:
        """Return whether a piece needs more strokes than so many."""
        return stroke < self.strokes

    # The walk -----------------------------------------------------------------------------

    def pursue(self) -> None:
        """Do what the job's state and step ask for, as far as it goes now."""
        image = self._desk.image
        while self._walk() if image["job"] == "EXECUTE" else self.advance():
            pass

    def advance(self) -> bool:
        """Make one move; return whether something changed and more may follow."""
        state = self._desk.image["job"]
        if state == "EXECUTE":
            return self._walk()
        if state in ACTING:
            return self._desk.fire("job", "STATE_COMPLETE")
        if state == "ABORTING":
            self._halt_all()
            self.break_off("PARK")
            return self._desk.fire("job", "STATE_COMPLETE")
        if state == "HOLDING":
            return self._hold()
        if state == "HELD":
            return self._mind_the_bar()
        if state == "STOPPING":
            return self._stop()
        return state == "COMPLETING" and self._complete()

    def _complete(self) -> bool:
        if self.step != "PARKED":
            return self._walk()
        self._halt()  # the shuttle may be on its way back for a piece that is no longer wanted
        if self._desk.image["watch.run_on"]:
            return self._desk.fire("job", "STATE_COMPLETE")
        return not self._band_turns() and self._desk.fire("job", "STATE_COMPLETE")

    def _hold(self) -> bool:
        if self.cutting:
            if self.step == "RAISE_HEAD" and self._airless:
                self._halt_all()
                return self._desk.fire("job", "STATE_COMPLETE")
            if self._cuts_on():
                return self._walk()
            self._halt()
            self.break_off("PARK")
            return True
        self._halt_head()
        if self._moves():
            return False
        return self._desk.fire("job", "STATE_COMPLETE")

    @property
    def _airless(self) -> bool:
        """Whether no air carries the head, so that it would set off when the air comes back."""
        return not needs.AIR.holds(self._desk.image)

    def _cuts_on(self) -> bool:
        """Whether a cut can be finished: the band runs, and the head is on its way."""
        image = self._desk.image
        in_it = self.step != "LOWER_HEAD" or image["head"] in ("LOWERING", "DOWN")
        return image["band"] == "RUNNING" and in_it

    def _moves(self) -> bool:
        """Whether a stroke or a clamping is under way."""
        return any(
            self._desk.image[each] in MOVING[each]
            for each in ("cutting_vise", "shuttle_vise", "shuttle", "head")
        )

    def _mind_the_bar(self) -> bool:
        """Begin the piece anew when a hand has moved shuttle or vises in a hold."""
        moved = any(
            self._desk.image[each] in MOVING[each]
            for each in ("cutting_vise", "shuttle_vise", "shuttle")
        )
        if not moved or self.step == "PARKED":
            return False
        self._desk.image["job.fed"] = True  # wherever the bar lies now, its end is not square to it
        self.break_off("PARK")
        return False

    def _halt(self) -> None:
        """Stop what could carry the bar or cut it; a vise on its way is left to get there."""
        self._desk.fire("shuttle", "HALT")
        self._halt_head()

    def _halt_all(self) -> None:
        """Stop whatever is on its way."""
        for each in MOVING:
            self._desk.fire(each, "HALT")

    def _halt_head(self) -> None:
        if self._desk.machines["head"].state == "LOWERING":
            self._desk.fire("head", "HALT")

    def _stop(self) -> bool:
        image = self._desk.image
        self._halt()  # a stop leaves nothing on its way, where no piece is under way either
        for vise in ("cutting_vise", "shuttle_vise"):
            self._desk.fire(vise, "HALT")
        if self.step not in ("PARKED", "WITHDRAW"):
            self.break_off("WITHDRAW" if image["mode"] == "PRODUCTION" else "PARK")
            return True
        if self.step == "WITHDRAW":
            if image["mode"] != "PRODUCTION" or self._airless:
                return self._desk.fire("cycle", "PARK")
            return self._walk()
        return not self._band_turns() and self._desk.fire("job", "STATE_COMPLETE")

    def _band_turns(self) -> bool:
        band = self._desk.machines["band"].state
        return band in ("STARTING", "RUNNING", "COASTING") or bool(self._desk.image["B1"])

    def _walk(self) -> bool:
        image = self._desk.image
        step: str = image["cycle"]
        row = STEPS.get(step)
        if row is None:
            return self._count() if step == "COUNT" else self._desk.fire("job", "COMPLETE")
        if step == "LOWER_HEAD":
            if image["band"] != "RUNNING":  # after a hold; it may still coast at speed
                return self._desk.fire("cycle", "BAND_STANDS")
            self._return_shuttle()
        elif step == "SHUTTLE_FORWARD":
            image["job.fed"] = True
        before = image[row.part]
        if before == row.done:
            self.waits = ()
            return self._done(step)
        if before == row.under_way:
            self.waits = ()
            return False
        self.waits = self._desk.ask(row.action, FROM_JOB).refusals
        begun: bool = image[row.part] != before
        return begun

    def _done(self, step: str) -> bool:
        if step == "CLAMP_CUTTING_VISE":
            self.stroke += 1
            if self.more_strokes(self.stroke):
                return self._desk.fire("cycle", "STROKES_LEFT")
            self.stroke = 0
        if step == "SECURE_SHUTTLE_VISE":
            return self._end("NEXT")
        return self._desk.fire("cycle", "PARK" if step == "WITHDRAW" else "NEXT")

    def _end(self, event: str) -> bool:
        self._desk.image["job.squaring"] = False  # where both vises only clamped, nothing was cut
        if self._desk.image["job.run_on"]:
            self._desk.run_on()
        return self._desk.fire("cycle", event)

    def _count(self) -> bool:
        image = self._desk.image
        squaring = self.squaring
        image["job.squaring"] = image["job.fed"] = False
        if squaring:
            image["job.owes"] = False
        else:
            self.cut += 1
        self._on_piece(self.cut, squaring)
        if self.state == "COMPLETING" or self.enough(self.cut):
            return self._end("LAST_PIECE")
        return self._desk.fire("cycle", "PIECES_LEFT")

    def _return_shuttle(self) -> None:
        """Send the shuttle back for the next piece while the head goes through the bar."""
        image = self._desk.image
        if image["job"] != "EXECUTE" or image["B11"]:
            return  # it is being completed, or the head has not left its upper limit
        if not image["job.squaring"] and self.enough(self.cut + 1):
            return
        for step in RETURN_LANE:
            row = STEPS[step]
            if image[row.part] not in (row.done, row.under_way):
                self._desk.ask(row.action, FROM_JOB)
            if image[row.part] != row.done:
                return


_IS: Final = row("job.not-now", "the job is {state}", state=part())

# In which states of the job a key is taken, and what is said in the others.
TAKEN_IN: Final = {
    "job.reset": ("STOPPED", "COMPLETE"),
    "job.start": ("IDLE",),
    "job.hold": ("STARTING", "EXECUTE", "UNHOLDING", "HOLDING", "HELD"),
    "job.unhold": ("HELD",),
    "job.complete": ("EXECUTE", "COMPLETING"),
    "job.stop": (
        "IDLE", "STARTING", "EXECUTE", "HOLDING", "HELD", "UNHOLDING", "COMPLETING", "COMPLETE",
        "STOPPING", "STOPPED",
    ),
    "job.clear": ("ABORTED",),
    "job.new": _RESTS,
    "job.square": (*_RESTS, "HELD"),
    "job.straight": (*_RESTS, "HELD"),
}  # fmt: skip
_SAID: Final = {
    action: plain(f"{action}.when", text)
    for action, text in {
        "job.reset": "reset is taken when the job is stopped or complete; clear an aborted one first",
        "job.start": "start is taken when the job is idle: press reset, and clear before it if the job is aborted",
        "job.hold": "only a running job can be held",
        "job.unhold": "unhold is taken when the job is held",
        "job.complete": "only a running job can be completed; go on from a hold first",
        "job.stop": "the job is broken off already; clear it, then reset",
        "job.clear": "only an aborted job is cleared",
        "job.new": "stop or finish the present job first",
        "job.square": "choose how to begin before the job runs",
        "job.straight": "choose how to begin before the job runs",
    }.items()
}
_OWES_SQUARE: Final = Refusal(
    "", "first",
    plain("job.owes.refused", "the last piece was broken off, and the bar's end is not square"),
    plain("job.owes.remedy", "begin by squaring the end"),
    of_device=False,
)  # fmt: skip
_NO_POWER: Final = Refusal(
    "", needs.POWER.subject, needs.POWER.fact, needs.POWER.to_do, of_device=False
)
_COUNT_FULL: Final = Refusal(
    "", "job",
    plain("job.count-full.refused", "the count has reached the pieces wanted"),
    plain("job.count-full.remedy", "press new job, or set more pieces wanted"),
    of_device=False,
)  # fmt: skip


def _not_now(state: str, remedy: Message) -> Refusal:
    return Refusal("", "job", _IS(state=said_state("job", state)), remedy)
