"""What every move adds to a state's number, in tables over the digits of the parts it touches.

numpy is imported when it runs. Imports `compile`, `memory`, `moves`, `packing`, `sweep`, `tree`.
"""

from dataclasses import dataclass
from math import prod
from typing import Any, Final

from sim.logic.compile import Model
from sim.logic.memory import QUESTIONS
from sim.logic.moves import Move
from sim.logic.packing import Frame, Packing
from sim.logic.sweep import Block, Sweep
from sim.logic.tree import Ask, Call, Put, Step, Tree, nodes

_MOST_ENTRIES: Final = 500_000  # in one table
JOB_PART: Final = 0

# The states of the job in which it has something to pursue.
ACTIVE: Final = (
    "RESETTING", "STARTING", "UNHOLDING", "CLEARING", "ABORTING", "EXECUTE", "HOLDING", "STOPPING",
    "COMPLETING",
)  # fmt: skip


@dataclass(slots=True)
class Entries:
    """Entries by key: those of key k are `first[k]` up to `first[k + 1]`."""

    first: Any

    def find(self, key: Any) -> tuple[Any, Any]:
        """Return the row and the entry of everything that the rows' keys have."""
        import numpy as np

        start = self.first[key]
        count = self.first[key + 1] - start
        rows = np.repeat(np.arange(key.size), count)
        if not rows.size:
            return rows, rows
        ends = np.cumsum(count)
        within = np.arange(rows.size) - np.repeat(ends - count, count)
        return rows, start[rows] + within


@dataclass(slots=True)
class Group:
    """Moves that touch the same parts."""

    parts: tuple[int, ...]
    strides: tuple[int, ...]
    moves: tuple[Move, ...]
    fast: Entries
    adds: Any  # to the number, by entry
    slow: Entries
    after: dict[int, Any]  # code of each part after the move, by entry

    def key(self, digits: list[Any]) -> Any:
        """Return where each row's entries are."""
        key = digits[self.parts[0]] * self.strides[0]
        for part, stride in zip(self.parts[1:], self.strides[1:], strict=True):
            key = key + digits[part] * stride
        return key

    def block(self, frame: Frame, digits: list[Any], rows: Any, entries: Any) -> Block:
        """Return the codes after the slow moves of some rows."""
        return [
            self.after[part][entries]
            if part in self.after
            else frame.codes[part][digits[part][rows]]
            for part in range(len(digits))
        ]


class Tables:
    """The tables for one numbering."""

    def __init__(self, model: Model, packing: Packing, sweep: Sweep, frame: Frame) -> None:
        self._model = model
        self._packing = packing
        self._sweep = sweep
        self._touched: dict[Step, frozenset[int]] = {}
        self._active = sweep.having("job", ACTIVE)
        self.frame = frame
        together, self.big = self._grouped()
        self.groups = tuple(self._group(parts, moves) for parts, moves in together.items())

    def _grouped(self) -> tuple[dict[tuple[int, ...], list[Move]], list[Move]]:
        """Return the moves by the parts they touch, and those that touch too many."""
        touches = {move.name: self._touches(move) for move in self._model.moves}
        groups: list[set[int]] = []
        for parts in sorted(touches.values(), key=self._entries):
            if not any(parts <= group for group in groups) and self._entries(parts) < _MOST_ENTRIES:
                groups.append(set(parts))
        groups = [one for one in groups if not any(one < other for other in groups)]
        together: dict[tuple[int, ...], list[Move]] = {}
        big = []
        for move in self._model.moves:
            fit = [group for group in groups if touches[move.name] <= group]
            if fit:
                together.setdefault(tuple(sorted(min(fit, key=self._entries))), []).append(move)
            else:
                big.append(move)
        return together, big

    def _entries(self, parts: "frozenset[int] | set[int]") -> int:
        return prod(self.frame.counts[part] for part in parts)

    def _touches(self, move: Move) -> frozenset[int]:
        guards = {self._packing.part_of[name] for case in move.cases for name, _ in case}
        return self._parts_of(self._model.trees[move.name]) | guards | {JOB_PART}

    def _parts_of(self, tree: Tree) -> frozenset[int]:
        """Return the parts that a tree reads or writes, with all that it calls."""
        parts: set[int] = set()
        for node in nodes(tree):
            if isinstance(node, Call):
                parts |= self._parts_called((node.machine, node.event))
            elif isinstance(node, Ask | Put) and node.name in self._packing.part_of:
                parts.add(self._packing.part_of[node.name])
        return frozenset(parts)

    def _parts_called(self, step: Step) -> frozenset[int]:
        if step not in self._touched:
            self._touched[step] = frozenset()  # a step that leads back to itself adds nothing
            self._touched[step] = self._parts_of(self._model.called[step])
        return self._touched[step]

    def _group(self, parts: tuple[int, ...], moves: list[Move]) -> Group:
        import numpy as np

        frame = self.frame
        shape = [frame.counts[part] for part in parts]
        grid = np.indices(shape).reshape(len(parts), -1)
        size = grid.shape[1]
        digits: list[Any] = [np.zeros(size, dtype=np.int64) for _ in frame.counts]
        for part, column in zip(parts, grid, strict=True):
            digits[part] = column
        fast_keys, adds, slow_keys = [], [], []
        after: dict[int, list[Any]] = {part: [] for part in parts}
        for move in moves:
            rows, block = self.moved(move, digits)
            slow = self._active[block[JOB_PART]]
            tidy = list(block)
            self._sweep.tidy(tidy)
            add = np.zeros(rows.size, dtype=np.int64)
            for part in parts:
                digit = frame.digits[part][tidy[part]]
                slow |= digit < 0  # never seen: to be looked into if it is really met
                add += (digit - digits[part][rows]) * frame.strides[part]
            fast = ~slow & (add != 0)
            fast_keys.append(rows[fast])
            adds.append(add[fast])
            slow_keys.append(rows[slow])
            for part in parts:
                after[part].append(block[part][slow])
        fast_order, fast_entries = _by_key(np.concatenate(fast_keys), size)
        slow_order, slow_entries = _by_key(np.concatenate(slow_keys), size)
        return Group(
            parts,
            tuple(prod(shape[i + 1 :]) for i in range(len(shape))),
            tuple(moves),
            fast_entries,
            np.concatenate(adds)[fast_order],
            slow_entries,
            {part: np.concatenate(codes)[slow_order] for part, codes in after.items()},
        )

    def moved(self, move: Move, digits: list[Any]) -> tuple[Any, Block]:
        """Return the rows on which a move is possible, and their codes after its own tree."""
        rows = self.possible(move, digits).nonzero()[0]
        return rows, self._move(move, digits, rows)

    def _move(self, move: Move, digits: list[Any], rows: Any) -> Block:
        import numpy as np

        block: Block = [
            codes[column[rows]] for codes, column in zip(self.frame.codes, digits, strict=True)
        ]
        self._sweep.start(rows.size, dict.fromkeys(QUESTIONS, False))
        self._sweep.run(self._model.trees[move.name], block, np.arange(rows.size))
        return block

    def kept(self, digits: list[Any], kept: Any) -> list[tuple[Any, Block]]:
        """Return every move of the given rows, by its own tree."""
        found = []
        for group in self.groups:
            for move in group.moves:
                rows = (self.possible(move, digits) & kept).nonzero()[0]
                found.append((rows, self._move(move, digits, rows)))
        return found

    def keeps_idle(self, digits: list[Any]) -> Any:
        """Return the rows where the job drives a motion though it has nothing to pursue."""
        import numpy as np

        flags = np.zeros(len(digits[0]), dtype=bool)
        for machine, states in (("shuttle", ("TO_STOP", "TO_BLADE")), ("head", ("LOWERING",))):
            part = self._packing.part_of[machine]
            hit = self._sweep.having(machine, states) & self._sweep.having(
                f"origin.{machine}", ("AUTO",)
            )
            flags |= hit[self.frame.codes[part]][digits[part]]
        return flags & ~self._active[self.frame.codes[JOB_PART]][digits[JOB_PART]]

    def possible(self, move: Move, digits: list[Any]) -> Any:
        """Return on which rows a move can happen."""
        import numpy as np

        either = np.zeros(len(digits[0]), dtype=bool)
        for case in move.cases:
            every = np.ones(len(digits[0]), dtype=bool)
            for name, values in case:
                part = self._packing.part_of[name]
                every &= self._sweep.having(name, values)[self.frame.codes[part]][digits[part]]
            either |= every
        return either


def _by_key(keys: Any, size: int) -> tuple[Any, Entries]:
    """Return the order that sorts entries by key, and where each key's entries begin."""
    import numpy as np

    order = np.argsort(keys, kind="stable")
    first = np.zeros(size + 1, dtype=np.int64)
    first[1:] = np.cumsum(np.bincount(keys, minlength=size))
    return order, Entries(first)

