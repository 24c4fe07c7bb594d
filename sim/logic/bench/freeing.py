"""The shortest way to an action that is refused now: found over the tables, then done to prove it.

Theory. Breadth first over images. A node is the live controller's code on a copy of its image, with
an ideal plant: whatever is driven arrives, and its switches say so. Only acts that can bring about
something that stands against the action, or against such an act, are tried (`_helpful`), so that
the search stays small; if that finds nothing, they are widened to all that those acts need at all.
A way that was found is then done on a fresh saw with its real plant, and believed only if the
action is taken there; a sensor that lies is found out by it.

Never here: who may ask.
"""

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from sim.control.actions import ACTIONS, BY_NAME, SELECTORS, STATIONS, Action
from sim.control.controller import ALREADY, SENSOR_EVENTS, Controller
from sim.control.interlocks import Image, Need, When, needs_of
from sim.control.table import TABLES, Table
from sim.kernel.clock import Clock
from sim.logic.bench.why_not import origin_of
from sim.plant.set_points import Setting
from sim.saw import Saw
from sim.signals import BY_TAG, INPUTS, NORMALLY_CLOSED, Bus, Source
from sim.units import US

LONGEST_S: Final = 120  # that a motion is waited for when the way is done
COOLS_S: Final = 3600  # that a hot relay is waited for
_MOST_NODES: Final = 3000
_MOST_ROUNDS: Final = 60  # of arrivals after one act
_SENSORS: Final = tuple(row.tag for row in BY_TAG.values() if row.source is Source.SENSOR)
_TABLE_OF: Final = {table.name: table for table in TABLES}


@dataclass(frozen=True, slots=True)
class Act:
    """One thing a person does, in words and as what is done."""

    words: str
    verb: str  # tap, press, release, hold, set or wait
    names: tuple[str, ...] = ()
    settings: tuple[tuple[str, Setting], ...] = ()
    edges: tuple[tuple[str, bool], ...] = ()  # on the wires of the controller


@dataclass(frozen=True, slots=True)
class Step:
    """An act, and what the controller sees after it by the tables."""

    act: Act
    shows: tuple[tuple[str, object], ...]  # machines' states, and switches that change


@dataclass(frozen=True, slots=True)
class Way:
    """The acts that free an action, the action itself last when a key asks for it."""

    steps: tuple[Step, ...]
    verified: bool  # done on a fresh saw, and the action was taken
    stuck_at: str  # what did not come when it was done, a sentence; empty when all did

    @property
    def words(self) -> tuple[str, ...]:
        """The acts in words."""
        return tuple(step.act.words for step in self.steps)


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


def search(saw: Saw, action: str) -> tuple[Step, ...] | None:
    """Return the fewest acts that free an action by the tables; None when none do."""
    image = dict(saw.controller.image)
    for every_need in (False, True):
        acts = tuple(dict.fromkeys(_helpful(image, action, every_need=every_need)))
        found = _breadth_first(saw, action, acts)
        if found is not None:
            return found
    return None


def _breadth_first(saw: Saw, action: str, acts: tuple[Act, ...]) -> tuple[Step, ...] | None:
    origin = origin_of(saw.controller.image, action)
    start = _Bench.of(saw)
    if origin is When.AUTO and not start.controller.refusals(action, origin):
        return ()
    goal = _key_act(BY_NAME[action])
    queue: deque[tuple[_Bench, tuple[Step, ...]]] = deque([(start, ())])
    seen = {start.key()}
    while queue and len(seen) < _MOST_NODES:
        bench, steps = queue.popleft()
        if origin is When.HAND and bench.copy().taken(goal):
            return (*steps, Step(goal, ()))
        for act in (*acts, _WAIT):
            after = bench.copy()
            after.do(act)
            key = after.key()
            if key in seen:
                continue
            seen.add(key)
            way = (*steps, Step(act, after.shows(bench)))
            if origin is When.AUTO and not after.controller.refusals(action, origin):
                return way
            queue.append((after, way))
    return None


class _Placed:
    """A machine of the table that can be put in any state."""

    def __init__(self, table: Table, state: str) -> None:
        self.table = table
        self.fired = 0
        self._state = state
        self._to = {(row.state, row.event): row.to for row in table.rows}

    @property
    def state(self) -> str:
        """The present state."""
        return self._state

    def takes(self, event: str) -> bool:
        """Return whether the present state has a row for the event."""
        return (self._state, event) in self._to

    def fire(self, event: str) -> bool:
        """Make the step if there is a row for it; return whether there was."""
        if not self.takes(event):
            return False
        self._state = self._to[(self._state, event)]
        self.fired += 1
        return True


class _Bench:
    """The live controller on an image, with a plant where everything arrives."""

    def __init__(self, image: Image, counters: tuple[int, int, int, int]) -> None:
        self.bus = Bus()
        self.counters = counters
        for tag in INPUTS:
            self.bus.drive(tag, bool(image[tag]))
        self.bus.settle()
        self.controller = Controller(Clock(), self.bus)
        self.controller.image.update(image)
        for name, table in _TABLE_OF.items():
            self.controller.machines[name] = _Placed(table, str(image[name]))
        job = self.controller.job
        job.wanted, job.cut, job.strokes, job.stroke = counters
        self._accepted = False
        self.controller.on_decision(self._decided)

    @classmethod
    def of(cls, saw: Saw) -> "_Bench":
        """Return a bench that stands where a saw stands."""
        job = saw.controller.job
        bench = cls(saw.controller.image, (job.wanted, job.cut, job.strokes, job.stroke))
        bench.controller.bypassed = set(saw.controller.bypassed)
        return bench

    def copy(self) -> "_Bench":
        """Return another that stands in the same place."""
        job = self.controller.job
        other = _Bench(self.controller.image, (job.wanted, job.cut, job.strokes, job.stroke))
        other.controller.bypassed = self.controller.bypassed
        return other

    def key(self) -> tuple[object, ...]:
        """Return what tells two places apart."""
        image = self.controller.image
        return tuple(image[name] for name in sorted(image))

    def shows(self, before: "_Bench") -> tuple[tuple[str, object], ...]:
        """Return the states of the machines that have a plant, and the switches that changed."""
        now, was = self.controller.image, before.controller.image
        switches = [tag for tag in _SENSORS if now[tag] != was[tag]]
        return tuple((name, now[name]) for name in ("supply", *STATIONS, *switches))

    def taken(self, act: Act) -> bool:
        """Do an act; return whether the controller accepted it."""
        self.do(act)
        return self._accepted

    def do(self, act: Act) -> None:
        """Do an act, and let everything arrive that it set moving."""
        for tag, value in act.edges:
            self._drive(tag, value)
        if act.verb == "hold":
            self._arrive()
            ((tag, _),) = act.edges
            self._drive(tag, tag in NORMALLY_CLOSED)
        self._arrive()

    def _decided(self, decision: object) -> None:
        self._accepted = bool(getattr(decision, "accepted", False))

    def _drive(self, tag: str, value: bool) -> None:
        self.bus.drive(tag, value)
        self.bus.settle()

    def _arrive(self) -> None:
        if self.controller.image["band"] not in ("STARTING", "RUNNING"):
            self._drive("B2", False)
            self._drive("B1", False)
        for _ in range(_MOST_ROUNDS):
            moving = [
                (machine, end)
                for (machine, state), end in ALREADY.items()
                if self.controller.image[machine] == state
            ]
            if not moving or self.controller.image["job"] == "EXECUTE":
                return
            for machine, (tag, value, _event) in moving:
                for other, seen in _on_the_way(machine, tag):
                    self._drive(other, seen)
                self._drive(tag, value)


def _on_the_way(machine: str, end: str) -> Iterator[tuple[str, bool]]:
    """Yield what the other switches of a machine show before its end switch does."""
    if machine == "band":
        yield ("B1", True) if end == "B2" else ("B2", False)
        return
    for (tag, rises), (owner, _event) in SENSOR_EVENTS.items():
        if owner == machine and tag != end and rises:
            yield tag, False


# What may help ----------------------------------------------------------------------------


def _helpful(image: Image, action: str, *, every_need: bool) -> Iterator[Act]:
    """Yield the acts that bring about what the action needs, what those need, and so on."""
    pending = [action]
    done: set[str] = set()
    while pending:
        name = pending.pop()
        if name in done:
            continue
        done.add(name)
        if name != action:
            yield _key_act(BY_NAME[name])
        station = name.partition(".")[0]
        if station in STATIONS:
            yield from (_selector(tag) for tag in SELECTORS if SELECTORS[tag][0] == station)
        if station == "job":
            pending += ["job.arm", "job.hold"]
        for row in (*needs_of(name, When.HAND), *needs_of(name, When.AUTO)):
            if every_need or not row.need.holds(image):
                helpers, acts = _brings(row.need)
                pending += helpers
                yield from acts


def _brings(need: Need) -> tuple[list[str], list[Act]]:
    """Return the actions, and the acts at the machine itself, that make a need hold."""
    subject, values = need.subject, need.values
    if subject in _TABLE_OF:
        return [name for value in values for name in _leading_to(subject, str(value))], []
    if subject.startswith("latch."):
        return ["supply.reset"], []
    if subject.startswith("mode."):
        station = subject.removeprefix("mode.")
        turned = [tag for tag, (of, mode) in SELECTORS.items() if of == station and mode in values]
        return ["job.arm"] if "AUTO" in values else [], [_selector(tag) for tag in turned]
    row = BY_TAG[subject]
    value = bool(values[0])
    if row.source is not Source.SENSOR:
        down = value != (subject in NORMALLY_CLOSED)
        verb = "press" if down else "release"
        return [], [Act(str(need.remedy), verb, (row.key,), edges=((subject, value),))]
    helpers = [
        name
        for machine, event in filter(None, [SENSOR_EVENTS.get((subject, value))])
        for table_row in _TABLE_OF[machine].rows
        if table_row.event == event
        for name in _leading_to(machine, table_row.state)
    ]
    acts = []
    if row.good and value:
        acts.append(Act(str(need.remedy), "set", (), row.good, ((subject, True),)))
    return helpers, acts


def _leading_to(machine: str, state: str) -> list[str]:
    """Return the actions whose event leads a machine into a state."""
    events = {row.event for row in _TABLE_OF[machine].rows if row.to == state}
    return [row.name for row in ACTIONS if row.machine == machine and row.event in events]


def _key_act(action: Action) -> Act:
    words = _words(action.name)
    if action.two_hand:
        edges = (("S3", True), (action.tag, True), (action.tag, False), ("S3", False))
        return Act(f"{words} with both hands.", "tap", (BY_TAG["S3"].key, action.name), (), edges)
    if action.halt:
        until = " until it is there" if action.machine in ("head", "shuttle") else ""
        return Act(f"Hold {action.name}{until}.", "hold", (action.name,), (), ((action.tag, True),))
    return Act(f"{words}.", "tap", (action.name,), (), ((action.tag, True), (action.tag, False)))


def _selector(tag: str) -> Act:
    station, mode = SELECTORS[tag]
    words = f"Turn the {station.replace('_', ' ')} to {mode}."
    return Act(words, "tap", (BY_TAG[tag].key,), (), ((tag, True), (tag, False)))


def _words(name: str) -> str:
    return f"Press {name}"


_WAIT: Final = Act("Wait until everything stands still.", "wait")


# Doing it ---------------------------------------------------------------------------------


def do(saw: Saw, steps: Iterable[Step], action: str) -> str:
    """Do a way on a saw; return what did not come, a sentence, empty when the action is taken."""
    accepted = False
    origin = origin_of(saw.controller.image, action)
    for step in steps:
        act = step.act
        if act.verb in ("tap", "press", "hold"):
            for key in act.names:
                decision = saw.press(key)
                accepted = decision is not None and decision.accepted
                if decision is not None and not decision.accepted and key == act.names[-1]:
                    return f"{key}: {decision.sentence}"
        blocked = _set(saw, act)
        if blocked:
            return blocked
        missing = _await(saw, step.shows)
        if act.verb in ("tap", "hold", "release"):
            for key in act.names:
                saw.release(key)
        if missing:
            return f"{act.words} But then {missing}."
    if origin is When.AUTO:
        return " ".join(str(r.sentence) for r in saw.controller.refusals(action, origin))
    return "" if accepted else f"{action} was not taken."


def _set(saw: Saw, act: Act) -> str:
    """Set what the act sets; return what blocks it, a sentence."""
    for name, setting in act.settings:
        blocked = _until_free(saw, name)
        if blocked:
            return f"{name}: {blocked}"
        saw.set(name, setting)
    return ""


def _until_free(saw: Saw, name: str) -> str:
    """Let time pass until a set point can be set; return what blocks it at the limit."""
    end_us = saw.clock.now_us + COOLS_S * US
    while (blocked := saw.blocked(name)) and saw.clock.now_us < end_us:
        saw.advance_to(saw.clock.now_us + 10 * US)
    return blocked


def _await(saw: Saw, shows: tuple[tuple[str, object], ...]) -> str:
    """Let time pass until everything shows what it should; return what does not, at the limit."""
    image = saw.controller.image
    end_us = saw.clock.now_us + LONGEST_S * US
    while True:
        late = [(name, value) for name, value in shows if image[name] != value]
        due_us = saw.clock.next_us()
        if not late:
            return ""
        if due_us is None or due_us > end_us or saw.plant.site.wrecked:
            return _is_late(image, *late[0])
        saw.advance_to(due_us)


def _is_late(image: Image, name: str, value: object) -> str:
    if name in BY_TAG:
        return (
            f"{name} does not show {'that' if value else 'the end of it that'} {BY_TAG[name].text}"
        )
    switch = ALREADY.get((name, str(image[name])))
    shown = f", for {switch[0]} does not show it" if switch is not None else ""
    return f"the {name.replace('_', ' ')} does not come to {str(value).lower()}{shown}"
