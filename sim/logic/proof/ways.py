"""Whether there is always a way: from each of many states to a goal.

Theory. That a goal can be reached from millions of states is shown by one recipe: moves to be made
in order, each where it is possible, over and over (`Reachable.way`). It is followed from all states
at once, and as they put things right they run together into few. What the recipe does not bring to
a goal is searched to the end: everything that can be reached from there, and what in it leads to a
goal. So a recipe only saves time; with none the answer is the same.
"""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any, Final

import numpy as np

from sim.logic.proof.compile import EVERY_ANSWER, Answers, Model
from sim.logic.proof.explore import Explorer, Reached, Seen
from sim.logic.proof.moves import Case
from sim.logic.proof.properties import Reachable

_MOST_ROUNDS: Final = 60
_LAST_STROKE_OF_THE_LAST_PIECE: Final[Answers] = (True, False)


class Ways:
    """Ways out of what an explorer has reached."""

    def __init__(self, explorer: Explorer) -> None:
        self._explorer = explorer
        self._single: dict[str, Explorer] = {}

    def stuck(self, row: Reachable, reached: Reached) -> Any:
        """Return the states from which no goal can be reached, none when the property holds."""
        start = [self._holding(row.start, layer) for layer in reached.layers]
        left = self._followed(row, [s for s in start if s.size])
        if not left.size:
            return left
        stuck = self._searched(row, left)
        if not stuck.size:
            return stuck
        # The recipe may have led astray: judge the states themselves.
        return self._searched(row, np.sort(np.concatenate(start)))

    @staticmethod
    def shallowest(states: Any, reached: Reached) -> int:
        """Return that of some reached states which takes the fewest moves."""
        for layer in reached.layers:
            here = states[np.isin(states, layer)]
            if here.size:
                return int(here[0])
        raise ValueError("none of the states was reached")

    def _holding(self, cases: Iterable[Case], numbers: Any, *, none: bool = False) -> Any:
        """Return the numbers on which any of the cases holds, or with `none` the others."""
        return numbers[self._explorer.holding(cases, numbers) ^ none]

    def _followed(self, row: Reachable, start: list[Any]) -> Any:
        """Follow the recipe from some states; return those that it does not bring to a goal."""
        allowed = {move.name for move in self._explorer.model.moves if row.allows(move)}
        way = [name for name in row.way if name in allowed]
        left = [self._holding(row.goals, some, none=True) for some in start]
        for _ in range(_MOST_ROUNDS):
            before = left
            for name in way:
                left = [self._holding(row.goals, self._made(name, left), none=True)]
                if not left[0].size:
                    return left[0]
            if len(before) == 1 and np.array_equal(before[0], left[0]):
                break
        return np.sort(np.concatenate(left)) if left else np.zeros(0, dtype=np.int64)

    def _made(self, name: str, states: list[Any]) -> Any:
        """Return, once each, where a move leads from states; a state where it does nothing stays."""
        explorer = self._one_move(name)
        seen = Seen(self._explorer.frame)
        after = [np.zeros(0, dtype=np.int64)]
        for some in states:
            stays = np.ones(some.size, dtype=bool)
            for rows, numbers in explorer.successors(some):
                stays[rows] = False
                after.append(seen.add(numbers))
            after.append(seen.add(some[stays]))
        return np.sort(np.concatenate(after))

    def _one_move(self, name: str) -> Explorer:
        if name not in self._single:
            moves = tuple(move for move in self._explorer.model.moves if move.name == name)
            self._single[name] = self._limited(moves, (_LAST_STROKE_OF_THE_LAST_PIECE,))
        return self._single[name]

    def _limited(self, moves: Any, answers: Any) -> Explorer:
        model: Model = replace(self._explorer.model, moves=moves)
        return Explorer(model, packing=self._explorer.packing, answers=answers)

    def _searched(self, row: Reachable, start: Any) -> Any:
        """Return those of some states from which no goal can be reached by any allowed moves."""
        moves = (move for move in self._explorer.model.moves if row.allows(move))
        explorer = self._limited(tuple(moves), EVERY_ANSWER)
        seen, good = Seen(explorer.frame), Seen(explorer.frame)
        layers = []
        frontier = seen.add(start.copy())
        while frontier.size:  # everything that can be reached, but not beyond a goal
            good.add(self._holding(row.goals, frontier))
            frontier = self._holding(row.goals, frontier, none=True)
            layers.append(frontier)
            fresh = [seen.add(numbers) for _, numbers in explorer.successors(frontier)]
            frontier = np.sort(np.concatenate(fresh)) if fresh else frontier[:0]
        changed = True
        while changed:  # what leads to a goal, the farthest first
            changed = False
            for i in reversed(range(len(layers))):
                leads = np.zeros(layers[i].size, dtype=bool)
                for rows, numbers in explorer.successors(layers[i]):
                    leads[rows[good.has(numbers)]] = True
                if leads.any():
                    changed = True
                    good.add(layers[i][leads])
                    layers[i] = layers[i][~leads]
        return start[~good.has(start)]
