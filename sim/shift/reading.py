"""Finds a shift by its name or file; it is read by `session.shift.opening`."""

from pathlib import Path

from sim.scenario import library
from sim.scenario.file_text import octets
from sim.scenario.shift import is_shift


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
