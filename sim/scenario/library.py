"""Finds the scenarios that ship with the program, by name, and the files they speak of.

Clean jobs lie in scenarios/ itself, the rest in scenarios/lessons and scenarios/drills; a
scenario's name is its file's name without the ending.

Never here: reading them.
"""

import os
from pathlib import Path
from typing import Final

from sim.errors import ScenarioError
from sim.records.regular import no_file
from sim.resources import INTERLOCKS, MACHINES, shipped
from sim.scenario.nearest import nearest
from sim.words.fields import name
from sim.words.message import row

_FOLDERS: Final = ("", "lessons", "drills")
_ENDING: Final = ".yaml"
SIZES: Final = "sizes.yaml"  # of a machine, in its folder
WIRING: Final = "wiring.yaml"
_NO_SCENARIO: Final = row("library.no-scenario", "there is no scenario called {name}", name=name())
_NO_MACHINE_FILE: Final = row(
    "library.no-machine-file", "there is no machine file {name}", name=name()
)
_MACHINE_HERE: Final = row(
    "library.machine-here", "there is a folder of that name here: write it {path}", path=name()
)
_NO_MACHINE: Final = row("library.no-machine", "there is no machine called {name}", name=name())


def entries() -> tuple[tuple[str, Path], ...]:
    """Return name and path of every shipped scenario: jobs, then lessons, then drills."""
    root = shipped("scenarios")
    return tuple(
        (path.stem, path)
        for folder in _FOLDERS
        for path in sorted((root / folder).glob(f"*{_ENDING}"))
    )


def shifts() -> tuple[tuple[str, Path], ...]:
    """Return name and path of every shift of orders that ships."""
    folder = shipped("scenarios") / "shifts"
    return tuple((path.stem, path) for path in sorted(folder.glob(f"*{_ENDING}")))


def names() -> tuple[str, ...]:
    """Return the names of the shipped scenarios, in the order of `entries`."""
    return tuple(name for name, _ in entries())


def find(name_or_path: str) -> Path:
    """Return the file of a shipped scenario by its name, or the path that was given.

    Anything with a folder or an ending in it is a path. It need not exist: whoever reads it says
    so with its name.

    Raises:
        ScenarioError: No shipped scenario has that name; the nearest is told.
    """
    asked = Path(name_or_path)
    if asked.suffix in (_ENDING, ".yml") or len(asked.parts) > 1 or asked.is_file():
        return asked
    found = dict(entries())
    if name_or_path not in found:
        advice = nearest(name_or_path, {**found, **dict(shifts())})
        raise ScenarioError(_NO_SCENARIO(name=repr(name_or_path)), "", advice)
    return found[name_or_path]


def yaml_files(folder: Path) -> tuple[Path, ...]:
    """Return what may be scenario or machine files in a folder, by name; nothing where there is none."""
    try:
        return tuple(sorted(p for p in folder.iterdir() if p.suffix in (_ENDING, ".yml")))
    except OSError:
        return ()


def materials_path() -> Path:
    """Return the path of the list of metals."""
    return shipped("scenarios") / "materials" / f"materials{_ENDING}"


def _machines(beside: Path | None) -> dict[str, Path]:
    """Return the machines by name; a site's own comes before one that ships."""
    folders = [shipped("scenarios") / MACHINES]
    if beside is not None:
        folders.append(beside / MACHINES)
    return {machine_called(path): path for folder in folders for path in machine_files(folder)}


def machine_files(folder: Path) -> tuple[Path, ...]:
    """Return what may be machines in a folder: files, and of folders their sizes."""
    files = (path for path in yaml_files(folder) if path.name not in (SIZES, WIRING, INTERLOCKS))
    return (*files, *sorted(folder.glob(f"*/{SIZES}")))


def machine_called(path: Path) -> str:
    """Return the name of a machine by its file: that of its folder where it has one of its own."""
    return path.parent.name if path.name == SIZES else path.stem


def sizes_in(folder: Path) -> Path | None:
    """Return the file of a machine that a folder is; None where it is none."""
    return folder / SIZES if (folder / SIZES).is_file() else None


def is_file_name(machine: str) -> bool:
    """Return whether a machine was given as a file or its folder; a name has neither a folder nor an ending."""
    return Path(machine).suffix in (_ENDING, ".yml") or os.sep in machine


def machine_name(machine: str) -> str:
    """Return the name of a machine that was given by its name or as a file or folder."""
    if not is_file_name(machine):
        return machine
    return machine_called(sizes_in(Path(machine)) or Path(machine))


def machine_names(beside: Path | None = None) -> tuple[str, ...]:
    """Return the names of the machines, sorted: those that ship, and those of a scenario's folder.

    Args:
        beside: The folder of the scenario; a site's own machines lie in its folder `machines`.
    """
    return tuple(sorted(_machines(beside)))


def machine_path(name: str, beside: Path | None = None) -> Path:
    """Return the file of a machine.

    Args:
        name: Of the machine; or its file, wherever that lies.
        beside: As `machine_names`.

    Raises:
        ScenarioError: No machine has that name, or there is no such file; the nearest is told.
    """
    found = _machines(beside)
    if is_file_name(name):
        sizes = sizes_in(Path(name))
        if sizes is not None:
            return sizes
        try:
            odd = no_file(Path(name))
        except (OSError, ValueError):  # a link to itself, say
            odd = None
        if odd is not None:
            raise ScenarioError(odd[0], name, odd[1])
        if not Path(name).is_file():
            advice = nearest(Path(name).stem, found)
            raise ScenarioError(_NO_MACHINE_FILE(name=repr(name)), "", advice)
        return Path(name)
    if name not in found:
        here = sizes_in(Path(name)) if name else None
        advice = _MACHINE_HERE(path=f".{os.sep}{name}") if here else nearest(name, found)
        raise ScenarioError(_NO_MACHINE(name=repr(name)), "", advice)
    return found[name]
