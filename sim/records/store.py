"""The file that a record grows in: made once, only ever added to, whole after a pulled plug.

A line counts as written when it is on the disk, not when the system has taken it. A line that
could not be written whole is taken off again, so that the file never goes on after a torn line.

Never here: what the lines say.
"""

import contextlib
import os
import stat
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Final, NoReturn

from sim.errors import RecordError, reason
from sim.records.hold import hold
from sim.records.regular import no_file
from sim.words.fields import part
from sim.words.message import Message, Row, plain, row

_AT_ONCE: Final = 1 << 20  # bytes that go out or come in together

_THERE: Final = plain(
    "store.there", "there is a file of that name already, and a record never replaces one"
)
_OTHER_NAME: Final = plain("store.there.to-do", "choose another name")
_NOT_STARTED: Final = row(
    "store.not-started", "the record cannot be started: {reason}", reason=part()
)
_CLOSED: Final = plain("store.closed", "the record is closed")
_NEW_ONE: Final = plain("store.closed.to-do", "start a new one")
_NOT_RECORDED: Final = row(
    "store.not-recorded", "the last act could not be recorded: {reason}", reason=part()
)
_NO_FILE: Final = plain("store.no-file", "this is not a file")
_NAME_RECORD: Final = plain("store.no-file.to-do", "name a session record")
_NOT_READ: Final = row("store.not-read", "the record cannot be read: {reason}", reason=part())
_EMPTY: Final = plain("store.empty", "the file is empty")
_COPY: Final = plain("store.empty.to-do", "look for a copy of the record")
_CHECK: Final = plain("store.check", "check the folder and the space on the disk")
_OR_NONE: Final = plain(
    "store.not-started.to-do",
    "check the folder and the space on the disk; play --no-record keeps no record",
)

_NEW = os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_APPEND | getattr(os, "O_BINARY", 0)
# fdatasync leaves out the times of the file; systems without it have the slower fsync.
_to_disk = getattr(os, "fdatasync", os.fsync)


class AppendFile:
    """A new file that lines are added to.

    Args:
        path: Where; nothing may be there yet.
        durable: Wait for the disk at every line.

    Raises:
        RecordError: Something is there, or the file cannot be made.
    """

    def __init__(self, path: Path, *, durable: bool = True) -> None:
        self.path = path
        self._durable = durable
        self._length = 0
        self._descriptor: int | None = None
        try:
            self._descriptor = os.open(path, _NEW, 0o644)
            self._is = _identity(os.fstat(self._descriptor))
        except FileExistsError:
            what, to_do = _odd(path) or (_THERE, _OTHER_NAME)
            raise RecordError(what, str(path), to_do) from None
        except (OSError, ValueError) as fault:  # ValueError: a NUL character in the name
            _refuse(_NOT_STARTED, path, fault, _OR_NONE)
        with contextlib.suppress(OSError):  # a file system without locks keeps records all the same
            hold(self._descriptor)

    def add(self, line: bytes) -> None:
        """Write a line and its end, whole or not at all.

        Raises:
            RecordError: The file is closed, or the disk would not take the line.
        """
        self.add_all((line,))

    def add_all(self, lines: Iterable[bytes]) -> None:
        """Write lines and their ends, all of them or none, and wait for the disk once.

        Raises:
            RecordError: The file is closed, or the disk would not take them.
        """
        if self._descriptor is None:
            raise RecordError(_CLOSED, str(self.path), _NEW_ONE)
        length, first = self._length, not self._length
        try:
            for part_ in _together(lines):
                rest = memoryview(part_)
                while rest:
                    rest = rest[os.write(self._descriptor, rest) :]
                length += len(part_)
            if self._durable:
                _to_disk(self._descriptor)
        except BaseException as fault:
            self._take_back()
            if isinstance(fault, OSError) and first:
                _refuse(_NOT_STARTED, self.path, fault, _OR_NONE)
            if isinstance(fault, OSError):
                _refuse(_NOT_RECORDED, self.path, fault)
            raise
        self._length = length
        if first and self._durable:
            _sync_folder(self.path.parent)

    def stands(self) -> bool:
        """Return whether the file is still where it was made, and as long as what was written to it."""
        try:
            there = self.path.stat()
        except (OSError, ValueError):
            return False
        return _identity(there) == self._is and there.st_size == self._length

    def _take_back(self) -> None:
        """Cut a torn line off; if even that fails, let nothing follow it."""
        assert self._descriptor is not None
        try:
            if os.fstat(self._descriptor).st_size < self._length:
                self.close()  # somebody cut it, and what was cut off would come back as zeros
            else:
                os.ftruncate(self._descriptor, self._length)
        except OSError:
            self.close()

    def close(self) -> None:
        """Let the file go; nothing can be added any more."""
        if self._descriptor is not None:
            os.close(self._descriptor)
            self._descriptor = None

    def drop_empty(self) -> None:
        """Let the file go, and take it away where nothing is in it."""
        self.close()
        with contextlib.suppress(OSError):
            there = self.path.stat()
            if _identity(there) == self._is and not there.st_size:
                self.path.unlink()


def _identity(of: os.stat_result) -> tuple[int, int]:
    return of.st_dev, of.st_ino


def _together(lines: Iterable[bytes]) -> Iterator[bytes]:
    """Yield lines with their ends, as many at a time as go out at once."""
    part_ = bytearray()
    for line in lines:
        part_ += line
        part_ += b"\n"
        if len(part_) >= _AT_ONCE:
            yield bytes(part_)
            part_.clear()
    if part_:
        yield bytes(part_)


def make_folder(path: Path) -> None:
    """Make the folder that a record is to lie in.

    Args:
        path: Of the record.

    Raises:
        RecordError: The folder cannot be made.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as fault:
        _refuse(_NOT_STARTED, path, fault, _OR_NONE)


def lines_in(path: Path, most: int) -> Iterator[bytes]:
    """Yield the lines of a record's file without their ends, and last what follows the last end.

    Args:
        path: Of the record.
        most: No line of a record has more bytes; of a longer one so many and one more come, and
            nothing after it.

    Raises:
        RecordError: The file is not there, is no file, is empty or cannot be read.
    """
    try:
        state = path.stat()
        if not stat.S_ISREG(state.st_mode):
            raise RecordError(_NO_FILE, str(path), _NAME_RECORD)
        if not state.st_size:
            raise RecordError(_EMPTY, str(path), _COPY)
        with path.open("rb", buffering=_AT_ONCE) as file:
            line = b"\n"
            while line.endswith(b"\n"):
                line = file.readline(most + 1)
                yield line.removesuffix(b"\n")
    except (OSError, ValueError) as fault:
        _refuse(_NOT_READ, path, fault, _NAME_RECORD)


def _odd(path: Path) -> tuple[Message, Message] | None:
    """Return what is in the place of a record and is no file, where that can be told."""
    try:
        return no_file(path)
    except OSError:  # a link to itself, say
        return None


def _sync_folder(folder: Path) -> None:
    """Put the new name itself on the disk, where the system lets a folder be opened."""
    try:
        descriptor = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(descriptor)
    except OSError:
        return
    finally:
        os.close(descriptor)


def _refuse(
    what: Row, path: Path, fault: OSError | ValueError, to_do: Message = _CHECK
) -> NoReturn:
    raise RecordError(what(reason=reason(fault)), str(path), to_do)
