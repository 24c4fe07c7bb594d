"""Who may play a record that has no closing line: what it comes to would tell what is hidden in it.

While a session runs nobody beside it is told anything, the code or not: a trainee may have begun it
with one of his own. An assessment that was broken off is its instructor's, who has the code. It is
decided before anything is played, so neither words nor exit code nor time depend on what is hidden.

Never here: playing it, and how it is known that a session runs (see `records.running`).
"""

from collections.abc import Callable
from pathlib import Path
from typing import Final

from sim.errors import RecordError
from sim.records.reading import SessionRecord, read_record
from sim.records.running import is_running
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
