"""What every move adds to a state's number, in small tables, one set for each state of the job.

With the job's part known, a move and all that follows from it touch few other parts (see `extent`),
and moves that touch the same parts share one table. Where a move touches too many, but each apart
from the others, it has a table for each and the sums are added. What is left is run by its tree.

None of this holds for a motion that the job drives, which has permissives to keep; the explorer
keeps such states apart. numpy is imported when it runs.
Imports `compile`, `extent`, `memory`, `moves`, `packing`, `sweep`, `tree`.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import prod
from typing import Any, Final

from sim.logic.compile import Model
from sim.logic.extent import Extent, Extents
from sim.logic.memory import QUESTIONS, Value
from sim.logic.moves import TOUCH, Move
from sim.logic.packing import JOB_PART, Frame, Packing, key_of
from sim.logic.pursuit import ACTIVE, STRANGE
from sim.logic.sweep import Block, Sweep
from sim.logic.tree import Ask, Call, End, Put, Tree, nodes

_MOST_ENTRIES: Final = 12_000  # in one table


@dataclass(slots=True)
class Group:
    """Moves that touch the same parts: by key, what each of them adds."""

    parts: tuple[int, ...]
    strides: tuple[int, ...]
    first: Any  # where each key's entries begin
    adds: Any

    def key(self, digits: list[Any]) -> Any:
        """Return each row's key."""
        return key_of(digits, self.parts, self.strides)

    def entries(self, digits: list[Any]) -> tuple[Any, Any]:
        """Return the row and the sum of everything that can happen to the rows."""
        import numpy as np

        key = self.key(digits)
        start = self.first[key]
        count = self.first[key + 1] - start
        rows = np.repeat(np.arange(key.size), count)
        if not rows.size:
            return rows, rows
        offset = start - (np.cumsum(count) - count)
        return rows, self.adds[np.repeat(offset, count) + np.arange(rows.size)]


@dataclass(slots=True)
class Apart:
    """A move whose effects on some parts do not depend on one another."""

    always: int  # added to every number
    terms: tuple[tuple[tuple[int, ...], tuple[int, ...], Any], ...]  # parts, strides, adds by key

    def adds(self, digits: list[Any]) -> Any:
        """Return what the move adds to each row's number."""
        total = self.always
        for parts, strides, adds in self.terms:
            total = total + adds[key_of(digits, parts, strides)]
        return total


@dataclass(slots=True)
class Tables:
    """Everything that can happen while the job's part has one code."""

    groups: list[Group]  # for states in which the job drives nothing
    always: list[Group]  # for all states
    apart: list[Apart]  # for states in which the job drives nothing
    slow: list[Move]  # to be run by their trees, where the job drives nothing
    kept: list[Move]  # to be run by their trees, where the job drives something


class Tabler:
    """Makes the tables for one numbering."""

    def __init__(
        self, model: Model, packing: Packing, sweep: Sweep, frame: Frame, extents: Extents
    ) -> None:
        self._model = model
        self._packing = packing
        self._sweep = sweep
        self.frame = frame
        self._extents = extents
        active = sweep.having("job", ACTIVE)
        self._active = frozenset(int(code) for code in active.nonzero()[0])
        self._is_active = active
        self._drives = [
            (packing.part_of[machine], sweep.having(machine, states) & sweep.having(origin, ("AUTO",)))
            for machine, origin, states in (
                ("shuttle", "origin.shuttle", ("TO_STOP", "TO_BLADE")),
                ("head", "origin.head", ("LOWERING",)),
            )
        ]
        self._made: dict[int, Tables] = {}
        self._shared: dict[tuple[object, ...], Group] = {}
        self._touched: dict[str, frozenset[int]] = {}
        self._guards = {
            move.name: [self._guard(case) for case in move.cases] for move in model.moves
        }

    def tables(self, digit: int) -> Tables:
        """Return the tables for one digit of the job's part."""
        if digit not in self._made:
            self._made[digit] = self._make(digit)
        return self._made[digit]

    def _make(self, digit: int) -> Tables:
        code = self._packing.parts[JOB_PART].codes[digit]
        tables = Tables([], [], [], [], [])
        keep = self._extents.of(self._model.keep, code).looks
        pursuit = self._extents.of(self._model.advance, code)
        sorted_out: dict[str, dict[frozenset[int], list[Move]]] = {
            "always": {}, "quiet": {}, "other": {}
        }  # fmt: skip
        reads: dict[str, frozenset[tuple[str, Value]]] = {}
        for move in self._model.moves:
            if not self._can(move, code):
                continue
            extent = self._extents.of(self._model.trees[move.name], code)
            stays = extent.codes == {code}
            if stays and not extent.writes and move is not TOUCH:
                continue  # as good as a touch
            quiet = move is not TOUCH and stays and not pursuit.asks
            quiet = quiet and not extent.writes & pursuit.looks
            # Where nothing was written that the job looks at, it goes on resting.
            pursued = Extent(codes=extent.codes)
            if not quiet:
                pursued = self._extents.pursued(self._model.advance, extent.codes, self._active)
            whole = extent.joined(pursued)
            parts = self._extents.parts(whole) | self._guarded(move)
            reads[move.name] = whole.reads
            deaf = quiet and not extent.writes & keep
            if not deaf:
                tables.kept.append(move)
            if not whole.asks and self._size(parts) <= _MOST_ENTRIES:
                kind = "always" if deaf else "quiet" if quiet else "other"
                sorted_out[kind].setdefault(parts, []).append(move)
                continue
            apart = None if whole.asks or not quiet and code in self._active else self._apart(move, digit, pursued)
            if deaf:
                tables.kept.append(move)
            if apart is not None:
                tables.apart.append(apart)
            else:
                tables.slow.append(move)
        for parts, moves in self._merged(sorted_out["other"]):
            tables.groups.append(self._group(digit, parts, moves, quiet=False))
        for kind, groups in (("always", tables.always), ("quiet", tables.groups)):
            for parts, moves in self._merged(sorted_out[kind]):
                key = (parts, *((move.name, reads[move.name]) for move in moves))
                if key not in self._shared:
                    self._shared[key] = self._group(digit, parts, moves, quiet=True)
                groups.append(self._shared[key])
        return tables

    def _size(self, parts: Iterable[int]) -> int:
        return prod(self.frame.counts[part] for part in parts)

    def _can(self, move: Move, code: int) -> bool:
        return any(JOB_PART not in guard or guard[JOB_PART][code] for guard in self._guards[move.name])

    def _guarded(self, move: Move) -> frozenset[int]:
        return frozenset(p for guard in self._guards[move.name] for p in guard if p != JOB_PART)

    def _guard(self, case: tuple[tuple[str, tuple[object, ...]], ...]) -> dict[int, Any]:
        """Return, by part, on which codes a case holds."""
        guard: dict[int, Any] = {}
        for name, values in case:
            part = self._packing.part_of[name]
            holds = self._sweep.having(name, values)
            guard[part] = guard[part] & holds if part in guard else holds
        return guard

    def _merged(
        self, small: dict[frozenset[int], list[Move]]
    ) -> Iterator[tuple[tuple[int, ...], list[Move]]]:
        """Yield the moves by parts, those with fewer parts put to those with more."""
        largest = [one for one in small if not any(one < other for other in small)]
        together: dict[frozenset[int], list[Move]] = {parts: [] for parts in largest}
        for parts, moves in small.items():
            fit = [other for other in largest if parts <= other]
            together[min(fit, key=self._size)] += moves
        for parts, moves in together.items():
            yield tuple(sorted(parts)), moves

    # Groups -------------------------------------------------------------------------------

    def _group(
        self, digit: int, parts: tuple[int, ...], moves: list[Move], *, quiet: bool
    ) -> Group:
        import numpy as np

        digits, strides, size = self.frame.grid(parts)
        digits[JOB_PART] += digit
        keys, adds = [np.zeros(0, dtype=np.int64)], [np.zeros(0, dtype=np.int64)]
        for move in moves:
            rows = self.possible(move, digits).nonzero()[0]
            block = self.codes(digits, rows)
            self._run(move, block, quiet=quiet)
            add = self._added(block, digits, rows, (JOB_PART, *parts))
            changed = add != 0
            keys.append(rows[changed])
            adds.append(add[changed])
        key = np.concatenate(keys)
        first = np.zeros(size + 1, dtype=np.int64)
        first[1:] = np.cumsum(np.bincount(key, minlength=size))
        return Group(parts, strides, first, np.concatenate(adds)[np.argsort(key, kind="stable")])

    def _run(self, move: Move, block: Block, *, quiet: bool) -> None:
        """Make a move, and unless it is quiet let the job pursue what follows; nothing is kept."""
        import numpy as np

        rows = np.arange(len(block[0]))
        self._sweep.start(rows.size, dict.fromkeys(QUESTIONS, False))
        self._sweep.run(self._model.trees[move.name], block, rows)
        rows = rows[self._is_active[block[JOB_PART]]]
        while rows.size and not quiet:
            again = self._sweep.run(self._model.advance, block, rows)
            rows = rows[again[rows]]
        self._sweep.tidy(block)

    def _added(
        self, block: Block, digits: list[Any], rows: Any, parts: tuple[int, ...]
    ) -> Any:
        """Return what was added to the numbers.

        A combination that has no digit is given one at the end of the numbering's range, which
        makes the number impossible; the explorer looks into those that it really meets.
        """
        import numpy as np

        add = np.zeros(rows.size, dtype=np.int64)
        strange = np.zeros(rows.size, dtype=bool)
        for part in parts:
            digit = self.frame.digits[part][block[part]]
            strange |= digit < 0
            add += (digit - digits[part][rows]) * self.frame.strides[part]
        add[strange] = STRANGE
        return add

    # Apart --------------------------------------------------------------------------------

    def _apart(self, move: Move, digit: int, pursued: Extent) -> Apart | None:
        """Return a move's tables part by part, or None if the parts hang together too much."""
        import numpy as np

        code = self._packing.parts[JOB_PART].codes[digit]
        guarded = self._guarded(move)
        if pursued.looks or pursued.writes:
            return None
        clusters = self._clusters(self._model.trees[move.name], code)
        terms = []
        always = 0
        for parts in [*clusters, ()]:
            keyed = (_COMMON, *parts)
            if not guarded <= {_COMMON} or self._size(keyed) > _MOST_ENTRIES:
                return None
            digits, strides, size = self.frame.grid(keyed)
            digits[JOB_PART] += digit
            rows = np.arange(size)
            block = self.codes(digits, rows)
            self._run(move, block, quiet=not pursued.reads)
            shared = block[_COMMON].reshape(self.frame.counts[_COMMON], -1)
            job = block[JOB_PART]
            if (job != job[0]).any() or (shared != shared[:, :1]).any():
                return None
            always = int(self._added(block, digits, rows, (JOB_PART,))[0])
            if parts:
                add = self._added(block, digits, rows, parts)
            else:
                add = self._added(block, digits, rows, (_COMMON,))
                add[~self.possible(move, digits)] = IMPOSSIBLE
            terms.append((keyed, strides, add))
        return Apart(always, tuple(terms))

    def _clusters(self, tree: Tree, code: int) -> list[tuple[int, ...]]:
        """Return sets of parts that a chain of calls touches apart from one another.

        The common part is left out: it may be read by all of them.
        """
        clusters: list[set[int]] = []
        while not isinstance(tree, End):
            touched: list[set[int]] = []
            codes = frozenset({code})
            if isinstance(tree, Ask):
                if self._packing.part_of.get(tree.name) != JOB_PART:
                    touched = [set(self._extents.parts(self._extents.of(tree, code)))]
                    clusters = _merge(clusters, touched[0])
                    break
                tree = tree.branches[self._packing.parts[JOB_PART].values(code)[tree.name]]
                continue
            if isinstance(tree, Call):
                called = self._model.called[(tree.machine, tree.event)]
                codes = self._extents.of(called, code).codes
                touched = [set(parts) for parts in self._clusters(called, code)]
            elif self._packing.part_of[tree.name] == JOB_PART:
                values = {**self._packing.parts[JOB_PART].values(code), tree.name: tree.value}
                codes = frozenset({self._packing.parts[JOB_PART].code(values)})
            else:
                touched = [{self._packing.part_of[tree.name]}]
            for parts in touched:
                clusters = _merge(clusters, parts)
            tree = tree.then
            if len(codes) > 1:  # what follows depends on it, and belongs together
                rest = frozenset[int]().union(
                    *(self._extents.parts(self._extents.of(tree, one)) for one in codes)
                )
                clusters = _merge(clusters, set().union(*clusters, rest))
                break
            (code,) = codes
        return [tuple(sorted(parts - {_COMMON})) for parts in clusters if parts - {_COMMON}]

    # Rows ---------------------------------------------------------------------------------

    def codes(self, digits: list[Any], rows: Any) -> Block:
        """Return the codes of some rows."""
        return [codes[column[rows]] for codes, column in zip(self.frame.codes, digits, strict=True)]

    def possible(self, move: Move, digits: "Mapping[int, Any] | list[Any]") -> Any:
        """Return on which rows of digits a move can happen."""
        import numpy as np

        either = np.zeros(digits[JOB_PART].size, dtype=bool)
        for guard in self._guards[move.name]:
            every = np.ones(either.size, dtype=bool)
            for part, holds in guard.items():
                every &= holds[self.frame.codes[part]][digits[part]]
            either |= every
        return either

    def can(self, move: Move, block: Block) -> Any:
        """Return on which rows of codes a move can happen."""
        import numpy as np

        either = np.zeros(len(block[0]), dtype=bool)
        for guard in self._guards[move.name]:
            every = np.ones(len(block[0]), dtype=bool)
            for part, holds in guard.items():
                every &= holds[block[part]]
            either |= every
        return either

    def moved(self, move: Move, digits: list[Any], rows: Any) -> tuple[Any, Block]:
        """Return those of some rows on which a move writes anything, and their codes after it.

        All rows count for the move that writes nothing but has the job look again.
        """
        import numpy as np

        some = {part: digits[part][rows] for part in self._guarded(move) | {JOB_PART}}
        possible = self.possible(move, some)
        if not possible.all():
            rows = rows[possible]
        tree = self._model.trees[move.name]
        block: Block = [
            self.frame.codes[part][column[rows]] if part in self._touches(move) else None
            for part, column in enumerate(digits)
        ]
        self._sweep.start(rows.size, dict.fromkeys(QUESTIONS, False))
        self._sweep.run(tree, block, np.arange(rows.size))
        wrote = self._sweep.wrote
        if move is not TOUCH and not wrote.all():
            rows = rows[wrote]
            block = [column if column is None else column[wrote] for column in block]
        for part, column in enumerate(block):
            if column is None:
                block[part] = self.frame.codes[part][digits[part][rows]]
        return rows, block

    def _touches(self, move: Move) -> frozenset[int]:
        if move.name not in self._touched:
            self._touched[move.name] = self._parts_of(self._model.trees[move.name])
        return self._touched[move.name]

    def _parts_of(self, tree: Tree) -> frozenset[int]:
        """Return every part that a tree may touch, with all that it calls."""
        parts: set[int] = set()
        for node in nodes(tree):
            if isinstance(node, Call):
                parts |= self._parts_of(self._model.called[(node.machine, node.event)])
            elif isinstance(node, Ask | Put) and node.name in self._packing.part_of:
                parts.add(self._packing.part_of[node.name])
        return frozenset(parts)

    def driven(self, digits: list[Any]) -> Any:
        """Return the rows of digits where the job drives a motion that has something to keep."""
        (one, shuttle), (other, head) = self._drives
        return shuttle[self.frame.codes[one]][digits[one]] | head[self.frame.codes[other]][digits[other]]



IMPOSSIBLE: Final = 1 << 60  # added where a move cannot happen
_COMMON: Final = 1  # the part of selectors and devices, which many moves read


def _merge(clusters: list[set[int]], parts: set[int]) -> list[set[int]]:
    """Return the clusters with some parts put together."""
    together = set(parts)
    apart = []
    for cluster in clusters:
        if (cluster & parts) - {_COMMON}:
            together |= cluster
        else:
            apart.append(cluster)
    return [*apart, together]

