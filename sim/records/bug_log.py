"""Writes what is needed to mend a bug of this program to a file, so that the screen stays short."""

import tempfile
import traceback
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from sim.errors import RecordError
from sim.records.folder import home

_LOG: Final = "bugs.log"


def write_bug(fault: BaseException) -> Path | None:
    """Append the traceback to the bug log; return the file's path, or None where none can be written.

    Where the program's own folder cannot be written, the log lies in the folder for temporary files.
    """
    for place in (_at_home, _among_temporary_files):
        with suppress(OSError, ValueError, RecordError):
            path = place()
            path.parent.mkdir(parents=True, exist_ok=True)
            with path.open("a", encoding="utf-8") as log:
                log.write(f"--- {datetime.now(UTC).isoformat(timespec='seconds')}\n")
                traceback.print_exception(fault, file=log)
            return path
    return None


def _at_home() -> Path:
    return home() / _LOG


def _among_temporary_files() -> Path:
    return Path(tempfile.gettempdir()) / f"drycycle-{_LOG}"
