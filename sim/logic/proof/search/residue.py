"""What a move still asks and assigns once the code of the job's part is known: its residue.

With that code known, calls are followed, the job pursues its step, and every question about the
job's part is answered. The questions and assignments that remain are about other parts. From two
codes with the same residue a move does the same to all other parts and ends in the same code. So
from the second code its successors need not be found again. Equal residues have one number.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from sim.logic.proof.memory import QUESTIONS
from sim.logic.proof.search.arrays import Codes, Flags
from sim.logic.proof.search.packing import JOB_PART, Packing
from sim.logic.proof.tree import TOOK, Ask, End, Put, Step, Tree


class _OpenError(Exception):
    """From one state the move can lead to several, or it never ends."""


@dataclass(frozen=True, slots=True)
class _At:
    """What is known at one node of a tree."""

    code: int  # of the job's part
    took: bool = False  # what the last call came to
    pursuing: bool = False  # the move is over, and the job pursues its step
    then: tuple[Tree, ...] = ()  # what is to go on after calls, the innermost last

    @property
    def key(self) -> tuple[object, ...]:
        """What makes it different from others."""
        return (self.code, self.took, self.pursuing, *map(id, self.then))


class Residues:
    """What is left of the moves of one model.

    Args:
        packing: The parts.
        called: The trees that steps stand for.
        advance: The tree of the job's pursuit.
        active: By code of the job's part, whether it has something to pursue.
        tidied: By code of the job's part, the code when what no longer matters is left out; None
            where everything matters.
    """

    def __init__(
        self,
        packing: Packing,
        called: Mapping[Step, Tree],
        advance: Tree,
        active: Flags,
        tidied: Codes | None,
    ) -> None:
        self._packing = packing
        self._job = packing.parts[JOB_PART]
        self._called = called
        self._advance = advance
        self._active = active
        self._tidied = tidied
        self._numbers: dict[tuple[object, ...], int] = {}
        self._known: dict[tuple[object, ...], int | None] = {}
        self._ends: dict[int, frozenset[int]] = {}  # by number: the codes it may end in

    def of(self, tree: Tree, code: int) -> tuple[int, frozenset[int]] | None:
        """Return the number of a move's residue, and the codes that the move may end in.

        Args:
            tree: Of a move, in states in which the job drives nothing.
            code: The code of the job's part.

        Returns:
            None if the move can lead to more than one state from one.
        """
        try:
            number = self._left(tree, _At(code))
        except _OpenError:
            return None
        return number, self._ends[number]

    def _left(self, tree: Tree, at: _At) -> int:
        key = (id(tree), *at.key)
        if key not in self._known:
            self._known[key] = None  # met again before it is known, it has no end
            self._known[key] = self._worked_out(tree, at)
        number = self._known[key]
        if number is None:
            raise _OpenError
        return number

    def _worked_out(self, tree: Tree, at: _At) -> int:
        if isinstance(tree, End):
            return self._ended(
                replace(at, took=at.took if tree.result == TOOK else bool(tree.result))
            )
        if isinstance(tree, Put):
            if self._packing.part_of[tree.name] == JOB_PART:
                values = {**self._job.values(at.code), tree.name: tree.value}
                return self._left(tree.then, replace(at, code=self._job.code(values)))
            rest = self._left(tree.then, at)
            return self._number(("put", tree.name, tree.value, rest), self._ends[rest])
        if isinstance(tree, Ask):
            return self._asked(tree, at)
        called = self._called[(tree.machine, tree.event)]
        return self._left(called, replace(at, took=False, then=(*at.then, tree.then)))

    def _ended(self, at: _At) -> int:
        if at.then:
            return self._left(at.then[-1], replace(at, then=at.then[:-1]))
        if at.took if at.pursuing else self._active[at.code]:
            return self._left(self._advance, _At(at.code, pursuing=True))
        end = at.code if self._tidied is None else int(self._tidied[at.code])
        return self._number(("end", end), frozenset({end}))

    def _asked(self, tree: Ask, at: _At) -> int:
        if tree.name in QUESTIONS:
            raise _OpenError
        if tree.name == TOOK:
            return self._left(tree.branches[at.took], at)
        if self._packing.part_of[tree.name] == JOB_PART:
            return self._left(tree.branches[self._job.values(at.code)[tree.name]], at)
        branches = [(value, self._left(branch, at)) for value, branch in tree.branches.items()]
        numbers = {number for _, number in branches}
        if len(numbers) == 1:
            return numbers.pop()
        ends = frozenset(end for number in numbers for end in self._ends[number])
        return self._number(("ask", tree.name, *branches), ends)

    def _number(self, key: tuple[object, ...], ends: frozenset[int]) -> int:
        number = self._numbers.setdefault(key, len(self._numbers))
        self._ends[number] = ends
        return number
