"""Which scenarios are meant by names, files and folders, and which of them cannot be read.

Never here: the check itself.
"""

from collections.abc import Sequence
from pathlib import Path
from typing import Final

from sim.errors import ScenarioError
from sim.resources import MACHINES
from sim.scenario import library
from sim.scenario.located import where
from sim.scenario.machines import IS_MACHINE, read_machine, refuse_machine
from sim.session.opening import read
from sim.shift.reading import shift_file
from sim.words.message import plain

_NONE_HERE: Final = plain("check.no-files", "there is no scenario file in the folder")
_ENDINGS: Final = plain("check.no-files.do", "name a folder with .yaml files")


def sorted_out(
    asked: Sequence[str], machine: str = ""
) -> tuple[tuple[str, ...], dict[str, ScenarioError], tuple[ScenarioError, ...]]:
    """Return the scenarios that can be read, what is wrong with those that cannot, and with other files.

    In a folder machine files may lie among the scenarios, and in a folder `machines` of its own; of
    them only what is wrong is told.

    Args:
        asked: Names, files and folders.
        machine: The machine that they shall be on; each one's own when left out.
    """
    good: list[str] = []
    unread: dict[str, ScenarioError] = {}
    refused: list[ScenarioError] = []
    for each in asked:
        folder = Path(each)
        if each in library.names() or not folder.is_dir():
            _sort(each, machine, good, unread)
            continue
        if library.sizes_in(folder) is not None:
            _sort_machine(each, folder, unread)
            continue
        files = library.yaml_files(folder)
        shifts = shifts_in(each)
        for each_file in map(str, files):
            if each_file not in shifts:
                _sort(each_file, machine, good, unread, beside_machines=True)
        for file in library.machine_files(folder / MACHINES):
            try:
                read_machine(file)
            except ScenarioError as fault:
                refused.append(fault)
        if not files:
            refused.append(ScenarioError(_NONE_HERE, where(folder), _ENDINGS))
    return tuple(good), unread, tuple(refused)


def shifts_in(asked: str) -> tuple[str, ...]:
    """Return the shifts of orders that a name, a file or a folder stands for, as they are asked for.

    A file that cannot be read is none of them: whoever reads it as a scenario says what is wrong with it.
    """
    folder = Path(asked)
    files = library.yaml_files(folder) if folder.is_dir() else ()
    found = []
    for each in map(str, files or (asked,)):
        try:
            there = shift_file(each)
        except ScenarioError:
            continue
        if there is not None:
            found.append(each)
    return tuple(found)


def _sort_machine(asked: str, folder: Path, unread: dict[str, ScenarioError]) -> None:
    """Tell what is wrong with the folder of a machine, or that it is one."""
    try:
        refuse_machine(folder)
    except ScenarioError as fault:
        unread[asked] = fault


def _sort(
    asked: str,
    machine: str,
    good: list[str],
    unread: dict[str, ScenarioError],
    *,
    beside_machines: bool = False,
) -> None:
    try:
        read(asked, machine)
    except ScenarioError as fault:
        if not (beside_machines and fault.what == IS_MACHINE):
            unread[asked] = fault
    else:
        good.append(asked)
