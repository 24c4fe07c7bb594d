"""Visits every state that the model can reach, breadth first, many states at a time.

A layer of the search is all states that take one move more than the last. Layers are kept, so that
a shortest way to any state can be walked back. Within a layer, states are worked on by the job's
part, which their numbers are sorted by: each has its own small tables (see `tables`). Only where
the job has something to pursue that no table holds, or a motion something to keep, are the trees
themselves run, for many states at once.

numpy is imported when it runs. Imports `compile`, `memory`, `packing`, `sweep`, `tables`.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import product
from typing import Any, Final

from sim.logic.compile import Model
from sim.logic.extent import Extents
from sim.logic.memory import QUESTIONS
from sim.logic.packing import JOB_PART, Frame, Packing
from sim.logic.sweep import Block, Sweep
from sim.logic.pursuit import Pursuit
from sim.logic.tables import IMPOSSIBLE, STRANGE, Tabler, Tables

_MOST_ROWS: Final = 1 << 18  # worked on at a time
_SCOUTED_LAYERS: Final = 40
_SCOUTS: Final = 40  # for each code of the job's part


@dataclass(slots=True)
class Reached:
    """Every state that can be reached, in layers."""

    frame: Frame
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
        self._extents = Extents(self.packing, model.called)
        for i, part in enumerate(self.packing.parts):
            self.packing.learn(i, [part.code(model.initial)])
        self._renumber()
        self._scout()
        self._renumber()

    def _renumber(self) -> None:
        self.frame = self.packing.frame()
        self.tabler = Tabler(self.model, self.packing, self.sweep, self.frame, self._extents)
        self.pursuit = Pursuit(self.model, self.packing, self.sweep, self.frame, self._extents)

    def _scout(self) -> None:
        """Learn most combinations from a few states of every layer, new combinations first."""
        import numpy as np

        block: Block = [codes[:1] for codes in self.frame.codes]
        for layer in range(_SCOUTED_LAYERS):
            steps = []
            for move in self.model.moves:
                rows = self.tabler.can(move, block).nonzero()[0]
                after = [column[rows] for column in block]
                self.sweep.start(rows.size, dict.fromkeys(QUESTIONS, False))
                self.sweep.run(self.model.trees[move.name], after, np.arange(rows.size))
                steps.append(after)
            block = [np.concatenate(columns) for columns in zip(*steps, strict=True)]
            self.pursuit.settle(block, dict.fromkeys(QUESTIONS, layer % 2 == 1))
            fresh = np.zeros(len(block[0]), dtype=bool)
            for part, column in enumerate(block):
                codes, first = np.unique(column, return_index=True)
                new = ~np.isin(codes, self.packing.parts[part].codes)
                self.packing.learn(part, codes[new].tolist())
                fresh[first[new]] = True
            for code in np.unique(block[JOB_PART]):
                rows = np.flatnonzero(block[JOB_PART] == code)
                fresh[rows[:: max(1, rows.size // _SCOUTS)]] = True
            block = [column[fresh] for column in block]

    def reach(self) -> Reached:
        """Return every state that can be reached."""
        import numpy as np

        reached = Reached(self.frame)
        frontier = np.array([self.frame.number(self.model.initial)], dtype=np.int64)
        seen = Seen(self.frame)
        seen.add(frontier)
        while frontier.size:
            reached.layers.append(frontier)
            edges, fresh = self._layer(frontier, seen)
            while self.pursuit.unknown:
                seen = self._grow(reached)
                edges, fresh = self._layer(reached.layers[-1], seen)
            reached.edges += edges
            frontier = fresh
        return reached

    def _layer(self, frontier: Any, seen: "Seen") -> tuple[int, Any]:
        """Return how many moves a layer has, and the states that they lead to for the first time."""
        import numpy as np

        edges, fresh = 0, [np.zeros(0, dtype=np.int64)]
        for _, numbers in self.successors(frontier):
            edges += numbers.size
            new = seen.add(numbers)
            if new.size:
                fresh.append(new)
        return edges, np.sort(np.concatenate(fresh))

    def _grow(self, reached: Reached) -> "Seen":
        """Number everything anew, with the combinations that have been met."""
        old = self.frame
        for part, codes in self.pursuit.unknown.items():
            self.packing.learn(part, sorted(codes))
        self._renumber()
        reached.frame = self.frame
        seen = Seen(self.frame)
        for i, layer in enumerate(reached.layers):
            block = [codes[digit] for codes, digit in zip(old.codes, old.split(layer), strict=True)]
            numbers, _ = self.frame.numbers(block)
            numbers.sort()
            reached.layers[i] = numbers
            seen.add(numbers)
        return seen

    # Successors ---------------------------------------------------------------------------

    def successors(self, states: Any) -> Iterator[tuple[Any, Any]]:
        """Yield rows of `states`, which are in order, and their successors; never a state itself."""
        for start in range(0, states.size, _MOST_ROWS):
            for rows, numbers in self._successors(states[start : start + _MOST_ROWS]):
                yield rows + start, numbers

    def _successors(self, numbers: Any) -> Iterator[tuple[Any, Any]]:
        import numpy as np

        digits = self.frame.split(numbers)
        driven = self.tabler.driven(digits)
        slow: dict[str, list[Any]] = {move.name: [] for move in self.model.moves}
        lost: list[Any] = [np.zeros(0, dtype=np.int64)]
        job = digits[JOB_PART]
        ends = np.append(np.flatnonzero(np.diff(job)) + 1, job.size)
        begin = 0
        for end in ends.tolist():
            tables = self.tabler.tables(int(job[begin]))
            every = np.arange(begin, end)
            free = every[~driven[begin:end]]
            kept = every[driven[begin:end]]
            begin = end
            for some, rows, adds in self._quickly(tables, digits, every, free):
                strange = adds == STRANGE
                if strange.any():
                    lost.append(np.unique(some[rows[strange]]))
                    rows, adds = rows[~strange], adds[~strange]
                rows = some[rows]
                yield rows, numbers[rows] + adds
            for move in tables.slow:
                slow[move.name].append(free)
            if kept.size:
                for move in tables.kept:
                    slow[move.name].append(kept)
        yield from self._slowly(numbers, digits, slow, np.unique(np.concatenate(lost)))

    @staticmethod
    def _quickly(
        tables: Tables, digits: list[Any], every: Any, free: Any
    ) -> Iterator[tuple[Any, Any, Any]]:
        """Yield rows, some of them, and what is added to their numbers, by the tables."""
        import numpy as np

        here = [column[every[0] : every[-1] + 1] for column in digits]
        for group in tables.always:
            yield every, *group.entries(here)
        if free.size < every.size:
            here = [column[free] for column in digits]
        for group in tables.groups:
            yield free, *group.entries(here)
        for apart in tables.apart:
            adds = apart.adds(here)
            adds[adds < STRANGE // 2] = STRANGE
            rows = np.flatnonzero((adds != 0) & (adds < IMPOSSIBLE // 2))
            yield free, rows, adds[rows]

    def _slowly(
        self, numbers: Any, digits: list[Any], slow: dict[str, list[Any]], every: Any
    ) -> Iterator[tuple[Any, Any]]:
        """Yield rows and their successors, by the trees: some rows by every move."""
        import numpy as np

        done: list[tuple[Any, Block]] = []
        waiting = 0
        for move in self.model.moves:
            rows = np.concatenate([every, *slow[move.name]])
            if rows.size:
                done.append(self.tabler.moved(move, digits, rows))
                waiting += done[-1][0].size
            if waiting > _MOST_ROWS or move is self.model.moves[-1]:
                yield from self._settled(numbers, done)
                done, waiting = [], 0

    def _settled(
        self, numbers: Any, done: list[tuple[Any, Block]]
    ) -> Iterator[tuple[Any, Any]]:
        """Yield rows and successors, once what is kept is kept and the job has pursued its step."""
        import numpy as np

        if not done:
            return
        rows = np.concatenate([rows for rows, _ in done])
        columns = zip(*(block for _, block in done), strict=True)
        block = [np.concatenate(column) for column in columns]
        asked = None
        for answers in product((False, True), repeat=len(QUESTIONS)):
            again = [column.copy() if asked is None else column[asked] for column in block]
            some = rows if asked is None else rows[asked]
            if not some.size:
                return
            after, met = self.pursuit.settled(again, dict(zip(QUESTIONS, answers, strict=True)))
            asked = met if asked is None else asked
            changed = (after != numbers[some]) & (after >= 0)
            yield some[changed], after[changed]

class Seen:
    """One bit for every number."""

    def __init__(self, frame: Frame) -> None:
        import numpy as np

        self._bits = np.zeros(frame.total // 8 + 1, dtype=np.uint8)

    def add(self, numbers: Any) -> Any:
        """Return the numbers that were not yet in, each once and in order, and put them in."""
        import numpy as np

        new = numbers[(self._bits[numbers >> 3] >> (numbers & 7).astype(np.uint8)) & 1 == 0]
        if new.size:
            new.sort()
            new = new[np.append(True, new[1:] != new[:-1])]
            np.bitwise_or.at(self._bits, new >> 3, (1 << (new & 7)).astype(np.uint8))
        return new
