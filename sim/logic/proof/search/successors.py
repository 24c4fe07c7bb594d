"""What states lead to by one move each, many states at a time.

Most successors are read from tables of what a move adds to a state's number (see `effects`). What is
not in a table yet is found out first, by running the trees, and put in. Where a move touches too much
for a table, the trees are run for each state.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, TypeAlias

import numpy as np

from sim.logic.proof.compile import Answers, Model
from sim.logic.proof.memory import QUESTIONS, Case
from sim.logic.proof.moves import TOUCH, Move
from sim.logic.proof.search.arrays import Block, Digits, Flags, Numbers, Rows, no_numbers
from sim.logic.proof.search.effects import Effects, EffectTable
from sim.logic.proof.search.judge import Breach, Judge
from sim.logic.proof.search.packing import JOB_PART, Frame
from sim.logic.proof.search.sweep import Sweep

MOST_ROWS: Final = 1 << 18  # worked on at a time

_Edges: TypeAlias = tuple[
    Rows, Numbers
]  # the rows that lead somewhere, and the states they lead to
_Made: TypeAlias = tuple[Move, Rows, Block]  # a move, on which rows it was made, the codes after it
_NO_ROWS: Final[Rows] = np.zeros(0, dtype=np.intp)


@dataclass(frozen=True, slots=True)
class _Asked:
    """States whose successors no table has yet, and the table that is to keep them."""

    moves: tuple[Move, ...]
    rows: Rows
    table: EffectTable | None = None  # None where nothing is kept
    keys: Numbers | None = None


@dataclass(slots=True)
class _Lookup:
    """What the tables are asked for some states."""

    unknown: list[_Asked]
    known: list[tuple[EffectTable, Rows, Numbers]]  # a table, rows, and their keys


class Successors:
    """The successors of states, for one numbering.

    Args:
        model: Whose moves are made.
        sweep: Runs its trees.
        frame: The numbering.
        effects: The tables.
        judge: Holds states and steps against the safety properties, where that is asked.
        answers: What may be answered to the job's questions.
    """

    def __init__(
        self,
        model: Model,
        sweep: Sweep,
        frame: Frame,
        effects: Effects,
        judge: Judge,
        answers: Sequence[Answers],
    ) -> None:
        self._model = model
        self._sweep = sweep
        self._frame = frame
        self._effects = effects
        self._judge = judge
        self._answers = tuple(answers)
        self.unknown: dict[int, set[int]] = {}  # codes that were met and have no digit, by part

    def of(self, numbers: Numbers, breaches: list[Breach] | None = None) -> Iterator[_Edges]:
        """Yield rows of states and the states they lead to; never a state itself.

        Where a code without a digit is met, it is put down in `unknown`, and what is yielded is not
        all there is.

        Args:
            numbers: Of the states, in order; `MOST_ROWS` of them at the most.
            breaches: Takes the properties that are broken; None where nothing is to be judged.
        """
        digits = self._frame.split(numbers)
        if breaches is not None:
            breaches.extend(self._judge.states(numbers, digits))
        lookup = self._looked_up(digits)
        yield from self._found_out(numbers, digits, lookup.unknown, breaches)
        if self.unknown:
            return
        for table, rows, keys in lookup.known:
            counts, adds = table.entries(keys)
            adds += np.repeat(numbers.take(rows), counts)
            yield np.repeat(rows, counts), adds

    # Tables -------------------------------------------------------------------------------

    def _looked_up(self, digits: Digits) -> _Lookup:
        """Look for every state and move in the tables."""
        lookup = _Lookup([], [])
        driven = self._sweep.driven(self._frame.block(digits))
        job = digits[JOB_PART]
        bounds = [0, *(np.flatnonzero(np.diff(job)) + 1).tolist(), job.size]
        for begin, end in pairwise(bounds):
            for drives in (False, True):
                rows = begin + np.flatnonzero(driven[begin:end] == drives)
                if not rows.size:
                    continue
                tables = self._effects.tables(int(job[begin]), driven=drives)
                gates = self._effects.gates(int(job[begin])).open(digits, rows)
                for table in tables:
                    asking = rows.compress((gates & table.gate) != 0) if table.gate else rows
                    if asking.size:
                        self._look_up(table, asking, digits, lookup)
        return lookup

    def _look_up(self, table: EffectTable, rows: Rows, digits: Digits, lookup: _Lookup) -> None:
        """Look in one table for some rows."""
        if not table.kept:
            lookup.unknown.append(_Asked(table.moves, rows))
            return
        keys = table.keys(digits, rows)
        fresh, first = table.unknown(keys)
        if fresh.size:
            lookup.unknown.append(_Asked(table.moves, rows[first], table, fresh))
        lookup.known.append((table, rows, keys))

    def _found_out(
        self,
        numbers: Numbers,
        digits: Digits,
        unknown: Sequence[_Asked],
        breaches: list[Breach] | None,
    ) -> Iterator[_Edges]:
        """Run the trees for what is not in the tables; put it down there, or yield it."""
        rows = np.concatenate([_NO_ROWS, *(asked.rows for asked in unknown)])
        if not rows.size:
            return
        bounds = np.append(0, np.cumsum([asked.rows.size for asked in unknown])).tolist()
        of_move = {move.name: [_NO_ROWS] for move in self._model.moves}
        for asked, (begin, end) in zip(unknown, pairwise(bounds), strict=True):
            for move in asked.moves:
                of_move[move.name].append(np.arange(begin, end))
        which, after = self._run(
            numbers[rows],
            [column.take(rows) for column in digits],
            {name: np.concatenate(listed) for name, listed in of_move.items()},
            breaches,
        )
        if self.unknown:
            return  # not all successors have a number, so no table may learn them
        loose = np.repeat([asked.table is None for asked in unknown], np.diff(bounds)).take(which)
        yield rows.take(which.compress(loose)), after.compress(loose)
        which, after = which.compress(~loose), after.compress(~loose)
        order = np.argsort(which, kind="stable")
        which, after = which[order], after[order]
        counts = np.bincount(which, minlength=rows.size)
        first = np.append(0, np.cumsum(counts))
        for asked, (begin, end) in zip(unknown, pairwise(bounds), strict=True):
            if asked.table is not None and asked.keys is not None:
                edges = slice(first[begin], first[end])
                adds = after[edges] - numbers[rows[which[edges]]]
                asked.table.learn(asked.keys, counts[begin:end], adds)

    # Trees --------------------------------------------------------------------------------

    def _run(
        self,
        numbers: Numbers,
        digits: Digits,
        of_move: dict[str, Rows],
        breaches: list[Breach] | None,
    ) -> _Edges:
        """Return rows and successors; `of_move` has the rows on which to make each move."""
        edges: list[_Edges] = [(_NO_ROWS, no_numbers())]
        codes = self._frame.block(digits)
        made: list[_Made] = []
        waiting = 0
        moves = [move for move in self._model.moves if of_move[move.name].size]
        for move in moves:
            rows = self._effects.possible(move, digits, of_move[move.name])
            if rows.size:
                made.append((move, *self._moved(move, codes, rows)))
                waiting += made[-1][1].size
            if made and (waiting > MOST_ROWS or move is moves[-1]):
                edges.extend(self._settled(numbers, digits, made, breaches))
                made, waiting = [], 0
        which, after = zip(*edges, strict=True)
        return np.concatenate(which), np.concatenate(after)

    def _moved(self, move: Move, codes: Block, rows: Rows) -> tuple[Rows, Block]:
        """Return those of the rows on which a move writes anything, and their codes after it.

        A touch of a key writes nothing, but it has the job look again, so all its rows count.
        """
        block = [column.take(rows) for column in codes]
        self._sweep.start(rows.size)
        self._sweep.run(self._model.trees[move.name], block, np.arange(rows.size))
        wrote = self._sweep.wrote
        if move is not TOUCH and not wrote.all():
            return rows.compress(wrote), [column.compress(wrote) for column in block]
        return rows, block

    def _settled(
        self,
        numbers: Numbers,
        digits: Digits,
        made: Sequence[_Made],
        breaches: list[Breach] | None,
    ) -> Iterator[_Edges]:
        """Yield rows and successors, once what is kept is kept and the job has pursued its step."""
        rows = np.concatenate([of_move for _, of_move, _ in made])
        block = [np.concatenate(c) for c in zip(*(after for _, _, after in made), strict=True)]
        ends = np.cumsum([of_move.size for _, of_move, _ in made])
        asked: Rows | None = None  # those that met a question; None for all
        for answers in self._answers:
            leading = rows if asked is None else rows.take(asked)
            after = [column.copy() if asked is None else column.take(asked) for column in block]
            met = self._sweep.settle(after, dict(zip(QUESTIONS, answers, strict=True)))
            reached, unknown = self._frame.numbers(after)
            for part, codes in unknown.items():
                self.unknown.setdefault(part, set()).update(codes)
            changed = np.flatnonzero((reached != numbers.take(leading)) & (reached >= 0))
            edges = leading.take(changed), reached.take(changed)
            if breaches is not None:
                places = changed if asked is None else asked[changed]
                moves = [move for move, _, _ in made]
                bounds = [0, *np.searchsorted(places, ends).tolist()]
                breaches.extend(
                    self._held(zip(moves, pairwise(bounds), strict=True), numbers, digits, edges)
                )
            yield edges
            if asked is None:
                asked = np.flatnonzero(met)
                if not asked.size:
                    return

    def _held(
        self,
        moves: Iterable[tuple[Move, tuple[int, int]]],
        numbers: Numbers,
        digits: Digits,
        edges: _Edges,
    ) -> Iterator[Breach]:
        """Hold steps against the properties; `moves` says which of the edges each move made."""
        rows, reached = edges
        after = self._frame.split(reached)
        for move, (begin, end) in moves:
            if end > begin:
                leading = rows[begin:end]
                yield from self._judge.steps(
                    move,
                    numbers[leading],
                    [column[leading] for column in digits],
                    [column[begin:end] for column in after],
                )

    # Cases --------------------------------------------------------------------------------

    def holding(self, cases: Iterable[Case], numbers: Numbers) -> Flags:
        """Return on which of the states any of the cases holds."""
        digits = self._frame.split(numbers)
        either = np.zeros(numbers.size, dtype=bool)
        for case in cases:
            either |= self._frame.holding(self._sweep.holding(case), digits)
        return either
