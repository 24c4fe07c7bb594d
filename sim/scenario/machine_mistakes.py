"""What is refused in a machine file before its numbers are read: a value left empty, a name out of place.

Never here: the limits of a number (see `sim.plant.machine`), and what two numbers are to each other.
"""

from collections.abc import Iterable, Mapping
from difflib import get_close_matches
from typing import Final

from sim.plant.machine import MachineEntry
from sim.scenario.located import Located
from sim.scenario.nearest import NEAREST
from sim.scenario.reading import refuse
from sim.scenario.scalars import shown
from sim.scenario.slips.expected import AT_THE_EDGE
from sim.scenario.slips.typed_number import unit_of
from sim.words.fields import name, parts
from sim.words.message import Message, named, plain, row

_TITLE: Final = "title"
DEVICES: Final = "devices"
_EMPTY: Final = plain("machine.empty", "nothing is given here")
_EMPTY_DO: Final = row(
    "machine.empty.do",
    "give a value, or leave the name out: then it is as on {first}",
    first=name(),
)
_WORDS_DO: Final = row(
    "machine.empty.words",
    "write one of {words}, or leave the name out: then it is as on {first}",
    words=name(), first=name(),
)  # fmt: skip
_BARE: Final = row("machine.bare", "there is no name {name} here", name=name())
_UNDER: Final = row(
    "machine.bare.do", "{name} stands in the section {section}", name=name(), section=parts(" or ")
)


def refuse_mistakes(
    located: Located,
    entries: Iterable[MachineEntry],
    words: Mapping[str, tuple[str, ...]],
    first: str,
) -> None:
    """Refuse the first empty value, or a number that stands in no section.

    Args:
        located: The file.
        entries: The numbers that it may tell.
        words: Of each that is told in words, those.
        first: The machine that it leans on.

    Raises:
        ScenarioError: There is one; `where` is `path:line:column`.
    """
    if not isinstance(located.value, dict):
        return
    told = list(entries)
    for section, numbers in located.value.items():
        if section in (_TITLE, DEVICES):
            continue
        for key, value in numbers.items() if isinstance(numbers, dict) else ():
            if value is None and any(entry.section == key for entry in told):
                refuse(located, (section, key), _BARE(name=shown(key)), AT_THE_EDGE, key=True)
            if value is None and ":" not in key:  # a value in the name is told as that, later
                given = words.get(key, ())
                advice = _WORDS_DO(words=", ".join(given), first=first) if given else None
                refuse(located, (section, key), _EMPTY, advice or _EMPTY_DO(first=first))
        if numbers is None and any(entry.section == section for entry in told):
            refuse(located, (section,), _EMPTY, _EMPTY_DO(first=first))
        advice = _advice(section, told)
        if advice is not None:
            refuse(located, (section,), _BARE(name=shown(section)), advice, key=True)


def is_of_machine(given: str, entries: Iterable[MachineEntry]) -> bool:
    """Return whether a name at the top of a file is a section of a machine file, or like a number of one."""
    told = list(entries)
    return any(entry.section == given for entry in told) or _advice(given, told) is not None


def _advice(given: str, entries: list[MachineEntry]) -> Message | None:
    """Return where a number belongs that was given without a section; None for no number's name."""
    if any(entry.section == given for entry in entries):
        return None
    called = [entry for entry in entries if entry.key == given]
    if called:
        return _UNDER(name=given, section=tuple(named(entry.section) for entry in called))
    unit = unit_of(given)
    if not unit:
        return None
    alike = {
        f"{entry.section}_{entry.key}": f"{entry.section}.{entry.key}"
        for entry in entries
        if unit_of(entry.key) == unit
    }
    near = get_close_matches(given, alike, n=1)
    return NEAREST(name=alike[near[0]]) if near else None
