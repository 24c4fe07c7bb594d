"""How a careful person finds a cause and puts it right: by the best plan, look after look.

The plan is that of the scenario's dependency matrix. Where the machine shows what the plan did not
foresee, a new plan is made for the causes that are still possible. Hands go in only under lock-out.
The search knows the matrix, and nothing of what is hidden.

Uses the session's verbs alone.
"""

from collections.abc import Callable, Sequence
from contextlib import nullcontext
from functools import partial
from math import fsum
from typing import Final

from sim.diagnosis.best_plan import plan_for
from sim.diagnosis.dependency import Matrix, Probe
from sim.diagnosis.judgement import judged
from sim.diagnosis.matrix_from_saw import for_role, matrix_for, sound_trial_s
from sim.diagnosis.stages import (
    LOCK_OUT,
    LOCKED,
    POWER_UP,
    SIGHT,
    SWITCH_ON,
    reached,
    stages_for,
    title_of,
)
from sim.diagnosis.tree import Node, leader, nodes
from sim.faults.catalogue import EVERY
from sim.pilot.autopilot import clear_for_bar
from sim.pilot.careful import careful
from sim.pilot.locking import give_back, lock_out, switch_off
from sim.session import inspections
from sim.session.before.keys import power_up, raise_head
from sim.session.hands.table import (
    Reach,
    last_step_to_mend,
    locked_out_to_look,
    locked_out_to_mend,
    to_look,
    to_mend,
)
from sim.session.inspections.inspection import Inspection
from sim.session.session import Session
from sim.session.sights.describe import EVIDENCE, in_sight
from sim.words.fields import part
from sim.words.message import NOTHING, Message, plain, row

Tell = Callable[[Message, Callable[[], object]], None]
"""Is given a message that says what is done next, and an act, and does the act."""

_SWITCH_OFF: Final = plain("search.switch-off", "Stop what runs, and switch the isolator off.")
_LOCK_OUT: Final = plain("search.lock-out", "Hands go in, so lock out first.")
_LOCK_TO_LOOK: Final = plain("search.lock-to-look", "Hands go in to look, so lock out first.")
_PUT_RIGHT: Final = plain("search.put-right", "Put it right.")
_CLEAR: Final = plain(
    "search.clear", "Raise the head over the bar that comes, and release both vises."
)
_MOVABLE: Final = plain("search.movable", "Switch control on, and raise the head clear of the bar.")
_GIVE_BACK: Final = plain("search.give-back", "Take the lock-out back.")
_TRY: Final = row("search.try", "{trial}.", trial=part())
_LOOK: Final = row("search.look", "Look: {look}.", look=part())

_STOPS_S: Final = 20.0  # longer than the band coasts and the head sinks on to the work


def silently(_says: Message, act: Callable[[], object]) -> None:
    """Do it, and say nothing."""
    act()


def find_cause(session: Session, tell: Tell = silently) -> tuple[str, ...]:
    """Return the names of the causes that are left when no look can tell them apart; mostly one."""
    matrix = for_role(session.scenario, matrix_for(session.scenario))
    return _CauseSearch(session, matrix, tell).follow()


def put_right(session: Session, name: str, tell: Tell = silently) -> None:
    """Apply a remedy on a machine without power, under lock-out where hands go in; a bar is laid in and a band jogged as ever."""
    work, hands_in = to_mend(EVERY[name]), locked_out_to_mend(name)
    if EVERY[name].fresh_bar:
        tell(_CLEAR, partial(_clear, session))
        tell(_PUT_RIGHT, partial(_with_care, session, name, work))
        return
    if EVERY[name].jogged:
        tell(_MOVABLE, partial(_raise, session))
        tell(_PUT_RIGHT, partial(_with_care, session, name, work))
        return
    if not work.behind_cover:  # that is opened with power, as a part of the lock-out
        tell(_SWITCH_OFF, partial(switch_off, session))
    if session.over:
        return
    if hands_in:
        tell(_LOCK_OUT, partial(lock_out, session, last_step_to_mend(name), work))
    tell(_PUT_RIGHT, partial(session.put_right, name))
    if hands_in:
        tell(_GIVE_BACK, partial(give_back, session))


def _clear(session: Session) -> None:
    power_up(session)
    if not session.over:
        clear_for_bar(session)


def _raise(session: Session) -> None:
    power_up(session)
    if not session.over:
        raise_head(session)


def _with_care(session: Session, name: str, work: Reach) -> None:
    with careful(session, work):
        if not session.over:
            session.put_right(name)


class _CauseSearch:
    """One search on one machine."""

    def __init__(self, session: Session, matrix: Matrix, tell: Tell) -> None:
        self._session = session
        self._matrix = matrix
        self._tell = tell
        self._stages = stages_for(session.scenario)
        self._stage = 0  # of the matrix: odd ones are locked out
        self._shown: Message = NOTHING  # by the last look or trial
        self._sights: dict[str, Message] = {}  # by column, as the stage was reached
        self._see()

    def follow(self) -> tuple[str, ...]:
        """Return the names of the causes that lead at the end."""
        total = fsum(cause.weight for cause in self._matrix.causes)
        node, idle = plan_for(self._matrix).tree, set[str]()
        while node.inspection and not self._session.over:
            column = self._matrix.inspections[self._matrix.column(node.inspection)]
            self._make(column, node)
            self._stage = max(self._stage, column.leads_to)
            seen = judged(self._shown, column.right)
            branch = dict(node.branches).get(seen)
            if branch is None:  # nothing that is still possible shows this: the look tells nothing
                idle.add(column.name)
                branch = plan_for(self._without(idle, node.causes), self._stage, total).tree
            node = branch
        self._give_back()
        return leader(self._matrix, node.causes)

    def _without(self, idle: set[str], causes: Sequence[str]) -> Matrix:
        names = [c.name for c in self._matrix.inspections if c.name not in idle]
        return self._matrix.among(causes).with_only(names)

    def _make(self, column: Probe, node: Node) -> None:
        """Make a look, a lock-out or a trial, and note what it shows."""
        look = inspections.find(column.look)
        if column.seen:
            self._shown = self._sights[column.name]
        elif look is not None:
            self._tell(_LOOK(look=look.title), partial(self._look, look))
        elif column.name.startswith(LOCK_OUT):
            lock = partial(lock_out, self._session, work=self._work(node))
            self._tell(_LOCK_TO_LOOK, lock)
            self._shown = LOCKED
        else:
            self._give_back()
            self._tell(_TRY(trial=title_of(column.name)), partial(self._try, column.leads_to))

    def _work(self, node: Node) -> Reach | None:
        """Return where hands go in this lock-out: behind the cover, if anywhere they do."""
        names = {each.inspection for each in nodes(node) if each.inspection}
        columns = (self._matrix.inspections[self._matrix.column(name)] for name in names)
        looks = [inspections.find(column.look) for column in columns if column.stage % 2]
        reaches = [to_look(look) for look in looks if look is not None]
        return max(reaches, key=lambda reach: reach.behind_cover, default=None)

    def _try(self, stage: int) -> None:
        reach = self._stages[stage // 2]
        self._shown = reached(self._session, reach, sound_trial_s(self._matrix))
        self._see(reach.suffix)

    def _see(self, suffix: str = "") -> None:
        """Note what is in sight."""
        sights = zip(EVIDENCE, in_sight(self._session), strict=True)
        self._sights |= {f"{SIGHT}{part}{suffix}": said for part, said in sights}

    def _look(self, look: Inspection) -> None:
        reach = to_look(look)
        with nullcontext() if locked_out_to_look(look) else careful(self._session, reach):
            answer = self._session.inspect(look.name)
        self._shown = self._session.seen.looks[-1].judged if answer.taken else answer.message
        if not locked_out_to_look(look):
            self._switch_on()  # some looks switch control off

    def _give_back(self) -> None:
        """Take the lock-out back, where there is one."""
        if self._stage % 2 and not self._session.over:
            self._tell(_GIVE_BACK, partial(give_back, self._session))
            self._switch_on()

    def _switch_on(self) -> None:
        """Have the saw as its stage has it, where it was powered up and is so no more."""
        session = self._session
        been = {stage.name for stage in self._stages[: self._stage // 2 + 1]}
        on = session.saw.controller.image["supply"] == "ON"
        if been & {SWITCH_ON, POWER_UP} and not on and not session.over:
            power_up(session)
        if POWER_UP in been and not on and not session.over:
            raise_head(session)
