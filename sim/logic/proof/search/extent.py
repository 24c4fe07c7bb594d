"""How far a tree reaches: what it reads and writes when the job's part is known.

The job decides most of what a move does, so with its code known few other parts matter, and a table
over those is small.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from sim.bugs import TableError
from sim.logic.proof.memory import DOMAINS, QUESTIONS
from sim.logic.proof.search.arrays import Flags
from sim.logic.proof.search.packing import JOB_PART, Packing
from sim.logic.proof.tree import TOOK, Ask, Call, End, Put, Step, Tree

_ANY: Final = -1  # code of the job's part


@dataclass(frozen=True, slots=True)
class Extent:
    """What a tree may do from one code of the job's part."""

    looks: frozenset[str] = frozenset()  # at variables of other parts
    writes: frozenset[str] = frozenset()  # variables of other parts
    codes: frozenset[int] = frozenset()  # that the job's part may have at the end
    asks: bool = False  # whether a question may be met

    def joined(self, other: "Extent") -> "Extent":
        """Return what either may do."""
        return Extent(
            self.looks | other.looks,
            self.writes | other.writes,
            self.codes | other.codes,
            self.asks or other.asks,
        )


class Extents:
    """The extents of one model's trees."""

    def __init__(self, packing: Packing, called: Mapping[Step, Tree]) -> None:
        self._packing = packing
        self._job = packing.parts[JOB_PART]
        self._called = called
        self._known: dict[tuple[int, int], Extent | None] = {}
        self._pursued: dict[frozenset[int], Extent] = {}  # of the one tree of the job's pursuit
        self._free: dict[int, bool] = {}
        self._kept: list[Tree] = []  # so that no id is used twice

    def of(self, tree: Tree, code: int) -> Extent:
        """Return a tree's extent from a code of the job's part.

        Raises:
            TableError: The steps that it calls lead back to it.
        """
        extent = self._known.get((id(tree), code))
        if extent is not None:
            return extent
        free = self._is_free(tree)
        key = (id(tree), _ANY if free else code)
        if key not in self._known:
            self._known[key] = None
            self._known[key] = self._walk(tree, key[1])
        extent = self._known[key]
        if extent is None:
            raise TableError("a step leads back to itself", where="interlocks.REACTIONS")
        if free:
            extent = Extent(extent.looks, extent.writes, frozenset({code}), extent.asks)
            self._known[(id(tree), code)] = extent
        return extent

    def _is_free(self, tree: Tree) -> bool:
        """Return whether a tree has nothing to do with the job's part, nor what it calls."""
        if id(tree) not in self._free:
            self._kept.append(tree)
            self._free[id(tree)] = True  # a step that leads back to itself is found by the walk
            if isinstance(tree, Ask):
                free = self._packing.part_of.get(tree.name) != JOB_PART
                free = all([free, *map(self._is_free, tree.branches.values())])
            elif isinstance(tree, Put):
                free = self._packing.part_of[tree.name] != JOB_PART and self._is_free(tree.then)
            elif isinstance(tree, Call):
                called = self._called[(tree.machine, tree.event)]
                free = self._is_free(called) and self._is_free(tree.then)
            else:
                free = True
            self._free[id(tree)] = free
        return self._free[id(tree)]

    def parts(self, names: Iterable[str]) -> frozenset[int]:
        """Return the parts that some variables are in."""
        return frozenset(self._packing.part_of[name] for name in names)

    def pursued(self, advance: Tree, codes: frozenset[int], active: Flags) -> Extent:
        """Return the extent of all that the job may pursue from some codes."""
        if codes not in self._pursued:
            total = Extent(codes=codes)
            pending, seen = [code for code in codes if active[code]], set(codes)
            while pending:
                one = self.of(advance, pending.pop())
                total = total.joined(one)
                pending.extend(code for code in one.codes - seen if active[code])
                seen |= one.codes
            self._pursued[codes] = total
        return self._pursued[codes]

    def _walk(self, tree: Tree, code: int) -> Extent:
        if isinstance(tree, End):
            return Extent(codes=frozenset({code}))
        if isinstance(tree, Put):
            if self._packing.part_of[tree.name] == JOB_PART:
                return self.of(tree.then, self._put(tree, code))
            return Extent(writes=frozenset({tree.name})).joined(self.of(tree.then, code))
        if isinstance(tree, Ask):
            return self._ask(tree, code)
        return self._call(tree, code)

    def _put(self, tree: Put, code: int) -> int:
        stride = self._job.strides[tree.name]
        domain = DOMAINS[tree.name]
        return code + (domain.index(tree.value) - code // stride % len(domain)) * stride

    def _ask(self, tree: Ask, code: int) -> Extent:
        total = Extent(asks=tree.name in QUESTIONS)
        if tree.name not in QUESTIONS and tree.name != TOOK:
            if self._packing.part_of[tree.name] == JOB_PART:
                domain = DOMAINS[tree.name]
                value = domain[code // self._job.strides[tree.name] % len(domain)]
                return self.of(tree.branches[value], code)
            total = Extent(looks=frozenset({tree.name}))
        for branch in {id(branch): branch for branch in tree.branches.values()}.values():
            total = total.joined(self.of(branch, code))
        return total

    def _call(self, tree: Call, code: int) -> Extent:
        inner = self.of(self._called[(tree.machine, tree.event)], code)
        total = Extent(inner.looks, inner.writes, frozenset(), inner.asks)
        for after in inner.codes:
            total = total.joined(self.of(tree.then, after))
        return total
