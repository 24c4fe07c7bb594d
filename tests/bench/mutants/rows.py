"""The changes that are made to a file of interlock rows, one at a time.

A row that is not there, a condition or a value that it does not ask for, an event that it does not fire, the
other of true and false: each makes another table of it.
"""

from collections.abc import Iterator
from json import dumps
from pathlib import Path
from typing import Any

import yaml

from .change import Change

_ROW = "  - {"


def changes_of_rows(file: Path) -> list[Change]:
    """Return every change to the rows of a file, in a fixed order."""
    lines = file.read_text("utf-8").splitlines(keepends=True)
    made = []
    for at, line in enumerate(lines):
        if line.startswith(_ROW):
            (row,) = yaml.safe_load(line)
            for other in ("", *(f"  - {dumps(each)}\n" for each in _others(row))):
                code = "".join((*lines[:at], other, *lines[at + 1 :]))
                made.append(Change(row["interlock"], line.strip(), other.strip(), code))
    return made


def _others(row: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """Yield what a row may be instead."""
    for key in ("where", "keeps", "asked_by"):
        if key in row:
            yield {name: value for name, value in row.items() if name != key}
    for key in ("needs", "when", "where"):
        for subject, value in row.get(key, {}).items():
            for other in _less(value):
                yield row | {key: row[key] | {subject: other}}
            if len(row[key]) > 1:
                yield row | {key: {s: v for s, v in row[key].items() if s != subject}}
    for fires in _less(row.get("fires", [])):
        yield row | {"fires": fires}


def _less(value: Any) -> Iterator[Any]:
    """Yield a list without each of its values, and the other of true and false."""
    if isinstance(value, bool):
        yield not value
    elif isinstance(value, list) and len(value) > 1:
        yield from ([*value[:at], *value[at + 1 :]] for at in range(len(value)))


__all__ = ["changes_of_rows"]
