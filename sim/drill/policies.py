"""Three ways to work through a drill, to hold the score to: with care, by guessing, and carelessly.

The careful one follows the best plan over the scenario's dependency matrix, locks out before hands
go in, names what is left, puts it right and proves it. It knows the matrix, and nothing of what is
hidden. The guesser names and mends at random, under lock-out, and never looks. The careless one
reaches in as the machine stands.

All three use the session's verbs alone. Imports `session`, `autopilot`, `best_path` and `diagnosis`.
"""

from typing import Final

from sim.drill import inspections, lockout
from sim.drill.autopilot import again, power_up, wait_until
from sim.drill.best_path import plan_for
from sim.drill.diagnosis.dependency import NOTHING_WRONG, Inspection, Matrix
from sim.drill.diagnosis.judgement import judged
from sim.drill.diagnosis.matrix_from_saw import matrix_for, sound_trial_s
from sim.drill.diagnosis.par import par
from sim.drill.diagnosis.stages import POWER_UP, reached, stages_for
from sim.drill.diagnosis.tree import Node
from sim.drill.session import Session
from sim.faults.catalogue import CATALOGUE
from sim.kernel.streams import stream

GUESSES: Final = 5
_STOPS_S: Final = 20.0


def careful(session: Session) -> None:
    """Find out, name, put right and prove, at the price of the best plan."""
    matrix = matrix_for(session.scenario)
    left = _Search(session, matrix).follow(plan_for(matrix).tree)
    rows = [matrix.causes[matrix.row(name)] for name in left]
    faults = next((row.faults for row in rows if row.faults), ())
    for name in faults:
        if not session.over:
            session.diagnose(name)
    for name in faults:
        if not session.over:
            _put_right(session, name)
    if not session.over:
        again(session, 1)


def guessing(session: Session, seed: int = 1) -> None:
    """Name causes at random, apply their remedies under lock-out, and try a piece."""
    chance = stream(seed, session.scenario.title)
    for name in chance.sample(sorted(CATALOGUE), GUESSES):
        if not session.over:
            session.diagnose(name)
            _put_right(session, name)
    if not session.over:
        again(session, 1)


def careless(session: Session, seed: int = 1) -> None:
    """Power up, reach into the machine as it stands, and run it."""
    chance = stream(seed, session.scenario.title)
    power_up(session)
    deep = sorted(name for name, fault in CATALOGUE.items() if fault.reaches_in)
    name = chance.choice(deep)
    session.diagnose(name)
    session.put_right(name)
    if not session.over:
        again(session, 1)


class _Search:
    """Works through a plan on the machine, one look after the other."""

    def __init__(self, session: Session, matrix: Matrix) -> None:
        self._session = session
        self._matrix = matrix
        self._stage = 0

    def follow(self, tree: Node) -> tuple[str, ...]:
        """Return the names of the causes that a plan leaves, made anew where it did not foresee."""
        node, idle = tree, set[str]()
        while node.inspection and not self._session.over:
            column = self._matrix.inspections[self._matrix.column(node.inspection)]
            seen = self._seen(column)
            branch = dict(node.branches).get(seen)
            if branch is None:  # nothing that is still possible shows this: the look tells nothing
                idle.add(column.name)
                rest = self._matrix.among(node.causes).with_only(
                    [c.name for c in self._matrix.inspections if c.name not in idle]
                )
                branch = par(rest, self._stage).tree
            node = branch
        return node.causes

    @property
    def _powered(self) -> bool:
        stages = stages_for(self._session.scenario)
        return POWER_UP in [stage.name for stage in stages[: self._stage + 1]]

    def _seen(self, column: Inspection) -> str:
        sound = self._matrix.outcome(NOTHING_WRONG, column.name)
        if not column.look:
            self._stage = column.leads_to
            stage = stages_for(self._session.scenario)[self._stage]
            text = reached(self._session, stage, sound_trial_s(self._matrix))
            return judged(text, sound)
        row = inspections.find(column.look)
        deep = row is not None and row.reaches_in
        if deep:
            _lock_out(self._session)
        text = self._session.inspect(column.look).text
        if deep:
            _give_back(self._session)
            if self._powered and not self._session.over:
                power_up(self._session)
        return judged(text, sound)


def _put_right(session: Session, name: str) -> None:
    """Apply a remedy on a machine without power, under lock-out where hands go in."""
    _stop(session)
    if session.over:
        return
    if CATALOGUE[name].reaches_in:
        _lock_out(session)
        session.put_right(name)
        _give_back(session)
    else:
        session.put_right(name)


def _stop(session: Session) -> None:
    """Stop what runs, and switch the isolator off."""
    if session.over:
        return
    session.tap("band.stop")
    band = session.saw.plant.band
    wait_until(session, lambda: not band.turning, _STOPS_S)
    if session.saw.bus.driven("Q0") and not session.over:
        session.release("supply.isolator")
        session.advance(_STOPS_S)


def _lock_out(session: Session) -> None:
    """Take the six steps in their order."""
    for step in lockout.STEPS:
        if step.name == "shut-down":
            _stop(session)
        if not session.over:
            session.lock_out(step.name)


def _give_back(session: Session) -> None:
    """Take the way back in its order."""
    for step in lockout.BACK:
        if not session.over:
            session.lock_out(step.name)
