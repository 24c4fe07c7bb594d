"""Writes a file that a command was asked for: whole or not at all, and never over something else.

It goes to an ordinary file, to nowhere or to what the command prints to; a pipe by name would wait for
ever for a reader. What is read is never written over, and neither is a record or a file of another
kind: a debrief, say, only replaces a debrief. The file is written beside its place and renamed when
it is whole.

Never here: what is written.
"""

import contextlib
import os
import re
from collections.abc import Iterable
from pathlib import Path
from typing import Final

from sim.errors import CommandError, reason
from sim.records.regular import no_file
from sim.words.fields import part
from sim.words.message import Row, plain, row

# How files of a form begin, and of XML the element that it is all in.
_BEGINNINGS: Final = {
    b"\x89PNG": "picture",
    b"<!doctype html": "page",
    b"$": "dump",
    b"/*": "program",
    b"%%": "chart",
}
_ROOT: Final = re.compile(rb"<([a-z][\w:.-]*)")
_RECORD: Final = re.compile(rb'\{"begin":\{.*"record":"drycycle"')
_MAKER: Final = re.compile(
    rb"(?:generator\" content=\"|<!-- |\$comment\s+|made by `)drycycle [\w -]*"
)
_HEAD: Final = 4_000  # bytes that tell a kind
_KEPT: Final = "record"  # the form that nothing is written over
_STREAMS: Final = (Path(os.devnull), Path("/dev/stdout"))  # that are no files, and may be named
_LINE: Final = 300  # bytes of a first line that tell whether it is the same

_IS_READ: Final = plain("output.is-read", "this file is read, and would be written over")
_OTHER_KIND: Final = plain(
    "output.other-kind", "there is a file of another kind, and it would be written over"
)
_NAME_ANOTHER: Final = plain("output.name-another", "name another file")
NOT_WRITTEN: Final = row("output.not-written", "cannot be written: {why}", why=part())


def write_output(
    path: Path, content: str | bytes, reads: Iterable[Path] = (), refusal: Row = NOT_WRITTEN
) -> None:
    """Write a file, or put it in the place of one of its kind.

    Args:
        path: Where it was asked for.
        content: All of it; text is written as UTF-8.
        reads: What the command reads.
        refusal: Says that it cannot be written, and `why`.

    Raises:
        CommandError: Something else would be written over, or the system refuses to write it.
    """
    data = content.encode() if isinstance(content, str) else content
    try:
        _check(path, data, reads)
        if path in _STREAMS and not path.is_file():
            path.write_bytes(data)
        else:
            _replace(path.resolve(), data)
    except BrokenPipeError:
        raise  # nobody reads on at /dev/stdout: the same as with anything that is printed
    except (OSError, ValueError) as fault:
        raise CommandError(refusal(why=reason(fault)), str(path), _NAME_ANOTHER) from None


def check_output(path: Path, begins: bytes, reads: Iterable[Path] = ()) -> None:
    """Refuse a place that holds something else, before the work for it is done.

    Args:
        path: Where it was asked for.
        begins: How the file will begin.
        reads: What the command reads.

    Raises:
        CommandError: It is no ordinary file, something else would be written over, or the system does
            not let it be looked at.
    """
    try:
        _check(path, begins, reads)
    except (OSError, ValueError) as fault:
        raise CommandError(NOT_WRITTEN(why=reason(fault)), str(path), _NAME_ANOTHER) from None


def check_place(path: Path) -> None:
    """Refuse a place that no file can be in, before the work for it is done.

    Raises:
        CommandError: It is no ordinary file, or the system does not let it be looked at.
    """
    try:
        odd = no_file(path)
    except (OSError, ValueError) as fault:
        raise CommandError(NOT_WRITTEN(why=reason(fault)), str(path), _NAME_ANOTHER) from None
    if odd is not None and path not in _STREAMS:
        raise CommandError(odd[0], str(path), odd[1])


def _check(path: Path, begins: bytes, reads: Iterable[Path]) -> None:
    check_place(path)
    if not path.is_file():
        return
    if any(each.exists() and path.samefile(each) for each in reads):
        raise CommandError(_IS_READ, str(path), _NAME_ANOTHER)
    with path.open("rb") as file:
        there = file.read(_HEAD)
    if not there:
        return
    kind = _kind(there)
    if kind[0] == _KEPT or kind != _kind(begins[:_HEAD]):
        raise CommandError(_OTHER_KIND, str(path), _NAME_ANOTHER)


def _kind(head: bytes) -> tuple[str, bytes]:
    """Return the form of a file by what is inside, and what tells its kind from others of that form.

    A program, a page and a drawing say inside who made them. A table or a text has no room for that;
    two of those are of one kind when they have the same first line.
    """
    begins = head.lstrip().lower()
    if _RECORD.match(begins):
        return _KEPT, b""
    for beginning, form in _BEGINNINGS.items():
        if begins.startswith(beginning.lower()):
            return form, _maker(begins)
    root = _ROOT.search(begins) if begins.startswith(b"<") else None
    if root is not None:
        return "xml", root[1] + b" " + _maker(begins)
    if b"\0" in head:
        return "binary", b""
    return "text", begins.splitlines()[0][:_LINE].rstrip() if begins else b""


def _maker(begins: bytes) -> bytes:
    found = _MAKER.search(begins)
    return found[0].rpartition(b"drycycle ")[2].strip() if found is not None else b""


def _replace(path: Path, data: bytes) -> None:
    """Write beside the place, then rename; what was begun is taken away again when that fails."""
    beside = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        with beside.open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    except BaseException:
        with contextlib.suppress(OSError):
            beside.unlink()
        raise
