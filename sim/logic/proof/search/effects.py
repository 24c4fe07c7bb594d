"""Tables of what every move adds to a state's number, filled as they are asked.

With the code of the job's part known, a move and all that follows from it touch few other parts
(see `extent`). So what it adds is worked out once for each combination of those parts' digits, on
the first reached state that has it, and read from the table for every other. Where there would be
too many combinations, no table is kept and the trees are run for each state.

When a move can happen may depend on more parts than what it does. Then its table is by what it does
only, and is asked for those states alone in which the move can happen (see `Gates`).
"""

from collections.abc import Iterable, Sequence
from functools import reduce
from math import prod
from operator import or_
from typing import Final

import numpy as np
from numpy.typing import NDArray

from sim.bugs import TableError
from sim.logic.proof.compile import Model
from sim.logic.proof.memory import KEPT, Case
from sim.logic.proof.moves import TOUCH, Move
from sim.logic.proof.properties import NeverStep
from sim.logic.proof.search.arrays import Block, Digits, Numbers, Rows, no_numbers
from sim.logic.proof.search.extent import Extents
from sim.logic.proof.search.packing import JOB_PART, Frame, Packing
from sim.logic.proof.search.sweep import Sweep

_MOST_KEYS: Final = 4_000_000  # of a table
_MOST_CASES: Final = 64
_PAGE: Final = 8  # the binary logarithm of the slots of a page
_MOST_KEYS_MERGED: Final = 40_000  # of a table that takes in moves which need a smaller one


class EffectTable:
    """What some moves, which touch the same parts, add to a state's number.

    Args:
        moves: The moves.
        parts: The parts that they touch, besides the job's.
        frame: The numbering of states.
        gate: The cases in any of which the moves can happen, as bits; 0 where the parts tell.
    """

    def __init__(
        self, moves: Sequence[Move], parts: Sequence[int], frame: Frame, gate: int = 0
    ) -> None:
        self.moves = tuple(moves)
        self.gate = np.uint64(gate)
        self._parts = tuple(parts)
        counts = [frame.counts[part] for part in parts]
        self._strides = [prod(counts[i + 1 :]) for i in range(len(counts))]
        self.size = prod(counts)
        self.kept = self.size <= _MOST_KEYS
        # By key the place of its entry, counted from 1. Few keys are ever met, and they lie together: what
        # is kept is pages of slots, the first of them empty and that of every page not met. A page
        # says how far its slots are from where its keys would be.
        self._pages: Numbers = -(np.arange((self.size >> _PAGE) + 1 if self.kept else 0) << _PAGE)
        self._slots = np.zeros(1 << _PAGE, dtype=np.int32)
        self._first: Numbers = np.zeros(1, dtype=np.int64)
        self._adds = no_numbers()

    def keys(self, digits: Digits, rows: Rows) -> Numbers:
        """Return, for each of the rows, the key: its combination of digits of what they touch."""
        keys = np.zeros(rows.size, dtype=np.int64)
        for part, stride in zip(self._parts, self._strides, strict=True):
            keys += digits[part].take(rows) * stride
        return keys

    def unknown(self, keys: Numbers) -> tuple[Numbers, Rows]:
        """Return the keys that are not in the table, each once, and for each a row that has it."""
        rows = np.flatnonzero(self._slots.take(self._places(keys)) <= 0)
        if not rows.size:
            return no_numbers(), rows
        # Of rows with the same key the last leaves its mark, and is the one.
        fresh, marks = keys[rows], np.arange(-1, -1 - rows.size, -1, dtype=np.int32)
        places = self._room(fresh)
        self._slots[places] = marks
        ones = self._slots[places] == marks
        return fresh[ones], rows[ones]

    def _places(self, keys: Numbers) -> Numbers:
        """Return where the slots of keys are."""
        return keys + self._pages.take(keys >> _PAGE)

    def _room(self, keys: Numbers) -> Numbers:
        """Return where the slots of keys are, once every one of them has a page of its own."""
        pages = np.unique(keys >> _PAGE)
        pages = pages[self._pages[pages] == -(pages << _PAGE)]
        if pages.size:
            own = (self._slots.size >> _PAGE) + np.arange(pages.size)
            self._pages[pages] = (own - pages) << _PAGE
            more = np.zeros(pages.size << _PAGE, dtype=np.int32)
            self._slots = np.concatenate([self._slots, more])
        return self._places(keys)

    def learn(self, keys: Numbers, counts: Rows, adds: Numbers) -> None:
        """Take in what the moves add for keys that are not in the table.

        Args:
            keys: Keys of `unknown`, each once.
            counts: For each key, how many successors a state with it has.
            adds: What is added to such a state's number for each, key after key.
        """
        self._slots[self._places(keys)] = np.arange(keys.size) + self._first.size
        self._first = np.concatenate([self._first, self._adds.size + np.cumsum(counts)])
        self._adds = np.concatenate([self._adds, adds])

    def entries(self, keys: Numbers) -> tuple[Rows, Numbers]:
        """Return for rows with such keys how many successors each has, and what is added for each."""
        slots = self._slots.take(self._places(keys))
        start = self._first.take(slots - 1)
        counts = self._first.take(slots) - start
        ends = np.cumsum(counts)
        places = np.repeat(start - (ends - counts), counts)
        places += np.arange(places.size)
        return counts, self._adds.take(places)


class Gates:
    """In which cases something can happen, of many states at once: one bit for each case.

    What is left out of a case is the job's part.
    """

    def __init__(self, sweep: Sweep, frame: Frame) -> None:
        self._sweep = sweep
        self._codes = frame.codes
        self._number: dict[Case, int] = {}
        self._bits: list[NDArray[np.uint64]] = [
            np.zeros(codes.size, dtype=np.uint64) for codes in frame.codes
        ]

    def bit(self, case: Case) -> int:
        """Return the bit of a case.

        Raises:
            TableError: There are more cases than bits.
        """
        number = self._number.get(case)
        if number is None:
            number = self._number[case] = len(self._number)
            if number == _MOST_CASES:
                raise TableError("too many cases for 64 bits", where="proof.moves")
            guard = self._sweep.holding(case)
            for part, bits in enumerate(self._bits):  # the job's part has none
                holds = guard.get(part)
                bits |= np.uint64(1 << number) * (
                    1 if holds is None or part == JOB_PART else holds[self._codes[part]]
                )
        return 1 << number

    def open(self, digits: Digits, rows: Rows) -> NDArray[np.uint64]:
        """Return for each of some rows of digits the bits of the cases that hold."""
        every = np.full(rows.size, (1 << len(self._number)) - 1, dtype=np.uint64)
        if self._number:
            for bits, column in zip(self._bits, digits, strict=True):
                every &= bits.take(column.take(rows))
        return every


class Effects:
    """The tables of one model, by the digit of the job's part."""

    def __init__(
        self,
        model: Model,
        packing: Packing,
        sweep: Sweep,
        frame: Frame,
        steps: Iterable[NeverStep],
    ) -> None:
        self._model = model
        self._packing = packing
        self._sweep = sweep
        self._frame = frame
        self._steps = tuple(steps)
        self._extents = Extents(packing, model.called)
        # By name of a move, code of the job's part, and whether something is driven.
        self._touches: dict[tuple[str, int, bool], frozenset[int] | None] = {}
        self._guards = {m.name: [sweep.holding(case) for case in m.cases] for m in model.moves}
        self._active = sweep.active
        self._driving = sweep.driving
        self._gates: dict[int, Gates] = {}
        self._made: dict[tuple[int, bool], list[EffectTable]] = {}

    def renumber(self, frame: Frame) -> None:
        """Go on with a numbering that knows more codes; tables stay where no number changes by it."""
        if frame.strides != self._frame.strides:
            self._gates.clear()
            self._made.clear()
        self._frame = frame

    def gates(self, digit: int) -> Gates:
        """Return the gates of the tables for one digit of the job's part."""
        if digit not in self._gates:
            self._gates[digit] = Gates(self._sweep, self._frame)
        return self._gates[digit]

    def tables(self, digit: int, *, driven: bool) -> list[EffectTable]:
        """Return the tables for one digit of the job's part; every move that matters is in one.

        Args:
            digit: Of the job's part.
            driven: For states in which a motion is under way that has something to keep.
        """
        key = (digit, driven)
        if key not in self._made:
            code = self._packing.parts[JOB_PART].codes[digit]
            self._made[key] = self._make(code, self.gates(digit), driven=driven)
        return self._made[key]

    def _make(self, code: int, gates: Gates, *, driven: bool) -> list[EffectTable]:
        by_parts: dict[tuple[int, frozenset[int]], list[Move]] = {}
        for move in self._model.moves:
            key = (move.name, code, driven)
            if key not in self._touches:
                can = self._can(move, code)
                self._touches[key] = self._touched(move, code, driven=driven) if can else None
            parts = self._touches[key]
            if parts is not None:
                gate = self._gate(move, code, parts, gates)
                by_parts.setdefault((gate, parts), []).append(move)
        into: dict[tuple[int, frozenset[int]], list[Move]] = {}
        for (gate, parts), moves in sorted(by_parts.items(), key=lambda item: -len(item[0][1])):
            fit = [
                other
                for other in into
                if gate == other[0]
                and parts <= other[1]
                and self._size(other[1]) < _MOST_KEYS_MERGED
            ]
            to = min(fit, key=lambda other: self._size(other[1])) if fit else (gate, parts)
            into.setdefault(to, []).extend(moves)
        return [
            EffectTable(moves, sorted(parts), self._frame, gate)
            for (gate, parts), moves in into.items()
        ]

    def _gate(self, move: Move, code: int, parts: frozenset[int], gates: Gates) -> int:
        """Return as bits the cases in which a move can happen at a code, 0 if its parts tell."""
        told = parts | {JOB_PART}
        cases = [
            (case, guard)
            for case, guard in zip(move.cases, self._guards[move.name], strict=True)
            if JOB_PART not in guard or guard[JOB_PART][code]
        ]
        if all(guard.keys() <= told for _, guard in cases):
            return 0
        return reduce(or_, (gates.bit(case) for case, _ in cases))

    def _size(self, parts: Iterable[int]) -> int:
        return prod(self._frame.counts[part] for part in parts)

    def _can(self, move: Move, code: int) -> bool:
        guards = self._guards[move.name]
        return any(JOB_PART not in guard or guard[JOB_PART][code] for guard in guards)

    def _touched(self, move: Move, code: int, *, driven: bool) -> frozenset[int] | None:
        """Return the parts on which it depends what a move does, None if it does nothing."""
        extent = self._extents.of(self._model.trees[move.name], code)
        idle = not self._active[code] and not driven
        if extent.codes == {code} and not extent.writes and (move is not TOUCH or idle):
            return None  # as good as a touch, which does nothing where the job has nothing to do
        if driven or not extent.writes.isdisjoint(KEPT):
            for after in extent.codes:
                extent = extent.joined(self._extents.of(self._model.keep, after))
        stays = extent.codes == {code}
        rests = self._extents.of(self._model.advance, code)
        # Where nothing was written that the job looks at, it goes on resting.
        quiet = stays and not rests.asks and not extent.writes & rests.looks
        if not quiet or move is TOUCH:
            pursued = self._extents.pursued(self._model.advance, extent.codes, self._active)
            extent = extent.joined(pursued)
        parts = set(self._extents.parts(extent.looks | extent.writes)) | (
            self._driving if driven else set()
        )
        values = self._packing.parts[JOB_PART].values(code)
        for step in self._steps:
            if step.concerns(move.name, extent.writes, values):
                parts |= {self._packing.part_of[name] for name, _ in (*step.before, *step.after)}
        return frozenset(parts - {JOB_PART})

    def possible(self, move: Move, digits: Digits, rows: Rows) -> Rows:
        """Return those of the rows of digits on which a move can happen."""
        either = np.zeros(rows.size, dtype=bool)
        for guard in self._guards[move.name]:
            every = np.ones(rows.size, dtype=bool)
            for part, holds in guard.items():
                every &= holds[self._frame.codes[part]].take(digits[part].take(rows))
            either |= every
        return rows.compress(either)

    def possible_codes(self, move: Move, block: Block) -> Rows:
        """Return the rows of codes on which a move can happen."""
        either = np.zeros(len(block[0]), dtype=bool)
        for guard in self._guards[move.name]:
            every = np.ones(len(block[0]), dtype=bool)
            for part, holds in guard.items():
                every &= holds.take(block[part])
            either |= every
        return either.nonzero()[0]
