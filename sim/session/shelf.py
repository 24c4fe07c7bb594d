"""What ships, as a list shows it: read once, then kept on this computer for as long as the files stay.

They are known by when they were written, not by what is in them: a digest of that would tell who
tries every fault in one of them which it is.

The home page comes sooner: no scenario has to be read and checked only to show its title. A kept list
that does not fit is read anew.

Never here: anything of a scenario that a list does not show.
"""

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields
from functools import lru_cache
from typing import Any, Final

import sim
from sim.records.keep import keep, kept, key_of
from sim.scenario.library import entries

_FORM: Final = "shelf-2"  # of what is kept


@dataclass(frozen=True, slots=True)
class Listed:
    """One scenario on the shelf."""

    name: str
    title: str
    summary: str
    mode: str
    level: int
    skills: tuple[str, ...]
    said: str = ""  # what the operator complains of, as `scenario.said_by_operator` groups it


@lru_cache(maxsize=1)
def listed() -> tuple[Listed, ...]:
    """Return every scenario that ships: jobs, lessons, drills.

    Raises:
        ScenarioError: A file that ships is refused.
    """
    key = _key()
    found = _from_json(kept(key) or b"")
    if [each.name for each in found] != [name for name, _ in entries()]:
        found = _read()
        keep(key, json.dumps([asdict(each) for each in found]).encode())
    return found


def _key() -> str:
    """Return what the list is kept under: the program's version, and each file and when it was written."""
    told = [_FORM, sim.__version__]
    for name, path in entries():
        file = path.stat()
        # Whoever puts the time of writing back cannot put back that of the change.
        told.append(f"{name} {path} {file.st_ino} {file.st_mtime_ns} {file.st_ctime_ns}")
    return key_of("shelf", "\n".join(told).encode())


def _from_json(content: bytes) -> tuple[Listed, ...]:
    """Return the list that was kept; nothing where it is none."""
    try:
        rows = json.loads(content)
        return tuple(_row(row) for row in rows)
    except (ValueError, TypeError, KeyError, RecursionError):
        return ()


def _row(told: Mapping[str, Any]) -> Listed:
    values = {each.name: told[each.name] for each in fields(Listed)}
    skills, level = values.pop("skills"), values.pop("level")
    if not isinstance(level, int) or not all(
        isinstance(v, str) for v in (*values.values(), *skills)
    ):
        raise TypeError
    return Listed(level=level, skills=tuple(skills), **values)


def _read() -> tuple[Listed, ...]:
    from sim.scenario.said_by_operator import said_of
    from sim.session.opening import library_entries

    return tuple(
        Listed(
            name,
            each.title,
            each.summary,
            each.mode,
            each.level,
            tuple(each.skills),
            said_of(each.reported),
        )
        for name, each in library_entries()
    )
