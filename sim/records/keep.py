"""Results that take long to work out, kept on this computer so that they are worked out once.

What is kept may vanish at any time and is never the only copy of anything. It lies in a folder of
its own, told by its marker; a folder that is there without one is somebody else's and stays as it is.
A key holds a digest of all that decides the result, `engine` for the program itself, and a file a
digest of key and content: a file that does not fit, is no plain file or belongs to another user
counts as not kept, and is replaced. That is against accident, not against the owner of the folder,
who can work out any digest; so whoever takes something out of here looks whether it can be true.

Never here: anything that hangs on what a scenario hides. Trying every cause on a key, a size or a
content must tell nothing.
"""

import hashlib
import os
import re
import stat
import tempfile
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import Final

from sim.bugs import TableError
from sim.errors import DrycycleError
from sim.records.folder import home
from sim.resources import shipped

FOLDER: Final = "drycycle-kept"
MARKER: Final = "CACHEDIR.TAG"  # by which programs that back up know what they may leave out
_MARK: Final = (
    b"Signature: 8a477f597d28d172789f06886806bc55\n"
    b"# Drycycle keeps here what it can work out again. All of it may be deleted.\n"
)
_KEY: Final = re.compile(r"[a-z]{1,20}-[0-9a-f]{64}")
_NEW: Final = re.compile(
    r"\.new-[a-z0-9_]{8}"
)  # being written, or left by a process that was killed
_ASIDE: Final = "not-kept-"  # where a folder goes that has the name of a file
_MOST_FILES: Final = 400  # the oldest go first
_MOST_OCTETS: Final = 16 * 2**20  # of a file; a hundred times what there is
_FAILURES: Final = (OSError, RuntimeError, DrycycleError)  # no home, no folder, no room: not kept


def key_of(kind: str, decides: bytes) -> str:
    """Return the key for a result.

    Args:
        kind: Of result, up to 20 small letters.
        decides: All that the result hangs on.
    """
    return f"{kind}-{hashlib.sha256(decides).hexdigest()}"


def kept(key: str) -> bytes | None:
    """Return what was kept under a key, or None.

    Raises:
        TableError: It is no key of `key_of`.
    """
    _check(key)
    with suppress(*_FAILURES):
        folder = _folder()
        if not _is_ours(folder):
            return None
        whole = _read(folder / key, used=True)
        if whole is not None:
            told, _, content = whole.partition(b"\n")
            if told == _digest(key, content):
                return content
    return None


def keep(key: str, content: bytes) -> None:
    """Keep a result under a key; what cannot be kept is forgotten.

    Raises:
        TableError: It is no key of `key_of`.
    """
    _check(key)
    with suppress(*_FAILURES):
        folder = _folder()
        folder.mkdir(parents=True, exist_ok=True)
        if not _is_ours(folder):
            if any(folder.iterdir()):
                return
            _put(folder, MARKER, _MARK)
        _put(folder, key, _digest(key, content) + b"\n" + content)
        _let_the_oldest_go(folder)


@cache
def engine() -> str:
    """Return the SHA-256 of this program's code and of the tables that ship with it, hexadecimal."""
    digest = hashlib.sha256()
    code = Path(__file__).resolve().parent.parent
    tables = shipped("scenarios")
    for root, pattern in ((code, "*.py"), (tables / "machines", "*"), (tables / "materials", "*")):
        for path in sorted(root.rglob(pattern)):
            if path.is_file():
                content = path.read_bytes()
                digest.update(f"{path.relative_to(root).as_posix()} {len(content)}\n".encode())
                digest.update(content)
    return digest.hexdigest()


def _check(key: str) -> None:
    if not _KEY.fullmatch(key):
        raise TableError("it is no key for what is kept", key)


def _folder() -> Path:
    named = os.environ.get("DRYCYCLE_CACHE")
    return (Path(named) if named else home()) / FOLDER


def _is_ours(folder: Path) -> bool:
    try:
        return _read(folder / MARKER) == _MARK
    except OSError:
        return False


def _digest(key: str, content: bytes) -> bytes:
    return hashlib.sha256(key.encode() + b"\n" + content).hexdigest().encode()


def _read(path: Path, *, used: bool = False) -> bytes | None:
    """Return what is in a plain file of this user's; None for anything else.

    Raises:
        OSError: There is none.
    """
    # A pipe is not waited for, and a link not followed.
    flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
    with os.fdopen(os.open(path, flags | getattr(os, "O_BINARY", 0)), "rb") as file:
        told = os.fstat(file.fileno())
        if not _is_plain(told) or told.st_size > _MOST_OCTETS:
            return None
        if used and os.utime in os.supports_fd:
            with suppress(OSError):
                os.utime(file.fileno())
        return file.read(_MOST_OCTETS)


def _is_plain(told: os.stat_result) -> bool:
    """Return whether it is a file, and this user's."""
    return stat.S_ISREG(told.st_mode) and (
        not hasattr(os, "geteuid") or told.st_uid == os.geteuid()
    )


def _put(folder: Path, name: str, content: bytes) -> None:
    """Put a file there, whole or not at all; what has its name makes room."""
    descriptor, new = tempfile.mkstemp(dir=folder, prefix=".new-")
    try:
        with os.fdopen(descriptor, "wb") as file:
            file.write(content)
        target = folder / name
        if target.is_dir() and not target.is_symlink():
            target.rename(Path(tempfile.mkdtemp(dir=folder, prefix=_ASIDE)) / name)
        Path(new).replace(target)
    except OSError:
        Path(new).unlink(missing_ok=True)
        raise


def _let_the_oldest_go(folder: Path) -> None:
    """Delete the files of ours that were not used for longest, and no other."""
    with os.scandir(folder) as found:
        ours = [
            (told.st_mtime_ns, each.path)
            for each in found
            if (_KEY.fullmatch(each.name) or _NEW.fullmatch(each.name))
            and _is_plain(told := each.stat(follow_symlinks=False))
        ]
    for _, path in sorted(ours)[:-_MOST_FILES]:
        Path(path).unlink(missing_ok=True)
