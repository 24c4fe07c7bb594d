"""The counters on the JOB strip: what the job is told by hand."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from sim.control.job import Job
from sim.words.message import Message, plain


@dataclass(frozen=True, slots=True)
class Dial:
    """One whole-number counter."""

    name: str
    title: Message
    read: Callable[[Job], int]
    write: Callable[[Job, int], None]
    low: int
    high: int


def _set_wanted(job: Job, count: int) -> None:
    job.wanted = count


def _set_strokes(job: Job, count: int) -> None:
    job.strokes = count


DIALS: Final = (
    Dial(
        "job.wanted", plain("dial.wanted", "pieces wanted"), lambda j: j.wanted, _set_wanted, 1, 500
    ),
    Dial(
        "job.strokes",
        plain("dial.strokes", "strokes a piece"),
        lambda j: j.strokes,
        _set_strokes,
        1,
        20,
    ),
)

BY_NAME: Final = {row.name: row for row in DIALS}
