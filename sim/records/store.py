"""The file that a record grows in: made once, only ever added to, whole after a pulled plug.

A line counts as written when it is on the disk, not when the system has taken it. A line that
could not be written whole is taken off again, so that the file never goes on after a torn line.

Never here: what the lines say.
"""

import contextlib
import os
import stat
from pathlib import Path
from typing import Final, NoReturn

from sim.errors import RecordError, reason
from sim.records.hold import hold
from sim.words.fields import number, part
from sim.words.message import Message, Row, plain, row

LARGEST_BYTES = 64 * 1024 * 1024

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
_LARGE: Final = row(
    "store.large", "the file is {size} bytes, and no session record is larger than {most}",
    size=number(), most=number(),
)  # fmt: skip
_MEANT: Final = plain("store.large.to-do", "check that this is the file you mean")
_NOT_READ: Final = row("store.not-read", "the record cannot be read: {reason}", reason=part())
_EMPTY: Final = plain("store.empty", "the file is empty")
_COPY: Final = plain("store.empty.to-do", "look for a copy of the record")
_CHECK: Final = plain("store.check", "check the folder and the space on the disk")

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
        except FileExistsError:
            raise RecordError(_THERE, str(path), _OTHER_NAME) from None
        except (OSError, ValueError) as fault:  # ValueError: a NUL character in the name
            _refuse(_NOT_STARTED, path, fault)
        with contextlib.suppress(OSError):  # a file system without locks keeps records all the same
            hold(self._descriptor)
        if durable:
            _sync_folder(path.parent)

    def add(self, line: bytes) -> None:
        """Write a line and its end, whole or not at all.

        Raises:
            RecordError: The file is closed, or the disk would not take the line.
        """
        if self._descriptor is None:
            raise RecordError(_CLOSED, str(self.path), _NEW_ONE)
        rest = memoryview(line + b"\n")
        try:
            while rest:
                rest = rest[os.write(self._descriptor, rest) :]
            if self._durable:
                _to_disk(self._descriptor)
        except OSError as fault:
            self._take_back()
            _refuse(_NOT_RECORDED, self.path, fault)
        self._length += len(line) + 1

    def _take_back(self) -> None:
        """Cut a torn line off; if even that fails, let nothing follow it."""
        assert self._descriptor is not None
        try:
            os.ftruncate(self._descriptor, self._length)
        except OSError:
            self.close()

    def close(self) -> None:
        """Let the file go; nothing can be added any more."""
        if self._descriptor is not None:
            os.close(self._descriptor)
            self._descriptor = None


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
        _refuse(_NOT_STARTED, path, fault)


def contents(path: Path) -> bytes:
    """Return the bytes of a record's file, of at most 64 MiB.

    Raises:
        RecordError: The file is not there, is no file, is empty, too large or cannot be read.
    """
    try:
        state = path.stat()
        if not stat.S_ISREG(state.st_mode):
            raise RecordError(_NO_FILE, str(path), _NAME_RECORD)
        if state.st_size > LARGEST_BYTES:
            told = _LARGE(size=state.st_size, most=LARGEST_BYTES)
            raise RecordError(told, str(path), _MEANT)
        with path.open("rb") as file:
            content = file.read(LARGEST_BYTES + 1)
    except (OSError, ValueError) as fault:
        _refuse(_NOT_READ, path, fault, _NAME_RECORD)
    if not content:
        raise RecordError(_EMPTY, str(path), _COPY)
    return content


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
