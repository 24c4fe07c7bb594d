"""A counterexample in the window, played on a live controller; to go back it is played from the start.

Never here: drawing.
"""

from dataclasses import dataclass

from sim.bugs import TableError
from sim.control.lamps import Lamp, lit
from sim.control.table import TABLES
from sim.logic.bench.force import banner
from sim.logic.proof.each import hazards
from sim.logic.proof.example import Example
from sim.logic.proof.memory import State
from sim.logic.proof.proof import Finding
from sim.logic.proof.properties import PROPERTIES, Ends, Never, NeverStep, Reachable
from sim.logic.proof.rehearsal import Rehearsal
from sim.logic.proof.unfold import Row
from sim.signals import SIGNALS
from sim.words.message import Message


@dataclass(frozen=True, slots=True)
class Moment:
    """What the live controller shows between two moves."""

    states: dict[str, str]  # by machine
    on: frozenset[str]  # wires, by tag
    lamps: tuple[Lamp, ...]  # that are lit
    kept: State  # all that it remembers


class ExamplePlayer:
    """One example and the live controller that it is played on.

    Args:
        finding: A property with an example of how it is broken.
        bypassed: The rows that are jumpered.

    Raises:
        TableError: The property holds, so that there is nothing to play.
    """

    def __init__(self, finding: Finding, bypassed: tuple[Row, ...]) -> None:
        if finding.example is None:
            raise TableError("there is no example of a property that holds", where=finding.name)
        self.finding = finding
        self.example: Example = finding.example
        self.hazards = hazards(bypassed)
        self.numbers = tuple(dict.fromkeys(row.number for row in bypassed))  # of the interlocks
        self._bypassed = bypassed
        self._begin()

    def _begin(self) -> None:
        self.rehearsal = Rehearsal(self.example, self._bypassed)
        self.now = self._moment()
        self.before: Moment | None = None  # the moment before the present move

    @property
    def made(self) -> int:
        """How many moves have been made."""
        return self.rehearsal.made

    @property
    def moves(self) -> int:
        """How many moves there are."""
        return len(self.example.strides)

    @property
    def over(self) -> bool:
        """Whether every move has been made."""
        return not self.rehearsal.left

    @property
    def banner(self) -> Message:
        """The warning of what is jumpered on the live controller."""
        return banner(self.rehearsal)

    @property
    def broken(self) -> bool:
        """Whether the live controller breaks the property, in its present state or by its last move.

        No single state breaks a property of progress; it counts as broken after the last move.
        """
        row = PROPERTIES[self.finding.name]
        if isinstance(row, Never):
            return row.broken_by(self.now.kept)
        if isinstance(row, NeverStep | Ends):
            move = self.example.strides[self.made - 1].move
            return self.before is not None and row.broken_by(
                move.name, self.before.kept, self.now.kept
            )
        return self.over

    @property
    def about_a_moment(self) -> bool:
        """Whether the property is broken by a state or a step, and not by being stuck."""
        return not isinstance(PROPERTIES[self.finding.name], Reachable)

    def go_to(self, number: int) -> None:
        """Go to the moment after so many moves; back is played again from the start.

        Raises:
            TableError: The live controller did something else than the model foretold.
        """
        wanted = min(max(number, 0), self.moves)
        if wanted < self.made:
            self._begin()
        while self.made < wanted:
            self.before = self.now
            self.rehearsal.step()
            self.now = self._moment()

    def _moment(self) -> Moment:
        controller, seen = self.rehearsal.controller, self.rehearsal.bus.seen
        return Moment(
            {table.name: str(controller.machines[table.name].state) for table in TABLES},
            frozenset(row.tag for row in SIGNALS if seen[row.tag]),
            tuple(lit(controller.image, controller.rows)),
            self.rehearsal.state,
        )
