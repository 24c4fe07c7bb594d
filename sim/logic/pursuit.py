"""What follows a move: what is kept is kept, and the job pursues its step until it rests.

From one code of the job's part a pursuit looks at few other parts, so where nothing is asked it is
a table: the number that it ends in, less what the other parts add. The rest is run by the tree.

numpy is imported when it runs. Imports `compile`, `extent`, `memory`, `packing`, `sweep`.
"""

from dataclasses import dataclass
from math import prod
from typing import Any, Final

from sim.logic.compile import Model
from sim.logic.extent import Extents
from sim.logic.packing import JOB_PART, Frame, Packing, key_of
from sim.logic.sweep import Answers, Block, Sweep

_MOST_ENTRIES: Final = 300_000  # in one table
STRANGE: Final = -(1 << 50)  # where a part takes a combination that has no digit

# The states of the job in which it has something to pursue.
ACTIVE: Final = (
    "RESETTING", "STARTING", "UNHOLDING", "CLEARING", "ABORTING", "EXECUTE", "HOLDING", "STOPPING",
    "COMPLETING",
)  # fmt: skip

# The motions of the job that have permissives to keep.
_DRIVEN: Final = (
    ("shuttle", "origin.shuttle", ("TO_STOP", "TO_BLADE")),
    ("head", "origin.head", ("LOWERING",)),
)


@dataclass(slots=True)
class _Ends:
    """Where pursuits from one code of the job's part end."""

    parts: tuple[int, ...]
    strides: tuple[int, ...]
    ends: Any  # what the job's part and these parts make of the number


class Pursuit:
    """Lets states come to rest."""

    def __init__(
        self, model: Model, packing: Packing, sweep: Sweep, frame: Frame, extents: Extents
    ) -> None:
        self._model = model
        self._packing = packing
        self._sweep = sweep
        self._frame = frame
        self._extents = extents
        self._active = sweep.having("job", ACTIVE)
        self._codes = frozenset(int(code) for code in self._active.nonzero()[0])
        self._drives = [
            (packing.part_of[machine], sweep.having(machine, states) & sweep.having(who, ("AUTO",)))
            for machine, who, states in _DRIVEN
        ]
        self._ends: dict[int, _Ends | None] = {}
        self.unknown: dict[int, set[int]] = {}  # codes that were met and have no digit

    def drives(self, block: Block) -> Any:
        """Return the rows where the job drives a motion that has something to keep."""
        (one, shuttle), (other, head) = self._drives
        return shuttle[block[one]] | head[block[other]]

    def settle(self, block: Block, answers: Answers) -> None:
        """Let what is kept be kept and the job pursue its step, on every row, by the trees."""
        import numpy as np

        self._sweep.start(len(block[0]), answers)
        self._sweep.run(self._model.keep, block, np.flatnonzero(self.drives(block)))
        self._pursue(block, np.flatnonzero(self._active[block[JOB_PART]]))
        self._sweep.tidy(block)

    def _pursue(self, block: Block, rows: Any) -> None:
        while rows.size:
            again = self._sweep.run(self._model.advance, block, rows)
            rows = rows[again[rows]]

    def settled(self, block: Block, answers: Answers) -> tuple[Any, Any]:
        """Return every row's number at rest, negative where it has none, and where it was asked."""
        import numpy as np

        self._sweep.start(len(block[0]), answers)
        self._sweep.run(self._model.keep, block, np.flatnonzero(self.drives(block)))
        digits = [known[column] for known, column in zip(self._frame.digits, block, strict=True)]
        numbers = np.full(len(block[0]), STRANGE, dtype=np.int64)
        job = block[JOB_PART]
        left = []
        for code in np.unique(job).tolist():
            rows = np.flatnonzero(job == code)
            ends = self._table(code) if self._active[code] else None
            if ends is None:
                left.append(rows)
                continue
            numbers[rows] = self._ended(ends, [column[rows] for column in digits])
            left.append(rows[numbers[rows] < 0])
        rows = np.concatenate(left) if left else np.zeros(0, dtype=np.int64)
        if rows.size:
            self._pursue(block, rows[self._active[job[rows]]])
            some = [column[rows] for column in block]
            self._sweep.tidy(some)
            numbers[rows], unknown = self._frame.numbers(some)
            for part, codes in unknown.items():
                self.unknown.setdefault(part, set()).update(codes)
        return numbers, self._sweep.asked

    def _ended(self, ends: _Ends, digits: list[Any]) -> Any:
        strange = digits[1] < 0
        for column in digits[2:]:
            strange |= column < 0
        numbers = ends.ends[key_of(digits, ends.parts, ends.strides) * ~strange]
        for part, stride in enumerate(self._frame.strides):
            if part != JOB_PART and part not in ends.parts:
                numbers = numbers + digits[part] * stride
        numbers[strange] = STRANGE
        return numbers

    def _table(self, code: int) -> _Ends | None:
        if code not in self._ends:
            self._ends[code] = self._tabled(code)
        return self._ends[code]

    def _tabled(self, code: int) -> _Ends | None:
        import numpy as np

        frame = self._frame
        extent = self._extents.pursued(self._model.advance, frozenset({code}), self._codes)
        parts = tuple(sorted(self._extents.parts(extent)))
        if extent.asks or prod(frame.counts[part] for part in parts) > _MOST_ENTRIES:
            return None
        digits, strides, size = frame.grid(parts)
        block: Block = [codes[column] for codes, column in zip(frame.codes, digits, strict=True)]
        block[JOB_PART] = np.full(size, code, dtype=block[JOB_PART].dtype)
        self._keeping_flags(block)
        ends = np.zeros(size, dtype=np.int64)
        strange = np.zeros(size, dtype=bool)
        for part in (JOB_PART, *parts):
            digit = frame.digits[part][block[part]]
            strange |= digit < 0
            ends += digit * frame.strides[part]
        ends[strange] = STRANGE
        return _Ends(parts, strides, ends)

    def _keeping_flags(self, block: Block) -> None:
        """Pursue on every row of another block than the one that is being worked on."""
        import numpy as np

        outer = self._sweep.paused()
        self._sweep.start(len(block[0]), {})
        self._pursue(block, np.arange(len(block[0])))
        self._sweep.tidy(block)
        self._sweep.resume(outer)
