"""The record of a session: lines of JSON, each chained to the one before by its hash.

    {"begin":{"engine":"0.1.0","format":1,"record":"drycycle"},"h":"..","prev":"00..","seq":0}
    {"act":{"at_us":0,"press":"Q0"},"h":"..","prev":"..","seq":1}
    {"close":{"count":2,"head":"..","last":{..}},"h":"..","prev":"..","seq":2}

`h` is the SHA-256 of the line's kind, number, `prev` and content as written; `prev` is the `h`
before it. So a changed, dropped, swapped or repeated line is found. What a chain alone cannot
find is a missing tail: the closing line, with the count and the head, is there for that. A
record without one was cut: by a pulled plug, or by somebody.

There is no key in it: whoever has this program can write a whole new record. The chain shows
accidents and clumsy changes; binding a record to a person takes the head being handed in.

Never here: what an act means.
"""

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path
from types import TracebackType
from typing import Any, Final, NoReturn, Self

import sim
from sim.errors import RecordError
from sim.records.store import AppendFile, contents

FORMAT: Final = 1
_MARK: Final = {"record": "drycycle", "format": FORMAT, "engine": sim.__version__}
_START: Final = "0" * 64  # what the first line has for a line before it
_LINE: Final = re.compile(
    rb'\{"(begin|act|close)":(\{.*\}),"h":"([0-9a-f]{64})","prev":"([0-9a-f]{64})"'
    rb',"seq":(0|[1-9][0-9]{0,8})\}'
)


def _no_constant(word: str) -> NoReturn:
    raise ValueError(f"{word} is not JSON")


# Made once: json.dumps and json.loads make new ones at every call with options.
_written = json.JSONEncoder(sort_keys=True, separators=(",", ":"), allow_nan=False).encode
_read = json.JSONDecoder(parse_constant=_no_constant).decode


def _hash(kind: str, seq: int, prev: str, content: str) -> str:
    return sha256(f"{kind} {seq} {prev} {content}".encode()).hexdigest()


@dataclass
class _Links:
    """The end of a growing chain."""

    head: str = _START
    count: int = 0
    closed: bool = False

    def next_line(self, kind: str, act: Mapping[str, object]) -> str:
        """Return the next line; the chain only moves on with `accept`."""
        if self.closed:
            raise RecordError("the record is closed", "", "start a new one")
        try:
            content = _written(act if type(act) is dict else dict(act))
        except (TypeError, ValueError, RecursionError) as fault:
            raise RecordError(
                f"an act cannot be written down: {fault}", "", "this is a fault of the program"
            ) from fault
        head = _hash(kind, self.count, self.head, content)
        return f'{{"{kind}":{content},"h":"{head}","prev":"{self.head}","seq":{self.count}}}'

    def accept(self, line: str) -> str:
        """Move on to a line that has been kept; return its hash."""
        at = line.rindex('"h":"') + 5
        self.head = line[at : at + 64]
        self.count += 1
        return self.head


def _header(header: Mapping[str, object] | None) -> dict[str, object]:
    return {**(header or {}), **_MARK}


def _closing(links: _Links, last: Mapping[str, object] | None) -> dict[str, object]:
    return {"count": links.count, "head": links.head, "last": dict(last or {})}


class ChainLog:
    """A record that is kept in memory.

    Args:
        header: What the first line says besides the mark of the program.
    """

    def __init__(self, header: Mapping[str, object] | None = None) -> None:
        self.lines: list[str] = []
        self._links = _Links()
        self._add("begin", _header(header))

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
        head = self._add("close", _closing(self._links, last))
        self._links.closed = True
        return head

    def text(self) -> str:
        """Return the record as its file would hold it."""
        return "".join(f"{line}\n" for line in self.lines)

    def _add(self, kind: str, act: Mapping[str, object]) -> str:
        line = self._links.next_line(kind, act)
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
        self._links = _Links()
        self._file = AppendFile(path, durable=durable)
        self._add("begin", _header(header))

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
        head = self._add("close", _closing(self._links, last))
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
        line = self._links.next_line(kind, act)
        self._file.add(line.encode())
        return self._links.accept(line)


def read_chain(path: Path, *, allow_cut: bool = False) -> list[dict[str, Any]]:
    """Return the header, the acts and the closing of a record, every line checked.

    Args:
        path: The record's file.
        allow_cut: Take a record whose end is missing. In place of the closing, which has `count`,
            `head` and `last`, it then ends with `count`, `head` and `cut`, a clause that says how.

    Raises:
        RecordError: The file is no record, or a line is changed, missing, swapped, repeated or
            cut; `where` is `path:line`.
    """
    return checked(contents(path), str(path), allow_cut=allow_cut)


def recover(path: Path) -> list[dict[str, Any]]:
    """Return the header and the acts of a record up to where it is cut, or all of them.

    Raises:
        RecordError: As `read_chain`, but for a missing end; not even the header is whole.
    """
    return read_chain(path, allow_cut=True)[:-1]


def checked(content: bytes, name: str, *, allow_cut: bool = False) -> list[dict[str, Any]]:
    """Return what `read_chain` returns, from the bytes of a record called `name`."""
    chain = _Reader(name)
    *lines, tail = content.split(b"\n")
    for line in lines:
        chain.take(line)
    if chain.closed and not tail:
        return chain.records
    where = f"{name}:{chain.count + 1}"
    if chain.closed:
        _refuse("there is more after the closing line", where)
    if not chain.count:
        if tail and not _could_begin("begin", tail):
            _refuse("this is not a session record", where, "name a record of this program")
        _refuse("the record was cut before its first line was whole", where, "nothing is in it")
    cut = "this line is cut short" if tail else "the closing line is missing, so the end is cut off"
    if not allow_cut:
        _refuse(cut, where, "look for a whole copy, or take what is there as a cut record")
    found = [*chain.records, {"count": chain.count, "head": chain.head, "cut": cut}]
    if _LINE.fullmatch(tail):
        chain.take(tail)  # whole but for its end, so it must fit like any other
    elif not any(_could_begin(kind, tail) for kind in ("act", "close")):
        _refuse("what stands here is not the beginning of a line", where)
    return found


def _could_begin(kind: str, tail: bytes) -> bool:
    """Return whether a torn line may be the beginning of one of that kind; a disk may pad it."""
    start = f'{{"{kind}":{{'.encode()
    return tail.startswith(start) or start.startswith(tail.rstrip(b"\0"))


def _refuse(what: str, where: str, what_to_do: str = "look for an unchanged copy") -> NoReturn:
    raise RecordError(what, where, what_to_do)


@dataclass
class _Reader:
    """Checks lines one after the other."""

    name: str
    records: list[dict[str, Any]] = field(default_factory=list)
    head: str = _START
    closed: bool = False

    @property
    def count(self) -> int:
        return len(self.records)

    def take(self, line: bytes) -> None:
        """Check the next line and keep what it says."""
        where = f"{self.name}:{self.count + 1}"
        if self.closed:
            _refuse("there is more after the closing line", where)
        parts = _LINE.fullmatch(line)
        if parts is None:
            if not self.count:
                _refuse("this is not a session record", where, "name a record of this program")
            _refuse("this is not a line of a record", where)
        # Latin-1 cannot fail; a byte above ASCII, which no line has, fails the hash instead.
        kind, content, head, prev, digits = (part.decode("latin-1") for part in parts.groups())
        seq = int(digits)
        if head != _hash(kind, seq, prev, content):
            _refuse("this line has been changed", where)
        self._check_order(seq, prev, where)
        self._keep(kind, self._parsed(content, where), where)
        self.head = head

    def _check_order(self, seq: int, prev: str, where: str) -> None:
        if seq > self.count:
            missing = seq - self.count
            _refuse(f"{missing} line{'s are' if missing > 1 else ' is'} missing here", where)
        if seq < self.count:
            _refuse("this line is repeated, or out of its place", where)
        if prev != self.head:
            _refuse("this line does not follow the one before it", where)

    def _parsed(self, content: str, where: str) -> dict[str, Any]:
        try:
            value = _read(content)
        except (ValueError, RecursionError):
            _refuse("this line is not JSON", where)
        assert isinstance(value, dict)  # the pattern of a line begins it with a brace
        return value

    def _keep(self, kind: str, value: dict[str, Any], where: str) -> None:
        if (kind == "begin") != (not self.count):
            _refuse(f"a line of the kind {kind} cannot stand here", where)
        if kind == "begin" and value.get("record") != _MARK["record"]:
            _refuse("this is a record of another program", where, "name one of this program")
        if kind == "begin" and value.get("format") != FORMAT:
            _refuse(
                f"this record has format {value.get('format')!r}, and format {FORMAT} is known",
                where,
                "read it with the engine that wrote it",
            )
        if kind == "close":
            if (value.get("count"), value.get("head")) != (self.count, self.head):
                _refuse("the closing line does not fit the lines before it", where)
            self.closed = True
        self.records.append(value)
