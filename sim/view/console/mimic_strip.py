"""The middle of the mimic, where everything moves: bar, shuttle with its jaws, cutting vise, band.

Like any mimic it shows what the switches and scales tell the control, not what lies on the saw; without
voltage it shows nothing.
"""

from collections.abc import Hashable
from typing import Final

from pygame import Rect

from sim.control.cycle import MOVING
from sim.session.session import Session
from sim.session.sights.controller_words import console_lit, shown_state
from sim.session.sights.known import hides
from sim.session.sights.machine_words import shuttle_by_eye_m
from sim.view.console.mimic_plan import BACK_X, BAND_X, CARRIAGE, FORWARD_X, JAW_X, Lay
from sim.view.kit.palette import Colour
from sim.view.kit.pen import Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Mood, Widget
from sim.words.speech import say

_MACHINES: Final = ("cutting_vise", "shuttle_vise", "shuttle", "head", "band", "coolant")
_EMS_PER_M: Final = 17.0  # beyond the cutting vise
_MOTION: Final = {
    ("shuttle", "GOING_BACK"): "left", ("shuttle", "GOING_FORWARD"): "right",
    ("head", "RAISING"): "up", ("head", "LOWERING"): "down",
}  # fmt: skip


def strip(at: Lay, session: Session) -> Widget:
    """Return the strip over the whole stretch."""
    top, high = at.tops["strip"]
    rect = Rect(at.area.left + 2, top, at.area.width - 4, high)
    image = session.saw.controller.image

    def face() -> Hashable:
        bar = session.saw.plant.bar
        if not console_lit(session):
            return None
        return (
            *(shown_state(image, name) for name in _MACHINES), image["B53"], _carriage_x(at, session),
            at.x(_along(session, bar.front_m)), at.x(_along(session, bar.rear_m)),
        )  # fmt: skip

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        if not console_lit(session):
            return
        half = pen.px(0.33)
        body = Rect(place.left, place.centery - half, place.width, 2 * half)
        _bar(pen, at, session, body)
        if at.low < FORWARD_X:
            _jaws(pen, _carriage(at, session), body, shown_state(image, "shuttle_vise"))
            _arrow(pen, _carriage(at, session), body, "shuttle", session)
            cutting = at.x(JAW_X[0]), at.x(JAW_X[1])
            _jaws(pen, cutting, body, shown_state(image, "cutting_vise"))
        if at.high > BAND_X:
            _band(pen, at, place, body, session)

    return Widget("mimic.strip", rect, paint, face, label=say("the saw from above"))


def _along(session: Session, x_m: float) -> float:
    """Return where a place along the bar is drawn; the way to the cutting vise is drawn longer."""
    near_m = session.machine.jaw_front_m
    if x_m >= 0.0:
        return BAND_X + x_m * _EMS_PER_M
    beyond = max(-x_m - near_m, 0.0) / session.machine.stroke_m
    near = min(-x_m / near_m, 1.0) * (BAND_X - FORWARD_X)
    return BAND_X - near - beyond * (FORWARD_X - CARRIAGE - BACK_X)


def _carriage_x(at: Lay, session: Session) -> int:
    here_m = session.saw.plant.shuttle.place.position
    share = (shuttle_by_eye_m(session) if hides(session) else here_m) / session.machine.stroke_m
    return at.x(FORWARD_X - CARRIAGE - share * (FORWARD_X - CARRIAGE - BACK_X))


def _carriage(at: Lay, session: Session) -> tuple[int, int]:
    left = _carriage_x(at, session)
    return left, left + at.x(CARRIAGE) - at.x(0.0)


def _bar(pen: Pen, at: Lay, session: Session, body: Rect) -> None:
    bar, palette = session.saw.plant.bar, pen.palette
    if bar.length_m <= 0.0:
        return
    left = max(at.x(max(_along(session, bar.rear_m), at.low)), body.left)
    right = min(at.x(min(_along(session, bar.front_m), at.high)), body.right)
    if right - left > 2:
        pen.box(Rect(left, body.top, right - left, body.height), palette.paper, palette.steel,
                radius=0.0, width=2)  # fmt: skip


def _jaws(pen: Pen, along: tuple[int, int], body: Rect, state: str) -> None:
    """Draw a pair of jaws: on the bar when clamped, off it when released, filled when clamped."""
    palette = pen.palette
    shut = {"CLAMPED": 0.0, "RELEASED": 0.36}.get(state, 0.22)
    thick, off = max(pen.px(0.4), 3), pen.px(shut)
    colour: Colour = palette.green if state == "CLAMPED" else palette.iron_edge
    wide = along[1] - along[0]
    fixed = Rect(along[0], body.top - thick, wide, thick)
    moving = Rect(along[0], body.bottom + off, wide, thick)
    for jaw in (fixed, moving):
        if state == "CLAMPED":
            pen.fill(jaw, colour)
        else:
            pen.box(jaw, palette.paper, colour, radius=0.0)
    if state in (*MOVING["cutting_vise"], *MOVING["shuttle_vise"]):
        size = min(pen.px(0.8), wide)
        middle = Rect((along[0] + along[1] - size) // 2, body.centery - size // 2, size, size)
        symbol(pen, "clamp" if state == "CLAMPING" else "release", middle, palette.white)


def _arrow(pen: Pen, along: tuple[int, int], body: Rect, machine: str, session: Session) -> None:
    mark = _MOTION.get((machine, str(session.saw.controller.image[machine])))
    if mark:
        place = Rect(along[0], body.top, along[1] - along[0], body.height)
        symbol(pen, mark, square_in(place, pen.px(0.75)), pen.palette.white)


def _band(pen: Pen, at: Lay, place: Rect, body: Rect, session: Session) -> None:
    """Draw the band: whole where the head is down, in dashes over the bar while it is up."""
    palette, image = pen.palette, session.saw.controller.image
    turning = image["band"] in ("STARTING", "RUNNING", "COASTING")
    colour = palette.white if turning else palette.iron_edge
    x, wide = at.x(BAND_X), max(pen.px(0.2), 3)
    if shown_state(image, "head") == "UP":
        step = max(pen.px(0.5), 4)
        for y in range(place.top, place.bottom, step):
            pen.fill(Rect(x, y, wide, step // 2), colour)
    else:
        pen.fill(Rect(x, place.top, wide, place.height), colour)
    mark = _MOTION.get(("head", str(image["head"])))
    if mark:
        spot = Rect(x + pen.px(0.5), body.top, pen.px(0.9), body.height)
        symbol(pen, mark, square_in(spot, pen.px(0.8)), palette.white)
    if image["coolant"] == "FLOWING":
        for beyond in (1.9, 3.0):
            spot = Rect(x + pen.px(beyond), place.top, pen.px(0.7), pen.px(0.7))
            symbol(pen, "drop", spot, palette.blue)
