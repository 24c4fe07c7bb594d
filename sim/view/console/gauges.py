"""Gauges: one reading of a part with its working range marked."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from pygame import Rect

from sim.session.session import Session
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
    decimals: int = 0
    good: Callable[[Session], tuple[float, float]] | None = None  # working range


def _speed(session: Session) -> float:
    return session.saw.plant.band.speed_m_s * 60


GAUGES: Final = (
    Gauge("band", "m/min", 0, 120, _speed, 0,
          lambda s: (s.stock.material.speed_low_m_s * 60, s.stock.material.speed_high_m_s * 60)),
    Gauge("cutting_vise", "bar", 0, 60, lambda s: s.saw.plant.cutting_vise.pressure_pa / BAR),
    Gauge("shuttle_vise", "bar", 0, 60, lambda s: s.saw.plant.shuttle_vise.pressure_pa / BAR),
    Gauge("shuttle", "mm", 0, 600, lambda s: s.saw.plant.shuttle.place.position / MM, 1),
    Gauge("head", "mm", 0, 260, lambda s: s.saw.plant.head.place.position / MM, 1),
    Gauge("coolant", "% full", 0, 100, lambda s: s.saw.plant.coolant.level * 100, 0,
          lambda _s: (20.0, 100.0)),
)  # fmt: skip

_BY_PART: Final = {row.part: row for row in GAUGES}


def gauge_for(part: str) -> Gauge | None:
    """Return the gauge of a part, or None."""
    return _BY_PART.get(part)


def gauge(kit: Kit, row: Gauge, rect: Rect, session: Session) -> Widget:
    """Return the widget: the number over a scale with the working range on it."""

    def face() -> tuple[str, int]:
        value = row.read(session)
        return reader().number(value, row.unit, row.decimals), round(
            _share(row, value) * rect.width
        )

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
        line = Rect(track.left, track.centery, min(along, track.width), max(track.height // 3, 2))
        pen.fill(line, palette.soft)
        x = track.left + min(along, track.width - 2)
        pen.fill(Rect(x - 1, track.top, 3, track.height), palette.white)

    return Widget(f"{row.part}.gauge", rect, paint, face, label=reader().unit(row.unit))


def reading(kit: Kit, row: Gauge, rect: Rect, session: Session, title: str = "") -> Widget:
    """Return a gauge with no room for a scale: the number and its unit, after its title."""
    named = kit.letters.width(title, "fine")

    def words() -> str:
        return reader().number(row.read(session), row.unit, row.decimals)

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        unit = pen.text(
            reader().unit(row.unit), place, pen.palette.soft, role="small", align="right"
        )
        pen.text(
            title, Rect(place.left, place.top, named, place.height), pen.palette.soft, role="fine"
        )
        left = place.left + named
        number = Rect(left, place.top, unit.left - left - pen.px(0.25), place.height)
        pen.figures(words(), number, role="body")

    return Widget(f"{row.part}.reading", rect, paint, words, label=reader().unit(row.unit))


def _share(row: Gauge, value: float) -> float:
    return min(max((value - row.low) / (row.high - row.low), 0.0), 1.0)
