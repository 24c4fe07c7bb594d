"""Writes what is needed to mend a bug of this program to a file, so that the screen stays short."""

import traceback
from datetime import UTC, datetime
from pathlib import Path

from sim.records.folder import home


def write_bug(fault: BaseException) -> Path:
    """Append the traceback to the bug log; return the file's path."""
    path = home() / "bugs.log"
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("a", encoding="utf-8") as log:
        log.write(f"--- {datetime.now(UTC).isoformat(timespec='seconds')}\n")
        traceback.print_exception(fault, file=log)
    return path
