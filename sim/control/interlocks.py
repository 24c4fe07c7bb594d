"""The interlock table: what the controller refuses, and what it does by itself.

Rule 1: whatever the controller refuses or does by itself so that nobody and nothing comes to harm is
a row of this file, whole: number, title, rule, hazard, and how it is wired. Rule 2: this file does
not know who reads it. The controller, the coach, why-not, the handbook, the rungs and the proofs all
read these rows; there is no second copy of a number, a rule or a hazard.

Theory. The controller keeps an image, one flat mapping: every signal by its tag, every machine's
state by its name, every station's selector (`mode.band`), the latch (`latch.deviation`), and what
the controller and the job remember besides. All rows are look-ups in it. They work in two ways.

a) A permissive refuses. It says what an action needs when a key asks for it (HAND), when the job
   does (AUTO), or in any case. All of an action's permissives must hold; each that does not is
   one refusal, told in the order of this table. With `keeps`, the need must go on holding while a
   motion of the job lasts, or the motion is halted.
b) A reaction acts. When its subject becomes one of some values while everything `given` holds, it
   fires events at machines, which take them or not by the tables of `table`. What a machine has
   become may set off the next reaction. Two rows with the same subject act in the order of this
   table.

Neither energises anything: what a state drives is in `outputs`. An interlock without either is not
wired: it is a rule of work that is practised and checked (I12, I13).

Not here: rules of use, which stand with the code that knows them. A selector in the wrong position,
a missing hand and a machine that cannot take a command now are refused in `controller`, a key that
does not fit the job's own state in `job`. Prints cannot read those; the proofs run that code.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

from sim.control import needs
from sim.control.actions import BY_NAME, STATIONS
from sim.control.needs import Image, Need
from sim.control.nouns import THE
from sim.words.fields import part
from sim.words.message import NOTHING, Message, plain, row

__all__ = [
    "BY_NUMBER", "INTERLOCKS", "PERMISSIVES", "REACTIONS", "REACTIONS_TO",
    "Image", "Interlock", "InterlockRow", "Need", "Permissive", "Reaction", "When", "needs_of",
]  # fmt: skip


class When(StrEnum):
    """Who must be asking for the row to apply."""

    HAND = "HAND"
    AUTO = "AUTO"
    ANY = "ANY"


@dataclass(frozen=True, slots=True, eq=False)  # a row is itself, and hashes fast
class Permissive:
    """An action needs something."""

    action: str
    when: When
    need: Need
    keeps: bool = False  # must go on holding while the action lasts
    hazard: Message = NOTHING  # that of its interlock, unless it has its own
    number: str = ""  # of its interlock

    @property
    def name(self) -> str:
        """Its number, the action, and what that needs."""
        when = "" if self.when is When.ANY else f":{self.when}"
        return f"{self.number}:{self.action}:{self.need.subject}{when}"


@dataclass(frozen=True, slots=True, eq=False)
class Reaction:
    """When the subject becomes one of the values, and the others hold, fire the events."""

    subject: str
    becomes: tuple[object, ...]
    given: tuple[tuple[str, tuple[object, ...]], ...]
    fires: tuple[tuple[str, str], ...]  # (machine, event)
    reason: Message = NOTHING  # kept and shown as the reason for a hold or a stop
    number: str = ""  # of its interlock

    @property
    def name(self) -> str:
        """Its number, what it watches for, and what must hold meanwhile."""
        becomes = "|".join(str(value) for value in self.becomes)
        given = "".join(f":{subject}={values[0]}" for subject, values in self.given)
        return f"{self.number}:{self.subject}={becomes}{given}"


InterlockRow = Permissive | Reaction


@dataclass(frozen=True, slots=True, eq=False)
class Interlock:
    """One interlock, with everything that is so because of it."""

    number: str
    title: Message  # what it is about, in a few words
    rule: Message  # what it holds the machine or a person to, a clause
    hazard: Message  # what it is there against, a noun with what belongs to it
    permissives: tuple[Permissive, ...]
    reactions: tuple[Reaction, ...]

    @property
    def sentence(self) -> Message:
        """The rule as a full sentence."""
        return _SENTENCE(rule=self.rule)

    @property
    def wired(self) -> bool:
        """Whether the controller knows it at all."""
        return bool(self.permissives or self.reactions)


_SENTENCE: Final = row("interlock.rule", "{rule}.", rule=part(capital=True))

# How the rows below are written -----------------------------------------------------------


def _interlock(
    number: str,
    title: str,
    rule: str,
    hazard: str,
    permissives: Iterable[Permissive] = (),
    reactions: Iterable[Reaction] = (),
) -> Interlock:
    """Return an interlock whose rows have its number, and its hazard unless they have their own."""
    key = f"interlock.{number.lower()}"
    against = plain(f"{key}.hazard", hazard)
    return Interlock(
        number, plain(f"{key}.title", title), plain(f"{key}.rule", rule), against,
        tuple(replace(p, number=number, hazard=p.hazard or against) for p in permissives),
        tuple(replace(r, number=number) for r in reactions),
    )  # fmt: skip


def _any(
    actions: str | tuple[str, ...], *wanted: Need, hazard: Message = NOTHING
) -> Iterator[Permissive]:
    """Yield a row for each action and need, whoever asks."""
    for action in (actions,) if isinstance(actions, str) else actions:
        yield from (Permissive(action, When.ANY, need, hazard=hazard) for need in wanted)


def _auto(action: str, *wanted: Need, keeps: bool = False) -> Iterator[Permissive]:
    """Yield a row for each need of an action that the job asks for."""
    yield from (Permissive(action, When.AUTO, need, keeps) for need in wanted)


def _then(
    subject: str,
    becomes: object,
    fires: str | tuple[str, ...],
    reason: Message = NOTHING,
    **given: object,
) -> Reaction:
    """Return a reaction: events are written `machine EVENT`, and `__` is the point of a name."""
    events = (fires,) if isinstance(fires, str) else fires
    steps = tuple(
        (machine, event) for machine, _, event in (each.partition(" ") for each in events)
    )
    held = tuple((name.replace("__", "."), _values(value)) for name, value in given.items())
    return Reaction(subject, _values(becomes), held, steps, reason)


def _values(value: object) -> tuple[object, ...]:
    return value if isinstance(value, tuple) else (value,)


# The parts that rows share ----------------------------------------------------------------

_BEGINS: Final = ("job.begin_on_trim", "job.begin_on_piece")
_NEED_POWER: Final = (
    "band.start", "cutting_vise.grip", "cutting_vise.free", "shuttle_vise.grip",
    "shuttle_vise.free", "shuttle.to_stop", "shuttle.to_blade", "head.lift", "head.lower",
    "coolant.flow", "supply.reset", "job.arm", *_BEGINS,
)  # fmt: skip
_BAND_NEEDS: Final = (
    needs.GUARD, needs.COVER, needs.TENSION, needs.OVERLOAD, needs.BAND_FAULT, needs.DEVIATION,
    needs.DRIVE_STOP_RELEASED,
)  # fmt: skip

# The stations that a running job must have to itself; band and coolant may stay in HAND (I9, I7).
_OF_THE_JOB: Final = ("cutting_vise", "shuttle_vise", "shuttle", "head")
_TO_ITSELF: Final = tuple(needs.in_auto(station) for station in _OF_THE_JOB)

_MOVES: Final = ("STARTING", "RUNNING", "COASTING")  # states of the band
_RUNS: Final = ("STARTING", "EXECUTE", "UNHOLDING")  # states of the job
_UNDER_WAY: Final = (*_RUNS, "HOLDING", "HELD", "COMPLETING")
_ENDS: Final = ("COMPLETING", "HELD", "STOPPING")

_STOPPED: Final = plain("hazard.stopped", "a machine that starts while somebody has stopped it")
_CAUSE: Final = plain("hazard.cause", "a fault that is cleared while its cause is still there")
_TWO_MASTERS: Final = plain(
    "hazard.two-masters",
    "a station that the job and a hand move in turn, or that a selector starts",
)
_GUARD_OPENED: Final = plain("reason.band-guard", "the band guard was opened")
_COVER_OPENED: Final = plain("reason.wheel-cover", "the wheel cover was opened")
_SLACK: Final = plain("reason.tension", "the band lost its tension")
_TO_HAND: Final = row("reason.to-hand", "{station} was turned to HAND", station=part())

# The table --------------------------------------------------------------------------------

INTERLOCKS: Final[tuple[Interlock, ...]] = (
    _interlock(
        "I1", "control power, isolator and stops",
        rule="nothing is driven without control power; the head may sink, so keep clear",
        hazard="movement without control power",
        permissives=(
            *_any("supply.control_on", needs.ISOLATOR),
            *_any("supply.control_on", needs.STOP_RELEASED, hazard=_STOPPED),
            *_any(_NEED_POWER, needs.POWER),
        ),
        reactions=(
            _then("Q0", True, "supply ISOLATOR_ON"),
            _then("Q0", False, "supply ISOLATOR_OFF",
                  plain("reason.isolator", "the isolator was switched off")),
            _then("S1", False, "supply EMERGENCY_PRESSED",
                  plain("reason.emergency-stop", "the emergency stop was pressed")),
        ),
    ),
    _interlock(
        "I2", "reset, and nothing restarts by itself",
        rule="neither a reset nor a release ever starts anything",
        hazard="a band that is cleared to start while it still turns",
        permissives=(
            *_any("supply.reset", needs.STILL),
            *_any("supply.reset", needs.OVERLOAD, hazard=_CAUSE),
        ),
        reactions=(
            _then("S1", True, "supply EMERGENCY_RELEASED"),
            _then("supply", "ON", "job CLEAR"),
        ),
    ),
    _interlock(
        "I3", "what the band needs to run",
        rule="the band runs only closed in, tensioned and without a latched fault",
        hazard="hands at a moving band, or a slack band thrown off its wheels",
        permissives=_any(("band.start", *_BEGINS), *_BAND_NEEDS),
        reactions=(
            # What stops the band, besides its own stop key.
            _then("S2", False, "band TRIP",
                  plain("reason.drive-stop", "the drive stop was pressed"), supply="ON"),
            _then("B41", False, "band TRIP", _GUARD_OPENED, band=_MOVES),
            _then("B42", False, "band TRIP", _COVER_OPENED, band=_MOVES),
            _then("B51", False, "band TRIP", _SLACK, band=_MOVES),
            _then("F1", False, "band TRIP",
                  plain("reason.overload", "the overload relay tripped"), supply="ON"),
            _then("B1", False, "band TRIP",
                  plain("reason.standstill", "the band lost its speed"), band="RUNNING"),
            # A guard that is opened while the band stands must not start it when it is closed again.
            _then("B41", False, "job HOLD", _GUARD_OPENED, job=_RUNS),
            _then("B42", False, "job HOLD", _COVER_OPENED, job=_RUNS),
            _then("B51", False, "job HOLD", _SLACK, job=_RUNS),
            _then("band", "TRIPPED", "job STOP", F1=True),
        ),
    ),
    _interlock(
        "I4", "head up before bar comes to the blade",
        rule="in AUTO the shuttle moves the bar only with the head up",
        hazard="bar driven into the band",
        permissives=(
            *_auto("shuttle.to_blade", needs.HEAD_UP, keeps=True),
            *_any(_BEGINS, needs.HEAD_UP),
        ),
    ),
    _interlock(
        "I5", "one vise always holds the bar",
        rule="while the bar is carried exactly one vise holds it",
        hazard="bar held by no vise, or dragged through a closed one",
        permissives=(
            *_auto("shuttle.to_blade", needs.SHUTTLE_GRIPPED, needs.CUTTING_NOT_GRIPPED, keeps=True),
            *_auto("shuttle.to_stop", needs.SHUTTLE_NOT_GRIPPED, needs.CUTTING_GRIPPED, keeps=True),
            *_auto("shuttle_vise.free", needs.CUTTING_GRIPPED),
            *_auto("cutting_vise.free", needs.SHUTTLE_GRIPPED),
        ),
    ),
    _interlock(
        "I6", "bar gripped and band at speed before the cut",
        rule="in AUTO the head comes down only on gripped bar, with the band at speed",
        hazard="a band forced on to loose bar, or on to bar with the band stopped",
        permissives=_auto("head.lower", needs.CUTTING_GRIPPED, needs.AT_SPEED, keeps=True),
    ),
    _interlock(
        "I7", "coolant goes with the band",
        rule="in AUTO the coolant goes with the band",
        hazard="a dry cut, or coolant poured over a band that stands",
        reactions=(
            _then("B1", True, "coolant FLOW", mode__coolant="AUTO", supply="ON"),
            _then("B1", False, "coolant DRY", mode__coolant="AUTO"),
            _then("mode.coolant", "AUTO", "coolant FLOW", B1=True, supply="ON"),
            _then("mode.coolant", "AUTO", "coolant DRY", B1=False),
        ),
    ),
    _interlock(
        "I8", "the deviation stop",
        rule="a band that wanders for more than 20 s stops the saw",
        hazard="a band that runs off its wheels",
        reactions=(
            _then("latch.deviation", True, "band TRIP",
                  plain("reason.deviation",
                        "the band wandered beyond its range for more than 20 s")),
        ),
    ),
    _interlock(
        "I9", "the band stops with the job",
        rule="in AUTO the band stops with the job, in HAND it runs on",
        hazard="a band that is left running when nobody needs it",
        reactions=(
            _then("job", _ENDS, "band STOP", mode__band="AUTO"),
            _then("mode.band", "AUTO", "band STOP", job=_ENDS),
            _then("mode.band", "AUTO", "job HOLD",
                  plain("reason.band-to-auto", "the band was turned to AUTO"), job=_RUNS),
        ),
    ),
    _interlock(
        "I10", "what stops a cut under way",
        rule="a cut is left at once when the grip or the band's speed is lost",
        hazard="a cut that goes on through loose bar, or with a band that stalls",
        reactions=(
            _then("B33", False, "job STOP",
                  plain("reason.grip", "the cutting vise lost its grip in the cut"),
                  head="LOWERING", job=_UNDER_WAY),
            _then("B2", False, "job STOP",
                  plain("reason.speed", "the band fell below its speed in the cut"),
                  head="LOWERING", band="RUNNING", job=_UNDER_WAY),
        ),
    ),
    _interlock(
        "I11", "what a job needs, and what holds it",
        rule="the job holds when bar, air or oil runs out, or a station is taken out of AUTO",
        hazard="a job that runs on without bar, air or oil",
        permissives=(
            *_any(_BEGINS, needs.AIR, needs.OIL, needs.BAR),
            *_any(_BEGINS, *_TO_ITSELF, hazard=_TWO_MASTERS),
        ),
        reactions=(
            _then("band", "TRIPPED", "job HOLD", F1=False),
            _then("B61", False, "job HOLD", plain("reason.air", "the air pressure is low")),
            _then("B62", False, "job HOLD", plain("reason.oil", "the oil level is low")),
            _then("B53", False, "job HOLD", plain("reason.bar", "the end of the bar was reached")),
            *(_then(f"mode.{station}", "HAND", "job HOLD", _TO_HAND(station=THE[station]))
              for station in _OF_THE_JOB),
        ),
    ),
    _interlock(
        "I12", "the head is swung at rest",
        rule="swing for a mitre only with the band stopped and the head up",
        hazard="a running band swung about, or the head swung into the bar",
    ),
    _interlock(
        "I13", "the band speed is changed in motion",
        rule="change the band speed only while the band turns",
        hazard="pulley halves forced against a belt that does not move",
    ),
    _interlock(
        "I14", "nothing stays on without power",
        rule="without control power every output is off, and none comes back by itself",
        hazard="a motion that goes on, or comes back, when the power fails",
        # The reason shown is that of the isolator or the emergency stop (I1).
        reactions=(
            _then("supply", ("DEAD", "EMERGENCY"),
                  (*(f"{machine} POWER_LOST" for machine in STATIONS), "job ABORT")),
        ),
    ),
)  # fmt: skip

# The same rows by what is looked up -------------------------------------------------------

BY_NUMBER: Final = {lock.number: lock for lock in INTERLOCKS}
PERMISSIVES: Final = tuple(each for lock in INTERLOCKS for each in lock.permissives)
REACTIONS: Final = tuple(each for lock in INTERLOCKS for each in lock.reactions)


def needs_of(action: str, origin: When) -> tuple[Permissive, ...]:
    """Return the permissives that apply to the action when `origin` asks for it."""
    return _NEEDS[(action, origin)]


_NEEDS: Final = {
    (action, origin): tuple(
        each for each in PERMISSIVES if each.action == action and each.when in (origin, When.ANY)
    )
    for action in BY_NAME
    for origin in (When.HAND, When.AUTO)
}

REACTIONS_TO: Final[dict[str, tuple[Reaction, ...]]] = {
    subject: tuple(each for each in REACTIONS if each.subject == subject)
    for subject in dict.fromkeys(each.subject for each in REACTIONS)
}
