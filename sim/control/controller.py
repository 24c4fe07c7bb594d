"""The controller: reads inputs, asks the tables, writes outputs. It sees signals only.

One funnel: `_on_input` takes every edge on every wire. A key becomes a command, a sensor an event
of a machine, and whatever changed may set off a reaction. Nothing here knows a number of the plant.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Final

from sim.control import actions, needs, outputs, rules_of_use
from sim.control.actions import Action
from sim.control.cycle import STEPS
from sim.control.decision import Decision, Refusal
from sim.control.interlock import FROM_JOB, FROM_KEY, standing
from sim.control.interlocks import (
    PERMISSIVES,
    THE_ROWS,
    InterlockRow,
    Reaction,
    Rows,
    When,
)
from sim.control.job import Job
from sim.control.machine import Runner, TableMachine
from sim.control.switches import ALREADY, SENSOR_EVENTS, TURNED
from sim.control.table import REMEMBERED, TABLES
from sim.control.two_hand import PALMS, TwoHand, TwoHandPair
from sim.kernel.clock import Appointment, Clock
from sim.signals import BY_TAG, MODE_SWITCH, SIGNALS, Bus, Direction, Source
from sim.units import US
from sim.words.fields import part
from sim.words.message import Message, plain, row

ASKED_US: Final = 5 * US  # how long a start waits for the palm keys


@dataclass(frozen=True, slots=True)
class Times:
    """What the machine sets, in microseconds; as they stand, for a controller that has no machine."""

    deviation_us: int = 6 * US  # of a band astray, until it is stopped
    mode_rests_us: int = US // 2  # the mode switch at rest before its mode takes effect
    jog_us: int = 3 * US // 10  # the longest that the band is driven in MAINTENANCE


NO_MACHINE: Final = Times()

Watcher = Callable[[str, bool | str], None]

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
# The same by machine: which such action lasts in a state of it.
_LASTING: Final[dict[str, dict[object, str]]] = {
    machine: {state: action for action, (of, state) in _LASTS.items() if of == machine}
    for machine, _ in _LASTS.values()
}


class Controller:
    """The machines of TABLES, the image they are judged by, and the job.

    Args:
        clock: Its own time.
        bus: Its wires.
        times: What the machine sets.
        rows: The interlock rows that it walks.
    """

    def __init__(
        self, clock: Clock, bus: Bus, times: Times = NO_MACHINE, rows: Rows = THE_ROWS
    ) -> None:
        self.rows = rows
        self._clock = clock
        self._bus = bus
        self.times = times
        self.machines: dict[str, Runner] = {t.name: TableMachine(t) for t in TABLES}
        self.image: dict[str, object] = dict(bus.seen)
        self.image.update({name: machine.state for name, machine in self.machines.items()})
        self.image.update(dict.fromkeys(REMEMBERED, False))
        self.job = Job(self)
        self.bypassed: set[InterlockRow] = set()  # rows jumpered on the bench
        self.asked = ""  # the action that waits for the palm keys
        self.brought: dict[str, Reaction | None] = {}  # the row that brought a machine to its state
        self._cause: Reaction | None = None  # the row that is being followed
        self._palms = TwoHandPair()
        self._timers: dict[str, Appointment] = {}
        self._decided: Callable[[Decision], None] = lambda _decision: None
        self._watchers: dict[str, list[Watcher]] = {
            subject: [] for subject in (*self.machines, *REMEMBERED)
        }
        self._noted: Callable[[Message], None] = lambda _reason: None
        bus.listen(Direction.INPUT, self._on_input)

    def on_decision(self, listener: Callable[[Decision], None]) -> None:
        """Have every answer to a key told to `listener`."""
        self._decided = listener

    def on_reason(self, listener: Callable[[Message], None]) -> None:
        """Have every reason for a stop or a hold told to `listener`, once, when it happens."""
        self._noted = listener

    def on_change(self, listener: Watcher, only: tuple[str, ...] = ()) -> None:
        """Have every change of a machine, a selector or a latch told to `listener`, or only some."""
        for subject in only or self._watchers:
            self._watchers[subject].append(listener)

    def _become(self, subject: str, value: bool | str) -> None:
        if self.image[subject] == value:
            return
        self.image[subject] = value
        for watcher in self._watchers[subject]:
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
        edge = tag, value
        if edge in SENSOR_EVENTS:
            machine, event = SENSOR_EVENTS[edge]
            self.fire(machine, event)
        elif tag in _KEYS:
            self._on_key(tag, value)
        elif tag in TURNED:
            self.fire(*TURNED[tag])
            self._timer("mode", self.times.mode_rests_us, self._mode_rests)
        elif tag == "B52":
            self._watch_wander(within=value)
        elif tag == "S2" and not value:
            self._become("latch.trip_line", True)
        if edge in self.rows.following:
            self._react(tag, value)

    def _on_key(self, tag: str, down: bool) -> None:
        if tag in PALMS:
            self._on_palm(tag, down)
            return
        if down:
            self._ask_palms("")
        if tag in outputs.VARIATOR_KEYS:
            self.write_outputs(outputs.VARIATOR)
            return
        action = actions.BY_TAG.get(tag)
        if action is None or down == action.on_release:
            return
        if action.palms and not self._jogs(action):
            against = self._against_key(action.name)
            if not against:
                self._ask_palms(action.name)
            self._tell(Decision(action.name, False, against or (rules_of_use.WANTS_PALMS,)))
        else:
            self._tell(self.ask(action.name, When.KEY))

    def _jogs(self, action: Action) -> bool:
        """Whether the key only jogs the band, with the other hand on the enabling device."""
        return action.name == "band.run" and self.image["mode"] == "MAINTENANCE"

    def _ask_palms(self, action: str) -> None:
        """Have an action wait for both palm keys, for five seconds; none when empty.

        A hand that lies on a palm key already counts for nothing: both must have been up when the
        start was asked for.
        """
        self.asked = action
        if action:
            self._palms.void()
            self._timer("palms", ASKED_US, self._palms_stayed_away)
        else:
            self._no_timer("palms")

    def _palms_stayed_away(self) -> None:
        self.asked = ""

    def _on_palm(self, tag: str, down: bool) -> None:
        if not down:
            self._palms.release(tag)
            return
        outcome = self._palms.press(tag, self._clock.now_us)
        if outcome is TwoHand.WAITING:
            return
        asked = self.asked
        self._ask_palms("")
        if outcome is TwoHand.TOGETHER and asked:
            self._tell(self.ask(asked, When.KEY))
        else:
            refusal = rules_of_use.TWO_HAND.get(outcome, rules_of_use.NOTHING_ASKED)
            self._tell(Decision(asked or "palm.left", False, (refusal,)))

    def _mode_rests(self) -> None:
        self.take_mode()
        self.job.pursue()

    def take_mode(self) -> None:
        """Take the mode that the switch points to, if it points to just one."""
        at = [mode for mode, tag in MODE_AT.items() if self.image[tag]]
        if len(at) == 1:
            self.fire("mode", f"TAKE_{at[0]}")

    def _tell(self, decision: Decision) -> None:
        told = tuple(self._nearest(decision.action, refusal) for refusal in decision.refusals)
        self._decided(replace(decision, refusals=told) if told else decision)

    def _nearest(self, action: str, refusal: Refusal) -> Refusal:
        """Return a refusal with the nearest of its causes first in what is to be done."""
        if refusal.fact != needs.POWER.fact:
            return refusal
        to_do = needs.NOTHING_DRIVEN if action == "job.stop" else needs.power_comes(self.image)
        return replace(refusal, to_do=to_do)

    def _keep_reset_out(self, refusal: Refusal) -> tuple[Refusal, ...]:
        """Return what stands against the reset that a refusal asks for."""
        asks = refusal.fact == needs.RESET_DONE.fact
        return self.refusals("supply.reset", When.KEY) if asks else ()

    # Commands -----------------------------------------------------------------------------

    def refusals(self, name: str, origin: When) -> tuple[Refusal, ...]:
        """Return everything that stands against an action now; empty when it would be taken."""
        return tuple(self.against(name, origin))

    def against(self, name: str, origin: When) -> Iterator[Refusal]:
        """Yield what stands against an action, one by one."""
        action = actions.BY_NAME[name]
        if origin is FROM_KEY and action.moves:
            taken = rules_of_use.TAKEN.get(str(self.image["mode"]))
            if taken is not None:
                yield taken
        for permissive in standing(self.rows.judging(name, origin, self.image), self.image):
            if permissive not in self.bypassed:
                need = permissive.need
                yield Refusal(permissive.number, need.subject, need.fact, need.to_do)
        if (origin is FROM_JOB or name in OF_PRODUCTION) and self.image["mode"] != "PRODUCTION":
            yield _NOT_PRODUCTION
        if name.startswith("job."):
            yield from self.job.refusals(name)

    def blocks(self, name: str) -> tuple[Refusal, ...]:
        """Return why its key would do nothing now: what stands against it, a busy part, a key held down."""
        held = map(rules_of_use.held_down, self._held_down(actions.BY_NAME[name]))
        against = self._against_key(name)
        first = (each for refusal in against for each in self._keep_reset_out(refusal))
        return (*held, *first, *(self._nearest(name, each) for each in against))

    def _held_down(self, action: Action) -> Iterator[str]:
        """Yield the keys that must come up before they can start an action that they do not do now."""
        waits = self.asked == action.name
        if self.image[action.tag] and not (waits or action.on_release) and self._would_do(action):
            yield action.tag
        if action.palms and not self._jogs(action):
            if waits and self._palms.may_join(self._clock.now_us):
                return
            yield from (tag for tag in PALMS if self.image[tag])

    def _would_do(self, action: Action) -> bool:
        """Whether an action has something to do that it is not doing already."""
        machine = self.machines[action.machine]
        return not action.event or machine.takes(action.event)

    def without_power(self) -> tuple[Refusal, ...]:
        """Return why a key that only passes power on, as the variator's, does nothing now."""
        power = needs.POWER
        if power.holds(self.image):
            return ()
        return (Refusal("I1", power.subject, power.fact, needs.power_comes(self.image)),)

    def _against_key(self, name: str) -> tuple[Refusal, ...]:
        return self.refusals(name, When.KEY) or self._busy(actions.BY_NAME[name])

    def waits_for(self) -> tuple[Refusal, ...]:
        """Return what a running job stands waiting for: refusals, or the switch it needs to see."""
        if self.job.state not in ("EXECUTE", "HOLDING", "COMPLETING"):
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

    def ask(self, action: str, origin: When) -> Decision:
        """Take or refuse one action for whoever asks."""
        row = actions.BY_NAME[action]
        against = self.refusals(action, origin)
        if against:
            return Decision(action, False, against)
        if row.machine == "job":
            if action in _NOTED and self.machines["job"].takes(row.event):
                self._note(_NOTED[action])
            self.job.command(action)
        elif action == "supply.reset":
            self._reset()
        else:
            return self._command(row)
        return _TAKEN[action]

    def _reset(self) -> None:
        self._become("latch.trip_line", False)
        self._become("latch.deviation", False)
        self._watch_wander(within=bool(self.image["B52"]))
        self.fire("supply", "RESET")
        self.fire("band", "RESET")

    def _command(self, row: Action) -> Decision:
        machine = self.machines[row.machine]
        if machine.takes(row.event):
            self.fire(row.machine, row.event)
        elif busy := self._busy(row):
            return Decision(row.name, False, busy)
        if row.name == "band.stop":  # whether or not the band runs at this step of the job
            self.fire("job", "STOP")
        return _TAKEN[row.name]

    def _busy(self, row: Action) -> tuple[Refusal, ...]:
        """Return why the part cannot take the command in its present state, if it cannot."""
        busy = rules_of_use.BUSY.get((row.name, self.machines[row.machine].state))
        return () if busy is None else (busy,)

    # Consequences inside the controller ---------------------------------------------------

    def fire(self, machine: str, event: str) -> bool:
        """Make a step in a machine, write its outputs, and let follow what follows."""
        runner = self.machines[machine]
        if not runner.fire(event):
            return False
        self.brought[machine] = self._cause
        state = runner.state
        self._become(machine, state)
        if machine in outputs.OWNED:
            self.write_outputs(machine)
            if machine == "band":
                self._watch_band(state)
            elif machine == "supply":
                self._palms.void()  # hands that lay on the palm keys before power came start nothing
        entered = machine, state
        if entered in self.rows.following:
            self._react(machine, state)
        if entered in ALREADY:
            tag, shown, ends = ALREADY[entered]
            if self.image[tag] == shown:
                self.fire(machine, ends)
        return True

    def write_outputs(self, changed: str) -> None:
        """Drive the outputs of a machine or the variator; all outputs when the supply changed."""
        image = self.image
        if changed != "supply":
            self._bus.drive_all(outputs.put_on(changed, image))
            return
        # A variator key that is held while power comes back must be pressed again (I2).
        for owner in outputs.OF_MACHINE if image["supply"] == "ON" else outputs.OWNED:
            self._bus.drive_all(outputs.put_on(owner, image))

    def _react(self, subject: str, value: object) -> None:
        told: set[Message] = set()
        for reaction in self.rows.following.get((subject, value), ()):
            for other, values in reaction.given:
                if self.image[other] not in values:
                    break
            else:
                if reaction not in self.bypassed:
                    self._follow(reaction, told)

    def _follow(self, row: Reaction, told: set[Message]) -> None:
        """Do a row, and tell its reason unless another row has told it of the same change."""
        self.explain(row, told)
        before, self._cause = self._cause, row
        for machine, event in row.fires:
            self.fire(machine, event)
        self._cause = before

    def explain(self, row: Reaction, told: set[Message]) -> None:
        """Note the row's reason, if it makes any machine step.

        Args:
            row: It is about to be done.
            told: The reasons told of the same change so far; the row's is added.
        """
        steps = [machine for machine, event in row.fires if self.machines[machine].takes(event)]
        if row.reason and steps:
            self._keep_reason(row.reason, of_the_job="job" in steps)
            if row.reason not in told:
                told.add(row.reason)
                self._noted(row.reason)

    def _note(self, reason: Message) -> None:
        """Keep a reason of the job's own, and tell it."""
        self._keep_reason(reason, of_the_job=True)
        self._noted(reason)

    def _keep_reason(self, reason: Message, *, of_the_job: bool) -> None:
        """Keep a reason; what follows from a hold or a stop under way does not hide its cause."""
        if of_the_job or self.job.state not in ("HOLDING", "STOPPING", "ABORTING"):
            self.job.reason = reason

    def keep(self) -> None:
        """Halt a motion whose permissive has gone."""
        image = self.image
        for machine, lasting in _LASTING.items():
            state = image[machine]
            if state not in lasting:
                continue
            origin = FROM_JOB if image["mode"] == "PRODUCTION" else FROM_KEY
            for gone in standing(self.rows.kept[lasting[state], origin], image):
                if gone not in self.bypassed:
                    self.fire(machine, "HALT")
                    break

    # Time ---------------------------------------------------------------------------------

    def _timer(self, name: str, after_us: int, then: Callable[[], None]) -> None:
        self._no_timer(name)

        def due() -> None:
            del self._timers[name]
            then()

        self._timers[name] = self._clock.after(after_us, due, priority=1)

    def _no_timer(self, name: str) -> None:
        timer = self._timers.pop(name, None)
        if timer is not None:
            timer.cancel()

    def _watch_wander(self, *, within: bool) -> None:
        self._no_timer("wander")
        self.image["watch.deviation"] = not within
        if not within:
            self._timer("wander", self.times.deviation_us, self._over(self.latch_deviation))

    def latch_deviation(self) -> None:
        """Latch the deviation stop: the time beyond the range is over."""
        self.image["watch.deviation"] = False
        self._become("latch.deviation", True)
        self._react("latch.deviation", True)

    def _watch_band(self, state: str) -> None:
        """Time a jog from its start, at speed too; what is timed ends with the band's drive."""
        if state not in outputs.DRIVEN["band"]:
            self._no_timer("jog")
            self.image["watch.jog"] = False
            self.forget_run_on()
        elif state == "STARTING" and self.image["mode"] == "MAINTENANCE":
            self.image["watch.jog"] = True
            self._timer("jog", self.times.jog_us, self._over(self.end_jog))

    def end_jog(self) -> None:
        """End a jog of the band: its time is over."""
        self.image["watch.jog"] = False
        self._react("watch.jog", False)

    def run_on(self) -> None:
        """Let the band run on for its minutes, and then stop it."""
        if self.image["band"] not in outputs.DRIVEN["band"]:
            return
        self.image["watch.run_on"] = True
        minutes = self.job.run_on_min
        self._timer("run_on", minutes * 60 * US, self._over(self.end_run_on))

    def forget_run_on(self) -> None:
        """Count no more run-on minutes: the band is stopped, or a new job has it."""
        self._no_timer("run_on")
        self.image["watch.run_on"] = False

    def end_run_on(self) -> None:
        """End the band's running on: its minutes are over."""
        self.image["watch.run_on"] = False
        self._react("watch.run_on", False)

    def _over(self, ends: Callable[[], None]) -> Callable[[], None]:
        def over() -> None:
            ends()
            self.job.pursue()

        return over


_TAKEN: Final = {name: Decision(name, True) for name in actions.BY_NAME}

# What the controller remembers besides its machines.
MODE_AT: Final = dict(zip(("MANUAL", "MAINTENANCE", "PRODUCTION"), MODE_SWITCH, strict=True))
OF_PRODUCTION: Final = ("job.start", "job.unhold")
_NOT_PRODUCTION: Final = Refusal(
    "", "mode", needs.PRODUCTION.fact, needs.PRODUCTION.to_do, of_device=False
)
_KEYS: Final = frozenset(row.tag for row in SIGNALS if row.source is Source.KEY)
_NOTED: Final = {
    "job.hold": plain("reason.hold-key", "the hold key was pressed"),
    "job.stop": plain("reason.stop-key", "the job stop key was pressed"),
    "job.complete": plain("reason.complete-key", "the complete key was pressed"),
}
_TO_SEE: Final = row("job.waits-to-see", "the job waits to see that {shown}", shown=part())
