"""Where records and the bug log are kept on this computer.

`DRYCYCLE_HOME` names the folder; without it, the usual place for a program's own files.
"""

import os
import sys
from datetime import UTC, datetime
from pathlib import Path


def home() -> Path:
    """Return the folder for records and logs; it may not exist yet."""
    named = os.environ.get("DRYCYCLE_HOME")
    if named:
        return Path(named)
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA", Path.home() / "AppData" / "Local")) / "drycycle"
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Application Support" / "drycycle"
    return Path(os.environ.get("XDG_DATA_HOME", Path.home() / ".local" / "share")) / "drycycle"


def new_record_path(scenario: str) -> Path:
    """Return a path for a new record, named after scenario and time of day."""
    stamp = datetime.now(UTC).strftime("%Y%m%d-%H%M%S-%f")
    return home() / "records" / f"{scenario}-{stamp}.jsonl"


def today() -> str:
    """Return the date on this computer, ISO 8601, for a record's first line."""
    return datetime.now(UTC).date().isoformat()
