"""Why an action is not taken now: the rows against it, down to the devices, and what changed last.

A state of a machine is traced back through the reactions and the switches that bring it about, until
nothing but wires and selectors is left. Sentences and hazards are the interlock table's own.

Never here: the way out (see `freeing`).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from sim.control.actions import BY_NAME, STATIONS
from sim.control.interlocks import REACTIONS, Image, When, needs_of
from sim.control.nouns import MODE, state_word
from sim.control.table import TABLES
from sim.logic.bench.trace import Change, Trace
from sim.saw import Saw
from sim.signals import BY_TAG
from sim.units import US
from sim.words.fields import name, part, seconds
from sim.words.message import NOTHING, Message, plain, row

_NEVER: Final = row(
    "why-not.never-changed", "{tag} {now}; it has not changed since the session began.",
    tag=name(), now=part(),
)  # fmt: skip
_SINCE: Final = row(
    "why-not.changed", "{tag} {now}; it last changed at {at}.",
    tag=name(), now=part(), at=seconds(1),
)  # fmt: skip
_ON: Final = row("why-not.on", "is on (on means {meaning})", meaning=part())
_OFF: Final = row("why-not.off", "is off (on means {meaning})", meaning=part())
_SET: Final = plain("why-not.set", "is set")
_NOT_SET: Final = plain("why-not.not-set", "is not set")
_IN_MODE: Final = row("why-not.mode", "is {mode}", mode=MODE)
_IN_STATE: Final = row("why-not.state", "is {state}", state=part())


@dataclass(frozen=True, slots=True)
class Device:
    """A wire, selector or latch behind a refusal, and its last change."""

    tag: str
    now: Message  # what it shows, a clause
    changed: Change | None

    @property
    def sentence(self) -> Message:
        """What it shows and since when."""
        if self.changed is None:
            return _NEVER(tag=self.tag, now=self.now)
        return _SINCE(tag=self.tag, now=self.now, at=self.changed.time_us / US)


@dataclass(frozen=True, slots=True)
class Against:
    """One thing that stands against an action."""

    number: str  # of the interlock; empty for a rule of use
    sentence: Message
    remedy: Message
    hazard: Message  # what the interlock is there for; nothing for a rule of use
    devices: tuple[Device, ...]


def origin_of(image: Image, action: str) -> When:
    """Return who would ask for the action: the job at a station in AUTO, otherwise a key."""
    station = action.partition(".")[0]
    in_auto = station in STATIONS and image[f"mode.{station}"] == "AUTO"
    return When.AUTO if in_auto and not BY_NAME[action].any_mode else When.HAND


def why_not(saw: Saw, trace: Trace, action: str) -> tuple[Against, ...]:
    """Return what stands against an action of the table now; empty when it would be taken.

    Raises:
        KeyError: The table of actions does not have it.
    """
    controller = saw.controller
    image = controller.image
    origin = origin_of(image, BY_NAME[action].name)
    hazards = {
        (permissive.number, permissive.need.sentence): permissive.hazard
        for permissive in needs_of(action, origin)
    }
    return tuple(
        Against(
            refusal.interlock, refusal.sentence, refusal.remedy,
            hazards.get((refusal.interlock, refusal.sentence), NOTHING),
            tuple(
                Device(tag, _shows(image, tag), trace.last_change(tag))
                for tag in devices(image, refusal.device)
            ),
        )
        for refusal in controller.refusals(action, origin)
    )  # fmt: skip


def devices(image: Image, subject: str) -> tuple[str, ...]:
    """Return the wires, selectors and latches that have put a subject where it is."""
    if subject not in {table.name for table in TABLES}:
        return (subject,)
    return tuple(dict.fromkeys(_behind(image, subject, (subject,)))) or (subject,)


def _behind(image: Image, machine: str, seen: tuple[str, ...]) -> Iterator[str]:
    table = next(table for table in TABLES if table.name == machine)
    state = image[machine]
    led_here = {step.event for step in table.rows if step.to == state}
    for reaction in REACTIONS:
        subject = reaction.subject
        holds_still = image[subject] in reaction.becomes
        if not holds_still or not any(m == machine and e in led_here for m, e in reaction.fires):
            continue
        if subject in BY_TAG or "." in subject:
            yield subject
        elif subject not in seen:
            yield from _behind(image, subject, (*seen, subject))


def _shows(image: Image, tag: str) -> Message:
    value = image[tag]
    if tag in BY_TAG:
        return (_ON if value else _OFF)(meaning=BY_TAG[tag].text)
    if isinstance(value, bool):
        return _SET if value else _NOT_SET
    if tag.startswith("mode."):
        return _IN_MODE(mode=str(value))
    return _IN_STATE(state=state_word(tag, str(value)))
