"""What anybody would report of a machine with its faults in: harm, a job that stands, odd pieces.

The machine is run as it was found, beside the same machine without the faults.

Runs the saw.
"""

from dataclasses import dataclass
from typing import Final

from sim.control.decision import Refusal
from sim.control.lamps import lit
from sim.pilot.autopilot import as_found
from sim.scenario.scenario import Scenario
from sim.session.opening import session_for
from sim.session.session import Session
from sim.words.fields import number, part, parts
from sim.words.message import NOTHING, Message, plain, row

_SLOW: Final = 1.25  # by the sound machine's time, from which anybody would say it takes long

LISTED: Final = row("check.listed", "{items}", items=parts(", "))
_STANDS: Final = row("check.shows.stands", "the job stands: {why}", why=part())
_IDLE: Final = plain("check.shows.idle", "the job does not start")
_STOPPED: Final = plain("check.shows.stopped", "the job stopped")
_LAMP: Final = row("check.shows.lamp", "the lamp {word} is lit", word=part())
_OFF_SIZE: Final = row(
    "check.shows.off-size", "{off} of {pieces} pieces off size", off=number(), pieces=number()
)
_TOO_FEW: Final = row(
    "check.shows.too-few", "{pieces} pieces cut where {counted} are counted",
    pieces=number(), counted=number(),
)  # fmt: skip
_TAKES_LONG: Final = row("check.shows.slow", "it takes {times} times as long", times=number(1))
_WAITS: Final = row("check.waits", "{waits}", waits=parts(" "))


@dataclass(frozen=True, slots=True)
class Symptom:
    """What shows, the gravest first; nothing where the machine runs as if it were sound."""

    harm: tuple[Message, ...] = ()  # titles
    waits: tuple[Refusal, ...] = ()  # what the job stands waiting for
    reason: Message = NOTHING  # of a job that was held or stopped
    state: str = ""  # of the job, where it did not come to its end
    oddities: tuple[Message, ...] = ()  # clauses, of a run that came to its end, harm or not

    @property
    def said(self) -> Message:
        """All of it as a clause; nothing where nothing shows."""
        if self.harm or self.oddities:
            return LISTED(items=self.harm or self.oddities)
        if self.waits:
            return _STANDS(why=_WAITS(waits=tuple(each.said for each in self.waits)))
        if self.reason:
            return _STANDS(why=self.reason)
        return _IDLE if self.never_began else _STOPPED if self.state else NOTHING

    @property
    def never_began(self) -> bool:
        """Whether the job did not start; every stop of one that did has a reason."""
        return self.state in ("IDLE", "STOPPED") and not self.reason


def symptom(scenario: Scenario) -> Symptom:
    """Return what anybody would report of a scenario's machine."""
    wanted = scenario.job.wanted
    session = session_for(scenario, nonce="")
    outcome = as_found(session, wanted)
    harm = _harm_since(session, 0)
    if harm and not outcome.finished:
        return Symptom(harm=harm)
    if not outcome.finished:
        controller = session.saw.controller
        job = controller.job
        return Symptom(waits=controller.waits_for(), reason=job.reason, state=job.state)
    sound = session_for(scenario.sound(), nonce="")
    as_found(sound, wanted)
    return Symptom(harm=harm, oddities=_oddities(session, sound))


def _oddities(session: Session, sound: Session) -> tuple[Message, ...]:
    """Return what anybody would see of a run that came to its end, besides harm."""
    pieces, off = session.tally.pieces, session.tally.pieces - session.tally.good
    lamps = [lamp.word for lamp in lit(session.saw.controller.image, session.saw.controller.rows)]
    usual = [lamp.word for lamp in lit(sound.saw.controller.image, sound.saw.controller.rows)]
    odd = [_LAMP(word=word) for word in lamps if word not in usual]
    if off:
        odd.append(_OFF_SIZE(off=off, pieces=pieces))
    if pieces < sound.tally.pieces:
        odd.append(_TOO_FEW(pieces=pieces, counted=sound.tally.pieces))
    if session.now_s > _SLOW * sound.now_s:
        odd.append(_TAKES_LONG(times=session.now_s / sound.now_s))
    return tuple(odd)


def waits(session: Session) -> Message:
    """Return what the job stands waiting for; nothing when it does not."""
    refusals = session.saw.controller.waits_for()
    return _WAITS(waits=tuple(each.said for each in refusals)) if refusals else NOTHING


def trouble(session: Session, since: int = 0) -> Message:
    """Return the titles of what came to harm since there were so many consequences, if anything."""
    titles = _harm_since(session, since)
    return LISTED(items=titles) if titles else NOTHING


def _harm_since(session: Session, since: int) -> tuple[Message, ...]:
    told = session.saw.consequences[since:]
    return tuple(dict.fromkeys(c.row.title for c in told))
