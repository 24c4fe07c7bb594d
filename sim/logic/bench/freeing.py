"""The shortest way to an action that is refused now: found over the tables, then done to prove it.

Theory. The search goes breadth first over images. A node is the live controller's code on a copy of
its image, with an ideal plant: whatever is driven arrives, and its switches say so. To stay small,
the search tries helpful acts only (`_helpful`): those that make true what the action lacks now, and
what those acts lack in turn. If no way comes of that, it also tries acts for needs that are met now,
since an act on the way may undo them. A way that was found is then done on a fresh saw with its real
plant, and is told only if the action is taken there. So a sensor that lies gives itself away.

Never here: who may ask.
"""

from collections import deque
from collections.abc import Callable, Iterator
from typing import Final

from sim.control.actions import ACTIONS, BY_NAME
from sim.control.interlocks import Image, Need, Permissive, When, needs_of
from sim.control.nouns import MODES
from sim.control.switches import SENSOR_EVENTS
from sim.control.table import TABLES
from sim.logic.bench.ideal_bench import IdealBench
from sim.logic.bench.way import WAIT, BenchAct, Way, WayStep, do, key_act, turn_act
from sim.saw import Saw
from sim.signals import BY_TAG, Source

_MOST_NODES: Final = 3000
_TO_THE_START: Final = ("job.stop", "job.clear", "job.reset", "job.new")
_TABLE_OF: Final = {table.name: table for table in TABLES}


def free(fresh: Callable[[], Saw], action: str) -> Way | None:
    """Return the shortest way to an action from where a saw stands; None when there is none.

    Args:
        fresh: Makes a saw that stands where the one in question stands; called twice.
        action: Of the table of actions.
    """
    saw = fresh()
    steps = search(saw, action)
    if steps is None:
        return None
    saw = fresh()
    stuck_at = do(saw, steps, action)
    return Way(steps, not stuck_at, stuck_at)


# The search -------------------------------------------------------------------------------


def search(saw: Saw, action: str) -> tuple[WayStep, ...] | None:
    """Return the fewest acts that free an action by the tables; None when none do."""
    image = dict(saw.controller.image)
    for every_need in (False, True):
        acts = tuple(dict.fromkeys(_helpful(image, action, every_need=every_need)))
        found = _breadth_first(saw, action, acts)
        if found is not None:
            return found
    return None


def _breadth_first(saw: Saw, action: str, acts: tuple[BenchAct, ...]) -> tuple[WayStep, ...] | None:
    start = IdealBench.of(saw)
    goal = key_act(BY_NAME[action])
    queue: deque[tuple[IdealBench, tuple[WayStep, ...]]] = deque([(start, ())])
    seen = {start.key()}
    while queue and len(seen) < _MOST_NODES:
        bench, steps = queue.popleft()
        asked = bench.copy()
        asked.do(goal)
        if asked.taken:
            return (*steps, WayStep(goal, ()))
        for act in (*acts, WAIT):
            after = bench.copy()
            after.do(act)
            if after.refused:  # nobody is told to press what is refused
                continue
            key = after.key()
            if key in seen:
                continue
            seen.add(key)
            queue.append((after, (*steps, WayStep(act, after.shows(bench)))))
    return None


# What may help ----------------------------------------------------------------------------


def _helpful(image: Image, action: str, *, every_need: bool) -> Iterator[BenchAct]:
    """Yield the acts that make true what the action needs, then what those acts need, and so on.

    Args:
        image: What the controller sees now.
        action: Of the table of actions.
        every_need: Count needs that are met now too, not only those that are not.
    """
    pending = [action]
    done: set[str] = set()
    while pending:
        wanted = pending.pop()
        if wanted in done:
            continue
        done.add(wanted)
        if wanted != action:
            yield key_act(BY_NAME[wanted])
        if BY_NAME[wanted].moves and image["mode"] in ("NONE", "PRODUCTION"):
            yield turn_act("MANUAL")
        if wanted.startswith("job."):
            pending += _TO_THE_START
            yield from (turn_act(mode) for mode in ("PRODUCTION",) if image["mode"] != mode)
        for permissive in needs_of(wanted, When.KEY):
            if every_need or permissive.stands(image):
                helpers, acts = _brings(permissive.need)
                pending += helpers
                yield from acts
                yield from _leaving(permissive)


def _brings(need: Need) -> tuple[list[str], list[BenchAct]]:
    """Return the actions, and the acts at the machine itself, that make a need hold."""
    subject, values = need.subject, need.values
    if subject == "mode":
        return [], [turn_act(mode) for mode in MODES.words if mode in values]
    if subject in _TABLE_OF:
        return [action for value in values for action in _leading_to(subject, str(value))], []
    if subject.startswith("latch."):
        return ["supply.reset"], []
    wire = BY_TAG[subject]
    value = bool(values[0])
    if wire.source is not Source.SENSOR:
        down = value != wire.normally_closed
        verb = "press" if down else "release"
        return [], [BenchAct(need.remedy, verb, (wire.key,), edges=((subject, value),))]
    helpers = [
        action
        for machine, event in filter(None, [SENSOR_EVENTS.get((subject, value))])
        for table_row in _TABLE_OF[machine].rows
        if table_row.event == event
        for action in _leading_to(machine, table_row.state)
    ]
    acts = []
    if wire.good and value:
        acts.append(BenchAct(need.remedy, "set", (), wire.good, ((subject, True),)))
    return helpers, acts


def _leaving(permissive: Permissive) -> Iterator[BenchAct]:
    """Yield the turns of the mode switch to where a permissive does not apply."""
    for subject, values in permissive.given:
        if subject == "mode":
            yield from (turn_act(mode) for mode in MODES.words if mode not in values)


def _leading_to(machine: str, state: str) -> list[str]:
    """Return the actions whose event leads a machine into a state."""
    events = {row.event for row in _TABLE_OF[machine].rows if row.to == state}
    return [row.name for row in ACTIONS if row.machine == machine and row.event in events]
