"""Opens ordinary files only, and never waits: a pipe, a device or a folder in a file's place is refused at once.

A pipe that nobody writes to would keep a program waiting for ever where it only wanted to read.

Never here: what is in a file.
"""

import errno
import os
import stat
from pathlib import Path
from typing import BinaryIO, Final

from sim.words.message import Message, plain

_AT_ONCE: Final = getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
_NO_LINK: Final = getattr(os, "O_NOFOLLOW", 0)
READ: Final = os.O_RDONLY
ADD: Final = os.O_WRONLY | os.O_CREAT | os.O_APPEND
WRITE: Final = os.O_WRONLY | os.O_CREAT

_FOLDER: Final = plain("regular.folder", "this is a folder")
_NAME_IN_IT: Final = plain("regular.folder.do", "name a file in it")
_DEVICE: Final = plain("regular.device", "this is a device or a pipe, not a file")
NAME_FILE: Final = plain("regular.device.do", "name a file")
_LEADS_NOWHERE: Final = plain("regular.nowhere", "this is a link that leads to no file")


def no_file(path: Path) -> tuple[Message, Message] | None:
    """Return what stands in the place of a file, and what to do; None of a file, and where nothing stands.

    Raises:
        OSError: The system does not let it be looked at.
        ValueError: No file can have that name.
    """
    try:
        mode = path.stat().st_mode
    except FileNotFoundError:
        return (_LEADS_NOWHERE, NAME_FILE) if path.is_symlink() else None
    if stat.S_ISDIR(mode):
        return _FOLDER, _NAME_IN_IT
    return None if stat.S_ISREG(mode) else (_DEVICE, NAME_FILE)


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
