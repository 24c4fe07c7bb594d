"""Who may play a record that has no closing line: what it comes to would tell what is hidden in it.

While a session runs nobody beside it is told anything, the code or not: a trainee may have begun it
with one of his own. An assessment that was broken off is its instructor's, who has the code. It is
decided before anything is played, so neither words nor exit code nor time depend on what is hidden.

The limit of it: a copy of the record of a running session is known by that session's own record only
where this lies in the same folder, in the record folder or where it was rescued to; and on a file
system without locks a session that runs is taken for one that was broken off.

Never here: playing it.
"""

from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Final

from sim.errors import DrycycleError, RecordError
from sim.records.folder import home
from sim.records.hold import is_held
from sim.records.lasting import RESCUE, rescue_folders
from sim.records.reading import SessionRecord, read_record
from sim.session.order_lines import key_of
from sim.words.message import plain

_STILL_RUNS: Final = plain("record.still-runs", "the session of this record is still running")
_CLOSE_IT: Final = plain("record.still-runs.to-do", "close it first")
_INSTRUCTORS: Final = plain(
    "record.killed-assessment",
    "this assessment was broken off, and what it comes to is told only to whoever has the "
    "instructor's code; it was begun without one",
)
_BEGIN_ANEW: Final = plain(
    "record.killed-assessment.to-do",
    "begin it again with drycycle play SCENARIO --instructor-code",
)


def record_to_tell(path: Path, code: Callable[[], str]) -> SessionRecord:
    """Return a record whose session may be told of to who asks; its end may be missing.

    Args:
        path: Its file.
        code: Asks for the instructor's code, where only that opens it: an assessment that was broken off.

    Raises:
        RecordError: The file is no record, its session still runs, or it is an assessment that was
            broken off and has no code.
        CommandError: What was typed is not the code.
    """
    record = read_record(path, allow_cut=True)
    if record.closing is not None:
        return record
    if is_running(path, record):
        raise RecordError(_STILL_RUNS, str(path), _CLOSE_IT)
    if record.opening.mode == "assessment" and key_of(record, code) is None:
        raise RecordError(_INSTRUCTORS, str(path), _BEGIN_ANEW)
    return record


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
