"""Whether somebody still writes a record: a lock on its file that goes with the writer's process.

The system lets the lock go when the program ends, however it ends, so a record whose writer was
killed is told from one that grows. On a share between two computers it may not be seen.

Never here: what is written.
"""

import errno
import os
import sys
from pathlib import Path

from sim.records.regular import open_regular

if sys.platform == "win32":
    import msvcrt

    _FAR = 1 << 40  # past the end of any record, so that nobody is kept from reading

    def hold(descriptor: int) -> None:
        """Hold a record's open file until it is closed."""
        os.lseek(descriptor, _FAR, os.SEEK_SET)
        msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)

else:
    import fcntl

    def hold(descriptor: int) -> None:
        """Hold a record's open file until it is closed."""
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)


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


def is_held(path: Path) -> bool:
    """Return whether another open file holds the record; True where that cannot be known."""
    try:
        descriptor = _opened(path)
    except OSError:
        return True
    try:
        hold(descriptor)
    except OSError:
        return True
    finally:
        os.close(descriptor)
    return False
