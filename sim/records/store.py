"""The file that a record grows in: made once, only ever added to, whole after a pulled plug.

A line counts as written when it is on the disk, not when the system has taken it. A line that
could not be written whole is taken off again, so that the file never goes on after a torn line.

Never here: what the lines say.
"""

import contextlib
import os
import stat
from pathlib import Path
from typing import NoReturn

from sim.errors import RecordError
from sim.records.hold import hold

LARGEST_BYTES = 64 * 1024 * 1024
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
            raise RecordError(
                "there is a file of that name already, and a record never replaces one",
                str(path),
                "choose another name",
            ) from None
        except (OSError, ValueError) as fault:  # ValueError: a NUL character in the name
            _refuse("the record cannot be started", path, fault)
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
            raise RecordError("the record is closed", str(self.path), "start a new one")
        rest = memoryview(line + b"\n")
        try:
            while rest:
                rest = rest[os.write(self._descriptor, rest) :]
            if self._durable:
                _to_disk(self._descriptor)
        except OSError as fault:
            self._take_back()
            _refuse("the last act could not be recorded", self.path, fault)
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


def contents(path: Path) -> bytes:
    """Return the bytes of a record's file, of at most 64 MiB.

    Raises:
        RecordError: The file is not there, is no file, is empty, too large or cannot be read.
    """
    try:
        state = path.stat()
        if not stat.S_ISREG(state.st_mode):
            raise RecordError("this is not a file", str(path), "name a session record")
        if state.st_size > LARGEST_BYTES:
            raise RecordError(
                f"the file is {state.st_size} bytes, and no session record is larger than"
                f" {LARGEST_BYTES}",
                str(path),
                "check that this is the file you mean",
            )
        with path.open("rb") as file:
            content = file.read(LARGEST_BYTES + 1)
    except (OSError, ValueError) as fault:
        _refuse("the record cannot be read", path, fault)
    if not content:
        raise RecordError("the file is empty", str(path), "look for a copy of the record")
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


def _refuse(what: str, path: Path, fault: OSError | ValueError) -> NoReturn:
    reason = getattr(fault, "strerror", None) or str(fault)
    raise RecordError(f"{what}: {reason}", str(path), "check the folder and the space on the disk")
