"""Whether the session of a record still runs: somebody holds its file, or the file that it is a copy of.

The limit of it: a copy of the record of a running session is known by that session's own record only
where this lies in the same folder, in the record folder or where it was rescued to; and on a file
system without locks a session that runs is taken for one that was broken off.

Never here: who is told what of such a record.
"""

from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

from sim.errors import DrycycleError, RecordError
from sim.records.folder import home
from sim.records.hold import is_held
from sim.records.lasting import RESCUE, rescue_folders
from sim.records.reading import SessionRecord, read_record


def is_running(path: Path, record: SessionRecord) -> bool:
    """Return whether the session of a record still runs, also of a copy of its record."""
    return is_held(path, unknown=False) or any(
        is_held(each, unknown=False) and _same_opening(each, record) for each in _beside(path)
    )


def _beside(path: Path) -> Iterator[Path]:
    with suppress(RecordError, OSError):
        yield from sorted(path.resolve().parent.glob("*.jsonl"))
    with suppress(RecordError, OSError):  # no home that can be read has no record
        yield from sorted((home() / "records").glob("*.jsonl"))
    for folder in rescue_folders():
        with suppress(OSError):
            yield from sorted(folder.glob(f"*{RESCUE}*.jsonl"))


def _same_opening(path: Path, record: SessionRecord) -> bool:
    try:
        return read_record(path, allow_cut=True).opening == record.opening
    except DrycycleError:
        return False
