"""The lines of the mimic that stand still: cabinet, infeed, rails, vises, head, tank and outfeed."""

from pygame import Rect

from sim.view.console.mimic_plan import BAND_X, JAW_X, KEYS, WANTED, Lay
from sim.view.kit.palette import mix
from sim.view.kit.pen import Pen, Point


def paint_lines(pen: Pen, at: Lay) -> None:
    """Draw them under the keys."""
    palette = pen.palette
    pen.box(at.area, palette.paper, palette.hair, radius=0.3)
    whole = pen.surface.get_clip()
    pen.surface.set_clip(at.area.inflate(-2, -2).clip(whole))
    line = mix(palette.paper, palette.iron_edge, 0.55)
    strip_top, strip_high = at.tops["strip"]
    strip_low = strip_top + strip_high
    _infeed(pen, at, line, strip_top, strip_low)
    _vises(pen, at, line, strip_top, strip_low)
    _head(pen, at, line, strip_top, strip_low)
    _outfeed(pen, at, line, strip_top, strip_low)
    pen.surface.set_clip(whole)


def _frame(pen: Pen, rect: Rect, colour: tuple[int, int, int], radius: float = 0.3) -> None:
    pen.box(rect, pen.palette.paper, colour, radius=radius)


def _infeed(pen: Pen, at: Lay, line: tuple[int, int, int], top: int, low: int) -> None:
    """Draw the cabinet behind the infeed, the two rails of the shuttle, and the trip line in front."""
    rear, high = at.tops["rear"]
    edge = pen.px(0.12)
    cabinet = Rect(at.x(0.1), rear - edge, at.x(18.75) - at.x(0.1), high + 2 * edge)
    _frame(pen, cabinet, line, 0.1)
    reach = pen.px(0.1)
    for y in (top - reach, low + reach):
        pen.fill(Rect(at.x(0.0), y - 1, at.x(34.8) - at.x(0.0), 2), line)
    front_top, front_high = at.tops["front"]
    y = front_top + front_high // 2
    posts = [at.x(x) for x in (0.5, 3.2, 5.9, 8.6)]
    for x in posts:
        pen.fill(Rect(x - 1, y - pen.px(0.5), 3, pen.px(1.0)), line)
    pen.fill(Rect(posts[0], y, posts[-1] - posts[0], 2), pen.palette.soft)
    key = at.rect(KEYS["supply.trip_line"])
    pen.fill(Rect(key.centerx, key.bottom, 1, max(y - key.bottom, 0)), pen.palette.soft)


def _vises(pen: Pen, at: Lay, line: tuple[int, int, int], top: int, low: int) -> None:
    """Draw the shuttle's crosspiece and the bed of the cutting vise, with the rod of its jaw."""
    text_top, _ = at.tops["rear_text"]
    _, text_high = at.tops["front_text"]
    bottom = at.tops["front_text"][0] + text_high
    left, right = at.x(JAW_X[0] - 0.3), at.x(JAW_X[1] + 0.3)
    _frame(pen, Rect(left, text_top, right - left, top - text_top), line, 0.1)
    _frame(pen, Rect(left, low, right - left, bottom - low), line, 0.1)
    gauge = at.tops["rear"][0]
    rear, front = at.x(9.1), at.x(25.3)
    corners: list[Point] = [  # the shuttle vise, and its gauge behind it
        (rear, top), (rear, text_top), (at.x(18.85), text_top), (at.x(18.85), gauge), (front, gauge),
        (front, top),
    ]  # fmt: skip
    pen.polyline(corners, line)
    pen.fill(Rect(rear, low, 1, bottom - low), line)
    pen.fill(Rect(front, low, 1, bottom - low), line)


def _head(pen: Pen, at: Lay, line: tuple[int, int, int], top: int, low: int) -> None:
    """Draw the head across the bar: a wheel at each end, the pivot at the rear, the band between."""
    rear = at.tops["rear"][0]
    front_top, front_high = at.tops["front_text"]
    bottom = front_top + front_high
    left, right = at.x(BAND_X - 0.5), at.x(50.0)
    edge = pen.px(0.12)
    pen.box(Rect(left, low, right - left, bottom - low + edge), pen.palette.paper, line, radius=0.9)
    narrow, step = at.x(44.0), at.tops["rear_text"][0]
    corners: list[Point] = [
        (left, top), (left, rear - edge), (narrow, rear - edge), (narrow, step), (right, step),
        (right, top),
    ]  # fmt: skip
    pen.polyline(corners, line)
    x = at.x(BAND_X)
    for y in (rear + pen.px(0.6), bottom - pen.px(0.5)):
        pen.ring((x, y), pen.px(0.35), line)


def _outfeed(pen: Pen, at: Lay, line: tuple[int, int, int], top: int, low: int) -> None:
    """Draw the tank with its hose to the band, and the tray under the outfeed."""
    rear = at.tops["rear"][0]
    near, near_high = at.tops["rear_near"]
    edge = pen.px(0.12)
    tank = Rect(at.x(44.8), rear - edge, at.x(60.95) - at.x(44.8), near + near_high - rear + edge)
    pen.fill(Rect(tank.left, tank.top, tank.width, 1), line)
    pen.fill(Rect(tank.right - 1, tank.top, 1, tank.height), line)
    pen.fill(Rect(at.x(50.0), tank.bottom, tank.right - at.x(50.0), 1), line)
    tray = at.rect(WANTED)
    below = at.tops["front_text"][0] + at.tops["front_text"][1]
    frame = Rect(tray.left - pen.px(0.3), low, tray.width + pen.px(0.4), below - low + edge)
    pen.box(frame, pen.palette.paper, line, radius=0.1)
    for index in range(6):
        pen.fill(Rect(at.x(51.6 + index * 1.75), top, 1, low - top), line)
