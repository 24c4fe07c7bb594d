"""Visits every state that the model can reach, breadth first, many states at a time.

Theory. Most moves touch few parts. So moves that touch the same parts share one table over those
parts' digits: what each of them adds to a state's number. Only where the job has something to
pursue, or a motion something to keep, are the trees themselves run, for a whole block at once.
A layer of the search is all states that take one move more than the last; layers are kept, so that
a shortest way to any state can be walked back.

numpy is imported when it runs. Imports `compile`, `memory`, `packing`, `sweep`, `tables`.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import product
from typing import Any, Final

from sim.logic.compile import Model
from sim.logic.memory import QUESTIONS
from sim.logic.packing import Frame, Packing
from sim.logic.sweep import Block, Sweep
from sim.logic.tables import ACTIVE, JOB_PART, Tables

_MOST_ROWS: Final = 1 << 18  # worked on at a time


class NewCodes(Exception):  # noqa: N818 - not an error: the numbering has to grow
    """A part has taken a combination that has no digit yet."""


@dataclass(slots=True)
class Reached:
    """Every state that can be reached, in layers."""

    frame: Frame
    tables: Tables
    layers: list[Any] = field(default_factory=list)
    edges: int = 0

    @property
    def states(self) -> int:
        """How many states there are."""
        return sum(int(layer.size) for layer in self.layers)

    @property
    def depth(self) -> int:
        """How many moves the farthest state takes."""
        return len(self.layers) - 1


class Explorer:
    """Explores one model."""

    def __init__(self, model: Model) -> None:
        self.model = model
        self.packing = Packing()
        self.sweep = Sweep(self.packing, model.called)
        self._active = self.sweep.having("job", ACTIVE)
        for i, part in enumerate(self.packing.parts):
            self.packing.learn(i, [part.code(model.initial)])

    def reach(self) -> Reached:
        """Return every state that can be reached."""
        while True:
            try:
                return self._reach(self.packing.frame())
            except NewCodes:
                continue

    def _reach(self, frame: Frame) -> Reached:
        import numpy as np

        tables = Tables(self.model, self.packing, self.sweep, frame)
        reached = Reached(frame, tables)
        seen = np.zeros(frame.total // 8 + 1, dtype=np.uint8)
        frontier = np.array([frame.number(self.model.initial)], dtype=np.int64)
        mark(seen, frontier)
        while frontier.size:
            reached.layers.append(frontier)
            fresh = []
            for _, numbers in self.successors(tables, frontier):
                reached.edges += numbers.size
                new = numbers[~is_marked(seen, numbers)]
                if new.size:
                    fresh.append(new)
            if not fresh:
                break
            frontier = np.unique(np.concatenate(fresh))
            mark(seen, frontier)
        return reached

    def successors(self, tables: Tables, states: Any) -> Iterator[tuple[Any, Any]]:
        """Yield rows of `states` and their successors, in batches; a state itself never."""
        import numpy as np

        for start in range(0, states.size, _MOST_ROWS):
            numbers = states[start : start + _MOST_ROWS]
            digits = tables.frame.split(numbers)
            kept = tables.keeps_idle(digits)
            lone = kept.any()
            slow: list[tuple[Any, Block]] = []
            for group in tables.groups:
                key = group.key(digits)
                rows, entries = group.fast.find(key)
                if lone:
                    rows, entries = rows[~kept[rows]], entries[~kept[rows]]
                yield rows + start, numbers[rows] + group.adds[entries]
                rows, entries = group.slow.find(key)
                slow.append((rows, group.block(tables.frame, digits, rows, entries)))
            for move in tables.big:
                slow.append(tables.moved(move, digits))
            if lone:
                slow.extend(tables.kept(digits, kept))
            rows = np.concatenate([rows for rows, _ in slow])
            if rows.size:
                block = [np.concatenate(columns) for columns in zip(*(b for _, b in slow), strict=True)]
                for some, numbers_after in self._settled(tables.frame, rows, block):
                    changed = numbers_after != numbers[some]
                    yield some[changed] + start, numbers_after[changed]

    def _settled(self, frame: Frame, rows: Any, block: Block) -> Iterator[tuple[Any, Any]]:
        """Let what is kept be kept and the job pursue its step, for every pair of answers."""
        asked = None
        for answers in product((False, True), repeat=len(QUESTIONS)):
            some = rows if asked is None else rows[asked]
            if not some.size:
                return
            again = [column.copy() if asked is None else column[asked] for column in block]
            self.settle(again, dict(zip(QUESTIONS, answers, strict=True)))
            if asked is None:
                asked = self.sweep.asked
            yield some, self._numbers(frame, again)

    def settle(self, block: Block, answers: dict[str, bool]) -> None:
        """Let what is kept be kept and the job pursue its step, on every row."""
        import numpy as np

        count = len(block[0])
        self.sweep.start(count, answers)
        self.sweep.run(self.model.keep, block, np.arange(count))
        rows = self._active[block[JOB_PART]].nonzero()[0]
        while rows.size:
            again = self.sweep.run(self.model.advance, block, rows)
            rows = rows[again[rows]]
        self.sweep.tidy(block)

    def _numbers(self, frame: Frame, block: Block) -> Any:
        numbers, unknown = frame.numbers(block)
        if unknown:
            for part, codes in unknown.items():
                self.packing.learn(part, codes)
            raise NewCodes
        return numbers


def mark(seen: Any, numbers: Any) -> None:
    """Set the bits of numbers that are all different and in order."""
    import numpy as np

    np.bitwise_or.at(seen, numbers >> 3, (1 << (numbers & 7)).astype(np.uint8))


def is_marked(seen: Any, numbers: Any) -> Any:
    """Return which numbers' bits are set."""
    import numpy as np

    return (seen[numbers >> 3] >> (numbers & 7).astype(np.uint8)) & 1 != 0
