"""Plays a lesson to its end as a good operator would, from its goals alone.

The pilot knows one way to bring about each kind of condition, by the session's own verbs. A lesson
that it plays to the end can be played to the end; one that it cannot is looked at before a class sees
it.

Never here: knowledge of any one lesson.
"""

from collections.abc import Callable, Mapping
from typing import Any, Final

from sim.control.actions import BY_NAME as ACTIONS
from sim.control.table import JOB_UNDER_WAY
from sim.pilot import autopilot
from sim.pilot.careful import careful
from sim.pilot.pilot_hands import PilotHands
from sim.plant.guide import OPEN
from sim.plant.mode_key import IN_POCKET
from sim.records.acts import Adjusted
from sim.scenario.steps import CARD, OFF, VERIFIED, Goal, Limits
from sim.session import inspections, lockout
from sim.session.before.tracking import jog, turn_once
from sim.session.card.setup_card import RUN_PAST_MM
from sim.session.hands.table import locked_out_to_look, to_load, to_look, to_set
from sim.session.hands.zones import Demand
from sim.session.inspections import Inspection
from sim.session.lessons.goals import (
    LENGTH_STOP,
    SPEED,
    TRUE_M,
    backlash_m,
    card_line,
    set_as,
    speed_range,
)
from sim.session.lessons.lesson import Lesson
from sim.session.lessons.measures import MEASURES
from sim.session.locking import do_all, giving_back, locking_out
from sim.session.opening import twin_of
from sim.session.session import PALM_KEYS, Session
from sim.signals import BY_KEY
from sim.trade.handling import ALONE, CRANE, too_much
from sim.trade.measuring import TOOLS, Tool
from sim.units import MINUTE

_TRIES: Final = 3
_ON_THE_WAY_BACK: Final = tuple(step.name for step in (*lockout.BACK, *lockout.ASKING))
_TOO_LATE_S: Final = 1.0  # between the palm keys; half a second is allowed
_KEY_OUT: Final = ("mode.key", IN_POCKET)
_FRONT: Final = "bar.front_mm"
_CARRIED_OFF: Final = ("cutting_vise", ("RELEASED",))
_SAME_M_MIN: Final = 0.5
_UP_AGAIN_S: Final = 1.0
_INSIDE_MM: Final = 0.2  # how far inside a range a motion is stopped


def play_lesson(session: Session, lesson: Lesson, until: int | None = None) -> bool:
    """Play a lesson on from where it is; return whether it came as far as was wanted.

    Args:
        session: The session, with the lesson following it.
        lesson: The lesson.
        until: How many steps are to be done; all of them when left out.
    """
    wanted = len(lesson.steps) if until is None else until
    pilot = LessonPilot(session, lesson)
    while lesson.number < wanted:
        before = lesson.number
        for _ in range(_TRIES):
            if lesson.number == before and not session.over:
                pilot.bring(lesson.steps[before].goal)
        if lesson.number == before:
            return False
    return True


class LessonPilot:
    """Brings about the conditions of goals."""

    def __init__(self, session: Session, lesson: Lesson) -> None:
        self._session = session
        self._lesson = lesson
        self._hands = PilotHands(session)
        self._hands.before_cuts = self._as_taught
        self._saw = session.saw
        self._by_job = False  # cuts are the job's to make
        self._carries = False  # the bar is to be carried forward by the shuttle
        self._from = 0  # the deeds before were done for an earlier goal

    def bring(self, goal: Goal) -> None:
        """Do what makes the conditions of a goal hold, one kind after the other."""
        self._from = len(self._session.done.all)
        self._hands.kept = frozenset(goal.setting or {})
        self._hands.let_go(goal.signal or {})
        self._wrong_hands(goal)
        self._by_job = "job" in (goal.state or {})
        front = (goal.measure or {}).get(_FRONT)
        self._carries = front is not None and not front.holds(MEASURES[_FRONT].read(self._saw))
        for kind, way in _WAYS:
            value = getattr(goal, kind)
            if value is not None and not self._session.over:
                way(self, value)

    def _as_taught(self) -> None:
        """Put back what was set by hand and is not as the lesson had it set, as its card says, or as it was found."""
        done = self._lesson.steps[: self._lesson.number]
        taught = {name: to for step in done for name, to in (step.goal.setting or {}).items()}
        touched = [act.name for act in self._session.done.of(Adjusted)]
        off = [name for name in dict.fromkeys(touched) if name not in self._hands.kept]
        if not off:
            return
        found, before = twin_of(self._session).saw, len(self._session.done.acts)
        for name in off:
            as_found = CARD if card_line(self._session, name) is not None else found.read(name)
            to = taught.get(name, as_found)
            if name not in taught and to_set(name).demand is Demand.LOCKED_OUT:
                continue  # that is a lock-out for what the lesson does not speak of
            if name == "job.wanted" and self._saw.controller.job.cut:
                continue  # what is cut counts for the lesson, whatever the job was set to
            if name != _KEY_OUT[0] and not set_as(self._session, name, to):
                if self._hands.state("job") in JOB_UNDER_WAY:
                    self._session.tap("job.stop")  # before it goes on so
                self._hands.settings({name: to})
        changed = len(self._session.done.acts) > before and not self._session.over
        if changed and self._hands.state("head") == "UP":
            self._session.hold("head.raise", _UP_AGAIN_S)  # it may stand a hair lower than its stop

    def _wrong_hands(self, goal: Goal) -> None:
        """Start with palm keys as it must not be done, where a goal wants it refused with them down.

        One that has been down all the time counts for nothing; two that go down afresh come too late.
        """
        action, wanted = goal.refused or "", goal.signal or {}
        held = [key for key in PALM_KEYS if wanted.get(BY_KEY[key].tag, False)]
        if not held or action not in ACTIONS or not ACTIONS[action].palms:
            return
        first, second = held[0], next(key for key in PALM_KEYS if key != held[0])
        if second in self._saw.held:
            self._session.release(second)
        self._session.tap(action)
        if first not in self._saw.held:
            self._session.press(first)
            self._session.advance(_TOO_LATE_S)
        self._session.press(second)

    def _lockout(self, wanted: str) -> None:
        """Take the lock-out to a step, to its end, or back."""
        session = self._session
        if wanted == OFF:
            do_all(session, giving_back(session))
        elif wanted in _ON_THE_WAY_BACK:
            session.lock_out(wanted)
        else:
            until = "verify" if wanted == VERIFIED else wanted
            do_all(session, locking_out(session, until=until))

    def _settings(self, wanted: Mapping[str, float | str | Limits]) -> None:
        after = _after_the_key(wanted)
        self._hands.settings({name: to for name, to in wanted.items() if name not in after})

    def _key_out(self, wanted: Mapping[str, float | str | Limits]) -> None:
        """Draw the key of the mode switch, where it is asked for, and then open the cover; no key moves anything from then on."""
        for name in _after_the_key(wanted):
            self._hands.settings({name: wanted[name]})

    def _backlash(self, wanted: str) -> None:
        """Wind the length stop to where it is, from below or from above, unless it came from there."""
        reading_mm = float(self._saw.read(LENGTH_STOP))
        if (wanted == "out") == (backlash_m(self._session) <= TRUE_M):
            return
        if wanted == "in":
            with careful(self._session, to_set(LENGTH_STOP)):
                self._session.set(LENGTH_STOP, reading_mm - RUN_PAST_MM)
                self._session.set(LENGTH_STOP, reading_mm)
        else:
            self._hands.wind(reading_mm)

    def _mode(self, wanted: str) -> None:
        self._hands.states({"mode": (wanted,)})

    def _speed(self, wanted: float | str | Limits) -> None:
        """Bring the variator to a speed with the band running, and leave it running."""
        off_m_s = self._speed_m_min(wanted) / MINUTE - self._saw.plant.band.dial.position
        if abs(off_m_s) * MINUTE < _SAME_M_MIN:
            return
        self._hands.states({"band": ("RUNNING",)})
        key = "band.faster" if off_m_s > 0 else "band.slower"
        self._session.press(key)
        self._session.advance(abs(off_m_s) / self._session.machine.variator_m_s2)
        self._session.release(key)

    def _speed_m_min(self, wanted: float | str | Limits) -> float:
        if isinstance(wanted, float):
            return wanted
        right = wanted if isinstance(wanted, Limits) else speed_range(self._session)
        line = card_line(self._session, SPEED)
        if line is not None and right.holds(float(line.setting)):
            return float(line.setting)
        return (right.low + right.high) / 2.0

    def _signals(self, wanted: Mapping[str, bool]) -> None:
        self._hands.signals(wanted)

    def _states(self, wanted: Mapping[str, tuple[str, ...]]) -> None:
        """Bring machines to states; a vise that opens for a bar to be carried opens when that is held."""
        carried = _CARRIED_OFF if self._carries else None
        self._hands.states({each: to for each, to in wanted.items() if (each, to) != carried})

    def _measures(self, wanted: Mapping[str, Limits]) -> None:
        """Move what is measured until it is within its range."""
        for name, right in wanted.items():
            if right.holds(MEASURES[name].read(self._saw)):
                continue
            if name == "bar.kerf_mm":
                self._saw_in(right)
            elif name == "band.off_flange_mm":
                jog(self._session)
            elif name == "band.unseen_mm":
                turn_once(self._session)
            elif name.startswith("head."):
                self._move_head(name, right)
            elif name.startswith("bar."):
                self._index(name, right)
            else:
                self._hands.states({name.partition(".")[0]: ("CLAMPED",)})

    def _move_head(self, name: str, right: Limits) -> None:
        read = MEASURES[name].read
        key = "head.lower" if read(self._saw) > right.high else "head.raise"
        low = -float("inf") if right.at_least is None else right.at_least + _INSIDE_MM
        high = float("inf") if right.at_most is None else right.at_most - _INSIDE_MM
        head = self._saw.plant.head

        def there() -> bool:
            rests = key == "head.lower" and head.rests and right.holds(read(self._saw))
            return rests or low <= read(self._saw) <= high

        self._hands.press(key, there, often=True, cuts=False)

    def _saw_in(self, right: Limits) -> None:
        """Begin a cut, and let the key go once the band is deep enough."""
        deep = MEASURES["bar.kerf_mm"].read
        self._hands.press(
            "head.lower", lambda: deep(self._saw) >= right.low + _INSIDE_MM, often=True
        )

    def _index(self, name: str, right: Limits) -> None:
        """Carry the bar forward from as far behind as it is to come, or from the length stop."""
        hands = self._hands
        if hands.state("shuttle_vise") != "CLAMPED" or hands.state("shuttle") == "FORWARD":
            hands.states({"shuttle_vise": ("RELEASED",)})
            back, here_mm = MEASURES["shuttle.back_mm"].read, MEASURES[name].read(self._saw)
            far_mm = right.low - here_mm + _INSIDE_MM if name == _FRONT else float("inf")
            stands = hands.state
            hands.press(
                "shuttle.back",
                lambda: back(self._saw) >= far_mm or stands("shuttle") == "BACK",
                often=True,
            )
            hands.states({"shuttle_vise": ("CLAMPED",)})
        hands.press("shuttle.forward", lambda: hands.state("shuttle") == "FORWARD")

    def _cuts(self, wanted: int) -> None:
        """Make so many parting cuts: by the job while it runs, else with the hand on the key."""
        made = self._saw.cuts
        if self._by_job or self._hands.state("job") in ("EXECUTE", "HOLDING"):
            self._hands.run(lambda: len(made) >= wanted)
        while len(made) < wanted and not self._session.over:
            one_more = len(made) + 1
            self._hands.press("head.lower", lambda: len(made) >= one_more)  # noqa: B023 - at once
            if len(made) < one_more:
                return

    def _pieces(self, wanted: int) -> None:
        self._hands.run(lambda: self._session.tally.pieces >= wanted)

    def _measured(self, wanted: int) -> None:
        """Measure the last pieces, one after the other, with a tool that proves them good."""
        measuring = self._session.measuring
        self._found_with(measuring.fit_tool(), lambda: measuring.good >= wanted, wanted)

    def _square_faces(self, wanted: int) -> None:
        """Put the finest tool to the last faces, one after the other: a coarser one may decide nothing on them."""
        measuring = self._session.measuring
        finest = min((tool for tool in TOOLS if tool.squareness), key=lambda tool: tool.expanded_m)
        self._found_with(finest, lambda: measuring.square_faces(wanted) >= wanted, wanted, wanted)

    def _found_with(
        self, tool: Tool | None, enough: Callable[[], bool], wanted: int, among: int | None = None
    ) -> None:
        """Have so many found good with a tool, among so many that fell last; among all for None."""
        row = inspections.find(tool.name) if tool is not None else None
        if row is None:
            return
        if len(self._session.measuring.own) < wanted:
            self._pieces(wanted)
        self._measure_with(row, enough, among)
        if not enough() and not self._session.over:
            self._one_more()
            self._measure_with(row, enough, among)

    def _measure_with(self, row: Inspection, enough: Callable[[], bool], among: int | None) -> None:
        there = len(self._session.measuring.pieces)
        with careful(self._session, to_look(row)):
            for piece in range(there, max(there - (among or there), 0), -1):
                if not enough() and not self._session.over:
                    self._session.inspect(f"{row.name} {piece}")

    def _one_more(self) -> None:
        """Have one more piece cut by the job, set up as the card says: none so far is good."""
        pieces = self._session.tally.pieces
        job = self._hands.state("job")
        if job in ("COMPLETE", "STOPPED", "ABORTED", "IDLE", "HELD"):
            autopilot.set_up(self._session)
        self._hands.run(lambda: self._session.tally.pieces > pieces)
        if self._hands.state("job") == "EXECUTE":
            self._hands.states({"job": ("HELD",)})
            self._hands.run(lambda: self._hands.state("job") == "HELD")

    def _taken(self, action: str) -> None:
        if not any(action in deed.accepted for deed in self._session.done.all[self._from :]):
            self._hands.press(action, lambda: True)

    def _refused(self, action: str) -> None:
        """Press a key as it must not be pressed: without the palm keys, if it wants them."""
        if not any(action in deed.refused for deed in self._session.done.all[self._from :]):
            self._session.tap(action)

    def _loaded(self, _wanted: str) -> None:
        """Have a fresh bar laid in with both vises back, the way that its mass allows."""
        session, stock = self._session, self._session.stock
        if session.saw.plant.bar.stock is stock:
            return
        self._hands.states({"shuttle_vise": ("RELEASED",), "cutting_vise": ("RELEASED",)})
        how = CRANE if too_much(ALONE, stock.mass_kg, stock.length_m) else ALONE
        with careful(session, to_load(how, stock.mass_kg)):
            if not session.over:
                session.load_bar(how)

    def _inspected(self, name: str) -> None:
        """Look, under lock-out where hands go in."""
        row = inspections.find(name)
        if row is None:
            return
        reach = to_look(row)
        if locked_out_to_look(row):
            do_all(self._session, locking_out(self._session, work=reach))
        with careful(self._session, reach):
            self._session.inspect(name)


def _after_the_key(wanted: Mapping[str, float | str | Limits]) -> tuple[str, ...]:
    """Return what is set when the saw stands ready: the key drawn, then the cover opened; empty where no key is drawn."""
    if wanted.get(_KEY_OUT[0]) != _KEY_OUT[1]:
        return ()
    return (_KEY_OUT[0], *(("band.wheel_cover",) if wanted.get("band.wheel_cover") == OPEN else ()))


_WAYS: Final[tuple[tuple[str, Callable[[LessonPilot, Any], None]], ...]] = (
    ("lockout", LessonPilot._lockout),
    ("loaded", LessonPilot._loaded),
    ("setting", LessonPilot._settings),
    ("backlash", LessonPilot._backlash),
    ("mode", LessonPilot._mode),
    ("signal", LessonPilot._signals),
    ("speed_m_min", LessonPilot._speed),
    ("cuts", LessonPilot._cuts),
    ("pieces", LessonPilot._pieces),
    ("signal", LessonPilot._signals),  # again, for what the cut has changed
    ("state", LessonPilot._states),
    ("measure", LessonPilot._measures),
    ("taken", LessonPilot._taken),
    ("refused", LessonPilot._refused),
    ("setting", LessonPilot._key_out),
    ("inspected", LessonPilot._inspected),
    ("measured", LessonPilot._measured),
    ("square_faces", LessonPilot._square_faces),
)
