"""Runs trees on many states at once.

The states stand in a block, which has a column of codes for each part. Where the tree asks, the
rows go different ways; where it gives a variable a value, their codes are changed by a table.
"""

from collections.abc import Iterable, Mapping
from typing import ClassVar, Final

import numpy as np

from sim.bugs import TableError
from sim.logic.proof.compile import Model
from sim.logic.proof.memory import DOMAINS, KEPT, MATTERS_IN, QUESTIONS, Case, Value
from sim.logic.proof.search.arrays import Block, Codes, Flags, Masks, Rows
from sim.logic.proof.search.packing import JOB_PART, PackedPart, Packing
from sim.logic.proof.tree import TOOK, Ask, End, Put, Tree

_MOST_PURSUITS: Final = 100  # far more than there are steps in a piece

Answers = Mapping[str, bool]


class Sweep:
    """Runs the trees of one model on blocks of states."""

    # The same for every model: which codes have some value.
    _having: ClassVar[dict[tuple[Value, ...], Flags]] = {}
    _held: ClassVar[dict[Case, Masks]] = {}

    def __init__(self, packing: Packing, model: Model) -> None:
        self._packing = packing
        self._model = model
        self._groups: dict[int, list[tuple[tuple[int, ...], Tree]]] = {}
        self.tidied = [self._tidy_codes(part) for part in packing.parts]
        # By code of the job's part, whether the job has something to pursue.
        self.active = self.having("job", _pursuing(model.advance))
        self._drives = [self.holding(((machine, states),)) for machine, states in KEPT.items()]
        self.driving = {part for case in self._drives for part in case}  # that a motion is seen by
        self.start(0)

    def start(self, count: int, answers: Answers | None = None) -> None:
        """Make ready for blocks of so many rows.

        Args:
            count: Of rows.
            answers: To the job's questions; no to each when left out.
        """
        self._answers: Answers = answers or dict.fromkeys(QUESTIONS, False)
        self._took: Flags = np.zeros(count, dtype=bool)
        self.asked: Flags = np.zeros(count, dtype=bool)  # rows that met a question
        self.wrote: Flags = np.zeros(count, dtype=bool)  # rows on which something was written

    def run(self, tree: Tree, block: Block, rows: Rows) -> Flags:
        """Run a tree on those rows of a block; return a flag for every row, the tree's result."""
        result = np.zeros(self.wrote.size, dtype=bool)
        self._run(tree, block, rows, result)
        return result

    def settle(self, block: Block, answers: Answers) -> Flags:
        """Do to every row what the controller does after a move, and return which met a question.

        The controller halts a motion whose permissive has gone, then the job pursues its step.

        Raises:
            TableError: The job never comes to rest.
        """
        self.start(len(block[0]), answers)
        self.run(self._model.keep, block, np.flatnonzero(self.driven(block)))
        rows = np.flatnonzero(self.active[block[JOB_PART]])
        for _ in range(_MOST_PURSUITS):
            if not rows.size:
                break
            again = self.run(self._model.advance, block, rows)
            rows = rows[again[rows]]
        else:
            raise TableError("the job never comes to rest", where="table CYCLE")
        self.tidy(block)
        return self.asked

    def driven(self, block: Block) -> Flags:
        """Return on which rows a motion is under way that has something to keep."""
        either = np.zeros(len(block[0]), dtype=bool)
        for case in self._drives:
            for part, holds in case.items():
                either |= holds.take(block[part])
        return either

    def _run(self, tree: Tree, block: Block, rows: Rows, result: Flags) -> None:
        while rows.size:
            if isinstance(tree, End):
                result[rows] = self._took[rows] if tree.result == TOOK else bool(tree.result)
                return
            if isinstance(tree, Put):
                self._put(tree, block, rows)
                tree = tree.then
            elif isinstance(tree, Ask):
                if tree.name in QUESTIONS:
                    self.asked[rows] = True
                    tree = tree.branches[self._answers[tree.name]]
                else:
                    tree, rows = self._split(tree, block, rows, result)
            else:
                self._run(self._model.called[(tree.machine, tree.event)], block, rows, self._took)
                tree = tree.then

    def _split(self, tree: Ask, block: Block, rows: Rows, result: Flags) -> tuple[Tree, Rows]:
        """Run every branch but the one with the most values; return that one and its rows."""
        if tree.name == TOOK:
            seen = self._took.take(rows).view(np.uint8)
        else:
            part = self._packing.part_of[tree.name]
            seen = self._packing.columns[tree.name].take(block[part].take(rows))
        groups = self._grouped(tree)
        for values, branch in groups[1:]:
            hit = seen == values[0]
            for value in values[1:]:
                hit |= seen == value
            taking = rows.compress(hit)
            if taking.size == rows.size:
                return branch, rows
            if taking.size:
                self._run(branch, block, taking, result)
                rest = ~hit
                rows, seen = rows.compress(rest), seen.compress(rest)
        return groups[0][1], rows

    def _put(self, tree: Put, block: Block, rows: Rows) -> None:
        part = self._packing.part_of[tree.name]
        column = block[part]
        column[rows] = self._put_in(column.take(rows), tree.name, tree.value)
        self.wrote[rows] = True

    def _put_in(self, codes: Codes, name: str, value: Value) -> Codes:
        """Return codes of a variable's part with the variable set."""
        stride = self._packing.parts[self._packing.part_of[name]].strides[name]
        was = self._packing.columns[name].take(codes).astype(np.int32)
        return codes + (DOMAINS[name].index(value) - was) * np.int32(stride)

    def _grouped(self, tree: Ask) -> list[tuple[tuple[int, ...], Tree]]:
        """Return the branches, those that are one tree together, that with the most values first."""
        groups = self._groups.get(id(tree))
        if groups is None:
            values: tuple[Value, ...] = DOMAINS.get(tree.name, (False, True))
            by_tree: dict[int, tuple[list[int], Tree]] = {}
            for value, branch in tree.branches.items():
                by_tree.setdefault(id(branch), ([], branch))[0].append(values.index(value))
            groups = [(tuple(indices), branch) for indices, branch in by_tree.values()]
            groups.sort(key=lambda group: -len(group[0]))
            self._groups[id(tree)] = groups
        return groups

    def tidy(self, block: Block) -> None:
        """Set what no longer matters to its first value, as `memory.tidied` does."""
        for part, codes in enumerate(self.tidied):
            if codes is not None:
                block[part] = codes[block[part]]

    def _tidy_codes(self, part: PackedPart) -> Codes | None:
        """Return, by code, the code that is tidied; None where every code is."""
        codes: Codes | None = None
        for name, case in MATTERS_IN.items():
            if name not in part.names:
                continue
            (matters,) = self.holding(case).values()  # a part has all that tells what matters in it
            if codes is None:
                codes = np.arange(part.size, dtype=np.int32)
            codes = np.where(matters[codes], codes, self._put_in(codes, name, DOMAINS[name][0]))
        return codes

    def holding(self, case: Case) -> Masks:
        """Return, for each part that a case names, on which of the part's codes it holds."""
        if case not in self._held:
            by_part: Masks = {}
            for name, values in case:
                part = self._packing.part_of[name]
                holds = self.having(name, values)
                by_part[part] = by_part[part] & holds if part in by_part else holds
            self._held[case] = by_part
        return self._held[case]

    def having(self, name: str, values: Iterable[Value]) -> Flags:
        """Return, by code of its part, whether a variable has one of the values."""
        key = (name, *values)
        if key not in self._having:
            indices = [DOMAINS[name].index(value) for value in values]
            self._having[key] = np.isin(self._packing.columns[name], indices)
        return self._having[key]


def _pursuing(advance: Tree) -> tuple[Value, ...]:
    """Return the states of the job in which it may have something to pursue."""
    if isinstance(advance, Ask) and advance.name == "job":
        return tuple(v for v, branch in advance.branches.items() if not _ends(branch))
    return DOMAINS["job"]


def _ends(tree: Tree) -> bool:
    return isinstance(tree, End) and tree.result is False
