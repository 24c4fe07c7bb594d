"""The session: one trainee at one saw. Window, terminal, scripts, autopilot and tests all use it.

A few verbs: press, release, tap, hold, palms, turn, set, inspect, lock_out, load_bar, put_right, swap,
break_off, diagnose, report, advance, close; what an instructor does to it is `session.instructor`. Each becomes one line of the record, with its
simulated time; the same lines played again give the same saw, to the last bit. What was done, seen
and heard is in `done`, `seen` and `heard`; what is wrong with the machine stays sealed until the
close (see `journal`).
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any, Final, Protocol

from sim.control.decision import Decision
from sim.control.rules_of_use import WANTS_PALMS
from sim.errors import CommandError
from sim.faults.fault import Fault
from sim.kernel.streams import normal
from sim.logic.bench.trace import Trace
from sim.plant.bar import Stock
from sim.plant.machine import Machine
from sim.plant.set_points import Setting
from sim.records import acts
from sim.records.ending import whole
from sim.records.kinds import as_message, remarked, written
from sim.records.lasting import LastingRecord
from sim.records.rows import Worth
from sim.saw import Saw, check_setting
from sim.scenario.scenario import JobWanted, Scenario
from sim.scenario.second_does import does_from
from sim.session import known
from sim.session.another import Another
from sim.session.as_found import leave_as_found
from sim.session.bench import ControlBench
from sim.session.card.setup_card import JobOrder, Line, card
from sim.session.card.soundness import unsound
from sim.session.going import Follower, Going
from sim.session.hands import table
from sim.session.hands.cautions import LIVE, what_holds
from sim.session.hands.person import Person
from sim.session.hands.table import Reach
from sim.session.hands.under_way import UnderWay
from sim.session.hands.zones import Demand
from sim.session.hidden import Hidden
from sim.session.inspections.inspection import Inspection
from sim.session.inspections.probes import at_mains, metered_ohms
from sim.session.instructor import Instructor
from sim.session.jogging import jogging_blocked
from sim.session.kept import told
from sim.session.kept.deeds import Answer, Deed, Deeds
from sim.session.kept.heard import EventKind, Heard
from sim.session.kept.journal import Journal, Record
from sim.session.kept.news import News
from sim.session.kept.origin import Origin
from sim.session.kept.seen import KeyAnswer, Look, Seen
from sim.session.kept.tally import Tally
from sim.session.loading import jaw_gaps, loading_blocked, slid_off
from sim.session.lockout import Lockout, SecondPerson
from sim.session.measuring import Measuring, PieceAsked
from sim.session.morning import Morning, drawn
from sim.session.order_key import OrderKey
from sim.session.rewinds import REWINDS_IN, Rewind
from sim.session.why import answer_to, as_lit
from sim.signals import BY_KEY, Source
from sim.trade.handling import CRANE, UNDER, too_much
from sim.trade.sections import bars_in
from sim.units import MM, US
from sim.words.message import NOTHING, Message, sentences

PALM_KEYS: Final = ("palm.left", "palm.right")
_MODE_KEY: Final = "mode.key"
_AIR_COCK: Final = "supply.air_cock"
_POWER_ON: Final = "supply.control_on"
_MOST_EXPECTED: Final = 200  # characters that are kept


class ShiftBooks(Protocol):
    """Whoever books a shift of orders: what is taken, and which bar lies on the saw."""

    def begun(self) -> None:
        """Begin the shift now."""

    def take(self, order: str, bar: str) -> object:
        """Take an order from a bar."""

    def bar_off(self) -> None:
        """Take note that the bar on the saw is just taken off."""

    def bar_on(self) -> None:
        """Take note that a fresh bar lies there."""


@dataclass(frozen=True, slots=True)
class Turned:
    """A turn to another order."""

    at_us: int
    after: int  # acts that were done before it
    scenario: Scenario
    stock: Stock
    called: str  # the order


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
        order_key: OrderKey | None = None,
        old_bar: Stock | None = None,
    ) -> None:
        """Begin with a bar of the stock on the saw, or with what an order before left there."""
        job = scenario.job
        self.scenario = scenario
        self.machine = machine
        self.order = JobOrder(job.length_mm * MM, job.wanted, job.mitre_deg)
        self.stock = stock
        self.saw = Saw(machine, old_bar or stock)
        self.saw.plant.bar.scatter_m = lambda piece: normal(
            self.origin.seed, f"length/{piece}", machine.cut_scatter_m
        )
        self.journal = Journal(record, nonce)
        self.done = Deeds(self.journal.act)
        self.seen = Seen()
        self.heard = Heard(lambda: self.saw.clock.now_us, self.journal.event)
        second = scenario.second_person
        self.lockout = Lockout(
            self.saw,
            scenario.role,
            SecondPerson(second.name, second.locks) if second is not None else None,
        )
        self.going = Going(self.saw, self.done)
        self.hands = Person(self.saw, self.going, self.heard, self.lockout)
        self.origin = origin if origin is not None else Origin()
        self.order_key = order_key  # of the instructor's code, None of a session without one
        self.lasting: LastingRecord | None = None  # where `open_recorded` has the record written
        self.faults = Hidden(
            self.saw,
            scenario.faults,
            {line.name: line.setting for line in self.card},
            lambda what: self.heard.keep_back(EventKind.FAULT, what),
        )
        self.morning = Morning(
            drawn(
                scenario.findings,
                self.origin.seed,
                self.faults.would_change,
                table.set_point_of,
            ),
            self.faults.present,
        )
        self.measuring = self._measuring_for(scenario)
        self.tally = self._count_for(job)
        self.bench = ControlBench(self.saw, self.going, self.heard, scenario.mode)
        self.another = Another(
            self.saw, self.lockout, lambda said: self.heard.tell(EventKind.INSTRUCTOR, said)
        )
        self.hands.held_by_another = self.another.held
        self.instructor = Instructor(self.going, self.heard, self.faults, self.another)
        self.news = News(self.saw, self.heard, self.tally, self.faults)
        leave_as_found(self.saw, scenario, self.card, self.faults, self.morning)
        self.trace = Trace(self.saw, self.saw.plant.power.coil_fed)
        self.faults.wait()
        if second is not None:
            if second.away:
                self.lockout.left_behind()
            for does in second.does:
                self.another.will_do(does_from(does), self.saw.clock.now_us)
        self.begun_with = scenario, stock
        self.turns: list[Turned] = []
        self.shop: ShiftBooks | None = None  # of a shift of orders that a trainee serves
        self.rewinds: tuple[Rewind, ...] = ()  # the goings back, see `playback.rewind`
        self.going.goes_back = lambda: self.rewinds_here and self.has_harm
        self.journal.open(scenario, self.origin)

    def _measuring_for(
        self, scenario: Scenario, called: str = "", before: Sequence[PieceAsked] = ()
    ) -> Measuring:
        tolerance_m, fell = scenario.job.tolerance_mm * MM, len(self.saw.cuts)
        asked = PieceAsked(self.order, tolerance_m, self.stock.section, called, fell)
        return Measuring(
            self.saw, asked, self.origin.seed, face=scenario.proves_face, before=before
        )

    def _count_for(self, job: JobWanted) -> Tally:
        return Tally(
            self.saw,
            self.order,
            job.tolerance_mm * MM,
            lambda: not self.faults.still_wrong(),
            lambda: self.faults.good_to_prove,
        )

    def take_order(self, scenario: Scenario, stock: Stock, called: str = "") -> None:
        """Turn to another order, on the saw as it stands: nothing on it is moved, set or loaded.

        Card, measuring and count are those of the new order from now on, and the next bar that is
        loaded is its stock. What fell before is measured by the drawing that it was cut by.

        Args:
            scenario: What is to be cut next, on the same machine.
            stock: The bar that will be loaded for it, or lies on the saw already.
            called: The order's name.
        """
        self.turns.append(Turned(self.going.now_us, len(self.done.acts), scenario, stock, called))
        job = scenario.job
        self.scenario = scenario.built_as(self.machine)
        self.stock = stock
        self.order = JobOrder(job.length_mm * MM, job.wanted, job.mitre_deg)
        self.__dict__.pop("card", None)
        self.measuring = self._measuring_for(scenario, called, self.measuring.asked)
        self.tally = self._count_for(job)
        self.news.count_by(self.tally)

    # What is known ------------------------------------------------------------------------

    @property
    def record_path(self) -> Path | None:
        """The file that all of the record is in; None where there is none, or it is in memory only."""
        return None if self.lasting is None else self.lasting.path

    def record_news(self) -> tuple[Message, ...]:
        """Look after the record's file; return what is to be told of it and was not told yet."""
        return () if self.lasting is None else self.lasting.news()

    @property
    def frozen(self) -> bool:
        """Whether the instructor has stopped time and hands."""
        return self.going.frozen

    @property
    def rewinds_here(self) -> bool:
        """Whether such a session has a going back at all: a lesson or practice, with no orders."""
        judged = self.scenario.mode not in REWINDS_IN
        return not (judged or self.shop is not None or self.turns)

    @property
    def has_harm(self) -> bool:
        """Whether anything came to harm in it, taken back or not."""
        return bool(self.saw.consequences or self.rewinds)

    @property
    def hidden(self) -> tuple[Fault, ...]:
        """The faults that count: not those taken out. For the instructor and the close only."""
        return tuple(culprit.fault for culprit in self.faults.counted)

    @cached_property
    def card(self) -> tuple[Line, ...]:
        """The set-up card for this job; it depends on nothing that changes."""
        return card(self.machine, self.stock, self.order)

    @property
    def unsound(self) -> Message:
        """That no plan of the card is sound for this job, and what would help; nothing where one is."""
        return unsound(self.machine, self.stock, self.order)

    @property
    def lying(self) -> Stock:
        """The bar that would be cut now: in a shift the one that lies there, whichever was taken; else the job's."""
        bar = self.saw.plant.bar
        return bar.stock if self.shop is not None and bar.length_m > 0.0 else self.stock

    @property
    def lies_other(self) -> bool:
        """Whether a bar of another metal or section lies there than was taken."""
        there, taken = self.lying, self.stock
        return (there.material, there.section) != (taken.material, taken.section)

    @property
    def card_there(self) -> tuple[Line, ...]:
        """The set-up card for the bar that lies there; the card itself where that is like the one that was taken."""
        return card(self.machine, self.lying, self.order) if self.lies_other else self.card

    @property
    def pieces_a_cut(self) -> int:
        """How many pieces a cut gives: as many as bars lie side by side. The job counts cuts."""
        return bars_in(self.stock.section)

    @property
    def now_s(self) -> float:
        """Simulated time since the session began, s."""
        return self.going.now_us / US

    @property
    def over(self) -> bool:
        """Whether nothing more can be done: the run was wrecked or closed."""
        return self.going.over

    @property
    def under_way(self) -> UnderWay | None:
        """What the trainee's hands are busy with, None between two acts."""
        doing = self.going.doing
        return doing if isinstance(doing, UnderWay) else None

    def finish_act(self) -> None:
        """Let the time pass that what is under way still takes."""
        self.going.finish_doing()

    @property
    def closed(self) -> bool:
        """Whether the session was ended."""
        return self.going.closed

    # Keys ---------------------------------------------------------------------------------

    def press(self, *keys: str) -> Decision | None:
        """Put a hand on one or more keys, at the same instant; return the last answer.

        Raises:
            CommandError: There is no such key.
        """
        self._check_keys(keys)
        if self.frozen:
            return Decision(keys[0], False, (told.IS_FROZEN,))
        act = acts.Pressed(self.going.now_us, keys)
        self.going.begin(act)
        return self._keys(act, self.saw.press)

    def release(self, *keys: str) -> Decision | None:
        """Let one or more keys go, or turn latches back.

        At a frozen machine a hand may come off a key, but a latch is refused until time goes on.

        Raises:
            CommandError: There is no such key.
        """
        self._check_keys(keys)
        if self.frozen and any(BY_KEY[key].source is not Source.KEY for key in keys):
            return Decision(keys[0], False, (told.IS_FROZEN,))
        act = acts.Released(self.going.now_us, keys)
        self.going.begin(act)
        return self._keys(act, self.saw.release)

    def tap(self, *keys: str) -> Decision | None:
        """Press keys together and let them go at once; return the last answer."""
        answer = self.press(*keys)
        if not self.over and not self.frozen:
            answer = self.release(*keys) or answer
        return answer

    def hold(self, key: str, seconds: float) -> Decision | None:
        """Hold a key down for a time, and let it go; return the last answer."""
        answer = self.press(key)
        if not self.over and not self.frozen:
            self.advance(seconds)
        if not self.over and not self.frozen:
            answer = self.release(key) or answer
        return answer

    def palms(self, key: str) -> Decision | None:
        """Press a key and then, at the same instant, both palm keys; let all go; as one deed."""
        return self.tap(key, *PALM_KEYS)

    def turn(self, mode: str) -> Decision | None:
        """Turn the mode switch, and let it rest until the mode has taken effect.

        Args:
            mode: `manual`, `maintenance` or `production`, large or small.

        Raises:
            CommandError: There is no such mode.
        """
        answer = self.press(known.mode_key(mode))
        self._rest_switch()
        return answer

    def _rest_switch(self) -> None:
        """Let time pass until the mode that the switch points to has taken effect."""
        if not self.over and not self.frozen:
            self.going.pass_us(self.saw.controller.times.mode_rests_us)
            self.going.ready(going=False)

    def _check_keys(self, keys: Sequence[str]) -> None:
        for key in keys:
            known.key_called(key)
        self.going.stands()

    def _keys(
        self, act: acts.Pressed | acts.Released, do: Callable[[str], Decision | None]
    ) -> Decision | None:
        begun = self.lockout.begun
        decisions = tuple(
            replace(answer, refusals=as_lit(self.saw, answer.refusals))
            for answer in map(do, act.keys)
            if answer is not None
        )
        came = any(each.accepted and each.action == _POWER_ON for each in decisions)
        deed = Deed(act, self.going.now_us, decisions, untold=begun and came)
        answer = deed.decision
        if answer is not None and answer.accepted:
            self.heard.tell(EventKind.ACT, told.KEY_TAKEN(action=answer.action))
        elif answer is not None:
            why = told.KEY_REFUSED(action=answer.action, why=answer.sentence)
            half = answer.refusals == (WANTS_PALMS,)  # of a start: the palm keys come next
            self.heard.tell(EventKind.ACT if half else EventKind.REFUSED, why)
        if deed.untold:
            self.heard.tell(EventKind.UNSAFE, told.NOT_TOLD)
        self.morning.did(deed.accepted)
        self.going.did(deed)
        return answer

    # Hands --------------------------------------------------------------------------------

    def set(self, name: str, setting: Setting, *, wait: bool = True) -> Answer:
        """Set a set point or a dial by hand; it takes simulated time, and is done when that is over.

        Args:
            name: The set point or dial.
            setting: What to.
            wait: Whether its time passes at once, as for every act with hands. Else it is only begun, and
                goes on as time passes, until it is done or broken off.

        Raises:
            CommandError: There is no such set point, or the setting is none of its own.
        """
        check_setting(name, setting, self.machine)
        if self.going.stands():
            return told.STANDS_STILL
        to = setting if isinstance(setting, str) else float(setting)
        act = acts.Adjusted(self.going.now_us, name, to)
        blocked = self.saw.blocked(name, to)
        reach = table.to_set(name)
        # What cannot be set now is found out by the hand that is there, unless the closed cover keeps it off.
        if blocked and (self._covered(reach) or not self.hands.meets(reach)):
            first = () if self.hands.safe(reach) else what_holds(reach)
            return self.going.answered(act, False, sentences(*first, blocked), played=False)
        setting_it = told.in_words(told.SET_TO(name=name, setting=to))

        def finish(under_way: UnderWay) -> Answer:
            unsafe = _unsafe(under_way)
            stopped = self.over or under_way.broken
            blocked = told.BROKEN_OFF(what=setting_it) if stopped else self.saw.blocked(name, to)
            if blocked:  # meanwhile
                return self.going.answered(act, False, blocked, unsafe=unsafe)
            were = self.faults.as_should_be(table.of_same_setting)
            self.saw.set(name, to)
            are = self.faults.as_should_be(table.of_same_setting)
            self.seen.set_by_hand.add(name)
            self.heard.tell(EventKind.ACT, told.SET_TO(name=name, setting=to))
            now = told.in_words(told.IS_NOW(name=name, setting=self.saw.read(name)))
            cured, undid = (tuple(sorted(some)) for some in (are - were, were - are))
            return self.going.answered(act, True, now, unsafe=unsafe, cured=cured, undid=undid)

        answer = self._reach_in(act, reach, setting_it, finish, wait=wait)
        if wait and name == _MODE_KEY:
            self._rest_switch()
        return answer

    def inspect(self, name: str, expect: str = "", *, wait: bool = True) -> Answer:
        """Look at the machine in one of the listed ways; it takes simulated time.

        Args:
            name: The inspection.
            expect: What the trainee expects it to show, in words or as `debrief.evidence.EXPECTS` has it.
            wait: As for `set`.

        Raises:
            CommandError: There is no such inspection.
        """
        row = known.inspection_called(name, self.machine.loom)
        known.check_terminals(self.machine.loom, row)
        if not known.may_look(self.scenario, row):
            return Answer(False, self._not_given(row))
        if self.going.stands():
            return told.STANDS_STILL
        act = acts.Inspected(self.going.now_us, row.name, written(expect.strip(), _MOST_EXPECTED))
        title, reach = row.title, table.to_look(row)
        if covered := self._covered(reach):
            return self.going.answered(act, False, covered, played=False)

        def finish(under_way: UnderWay) -> Answer:
            unsafe = _unsafe(under_way)
            if under_way.struck or under_way.broken:
                return self.going.answered(act, False, told.BROKEN_OFF(what=title), unsafe=unsafe)
            measured = self.measuring.take(row) if row.tool is not None else None
            found = row.look(self.saw) if measured is None else measured.said.rounded()
            levels = row.levels(self.saw)
            look = Look(self.going.now_us, row.name, found, act.expect, levels, measured)
            self.seen.looks.append(look)
            if measured is not None and measured.reading is not None:
                self.tally.measured(measured.reading, self.measuring)
            said = sentences(found, self.lockout.hangs_at(row.name))
            if row.terminals and at_mains(row, self.saw):
                said = sentences(said, LIVE)
                if metered_ohms(row):
                    self.saw.plant.site.tell("meter-blown")
            self.heard.tell(EventKind.FINDING, told.FOUND(title=title, found=said))
            return self.going.answered(act, True, said, unsafe=unsafe)

        seconds = row.seconds - row.acts_s
        return self._reach_in(act, reach, title, finish, wait=wait, seconds=seconds)

    def _not_given(self, look: Inspection) -> Message:
        """Return that a drill does not give a look, and the nearest that it gives."""
        near = known.nearest_look(self.scenario, look)
        if near is None:
            return told.NOT_ALLOWED
        return sentences(told.NOT_ALLOWED, told.NEAREST_LOOK(look=near.name, title=near.title))

    def lock_out(self, step: str, *, wait: bool = True) -> Answer:
        """Take one step of the lock-out, or of the way back.

        Args:
            step: Its name.
            wait: As for `set`.

        Raises:
            CommandError: There is no such step.
        """
        row = known.lockout_step_called(step)
        if self.going.stands():
            return told.STANDS_STILL
        act = acts.LockoutTaken(self.going.now_us, step)

        def finish(under_way: UnderWay) -> Answer:
            if under_way.broken:
                return self.going.answered(act, False, told.BROKEN_OFF(what=row.title))
            against = self.lockout.take(row)
            if against:
                self.heard.tell(EventKind.REFUSED, against)
                return self.going.answered(act, False, against)
            beware = self.lockout.spring if step == "verify" else NOTHING
            self.heard.tell(EventKind.ACT, sentences(told.LOCKOUT_STEP(title=row.title), beware))
            return self.going.answered(
                act, True, sentences(told.STEP_DONE(title=row.title), beware)
            )

        return self._reach_in(act, table.to_lock_out(row), row.title, finish, wait=wait)

    def load_bar(self, how: str = CRANE, *, wait: bool = True) -> Answer:
        """Put a fresh bar like the first one on the saw; it takes simulated time.

        Refused while band or head is in the way, or a vise still holds the old bar. A bar that is too
        much for who carries it comes to nothing, and is a harm.

        Args:
            how: A way of `trade.handling`.
            wait: As for `set`.

        Raises:
            CommandError: There is no such way.
        """
        known.handling_called(how)
        if self.going.stands():
            return told.STANDS_STILL
        act = acts.BarLoaded(self.going.now_us, how)
        mass_kg, length_m = self.stock.mass_kg, self.stock.length_m
        against = loading_blocked(self.saw, self.stock)
        if against:
            return self.going.answered(act, False, against, played=False)

        def finish(under_way: UnderWay) -> Answer:
            if under_way.struck or under_way.broken:
                return self.going.answered(act, False, told.BROKEN_OFF(what=told.LOADING))
            against = loading_blocked(self.saw, self.stock)  # since it was begun
            if against:
                return self.going.answered(act, False, against)
            if how == UNDER:
                self.saw.plant.site.tell("under-hanging-bar", told.HANGS(mass=mass_kg))
                return self.going.answered(act, False, told.BROKEN_OFF(what=told.LOADING))
            if too_much(how, mass_kg, length_m):
                said = told.too_heavy(mass_kg, length_m)
                self.saw.plant.site.tell("lifted-too-much", said)
                return self.going.answered(
                    act, False, sentences(said, told.carry_instead(mass_kg, length_m))
                )
            before = jaw_gaps(self.saw.plant)
            if not self.over:
                self._lay_there()
                self.saw.bus.settle()
            self.heard.tell(EventKind.ACT, told.LOADED)
            off = told.jaws_stand_off(slid_off(self.saw.plant, before))
            return self.going.answered(act, True, sentences(told.LIES_THERE(mass=mass_kg), off))

        return self._reach_in(act, table.to_load(how, mass_kg), told.LOADING, finish, wait=wait)

    def _lay_there(self) -> None:
        """Have a bar of the stock on the saw, and the old one off it."""
        if self.shop is not None:
            self.shop.bar_off()
        self.saw.plant.load(self.stock)
        if self.shop is not None:
            self.shop.bar_on()

    def break_off(self) -> Answer:
        """Break off what is under way: hands are out in a second, and it comes to nothing."""
        self.going.ready()
        if self.frozen:
            return told.STANDS_STILL
        under_way = self.going.doing
        if under_way is None or under_way.broken:
            return Answer(False, told.NOTHING_UNDER_WAY)
        self.going.wrote(acts.BrokenOff(self.going.now_us))
        under_way.break_off()
        said = told.BROKEN_OFF(what=under_way.what)
        self.heard.tell(EventKind.ACT, said)
        return Answer(True, said)

    def diagnose(self, name: str) -> Answer:
        """Name the cause, from the whole catalogue. Whether it is right is told at the close.

        Raises:
            CommandError: There is no such fault.
        """
        fault = known.fault_called(name)
        title = fault.title
        if self.scenario.findings is not None:
            return Answer(False, told.REPORT_INSTEAD)
        if self.going.stands():
            return told.STANDS_STILL
        act = acts.Diagnosed(self.going.now_us, name)
        self.going.begin(act)
        self.heard.tell(EventKind.ACT, told.NAMED(title=title))
        # By what the trainee did, and not by whether it helped: that is told at the close.
        by_hand = table.mended_by_setting(fault) & self.seen.set_by_hand
        swapped = fault.spare in self.done.swapped
        otherwise = told.PROVE_SWAPPED if swapped else told.PROVE_IT
        prove_it = told.PROVE_SETTING if by_hand else otherwise
        return self.going.answered(act, True, prove_it(title=title))

    def report(self, name: str, calls_for: str) -> Answer:
        """Report a finding of a round at the start of the shift. Whether it is right is told at the close.

        Args:
            name: The cause, from the whole catalogue.
            calls_for: A word of `morning.CLASSES`; of two reports of one cause the later holds.

        Raises:
            CommandError: There is no such fault or no such class.
        """
        fault = known.fault_called(name, "report")
        title = known.class_called(calls_for)
        if self.scenario.findings is None:
            return Answer(False, told.NO_ROUND)
        if self.going.stands():
            return told.STANDS_STILL
        act = acts.FindingReported(self.going.now_us, name, calls_for)
        self.going.begin(act)
        self.morning.report(fault, calls_for)
        said = told.REPORTED(title=fault.title, calls_for=title)
        self.heard.tell(EventKind.ACT, said)
        return self.going.answered(act, True, said)

    def put_right(self, name: str, *, wait: bool = True) -> Answer:
        """Apply the remedy for a fault of the catalogue, whether or not the machine has it.

        Args:
            name: The fault.
            wait: As for `set`.

        Raises:
            CommandError: There is no such fault.
        """
        fault = known.fault_called(name)
        if self.going.stands():
            return told.STANDS_STILL
        act = acts.Mended(self.going.now_us, name)
        remedy, reach = fault.remedy, table.to_mend(fault)
        if blocked := self._keeps_from_mending(fault, reach):
            return self.going.answered(act, False, blocked, played=False)

        def finish(under_way: UnderWay) -> Answer:
            unsafe = _unsafe(under_way)
            if under_way.struck or under_way.broken:
                return self.going.answered(act, False, told.BROKEN_OFF(what=remedy), unsafe=unsafe)
            if blocked := self._keeps_from_mending(fault, reach):  # meanwhile
                return self.going.answered(act, False, blocked, unsafe=unsafe)
            if not self.over:
                if fault.fresh_bar:
                    self._lay_there()
                self.faults.mend(fault)
            done = told.REMEDIED(remedy=remedy)
            self.heard.tell(EventKind.ACT, done)
            return self.going.answered(act, True, done, unsafe=unsafe)

        return self._reach_in(act, reach, remedy, finish, wait=wait)

    def _keeps_from_mending(self, fault: Fault, reach: Reach) -> Message:
        """Return what stands against a remedy now, or nothing."""
        if fault.fresh_bar and (blocked := loading_blocked(self.saw, self.stock)):
            return blocked
        if fault.jogged:
            blocked = sentences(self.lockout.left, jogging_blocked(self.saw))
            if blocked:
                return blocked
        held = table.set_point_of(fault) == _AIR_COCK  # a padlock holds it fast, whoever turns it
        return self._covered(reach) or (self.saw.blocked(_AIR_COCK) if held else NOTHING)

    def swap(self, name: str, *, wait: bool = True) -> Answer:
        """Exchange a part for a spare, whatever was wrong with the old one, or nothing.

        Args:
            name: The part, see `faults.spares`.
            wait: As for `set`.

        Raises:
            CommandError: The saw has no such part.
        """
        spare = known.spare_called(name, self.machine.loom)
        if self.going.stands():
            return told.STANDS_STILL
        act = acts.Swapped(self.going.now_us, spare.name)
        what, reach = spare.title, table.to_swap(spare)
        if covered := self._covered(reach):
            return self.going.answered(act, False, covered, played=False)

        def finish(under_way: UnderWay) -> Answer:
            unsafe = _unsafe(under_way)
            if under_way.struck or under_way.broken:
                return self.going.answered(act, False, told.BROKEN_OFF(what=what), unsafe=unsafe)
            cured = self.faults.mend_all(spare.faults) if not self.over else ()
            done = told.SWAPPED(swap=what)
            self.heard.tell(EventKind.ACT, done)
            return self.going.answered(act, True, done, unsafe=unsafe, cured=cured)

        return self._reach_in(act, reach, what, finish, wait=wait)

    def _covered(self, reach: Reach) -> Message:
        """Return that the wheel cover is in the way of an act, or nothing."""
        return self.saw.plant.guard_lock.covered if reach.behind_cover else NOTHING

    def _reach_in(
        self,
        act: acts.Act,
        reach: Reach,
        what: Message,
        finish: Callable[[UnderWay], Answer],
        *,
        wait: bool,
        seconds: float | None = None,
    ) -> Answer:
        """Have the hands where an act needs them, for as long as it takes, and then the act done."""
        self.going.begin(act)
        under_way = self.hands.take_up(reach, what, finish, seconds)
        if wait:
            self.going.finish_doing()
        return Answer(True, what) if under_way.answer is None else under_way.answer

    # Words --------------------------------------------------------------------------------

    def ask(self, key: str) -> None:
        """Ask the control what blocks a key; it takes no time, and is evidence as a refusal is.

        Raises:
            CommandError: There is no such key, or the session is closed.
        """
        known.key_called(key, "why")
        # What is due now happens first: the answer is the same, whoever advances by no time.
        self.going.ready(going=False)
        said = answer_to(self.saw, self.trace, key)
        self.going.wrote(acts.Asked(self.going.now_us, key))
        self.seen.answers.append(KeyAnswer(self.going.now_us, key, said))

    def note(self, text: str | Message) -> None:
        """Write a remark into the record."""
        self.going.ready(going=False)
        act = acts.Noted(self.going.now_us, remarked(text))
        self.going.wrote(act)
        self.heard.tell(EventKind.NOTE, as_message(act.text))

    def take_hint(self, hint: Message) -> None:
        """Count and tell a hint that `debrief.hints` has worked out."""
        self.going.ready()
        self.going.wrote(acts.Hinted(self.going.now_us, hint))
        self.heard.tell(EventKind.HINT, hint)

    # Time ---------------------------------------------------------------------------------

    def advance(self, seconds: float) -> None:
        """Let simulated time pass; it stops early when the run is wrecked.

        Raises:
            CommandError: The time is negative or longer than a day.
        """
        if not 0.0 <= seconds <= 86_400.0:
            raise CommandError(told.NO_WAIT(time=f"{seconds}"), "wait", told.A_DAY)
        self.going.ready()
        self.going.pass_s(seconds)

    def advance_us(self, microseconds: int) -> None:
        """Let simulated time pass, in whole microseconds.

        Not a line of its own in the record: every other act carries its time. At a frozen machine
        none passes.
        """
        self.going.pass_us(microseconds)

    def advance_until(self, reached: Callable[[], bool], limit_us: int) -> bool:
        """Let time pass until something is reached, or so many microseconds; as `advance_us`.

        Args:
            reached: Asked whenever everything due at an instant has happened.
            limit_us: The longest to wait.
        """
        return self.going.pass_until(reached, limit_us)

    def close(self, worth: Worth | None = None, debrief: dict[str, Any] | None = None) -> str:
        """End the session; return the digest of the saw's last state.

        Args:
            worth: What it was worth, for the record, as `debrief.finish` has it.
            debrief: What was said of it, in JSON's values, for the record.
        """
        with whole():
            if self.closed:
                return self.saw.digest()
            self.going.ready(going=False)
            self.going.frozen = False
            self.going.leave()
            self.going.closed = True
            digest = self.saw.digest()
            faults = tuple(row.name for row in self.scenario.faults)
            self.journal.close(self.going.now_us, digest, faults, worth, debrief)
        return digest

    def follow(self, follower: Follower) -> None:
        """Have `follower` look after every act and after every moment at which anything happens."""
        self.going.follow(follower)


def _unsafe(under_way: UnderWay) -> Message:
    """Return the act, where it wanted a lock-out and there was none; nothing else.

    Hands that were struck are told as that, with the lock-out that was wanting, and not once more here;
    but a strike that an instructor brought about is not scored, and the lock-out was wanting all the same.
    """
    exposed = under_way.exposed and (under_way.by_order or not under_way.struck)
    wanted = exposed and under_way.reach.demand is Demand.LOCKED_OUT
    return under_way.what if wanted else NOTHING
