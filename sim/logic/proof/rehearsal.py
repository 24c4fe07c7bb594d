"""Plays a counterexample on a live controller: keys pressed, switches edged, time passed.

There is no plant: the wires are driven as the moves say. What the live controller does is held
against what the model foretold, so nothing is shown that the controller would not do.
"""

from typing import Final

from sim.bugs import TableError
from sim.control.controller import DEVIATION_LIMIT_US, Controller
from sim.kernel.clock import Clock
from sim.logic.bench.trace import Trace
from sim.logic.proof.example import Example, Stride
from sim.logic.proof.memory import DOMAINS, QUESTIONS, State, tidied
from sim.logic.proof.moves import MoveKind
from sim.logic.proof.unfold import Row
from sim.signals import Bus
from sim.units import US

_BETWEEN_MOVES_US: Final = US // 20  # so that a long example stays within the 20 s of wander


class Rehearsal:
    """One live controller on a bench, and an example to be played on it.

    Args:
        example: What to play.
        bypassed: The rows that are jumpered.
    """

    def __init__(self, example: Example, bypassed: tuple[Row, ...] = ()) -> None:
        self.clock = Clock()
        self.bus = Bus()
        self.controller = Controller(self.clock, self.bus)
        self.controller.bypassed.update(bypassed)
        self.trace = Trace(self)
        self.made = 0  # moves
        self._example = example

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
            self.clock.run_until(self.clock.now_us + DEVIATION_LIMIT_US)
            self.bus.settle()
        else:
            self.clock.run_until(self.clock.now_us + _BETWEEN_MOVES_US)
        for tag, value in stride.move.edges:
            self.bus.drive(tag, value)
            self.bus.settle()
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

    def _count_as(self, answers: dict[str, bool]) -> None:
        """Turn the counters so that the job's two questions are answered as in the example."""
        job = self.controller.job
        job.wanted = 1 if answers[QUESTIONS[0]] else job.cut + 3
        job.strokes = job.stroke + 2 if answers[QUESTIONS[1]] else 1
