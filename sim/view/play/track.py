"""The job as a track: where it came from, where it is, and what may come next, in words.

Read from the job's own table; nothing here decides what may come.
"""

from collections.abc import Iterator
from typing import Final

from sim.control.job import ACTING
from sim.control.nouns import state_word
from sim.control.table import CYCLE, JOB
from sim.saw import Saw
from sim.view.play.console_rows import CAPS
from sim.words.fields import part, parts
from sim.words.message import NOTHING, Message, plain, row

_CAME: Final = row("console.track.came", "from {state}", state=part())
_BEGAN: Final = plain("console.track.began", "from the start of the day")
_STATE: Final = row("console.track.state", "{state}", state=part())
_AT_STEP: Final = row("console.track.step", "{state}: {step}", state=part(), step=part())
_BECAUSE: Final = row("console.track.because", "{state}: {reason}", state=part(), reason=part())
_WAITS: Final = row("console.track.waits", "{state} waits: {fact}", state=part(), fact=part())
_NEXT: Final = row("console.track.next", "next: {ways}", ways=parts(", "))
_BY_KEY: Final = row("console.track.by-key", "{cap} leads to {state}", cap=part(), state=part())
_BY_ITSELF: Final = row("console.track.by-itself", "{state} by itself", state=part())
# What a key does whose own word is also the word for where it leads.
_DOES: Final = {
    "START": plain("console.track.start", "start begins the job"),
    "HOLD": plain("console.track.hold", "hold pauses it after this step"),
    "UNHOLD": plain("console.track.unhold", "unhold lets it go on"),
    "COMPLETE": plain("console.track.complete", "complete ends it after the piece under way"),
}
_BREAKS_OFF: Final = plain("console.track.stop", "stop breaks it off at once")
_WAY: Final = row("console.track.way", "{way}", way=part())

# Where the states in which the job only passes through come to rest.
_PASSES: Final = {
    step.state: step.to
    for step in JOB.rows
    if step.event == "STATE_COMPLETE" and (step.state in ACTING or step.state.endswith("ING"))
}
_UNDER_WAY: Final = ("STARTING", "EXECUTE", "HOLDING", "HELD", "UNHOLDING", "COMPLETING")
_TOLD_WHY: Final = ("HOLDING", "HELD", "STOPPING", "STOPPED", "ABORTING", "ABORTED")


class Track:
    """The track of one saw's job."""

    def __init__(self, saw: Saw) -> None:
        self._saw = saw
        self._states = [str(saw.controller.image["job"])]
        saw.controller.on_change(self._note)

    def _note(self, subject: str, value: object) -> None:
        if subject == "job":
            self._states = [*self._states[-1:], str(value)]

    @property
    def face(self) -> tuple[object, ...]:
        """What the three sentences hang on."""
        image = self._saw.controller.image
        job = self._saw.controller.job
        return (*self._states, image["cycle"], job.reason, job.waits[:1])

    @property
    def came(self) -> Message:
        """Where the job came from."""
        if len(self._states) < 2:
            return _BEGAN
        return _CAME(state=state_word("job", self._states[0]))

    @property
    def here(self) -> Message:
        """Where the job is: its state, with what it waits for, its step, or the reason for standing."""
        job = self._saw.controller.job
        state = state_word("job", job.state)
        if job.state in _TOLD_WHY and job.reason is not NOTHING:
            return _BECAUSE(state=state, reason=job.reason)
        if job.waits and job.state in ("EXECUTE", "COMPLETING"):
            return _WAITS(state=state, fact=job.waits[0].fact)
        if job.step != "PARKED":
            return _AT_STEP(state=state, step=state_word("cycle", job.step))
        return _STATE(state=state)

    @property
    def next(self) -> Message:
        """What may come next, by itself and by which key."""
        return _NEXT(ways=tuple(_WAY(way=way) for way in self._ways()))

    def _ways(self) -> Iterator[Message]:
        job = self._saw.controller.job
        step = next(
            (row.to for row in CYCLE.rows if row.state == job.step and row.event == "NEXT"), ""
        )
        if step and job.state in ("EXECUTE", "COMPLETING"):
            yield _BY_ITSELF(state=state_word("cycle", step))
        for each in JOB.rows:
            if each.state != job.state:
                continue
            cap = CAPS.get(f"job.{each.event.lower()}")
            to = state_word("job", _PASSES.get(each.to, each.to))
            if each.event in _DOES:
                yield _DOES[each.event]
            elif each.event == "STOP" and job.state in _UNDER_WAY:
                yield _BREAKS_OFF
            elif cap is not None:
                yield _BY_KEY(cap=cap.words, state=to)
            elif each.event == "STATE_COMPLETE":
                yield _BY_ITSELF(state=to)
