"""Checks the lines of a record: that each follows the one before, and that none is missing.

A changed, dropped, swapped or repeated line is found; see `chain` for what cannot be.

Never here: what an act means.
"""

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, NoReturn

from sim.errors import RecordError
from sim.records.chain import FORMAT, LINE, RECORD, START, hash_of
from sim.records.store import lines_in
from sim.words.fields import name, number
from sim.words.message import Message, plain, row

_MORE: Final = plain("chain.more", "there is more after the closing line")
_NO_RECORD: Final = plain("chain.no-record", "this is not a session record")
_NAME_ONE: Final = plain("chain.name-one", "name a record of this program")
_NO_FIRST: Final = plain("chain.no-first", "the record was cut before its first line was whole")
_NOTHING_IN_IT: Final = plain("chain.nothing-in-it", "nothing is in it")
_CUT_SHORT: Final = plain("chain.cut-short", "this line is cut short")
_NO_CLOSING: Final = plain("chain.no-closing", "the closing line is missing, so the end is cut off")
_WHOLE_COPY: Final = plain(
    "chain.whole-copy", "look for a whole copy, or take what is there as a cut record"
)
_TOO_LONG: Final = plain("chain.too-long", "this line is longer than any line of a record")
_NO_BEGINNING: Final = plain(
    "chain.no-beginning", "what stands here is not the beginning of a line"
)
_UNCHANGED_COPY: Final = plain("chain.unchanged-copy", "look for an unchanged copy")
_NO_LINE: Final = plain("chain.no-line", "this is not a line of a record")
_CHANGED: Final = plain("chain.changed", "this line has been changed")
_MISSING: Final = row(
    "chain.missing", "{count} line is missing here", plural="{count} lines are missing here",
    count=number(),
)  # fmt: skip
_REPEATED: Final = plain("chain.repeated", "this line is repeated, or out of its place")
_NOT_AFTER: Final = plain("chain.not-after", "this line does not follow the one before it")
_NOT_JSON: Final = plain("chain.not-json", "this line is not JSON")
_NOT_HERE: Final = row("chain.not-here", "a line of the kind {kind} cannot stand here", kind=name())
_ANOTHER: Final = plain("chain.another-program", "this is a record of another program")
_NAME_OURS: Final = plain("chain.another-program.to-do", "name one of this program")
_FORMAT_1: Final = row(
    "chain.format-1", "this record has format 1, which version {version} plays", version=name()
)
_PLAY_WITH: Final = row("chain.format-1.to-do", "play it with version {version}", version=name())
_FORMAT_2: Final = plain(
    "chain.format-2", "this record has format 2, of a saw whose keys had other names"
)
_FORMAT: Final = row(
    "chain.format", "this record has format {format}, and format {known} is known",
    format=name(), known=number(),
)  # fmt: skip
_ITS_ENGINE: Final = plain("chain.format.to-do", "read it with the engine that wrote it")
_NOT_FIT: Final = plain("chain.not-fit", "the closing line does not fit the lines before it")
LONGEST_LINE: Final = 16 * 1024 * 1024  # bytes; the largest is the closing line with its debrief
_LAST_OF_FORMAT_1: Final = "0.1.0"


def _no_constant(word: str) -> NoReturn:
    raise ValueError(f"{word} is not JSON")


# Made once: json.loads makes a new one at every call with options.
_read = json.JSONDecoder(parse_constant=_no_constant).decode


def walk_chain(path: Path, *, allow_cut: bool = False) -> Iterator[dict[str, Any]]:
    """Yield the header, the acts and the closing of a record, every line checked, in a stream.

    Args:
        path: The record's file.
        allow_cut: Take a record whose end is missing. In place of the closing, which has `count`,
            `head` and `last`, it then ends with `count`, `head` and `cut`, a clause that says how.

    Raises:
        RecordError: The file is no record, or a line is changed, missing, swapped, repeated or
            cut; `where` is `path:line`.
    """
    return _walked(lines_in(path, LONGEST_LINE), str(path), allow_cut=allow_cut)


def read_chain(path: Path, *, allow_cut: bool = False) -> list[dict[str, Any]]:
    """Return at once what `walk_chain` yields; it raises the same."""
    return list(walk_chain(path, allow_cut=allow_cut))


def recover(path: Path) -> list[dict[str, Any]]:
    """Return the header and the acts of a record up to where it is cut, or all of them.

    Raises:
        RecordError: As `read_chain`, except for a missing end; or not even the header is whole.
    """
    return read_chain(path, allow_cut=True)[:-1]


def checked(content: bytes, name: str, *, allow_cut: bool = False) -> list[dict[str, Any]]:
    """Return what `read_chain` returns, from the bytes of a record called `name`."""
    return list(_walked(content.split(b"\n"), name, allow_cut=allow_cut))


def _walked(lines: Iterable[bytes], name: str, *, allow_cut: bool) -> Iterator[dict[str, Any]]:
    """Yield what is in lines, of which the last is what follows the last line's end."""
    chain = _Reader(name)
    before: bytes | None = None
    for line in lines:
        if before is not None:
            yield chain.take(before)
        before = line
    tail = before or b""
    if chain.closed and not tail:
        return
    yield _cut_at(chain, tail, allowed=allow_cut)


def _cut_at(chain: "_Reader", tail: bytes, *, allowed: bool) -> dict[str, Any]:
    """Return how a record ends early, with what follows its last whole line."""
    where = f"{chain.name}:{chain.count + 1}"
    if chain.closed:
        _refuse(_MORE, where)
    if len(tail) > LONGEST_LINE:
        _refuse(_TOO_LONG, where)
    if not chain.count:
        if tail and not _could_begin("begin", tail):
            _refuse(_NO_RECORD, where, _NAME_ONE)
        _refuse(_NO_FIRST, where, _NOTHING_IN_IT)
    cut = _CUT_SHORT if tail else _NO_CLOSING
    if not allowed:
        _refuse(cut, where, _WHOLE_COPY)
    ends = {"count": chain.count, "head": chain.head, "cut": cut}
    if LINE.fullmatch(tail):
        chain.take(tail)  # whole but for its end, so it must fit like any other
    elif not any(_could_begin(kind, tail) for kind in ("act", "close")):
        _refuse(_NO_BEGINNING, where)
    return ends


def _could_begin(kind: str, tail: bytes) -> bool:
    """Return whether a torn line may be the beginning of one of that kind; a disk may pad it."""
    start = f'{{"{kind}":{{'.encode()
    return tail.startswith(start) or start.startswith(tail.rstrip(b"\0"))


def _refuse(what: Message, where: str, what_to_do: Message = _UNCHANGED_COPY) -> NoReturn:
    raise RecordError(what, where, what_to_do)


def _check_format(written: object, where: str) -> None:
    if type(written) is int and written == FORMAT:
        return
    if written == 1:
        version = _LAST_OF_FORMAT_1
        _refuse(_FORMAT_1(version=version), where, _PLAY_WITH(version=version))
    if written == 2:
        _refuse(_FORMAT_2, where, _ITS_ENGINE)
    told = json.dumps(written)[:40]
    _refuse(_FORMAT(format=told, known=FORMAT), where, _ITS_ENGINE)


@dataclass
class _Reader:
    """Checks lines one after the other."""

    name: str
    count: int = 0
    head: str = START
    closed: bool = False

    def take(self, line: bytes) -> dict[str, Any]:
        """Check the next line, and return what it says."""
        where = f"{self.name}:{self.count + 1}"
        if self.closed:
            _refuse(_MORE, where)
        parts = LINE.fullmatch(line)
        if parts is None:
            if not self.count:
                _refuse(_NO_RECORD, where, _NAME_ONE)
            _refuse(_NO_LINE, where)
        # Latin-1 cannot fail; a byte above ASCII, which no line has, fails the hash instead.
        kind, content, head, prev, digits = (part.decode("latin-1") for part in parts.groups())
        seq = int(digits)
        if head != hash_of(kind, seq, prev, content):
            _refuse(_CHANGED, where)
        self._check_order(seq, prev, where)
        value = self._parsed(content, where)
        self._check_kind(kind, value, where)
        self.head = head
        self.count += 1
        return value

    def _check_order(self, seq: int, prev: str, where: str) -> None:
        if seq > self.count:
            _refuse(_MISSING(count=seq - self.count), where)
        if seq < self.count:
            _refuse(_REPEATED, where)
        if prev != self.head:
            _refuse(_NOT_AFTER, where)

    def _parsed(self, content: str, where: str) -> dict[str, Any]:
        try:
            value = _read(content)
        except (ValueError, RecursionError):
            _refuse(_NOT_JSON, where)
        assert isinstance(value, dict)  # the pattern of a line begins it with a brace
        return value

    def _check_kind(self, kind: str, value: dict[str, Any], where: str) -> None:
        if (kind == "begin") != (not self.count):
            _refuse(_NOT_HERE(kind=kind), where)
        if kind == "begin" and value.get("record") != RECORD:
            _refuse(_ANOTHER, where, _NAME_OURS)
        if kind == "begin":
            _check_format(value.get("format"), where)
        if kind == "close":
            if (value.get("count"), value.get("head")) != (self.count, self.head):
                _refuse(_NOT_FIT, where)
            self.closed = True
