"""Gauges: one reading of a part with its working range marked.

They are dark while the console is. In a drill they tell no more than the eye does, as the terminal tells it:
the dial for the band, whole millimetres along the bar, tens in height; the rest is read by a look.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from pygame import Rect

from sim.session.session import Session
from sim.session.sights.controller_words import console_lit
from sim.session.sights.known import hides, unread
from sim.session.sights.machine_words import shuttle_by_eye_m, tens_m
from sim.units import BAR, MM
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.widget import Mood, Widget
from sim.words.speech import reader


@dataclass(frozen=True, slots=True)
class Gauge:
    """One gauge."""

    part: str
    unit: str
    low: float
    high: float
    read: Callable[[Session], float]
    by_eye: Callable[[Session], float | None]  # what is told in a drill, None for what takes a look
    decimals: int = 0
    good: Callable[[Session], tuple[float, float]] | None = None  # working range


def _speed(session: Session) -> float:
    return session.saw.plant.band.speed_m_s * 60


def _dial(session: Session) -> float:
    return round(session.saw.plant.band.dial.position * 60)


def _by_a_look(_session: Session) -> None:
    return None


def _shuttle(session: Session) -> float:
    return session.saw.plant.shuttle.place.position / MM


def _head(session: Session) -> float:
    return session.saw.plant.head.place.position / MM


def _coolant(session: Session) -> float:
    return session.saw.plant.coolant.level * 100


GAUGES: Final = (
    Gauge("band", "m/min", 0, 120, _speed, _dial, 0,
          lambda s: (s.stock.material.speed_low_m_s * 60, s.stock.material.speed_high_m_s * 60)),
    Gauge("cutting_vise", "bar", 0, 60, lambda s: s.saw.plant.cutting_vise.pressure_pa / BAR, _by_a_look),
    Gauge("shuttle_vise", "bar", 0, 60, lambda s: s.saw.plant.shuttle_vise.pressure_pa / BAR, _by_a_look),
    Gauge("shuttle", "mm", 0, 600, _shuttle, lambda s: shuttle_by_eye_m(s) / MM, 1),
    Gauge("head", "mm", 0, 260, _head, lambda s: tens_m(s.saw.plant.head.place.position) / MM, 1),
    Gauge("coolant", "% full", 0, 100, _coolant,
          lambda s: None if unread(s, "coolant.level_percent") else _coolant(s), 0, lambda _s: (20.0, 100.0)),
)  # fmt: skip
_DARK, _UNREAD = "–", "?"


def value_of(row: Gauge, session: Session) -> float | None:
    """Return what a gauge shows now; None while it is dark, or before the look that it takes."""
    if not console_lit(session):
        return None
    return row.by_eye(session) if hides(session) else row.read(session)


def figures_of(row: Gauge, session: Session) -> str:
    """Return what a gauge shows in figures, a dash while it is dark, `?` before it was read."""
    value = value_of(row, session)
    if value is None:
        return _UNREAD if console_lit(session) else _DARK
    return reader().number(value, row.unit, 0 if hides(session) else row.decimals)


_BY_PART: Final = {row.part: row for row in GAUGES}


def gauge_for(part: str) -> Gauge | None:
    """Return the gauge of a part, or None."""
    return _BY_PART.get(part)


def gauge(kit: Kit, row: Gauge, rect: Rect, session: Session) -> Widget:
    """Return the widget: the number over a scale with the working range on it."""

    def face() -> tuple[str, int | None]:
        value = value_of(row, session)
        along = None if value is None else round(_share(row, value) * rect.width)
        return figures_of(row, session), along

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        palette = pen.palette
        words, along = face()
        high = max(pen.px(0.4), 4)
        track = Rect(place.left, place.bottom - high - 1, place.width, high)
        upper = Rect(place.left, place.top, place.width, place.height - high - 1)
        unit = pen.text(reader().unit(row.unit), upper, palette.soft, role="small", align="right")
        number = Rect(upper.left, upper.top, unit.left - upper.left - pen.px(0.3), upper.height)
        pen.figures(words, number, role="lead")
        pen.fill(track, palette.sunk)
        if row.good is not None:
            low, high_end = (_share(row, value) for value in row.good(session))
            zone = Rect(
                track.left + round(low * track.width), track.top,
                max(round((high_end - low) * track.width), 2), track.height,
            )  # fmt: skip
            pen.fill(zone, palette.hair)
            pen.fill(
                Rect(zone.left, zone.top, zone.width, max(track.height // 4, 1)), palette.green
            )
        if along is None:
            return
        line = Rect(track.left, track.centery, min(along, track.width), max(track.height // 3, 2))
        pen.fill(line, palette.soft)
        x = track.left + min(along, track.width - 2)
        pen.fill(Rect(x - 1, track.top, 3, track.height), palette.white)

    return Widget(f"{row.part}.gauge", rect, paint, face, label=reader().unit(row.unit))


def reading(
    kit: Kit, row: Gauge, rect: Rect, session: Session, title: str = "", *, bare: bool = False
) -> Widget:
    """Return a gauge with no room for a scale: the number and its unit, if it is not bare, after its title."""
    named = kit.letters.width(title, "fine")

    def words() -> str:
        return figures_of(row, session)

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        right = place.right
        if not bare:
            unit = pen.text(
                reader().unit(row.unit), place, pen.palette.soft, role="small", align="right"
            )
            right = unit.left - pen.px(0.25)
        pen.text(
            title, Rect(place.left, place.top, named, place.height), pen.palette.soft, role="fine"
        )
        left = place.left + named
        number = Rect(left, place.top, right - left, place.height)
        pen.figures(words(), number, role="body")

    return Widget(f"{row.part}.reading", rect, paint, words, label=reader().unit(row.unit))


def _share(row: Gauge, value: float) -> float:
    return min(max((value - row.low) / (row.high - row.low), 0.0), 1.0)
