"""The lines of a session's record: the opening, the acts, the graver events, the closing.

Wherever the name of a fault would stand before the close, a digest stands; the closing line opens
every one of them.

Never here: what an act does.
"""

import hashlib
import secrets
from collections.abc import Mapping
from typing import Protocol

from sim.records.acts import Act, PutIn, TakenOut, line_of
from sim.session.heard import ON_RECORD, Event


class Record(Protocol):
    """Where the lines of a session go."""

    def append(self, act: dict[str, object]) -> object:
        """Add one line."""

    def close(self, last: dict[str, object]) -> object:
        """Add the closing line."""


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
    """The writing of one session's record.

    Args:
        record: Where the lines go; None for nowhere.
        nonce: What seals the names of faults; None for a new one.
    """

    def __init__(self, record: Record | None = None, nonce: str | None = None) -> None:
        self.nonce = nonce if nonce is not None else secrets.token_hex(16)
        self._sealed: list[str] = []  # names in the order of their seals
        self._record = record

    def open(self, words: Mapping[str, object]) -> None:
        """Write the first line."""
        self._append({"act": "open", **words})

    def event(self, event: Event) -> None:
        """Write an event down, if the record has those of its kind."""
        if event.kind in ON_RECORD:
            self._append(
                {"event": event.kind.value, "at_us": event.at_us, "message": event.message.plain()}
            )

    def act(self, act: Act) -> None:
        """Write an act down; that of an instructor on a fault does not tell which yet."""
        line = line_of(act)
        if isinstance(act, PutIn | TakenOut):
            del line["name"]
            line["seal"] = fault_seal(len(self._sealed), act.name, self.nonce)
            self._sealed.append(act.name)
        self._append(line)

    def close(
        self,
        at_us: int,
        state: str,
        faults: list[str],
        summary: Mapping[str, object] | None = None,
    ) -> None:
        """Write the closing line, which opens every seal.

        Args:
            at_us: Simulated time of the close.
            state: Digest of the saw.
            faults: Names of those of the scenario.
            summary: What the session was worth.
        """
        last: dict[str, object] = {
            "at_us": at_us, "state": state, "faults": faults, "nonce": self.nonce,
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
