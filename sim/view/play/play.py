"""A session under way in the window: its clock, its hands, its points, and what was last said.

The wall clock gives microseconds, the session is advanced by them, and nothing else drives it.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final

from sim.debrief import hints
from sim.debrief.step_way import step_way
from sim.errors import DrycycleError
from sim.kernel.pacing import Pacer, wall_s
from sim.session.hands.under_way import UnderWay
from sim.session.hands.zones import Zone
from sim.session.kept.deeds import Answer
from sim.session.kept.told import STANDS_STILL
from sim.session.lessons.lesson import Lesson, lesson_of
from sim.session.order_lines import Orders
from sim.session.orders import Order
from sim.session.playback.rewind import BEFORE_S, rewind
from sim.session.session import Session
from sim.teaching import remarks
from sim.trade.handling import CRANE
from sim.units import US
from sim.view.kit.controls import Typed
from sim.view.play.aftermath import Aftermath
from sim.view.play.alarms import Alarms
from sim.view.play.bench_choice import BenchChoice
from sim.view.play.gathered import Gathered
from sim.view.play.guide import StepGuide
from sim.view.play.hands import Hands
from sim.view.play.hearing import Ears
from sim.view.play.instructor_seat import InstructorSeat
from sim.view.play.last_minute import LastMinute
from sim.view.play.meter_choice import MeterChoice
from sim.view.play.notes import Notes
from sim.view.play.oil import Oil
from sim.view.play.on_copy import OnCopy
from sim.view.play.outlook import Outlook
from sim.view.play.points import Points
from sim.view.play.step_hint import step_hint
from sim.view.play.telling import Telling, in_titles, off_for_sheet
from sim.view.play.track import Track
from sim.words.fields import Told, part
from sim.words.message import NOTHING, Message, row
from sim.words.speech import say, tell

FIRST_CHOSEN: Final = (
    "K1", "Q1", "B2", "B33", "B34", "B21", "B22", "Y22", "Y21", "B11", "Y12", "Y11",
)  # fmt: skip
SHOWN_S: Final = (
    6.0  # an act with hands takes no longer than so many seconds of the person who looks on
)
HANDS_BUSY: Final = row(
    "window.hands-busy",
    "Your hands are busy: {what} Wait until they are back, or break off.",
    what=part(),
)
_ORDERS_EVERY_S: Final = 0.5  # on the wall
_READ_S: Final = 15.0  # that what is told of the record stands
_CARRIED: Final = (
    "outlook", "captions", "speed", "tab", "group", "chosen", "marked", "search", "looking", "_spool",
)  # fmt: skip
"""What stays as it was chosen when the session goes back."""
SPEEDS: Final = (0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0)


@dataclass
class Play:
    """One session in the window."""

    session: Session
    notice: Callable[[str], None] = lambda _text: None  # says that something takes a while
    show_purpose: Callable[[str], None] = lambda _number: None  # of an interlock, on its own page
    hands: Hands = field(init=False)
    points: Points = field(init=False)
    trace: LastMinute = field(init=False)
    ears: Ears = field(init=False)
    telling: Telling = field(init=False)
    aftermath: Aftermath = field(init=False)
    alarms: Alarms = field(init=False)
    track: Track = field(init=False)
    lesson: Lesson | None = field(init=False)
    bench: BenchChoice = field(init=False)
    meter: MeterChoice = field(init=False)
    orders: InstructorSeat = field(init=False)
    oil: Oil = field(init=False)
    outlook: Outlook = field(default_factory=Outlook)
    gathered: Gathered = field(init=False)
    guide: StepGuide = field(init=False)
    on_copy: OnCopy = field(init=False)
    notes: Notes = field(init=False)
    captions: bool = True
    paused: bool = True
    speed: float = 1.0
    tab: str = "brief"
    group: str = "chosen"  # of wires on the signal sheet
    chosen: set[str] = field(default_factory=lambda: set(FIRST_CHOSEN))
    marked: set[str] = field(default_factory=set)  # picked on the picture
    expect: str = ""  # of the next look
    cause: str = ""  # chosen on the diagnosis sheet
    search: Typed = field(default_factory=Typed)  # of causes
    looking: Typed = field(default_factory=Typed)  # of ways to look
    changed: bool = False  # a sheet has other content than when it was built

    def __post_init__(self) -> None:
        self.hands = Hands(self.session, lambda: self.paused)
        self.points = Points(self.session)
        self.gathered = Gathered(self.session, self.points, self.refresh)
        self.oil = Oil(self.session, self.points)
        self.notes = Notes(self.session)
        self.trace = LastMinute(self.session.saw)
        self.aftermath = Aftermath(self.session)
        self.hands.past_end = self.aftermath.end
        self.ears = Ears(self.session, self.trace, self.aftermath.notes)
        self.telling = Telling(self.session)
        self.alarms = Alarms(self.session.saw)
        self.track = Track(self.session.saw)
        self.lesson = lesson_of(self.session)
        self.guide = StepGuide(self.session, self.lesson, self.gathered)
        self.on_copy = OnCopy(self.session, self._shown_other)
        self._hinted = -1  # the step of a lesson whose hint was read last
        self._tab_of_own = ""  # the sheet that was open when something was shown on a copy
        self.bench = BenchChoice(self.session)
        self.meter = MeterChoice(self.session)
        self.orders = InstructorSeat(self.session)
        path = self.session.record_path
        self._spool = None if path is None else Orders(path)
        self._looked_s = wall_s()  # after orders and record
        self._of_record: Message = NOTHING  # what was told of it last
        self._read_until_s = 0.0
        self._steps = 0  # of the lesson, done when the page was built
        self._pacer = Pacer()
        self._begun: UnderWay | None = None  # what the hands were last busy with
        self._stood = False  # time stood when they went
        self._in_turn = False  # what was gathered is being set

    def tick(self) -> None:
        """Let the simulated time pass that this frame is worth."""
        busy = self.busy
        self._pacer.speed = self.pace
        passed_us = self._pacer.frame_us()
        self._obey()
        self.on_copy.tick()
        if self.on_copy.running:
            self.telling.listen(self.pace)
            return
        if self.stands:
            self.hands.off_palms()
        self.hands.tick()  # a stop that was pressed while time stood comes before any of it
        if busy is not None:  # what comes after an act comes at its own pace
            passed_us = min(passed_us, round(busy.seconds_left * US))
        if not self.paused and not self.session.over:
            self.session.advance_us(passed_us)
        self._hands_back()
        self.hands.tick()
        self.telling.listen(self.pace)
        self.aftermath.look()
        if self.lesson is not None and self.lesson.number != self._steps:
            self._steps = self.lesson.number
            self.changed = True

    @property
    def pace(self) -> float:
        """How fast time passes now, times as fast as life.

        Hands on palm keys slow it down; an act with hands that would take long hurries it.
        """
        chosen = min(self.speed * self.session.instructor.pace_factor, self.hands.slowest)
        busy = self.busy
        return chosen if busy is None else max(chosen, busy.lasts_s / SHOWN_S)

    @property
    def stands(self) -> bool:
        """Whether time stands: paused here, or frozen by an instructor."""
        return self.paused or self.session.frozen

    def _obey(self) -> None:
        """Carry out, now and then, what an instructor has ordered, and look after the record's file."""
        if wall_s() - self._looked_s < _ORDERS_EVERY_S:
            return
        self._looked_s = wall_s()
        self.tell_record()
        if self._spool is not None and not self.session.over:
            self._spool.carry_out(self.session)

    def tell_record(self) -> None:
        """Tell what has become of the record's file, where that is not what it was."""
        for said in self.session.record_news():
            self._of_record, self._read_until_s = said, wall_s() + _READ_S

    @property
    def may_ask(self) -> bool:
        """Whether a hint can be asked for."""
        return self.session.scenario.mode != "assessment" and not self.session.over

    def hint(self) -> None:
        """Ask for a hint: how the step of a lesson is done, or the next thing worth doing."""
        if self.lesson is not None:
            self._hint_of_step(self.lesson)
            return
        self.notice(say("Working out a hint ..."))
        self._answer(lambda: hints.hint(self.session))

    def _hint_of_step(self, lesson: Lesson) -> None:
        """Say how the step is done; asked again, show its first acts on a copy too."""
        session, again = self.session, self._hinted == lesson.number
        self._hinted = lesson.number
        if lesson.done or session.over or session.frozen:
            self.say(step_hint(session, None))
            return
        session.take_hint(lesson.taken_hint)
        self.telling.listen()
        if again:
            self.notice(say("Working out a hint ..."))
        way = step_way(session)
        self.say(step_hint(session, way))
        if again and way is not None:
            self._tab_of_own = self.tab
            self.on_copy.begin(way)

    def _shown_other(self) -> None:
        """Open the sheet of what is shown on a copy, and the one that was open before when it is over."""
        light = self.on_copy.light
        if not self.on_copy.running:
            self.tab = self._tab_of_own
        elif light is not None:
            self.tab = light.sheet
        self.changed = True

    def expect_next(self, what: str) -> None:
        """Say what the next look will show; the same again takes it back."""
        self.expect = "" if self.expect == what else what

    def go(self, tab: str) -> None:
        """Go to another sheet; whether time passes stays as it is."""
        if tab != self.tab:
            gone = self.hands.let_go()
            if gone:
                self.telling.answer(off_for_sheet(gone), "note")
            self.orders.leave()
            if tab == "instructor":
                self.orders.enter()
            if tab == "bench" and self.hands.refused is not None:
                self.bench.ask(self.hands.refused.key)
        self.tab = tab
        self.changed = True

    def begin(self) -> None:
        """Go from the brief to the sheet that is lit, else to the console; time passes from then on."""
        if self.session.now_s == 0.0:
            self.paused = False
        self.guide.settle()
        light = self.guide.light
        self.go("console" if light is None else light.sheet)

    def refresh(self) -> None:
        """Have the sheet built anew."""
        self.changed = True

    def choose_cause(self, name: str) -> None:
        """Choose a cause on the diagnosis sheet."""
        self.cause = name
        self.changed = True

    def show_part(self, part: str) -> None:
        """Show another part of the logic bench."""
        self.bench.part = part
        self.bench.forget_way()
        self.changed = True

    def show_ladder(self, ladder: str) -> None:
        """Show other rungs."""
        self.bench.ladder = ladder
        self.changed = True

    def ask_why(self, key: str) -> None:
        """Ask on the logic bench what stands against a key."""
        self.bench.ask(key)
        self.changed = True

    def seek_way(self) -> None:
        """Look for the shortest way to that key."""
        self.notice(say("Looking for the way out ..."))
        self.bench.seek_way()
        self.changed = True

    def force(self, tag: str, value: bool | None) -> None:
        """Hold a wire at a value, or let it go with None."""
        self._if_free(lambda: self.session.bench.force(tag, value))

    def jumper(self, name: str, on: bool) -> None:
        """Put a jumper over an interlock, or take it out."""
        self._if_free(lambda: self.session.bench.jumper(name, on))

    def order(self, order: Order) -> None:
        """Carry out what an instructor orders at this window."""
        self.orders.order(order)
        self.telling.listen()
        self.changed = True

    def show_group(self, group: str) -> None:
        """Show another list of wires."""
        self.group = group
        self.changed = True

    def choose_signal(self, tag: str) -> None:
        """Put a wire on the chosen list, or take it off."""
        self.chosen ^= {tag}
        self.changed = True

    def show_signal(self, tag: str) -> None:
        """Show the wire of a device that was picked on the picture."""
        self.chosen.add(tag)
        self.marked = {tag}
        self.group = "chosen"
        self.changed = True

    def change_speed(self, step: int) -> None:
        """Go to the next faster or slower pace."""
        index = SPEEDS.index(self.speed) + step
        self.speed = SPEEDS[min(max(index, 0), len(SPEEDS) - 1)]

    def toggle_pause(self) -> None:
        """Stop the time, or let it go on; no hand stays on a palm key while it stands."""
        self.paused = not self.paused
        if self.paused:
            self.hands.off_palms()

    def back(self) -> "Play":
        """Go back to before what came to harm; return what goes on from there, its time standing.

        The same record goes on. What was chosen stays; no hand is on a key, and of what was gathered
        nothing is set.

        Raises:
            CommandError: It is not allowed here, or nothing has come to harm.
        """
        harms, harm = self.session.saw.consequences, self.aftermath.harm
        seconds = None
        if harm is not None and harms and harms[-1].at_us > harm.at_us:  # another came after it
            seconds = (self.session.going.now_us - harm.at_us) / US + BEFORE_S
        self.hands.let_go()
        on = Play(rewind(self.session, seconds), self.notice, self.show_purpose)
        for name in _CARRIED:
            setattr(on, name, getattr(self, name))
        on.hands.sticky = self.hands.sticky  # without a line in the record, which has it already
        on.notes.take_over(self.notes)
        on.orders, on.bench.part, on.bench.ladder = self.orders, self.bench.part, self.bench.ladder
        on.orders.session = on.session
        if harm is not None:
            on.telling.answer(remarks.HARM(title=harm.row.title, instead=harm.row.instead), "coach")
        return on

    def say(self, said: Told) -> None:
        """Have the coach line say something until the next event."""
        self.telling.answer(said)

    # Hands --------------------------------------------------------------------------------

    def put(self, name: str, setting: float | str) -> None:
        """Set a set point or a dial; the answer goes to the coach line."""
        self._reach_in(lambda: self.session.set(name, setting, wait=False))

    def set_gathered(self) -> None:
        """Set what was gathered, one act after the other."""
        self._in_turn = bool(self.gathered)
        self._next_gathered()

    def _next_gathered(self) -> None:
        while self._in_turn and self.busy is None and not self.session.over:
            due = self.gathered.take()
            if due is None:
                break
            self.put(*due)
        self._in_turn = self._in_turn and bool(self.gathered)

    def load_bar(self, how: str = CRANE) -> None:
        """Put a fresh bar on the saw, in a way of `trade.handling`."""
        self._reach_in(lambda: self.session.load_bar(how, wait=False))

    def inspect(self, name: str) -> None:
        """Look at the machine in one of the listed ways."""
        expect = self.expect
        if self._reach_in(lambda: self.session.inspect(name, expect, wait=False)):
            self.expect = ""

    def show_wiring(self, tag: str) -> None:
        """Show the wiring of a device on the meter sheet."""
        self.meter.show(tag)
        self.changed = True

    def show_place(self, place: str) -> None:
        """Offer the devices of another place on the meter sheet."""
        self.meter.place = place
        self.changed = True

    def touch_terminal(self, terminal: str) -> None:
        """Put the next probe of the meter on a terminal, or take it off."""
        self.meter.touch(terminal)
        self.changed = True

    def meter_reads(self, *, ohms: bool) -> None:
        """Read volts or ohms where the probes of the meter are."""
        self.inspect(self.meter.look(ohms=ohms))

    def lock_out(self, step: str) -> None:
        """Take one step of the lock-out."""
        self._reach_in(lambda: self.session.lock_out(step, wait=False))

    @property
    def busy(self) -> UnderWay | None:
        """What the hands are busy with, None while they are at the console."""
        return self.session.under_way

    def break_off(self) -> None:
        """Take the hands out of what they are busy with, and leave what else was gathered."""
        self._in_turn = False
        if self.busy is not None:
            self._answer(self.session.break_off)

    def escape(self) -> None:
        """Break off what the hands are busy with; with the hands free, go to the console."""
        if self.busy is not None:
            self.break_off()
        else:
            self.go("console")

    def let_pass(self) -> None:
        """Let the time pass at once that hands are still busy."""
        self.session.finish_act()
        self._hands_back()

    def _reach_in(self, act: Callable[[], Answer]) -> bool:
        """Begin an act that takes hands away from the console; return whether they were free for it."""
        if not self._if_free(act):
            return False
        self._begun = self.busy
        if self._begun is not None:
            self._stood, self.paused = self.paused, False
        return True

    def _if_free(self, act: Callable[[], Answer]) -> bool:
        """Do an act, if the hands are not busy with another; return whether they were free."""
        busy = self.busy
        if busy is not None:
            self.telling.answer(HANDS_BUSY(what=in_titles(busy.what)), "refused")
            return False
        gone = self.hands.let_go()
        self._answer(act)
        begun = self.busy
        if begun is not None:
            leaves = begun.reach.zone is not Zone.CONSOLE
            self.session.hands.tell_let_go(gone, begun.what, leaves=leaves)
            self.telling.listen()
        return True

    def _hands_back(self) -> None:
        """Take note that what the hands were busy with is over."""
        begun = self._begun
        if begun is None or self.busy is not None:
            return
        self._begun = None
        self.paused = self.paused or self._stood
        self.telling.listen()
        if begun.answer is not None:
            self._answered(begun.answer)
        self._next_gathered()
        self.changed = True

    # ------------------------------------------------------------------------------------

    def diagnose(self, name: str) -> None:
        """Name the cause."""
        self._if_free(lambda: self.session.diagnose(name))

    def report(self, name: str, calls_for: str) -> None:
        """Report a finding of a round at the start of the shift."""
        self._if_free(lambda: self.session.report(name, calls_for))

    def put_right(self, name: str) -> None:
        """Apply a remedy."""
        self._reach_in(lambda: self.session.put_right(name, wait=False))

    def swap(self, part: str) -> None:
        """Exchange a part for a spare."""
        self._reach_in(lambda: self.session.swap(part, wait=False))

    def _answer(self, act: Callable[[], Answer]) -> None:
        try:
            answer = act()
        except DrycycleError as error:
            self.telling.answer(error, "refused")
            return
        self.telling.listen()
        self._answered(answer)
        self.changed = True

    def _answered(self, answer: Answer) -> None:
        """Say why an act came to nothing; of one that struck somebody, what struck."""
        if answer.taken:
            return
        if self.session.hands.struck is not None:
            self.telling.answer(in_titles(self.session.hands.strikes[-1].sentence), "consequence")
        else:
            self.telling.answer(in_titles(answer.message), "refused")

    def coach(self) -> tuple[str, str]:
        """Return what kind of thing the coach line says, and the sentence."""
        if wall_s() < self._read_until_s:
            return "consequence", tell(self._of_record)
        if self.session.frozen:
            return "instructor", tell(STANDS_STILL.message)
        if self.telling.said is not NOTHING:
            return self.telling.kind, tell(self.telling.said)
        if self.paused and self.session.now_s == 0.0:
            return "note", say("Paused. Read the brief, then begin.")
        if self.paused:
            return "note", say("Paused.")
        return "note", say("Nothing has happened yet.")
