"""A machine: every size, time and limit of one saw, in shop units, and its wiring beside them.

It is a folder with both, or a file with the sizes alone. What a file leaves out is as on the saw that
ships first, whose own files are whole. The names of the
numbers, their units and their limits are those of `sim.plant.machine`.

Never here: a number of a machine.
"""

import os
import re
from dataclasses import fields
from decimal import Decimal
from functools import lru_cache
from itertools import pairwise
from json import dumps
from math import ceil, floor
from pathlib import Path
from shlex import quote
from typing import Annotated, Any, Final, Literal

from pydantic import BaseModel, Field, create_model

from sim.control.row_file import TEXT
from sim.errors import ScenarioError
from sim.plant.machine import ENTRIES, ORDERED, Machine, MachineEntry
from sim.plant.relay import motor_of
from sim.resources import FIRST_SAW, INTERLOCKS, MACHINES
from sim.scenario.file_text import octets
from sim.scenario.gate import load
from sim.scenario.library import (
    SIZES,
    WIRING,
    is_file_name,
    machine_called,
    machine_path,
)
from sim.scenario.located import Located, Place, where
from sim.scenario.machine_mistakes import DEVICES, is_of_machine, refuse_mistakes
from sim.scenario.reading import PLAIN, model_from, refuse
from sim.scenario.site_rows import InterlocksFile, site_rows_of
from sim.scenario.site_rows import written as rows_written
from sim.scenario.slips.expected import Expected
from sim.scenario.wirings import Devices, WiringFile, loom_of, written
from sim.trade.motor import rated_current_a
from sim.wiring.loom import Loom
from sim.wiring.site_rows import NO_CHANGE, SiteRows
from sim.words.fields import name
from sim.words.message import Message, plain, row

ROWS: Final = "interlocks"  # where a text tells all of a machine
_SINKS: Final = "head_sinks"  # told in a word
_HOOD: Final = "infeed_hood"  # told as true or false
_INDEX: Final = "index_deg"  # told as a list
_WORDS: Final = {ENTRIES[_SINKS].key: ("sinks", "holds")}
_RELAYS: Final = ("relay_low_a", "relay_high_a")
_WHOLE: Final = tuple(each.name for each in fields(Machine) if each.type is int)

_AT_THE_EDGE: Final = re.compile(r"^\ufeff?([A-Za-z_]\w*)[ ]*:", re.MULTILINE)
_OF_A_SCENARIO: Final = frozenset(("mode", "stock", "job"))
IS_MACHINE: Final = plain(
    "machine.no-scenario", "this is the file of a machine, in good order, and no scenario"
)
_IS_MACHINE_DO: Final = row(
    "machine.no-scenario.do", "take it with a scenario: drycycle check rail-posts --machine {file}",
    file=name(),
)  # fmt: skip
_IS_SCENARIO: Final = plain("machine.is-scenario", "this is the file of a scenario, and no machine")
_IS_SCENARIO_DO: Final = plain(
    "machine.is-scenario.do", "name it as the scenario, and the file of a machine after --machine"
)
_MISSING: Final = row("machine.missing", "the number {number} is missing", number=name())
_WHOLE_DO: Final = plain("machine.missing.do", "give it: every other machine leans on this file")
_ORDER: Final = row("machine.order", "{low} must be less than {high}", low=name(), high=name())
_ORDER_DO: Final = row(
    "machine.order.do", "{low} is {found}, {high} is {other}",
    low=name(), found=name(), high=name(), other=name(),
)  # fmt: skip
_NO_ZERO: Final = plain("machine.index", "the index angles must rise from 0")
_NO_ZERO_DO: Final = plain("machine.index.do", "begin with 0, and give each angle once")
_SWING: Final = row(
    "machine.swing",
    "the head swings to {high} degrees only, and an index angle is {angle} degrees",
    high=name(), angle=name(),
)  # fmt: skip
_SWING_DO: Final = plain(
    "machine.swing.do", "give swivel.index_deg up to swivel.mitre_high_deg, and no further"
)
_RELAY: Final = row(
    "machine.relay", "the motor takes {rated} A, and its overload relay is set from {low} to {high} A",
    rated=name(), low=name(), high=name(),
)  # fmt: skip
_RELAY_DO: Final = row(
    "machine.relay.do",
    "give motor.relay_low_a and motor.relay_high_a with {rated} between them, or another band.motor_kw",
    rated=name(),
)
_ELSEWHERE: Final = row("machine.elsewhere", "the devices stand in {file} beside it", file=name())
_ROWS_ELSEWHERE: Final = row(
    "machine.rows-elsewhere", "the interlock rows stand in {file} beside it", file=name()
)
_ELSEWHERE_DO: Final = plain("machine.elsewhere.do", "keep them in one of the two")
_LIKE_ITSELF: Final = row(
    "machine.like-itself", "{machine} is like itself in the end", machine=name()
)
_LIKE_DO: Final = plain(
    "machine.like-itself.do", "say which other machine it is like, or tell every device"
)
_TOP: Final = row(
    "machine.top", "the notches reach to {notches} mm, and the head only to {top} mm",
    notches=name(), top=name(),
)  # fmt: skip
_TOP_DO: Final = plain("machine.top.do", "give fewer notches, a smaller step, or a higher head")


def _field(attr: str, entry: MachineEntry) -> tuple[Any, Any]:
    """Return type and default of a number in a file."""
    if attr in _WHOLE:
        return Annotated[int, Field(ge=ceil(entry.low), le=floor(entry.high))] | None, None
    limits = Field(ge=entry.low, le=entry.high)
    if attr == _SINKS:
        return Literal[*_WORDS[entry.key]] | None, None
    if attr == _HOOD:
        return bool | None, None
    if attr == _INDEX:
        return Annotated[tuple[Annotated[float, limits], ...], Field(min_length=1)] | None, None
    return Annotated[float, limits] | None, None


def _section(section: str) -> type[BaseModel]:
    told: dict[str, Any] = {
        entry.key: _field(attr, entry)
        for attr, entry in ENTRIES.items()
        if entry.section == section
    }
    return create_model(section.capitalize(), __config__=PLAIN, **told)


_SECTIONS: Final = {
    name: _section(name) for name in dict.fromkeys(e.section for e in ENTRIES.values())
}
_TOLD: Final[dict[str, Any]] = {name: (model | None, None) for name, model in _SECTIONS.items()}
MachineFile: Final = create_model(
    "MachineFile",
    __config__=PLAIN,
    title=(Annotated[str, Field(min_length=1, max_length=80)], ...),
    devices=(Devices | None, None),
    interlocks=(InterlocksFile | None, None),
    **_TOLD,
)

_EXPECTED: Final = Expected(MachineFile, _WORDS)
_EXPECTED_WIRING: Final = Expected(WiringFile)
_EXPECTED_INTERLOCKS: Final = Expected(InterlocksFile)


def _given(told: BaseModel) -> dict[str, Any]:
    """Return the numbers that a file gives, by the fields of `Machine`, in SI."""
    out: dict[str, Any] = {}
    for attr, entry in ENTRIES.items():
        value = getattr(getattr(told, entry.section), entry.key, None)
        if value is None:
            continue
        if attr == _SINKS:
            out[attr] = value == "sinks"
        elif attr == _HOOD:
            out[attr] = value
        elif attr == _INDEX:
            out[attr] = tuple(value)
        else:
            out[attr] = value if attr in _WHOLE else value * entry.si
    return out


@lru_cache(maxsize=1)
def first_machine() -> Machine:
    """Return the saw that ships first, on which every other file leans."""
    path = machine_path(FIRST_SAW)
    return _read(path, None, {"loom": _wiring_beside(path, (FIRST_SAW,))})


@lru_cache
def shipped_machine(named: str) -> Machine:
    """Return a machine that ships.

    Raises:
        ScenarioError: There is none of that name, or its file is refused.
    """
    return read_machine(machine_path(named))


def read_machine(path: Path, content: bytes | None = None) -> Machine:
    """Return the machine that a file describes; `content` where the file need not be there any more.

    Raises:
        ScenarioError: The file is refused; `where` is `path:line:column`.
    """
    first = first_machine()
    loom = _wiring_beside(path) if content is None else None
    rows = _rows_beside(path) if content is None else NO_CHANGE
    otherwise = {attr: getattr(first, attr) for attr in ENTRIES}
    return _read(path, content, {**otherwise, "loom": loom or first.loom, "site_rows": rows})


@lru_cache(maxsize=32)
def recorded_machine(name: str, content: bytes) -> Machine:
    """Return the machine of a record, whose file need not be there any more.

    Raises:
        ScenarioError: What the record holds of it is refused.
    """
    return read_machine(Path(f"{name}.yaml"), content)


def wiring_path(path: Path) -> Path | None:
    """Return the file of the wiring beside the sizes of a machine; None where it has none of its own."""
    return _beside(path, WIRING)


def interlocks_path(path: Path) -> Path | None:
    """Return the file of the interlock rows beside the sizes; None where the rows are those that ship."""
    return _beside(path, INTERLOCKS)


def _beside(path: Path, called: str) -> Path | None:
    beside = path.with_name(called)
    return beside if path.name == SIZES and beside.is_file() else None


def _rows_beside(path: Path) -> SiteRows:
    """Return what the interlock rows of a machine have other than those that ship first."""
    file = interlocks_path(path)
    if file is None:
        return NO_CHANGE
    content = octets(file)
    if content == TEXT.encode():  # as every shipped saw's: not worth reading again
        return NO_CHANGE
    located = load(file, content, _EXPECTED_INTERLOCKS)
    return site_rows_of(located, model_from(located, InterlocksFile))


def _wiring_beside(path: Path, on_the_way: tuple[str, ...] = ()) -> Loom | None:
    """Return the wiring that stands beside the sizes of a machine; None where none does.

    Args:
        path: Of the sizes.
        on_the_way: The machines that are being read, since one is like the other.
    """
    file = wiring_path(path)
    if file is None:
        return None
    located, told = _told(file, file.stat().st_mtime_ns)
    called = machine_called(path)
    return loom_of(located, told.devices, _like(located, path, told.like, (*on_the_way, called)))


@lru_cache(maxsize=4)
def _told(file: Path, _time: int) -> tuple[Located, Any]:
    """Return what a file of wiring tells; the one that ships first is asked for with every machine."""
    located = load(file, None, _EXPECTED_WIRING)
    return located, model_from(located, WiringFile)


def _like(
    located: Located, path: Path, like: str | None, on_the_way: tuple[str, ...]
) -> Loom | None:
    """Return the wiring that another is like."""
    if like is None:
        return None
    if like in on_the_way and not (like == FIRST_SAW and path != machine_path(FIRST_SAW)):
        refuse(located, ("like",), _LIKE_ITSELF(machine=like), _LIKE_DO)
    shelf = path.parent.parent
    try:
        other = machine_path(like, shelf.parent if shelf.name == MACHINES else None)
    except ScenarioError as fault:
        refuse(located, ("like",), fault.what, fault.what_to_do)
    if other == path:  # a site's own harbour-saw is like the one that ships
        other = machine_path(like)
    return _wiring_beside(other, on_the_way) or first_machine().loom


def refuse_machine_file(path: Path, content: bytes, refused: ScenarioError) -> None:
    """Refuse a file that was taken for a scenario where it is one of a machine; else do nothing.

    Args:
        path: The file.
        content: What is in it.
        refused: What was said of it as a scenario.

    Raises:
        ScenarioError: What is wrong with it as a machine file, or that it is one.
    """
    names = set(_AT_THE_EDGE.findall(content.decode("utf-8", "replace")))
    if names & _OF_A_SCENARIO or not any(is_of_machine(key, ENTRIES.values()) for key in names):
        return
    read_machine(path, content)
    raise _is_machine(path) from refused


def refuse_machine(folder: Path) -> None:
    """Refuse the folder of a machine, which is no scenario.

    Raises:
        ScenarioError: What is wrong with it, or that it is a machine.
    """
    read_machine(folder / SIZES)
    raise _is_machine(folder)


def _is_machine(path: Path) -> ScenarioError:
    file = str(path) if is_file_name(str(path)) else f".{os.sep}{path}"
    return ScenarioError(IS_MACHINE, where(path), _IS_MACHINE_DO(file=quote(file)))


def machine_at(path: Path) -> Machine:
    """Return the machine that a file describes; it is read again only when it was written again.

    Raises:
        ScenarioError: The file is refused.
    """
    return _machine_at(path, _written_ns(path))


@lru_cache
def _machine_at(path: Path, _times: tuple[int, ...]) -> Machine:
    return read_machine(path)


def _written_ns(path: Path) -> tuple[int, ...]:
    """Return the times at which the files of a machine were written."""
    files = (path, wiring_path(path), interlocks_path(path))
    return tuple(each.stat().st_mtime_ns for each in files if each is not None)


def whole_file(path: Path) -> bytes:
    """Return the text of a machine file with every number in it, so that it leans on no other file.

    Raises:
        ScenarioError: The file is refused.
    """
    return _whole_file(path, _written_ns(path))


@lru_cache
def _whole_file(path: Path, _times: tuple[int, ...]) -> bytes:
    machine = machine_at(path)
    first: Any = load(machine_path(FIRST_SAW)).value
    own: Any = load(path).value
    lines = [f"title: {dumps(own['title'])}"]
    for section, numbers in first.items():
        if section in ("title", DEVICES, ROWS):
            continue
        told = {**numbers, **(own.get(section) or {})}
        lines += [f"{section}:", *(f"  {key}: {_written(value)}" for key, value in told.items())]
    return "\n".join(
        (*lines, *written(machine.loom), *rows_written(machine.site_rows), "")
    ).encode()


def _written(value: Any) -> str:
    """Return a value of a machine file as it is written there."""
    if isinstance(value, list | tuple):
        return f"[{', '.join(map(_written, value))}]"
    return f"{Decimal(repr(value)):f}" if isinstance(value, float) else str(value)


def _read(path: Path, content: bytes | None, otherwise: dict[str, Any]) -> Machine:
    located = load(path, content, _EXPECTED)
    if isinstance(located.value, dict) and _OF_A_SCENARIO & located.value.keys():
        raise ScenarioError(_IS_SCENARIO, where(path), _IS_SCENARIO_DO)
    refuse_mistakes(located, ENTRIES.values(), _WORDS, FIRST_SAW)
    told: Any = model_from(located, MachineFile)
    numbers = {**otherwise, **_given(told)}
    if told.devices is not None:
        beside = None if content is not None else wiring_path(path)
        if beside is not None:
            what = _ELSEWHERE(file=beside.name)
            refuse(located, (DEVICES,), what, _ELSEWHERE_DO, key=True)
        numbers["loom"] = loom_of(located, told.devices)
    if told.interlocks is not None:
        beside = None if content is not None else interlocks_path(path)
        if beside is not None:
            refuse(located, (ROWS,), _ROWS_ELSEWHERE(file=beside.name), _ELSEWHERE_DO, key=True)
        numbers["site_rows"] = site_rows_of(located, told.interlocks, (ROWS,))
    for attr, entry in ENTRIES.items():
        if attr not in numbers:
            refuse(located, (), _MISSING(number=_called(entry)), _WHOLE_DO)
    machine = Machine(name=machine_called(path), **numbers)
    _check(located, machine)
    return machine


def _check(located: Located, machine: Machine) -> None:
    """Hold the numbers to one another.

    Raises:
        ScenarioError: They do not make a saw that can be built.
    """
    for low, high in ORDERED:
        lower, higher = getattr(machine, low), getattr(machine, high)
        if not lower < higher:
            one, other = ENTRIES[low], ENTRIES[high]
            _refuse(
                located, (other, one), _ORDER(low=_called(one), high=_called(other)),
                _ORDER_DO(
                    low=_called(one), found=f"{lower / one.si:g}",
                    high=_called(other), other=f"{higher / other.si:g}",
                ),
            )  # fmt: skip
    rated_a = round(rated_current_a(motor_of(machine)), 1)
    if not machine.relay_low_a <= rated_a <= machine.relay_high_a:
        low, high = f"{machine.relay_low_a:g}", f"{machine.relay_high_a:g}"
        near = (*_RELAYS, "motor_w", "voltage_v", "power_factor", "motor_efficiency")
        _refuse(
            located, tuple(ENTRIES[key] for key in near),
            _RELAY(rated=f"{rated_a:g}", low=low, high=high), _RELAY_DO(rated=f"{rated_a:g}"),
        )  # fmt: skip
    angles = machine.index_deg
    if angles[0] != 0.0 or any(b <= a for a, b in pairwise(angles)):
        _refuse(located, (ENTRIES[_INDEX],), _NO_ZERO, _NO_ZERO_DO)
    if angles[-1] > machine.mitre_high_deg:
        told = _SWING(high=f"{machine.mitre_high_deg:g}", angle=f"{angles[-1]:g}")
        _refuse(located, (ENTRIES["mitre_high_deg"], ENTRIES[_INDEX]), told, _SWING_DO)
    reach_mm = machine.notches * machine.notch_step_m * 1e3
    if reach_mm > machine.head_top_m * 1e3:
        told = _TOP(notches=f"{reach_mm:g}", top=f"{machine.head_top_m * 1e3:g}")
        keys = ("notches", "notch_step_m", "head_top_m")
        _refuse(located, tuple(ENTRIES[key] for key in keys), told, _TOP_DO)


def _refuse(
    located: Located, entries: tuple[MachineEntry, ...], what: Message, to_do: Message
) -> None:
    """Refuse at the first of some numbers that the file itself gives."""
    places: tuple[Place, ...] = tuple((entry.section, entry.key) for entry in entries)
    there = next((place for place in places if place in located.values), ())
    refuse(located, there, what, to_do)


def _called(entry: MachineEntry) -> str:
    return f"{entry.section}.{entry.key}"
