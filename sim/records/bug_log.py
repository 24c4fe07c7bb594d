"""Writes what is needed to mend a bug of this program to a file, so that the screen stays short."""

import tempfile
import traceback
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from sim.records.folder import home

_LOG: Final = "bugs.log"


def write_bug(fault: BaseException) -> Path | None:
    """Append the traceback to the bug log; return the file's path, or None where none can be written.

    Where the program's own folder cannot be written, the log lies in the folder for temporary files.
    """
    for path in (home() / _LOG, Path(tempfile.gettempdir()) / f"drycycle-{_LOG}"):
        with suppress(OSError, ValueError):
            path.parent.mkdir(parents=True, exist_ok=True)
            with path.open("a", encoding="utf-8") as log:
                log.write(f"--- {datetime.now(UTC).isoformat(timespec='seconds')}\n")
                traceback.print_exception(fault, file=log)
            return path
    return None
