"""Results that take long to work out, kept on this computer so that they are worked out once.

What is kept may vanish at any time and is never the only copy of anything: a file that is missing,
torn or unreadable counts as not kept, and a folder that cannot be written keeps nothing. The key
must hold all that decides the result; `engine` stands in it for the program itself.
"""

import hashlib
import os
import tempfile
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import Final

from sim.records.folder import home
from sim.resources import shipped

_MOST_FILES: Final = 200  # the oldest go first


def kept(key: str) -> bytes | None:
    """Return what was kept under a key, or None."""
    path = _folder() / key
    try:
        content = path.read_bytes()
        os.utime(path)
    except OSError:
        return None
    return content


def keep(key: str, content: bytes) -> None:
    """Keep a result under a key of letters, digits and hyphens; what cannot be kept is forgotten."""
    folder = _folder()
    with suppress(OSError):
        folder.mkdir(parents=True, exist_ok=True)
        descriptor, name = tempfile.mkstemp(dir=folder, prefix=".new-")
        try:
            with os.fdopen(descriptor, "wb") as file:
                file.write(content)
            Path(name).replace(folder / key)  # whole or not at all
        except OSError:
            Path(name).unlink(missing_ok=True)
            raise
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


def _folder() -> Path:
    named = os.environ.get("DRYCYCLE_CACHE")
    return Path(named) if named else home() / "cache"


def _let_the_oldest_go(folder: Path) -> None:
    files = sorted(folder.iterdir(), key=lambda path: path.stat().st_mtime)
    for path in files[:-_MOST_FILES]:
        path.unlink(missing_ok=True)
