"""Records of one session that lie beside each other, which count once: copies, and a beginning that was left.

Each session has a nonce of its own, and with it a seal in its opening line. Records with the same seal
and the same last line are copies. Two closed ones that differ cannot both be true, and nothing in them
says which is, so neither counts.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import Final

from sim.records.chain_check import walk_chain
from sim.records.reading import SessionRecord
from sim.words.fields import name
from sim.words.message import Message, row

_COPY: Final = row("class.left-out.copy", "it is a copy of {record}", record=name())
_BEGINNING: Final = row(
    "class.left-out.beginning", "it is the beginning of {record}, which goes on", record=name()
)
_OTHERWISE: Final = row(
    "class.left-out.otherwise",
    "it is of the same session as {record} and tells something else, so neither counts",
    record=name(),
)


@dataclass(frozen=True, slots=True)
class Known:
    """What tells the records of one session from those of another."""

    name: str  # by which it is told
    path: Path
    seal: str
    head: str
    count: int
    closed: bool

    @classmethod
    def of(cls, record: SessionRecord, name: str) -> "Known":
        """Return what is known of a record."""
        return cls(
            name, Path(record.name), record.opening.seal, record.head, record.count,
            record.closing is not None,
        )  # fmt: skip


def copies_in(records: Iterable[Known]) -> dict[str, Message]:
    """Return which records count for nothing beside the others, by name, and why."""
    sessions: dict[str, list[Known]] = {}
    for each in records:
        sessions.setdefault(each.seal, []).append(each)
    return {
        called: why
        for several in sessions.values()
        if len(several) > 1
        for called, why in _of_one(several).items()
    }


def _of_one(several: list[Known]) -> dict[str, Message]:
    """Return the same of the records of one session; a copy has the longer name as a rule."""
    several = sorted(several, key=lambda each: (len(each.name), each.name))
    closed = [each for each in several if each.closed]
    if not closed:
        return {}
    first = closed[0]
    other = next((each for each in closed if each.head != first.head), None)
    if other is not None:
        return {
            each.name: _OTHERWISE(record=(first if each.head != first.head else other).name)
            for each in closed
        }
    told = {each.name: _COPY(record=first.name) for each in closed[1:]}
    told |= {
        each.name: _BEGINNING(record=first.name)
        for each in several
        if not each.closed and _goes_on_in(each, first)
    }
    return told


def _goes_on_in(short: Known, long: Known) -> bool:
    """Return whether a record without its end is the beginning of another, line for line."""
    beginning = islice(walk_chain(short.path, allow_cut=True), 1, short.count)
    whole = islice(walk_chain(long.path, allow_cut=True), 1, short.count)
    return short.count <= long.count and all(
        one == other for one, other in zip(beginning, whole, strict=False)
    )
