"""The coach: one message after an act, what just happened and why, and what to do instead.

It speaks in lessons and in practice and is silent in drills and assessments. It looks at what has
come to pass since it last spoke: harm, refusals with the hazard that the interlock is there for,
slips of the set-up, reasons, what the control did by itself, pieces. The weightiest is said. It
never looks at what a scenario hides; with something hidden it judges nothing that was not touched.

Never here: what the modes mean (see `advice`), what is a slip (see `slips`), and what an action sets
going (see `set_going`).
"""

from collections.abc import Callable, Iterator
from typing import Final

from sim.control.rules_of_use import WANTS_PALMS
from sim.logic.bench.force import REAL_SAW
from sim.plant.harm.consequences import Severity
from sim.plant.padlocks import ISOLATOR
from sim.plant.vise import JAW_GAPS
from sim.records.acts import ActKind, Adjusted, BarLoaded, Forced, Inspected, Jumpered, LockoutTaken
from sim.scenario.steps import MEASURED
from sim.session import inspections, lockout
from sim.session.hands.cautions import before_key, what_holds
from sim.session.hands.table import SETS
from sim.session.kept import told
from sim.session.kept.deeds import Deed
from sim.session.kept.heard import EventKind
from sim.session.lessons.goals import (
    LENGTH_STOP,
    MITRE,
    TRUE_M,
    as_card,
    asks_for,
    backlash_m,
    card_line,
    speed_range_there,
    wanted_off_card,
)
from sim.session.lessons.lesson import lesson_of
from sim.session.measuring import SizeRead
from sim.session.session import Session
from sim.session.why import LOCKED_OFF, wants_power
from sim.teaching import advice, remarks, slips
from sim.teaching.forewarning import DRY, counted_before, long_in_air, would_be_dry
from sim.teaching.from_control import followed, why_only, why_refused, why_stopped
from sim.teaching.set_going import Before, sets_going
from sim.teaching.slips.keys import finger_room
from sim.trade.measuring import Ruling
from sim.units import MINUTE, MM
from sim.words.message import NOTHING, Message, sentences

SPEAKS_IN: Final = ("lesson", "practice")
_WEIGHT: Final = (Severity.STOP, Severity.DAMAGE, Severity.WARNING)
_GOING_BACK: Final = tuple(step.name for step in (*lockout.BACK, *lockout.ASKING))
_SPEED_KEYS: Final = ("band.faster", "band.slower")
_OF_EXPOSED: Final = {
    told.IN_REACH.key: remarks.EXPOSED, told.STARTABLE.key: remarks.STARTABLE,
    told.NOT_AT_REST.key: remarks.NOT_AT_REST, told.MOVED.key: remarks.MOVED,
}  # fmt: skip
"""By the key of what was told of hands, where nothing hit them: what the coach says of it."""
_OF_DANGER: Final = {
    told.UNQUALIFIED.key: remarks.UNQUALIFIED, told.NOT_PROVED.key: remarks.NOT_PROVED,
    told.NOT_TOLD.key: remarks.NOT_TOLD,
}  # fmt: skip
"""By the key of what was told of hands; of others the coach speaks of the lock-out."""
_AT_HAND: Final = {"B51": "band.tension_mpa", "B54": "band.tension_mpa"}
"""What a hand sets to satisfy a device that blocks an action."""
_BY_ORDER: Final = (MITRE, "job.wanted", "job.strokes")
"""What the slips hold against the order, where a lesson may want something else for a while."""
_BEGINS: Final = ("job.start", "job.unhold")


class Coach:
    """Follows one session and says, after each act, what is worth saying of it."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._lesson = lesson_of(session)
        self._judged = self._steps = 0
        self._slips: dict[str, Message] = {}  # each thing that was touched, and its slip
        self._note()
        if self.speaks:
            session.follow(self)

    @property
    def speaks(self) -> bool:
        """Whether there is a coach in this mode at all."""
        scenario = self._session.scenario
        return scenario.mode in SPEAKS_IN and scenario.findings is None  # he would find them all

    def remark(self) -> Message:
        """Return what is to be said of what has come to pass since the last call, or nothing."""
        if not self.speaks:
            return NOTHING
        said = next((message for judge in _JUDGES for message in judge(self)), NOTHING)
        self._note()
        return said

    def _note(self) -> None:
        """Remember how things stand, for the next remark."""
        session = self._session
        self._deeds, self._events = len(session.done.all), len(session.heard.events)
        self._harm = len(session.saw.consequences)
        self._image = dict(session.saw.controller.image)
        self._before = Before(session)
        self._asked_from = self._steps_done
        self._judged, self._steps = self._deeds, self._steps_done
        self._slips = {}

    def update(self) -> None:
        """Judge what has just been done, as long as the machine still stands as it was done."""
        for deed in self._session.done.all[self._judged :]:
            for at, said in self._slips_of(deed):
                self._slips.pop(at, None)  # what is put right in the same breath is no slip
                if said:
                    self._slips[at] = said
        self._judged, self._steps = len(self._session.done.all), self._steps_done

    @property
    def _steps_done(self) -> int:
        return self._lesson.number if self._lesson is not None else 0

    # What is new --------------------------------------------------------------------------

    @property
    def _new(self) -> list[Deed]:
        return self._session.done.all[self._deeds :]

    def _told(self, kind: EventKind) -> Iterator[Message]:
        new = self._session.heard.events[self._events :]
        return (event.message for event in new if event.kind is kind)

    def _slips_of(self, deed: Deed) -> Iterator[tuple[str, Message]]:
        """Yield each thing that the deed touched, with its slip, or with nothing where it will do."""
        if self._steps_done != self._steps:
            return  # what a lesson asks for is no slip
        session = self._session
        for name in self._looked_at(deed):
            wanted = self._asked_for(name) or self._vents(name)
            otherwise = self._wanted_otherwise(name) if name in _BY_ORDER else NOTHING
            said = NOTHING if wanted else otherwise or _said(slips.slip(session, name))
            yield name, self._safely(name, said)
        for key in deed.keys if deed.kind is ActKind.PRESS else ():
            if key in slips.KEY_SLIPS:
                yield key, _said(slips.KEY_SLIPS[key](session.saw))
        if "job.reset" in deed.accepted and not session.hidden:  # the last word before its start
            room = (finger_room(session.saw, vise) for vise in self._jaws_left)
            off = filter(None, (*room, long_in_air(session)))
            yield "reset", next((remarks.BEFORE(slip=slip) for slip in off), NOTHING)
        begins = deed.accepted.intersection(_BEGINS)
        if (
            begins and session.unsound and not session.lies_other
        ):  # what else is amiss comes after it
            yield "begin", session.unsound
            return
        counted = counted_before(session) if "job.start" in deed.accepted else NOTHING
        dry = DRY if begins and would_be_dry(session) else NOTHING
        first = tuple(filter(None, (dry, counted)))
        found = slips.standing(session, self._yet_to_set) if begins and not session.hidden else None
        if found is not None:
            name, slip = found
            said = self._safely(name, remarks.BEFORE(slip=slip))
            yield "begin", sentences(*(remarks.BEFORE(slip=each) for each in first), said)
        elif first:
            yield "begin", sentences(*(remarks.BEFORE(slip=each) for each in first))

    @property
    def _yet_to_set(self) -> frozenset[str]:
        """The set points that this step of the lesson or a later one has set: it lets them be found out."""
        lesson = self._lesson
        left = lesson.steps[lesson.number :] if lesson is not None else ()
        return frozenset(name for step in left for name in step.goal.setting or {})

    @property
    def _jaws_left(self) -> tuple[str, ...]:
        """The vises whose jaw gap no step of a lesson has set yet to come."""
        return tuple(vise for vise, gap in JAW_GAPS.items() if gap not in self._yet_to_set)

    def _vents(self, name: str) -> bool:
        """Return whether the air is let out for a lock-out, whatever the card says of its cock."""
        return name == "supply.air_cock" and self._session.lockout.begun

    def _safely(self, name: str, said: Message) -> Message:
        """Return what is said of a set point, with what must hold before hands go back to it and does not."""
        reach = SETS.get(name)
        if not said or reach is None or self._session.hands.safe(reach):
            return said
        return sentences(said, *what_holds(reach))

    def _looked_at(self, deed: Deed) -> tuple[str, ...]:
        if isinstance(deed.act, BarLoaded):  # it can leave room for a finger between jaw and bar
            laid = deed.answer is not None and deed.answer.taken and not self._session.hidden
            return tuple(JAW_GAPS.values()) if laid else ()
        if isinstance(deed.act, Adjusted):
            return (deed.act.name,)
        if isinstance(deed.act, Inspected) and not self._session.hidden:
            look = inspections.find(deed.act.name)
            return look.shows if look is not None else ()
        return ()

    def _asked_for(self, name: str) -> bool:
        """Whether the lesson wants a set point as it stands now."""
        step = self._lesson.step if self._lesson is not None else None
        if step is None:
            return False
        measured = (step.goal.setting or {}).get(name) == MEASURED  # the card is not to tell it
        return measured or asks_for(self._session, step.goal, name)

    def _wanted_otherwise(self, name: str) -> Message:
        """Return what the lesson wants of a set point that the card, or the order, has at something else."""
        step = self._lesson.step if self._lesson is not None else None
        line = card_line(self._session, name)
        return wanted_off_card(self._session, step.goal, name) if step and line else NOTHING

    # Judges, each yielding what it has to say ---------------------------------------------

    def _of_harm(self) -> Iterator[Message]:
        new = self._session.saw.consequences[self._harm :]
        for severity in _WEIGHT:
            for harm in new:
                if harm.row.severity is severity:
                    yield remarks.HARM(title=harm.row.title, instead=harm.row.instead)

    def _of_danger(self) -> Iterator[Message]:
        for message in self._told(EventKind.UNSAFE):
            exposed = _OF_EXPOSED.get(message.row.key)
            if exposed is not None:
                yield exposed(where=message["where"])
            else:
                yield _OF_DANGER.get(message.row.key, remarks.UNSAFE)

    def _of_refusal(self) -> Iterator[Message]:
        asked = [action for deed in self._new for action in deed.accepted | deed.refused]
        for deed in self._new:
            final = {decision.action: decision for decision in deed.decisions}
            for action, decision in final.items():
                asked.remove(action)
                waited = decision.refusals == (WANTS_PALMS,) and action in asked
                if action in deed.refused and not waited:  # what came of the palm keys is told
                    if self._isolator_locked and wants_power(decision.refusals[:1]):
                        yield LOCKED_OFF
                        continue
                    wanted = action in self._to_be_refused
                    said = (why_only if wanted else why_refused)(decision)
                    palms = decision.refusals == (WANTS_PALMS,) and not wanted
                    at_hand = _AT_HAND.get(decision.refusals[0].device, "") if not wanted else ""
                    yield sentences(
                        self._safely(at_hand, said), *(before_key(action) if palms else ())
                    )
            if deed.answer is not None and not deed.answer.taken:
                yield deed.answer.message

    @property
    def _isolator_locked(self) -> bool:
        return self._session.saw.plant.padlocks.on(ISOLATOR)

    @property
    def _to_be_refused(self) -> set[object]:
        """The actions that the lesson has had refused on purpose since the last remark, or will now.

        What would satisfy them is no advice: the lesson itself says what to do next.
        """
        if self._lesson is None:
            return set()
        asked = self._lesson.steps[self._asked_from : self._steps_done + 1]
        return {step.goal.refused for step in asked}

    def _of_slip(self) -> Iterator[Message]:
        yield from reversed(self._slips.values())

    def _of_reason(self) -> Iterator[Message]:
        for message in self._told(EventKind.REASON):
            if said := why_stopped(message["reason"]):
                yield sentences(said, self._head_without_power())

    def _of_reaction(self) -> Iterator[Message]:
        image = self._session.saw.controller.image
        if self._image["job"] != "COMPLETE" == image["job"] and image["band"] == "RUNNING":
            yield remarks.RUNS_ON
        for said in followed(self._image, image):
            yield sentences(said, self._head_without_power())

    def _head_without_power(self) -> Message:
        """Return what the head of this saw does when control power has just gone; nothing when it has not."""
        now = self._session.saw.controller.image["supply"]
        if self._image["supply"] != "ON" or now == "ON" or self._session.saw.plant.head.rests:
            return NOTHING
        return remarks.HEAD_SINKS if self._session.machine.head_sinks else remarks.HEAD_HOLDS

    def _of_piece(self) -> Iterator[Message]:
        """Judge what was measured; how long a piece is, nobody is told before that."""
        session = self._session
        for deed in reversed(self._new):
            if not isinstance(deed.act, Inspected) or deed.answer is None or not deed.answer.taken:
                continue
            read = [r for r in session.measuring.readings if r.at_us == deed.done_us]
            for reading in read:
                if not reading.tool.squareness:
                    yield _of_length(reading, reading.limit_m)

    def _of_act(self) -> Iterator[Message]:
        for deed in reversed(self._new):
            for action in sorted(deed.accepted):
                yield sets_going(self._session, action, self._before)
            if isinstance(deed.act, Adjusted):
                yield from self._of_setting(deed.act.name)
            elif isinstance(deed.act, LockoutTaken):
                yield from self._of_lockout(deed.act.step)
            elif isinstance(deed.act, Forced | Jumpered):
                yield REAL_SAW
            elif isinstance(deed.act, Inspected):
                yield self._of_look(deed.act.name)
            else:
                yield from self._of_keys(deed)

    def _of_keys(self, deed: Deed) -> Iterator[Message]:
        for key in deed.keys:
            modes = advice.of_mode(self._session.saw.controller.rows)
            if deed.kind is ActKind.PRESS and key in modes:
                yield sentences(modes[key], self._session.bench.banner)
            if deed.kind is ActKind.RELEASE and key in _SPEED_KEYS:
                dial_m_s = self._session.saw.plant.band.dial.position
                right = speed_range_there(self._session)
                said = remarks.DIAL_SLOW if dial_m_s * MINUTE < right.low else remarks.DIAL_FAST
                if right.holds(dial_m_s * MINUTE):
                    said = remarks.DIAL_RIGHT
                yield said(
                    dial=dial_m_s,
                    metal=self._session.lying.material.name,
                    low=right.low / MINUTE,
                    high=right.high / MINUTE,
                )

    def _of_lockout(self, step: str) -> Iterator[Message]:
        here = self._session.lockout
        source = lockout.BY_NAME[step].source
        if not here.begun:
            ended = step in ("tell-restored", "unlock-air", "unlock-isolator")
            yield remarks.TAKEN_BACK(source=source) if ended else remarks.NONE_UNDER_WAY
        elif step in _GOING_BACK:
            yield remarks.GOING_BACK(source=source)
        elif here.proved_dead:
            yield remarks.PROVED_DEAD(source=source)
        elif here.verified:
            yield sentences(remarks.LOCKED_OUT(source=source), here.spring)
        else:
            yield remarks.WANTING(source=source, what=here.wanting_to_verify or lockout.VERIFY_IT)

    def _of_look(self, name: str) -> Message:
        """Return what the step that asks for a look still wants besides it, or nothing."""
        lesson = self._lesson
        asked = lesson is not None and lesson.step is not None and lesson.step.goal.inspected
        look = inspections.find(asked) if asked else None
        if lesson is None or look is None or look.name != name:
            return NOTHING
        wanting = lesson.wanting()
        return remarks.LOOK_WANTS(wanting=sentences(*wanting)) if wanting else NOTHING

    def _of_setting(self, name: str) -> Iterator[Message]:
        line = card_line(self._session, name)
        here = self._session.saw.read(name)
        if line is None:
            return
        right = as_card(line, here)
        if otherwise := self._wanted_otherwise(name):
            yield otherwise
            return
        play_m = backlash_m(self._session) if name == LENGTH_STOP else 0.0
        if right and play_m > TRUE_M:
            yield remarks.WOUND_UP(short=play_m)
        elif right:
            yield remarks.AS_CARD(why=line.why)
        elif not (self._asked_for(name) or self._vents(name)) and not any(
            self._told(EventKind.STEP)
        ):
            yield remarks.CARD(setting=line.setting, why=line.why)


def _of_length(reading: SizeRead, tolerance_m: float) -> Message:
    number, sure_m = reading.piece, reading.tool.expanded_m
    off_m = round(reading.off_m / MM, 2) * MM + 0.0  # no minus zero
    if reading.verdict is Ruling.SHORT:
        return remarks.SHORT(number=number, off=off_m, tolerance=tolerance_m)
    if reading.verdict is Ruling.LONG:
        return remarks.LONG(number=number, off=off_m, tolerance=tolerance_m)
    if reading.wrong_angle_only:
        return remarks.WRONG_ANGLE(number=number, off=off_m)
    if not reading.proves:
        return remarks.COARSE(number=number, off=off_m, tolerance=tolerance_m, sure=sure_m)
    if reading.verdict is Ruling.OPEN:
        return remarks.OPEN(number=number, off=off_m, sure=sure_m)
    return remarks.GOOD(number=number, off=off_m, tolerance=tolerance_m)


_JUDGES: Final[tuple[Callable[[Coach], Iterator[Message]], ...]] = (
    Coach._of_harm,
    Coach._of_danger,
    Coach._of_refusal,
    Coach._of_slip,
    Coach._of_reason,
    Coach._of_piece,
    Coach._of_reaction,
    Coach._of_act,
)


def _said(slip: Message) -> Message:
    """Return a slip as a sentence, or nothing."""
    return remarks.SLIP(slip=slip) if slip else NOTHING
