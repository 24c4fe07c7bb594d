"""The session: one trainee at one saw. Window, terminal, scripts, autopilot and tests all use it.

A few verbs: press, release, set, inspect, lock_out, advance, diagnose, put_right, close; what an
instructor does to it is `session.instructor`. Each becomes one line of the record, with its
simulated time; the same lines played again give the same saw, to the last bit. What was done, seen
and heard is in `done`, `seen` and `heard`; what is wrong with the machine stays sealed until the
close (see `journal`).
"""

from collections.abc import Callable, Sequence
from functools import cached_property
from pathlib import Path
from typing import Any, Final, Protocol

from sim.control.decision import Decision, Refusal
from sim.errors import CommandError
from sim.faults.fault import Fault
from sim.logic.bench import force as bench
from sim.logic.bench.trace import Trace
from sim.plant.bar import Stock
from sim.plant.machine import Machine
from sim.plant.set_points import Setting
from sim.records import acts
from sim.records.acts import Act
from sim.records.kinds import as_message, remarked, written
from sim.records.rows import Worth
from sim.saw import Saw, check_setting
from sim.scenario.scenario import Scenario
from sim.session import known, lockout, told
from sim.session.as_found import leave_as_found
from sim.session.deeds import Answer, Deed, Deeds
from sim.session.heard import EventKind, Heard
from sim.session.hidden import Hidden
from sim.session.instructor import Instructor
from sim.session.journal import Journal, Record
from sim.session.loading import LOADING_S, loading_blocked
from sim.session.news import News
from sim.session.origin import Origin
from sim.session.seen import Look, Seen
from sim.session.setup_card import JobOrder, Line, card
from sim.session.tally import Tally
from sim.signals import BY_KEY, Source
from sim.units import MM, US
from sim.words.message import NOTHING, Message

_LOCKED: Final = Refusal("", "Q0", told.LOCKED_OFF, told.TAKE_BACK, of_device=False)
_FROZEN: Final = Refusal("", "", told.FROZEN, told.WAIT)
MAY_MEDDLE: Final = ("practice", "lesson")
STANDS_STILL: Final = Answer(False, _FROZEN.said)
_MOST_EXPECTED: Final = 200  # characters that are kept


class Follower(Protocol):
    """Who goes along with a session and looks at it after every act and every moment."""

    def update(self) -> None:
        """Look at how things stand now."""


class Session:
    """One run of one scenario."""

    def __init__(
        self,
        scenario: Scenario,
        stock: Stock,
        machine: Machine,
        *,
        origin: Origin | None = None,
        record: Record | None = None,
        nonce: str | None = None,
    ) -> None:
        job = scenario.job
        self.scenario = scenario
        self.machine = machine
        self.order = JobOrder(job.length_mm * MM, job.wanted, job.mitre_deg)
        self.stock = stock
        self.saw = Saw(machine, stock)
        self.journal = Journal(record, nonce)
        self.done = Deeds(self.journal.act)
        self.seen = Seen()
        self.heard = Heard(lambda: self.saw.clock.now_us, self.journal.event)
        self.followers: list[Follower] = []
        self.lockout = lockout.Lockout()
        self.closed = False
        self.origin = origin if origin is not None else Origin()
        self.record_path: Path | None = None  # where `open_recorded` has the record written
        self.faults = Hidden(
            self.saw,
            scenario.faults,
            {line.name: line.setting for line in self.card},
            lambda what: self.heard.keep_back(EventKind.FAULT, what),
        )
        self.tally = Tally(
            self.saw, self.order, job.tolerance_mm * MM, lambda: not self.faults.still_wrong()
        )
        self.instructor = Instructor(self.done, self.heard, self.faults, self._ready)
        self.news = News(self.saw, self.heard, self.tally, self.faults)
        leave_as_found(self.saw, scenario, self.card, self.faults)
        self.trace = Trace(self.saw)
        self.faults.wait()
        self.journal.open(scenario, self.origin)

    # What is known ------------------------------------------------------------------------

    @property
    def frozen(self) -> bool:
        """Whether the instructor has stopped time and hands."""
        return self.instructor.frozen

    @property
    def hidden(self) -> tuple[Fault, ...]:
        """The faults that count, less those taken out; for instructor and close, never the screen."""
        return tuple(culprit.fault for culprit in self.faults.counted)

    @cached_property
    def card(self) -> tuple[Line, ...]:
        """The set-up card for this job; it depends on nothing that changes."""
        return card(self.machine, self.stock, self.order)

    @property
    def now_s(self) -> float:
        """Simulated time since the session began, s."""
        return self.saw.clock.now_us / US

    @property
    def over(self) -> bool:
        """Whether nothing more can be done: the run was wrecked or closed."""
        return self.closed or self.saw.plant.site.wrecked

    @property
    def banner(self) -> Message:
        """What must be said for as long as a force or a jumper is in; nothing when none is."""
        return bench.banner(self.saw)

    # Keys ---------------------------------------------------------------------------------

    def press(self, *keys: str) -> Decision | None:
        """Put a hand on one or more keys, at the same instant; return the last answer.

        Raises:
            CommandError: There is no such key.
        """
        self._check_keys(keys)
        if self.frozen:
            return Decision(keys[0], False, (_FROZEN,))
        act = acts.Pressed(self._now_us, keys)
        self.done.begin(act)
        if "supply.isolator" in keys and self.lockout.locked:
            self.heard.tell(EventKind.REFUSED, _LOCKED.sentence)
            locked = Decision("supply.isolator", False, (_LOCKED,))
            self._did(Deed(act, self.saw.clock.now_us, (locked,)))
            return locked
        return self._keys(act, self.saw.press)

    def release(self, *keys: str) -> Decision | None:
        """Let one or more keys go; a hand can do that even at a frozen machine, a latch waits.

        Raises:
            CommandError: There is no such key.
        """
        self._check_keys(keys)
        if self.frozen and any(BY_KEY[key].source is Source.LATCH for key in keys):
            return Decision(keys[0], False, (_FROZEN,))
        act = acts.Released(self._now_us, keys)
        self.done.begin(act)
        return self._keys(act, self.saw.release)

    def tap(self, *keys: str) -> Decision | None:
        """Press keys together and let them go at once."""
        decision = self.press(*keys)
        if not self.over and not self.frozen:
            self.release(*keys)
        return decision

    # Hands --------------------------------------------------------------------------------

    def set(self, name: str, setting: Setting) -> Answer:
        """Set a set point or a dial by hand.

        Raises:
            CommandError: There is no such set point, or the setting is none of its own.
        """
        check_setting(name, setting)
        if self._stands():
            return STANDS_STILL
        setting = setting if isinstance(setting, str) else float(setting)
        act = acts.Adjusted(self._now_us, name, setting)
        blocked = self.saw.blocked(name)
        if blocked:
            return self._answered(act, False, blocked, played=False)
        self.done.begin(act)
        self.saw.set(name, setting)
        self.heard.tell(EventKind.ACT, told.SET_TO(name=name, setting=setting))
        return self._answered(act, True, told.IS_NOW(name=name, setting=self.saw.read(name)))

    def inspect(self, name: str, expect: str = "") -> Answer:
        """Look at the machine in one of the listed ways; it takes simulated time.

        Args:
            name: The inspection.
            expect: What the trainee expects it to show, in words or as `debrief.EXPECTS` has it.

        Raises:
            CommandError: There is no such inspection.
        """
        row = known.inspection_called(name)
        allowed = self.scenario.inspections
        if allowed != "all" and row.name not in allowed:
            return Answer(False, told.NOT_ALLOWED)
        if self._stands():
            return STANDS_STILL
        act = acts.Inspected(self._now_us, row.name, written(expect.strip(), _MOST_EXPECTED))
        self.done.begin(act)
        title = row.title
        unsafe = self._reach_in(title) if row.reaches_in else NOTHING
        self._pass(row.seconds - row.acts_s)
        found = row.look(self.saw)
        self.seen.looks.append(Look(self.saw.clock.now_us, row.name, found, act.expect))
        self.heard.tell(EventKind.FINDING, told.FOUND(title=title, found=found))
        return self._answered(act, True, found, unsafe=unsafe)

    def lock_out(self, step: str) -> Answer:
        """Take one step of the lock-out, or of the way back.

        Raises:
            CommandError: There is no such step.
        """
        row = known.lockout_step_called(step)
        if self._stands():
            return STANDS_STILL
        act = acts.LockoutTaken(self._now_us, step)
        self.done.begin(act)
        self._pass(row.seconds)
        against = self.lockout.take(row, self.saw)
        if against:
            self.heard.tell(EventKind.REFUSED, against)
            return self._answered(act, False, against)
        self.heard.tell(EventKind.ACT, told.LOCKOUT_STEP(title=row.title))
        return self._answered(act, True, told.STEP_DONE(title=row.title))

    def load_bar(self) -> Answer:
        """Put a fresh bar like the first one on the saw; it takes simulated time.

        Refused while band or head is in the way, or a vise still holds the old bar.
        """
        if self._stands():
            return STANDS_STILL
        act = acts.BarLoaded(self._now_us)
        against = loading_blocked(self.saw.plant)
        if against:
            return self._answered(act, False, against, played=False)
        self.done.begin(act)
        self._pass(LOADING_S)
        if not self.over:
            self.saw.plant.load(self.stock)
            self.saw.bus.settle()
        self.heard.tell(EventKind.ACT, told.LOADED)
        return self._answered(act, True, told.LIES_THERE)

    def diagnose(self, name: str) -> Answer:
        """Name the cause, from the whole catalogue. Whether it is right is told at the close.

        Raises:
            CommandError: There is no such fault.
        """
        title = known.fault_called(name).title
        if self._stands():
            return STANDS_STILL
        act = acts.Diagnosed(self._now_us, name)
        self.done.begin(act)
        self.heard.tell(EventKind.ACT, told.NAMED(title=title))
        return self._answered(act, True, told.PROVE_IT(title=title))

    def put_right(self, name: str) -> Answer:
        """Apply the remedy for a fault of the catalogue, whether or not the machine has it.

        Raises:
            CommandError: There is no such fault.
        """
        fault = known.fault_called(name)
        if self._stands():
            return STANDS_STILL
        act = acts.Mended(self._now_us, name)
        self.done.begin(act)
        remedy = fault.remedy
        unsafe = self._reach_in(remedy) if fault.reaches_in else NOTHING
        self._pass(fault.minutes * 60)
        if not self.over:
            self.faults.mend(fault)
        done = told.REMEDIED(remedy=remedy)
        self.heard.tell(EventKind.ACT, done)
        return self._answered(act, True, done, unsafe=unsafe)

    # The bench ----------------------------------------------------------------------------

    def force(self, tag: str, value: bool | None) -> Answer:
        """Hold a wire at a value, or let it go with None; in practice and lessons only.

        Elsewhere it is refused, and the attempt counts as an unsafe act.

        Raises:
            CommandError: There is no such wire.
        """
        known.wire_called(tag)
        if self._stands():
            return STANDS_STILL
        act = acts.Forced(self._now_us, tag, value)
        return self._meddle(act, told.FORCING(tag=tag), lambda: bench.force(self.saw, tag, value))

    def jumper(self, name: str, on: bool = True) -> Answer:
        """Put a jumper over an interlock, or take it out; in practice and lessons only.

        Elsewhere it is refused, and the attempt counts as an unsafe act.

        Args:
            name: A number as I4, an action and a device as `head.lower B33`, or one row's name.
            on: Whether it goes in.

        Raises:
            CommandError: No interlock has that name.
        """
        bench.rows_named(name)
        if self._stands():
            return STANDS_STILL
        act = acts.Jumpered(self._now_us, name, on)
        what = told.BYPASSING(interlock=name)
        return self._meddle(act, what, lambda: bench.jumper(self.saw, name, on=on))

    def _meddle(
        self, act: acts.Forced | acts.Jumpered, what: Message, does: Callable[[], Message]
    ) -> Answer:
        self.done.begin(act)
        allowed = self.scenario.mode in MAY_MEDDLE
        said = does() if allowed else told.MEDDLING_REFUSED(what=what)
        self.heard.tell(EventKind.ACT if allowed else EventKind.UNSAFE, said)
        return self._answered(act, allowed, said)

    # Words --------------------------------------------------------------------------------

    def note(self, text: str | Message) -> None:
        """Write a remark into the record."""
        self._ready(False)
        act = acts.Noted(self._now_us, remarked(text))
        self.done.begin(act)
        self.heard.tell(EventKind.NOTE, as_message(act.text))
        self.done.all.append(Deed(act, act.at_us))

    def take_hint(self, hint: Message) -> None:
        """Count and tell a hint, which `hints` has worked out."""
        self._ready(True)
        act = acts.Hinted(self._now_us, hint)
        self.done.begin(act)
        self.heard.tell(EventKind.HINT, hint)
        self.done.all.append(Deed(act, act.at_us))

    # Time ---------------------------------------------------------------------------------

    def advance(self, seconds: float) -> None:
        """Let simulated time pass; it stops early when the run is wrecked.

        Raises:
            CommandError: The time is negative or longer than a day.
        """
        if not 0.0 <= seconds <= 86_400.0:
            raise CommandError(told.NO_WAIT(time=f"{seconds}"), "wait", told.A_DAY)
        self._ready(True)
        self.advance_us(round(seconds * US))

    def advance_us(self, microseconds: int) -> None:
        """Let simulated time pass, in whole microseconds.

        Not a line of its own in the record: every other act carries its time. At a frozen machine
        none passes.
        """
        if not self.frozen:
            self.saw.advance_to(self.saw.clock.now_us + microseconds)

    def advance_until(self, reached: Callable[[], bool], limit_us: int) -> bool:
        """Let time pass until something is reached, or so many microseconds; as `advance_us`.

        Args:
            reached: Asked whenever everything due at an instant has happened.
            limit_us: The longest to wait.
        """
        if self.over or self.frozen:
            return reached()
        return self.saw.advance_until(reached, self.saw.clock.now_us + limit_us)

    def close(self, worth: Worth | None = None, debrief: dict[str, Any] | None = None) -> str:
        """End the session; return the digest of the saw's last state.

        Args:
            worth: What it was worth, for the record, as `debrief.finish` has it.
            debrief: What was said of it, in JSON's values, for the record.
        """
        digest = self.saw.digest()
        if not self.closed:
            self._ready(False)
            self.instructor.frozen = False
            self.closed = True
            digest = self.saw.digest()
            faults = tuple(row.name for row in self.scenario.faults)
            self.journal.close(self._now_us, digest, faults, worth, debrief)
        return digest

    def follow(self, follower: Follower) -> None:
        """Have `follower` look after every act and after every moment at which anything happens."""
        self.followers.append(follower)
        self.saw.after_moment = self._look_round

    # Inside -------------------------------------------------------------------------------

    @property
    def _now_us(self) -> int:
        return self.saw.clock.now_us

    def _check_keys(self, keys: Sequence[str]) -> None:
        for key in keys:
            known.key_called(key)
        self._ready(True)

    def _ready(self, going: bool) -> None:
        """Have everything happen that is due at this instant: before an act, never after it.

        So it makes no difference how often somebody lets no time pass between two acts.

        Raises:
            CommandError: The run must be going, and is over; or the session is closed.
        """
        if self.closed:
            raise CommandError(told.OVER, what_to_do=told.READ_DEBRIEF)
        if not self.frozen:
            self.saw.advance_to(self.saw.clock.now_us)
        if going and self.over:
            raise CommandError(told.OVER, what_to_do=told.CLOSE_IT)

    def _stands(self) -> bool:
        self._ready(True)
        return self.frozen

    def _pass(self, seconds: float) -> None:
        self.advance_us(round(seconds * US))

    def _reach_in(self, what: Message) -> Message:
        """Tell of hands in a machine that is not locked out; return what they did in it."""
        if self.lockout.safe:
            return NOTHING
        self.heard.tell(EventKind.UNSAFE, told.UNSAFE(what=what))
        return what

    def _keys(
        self, act: acts.Pressed | acts.Released, do: Callable[[str], Decision | None]
    ) -> Decision | None:
        decisions = tuple(answer for answer in map(do, act.keys) if answer is not None)
        last = decisions[-1] if decisions else None
        if last is not None and last.accepted:
            self.heard.tell(EventKind.ACT, told.KEY_TAKEN(action=last.action))
        elif last is not None:
            why = told.KEY_REFUSED(action=last.action, why=last.sentence)
            self.heard.tell(EventKind.REFUSED, why)
        self._did(Deed(act, self._now_us, decisions))
        return last

    def _answered(
        self,
        act: Act,
        taken: bool,
        said: Message,
        *,
        unsafe: Message = NOTHING,
        played: bool = True,
    ) -> Answer:
        answer = Answer(taken, said)
        self._did(Deed(act, self._now_us, answer=answer, unsafe=unsafe, played=played))
        return answer

    def _did(self, deed: Deed) -> None:
        self.done.all.append(deed)
        self._look_round()

    def _look_round(self) -> None:
        for follower in self.followers:
            follower.update()
