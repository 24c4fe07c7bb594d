"""The mimic: a line drawing of the saw in plan, with each key, state and reading where its part is."""

from typing import Final

from pygame import Rect

from sim.session.session import Session
from sim.session.sights.known import hides
from sim.view.console import mimic_plan
from sim.view.console.dials import cut, dial, ordered
from sim.view.console.gauges import gauge, gauge_for, reading
from sim.view.console.keys import cap_key, emergency_key
from sim.view.console.machine_state import machine_state
from sim.view.console.mimic_lines import paint_lines
from sim.view.console.mimic_plan import Lay, Place
from sim.view.console.mimic_strip import strip
from sim.view.kit.controls import text
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.widget import Mood, Widget
from sim.view.play.console_rows import CAPS, TITLES
from sim.view.play.gathered import Gathered
from sim.view.play.hands import Hands
from sim.words.speech import say, tell

_WITH_SCALE: Final = ("head", "coolant")
_PRESSED: Final = ("cutting_vise", "shuttle_vise")  # whose gauge shows its clamping pressure


def mimic(kit: Kit, at: Lay, session: Session, hands: Hands, gathered: Gathered) -> Widget:
    """Return a stretch of the mimic as it is laid."""
    children: list[Widget] = [
        *_keys(kit, at, session, hands), *_states(kit, at, session), *_readings(kit, at, session),
    ]  # fmt: skip
    if at.holds(mimic_plan.STROKES):
        place = at.rect(mimic_plan.STROKES)
        children.append(dial(kit, place, "job.strokes", say("strokes"), session, gathered))
    if at.holds(mimic_plan.WANTED):
        place = at.rect(mimic_plan.WANTED)
        children.append(dial(kit, place, "job.wanted", say("wanted"), session, gathered))
        children.append(cut(at.rect(mimic_plan.CUT), session))
        children.append(ordered(at.rect(mimic_plan.LENGTH), session))
    moving = strip(at, session)
    moving.name = f"mimic.strip.{at.low:g}"
    children.append(moving)

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        paint_lines(pen, at.at_top(place.top))

    return Widget(f"mimic.{at.low:g}", at.area, paint, children=children)


def _keys(kit: Kit, at: Lay, session: Session, hands: Hands) -> list[Widget]:
    keys: list[Widget] = []
    for key, place in mimic_plan.KEYS.items():
        if not at.holds(place):
            continue
        cap, rect = CAPS[key], at.rect(place)
        if cap.style == "emergency":
            keys.append(emergency_key(kit, cap, rect, hands))
        else:
            keys.append(cap_key(kit, cap, rect, session, hands))
    return keys


def _states(kit: Kit, at: Lay, session: Session) -> list[Widget]:
    shown = [
        machine_state(name, at.rect(place), session, None if name == "supply" else TITLES[name])
        for name, place in mimic_plan.STATES.items()
        if at.holds(place)
    ]
    if at.holds(mimic_plan.CUTTING_TITLE):
        words = tell(TITLES["cutting_vise"])
        shown.append(
            text("cutting_vise.title", at.rect(mimic_plan.CUTTING_TITLE), words, role="fine",
                 bold=True)
        )  # fmt: skip
        upper, _ = _halves(at.rect(mimic_plan.CUTTING_STATE))
        shown.append(machine_state("cutting_vise", upper, session))
    return shown


def _readings(kit: Kit, at: Lay, session: Session) -> list[Widget]:
    shown: list[Widget] = []
    places: dict[str, Place] = {**mimic_plan.GAUGES, "cutting_vise": mimic_plan.CUTTING_STATE}
    for name, place in places.items():
        row = gauge_for(name)
        if row is None or not at.holds(place):
            continue
        rect = at.rect(place)
        if name == "cutting_vise":
            rect = _halves(rect)[1]
        if name in _WITH_SCALE:
            shown.append(gauge(kit, row, rect, session))
        else:
            by_dial = name == "band" and hides(session)  # what it really runs at takes a tachometer
            word = say("dial") if by_dial else say("pressure") if name in _PRESSED else ""
            shown.append(reading(kit, row, rect, session, word, bare=by_dial))
    if at.holds(mimic_plan.HEIGHT):
        rect = at.rect(mimic_plan.HEIGHT)
        shown.append(
            text("head.height", rect, say("height"), role="fine", soft=True, align="right")
        )
    return shown


def _halves(rect: Rect) -> tuple[Rect, Rect]:
    high = rect.height // 2
    return (
        Rect(rect.left, rect.top, rect.width, high),
        Rect(rect.left, rect.top + high, rect.width, rect.height - high),
    )
