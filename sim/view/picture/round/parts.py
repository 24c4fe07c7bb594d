"""The parts by name: what each is called, and which set-up points, keys and machines of the control are its.

Never here: where a part is drawn.
"""

from dataclasses import dataclass
from typing import Final

from sim.control.dials import BY_NAME as DIALS
from sim.records.acts import Act, Adjusted, BarLoaded, Inspected, LockoutTaken, Pressed, Released
from sim.session.sights.known import READ_BY
from sim.words.message import Message, plain


@dataclass(frozen=True, slots=True)
class PartShown:
    """One part.

    Attributes:
        title: What it is called.
        points: Its set-up points, those of a whole place with an asterisk in place of the name.
        control: The machine of the control, and the beginning of its keys, that moves it.
    """

    title: Message
    points: tuple[str, ...] = ()
    control: str = ""


def _part(name: str, title: str, *points: str, control: str = "") -> PartShown:
    return PartShown(plain(f"picture.part.{name.replace('_', '-')}", title), points, control)


PARTS: Final[dict[str, PartShown]] = {
    name: _part(name, title, *points, control=control)
    for name, title, points, control in (
        ("bar", "bar", (), ""),
        ("band", "saw band", ("band.teeth_per_inch", "band.teeth_face", "band.seat"), "band"),
        ("near_wheel", "tension wheel", ("band.tension_mpa",), ""),
        ("far_wheel", "drive wheel", (), ""),
        ("brush", "chip brush", ("band.brush_mm",), ""),
        ("nozzle", "coolant nozzle", (), ""),
        ("cover", "wheel cover", ("band.wheel_cover",), ""),
        ("beam", "beam of the head", (), "head"),
        ("guides", "band guides", ("band.guide_span_mm", "band.guide_lock"), ""),
        ("guard", "band guard", ("band.guard",), ""),
        ("motor", "band motor", (), ""),
        ("pivot", "pivot and swivel of the head", (
            "head.mitre_deg", "head.index_plunger", "head.clamp_lever", "head.clamp_screw",
        ), ""),
        ("feed", "feed cylinder", (
            "head.feed_valve_mm_min", "head.feed_force_n", "head.lift_throttle_turns", "head.oil_relief",
            "head.hand_pump",
        ), ""),
        ("height_stop", "height stop", ("head.stop_notch", "head.stop_plunger"), ""),
        ("prop", "prop of the head", ("head.prop",), ""),
        ("cutting_vise", "cutting vise", (
            "cutting_vise.jaw_gap_mm", "cutting_vise.pressure_bar", "cutting_vise.oil_relief",
        ), "cutting_vise"),
        ("clamp", "bundle clamp", ("cutting_vise.bundle_clamp",), ""),
        ("arm", "support arm", ("cutting_vise.support_arm",), ""),
        ("shuttle", "shuttle", (), "shuttle"),
        ("shuttle_vise", "shuttle vise", (
            "shuttle_vise.jaw_gap_mm", "shuttle_vise.pressure_bar", "shuttle_vise.oil_relief",
        ), "shuttle_vise"),
        ("length_stop", "length stop", ("shuttle.stop_mm",), ""),
        ("infeed", "roller table", (), ""),
        ("hood", "infeed hood", ("infeed.hood",), ""),
        ("chock", "chock of the bar", ("infeed.bar_chock",), ""),
        ("trip_line", "trip line", (), "supply.trip_line"),
        ("outfeed", "outfeed table", (), ""),
        ("rail", "back rail", ("outfeed.back_rail",), ""),
        ("piece", "cut piece", (), ""),
        ("tray", "chip tray", (), ""),
        ("base", "base of the saw", (), ""),
        ("console", "console", ("mode.key",), "job"),
        ("stop", "emergency stop", (), "supply.emergency_stop"),
        ("cabinet", "electrical cabinet with the isolator", ("band.relay_a", "band.relay"), "supply"),
        ("air", "air supply with its cock", ("supply.air_bar", "supply.air_cock"), ""),
        ("oil", "oil tank", ("supply.oil_percent",), ""),
        ("coolant", "coolant tank", (
            "coolant.level_percent", "coolant.concentration_percent", "coolant.wash_down", "coolant.floor",
        ), "coolant"),
    )
}  # fmt: skip

# Where one looks for what is no set point.
_LOOKED_AT: Final = {
    "last-piece": "piece", "caliper": "piece", "beam-caliper": "piece", "square": "piece", "tape": "piece", "protractor": "piece",
    "rule-beside-bar": "bar", "band-over-bar": "band", "band-teeth": "band", "chips": "tray",
    "tension-gauge": "near_wheel", "washers": "near_wheel", "guide-inserts": "guides",
    "clamping-gauges": "cutting_vise", "stop-play": "length_stop", "tachometer": "band", "buttons": "console",
}  # fmt: skip
_POINT: Final = {point: name for name, part in PARTS.items() for point in part.points}
_BY_CONTROL: Final = {part.control: name for name, part in PARTS.items() if part.control}


def part_of_point(point: str) -> str:
    """Return the part that a set-up point is on, empty where none is drawn."""
    return _POINT.get(point, "")


def part_of_key(key: str) -> str:
    """Return the part that a key moves, empty where none is drawn."""
    place = key.partition(".")[0]
    return _BY_CONTROL.get(key) or _BY_CONTROL.get(place, "")


def part_of_act(act: Act) -> str:
    """Return the part that an act is done at, empty where none is drawn."""
    match act:
        case Pressed(keys=keys) | Released(keys=keys):
            return part_of_key(keys[0])
        case Adjusted(name=name):
            return part_of_point(name) or ("console" if name in DIALS else "")
        case Inspected(name=name):
            look = name.split()[0]
            read = (part_of_point(point) for point, by in READ_BY.items() if by == look)
            return _LOOKED_AT.get(look, "") or next(filter(None, read), "")
        case LockoutTaken(step=step):
            return "air" if step.endswith("air") else "cabinet"
        case BarLoaded():
            return "bar"
        case _:
            return ""
