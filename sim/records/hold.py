"""Whether somebody still writes a record: a lock on its file that goes with the writer's process.

The system lets the lock go when the program ends, however it ends, so a record whose writer was
killed is told from one that grows. On a share between two computers it may not be seen.

Never here: what is written.
"""

import errno
import os
import sys
from pathlib import Path
from typing import Final

from sim.records.regular import open_regular

if sys.platform == "win32":
    import msvcrt

    _FAR = 1 << 40  # past the end of any record, so that nobody is kept from reading

    def hold(descriptor: int) -> None:
        """Hold a record's open file until it is closed; whoever only looks lets it go at once."""
        _lock(descriptor, msvcrt.LK_LOCK)

    def _try(descriptor: int) -> None:
        _lock(descriptor, msvcrt.LK_NBLCK)

    def _lock(descriptor: int, how: int) -> None:
        os.lseek(descriptor, _FAR, os.SEEK_SET)
        msvcrt.locking(descriptor, how, 1)

else:
    import fcntl

    def hold(descriptor: int) -> None:
        """Hold a record's open file until it is closed; whoever only looks lets it go at once."""
        fcntl.flock(descriptor, fcntl.LOCK_EX)

    def _try(descriptor: int) -> None:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)


_HELD: Final = (errno.EWOULDBLOCK, errno.EAGAIN, errno.EACCES, errno.EDEADLK)
"""What systems say of a lock that somebody else has."""


def _opened(path: Path) -> int:
    """Return a descriptor of the file; one that may only be read is no record that grows, but may be held."""
    try:
        return open_regular(path, os.O_RDWR)
    except PermissionError:
        return open_regular(path)
    except OSError as fault:
        if fault.errno != errno.EROFS:
            raise
        return open_regular(path)


def is_held(path: Path, *, unknown: bool = True) -> bool:
    """Return whether another open file holds the record.

    Args:
        path: The record's file.
        unknown: What to answer where it cannot be known: on a file system without locks.
    """
    try:
        descriptor = _opened(path)
    except OSError:
        return unknown
    try:
        _try(descriptor)
    except OSError as fault:
        return unknown or fault.errno in _HELD
    finally:
        os.close(descriptor)
    return False
