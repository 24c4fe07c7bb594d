"""Visits every state that the model can reach, breadth first, many states at a time.

A layer of the search is all states that take one move more than the last. Layers are kept, so that
a shortest way to any state can be walked back. For a layer it is first asked which effects of moves
are not yet in the tables (see `effects`); those are found out by running the trees, and then every
successor is read off. Where a move touches too much for a table, the trees are run for each state.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import partial
from mmap import mmap
from typing import Any, Final

import numpy as np

from sim.bugs import TableError
from sim.logic.proof.compile import EVERY_ANSWER, Answers, Model
from sim.logic.proof.crew import Work, crew
from sim.logic.proof.effects import Effects, Table
from sim.logic.proof.judge import Breach, Judge
from sim.logic.proof.memory import QUESTIONS
from sim.logic.proof.moves import TOUCH, Case, Move
from sim.logic.proof.packing import JOB_PART, Frame, Packing
from sim.logic.proof.properties import Never, NeverStep
from sim.logic.proof.sweep import Block, Sweep

_MOST_ROWS: Final = 1 << 18  # worked on at a time
_SCOUTED_LAYERS: Final = 30
_SCOUTS: Final = 40  # for each code of the job's part

Report = Callable[[int, int], None]  # layer, states so far


@dataclass(slots=True)
class Reached:
    """Every state that can be reached, in layers, and the properties that were broken."""

    frame: Frame
    layers: list[Any] = field(default_factory=list)
    edges: int = 0
    breaches: list[Breach] = field(default_factory=list)

    @property
    def states(self) -> int:
        """How many states there are."""
        return sum(int(layer.size) for layer in self.layers)

    @property
    def depth(self) -> int:
        """How many moves the farthest state takes."""
        return len(self.layers) - 1


@dataclass(frozen=True, slots=True)
class _Asking:
    """States whose successors are to be found out, and where they are to be put down."""

    moves: tuple[Move, ...]
    rows: Any
    table: Table | None = None
    keys: Any = None


class Explorer:
    """Explores one model.

    Args:
        model: The model.
        safety: What to hold the states and steps against on the way.
        packing: The numbering of another explorer, to spare the scouting.
        answers: What may be answered to the job's questions; everything when left out.
    """

    def __init__(
        self,
        model: Model,
        safety: Sequence[Never | NeverStep] = (),
        packing: Packing | None = None,
        answers: Sequence[Answers] = EVERY_ANSWER,
    ) -> None:
        self.model = model
        self._answers = tuple(answers)
        self._safety = tuple(safety)
        self.packing = packing.copy() if packing else Packing()
        self.sweep = Sweep(self.packing, model)
        self._unknown: dict[int, set[int]] = {}  # codes that were met and have no digit
        for i, part in enumerate(self.packing.parts):
            self.packing.learn(i, [part.code(model.initial)])
        if packing is None:
            self._renumber()
            self._scout()
        self._renumber()

    def _renumber(self) -> None:
        for part, codes in self._unknown.items():
            self.packing.learn(part, sorted(codes))
        self._unknown.clear()
        self.frame = self.packing.frame()
        steps = [row for row in self._safety if isinstance(row, NeverStep)]
        self._effects = Effects(self.model, self.packing, self.sweep, self.frame, steps)
        self._judge = Judge(self._safety, self.model.moves, self.sweep, self.frame)

    def _scout(self) -> None:
        """Learn most combinations from a few states of every layer, new combinations first."""
        block: Block = [codes[:1] for codes in self.frame.codes]
        known = [digits >= 0 for digits in self.frame.digits]
        for layer in range(_SCOUTED_LAYERS):
            steps = []
            for move in self.model.moves:
                rows = self._effects.possible_codes(move, block)
                after = [column[rows] for column in block]
                self.sweep.start(rows.size)
                self.sweep.run(self.model.trees[move.name], after, np.arange(rows.size))
                steps.append(after)
            block = [np.concatenate(columns) for columns in zip(*steps, strict=True)]
            self.sweep.settle(block, dict.fromkeys(QUESTIONS, layer % 2 == 1))
            fresh = np.zeros(len(block[0]), dtype=bool)
            for part, column in enumerate(block):
                rows = np.flatnonzero(~known[part][column])
                codes, first = np.unique(column[rows], return_index=True)
                known[part][codes] = True
                self.packing.learn(part, codes.tolist())
                fresh[rows[first]] = True
            for code in np.unique(block[JOB_PART]):
                rows = np.flatnonzero(block[JOB_PART] == code)
                fresh[rows[:: max(1, rows.size // _SCOUTS)]] = True
            block = [column[fresh] for column in block]

    def reach(
        self,
        enough: Callable[[Reached], bool] = lambda _reached: False,
        report: Report = lambda _layer, _states: None,
        *,
        alone: bool = True,
    ) -> Reached:
        """Return every state that can be reached.

        Args:
            enough: Asked after each layer; says to stop.
            report: Told after each layer how far it has come.
            alone: Work in this process only, else in a second one too.
        """
        reached = self._reach(enough, report, alone=alone)
        while self._unknown:  # begin again with a numbering that has them
            self._renumber()
            reached = self._reach(enough, report, alone=alone)
        return reached

    def _reach(self, enough: Callable[[Reached], bool], report: Report, *, alone: bool) -> Reached:
        reached = Reached(self.frame)
        seen = Seen(self.frame)
        frontier = seen.add(np.array([self.frame.number(self.model.initial)], dtype=np.int64))
        once = _Once(self.frame)
        own, other = partial(self._work, seen.add, once), partial(self._work, seen.new, once)
        with crew(partial(own, True), partial(other, False), alone=alone) as work:
            while frontier.size and not self._unknown:
                reached.layers.append(frontier)
                fresh: list[Any] = []
                for done in work(frontier):
                    reached.edges += done.edges
                    broken = {breach.name for breach in reached.breaches}
                    reached.breaches += [one for one in done.breaches if one.name not in broken]
                    for part, codes in done.unknown.items():
                        self._unknown.setdefault(part, set()).update(codes)
                    fresh.append(done.fresh if done.marked else seen.add(done.fresh))
                report(reached.depth, reached.states)
                if enough(reached):
                    break
                frontier = np.sort(np.concatenate(fresh))
        return reached

    def _work(self, new: Callable[[Any], Any], once: "_Once", marked: bool, states: Any) -> Work:
        """Return what the states lead to; `new` picks what was not met before, and may mark it."""
        breaches: list[Breach] = []
        edges, fresh = -once.spared, [np.zeros(0, dtype=np.int64)]
        for start in range(0, states.size, _MOST_ROWS):
            some = states[start : start + _MOST_ROWS]
            for _, numbers in self._successors(some, breaches, once):
                edges += numbers.size
                fresh.append(new(numbers))
        edges += once.spared
        return Work(edges, _each_once(np.concatenate(fresh)), marked, breaches, self._unknown)

    # Successors ---------------------------------------------------------------------------

    def successors(self, states: Any) -> Iterator[tuple[Any, Any]]:
        """Yield rows of `states`, which are in order, and their successors; never a state itself."""
        for start in range(0, states.size, _MOST_ROWS):
            for rows, after in self._successors(states[start : start + _MOST_ROWS]):
                yield rows + start, after

    def _successors(
        self, numbers: Any, breaches: list[Breach] | None = None, once: "_Once | None" = None
    ) -> Iterator[tuple[Any, Any]]:
        digits = self.frame.split(numbers)
        if breaches is not None:
            breaches.extend(self._judge.states(numbers, digits))
        driven = self._driven(digits)
        asking: list[_Asking] = []
        known: list[tuple[Table, Any, Any]] = []
        job = digits[JOB_PART]
        ends = np.append(np.flatnonzero(np.diff(job)) + 1, job.size)
        begin = 0
        for end in ends.tolist():
            for drives in (False, True):
                rows = begin + np.flatnonzero(driven[begin:end] == drives)
                if not rows.size:
                    continue
                here = [column[rows] for column in digits]
                for table in self._effects.tables(int(job[begin]), driven=drives):
                    some, there = rows, here
                    if once is not None and table.residue is not None:
                        some = rows[once.first(table, numbers[rows])]
                        there = [column[some] for column in digits]
                    self._look_up(table, some, there, asking, known)
            begin = end
        yield from self._found_out(numbers, digits, asking, breaches)
        for table, rows, keys in known:
            which, adds = table.entries(keys)
            which = rows[which]
            yield which, numbers[which] + adds

    def _look_up(
        self,
        table: Table,
        rows: Any,
        digits: list[Any],
        asking: list[_Asking],
        known: list[tuple[Table, Any, Any]],
    ) -> None:
        """Look for rows with some digits in a table; what is not in it is asked for."""
        if not table.kept:
            opened = slice(None) if table.gate is None else self._opened(table.gate, digits)
            asking.append(_Asking(table.moves, rows[opened]))
            return
        keys = table.keys(digits)
        fresh, first = table.unknown(keys)
        if fresh.size:
            asking.append(_Asking(table.moves, rows[first], table, fresh))
        known.append((table, rows, keys))

    def _opened(self, gate: Table, digits: list[Any]) -> Any:
        """Return the rows on which a gate's moves write anything."""
        keys = gate.keys(digits)
        fresh, first = gate.unknown(keys)
        if fresh.size:
            wrote = np.zeros(fresh.size, dtype=bool)
            some = [column[first] for column in digits]
            for move in gate.moves:
                rows = self._effects.possible(move, some, np.arange(fresh.size))
                wrote[self._moved(move, some, rows)[0]] = True
            gate.learn(fresh, wrote, np.zeros(np.count_nonzero(wrote), dtype=np.int64))
        return gate.entries(keys)[0]

    def _driven(self, digits: list[Any]) -> Any:
        return self.sweep.driven(
            [codes[column] for codes, column in zip(self.frame.codes, digits, strict=True)]
        )

    def _found_out(
        self, numbers: Any, digits: list[Any], asking: list[_Asking], breaches: list[Breach] | None
    ) -> Iterator[tuple[Any, Any]]:
        """Run the trees for what is asked; put it down in the tables, or yield it."""
        if not asking:
            return
        sizes = np.array([one.rows.size for one in asking])
        offsets = np.append(0, np.cumsum(sizes)).tolist()
        asked = np.concatenate([one.rows for one in asking])
        if not asked.size:
            return
        rows = {move.name: [np.zeros(0, dtype=np.int64)] for move in self.model.moves}
        for one, offset in zip(asking, offsets, strict=False):
            for move in one.moves:
                rows[move.name].append(np.arange(offset, offset + one.rows.size))
        which, after = self._run(
            numbers[asked],
            [column[asked] for column in digits],
            {name: np.concatenate(some) for name, some in rows.items()},
            breaches,
        )
        order = np.argsort(which, kind="stable")
        which, after = which[order], after[order]
        counts = np.bincount(which, minlength=asked.size)
        first = np.append(0, np.cumsum(counts))
        for one, begin, end in zip(asking, offsets, offsets[1:], strict=False):
            some = slice(first[begin], first[end])
            if one.table is None:
                yield asked[which[some]], after[some]
            else:
                before = numbers[asked[which[some]]]
                one.table.learn(one.keys, counts[begin:end], after[some] - before)

    def _run(
        self, numbers: Any, digits: list[Any], rows: dict[str, Any], breaches: list[Breach] | None
    ) -> tuple[Any, Any]:
        """Return rows and successors, by the moves and the rows on which to make them."""
        which, numbers_after = [], []
        made: list[tuple[Move, Any, Block]] = []
        waiting = 0
        moves = [move for move in self.model.moves if rows[move.name].size]
        for move in moves:
            some = self._effects.possible(move, digits, rows[move.name])
            if some.size:
                made.append((move, *self._moved(move, digits, some)))
                waiting += made[-1][1].size
            if made and (waiting > _MOST_ROWS or move is moves[-1]):
                for one, after in self._settled(numbers, digits, made, breaches):
                    which.append(one)
                    numbers_after.append(after)
                made, waiting = [], 0
        if not which:
            return np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64)
        return np.concatenate(which), np.concatenate(numbers_after)

    def _moved(self, move: Move, digits: list[Any], rows: Any) -> tuple[Any, Block]:
        """Return those of some rows on which a move writes anything, and their codes after it.

        All rows count for the move that writes nothing but has the job look again.
        """
        block = [
            codes[column[rows]] for codes, column in zip(self.frame.codes, digits, strict=True)
        ]
        driven = self.sweep.driven(block)
        self.sweep.start(rows.size)
        self.sweep.run(self.model.trees[move.name], block, np.arange(rows.size))
        if (self.sweep.driven(block) & ~driven).any():
            raise TableError("a move drives what only the job drives", where=f"move {move.name}")
        if move is not TOUCH:
            wrote = self.sweep.wrote
            if not wrote.all():
                rows, block = rows[wrote], [column[wrote] for column in block]
        return rows, block

    def _settled(
        self,
        numbers: Any,
        digits: list[Any],
        made: list[tuple[Move, Any, Block]],
        breaches: list[Breach] | None,
    ) -> Iterator[tuple[Any, Any]]:
        """Yield rows and successors, once what is kept is kept and the job has pursued its step."""
        rows = np.concatenate([rows for _, rows, _ in made])
        block = [np.concatenate(c) for c in zip(*(block for _, _, block in made), strict=True)]
        ends = np.cumsum([rows.size for _, rows, _ in made])
        asked: Any = slice(None)
        for answers in self._answers:
            after = [column[asked].copy() for column in block]
            met = self.sweep.settle(after, dict(zip(QUESTIONS, answers, strict=True)))
            reached, unknown = self.frame.numbers(after)
            for part, codes in unknown.items():
                self._unknown.setdefault(part, set()).update(codes)
            before = numbers[rows[asked]]
            changed = np.flatnonzero((reached != before) & (reached >= 0))
            if breaches is not None:
                bounds = np.searchsorted(np.arange(rows.size)[asked][changed], ends).tolist()
                self._hold(
                    made,
                    bounds,
                    numbers,
                    digits,
                    (rows[asked][changed], reached[changed]),
                    breaches,
                )
            yield rows[asked][changed], reached[changed]
            if isinstance(asked, slice):
                asked = np.flatnonzero(met)
                if not asked.size:
                    return

    def _hold(
        self,
        made: list[tuple[Move, Any, Block]],
        bounds: list[int],
        numbers: Any,
        digits: list[Any],
        edges: tuple[Any, Any],
        breaches: list[Breach],
    ) -> None:
        """Hold steps, in the order of the moves that made them, against the properties."""
        rows, reached = edges
        after = self.frame.split(reached)
        begin = 0
        for (move, _, _), end in zip(made, bounds, strict=True):
            if end > begin:
                some = rows[begin:end]
                breaches.extend(
                    self._judge.steps(
                        move,
                        numbers[some],
                        [column[some] for column in digits],
                        [column[begin:end] for column in after],
                    )
                )
            begin = end

    def holding(self, cases: Iterable[Case], numbers: Any) -> Any:
        """Return on which of the states any of the cases holds."""
        digits = self.frame.split(numbers)
        either = np.zeros(numbers.size, dtype=bool)
        for case in cases:
            every = np.ones(numbers.size, dtype=bool)
            for part, holds in self.sweep.holding(case).items():
                every &= holds[self.frame.codes[part]][digits[part]]
            either |= every
        return either


class _Once:
    """Picks the states from which some moves lead to what they have not led to already.

    States that differ in nothing but the job's part, and for whose codes the same is left of the
    moves (see `residue`), lead to the same states; the first of them is enough.
    """

    def __init__(self, frame: Frame) -> None:
        self._stride = frame.strides[JOB_PART]
        self._done: dict[tuple[int, ...], Any] = {}
        self.spared = 0  # moves that were not made again

    def first(self, table: Table, numbers: Any) -> Any:
        """Return which of some numbers, all of one code of the job's part, are the first such."""
        assert table.residue is not None
        if table.residue not in self._done:
            self._done[table.residue] = np.zeros(self._stride, dtype=bool)
        done = self._done[table.residue]
        places = numbers % self._stride
        which = np.flatnonzero(~done[places])
        done[places] = True
        self.spared += (numbers.size - which.size) * len(table.moves)
        return which


class Seen:
    """One bit for every number."""

    def __init__(self, frame: Frame) -> None:
        shared = mmap(-1, frame.total // 8 + 1)  # a forked process sees what is put in
        self._bits = np.frombuffer(shared, dtype=np.uint8)

    def has(self, numbers: Any) -> Any:
        """Return which of the numbers are in."""
        bits = self._bits[numbers >> 3] >> (numbers & 7).astype(np.uint8)
        return (bits & 1).astype(bool)

    def new(self, numbers: Any) -> Any:
        """Return the numbers that are not yet in, each once and in order."""
        return _each_once(numbers[~self.has(numbers)])

    def add(self, numbers: Any) -> Any:
        """Return the numbers that were not yet in, each once and in order, and put them in."""
        new = self.new(numbers)
        if new.size:
            np.bitwise_or.at(self._bits, new >> 3, (1 << (new & 7)).astype(np.uint8))
        return new


def _each_once(numbers: Any) -> Any:
    """Return numbers in order, each once; they are sorted in place, which is quicker than hashing."""
    if not numbers.size:
        return numbers
    numbers.sort()
    return numbers[np.append(True, numbers[1:] != numbers[:-1])]
