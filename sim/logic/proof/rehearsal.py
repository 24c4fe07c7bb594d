"""Plays a counterexample on a live controller: keys pressed, switches edged, time passed.

There is no plant: the wires are driven as the moves say. What the live controller does is held
against what the model foretold, so nothing is shown that the controller would not do.
"""

from typing import Final

from sim.bugs import TableError
from sim.control.controller import Controller, Times
from sim.control.interlocks import THE_ROWS, Rows
from sim.kernel.clock import Clock
from sim.logic.bench.trace import Trace
from sim.logic.proof.example import Example, Stride
from sim.logic.proof.memory import DOMAINS, MATTERS_IN, QUESTIONS, State, holds, tidied
from sim.logic.proof.moves import MoveKind
from sim.logic.proof.unfold import Row
from sim.signals import BY_TAG, Bus
from sim.units import US

# Nothing is over before the example says so: its moves follow one another quickly, and the band may
# wander for an hour.
_BETWEEN_MOVES_US: Final = US // 1000
_DEVIATION_US: Final = 3600 * US


class Rehearsal:
    """One live controller on a bench, and an example to be played on it.

    Args:
        example: What to play.
        bypassed: The rows that are jumpered.
        rows: That the controller walks.
    """

    def __init__(
        self, example: Example, bypassed: tuple[Row, ...] = (), rows: Rows = THE_ROWS
    ) -> None:
        self.clock = Clock()
        self.bus = Bus()
        self.controller = Controller(self.clock, self.bus, Times(deviation_us=_DEVIATION_US), rows)
        self.controller.bypassed.update(bypassed)
        self.trace = Trace(self)
        self.trace.keep_all()
        self.made = 0  # moves
        self._example = example
        self._let_go_what_does_not_matter()

    @property
    def left(self) -> int:
        """How many moves are still to be made."""
        return len(self._example.strides) - self.made

    @property
    def state(self) -> State:
        """What the live controller remembers, as the model has it."""
        return tidied({name: self.controller.image[name] for name in DOMAINS})

    def step(self) -> Stride:
        """Make the next move, and return it.

        Raises:
            TableError: The live controller did something else than the model foretold.
            IndexError: No move is left.
        """
        stride = self._example.strides[self.made]
        self._count_as(dict(zip(QUESTIONS, stride.answers, strict=True)))
        if stride.move.kind is MoveKind.TIME:
            self.clock.step()
            self.bus.settle()
        else:
            self.clock.run_until(self.clock.now_us + _BETWEEN_MOVES_US)
        for tag, value in (*stride.move.chosen, *stride.move.edges):
            self.bus.drive(tag, value)
            self.bus.settle()
        self._let_go_what_does_not_matter()
        self.made += 1
        if self.state != stride.state:
            raise TableError("the live controller does not do it", where=f"move {self.made}")
        return stride

    def play(self) -> "Rehearsal":
        """Make every move that is left; return the rehearsal itself.

        Raises:
            TableError: The live controller did something else than the model foretold.
        """
        while self.left:
            self.step()
        return self

    def _let_go_what_does_not_matter(self) -> None:
        """Have the wires that are read in one mode only off in the others, as the model has them."""
        image = self.controller.image
        for tag, case in MATTERS_IN.items():
            if tag in BY_TAG and not holds(case, image):
                self.bus.drive(tag, False)
                self.bus.settle()

    def _count_as(self, answers: dict[str, bool]) -> None:
        """Turn the counters so that the job's three questions are answered as in the example."""
        job = self.controller.job
        job.wanted = job.cut + (1 if answers[QUESTIONS[0]] else 3)
        job.strokes = job.stroke + 2 if answers[QUESTIONS[1]] else 1
        job.set_run_on(int(answers[QUESTIONS[2]]))
