"""Whether a name that somebody gave is known: keys, faults, steps of the lock-out, inspections, wires.

Each function returns the row of its table, or refuses the name and tells the nearest one.
"""

from collections.abc import Collection, Mapping
from difflib import get_close_matches
from typing import Final, TypeVar

from sim.errors import CommandError
from sim.faults.catalogue import EVERY
from sim.faults.fault import Fault
from sim.faults.spares import SPARES, Spare
from sim.scenario.nearest import nearest
from sim.scenario.scenario import Scenario
from sim.session import inspections, lockout
from sim.session.inspections import Inspection
from sim.session.morning import CLASSES
from sim.signals import BY_KEY, BY_TAG, MODE_SWITCH, Signal
from sim.trade.handling import WAYS
from sim.wiring.loom import Loom, tag_of
from sim.words.fields import name, number
from sim.words.message import Message, Row, row

_NO_KEY: Final = row("known.no-key", "there is no key called {name}", name=name())
_NO_WIRE: Final = row("known.no-signal", "there is no signal called {name}", name=name())
_NO_MODE: Final = row("known.no-mode", "there is no mode called {name}", name=name())
_NO_FAULT: Final = row("known.no-fault", "there is no fault called {name}", name=name())
_NO_STEP: Final = row(
    "known.no-lockout-step", "there is no lock-out step called {name}", name=name()
)
_NO_WAY: Final = row("known.no-handling", "no bar is loaded like this: {name}", name=name())
_NO_CLASS: Final = row("known.no-class", "no finding calls for {name}", name=name())
_NO_DEVICE: Final = row("known.no-device", "there is no device called {name}", name=name())
_NO_SPARE: Final = row("known.no-spare", "there is no spare called {name}", name=name())
_NO_TERMINAL: Final = row("known.no-terminal", "there is no terminal called {name}", name=name())
_NO_LOOK: Final = row("known.no-inspection", "there is no inspection called {name}", name=name())

_METER: Final = "meter "  # begins the name of a look at a wire
_MOST_ENDS: Final = 12  # that a refusal tells
_NO_SIGNAL: Final = row(
    "known.meter.no-signal",
    "{tag} is no signal at a card; the two probes of the meter go on its terminals",
    tag=name(),
)
_ENDS: Final = row("known.terminals", "the terminals of {tag} are {ends}", tag=name(), ends=name())
_ENDS_MANY: Final = row(
    "known.terminals.many", "the terminals of {tag} are {ends} and {more} more, which wiring {tag} lists",
    tag=name(), ends=name(), more=number(),
)  # fmt: skip

_MODES: Final = {BY_TAG[tag].key.partition(".")[2]: BY_TAG[tag].key for tag in MODE_SWITCH}

_Known = TypeVar("_Known")


def _found(table: Mapping[str, _Known], called: str, unknown: Row, where: str) -> _Known:
    if called not in table:
        raise _unknown(called, unknown, where, table)
    return table[called]


def _unknown(called: str, unknown: Row, where: str, names: Collection[str]) -> CommandError:
    return CommandError(unknown(name=repr(called)), where, nearest(called, names))


def key_called(key: str, where: str = "press") -> Signal:
    """Return the wire of a key or a latch.

    Raises:
        CommandError: There is no such key; the nearest is told.
    """
    return _found(BY_KEY, key, _NO_KEY, where)


def mode_key(mode: str) -> str:
    """Return the position of the mode switch for a mode; raises CommandError."""
    return _found(_MODES, mode.lower(), _NO_MODE, "turn")


def wire_called(tag: str) -> Signal:
    """Return a wire by its tag.

    Raises:
        CommandError: There is no such wire; the nearest is told.
    """
    return _found(BY_TAG, tag, _NO_WIRE, "force")


def fault_called(fault: str, where: str = "diagnose") -> Fault:
    """Return a fault of the catalogue.

    Raises:
        CommandError: There is no such fault; the nearest is told.
    """
    return _found(EVERY, fault, _NO_FAULT, where)


def class_called(word: str) -> Message:
    """Return what a finding calls for, by its word; raises CommandError."""
    return _found(CLASSES, word, _NO_CLASS, "report")


def may_look(scenario: Scenario, look: Inspection) -> bool:
    """Return whether a scenario allows an inspection; where a device is metered, probes go on every terminal."""
    allowed = scenario.inspections
    if allowed == "all" or look.base in allowed:
        return True
    return bool(look.terminals) and any(each.startswith(_METER) for each in allowed)


def nearest_look(scenario: Scenario, look: Inspection) -> Inspection | None:
    """Return the look that a scenario gives and that is most like one, of the same place where one is; None without any."""
    given = [each for each in inspections.INSPECTIONS.values() if may_look(scenario, each)]
    here = [each for each in given if each.place == look.place] or given
    names = get_close_matches(look.base, [each.name for each in here], n=1, cutoff=0.0)
    return inspections.INSPECTIONS[names[0]] if names else None


def check_terminals(loom: Loom, look: Inspection) -> None:
    """Refuse a look at a terminal that the saw does not have.

    Raises:
        CommandError: There is no such terminal; those of the device are told, or the nearest.
    """
    for end in look.terminals:
        if end not in loom.wires_at:
            tag = tag_of(end)
            if tag not in loom.by_tag:
                raise _unknown(end, _NO_TERMINAL, "inspect", loom.wires_at)
            raise CommandError(_NO_TERMINAL(name=repr(end)), "inspect", _ends_of(loom, tag))


def _ends_of(loom: Loom, tag: str) -> Message:
    ends = loom.joined(loom.by_tag[tag])
    some, more = ", ".join(ends[:_MOST_ENDS]), len(ends) - _MOST_ENDS
    return _ENDS_MANY(tag=tag, ends=some, more=more) if more > 0 else _ENDS(tag=tag, ends=some)


def spare_called(part: str, loom: Loom) -> Spare:
    """Return a part of a saw that can be exchanged for a spare.

    Raises:
        CommandError: There is none of that name; the nearest is told.
    """
    here = {each.name: each for each in SPARES.values() if each.tag in loom.by_tag}
    return _found(here, part, _NO_SPARE, "swap")


def lockout_step_called(step: str) -> lockout.EnergyStep:
    """Return a step of the lock-out.

    Raises:
        CommandError: There is no such step; the nearest is told.
    """
    return _found(lockout.BY_NAME, step, _NO_STEP, "lockout")


def handling_called(how: str) -> str:
    """Return a way to load a bar.

    Raises:
        CommandError: There is no such way; the nearest is told.
    """
    return _found({way: way for way in WAYS}, how, _NO_WAY, "load")


def inspection_called(look: str, loom: Loom) -> Inspection:
    """Return an inspection.

    Raises:
        CommandError: There is no such inspection; the nearest is told. Or a device is to be metered that the
            controller does not ask; its terminals are told.
    """
    found = inspections.find(look)
    tag = look.removeprefix(_METER).upper()
    if found is None and look.startswith(_METER) and tag in loom.by_tag:
        raise CommandError(_NO_SIGNAL(tag=tag), "inspect", _ends_of(loom, tag))
    if found is None and look.startswith(_METER):
        raise _unknown(tag, _NO_DEVICE, "inspect", (*loom.by_tag, *BY_TAG))
    if found is None:
        raise _unknown(look, _NO_LOOK, "inspect", inspections.INSPECTIONS)
    return found
