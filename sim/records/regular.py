"""Opens ordinary files only, and never waits: a pipe, a device or a folder in a file's place is refused at once.

A pipe that nobody writes to would keep a program waiting for ever where it only wanted to read.

Never here: what is in a file.
"""

import errno
import os
import stat
from pathlib import Path
from typing import BinaryIO, Final

_AT_ONCE: Final = getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
_NO_LINK: Final = getattr(os, "O_NOFOLLOW", 0)
READ: Final = os.O_RDONLY
ADD: Final = os.O_WRONLY | os.O_CREAT | os.O_APPEND
WRITE: Final = os.O_WRONLY | os.O_CREAT


def open_regular(path: Path, flags: int = READ, *, follow: bool = True) -> int:
    """Return a descriptor of an ordinary file.

    Args:
        path: The file.
        flags: As `os.open` has them.
        follow: Whether a symbolic link stands for the file that it leads to.

    Raises:
        OSError: It cannot be opened, or it is no ordinary file.
        ValueError: No file can have that name.
    """
    descriptor = os.open(path, flags | _AT_ONCE | (0 if follow else _NO_LINK), 0o644)
    if not stat.S_ISREG(os.fstat(descriptor).st_mode):
        os.close(descriptor)
        raise OSError(errno.EINVAL, os.strerror(errno.EINVAL), str(path))
    return descriptor


def reading(path: Path, *, follow: bool = True) -> BinaryIO:
    """Return an ordinary file, open for reading octets; raises as `open_regular` does."""
    return os.fdopen(open_regular(path, follow=follow), "rb")
