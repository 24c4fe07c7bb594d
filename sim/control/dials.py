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


def _set_run_on(job: Job, minutes: int) -> None:
    job.set_run_on(minutes)


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
    Dial(
        "job.run_on_min",
        plain("dial.run-on", "minutes that the band runs on"),
        lambda j: j.run_on_min,
        _set_run_on,
        0,
        10,
    ),
)

BY_NAME: Final = {row.name: row for row in DIALS}
