"""Visits every state that the model can reach, breadth first, many states at a time.

Layer n of the search has the states that take n moves at the least. All layers are kept, so that a
shortest way to any state can be walked back from it (see `example`).

States are numbered by the combinations of variables that have been met (see `packing`). A scout
learns most combinations beforehand from a few states of every layer. If the search meets one that
has no digit, it goes through that layer again with a numbering that has it.
"""

import gc
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import partial
from typing import Final

import numpy as np

from sim.logic.proof.compile import EVERY_ANSWER, Answers, Model
from sim.logic.proof.memory import Case
from sim.logic.proof.properties import Never, NeverStep
from sim.logic.proof.search.arrays import (
    Flags,
    Numbers,
    Rows,
    no_numbers,
    sorted_once,
)
from sim.logic.proof.search.crew import Work, crew
from sim.logic.proof.search.effects import Effects
from sim.logic.proof.search.judge import Breach, Judge
from sim.logic.proof.search.packing import Frame, Packing
from sim.logic.proof.search.scout import scout
from sim.logic.proof.search.seen import SeenStates
from sim.logic.proof.search.successors import MOST_ROWS, Successors
from sim.logic.proof.search.sweep import Sweep

_MOST_WAITING: Final = 1 << 15  # successors

Report = Callable[[int, int], None]  # layer, states so far


@contextmanager
def _no_collection() -> Iterator[None]:
    """Keep the collector from walking tables and trees, which hold no cycles, over and over."""
    collects = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collects:
            gc.enable()


@dataclass(slots=True)
class Reached:
    """Every state that can be reached, in layers, and the properties that were broken."""

    frame: Frame
    layers: list[Numbers] = field(default_factory=list)  # each in order
    edges: int = 0
    breaches: list[Breach] = field(default_factory=list)

    @property
    def states(self) -> int:
        """How many states there are."""
        return sum(int(layer.size) for layer in self.layers)

    def renumber(self, frame: Frame) -> None:
        """Number everything as another frame does that knows more codes."""
        if frame.strides == self.frame.strides:
            self.frame = frame
            return
        self.layers = [self.frame.renumbered(layer, frame) for layer in self.layers]
        for breach in self.breaches:
            breach.number = int(self.frame.renumbered(np.array([breach.number]), frame)[0])
        self.frame = frame

    @property
    def depth(self) -> int:
        """How many moves the farthest state takes."""
        return len(self.layers) - 1


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
        for i, part in enumerate(self.packing.parts):
            self.packing.learn(i, [part.code(model.initial)])
        self.frame = self.packing.frame()
        self._effects = Effects(
            model,
            self.packing,
            self.sweep,
            self.frame,
            [row for row in safety if isinstance(row, NeverStep)],
        )
        if packing is None:
            scout(model, self.packing, self.sweep, self._effects)
        self._renumber({})

    def _renumber(self, unknown: dict[int, set[int]]) -> None:
        """Number states afresh, codes that had no digit too."""
        for part, codes in unknown.items():
            self.packing.learn(part, sorted(codes))
        self.frame = self.packing.frame()
        self._effects.renumber(self.frame)
        judge = Judge(self._safety, self.model.moves, self.sweep, self.frame)
        self._successors = Successors(
            self.model, self.sweep, self.frame, self._effects, judge, self._answers
        )

    # The search ---------------------------------------------------------------------------

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
        with _no_collection():
            return self._reached(enough, report, alone=alone)

    def _reached(
        self, enough: Callable[[Reached], bool], report: Report, *, alone: bool
    ) -> Reached:
        reached = Reached(self.frame)
        seen = SeenStates(self.frame)
        frontier = np.array([self.frame.number(self.model.initial)], dtype=np.int64)
        seen.add(frontier)
        ahead: list[Numbers] = []
        while frontier.size:
            ahead = self._reach(reached, seen, frontier, ahead, enough, report, alone=alone)
            if not self._successors.unknown:
                return reached
            self._renumber(self._successors.unknown)
            reached.renumber(self.frame)
            frontier = reached.layers.pop()
            if not seen.fits(self.frame):
                seen, ahead = SeenStates(self.frame), []
                for layer in (*reached.layers, frontier):
                    seen.add(layer)
        return reached

    def _reach(
        self,
        reached: Reached,
        seen: SeenStates,
        frontier: Numbers,
        ahead: Sequence[Numbers],
        enough: Callable[[Reached], bool],
        report: Report,
        *,
        alone: bool,
    ) -> list[Numbers]:
        """Go on from a layer until all is reached, or up to a layer that leads to codes without a digit.

        Args:
            reached: Takes the layers.
            seen: What was met.
            frontier: The layer.
            ahead: What is known already of the layer after it.
            enough: As `reach` has it.
            report: As `reach` has it.
            alone: As `reach` has it.

        Returns:
            What is known of the layer after the last one, where that is to be gone through again.
        """
        unknown = self._successors.unknown
        own = partial(self._work, seen.add, True)
        other = partial(self._work, seen.new, False)
        with crew(own, other, alone=alone) as work:
            while frontier.size:
                reached.layers.append(frontier)
                fresh = [no_numbers(), *ahead]
                ahead, edges = [], 0
                for done in work(frontier):
                    edges += done.edges
                    broken = {breach.name for breach in reached.breaches}
                    reached.breaches += [b for b in done.breaches if b.name not in broken]
                    for part, codes in done.unknown.items():
                        unknown.setdefault(part, set()).update(codes)
                    fresh.append(done.fresh if done.marked else seen.add(done.fresh))
                if unknown:
                    return fresh
                reached.edges += edges
                report(reached.depth, reached.states)
                if enough(reached):
                    return []
                frontier = np.sort(np.concatenate(fresh))
        return []

    def _work(self, new: Callable[[Numbers], Numbers], marked: bool, states: Numbers) -> Work:
        """Return what the states lead to; `new` picks what was not met before, and may mark it."""
        breaches: list[Breach] = []
        edges, fresh = 0, [no_numbers()]
        unknown = self._successors.unknown
        waiting: list[Numbers] = []  # looked up together: most tables add but a few
        count = 0
        for start in range(0, states.size, MOST_ROWS):
            if unknown:
                break  # the layer is gone through again
            for _, numbers in self._successors.of(states[start : start + MOST_ROWS], breaches):
                edges += numbers.size
                waiting.append(numbers)
                count += numbers.size
                if count > _MOST_WAITING:
                    fresh.append(new(np.concatenate(waiting)))
                    waiting, count = [], 0
        if waiting:
            fresh.append(new(np.concatenate(waiting)))
        return Work(edges, sorted_once(np.concatenate(fresh)), marked, breaches, unknown)

    # What others ask ----------------------------------------------------------------------

    def successors(self, states: Numbers) -> Iterator[tuple[Rows, Numbers]]:
        """Yield rows of `states`, which are in order, and their successors; never a state itself."""
        for start in range(0, states.size, MOST_ROWS):
            for rows, after in self._successors.of(states[start : start + MOST_ROWS]):
                yield rows + start, after

    def holding(self, cases: Iterable[Case], numbers: Numbers) -> Flags:
        """Return on which of the states any of the cases holds."""
        return self._successors.holding(cases, numbers)
