"""Whether a search has tried a property at all, or never came to where it speaks.

A property about an open guard says nothing of a search in which no guard is opened: that it did not break there
is no proof. What it takes is looked for among the states that were reached, so a bound, a jumper or a row
that keeps its condition away are all found the same way.

A `Never` is tried by a case of it of which each fact comes about somewhere, and all that it asks of wires and mode
together. A `NeverStep` or an `Ends` is tried where one of its moves can happen, and a `Reachable` where it
starts.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from sim.logic.proof.memory import DEVICES, Case, Fact
from sim.logic.proof.properties import Ends, Never, NeverStep, Property, Reachable
from sim.logic.proof.search.explore import Explorer, Reached

_GIVEN: Final = frozenset((*DEVICES, "mode"))  # what nobody but hands and the machine decide


@dataclass(frozen=True, slots=True)
class Untried:
    """Why a property was not tried: what never comes about."""

    facts: tuple[Fact, ...]  # together; empty where none of its moves ever happens where it speaks


class Tried:
    """What was tried in a search that went to its end."""

    def __init__(self, explorer: Explorer, reached: Reached) -> None:
        self._explorer = explorer
        self._reached = reached
        self._moves = {move.name: move for move in explorer.model.moves}
        self._known: dict[Case, bool] = {}

    def why_not(self, row: Property) -> Untried | None:
        """Return why a property was not tried; None where it was."""
        if isinstance(row, Never):
            return self._first(self._missing(case) for case in row.cases)
        if isinstance(row, Reachable):
            return self._first(self._not_together(case) for case in row.start)
        missing = self._not_together(row.before)
        if missing is not None:
            return missing
        if isinstance(row, NeverStep) and not row.moves:
            return None
        return None if any(map(self._comes, self._steps(row))) else Untried(())

    @staticmethod
    def _first(found: Iterable[Untried | None]) -> Untried | None:
        """Return what is missing in the first case; None where any case lacks nothing."""
        first: Untried | None = None
        for each in found:
            if each is None:
                return None
            first = first or each
        return first

    def _missing(self, case: Case) -> Untried | None:
        alone = next((fact for fact in case if not self._comes((fact,))), None)
        if alone is not None:
            return Untried((alone,))
        given = tuple(fact for fact in case if fact[0] in _GIVEN)
        if len(given) == len(case):
            return None  # that these never come together is what the property says
        return None if self._comes(given) else Untried(given)

    def _not_together(self, case: Case) -> Untried | None:
        alone = next((fact for fact in case if not self._comes((fact,))), None)
        if alone is not None:
            return Untried((alone,))
        return None if self._comes(case) else Untried(case)

    def _steps(self, row: NeverStep | Ends) -> Iterator[Case]:
        """Yield, for each of a property's moves, where it can happen and the property speaks."""
        for name in row.moves:
            move = self._moves.get(name)
            for case in move.cases if move is not None else ():
                yield (*row.before, *case)

    def _comes(self, case: Case) -> bool:
        """Return whether any state was reached in which all of a case holds."""
        if case not in self._known:
            self._known[case] = not case or any(
                bool(self._explorer.holding([case], layer).any()) for layer in self._reached.layers
            )
        return self._known[case]
