"""The record of a session: lines of JSON, each chained to the one before by its hash.

    {"begin":{"engine":"0.2.0","format":3,"record":"drycycle"},"h":"..","prev":"00..","seq":0}
    {"act":{"act":"load","at_us":0},"h":"..","prev":"..","seq":1}
    {"close":{"count":2,"head":"..","last":{..}},"h":"..","prev":"..","seq":2}

`h` is the SHA-256 of the line's kind, number, `prev` and content as written; `prev` is the `h`
before it. So a changed, dropped, swapped or repeated line is found. What a chain alone cannot
find is a missing tail: the closing line, with the count and the head, is there for that. A
record without one was cut: by a pulled plug, or by somebody.

There is no key in it: whoever has this program can write a whole new record. The chain shows
accidents and clumsy changes; to bind a record to a person, its head must be handed in.

Never here: what an act means.
"""

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from types import TracebackType
from typing import Final, Self

import sim
from sim.errors import RecordError
from sim.records.store import AppendFile
from sim.words.fields import name
from sim.words.message import plain, row

FORMAT: Final = 3  # of the lines, and of the keys and set points that they name
RECORD: Final = "drycycle"
_MARK: Final = {"record": RECORD, "format": FORMAT, "engine": sim.__version__}
_ENDED: Final = plain("chain.closed", "the record is closed")
_NEW_ONE: Final = plain("chain.start-new", "start a new one")
_UNWRITABLE: Final = row("chain.unwritable", "an act cannot be written down: {fault}", fault=name())
_BUG: Final = plain("chain.bug", "this is a fault of the program")
START: Final = "0" * 64  # what the first line has for a line before it
LINE: Final = re.compile(
    rb'\{"(begin|act|close)":(\{.*\}),"h":"([0-9a-f]{64})","prev":"([0-9a-f]{64})"'
    rb',"seq":(0|[1-9][0-9]{0,8})\}'
)


# Made once: json.dumps makes a new one at every call with options.
_written = json.JSONEncoder(sort_keys=True, separators=(",", ":"), allow_nan=False).encode


def hash_of(kind: str, seq: int, prev: str, content: str) -> str:
    """Return the hash of a line."""
    return sha256(f"{kind} {seq} {prev} {content}".encode()).hexdigest()


@dataclass
class Links:
    """The end of a growing chain."""

    head: str = START
    count: int = 0
    closed: bool = False

    def content(self, act: Mapping[str, object]) -> str:
        """Return what an act's line holds, as it is written.

        Raises:
            RecordError: The record is closed, or the act is not made of JSON's values.
        """
        if self.closed:
            raise RecordError(_ENDED, "", _NEW_ONE)
        try:
            return _written(act if type(act) is dict else dict(act))
        except (TypeError, ValueError, RecursionError) as fault:
            raise RecordError(_UNWRITABLE(fault=str(fault)), "", _BUG) from fault

    def next_line(self, kind: str, content: str) -> str:
        """Return the next line; the chain only moves on with `accept`."""
        head = hash_of(kind, self.count, self.head, content)
        return f'{{"{kind}":{content},"h":"{head}","prev":"{self.head}","seq":{self.count}}}'

    def accept(self, line: str) -> str:
        """Move on to a line that has been kept; return its hash."""
        at = line.rindex('"h":"') + 5
        self.head = line[at : at + 64]
        self.count += 1
        return self.head


def header_of(header: Mapping[str, object] | None) -> dict[str, object]:
    """Return what the first line holds."""
    return {**(header or {}), **_MARK}


def closing_of(links: Links, last: Mapping[str, object] | None) -> dict[str, object]:
    """Return what the closing line holds."""
    return {"count": links.count, "head": links.head, "last": dict(last or {})}


class ChainLog:
    """A record that is kept in memory.

    Args:
        header: What the first line says besides the mark of the program.
    """

    def __init__(self, header: Mapping[str, object] | None = None) -> None:
        self.lines: list[str] = []
        self._links = Links()
        self._add("begin", header_of(header))

    @property
    def head(self) -> str:
        """Hash of the last line, which stands for the whole record."""
        return self._links.head

    def append(self, act: Mapping[str, object]) -> str:
        """Keep an act as the next line; return the record's new head.

        Raises:
            RecordError: The record is closed, or the act is not made of JSON's values.
        """
        return self._add("act", act)

    def close(self, last: Mapping[str, object] | None = None) -> str:
        """Keep the closing line, with count and head and what `last` says; return the head."""
        head = self._add("close", closing_of(self._links, last))
        self._links.closed = True
        return head

    def text(self) -> str:
        """Return the record as its file would hold it."""
        return "".join(f"{line}\n" for line in self.lines)

    def _add(self, kind: str, act: Mapping[str, object]) -> str:
        line = self._links.next_line(kind, self._links.content(act))
        self.lines.append(line)
        return self._links.accept(line)


class ChainWriter:
    """A record that is kept in a new file, each line on the disk before the next act.

    Args:
        path: Where; nothing may be there yet.
        header: What the first line says besides the mark of the program.
        durable: Wait for the disk at every line; without it a pulled plug loses more.

    Raises:
        RecordError: The file is there already or cannot be made.
    """

    def __init__(
        self, path: Path, header: Mapping[str, object] | None = None, *, durable: bool = True
    ) -> None:
        self._links = Links()
        self._file = AppendFile(path, durable=durable)
        try:
            self._add("begin", header_of(header))
        except BaseException:
            self._file.drop_empty()
            raise

    @property
    def head(self) -> str:
        """Hash of the last line, which stands for the whole record."""
        return self._links.head

    def append(self, act: Mapping[str, object]) -> str:
        """Write an act as the next line; return the record's new head.

        Raises:
            RecordError: The record is closed, the act is not made of JSON's values, or the disk
                would not take it; then the record stands as it was before.
        """
        return self._add("act", act)

    def close(self, last: Mapping[str, object] | None = None) -> str:
        """Write the closing line, with count and head and what `last` says; return the head."""
        head = self._add("close", closing_of(self._links, last))
        self._links.closed = True
        self._file.close()
        return head

    def abandon(self) -> None:
        """Let the file go without a closing line: whoever reads it is told that it was cut."""
        self._file.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.abandon()

    def _add(self, kind: str, act: Mapping[str, object]) -> str:
        line = self._links.next_line(kind, self._links.content(act))
        self._file.add(line.encode())
        return self._links.accept(line)
