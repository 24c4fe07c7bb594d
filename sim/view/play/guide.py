"""What a step of a lesson lights: the sheet and the widgets where its next act is done.

It is worked out when something has happened, a little of it each frame, and never in a drill or an assessment.

Never here: how a light is drawn, and which part of the saw the act moves.
"""

from collections.abc import Hashable, Iterator
from dataclasses import dataclass
from typing import Final

from sim.control.dials import BY_NAME as DIALS
from sim.debrief.next_act import NextAct
from sim.kernel.pacing import wall_s
from sim.plant.hood import HOOD_SHUT
from sim.plant.mode_key import IN_POCKET, IN_SWITCH
from sim.records.acts import Act, Adjusted, BarLoaded, Inspected, LockoutTaken, Pressed, Released
from sim.session.lessons.lesson import Lesson
from sim.session.lockout import HOOD
from sim.session.session import PALM_KEYS, Session
from sim.trade.handling import CRANE
from sim.view.play.gathered import Gathered
from sim.view.play.hands import ENABLE, LATCHES

_SLICE_S: Final = 0.002  # of a frame, for catching up
_ISOLATOR: Final = "supply.isolator"
_LET_GO: Final = LATCHES | {
    *PALM_KEYS,
    ENABLE,
}  # what is let go or turned back as an act of its own
SET_IN_LOCK_OUT: Final = {
    "infeed.bar_chock": "in", "mode.key": IN_POCKET, "band.wheel_cover": "open", "supply.air_cock": "shut",
    "head.oil_relief": "open", "cutting_vise.oil_relief": "open", "shuttle_vise.oil_relief": "open",
}  # fmt: skip
"""What the sheet of the lock-out sets, and to what: it can be set on the walk round as well."""
KEY_FOR_THE_TRY: Final = "key-in"  # the step of that sheet that puts the mode key in again
STARTS_FREE: Final = "starts-free"  # the step that puts back what else keeps the starts away


@dataclass(frozen=True, slots=True)
class Light:
    """What is lit.

    Attributes:
        act: The next one.
        sheet: Where it is done.
        names: The widgets that do it, on this sheet or on another.
    """

    act: Act
    sheet: str
    names: tuple[str, ...]


class StepGuide:
    """Finds what is lit while a lesson goes on.

    Args:
        session: That of the lesson.
        lesson: Its steps.
        gathered: The numbers that are turned and not set yet.
    """

    def __init__(self, session: Session, lesson: Lesson | None, gathered: Gathered) -> None:
        self._session, self._lesson, self._gathered = session, lesson, gathered
        self._next: NextAct | None = None
        self._known: Hashable = None  # what the present light was worked out from
        self._act: Act | None = None

    def tick(self) -> None:
        """Work on the next light, for no longer than a frame has time for it."""
        lesson, session = self._lesson, self._session
        if lesson is None or session.scenario.mode != "lesson" or session.over or session.frozen:
            self._act = None
            return
        face = self._face(lesson)
        if face != self._known and _is_done(self._act, session):
            self._act = None
        if self._next is None:
            self._next = NextAct(session)
        began_s = wall_s()
        there = self._next.look(lambda: wall_s() - began_s > _SLICE_S)
        if there and face != self._known:
            self._known = face
            self._act = self._next.act()

    def _face(self, lesson: Lesson) -> Hashable:
        session = self._session
        image = session.saw.controller.image
        return (
            lesson.number, len(session.done.acts), len(session.heard.events), session.under_way is None,
            tuple(image.values()),
        )  # fmt: skip

    def settle(self) -> None:
        """Work the light out to its end, however long it takes: for a picture that stands alone."""
        lesson = self._lesson
        if lesson is not None:
            self._next = self._next or NextAct(self._session)
            self._next.look()
            self.tick()

    @property
    def light(self) -> Light | None:
        """What is lit now; None for nothing."""
        act, session = self._act, self._session
        if act is None or session.over or session.frozen or session.under_way is not None:
            return None
        light = light_of(act, session)
        if light and isinstance(act, Adjusted) and self._gathered.get(act.name) == act.setting:
            return Light(act, light.sheet, ("hands.do",))
        return light


def light_of(act: Act | None, session: Session) -> Light | None:
    """Return what is lit for an act; None where nothing in the window does it."""
    if act is None:
        return None
    sheet, names = _where(act, session)
    return Light(act, sheet, names) if names else None


def _is_done(act: Act | None, session: Session) -> bool:
    """Return whether the last thing that was done is what is lit."""
    acts = session.done.acts
    if act is None or not len(acts):
        return False
    last = acts[len(acts) - 1]
    match act, last:
        case Pressed(keys=asked), Pressed(keys=done):
            return asked[0] in done
        case Released(keys=asked), Released(keys=done):
            return bool(set(asked) & set(done))
        case _:
            return type(act) is type(last) and _name(act) == _name(last)


def _name(act: Act) -> str:
    match act:
        case Adjusted(name=name) | Inspected(name=name):
            return name
        case LockoutTaken(step=step):
            return step
        case _:
            return ""


def _where(act: Act, session: Session) -> tuple[str, tuple[str, ...]]:
    """Return the sheet where an act is done, and the widgets that do it there or on another."""
    match act:
        case Pressed(keys=keys) | Released(keys=keys):
            return "console", tuple(_keys(act, keys, session))
        case Adjusted(name=name) if name in DIALS:
            return "console", (f"{name}.value",)
        case Adjusted(name=name, setting=setting):
            too = (f"lockout.{name}",) if SET_IN_LOCK_OUT.get(name) == setting else ()
            if (name, setting) == ("mode.key", IN_SWITCH) and session.lockout.locked:
                too = (f"lockout.{KEY_FOR_THE_TRY}",)
            if (name, setting) == (HOOD, HOOD_SHUT) and session.lockout.locked:
                too = (f"lockout.{STARTS_FREE}",)
            number = isinstance(setting, float | int)
            return "walk", (f"walk.{name}.{'value' if number else setting}", *too)
        case Inspected(name=name):
            return "inspect", (f"inspect.{name.split()[0]}",)
        case LockoutTaken(step=step):
            return "lockout", (f"lockout.{step}",)
        case BarLoaded(how=how):
            return "walk", ("walk.load" if how == CRANE else f"walk.load.{how}",)
        case _:
            return "", ()


def _keys(act: Act, keys: tuple[str, ...], session: Session) -> Iterator[str]:
    """Yield the keys that are to be pressed or let go now: of a two-hand start first the key, then the palm keys."""
    palms = [key for key in keys if key in PALM_KEYS]
    others = [key for key in keys if key not in PALM_KEYS]
    if isinstance(act, Pressed) and palms and session.saw.controller.asked:
        others = palms
    for key in others or palms:
        if (
            isinstance(act, Released) and key not in _LET_GO
        ):  # it comes up as the hand goes to the next
            continue
        yield f"key.{key}"
        if key == _ISOLATOR and isinstance(act, Released):
            yield "lockout.isolate"
