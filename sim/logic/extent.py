"""How far a tree reaches: which parts it reads or writes when the job's part is known.

The job decides most of what a move does, so with its code known few other parts matter, and a table
over those is small. Imports `memory`, `packing`, `tree`.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from sim.errors import TableError
from sim.logic.memory import QUESTIONS, Value
from sim.logic.packing import JOB_PART, Packing
from sim.logic.tree import TOOK, Ask, Call, End, Put, Step, Tree, nodes


@dataclass(frozen=True, slots=True)
class Extent:
    """What a tree touches from one code of the job's part."""

    parts: frozenset[int]  # besides the job's
    codes: frozenset[int]  # that the job's part may have at the end
    changes: bool  # whether anything may be written
    asks: bool  # whether a question is met
    reads: frozenset[tuple[str, Value]] = frozenset()  # of the job's part

    def joined(self, other: "Extent") -> "Extent":
        """Return what either touches."""
        return Extent(
            self.parts | other.parts,
            self.codes | other.codes,
            self.changes or other.changes,
            self.asks or other.asks,
            self.reads | other.reads,
        )


class Extents:
    """The extents of one model's trees."""

    def __init__(self, packing: Packing, called: Mapping[Step, Tree]) -> None:
        self._packing = packing
        self._job = packing.parts[JOB_PART]
        self._called = called
        self._known: dict[tuple[int, int], Extent | None] = {}
        self._kept: list[Tree] = []  # so that no id is used twice

    def of(self, tree: Tree, code: int) -> Extent:
        """Return a tree's extent from a code of the job's part.

        Raises:
            TableError: The steps that it calls lead back to it.
        """
        key = (id(tree), code)
        if key not in self._known:
            self._kept.append(tree)
            self._known[key] = None
            self._known[key] = self._walk(tree, code)
        extent = self._known[key]
        if extent is None:
            raise TableError("a step leads back to itself", where="interlocks.REACTIONS")
        return extent

    def parts(self, tree: Tree) -> frozenset[int]:
        """Return every part that a tree may touch, with all that it calls."""
        parts: set[int] = set()
        for node in nodes(tree):
            if isinstance(node, Call):
                parts |= self.parts(self._called[(node.machine, node.event)])
            elif isinstance(node, Ask | Put) and node.name in self._packing.part_of:
                parts.add(self._packing.part_of[node.name])
        return frozenset(parts)

    def pursued(self, advance: Tree, codes: frozenset[int], active: frozenset[int]) -> Extent:
        """Return the extent of all that the job may pursue from some codes."""
        total = Extent(_NONE, codes, False, False)
        pending, seen = list(codes & active), set(codes)
        while pending:
            one = self.of(advance, pending.pop())
            total = total.joined(one)
            pending.extend((one.codes & active) - seen)
            seen |= one.codes
        return total

    def _walk(self, tree: Tree, code: int) -> Extent:
        if isinstance(tree, End):
            return Extent(_NONE, frozenset({code}), False, False)
        if isinstance(tree, Put):
            part = self._packing.part_of[tree.name]
            if part == JOB_PART:
                return _changing(self.of(tree.then, self._put(tree, code)), None)
            return _changing(self.of(tree.then, code), part)
        if isinstance(tree, Ask):
            return self._ask(tree, code)
        return self._call(tree, code)

    def _put(self, tree: Put, code: int) -> int:
        values = {**self._job.values(code), tree.name: tree.value}
        return self._job.code(values)

    def _ask(self, tree: Ask, code: int) -> Extent:
        if tree.name not in QUESTIONS and tree.name != TOOK:
            part = self._packing.part_of[tree.name]
            if part == JOB_PART:
                value = self._job.values(code)[tree.name]
                read = Extent(_NONE, frozenset(), False, False, frozenset({(tree.name, value)}))
                return read.joined(self.of(tree.branches[value], code))
            parts = frozenset({part})
        else:
            parts = frozenset()
        total = Extent(parts, frozenset(), False, tree.name in QUESTIONS)
        for branch in tree.branches.values():
            total = total.joined(self.of(branch, code))
        return total

    def _call(self, tree: Call, code: int) -> Extent:
        inner = self.of(self._called[(tree.machine, tree.event)], code)
        total = Extent(inner.parts, frozenset(), inner.changes, inner.asks, inner.reads)
        for after in inner.codes:
            total = total.joined(self.of(tree.then, after))
        return total


def _changing(extent: Extent, part: int | None) -> Extent:
    parts = extent.parts if part is None else extent.parts | {part}
    return Extent(parts, extent.codes, True, extent.asks, extent.reads)


_NONE: Final[frozenset[int]] = frozenset()

