"""The session: one trainee at one saw. Window, terminal, scripts, autopilot and tests all use it.

A few verbs: press, release, set, inspect, lock_out, advance, diagnose, put_right, close; what an
instructor does to it is `session.instructor`. Each becomes one line of the record, with its
simulated time; the same lines played again give the same saw, to the last bit. What is wrong with
the machine stays sealed until the close (see `journal`).
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Protocol

import sim
from sim.control.actions import BY_NAME as BY_ACTION
from sim.control.decision import Decision, Refusal
from sim.control.interlocks import When
from sim.errors import CommandError
from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Fault
from sim.logic.bench import force as bench
from sim.logic.bench.trace import Trace
from sim.logic.bench.why_not import Against, origin_of, why_not
from sim.plant.bar import Stock
from sim.plant.harm.consequences import Consequence, Severity
from sim.plant.machine import Machine
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.plant.set_points import Setting
from sim.saw import Cut, Saw, check_setting
from sim.scenario.nearest import nearest
from sim.scenario.scenario import Scenario
from sim.session import inspections, lockout
from sim.session.hidden import Hidden
from sim.session.instructor import Instructor
from sim.session.journal import Event, Journal, Record, scenario_seal
from sim.session.setup_card import RUN_PAST_MM, JobOrder, Line, card
from sim.signals import BY_KEY, BY_TAG, Source
from sim.units import MM, US
from sim.words.message import Message, plain

__all__ = ["FROZEN", "Answer", "Deed", "Event", "Follower", "Look", "Record", "Session"]

Verb = Callable[[str], Decision | None]
_ACTIONS = frozenset(BY_ACTION)
_LOCKED = Refusal(
    "", "Q0", plain("lockout.locked.refused", "The isolator is locked off."),
    plain("lockout.locked.remedy", "Take the lock-out back, step by step."),
)  # fmt: skip
_FROZEN = Refusal(
    "", "", plain("session.frozen.refused", "The instructor has frozen the machine."),
    plain("session.frozen.remedy", "Wait until it goes on."),
)  # fmt: skip
_MAY_MEDDLE = ("practice", "lesson")
LOADING_S = 240.0  # crane, roller way, tape
_MOST_EXPECTED = 200  # characters that are kept


@dataclass(frozen=True, slots=True)
class Look:
    """One inspection that was made."""

    at_us: int
    name: str
    found: Message
    expected: str = ""  # what the trainee said beforehand


@dataclass(frozen=True, slots=True)
class Answer:
    """What came of an act: whether it was taken, and a sentence to read."""

    taken: bool
    text: str


FROZEN = f"{_FROZEN.sentence} {_FROZEN.remedy}"
_STANDS = Answer(False, FROZEN)


@dataclass(frozen=True, slots=True)
class Deed:
    """One verb that a person used, and what was answered."""

    at_us: int
    verb: str
    names: tuple[str, ...]
    setting: Setting | None = None
    decisions: tuple[Decision, ...] = ()
    answer: Answer | None = None


@dataclass(frozen=True, slots=True)
class Meddling:
    """A force or a jumper that was put in or taken out, or that was tried where it may not be."""

    at_us: int
    text: str
    allowed: bool
    out: bool  # taken out again


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
        source: dict[str, str] | None = None,
        record: Record | None = None,
        nonce: str | None = None,
    ) -> None:
        self.scenario = scenario
        self.machine = machine
        self.order = JobOrder(
            scenario.job.length_mm * MM, scenario.job.wanted, scenario.job.mitre_deg
        )
        self.stock = stock
        self.saw = Saw(machine, stock)
        self.journal = Journal(lambda: self.saw.clock.now_us, record, nonce)
        self.looks: list[Look] = []
        self.hints: list[tuple[int, str]] = []
        self.steps: list[tuple[int, str, str]] = []  # of the lock-out, with what stood against each
        self.deeds: list[Deed] = []
        self.followers: list[Follower] = []
        self.named: list[str] = []  # causes named, in order
        self.mended: list[str] = []  # remedies applied, in order
        self.unsafe: list[tuple[int, str]] = []
        self.meddled: list[Meddling] = []
        self.lockout = lockout.Lockout()
        self.closed = False
        self.proved_us: int | None = (
            None  # first good piece of a job on a machine with nothing wrong
        )
        self.source = dict(source or {})  # name, path and digest of the scenario file; pseudonym
        self.record_path: Path | None = None  # where `open_recorded` has the record written
        self.faults = Hidden(
            self.saw,
            scenario.faults,
            {line.name: line.setting for line in self.card},
            lambda text: self.journal.secretly("fault", text),
        )
        self.instructor = Instructor(self.journal, self.faults, self._ready)
        self._listen()
        self._find()
        self.trace = Trace(self.saw)
        self.faults.wait()
        self.journal.open({
            "engine": sim.__version__, "mode": scenario.mode, "seal": self.seal(), **self.source,
        })  # fmt: skip

    def _listen(self) -> None:
        self.saw.on_cut(self._cut)
        self.saw.plant.site.told.append(self._consequence)
        self.saw.controller.on_reason(
            lambda reason: self._event("reason", f"Stopped or held: {reason}.")
        )

    def _find(self) -> None:
        """Put the machine into the state it is found in."""
        saw = self.saw
        saw.set("job.wanted", self.scenario.job.wanted)
        saw.plant.head.come_to_rest()
        if self.scenario.ready:
            for line in self.card:
                if line.name == "shuttle.counter_mm":
                    saw.set(line.name, float(line.setting) + RUN_PAST_MM)
                if line.name in SET_POINTS or line.name.startswith("job."):
                    saw.set(line.name, line.setting)
        for name, setting in self.scenario.found.items():
            saw.set(name, setting if isinstance(setting, str) else float(setting))
        self.faults.apply()
        saw.plant.head.come_to_rest()
        saw.bus.settle()

    # What is known ------------------------------------------------------------------------

    @property
    def events(self) -> list[Event]:
        """Everything that the trainee may read, in order."""
        return self.journal.events

    @property
    def frozen(self) -> bool:
        """Whether the instructor has stopped time and hands."""
        return self.instructor.frozen

    @property
    def hidden(self) -> tuple[Fault, ...]:
        """The faults that count, less those taken out; for instructor and close, never the screen."""
        return tuple(culprit.fault for culprit in self.faults.counted)

    @property
    def findings(self) -> tuple[tuple[int, str, Message], ...]:
        """Every inspection made: when, which, and what it showed."""
        return tuple((look.at_us, look.name, look.found) for look in self.looks)

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

    def seal(self) -> str:
        """Return the digest that commits to the faults of the scenario."""
        return scenario_seal([row.name for row in self.scenario.faults], self.journal.nonce)

    @property
    def pieces(self) -> int:
        """How many pieces have been cut, the trim not counted."""
        return sum(1 for cut in self.saw.cuts if cut.length_m > 0.0 and not cut.trim)

    @property
    def good(self) -> int:
        """How many of them are within the job's tolerance."""
        return sum(1 for cut in self.saw.cuts if self.is_good(cut))

    def is_good(self, cut: Cut) -> bool:
        """Return whether a cut gave a piece within the job's tolerance."""
        off_m = abs(cut.length_m - self.order.piece_m)
        return not cut.trim and off_m <= self.scenario.job.tolerance_mm * MM

    def still_wrong(self) -> tuple[Fault, ...]:
        """Return the hidden faults that the machine still has, or that have yet to set in."""
        return self.faults.still_wrong()

    # The verbs ----------------------------------------------------------------------------

    def press(self, *keys: str) -> Decision | None:
        """Put a hand on one or more keys, at the same instant; return the last answer."""
        self._check_keys(keys)
        if self.frozen:
            return Decision(keys[0], False, (_FROZEN,))
        self._act("press", keys=list(keys))
        if "supply.isolator" in keys and self.lockout.locked:
            return self._refuse_locked(keys)
        return self._keys("press", keys, self.saw.press)

    def release(self, *keys: str) -> Decision | None:
        """Let one or more keys go; a hand can do that even at a frozen machine, a latch waits."""
        self._check_keys(keys)
        if self.frozen and any(BY_KEY[key].source is Source.LATCH for key in keys):
            return Decision(keys[0], False, (_FROZEN,))
        self._act("release", keys=list(keys))
        return self._keys("release", keys, self.saw.release)

    def tap(self, *keys: str) -> Decision | None:
        """Press keys together and let them go at once."""
        decision = self.press(*keys)
        if not self.over and not self.frozen:
            self.release(*keys)
        return decision

    def set(self, name: str, setting: Setting) -> Answer:
        """Set a set point or a dial by hand."""
        check_setting(name, setting)
        if self._stands():
            return _STANDS
        blocked = self.saw.blocked(name)
        if blocked:
            return self._did("set", name, Answer(False, blocked), setting)
        self._act("set", name=name, setting=setting)
        self.saw.set(name, setting)
        shown = setting if isinstance(setting, str) else f"{setting:g}"
        self._event("act", f"Set {name} to {shown}.")
        answer = Answer(True, f"{name} is now {self.saw.read(name)}.")
        return self._did("set", name, answer, setting)

    def inspect(self, name: str, expect: str = "") -> Answer:
        """Look at the machine in one of the listed ways; it takes simulated time.

        Args:
            name: The inspection.
            expect: What the trainee expects it to show, in words or as `debrief.EXPECTS` has it.

        Raises:
            CommandError: There is no such inspection, or this scenario does not allow it.
        """
        row = inspections.find(name)
        if row is None:
            raise CommandError(
                f"there is no inspection called {name!r}",
                "inspect",
                nearest(name, inspections.INSPECTIONS),
            )
        allowed = self.scenario.inspections
        if allowed != "all" and row.name not in allowed:
            return Answer(False, "This drill does not allow that inspection.")
        if self._stands():
            return _STANDS
        expect = expect.strip()[:_MOST_EXPECTED]
        self._act("inspect", name=row.name, **({"expect": expect} if expect else {}))
        if row.reaches_in:
            self._reach_in(str(row.title))
        self._pass(row.seconds - row.acts_s)
        found = row.look(self.saw)
        self.looks.append(Look(self.saw.clock.now_us, row.name, found, expect))
        self._event("finding", f"{row.title}: {found}")
        return self._did("inspect", row.name, Answer(True, str(found)))

    def lock_out(self, step: str) -> Answer:
        """Take one step of the lock-out, or of the way back.

        Raises:
            CommandError: There is no such step.
        """
        if step not in lockout.BY_NAME:
            raise CommandError(
                f"there is no lock-out step called {step!r}",
                "lockout",
                nearest(step, lockout.BY_NAME),
            )
        if self._stands():
            return _STANDS
        self._act("lockout", step=step)
        row = lockout.BY_NAME[step]
        self._pass(row.seconds)
        against = self.lockout.take(step, self.saw)
        self.steps.append((self.saw.clock.now_us, step, against))
        if against:
            self._event("refused", against)
            return self._did("lockout", step, Answer(False, against))
        self._event("act", f"Lock-out: {row.title}.")
        return self._did("lockout", step, Answer(True, f"Done: {row.title}."))

    def load_bar(self) -> Answer:
        """Put a fresh bar like the first one on the saw; it takes simulated time.

        Refused while band or head is in the way, or a vise still holds the old bar.
        """
        if self._stands():
            return _STANDS
        against = self._loading_blocked()
        if against:
            return self._did("load", "bar", Answer(False, against))
        self._act("load")
        self._pass(LOADING_S)
        if not self.over:
            self.saw.plant.load(self.stock)
            self.saw.bus.settle()
        self._event("act", "A fresh bar was loaded.")
        return self._did("load", "bar", Answer(True, "A fresh bar lies on the saw."))

    def _loading_blocked(self) -> str:
        plant = self.saw.plant
        if plant.band.turning:
            return "The band turns. Stop it and wait until it stands."
        if not (plant.cutting_vise.back and plant.shuttle_vise.back):
            return "A vise holds the old bar. Free both vises first."
        if plant.head.place.position <= plant.bar.height_m:
            return "The head is in the way. Lift it first."
        return ""

    def advance(self, seconds: float) -> None:
        """Let simulated time pass; it stops early when the run is wrecked.

        Raises:
            CommandError: The time is negative or longer than a day.
        """
        if not 0.0 <= seconds <= 86_400.0:
            raise CommandError(f"{seconds} s is not a time to wait", "wait", "give 0 to 86400")
        self._go_on()
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

    def diagnose(self, name: str) -> Answer:
        """Name the cause, from the whole catalogue. Whether it is right is told at the close.

        Raises:
            CommandError: There is no such fault.
        """
        fault = self._fault(name)
        if self._stands():
            return _STANDS
        self._act("diagnose", name=name)
        self.named.append(name)
        self._event("act", f"Named as the cause: {fault.title}.")
        text = f"Noted: {fault.title}. Put it right, then prove it with a good piece."
        return self._did("diagnose", name, Answer(True, text))

    def put_right(self, name: str) -> Answer:
        """Apply the remedy for a fault of the catalogue, whether or not the machine has it.

        Raises:
            CommandError: There is no such fault.
        """
        fault = self._fault(name)
        if self._stands():
            return _STANDS
        self._act("put_right", name=name)
        if fault.reaches_in:
            self._reach_in(fault.remedy)
        self._pass(fault.minutes * 60)
        if not self.over:
            self.faults.mend(fault)
        self.mended.append(name)
        self._event("act", f"Done: {fault.remedy}")
        return self._did("put_right", name, Answer(True, f"Done: {fault.remedy}"))

    def force(self, tag: str, value: bool | None) -> Answer:
        """Hold a wire at a value, or let it go with None; in practice and lessons only.

        Elsewhere it is refused, and the attempt counts as an unsafe act.

        Raises:
            CommandError: There is no such wire.
        """
        if tag not in BY_TAG:
            raise CommandError(f"there is no signal called {tag!r}", "force", nearest(tag, BY_TAG))
        if self._stands():
            return _STANDS
        self._act("force", tag=tag, value=value)
        what = f"forcing {tag}"
        return self._meddle(
            "force", tag, what, value is None, lambda: str(bench.force(self.saw, tag, value))
        )

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
            return _STANDS
        self._act("jumper", name=name, on=on)
        what = f"bypassing {name}"
        return self._meddle(
            "jumper", name, what, not on, lambda: str(bench.jumper(self.saw, name, on=on))
        )

    @property
    def banner(self) -> str:
        """What must be said for as long as a force or a jumper is in; empty when none is."""
        return str(bench.banner(self.saw))

    def _meddle(
        self, verb: str, name: str, what: str, out: bool, does: Callable[[], str]
    ) -> Answer:
        allowed = self.scenario.mode in _MAY_MEDDLE
        text = does() if allowed else f"Refused: {what} is no part of this run, and unsafe."
        self.meddled.append(Meddling(self.saw.clock.now_us, text, allowed, out))
        self._event("act" if allowed else "unsafe", text)
        return self._did(verb, name, Answer(allowed, text))

    def note(self, text: str) -> None:
        """Write a remark into the record."""
        self._ready(False)
        self._act("note", text=text)
        self._event("note", text)

    def take_hint(self, text: str) -> None:
        """Count and tell a hint, which `hints` has worked out."""
        self._go_on()
        self._act("hint", text=text)
        self.hints.append((self.saw.clock.now_us, text))
        self._event("hint", text)

    def follow(self, follower: Follower) -> None:
        """Have `follower` look after every act and after every moment at which anything happens."""
        self.followers.append(follower)
        self.saw.after_moment = self._look_round

    def reach(self, text: str) -> None:
        """Write down that a step of the lesson is done."""
        self._event("step", text)

    def close(self, summary: Mapping[str, object] | None = None) -> str:
        """End the session; return the digest of the saw's last state.

        Args:
            summary: What the record shall say of the session's worth, as `debrief.finish` does.
        """
        digest = self.saw.digest()
        if not self.closed:
            self._ready(False)
            self.instructor.frozen = False
            self.closed = True
            digest = self.saw.digest()
            self.journal.close(digest, [row.name for row in self.scenario.faults], summary)
        return digest

    def why(self, action: str) -> tuple[str, ...]:
        """Return what stands against an action now, a sentence each; empty when nothing does."""
        if action not in BY_KEY:
            raise CommandError(f"there is no key called {action!r}", "why", nearest(action, BY_KEY))
        from_desk = self.saw.controller
        if action not in _ACTIONS:
            return ()
        station = action.partition(".")[0]
        in_auto = from_desk.image.get(f"mode.{station}") == "AUTO"
        origin = When.AUTO if in_auto and station != "job" else When.HAND
        return tuple(f"{r.sentence} {r.remedy}" for r in from_desk.refusals(action, origin))

    def job_drives(self, action: str) -> str:
        """Return that an action's keys are refused because the job drives its station, or empty."""
        station = action.partition(".")[0]
        by_job = action in _ACTIONS and origin_of(self.saw.controller.image, action) is When.AUTO
        if not by_job or station == "job":
            return ""
        name = station.replace("_", " ")
        return f"The {name} is in AUTO. The job drives it, and its keys are refused until it is in HAND."

    def why_not(self, action: str) -> tuple[Against, ...]:
        """Return what stands against an action now, down to the devices and their last changes.

        Raises:
            CommandError: There is no such key.
        """
        if action not in BY_KEY:
            raise CommandError(f"there is no key called {action!r}", "why", nearest(action, BY_KEY))
        return why_not(self.saw, self.trace, action) if action in _ACTIONS else ()

    # Inside -------------------------------------------------------------------------------

    def _check_keys(self, keys: Sequence[str]) -> None:
        for key in keys:
            if key not in BY_KEY:
                raise CommandError(f"there is no key called {key!r}", "press", nearest(key, BY_KEY))
        self._go_on()

    def _keys(self, verb: str, keys: Sequence[str], act: Verb) -> Decision | None:
        answers = [answer for answer in map(act, keys) if answer is not None]
        if answers:
            last = answers[-1]
            kind = "act" if last.accepted else "refused"
            self._event(kind, last.action if last.accepted else f"{last.action}: {last.sentence}")
        self._done(Deed(self.saw.clock.now_us, verb, tuple(keys), None, tuple(answers)))
        return answers[-1] if answers else None

    def _refuse_locked(self, keys: Sequence[str]) -> Decision:
        self._event("refused", "The isolator is locked off.")
        decision = Decision("supply.isolator", False, (_LOCKED,))
        self._done(Deed(self.saw.clock.now_us, "press", tuple(keys), None, (decision,)))
        return decision

    def _did(self, verb: str, name: str, answer: Answer, setting: Setting | None = None) -> Answer:
        self._done(Deed(self.saw.clock.now_us, verb, (name,), setting, (), answer))
        return answer

    def _done(self, deed: Deed) -> None:
        self.deeds.append(deed)
        self._look_round()

    def _look_round(self) -> None:
        for follower in self.followers:
            follower.update()

    def _fault(self, name: str) -> Fault:
        if name not in CATALOGUE:
            raise CommandError(
                f"there is no fault called {name!r}", "diagnose", nearest(name, CATALOGUE)
            )
        return CATALOGUE[name]

    def _ready(self, going: bool) -> None:
        """Have everything happen that is due at this instant: before an act, never after it.

        So it makes no difference how often somebody lets no time pass between two acts.

        Raises:
            CommandError: The run must be going, and is over; or the session is closed.
        """
        if self.closed:
            raise CommandError("the run is over", what_to_do="read the debrief")
        if not self.frozen:
            self.saw.advance_to(self.saw.clock.now_us)
        if going and self.over:
            raise CommandError("the run is over", what_to_do="close it and read the debrief")

    def _go_on(self) -> None:
        self._ready(True)

    def _stands(self) -> bool:
        self._ready(True)
        return self.frozen

    def _reach_in(self, what: str) -> None:
        if not self.lockout.safe:
            self.unsafe.append((self.saw.clock.now_us, what))
            self._event("unsafe", f"Hands in the machine without lock-out: {what}")

    def _pass(self, seconds: float) -> None:
        self.advance_us(round(seconds * US))

    def _cut(self, cut: Cut) -> None:
        if cut.length_m <= 0.0:
            text = "The band only skimmed the face of the bar."
        elif cut.trim:
            text = f"Trim cut: {cut.length_m / MM:.2f} mm off the end."
        else:
            text = f"A piece of {cut.length_m / MM:.2f} mm."
            if self._proves(cut):
                self.proved_us = cut.at_us
            if cut.counted:
                self.faults.piece()
        self._event("cut", text)

    def _proves(self, cut: Cut) -> bool:
        fresh = self.proved_us is None and cut.counted
        return fresh and self.is_good(cut) and not self.still_wrong()

    def _consequence(self, consequence: Consequence) -> None:
        kind = "consequence" if consequence.row.severity is not Severity.NOTE else "note"
        self._event(kind, f"{consequence.row.title}. {consequence.sentence}")

    def _event(self, kind: str, text: str) -> None:
        self.journal.event(kind, text)

    def _act(self, act: str, **words: object) -> None:
        self.journal.act(act, **words)
