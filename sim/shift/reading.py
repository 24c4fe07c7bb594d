"""Finds a shift by its name or file, and reads it with every name checked."""

from pathlib import Path

from sim.scenario import library
from sim.scenario.file_text import octets
from sim.scenario.shift import Shift, is_shift, read_shift
from sim.session.opening import machine_of, vocabulary


def shift_file(name_or_path: str) -> Path | None:
    """Return the file of a shift; None where the name or file is of something else, or of nothing.

    Raises:
        ScenarioError: It is a file that cannot be read, or is not plain YAML.
    """
    found = dict(library.shifts())
    if name_or_path in found:
        return found[name_or_path]
    path = Path(name_or_path)
    if path.suffix not in (".yaml", ".yml") or not path.is_file():
        return None
    return path if is_shift(path, octets(path)) else None


def read_shift_at(path: Path, machine: str = "") -> Shift:
    """Return the shift in a file, for a machine or its own.

    Raises:
        ScenarioError: The file or the machine is refused; `where` is `path:line:column`.
    """
    shift = read_shift(path, lambda _: vocabulary(None, path.parent))
    machine_of(machine or shift.machine, path.parent)
    return shift
