"""Where records and the bug log are kept on this computer.

`DRYCYCLE_HOME` names the folder; without it, the usual place for a program's own files.
"""

import os
import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from sim.errors import RecordError
from sim.words.message import plain

_NO_HOME: Final = plain("folder.no-home", "this computer tells no home folder for records")
_NAME_ONE: Final = plain(
    "folder.no-home.to-do", "name one in DRYCYCLE_HOME; play --no-record keeps no record"
)
_NO_FOLDER: Final = plain("folder.none", "there is no such folder")
_NOT_FOLDER: Final = plain("folder.file", "this is a file, and no folder")
_DEVICE: Final = plain("folder.device", "this is a device or a pipe, and no folder")
_NAME_FOLDER: Final = plain("folder.none.to-do", "name a folder with records")


def check_folder(folder: Path) -> None:
    """Refuse what is no folder.

    Raises:
        RecordError: It is none; what it is is told.
    """
    if not folder.is_dir():
        there = _NOT_FOLDER if folder.is_file() else _DEVICE if folder.exists() else _NO_FOLDER
        raise RecordError(there, str(folder), _NAME_FOLDER)


def home() -> Path:
    """Return the folder for records and logs; it may not exist yet.

    Raises:
        RecordError: Nobody names one, and the system tells none.
    """
    named = os.environ.get("DRYCYCLE_HOME")
    if named:
        return Path(named)
    return _usual_place() / "drycycle"


def _usual_place() -> Path:
    variable, below_home = {
        "win32": ("LOCALAPPDATA", ("AppData", "Local")),
        "darwin": ("", ("Library", "Application Support")),
    }.get(sys.platform, ("XDG_DATA_HOME", (".local", "share")))
    place = os.environ.get(variable, "")
    if os.path.isabs(place):  # noqa: PTH117 - and no relative one, as the XDG rules have it
        return Path(place)
    try:
        return Path.home().joinpath(*below_home)
    except RuntimeError:
        raise RecordError(_NO_HOME, "HOME", _NAME_ONE) from None


def new_record_path(scenario: str) -> Path:
    """Return a path for a new record, named after scenario and time of day."""
    stamp = datetime.now(UTC).strftime("%Y%m%d-%H%M%S-%f")
    return home() / "records" / f"{scenario}-{stamp}.jsonl"


def today() -> str:
    """Return the date on this computer, ISO 8601, for a record's first line."""
    return datetime.now(UTC).date().isoformat()
