"""Holds states and steps against the safety properties, many at a time."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from sim.logic.proof.memory import Case
from sim.logic.proof.moves import Move
from sim.logic.proof.properties import Never, NeverStep
from sim.logic.proof.search.arrays import Digits, Masks, Numbers, Rows
from sim.logic.proof.search.packing import Frame
from sim.logic.proof.search.sweep import Sweep


@dataclass(slots=True)
class Breach:
    """The first state that a property forbids, or that a forbidden step starts from."""

    name: str  # of the property
    number: int  # of the state
    move: Move | None = None  # the forbidden step


class Judge:
    """The safety properties for one numbering."""

    def __init__(
        self, safety: Sequence[Never | NeverStep], moves: Sequence[Move], sweep: Sweep, frame: Frame
    ) -> None:
        self._sweep = sweep
        self._frame = frame
        self._nevers = [
            (row.name, [self._masks(case) for case in row.cases])
            for row in safety
            if isinstance(row, Never)
        ]
        self._steps = [
            (row, self._masks(row.before), self._masks(row.after))
            for row in safety
            if isinstance(row, NeverStep)
        ]
        self._of_move = {
            move.name: [step for step in self._steps if step[0].of(move.name)] for move in moves
        }
        self.broken: set[str] = set()  # properties that are not looked at again

    def _masks(self, case: Case) -> Masks:
        """Return, by part, on which digits a case holds, the rarest first."""
        masks = {
            part: holds[self._frame.codes[part]]
            for part, holds in self._sweep.holding(case).items()
        }
        return dict(sorted(masks.items(), key=lambda item: float(item[1].mean())))

    def states(self, numbers: Numbers, digits: Digits) -> Iterator[Breach]:
        """Yield a breach for each property that one of the states breaks.

        Args:
            numbers: Of the states.
            digits: Of the states, a column for each part.
        """
        for name, cases in self._nevers:
            for masks in cases if name not in self.broken else ():
                rows = _holding(masks, digits, None)
                if rows.size:
                    self.broken.add(name)
                    yield Breach(name, int(numbers[rows[0]]))
                    break

    def steps(
        self, move: Move, numbers: Numbers, before: Digits, after: Digits
    ) -> Iterator[Breach]:
        """Yield a breach for each property that a step from one of the states breaks.

        Args:
            move: Made in each state.
            numbers: Of the states.
            before: Their digits, a column for each part.
            after: The digits of the states that the move leads to, row by row.
        """
        for row, masks_before, masks_after in self._of_move[move.name]:
            if row.name in self.broken:
                continue
            rows = _holding(masks_before, before, _holding(masks_after, after, None))
            if row.changes and rows.size:
                part, values = self._frame.values(row.changes)
                rows = rows[values[before[part][rows]] != values[after[part][rows]]]
            if rows.size:
                self.broken.add(row.name)
                yield Breach(row.name, int(numbers[rows[0]]), move)


def _holding(masks: Masks, digits: Digits, rows: Rows | None) -> Rows:
    """Return those of the rows, None for all, on which every mask holds."""
    for part, holds in masks.items():
        column = digits[part]
        rows = np.flatnonzero(holds[column]) if rows is None else rows[holds[column[rows]]]
        if not rows.size:
            break
    return np.arange(digits[0].size) if rows is None else rows
