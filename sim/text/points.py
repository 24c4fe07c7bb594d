"""What can be set by hand, as lists: the set points and the set-up card.

In a drill or an assessment a set point that an inspection reads is not read here for nothing: the
list names the inspection until it has been made.

Never here: setting anything.
"""

from typing import Final

from sim.control.dials import DIALS
from sim.plant.set_points import SET_POINTS, Setting
from sim.session.session import Session
from sim.text.page import Table

# The inspection that reads a set point.
READ_BY: Final = {
    "supply.air_bar": "air-gauge",
    "supply.air_cock": "air-cock",
    "supply.oil_percent": "oil-glass",
    "coolant.level_percent": "coolant-tank",
    "coolant.concentration_percent": "refractometer",
    "coolant.wash_down": "wash-hose",
    "coolant.floor": "wash-hose",
    "band.guide_span_mm": "guide-arm",
    "band.guide_lock": "arm-lock",
    "band.guard": "guards",
    "band.wheel_cover": "guards",
    "band.tension_mpa": "tension-screw",
    "band.teeth_per_inch": "tooth-pitch",
    "band.teeth_face": "tooth-pitch",
    "band.brush_mm": "brush",
    "band.relay_a": "overload-relay",
    "band.relay": "overload-relay",
    "cutting_vise.jaw_gap_mm": "jaw-gaps",
    "cutting_vise.pressure_bar": "grip-valves",
    "cutting_vise.bundle_clamp": "bundle-clamp",
    "shuttle_vise.jaw_gap_mm": "jaw-gaps",
    "shuttle_vise.pressure_bar": "grip-valves",
    "shuttle.counter_mm": "length-counter",
    "shuttle.support_roller": "support-roller",
    "head.stop_hole": "stop-hole",
    "head.stop_pin": "collar-pin",
    "head.feed_valve_mm_min": "feed-settings",
    "head.feed_force_n": "feed-settings",
    "head.bleed_turns": "bleed-screw",
    "head.mitre_deg": "outfeed-fence",
    "head.outfeed_fence": "outfeed-fence",
    "head.pivot_locks": "swivel-locks",
    "head.mitre_lever": "swivel-locks",
}
_HIDING: Final = ("drill", "assessment")
_SPEED: Final = "band.speed_m_min"


def shown(session: Session, name: str) -> str:
    """Return a set point's value in words, or the inspection that would show it."""
    look = READ_BY.get(name, "")
    seen = session.seen.has(look)
    if look and not seen and session.scenario.mode in _HIDING:
        return f"unseen; inspect {look}"
    return _spelled(session.saw.read(name))


def points(session: Session) -> Table:
    """Return the set points and counters with values and limits."""
    rows = [
        (
            row.name,
            str(row.title),
            shown(session, row.name),
            " or ".join(row.words) if row.words else f"{row.low:g} to {row.high:g} {row.unit}",
        )
        for row in SET_POINTS
    ]
    rows += [
        (row.name, str(row.title), shown(session, row.name), f"{row.low} to {row.high}")
        for row in DIALS
    ]
    return Table("Set points.", ("name", "", "now", "can be"), tuple(rows))


def set_up_card(session: Session) -> Table:
    """Return the set-up card beside what the machine is set to."""
    rows = tuple(
        (
            line.name,
            _spelled(line.setting),
            _now(session, line.name),
            str(line.reason),
            str(line.source),
        )
        for line in session.card
    )
    return Table("Set-up card.", ("name", "set to", "now", "because", "source:"), rows)


def _now(session: Session, name: str) -> str:
    if name == _SPEED:
        return f"{session.saw.plant.band.dial.position * 60:.0f}, by the dial"
    return shown(session, name)


def _spelled(setting: Setting) -> str:
    return setting if isinstance(setting, str) else f"{round(setting, 3):g}"
