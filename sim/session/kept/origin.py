"""Where a session comes from: the files that it was opened on, who sits at it, in which course.

Never here: what is in the files.
"""

from dataclasses import dataclass
from pathlib import Path

from sim.records.rows import Fork


@dataclass(frozen=True, slots=True)
class Origin:
    """What a record's opening line says besides the session itself."""

    scenario: str = ""  # name of its file
    path: str = ""  # as it was named
    scenario_sha256: str = ""
    scenario_file: bytes = b""
    machine_file: bytes = b""
    day: str = ""  # ISO 8601
    who: str = ""  # a pseudonym
    helper: str = ""
    course: str = ""
    course_version: str = ""
    attempt: int | None = None
    fork: Fork | None = None
    seed: int = 0  # of its chance: scatter of pieces, errors of readings; 0 for none
    orders_salt: str = ""
    orders_check: str = ""  # of the instructor's code
    answer_known: bool = False  # an earlier record told the trainee what is hidden
    shift: bool = False  # the file is that of a shift of orders
    rehearsed: bool = False  # or a name or a remedy was tried in one that has no end

    @property
    def file(self) -> Path:
        """The scenario's file, for messages; it need not be there."""
        return Path(self.path or self.scenario)
