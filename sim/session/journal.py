"""What a session writes down: the time line, the acts, and the lines of its record.

Three readers, three lists. `events` is what the trainee may read at any time; `behind` is what they
are told only after the close; `acts` is what can be played again. The record on the disk gets the
acts and the graver events, with a digest wherever the name of a fault would stand.

Never here: what an act does.
"""

import hashlib
import secrets
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final, Protocol

ON_RECORD: Final = frozenset({"cut", "consequence", "reason", "unsafe", "finding", "step"})
"""The kinds of event that the record has as lines of their own."""


class Record(Protocol):
    """Where the lines of a session go."""

    def append(self, act: dict[str, object]) -> object:
        """Add one line."""

    def close(self, last: dict[str, object]) -> object:
        """Add the closing line."""


@dataclass(frozen=True, slots=True)
class Event:
    """One thing that happened, for the time line."""

    at_us: int
    # act, refused, cut, consequence, reason, finding, unsafe, note, step, hint, instructor, fault
    kind: str
    text: str


def scenario_seal(names: list[str], nonce: str) -> str:
    """Return the digest that commits a record to the faults of its scenario."""
    return hashlib.sha256(f"{','.join(sorted(names))}/{nonce}".encode()).hexdigest()


def fault_seal(number: int, name: str, nonce: str) -> str:
    """Return the digest that stands in a record for a fault put in or taken out.

    Args:
        number: How many such lines come before it in the record.
        name: The fault's name.
        nonce: The session's, which only the closing line tells.
    """
    return hashlib.sha256(f"{number}:{name}/{nonce}".encode()).hexdigest()


class Journal:
    """The writing of one session.

    Args:
        now_us: Says what time it is.
        record: Where the lines go; None for nowhere.
        nonce: What seals the names of faults; None for a new one.
    """

    def __init__(
        self, now_us: Callable[[], int], record: Record | None = None, nonce: str | None = None
    ) -> None:
        self.events: list[Event] = []
        self.behind: list[Event] = []
        self.acts: list[dict[str, Any]] = []
        self.nonce = nonce if nonce is not None else secrets.token_hex(16)
        self._sealed: list[str] = []  # names in the order of their seals
        self._now_us = now_us
        self._record = record

    def open(self, words: Mapping[str, object]) -> None:
        """Write the first line."""
        self._append({"act": "open", **words})

    def event(self, kind: str, text: str) -> None:
        """Write down what happened, for everybody."""
        event = Event(self._now_us(), kind, text)
        self.events.append(event)
        if kind in ON_RECORD:
            self._append({"event": kind, "at_us": event.at_us, "text": text})

    def secretly(self, kind: str, text: str) -> None:
        """Write down what happened, for after the close."""
        self.behind.append(Event(self._now_us(), kind, text))

    def act(self, act: str, **words: object) -> None:
        """Write down an act, just before it is done."""
        line: dict[str, Any] = {"act": act, "at_us": self._now_us(), **words}
        self.acts.append(line)
        self._append(line)

    def sealed_act(self, act: str, name: str) -> None:
        """Write down an instructor's act on a fault, whose name the record does not tell yet."""
        line: dict[str, Any] = {"act": act, "at_us": self._now_us(), "by": "instructor"}
        seal = fault_seal(len(self._sealed), name, self.nonce)
        self._sealed.append(name)
        self.acts.append({**line, "name": name})
        self._append({**line, "seal": seal})

    def close(
        self, state: str, faults: list[str], summary: Mapping[str, object] | None = None
    ) -> None:
        """Write the closing line, which opens every seal.

        Args:
            state: Digest of the saw.
            faults: Names of those of the scenario.
            summary: What the session was worth.
        """
        last: dict[str, object] = {
            "at_us": self._now_us(), "state": state, "faults": faults, "nonce": self.nonce,
        }  # fmt: skip
        if self._sealed:
            last["sealed"] = list(self._sealed)
        if summary is not None:
            last["summary"] = dict(summary)
        if self._record is not None:
            self._record.close(last)

    def _append(self, line: dict[str, object]) -> None:
        if self._record is not None:
            self._record.append(line)
