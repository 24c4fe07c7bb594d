"""The controller: reads inputs, asks the tables, writes outputs. It sees signals only.

One funnel: `_on_input` takes every edge on every wire. A key becomes a command, a sensor an event
of a machine, and whatever changed may set off a reaction. Nothing here knows a number of the plant.
"""

from collections.abc import Callable, Iterator
from typing import Final

from sim.control import actions, outputs, rules_of_use
from sim.control.actions import Action
from sim.control.cycle import STEPS
from sim.control.decision import Decision, Refusal
from sim.control.interlocks import (
    PERMISSIVES,
    REACTIONS_TO,
    InterlockRow,
    Reaction,
    When,
    needs_of,
)
from sim.control.job import Job
from sim.control.machine import Runner, TableMachine
from sim.control.switches import ALREADY, SENSOR_EVENTS
from sim.control.table import TABLES
from sim.control.two_hand import TwoHand, TwoHandPair
from sim.kernel.clock import Appointment, Clock
from sim.signals import BY_TAG, SIGNALS, Bus, Direction, Source
from sim.units import US
from sim.words.fields import part
from sim.words.message import Message, plain, row

DEVIATION_LIMIT_US: Final = 20 * US

# While an action that must keep its needs lasts, its machine is in this state.
_LASTS: Final[dict[str, tuple[str, str]]] = {
    action.name: (action.machine, step.to)
    for permissive in PERMISSIVES
    if permissive.keeps
    for action in (actions.BY_NAME[permissive.action],)
    for table in TABLES
    if table.name == action.machine
    for step in table.rows
    if step.event == action.event
}


class Controller:
    """The machines of TABLES, the image they are judged by, and the job."""

    def __init__(self, clock: Clock, bus: Bus) -> None:
        self._clock = clock
        self._bus = bus
        self.machines: dict[str, Runner] = {t.name: TableMachine(t) for t in TABLES}
        self.image: dict[str, object] = dict(bus.seen)
        self.image.update({name: machine.state for name, machine in self.machines.items()})
        self.image.update({f"mode.{station}": "HAND" for station in actions.STATIONS})
        self.image["latch.deviation"] = False
        self.image["watch.deviation"] = False  # the time beyond the range is running
        self.image.update(  # who asked for the machine's present motion
            {f"origin.{row.machine}": When.HAND for row in actions.ACTIONS if row.halt}
        )
        self.job = Job(self)
        self.bypassed: set[InterlockRow] = set()  # rows jumpered on the bench
        self._pairs = {row.tag: TwoHandPair() for row in actions.ACTIONS if row.two_hand}
        self._wander: Appointment | None = None
        self._decided: Callable[[Decision], None] = lambda _decision: None
        self._watchers: list[Callable[[str, object], None]] = []
        self._noted: Callable[[Message], None] = lambda _reason: None
        bus.listen(Direction.INPUT, self._on_input)

    def on_decision(self, listener: Callable[[Decision], None]) -> None:
        """Have every answer to a key told to `listener`."""
        self._decided = listener

    def on_reason(self, listener: Callable[[Message], None]) -> None:
        """Have every reason for a stop or a hold told to `listener`, once, when it happens."""
        self._noted = listener

    def on_change(self, listener: Callable[[str, object], None]) -> None:
        """Have every change of a machine, a selector or a latch told to `listener`."""
        self._watchers.append(listener)

    def _become(self, subject: str, value: object) -> None:
        if self.image[subject] == value:
            return
        self.image[subject] = value
        for watcher in self._watchers:
            watcher(subject, value)

    @property
    def fired(self) -> int:
        """How many steps all machines have made; a measure of work, not of time."""
        return sum(machine.fired for machine in self.machines.values())

    # The edges ----------------------------------------------------------------------------

    def _on_input(self, tag: str, value: bool) -> None:
        self.take(tag, value)
        self.keep()
        self.job.pursue()

    def take(self, tag: str, value: bool) -> None:
        """Take one edge and what follows from it by the tables."""
        self.image[tag] = value
        if _IS_KEY[tag]:
            self._on_key(tag, value)
        event = SENSOR_EVENTS.get((tag, value))
        if event is not None:
            self.fire(*event)
        if tag == "B52":
            self._watch_wander(within=value)
        self._react(tag, value)

    def _on_key(self, tag: str, down: bool) -> None:
        if tag == "S3":
            self._on_two_hand_key(down)
            return
        selector = actions.SELECTORS.get(tag)
        if selector is not None:
            if down:
                self.turn(*selector)
            return
        if tag in outputs.VARIATOR_KEYS:
            self.write_outputs(outputs.VARIATOR)
            return
        action = actions.BY_TAG.get(tag)
        if action is not None and down:
            self._on_press(action)
        elif action is not None:
            self._on_release(action)

    def _on_press(self, action: Action) -> None:
        if not action.two_hand:
            self._tell(self.ask(action.name, When.HAND))
            return
        outcome = self._pairs[action.tag].press("start", self._clock.now_us)
        self._on_pair(action, outcome)

    def _on_release(self, action: Action) -> None:
        if action.two_hand:
            self._pairs[action.tag].release("start")
        # In AUTO the job drives the station, and letting a key go must not halt it.
        if action.halt and self.image[f"origin.{action.machine}"] is When.HAND:
            self.fire(action.machine, action.halt)

    def _on_two_hand_key(self, down: bool) -> None:
        for tag, pair in self._pairs.items():
            if not down:
                pair.release("hand")
                continue
            outcome = pair.press("hand", self._clock.now_us)
            if outcome is not TwoHand.WAITING:
                self._on_pair(actions.BY_TAG[tag], outcome)

    def _on_pair(self, action: Action, outcome: TwoHand) -> None:
        if outcome is not TwoHand.WAITING:
            for tag, pair in self._pairs.items():
                if tag != action.tag:
                    pair.void()  # one pressing of the two-hand key serves one start
        if outcome is TwoHand.TOGETHER:
            self._tell(self.ask(action.name, When.HAND))
        elif outcome is not TwoHand.WAITING:
            self._tell(Decision(action.name, False, (rules_of_use.TWO_HAND[outcome],)))
        elif not self.image["S3"]:
            self._tell(Decision(action.name, False, (rules_of_use.ONE_HAND,)))

    def turn(self, station: str, mode: str) -> None:
        """Turn a station's selector; a motion does not outlast the change."""
        subject = f"mode.{station}"
        if self.image[subject] == mode:
            return
        self._become(subject, mode)
        if (station, mode) != ("head", "HAND"):  # a cut that was begun is finished
            self.fire(station, "HALT")
        self._react(subject, mode)

    def _tell(self, decision: Decision) -> None:
        self._decided(decision)

    # Commands -----------------------------------------------------------------------------

    def refusals(self, name: str, origin: When) -> tuple[Refusal, ...]:
        """Return everything that stands against an action now; empty when it would be taken."""
        # The selectors last: arming turns them, and that is what is wanted first.
        return tuple(sorted(self.against(name, origin), key=lambda r: r.device in _SELECTED))

    def against(self, name: str, origin: When) -> Iterator[Refusal]:
        """Yield what stands against an action, one by one."""
        for permissive in needs_of(name, origin):
            need = permissive.need
            if not need.holds(self.image) and permissive not in self.bypassed:
                yield Refusal(permissive.number, need.subject, need.fact, need.to_do)
        station = name.partition(".")[0]
        if station in actions.STATIONS:
            action = actions.BY_NAME[name]
            mode = self.image[f"mode.{station}"]
            if origin is When.HAND and mode == "AUTO" and not action.any_mode:
                yield rules_of_use.in_mode(station, "AUTO", "HAND")
            if origin is When.AUTO and mode == "HAND" and self._not_yet(action):
                yield rules_of_use.in_mode(station, "HAND", "AUTO")
        if station == "job":
            yield from self.job.refusals(name)

    def waits_for(self) -> tuple[Refusal, ...]:
        """Return what a running job stands waiting for: refusals, or the switch it needs to see."""
        if self.job.state not in ("EXECUTE", "HOLDING"):
            return ()
        row = STEPS.get(self.job.step)
        if self.job.waits or row is None:
            return self.job.waits
        machine = row.action.partition(".")[0]
        shown_by = ALREADY.get((machine, self.machines[machine].state))
        if shown_by is None:
            return ()
        tag = shown_by[0]
        return (Refusal("", tag, _TO_SEE(shown=BY_TAG[tag].text)),)

    def _not_yet(self, action: Action) -> bool:
        """Whether the machine has still to be told: it is not on its way to what the action wants."""
        return self.machines[action.machine].takes(action.event)

    def ask(self, action: str, origin: When) -> Decision:
        """Take or refuse one action for whoever asks."""
        row = actions.BY_NAME[action]
        against = self.refusals(action, origin)
        if against:
            return Decision(action, False, against)
        if action == "job.arm":
            self._arm()
        elif action.startswith("job.begin"):
            self.job.begin(on_trim=action == "job.begin_on_trim")
        elif action == "job.hold":
            if self.machines["job"].takes("HOLD"):
                self._note(_HOLD_KEY)
            self.fire("job", "HOLD")
        elif action == "supply.reset":
            self._become("latch.deviation", False)
            self._watch_wander(within=bool(self.image["B52"]))
            self.fire("band", "RESET")
        else:
            return self._command(row, origin)
        return Decision(action, True)

    def _command(self, row: Action, origin: When) -> Decision:
        machine = self.machines[row.machine]
        if machine.takes(row.event):
            if row.halt:
                self.image[f"origin.{row.machine}"] = origin
            self.fire(row.machine, row.event)
        elif (row.name, machine.state) in rules_of_use.BUSY:
            return Decision(row.name, False, (rules_of_use.BUSY[(row.name, machine.state)],))
        if row.name == "band.stop":  # whether or not the band runs at this step of the job
            self.fire("job", "STOP")
        return Decision(row.name, True)

    def _arm(self) -> None:
        for station in actions.STATIONS:
            self.turn(station, "AUTO")
        self.job.arm()

    # Consequences inside the controller ---------------------------------------------------

    def fire(self, machine: str, event: str) -> bool:
        """Make a step in a machine, write its outputs, and let follow what follows."""
        runner = self.machines[machine]
        if not runner.fire(event):
            return False
        state = runner.state
        self._become(machine, state)
        self.write_outputs(machine)
        self._react(machine, state)
        already = ALREADY.get((machine, state))
        if already is not None and self.image[already[0]] == already[1]:
            self.fire(machine, already[2])
        return True

    def write_outputs(self, changed: str) -> None:
        """Drive the outputs of a machine or the variator; all outputs when the supply changed."""
        owners: tuple[str, ...] = (changed,)
        if changed == "supply":
            # A variator key that is held while power comes back must be pressed again (I2).
            powered = self.image["supply"] == "ON"
            owners = tuple(outputs.OF_MACHINE if powered else outputs.OWNED)
        for owner in owners:
            owned = outputs.OWNED.get(owner)
            if owned:  # job and cycle, which step most of all, own none
                on = outputs.energised(owner, self.image)
                for tag in owned:
                    self._bus.drive(tag, tag in on)

    def _react(self, subject: str, value: object) -> None:
        for reaction in REACTIONS_TO.get(subject, ()):
            if (
                value in reaction.becomes
                and all(self.image[s] in values for s, values in reaction.given)
                and reaction not in self.bypassed
            ):
                self._follow(reaction)

    def _follow(self, row: Reaction) -> None:
        self.explain(row)
        for machine, event in row.fires:
            self.fire(machine, event)

    def explain(self, row: Reaction) -> None:
        """Note the row's reason, if it makes any machine step."""
        if row.reason and any(self.machines[m].takes(e) for m, e in row.fires):
            self._note(row.reason)

    def _note(self, reason: Message) -> None:
        self.job.reason = reason
        self._noted(reason)

    def keep(self) -> None:
        """Halt a motion of the job whose permissive has gone."""
        for action, (machine, state) in _LASTS.items():
            if self.image[machine] != state or self.image[f"origin.{machine}"] is not When.AUTO:
                continue
            for kept in needs_of(action, When.AUTO):
                if kept.keeps and not kept.need.holds(self.image) and kept not in self.bypassed:
                    self.fire(machine, actions.BY_NAME[action].halt)
                    break

    def _watch_wander(self, *, within: bool) -> None:
        if self._wander is not None:
            self._wander.cancel()
            self._wander = None
        self.image["watch.deviation"] = not within
        if not within:
            self._wander = self._clock.after(DEVIATION_LIMIT_US, self._wandered_on, priority=1)

    def _wandered_on(self) -> None:
        self.latch_deviation()
        self.job.pursue()

    def latch_deviation(self) -> None:
        """Latch the deviation stop: the band has been out of its range for the time allowed."""
        self._wander = None
        self.image["watch.deviation"] = False
        self._become("latch.deviation", True)
        self._react("latch.deviation", True)


_SELECTED: Final = frozenset(f"mode.{station}" for station in actions.STATIONS)
_IS_KEY: Final = {row.tag: row.source is Source.KEY for row in SIGNALS}
_HOLD_KEY: Final = plain("reason.hold-key", "the hold key was pressed")
_TO_SEE: Final = row("job.waits-to-see", "the job waits to see that {shown}", shown=part())
