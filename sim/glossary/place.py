"""Where a thing of the saw is, in shop words: at which part a key or a device sits, and where hands go for a set point.

Never here: what it is (see `derived`), and on which sheet a window shows it.
"""

from typing import Final

from sim.control import dials
from sim.logic.bench.wiring_prints import place_said
from sim.plant import set_points
from sim.plant.machine import Machine
from sim.plant.set_points import SetPoint
from sim.session.hands.cautions import in_short
from sim.session.hands.table import Reach, to_look, to_set
from sim.session.hands.zones import WHERE
from sim.session.inspections import INSPECTIONS
from sim.signals import BY_KEY
from sim.words.fields import name, part, seconds
from sim.words.message import NOTHING, Message, row, sentences

_AT: Final = row(
    "where.at", "{typed} is device {tag}; place: {place}.", typed=name(), tag=name(), place=part()
)
_DEVICE: Final = row("where.device", "{tag}; place: {place}.", tag=name(), place=part())
_ON_STRIP: Final = row("where.console", "{typed} is set on the console.", typed=name())
_HANDS: Final = row(
    "where.hands", "{typed}: {title}. It is done {where}, in {time}.",
    typed=name(), title=part(), where=part(), time=seconds(),
)  # fmt: skip
_FIRST: Final = row("where.first", "Before hands go in: {first}.", first=part())


def names(machine: Machine) -> tuple[str, ...]:
    """Return every name that `place` knows on a machine."""
    return (*BY_KEY, *set_points.BY_NAME, *dials.BY_NAME, *INSPECTIONS, *machine.loom.by_tag)


def place(typed: str, machine: Machine) -> Message:
    """Return where a key, a set point, a look or a device is; nothing for a name of none."""
    loom = machine.loom
    if typed in BY_KEY and BY_KEY[typed].tag in loom.by_tag:
        tag = BY_KEY[typed].tag
        return _AT(typed=typed, tag=tag, place=place_said(loom.by_tag[tag].place))
    if typed in dials.BY_NAME:
        return _ON_STRIP(typed=typed)
    if typed in set_points.BY_NAME:
        point: SetPoint = set_points.BY_NAME[typed]
        return _reached(typed, point.title, to_set(typed))
    if typed in INSPECTIONS:
        look = INSPECTIONS[typed]
        return _reached(typed, look.title, to_look(look))
    if typed in loom.by_tag:
        return _DEVICE(tag=typed, place=place_said(loom.by_tag[typed].place))
    return NOTHING


def _reached(typed: str, title: Message, reach: Reach) -> Message:
    said = _HANDS(typed=typed, title=title, where=WHERE[reach.zone], time=reach.seconds)
    first = in_short(reach)
    return sentences(said, _FIRST(first=first) if first else NOTHING)
