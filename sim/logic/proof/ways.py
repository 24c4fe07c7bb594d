"""Whether a goal can be reached from each of many states.

Theory. For millions of states this is shown by one recipe (`Reachable.way`): moves that are made in
order, each where it is possible, again and again. The recipe is followed from all states at once.
As the moves put things right, more and more states lead to the same ones, so few are left to follow.
From those that the recipe does not bring to a goal, everything that can be reached is searched, and
then what of it leads to a goal. So a recipe only saves time; without one the answer is the same.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from sim.logic.proof.compile import EVERY_ANSWER, Answers, Model
from sim.logic.proof.memory import Case
from sim.logic.proof.moves import Move
from sim.logic.proof.properties import Ends, Reachable
from sim.logic.proof.search.arrays import Numbers, no_numbers
from sim.logic.proof.search.explore import Explorer, Reached
from sim.logic.proof.search.seen import SeenStates

_MOST_ROUNDS: Final = 60
_LAST_STROKE_OF_THE_LAST_PIECE: Final[Answers] = (True, False, False)


class Ways:
    """Looks for ways from the states that an explorer has reached."""

    def __init__(self, explorer: Explorer) -> None:
        self._explorer = explorer
        self._single: dict[str, Explorer] = {}

    def stuck(self, row: Reachable, reached: Reached) -> Numbers:
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
    def shallowest(states: Numbers, reached: Reached) -> int:
        """Return that of the states which takes the fewest moves.

        Raises:
            ValueError: None of them was reached.
        """
        for layer in reached.layers:
            among = states[np.isin(states, layer)]
            if among.size:
                return int(among[0])
        raise ValueError("none of the states was reached")

    def goes_on(self, row: Ends, move: Move, reached: Reached) -> int | None:
        """Return the nearest state in which the move does not end what it must, None for none."""
        one = self._one_move(move.name)
        for layer in reached.layers:
            able = self._holding(move.cases, self._holding([row.before], layer))
            stays = np.ones(able.size, dtype=bool)
            during = [no_numbers()]
            for rows, numbers in one.successors(able):
                stays[rows] = False
                during.append(able[rows[self._explorer.holding([row.during], numbers)]])
            during.append(self._holding([row.during], able[stays]))
            found = np.concatenate(during)
            if found.size:
                return int(found.min())
        return None

    def _holding(self, cases: Iterable[Case], numbers: Numbers, *, none: bool = False) -> Numbers:
        """Return the numbers on which any of the cases holds, or with `none` the others."""
        return numbers[self._explorer.holding(cases, numbers) ^ none]

    def _followed(self, row: Reachable, start: list[Numbers]) -> Numbers:
        """Follow the recipe from states; return those that it does not bring to a goal."""
        allowed = {move.name for move in self._explorer.model.moves if row.allows(move)}
        way = [name for name in row.way if name in allowed]
        left = [self._holding(row.goals, states, none=True) for states in start]
        for _ in range(_MOST_ROUNDS):
            before = left
            for name in way:
                left = [self._holding(row.goals, self._made(name, left), none=True)]
                if not left[0].size:
                    return left[0]
            if len(before) == 1 and np.array_equal(before[0], left[0]):
                break
        return np.sort(np.concatenate(left)) if left else no_numbers()

    def _made(self, name: str, blocks: list[Numbers]) -> Numbers:
        """Return, once each, where a move leads from states; a state where it does nothing stays."""
        explorer = self._one_move(name)
        seen = SeenStates(self._explorer.frame)
        after = [no_numbers()]
        for states in blocks:
            stays = np.ones(states.size, dtype=bool)
            for rows, numbers in explorer.successors(states):
                stays[rows] = False
                after.append(seen.add(numbers))
            after.append(seen.add(states[stays]))
        return np.sort(np.concatenate(after))

    def _one_move(self, name: str) -> Explorer:
        if name not in self._single:
            moves = tuple(move for move in self._explorer.model.moves if move.name == name)
            self._single[name] = self._limited(moves, (_LAST_STROKE_OF_THE_LAST_PIECE,))
        return self._single[name]

    def _limited(self, moves: tuple[Move, ...], answers: Sequence[Answers]) -> Explorer:
        model: Model = replace(self._explorer.model, moves=moves)
        return Explorer(model, packing=self._explorer.packing, answers=answers)

    def _searched(self, row: Reachable, start: Numbers) -> Numbers:
        """Return those of the states from which no goal can be reached by any allowed moves."""
        moves = (move for move in self._explorer.model.moves if row.allows(move))
        explorer = self._limited(tuple(moves), EVERY_ANSWER)
        seen, good = SeenStates(explorer.frame), SeenStates(explorer.frame)
        layers: list[Numbers] = []
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
