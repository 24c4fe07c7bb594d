"""Why an action is not taken now: the rows against it, down to the devices, and what changed last.

A state of a machine is traced back through the reactions and the switches that bring it about, until
nothing but wires and selectors is left. Sentences and hazards are the interlock table's own.

Never here: the way out (see `freeing`).
"""

from collections.abc import Iterator
from dataclasses import dataclass

from sim.control.actions import BY_NAME, STATIONS
from sim.control.interlocks import REACTIONS, Image, When, needs_of
from sim.control.table import TABLES
from sim.logic.bench.trace import Change, Trace
from sim.saw import Saw
from sim.signals import BY_TAG
from sim.units import US


@dataclass(frozen=True, slots=True)
class Device:
    """A wire, selector or latch behind a refusal, and its last change."""

    tag: str
    now: str  # what it shows, a clause
    changed: Change | None

    @property
    def sentence(self) -> str:
        """What it shows and since when."""
        if self.changed is None:
            return f"{self.tag} {self.now}; it has not changed since the session began."
        return f"{self.tag} {self.now}; it last changed at {self.changed.time_us / US:.1f} s."


@dataclass(frozen=True, slots=True)
class Against:
    """One thing that stands against an action."""

    number: str  # of the interlock; empty for a rule of use
    sentence: str
    remedy: str
    hazard: str  # what the interlock is there for; empty for a rule of use
    devices: tuple[Device, ...]


def origin_of(image: Image, action: str) -> When:
    """Return who would ask: the job for a station in AUTO, otherwise a key."""
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
    hazards = {(row.number, row.need.sentence): row.hazard for row in needs_of(action, origin)}
    return tuple(
        Against(
            refusal.interlock, str(refusal.sentence), str(refusal.remedy),
            str(hazards.get((refusal.interlock, refusal.sentence), "")),
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
    led_here = {row.event for row in table.rows if row.to == state}
    for row in REACTIONS:
        holds_still = image[row.subject] in row.becomes
        if not holds_still or not any(m == machine and e in led_here for m, e in row.fires):
            continue
        if row.subject in BY_TAG or "." in row.subject:
            yield row.subject
        elif row.subject not in seen:
            yield from _behind(image, row.subject, (*seen, row.subject))


def _shows(image: Image, tag: str) -> str:
    if tag not in BY_TAG:
        value = image[tag]
        if isinstance(value, bool):
            return "is set" if value else "is not set"
        return f"is {value}" if tag.startswith("mode.") else f"is {value}".lower()
    return f"is {'on' if image[tag] else 'off'} (on means {BY_TAG[tag].text})"
