"""The one table of hands: each act with its zone, how many hands it takes, its seconds and its row.

Everything that is set, looked at, mended or loaded stands here, so that what a `set` asks for and what
the remedy of the same thing asks for can never differ. The seconds of a look and of a remedy stand in
their own rows and are read from there. What is done at the console or from outside exposes nobody. An
act takes its seconds from leaving the console: first the walk, then hands are in until it is over.

Never here: what the plant does meanwhile (see `hazards`), or what comes of it (see `person`).
"""

from dataclasses import dataclass, replace
from typing import Final

from sim.bugs import TableError
from sim.faults.catalogue import EVERY
from sim.faults.fault import Fault
from sim.faults.spares import Spare
from sim.session.hands.hazards import AT_HEAD, Hazard, Opens
from sim.session.hands.zones import WALK_S, Demand, Zone
from sim.session.inspections import METER_S
from sim.session.inspections.inspection import Inspection
from sim.session.lockout import EnergyStep
from sim.trade.handling import loading_s
from sim.trade.measuring import PROTRACTOR, TOOLS
from sim.units import MINUTE
from sim.wiring.loom import tag_of

_Z, _OWN, _LOCKED = Zone, Demand.OWN_CONTROL, Demand.LOCKED_OUT


@dataclass(frozen=True, slots=True)
class Reach:
    """Where an act puts hands, how many, for how long, and what must hold meanwhile."""

    zone: Zone
    hands: int
    seconds: float
    demand: Demand
    opens: Opens = Opens.NOTHING
    bare: bool = True  # hands on bare parts that may be live; not on a dial beside them
    eyes: bool = False  # it is only looked at, from where one stands
    aside: Hazard | None = None  # hands are at the edge of the zone, where this alone strikes them
    far: Zone | None = None
    """Where hands are too: at the other end of a wire that ends in the cabinet."""

    @property
    def zones(self) -> tuple[Zone, ...]:
        """Where hands are: in its zone, and at the far end of a wire."""
        return (self.zone,) if self.far is None else (self.zone, self.far)

    @property
    def behind_cover(self) -> bool:
        """Whether the wheel cover is in the way of it; the screw of the tension is outside the cover."""
        return Zone.WHEELS in self.zones and self.demand is Demand.LOCKED_OUT

    @property
    def at_screw(self) -> bool:
        """Whether hands are at the tracking screw, outside the closed cover."""
        return self.zone is Zone.WHEELS and self.demand is Demand.STANDS

    @property
    def wants_rest(self) -> bool:
        """Whether the head has to stand on something first: bed, work or prop."""
        own = self.demand is Demand.OWN_CONTROL and self.aside is None
        return own and self.zone in AT_HEAD

    @property
    def walk_s(self) -> float:
        """Of its seconds, those before hands go in."""
        return min(WALK_S[self.zone], self.seconds)


def _outside(seconds: float, hands: int = 1) -> Reach:
    return Reach(Zone.OUTSIDE, hands, seconds, Demand.OUTSIDE)


def _console(seconds: float) -> Reach:
    return Reach(Zone.CONSOLE, 1, seconds, Demand.OUTSIDE)


def _at_ring(seconds: float) -> Reach:
    """Return the row of the ring on the rod of the moving head, out of reach of the band."""
    return Reach(Zone.SWING, 1, seconds, Demand.STANDS, aside=Hazard.HEAD)


_ARM: Final = Reach(_Z.BAND, 1, 8, _OWN)
_JAW_S: Final = 14.0
_VALVE: Final = _outside(6)
# With 45 s each to take a band off, to open a coil and to seat one, a change is eight minutes: a choice.
_AT_COIL: Final = Reach(_Z.WHEELS, 2, 345, _LOCKED, Opens.SPRING)

SETS: Final[dict[str, Reach]] = {
    "job.wanted": _console(2), "job.strokes": _console(2), "job.run_on_min": _console(2),
    "supply.air_bar": _outside(8), "supply.air_cock": _outside(6), "supply.oil_percent": _outside(120, 2),
    "coolant.level_percent": _outside(120, 2), "coolant.concentration_percent": _outside(180, 2),
    "coolant.wash_down": _outside(6), "coolant.floor": Reach(_Z.FLOOR, 2, 60, _OWN),
    "band.guide_lock": _ARM, "band.guide_span_mm": Reach(_Z.BAND, 2, 15, _OWN),
    # Locked until the band stands, and opened by handles outside.
    "band.guard": _outside(8), "band.wheel_cover": _outside(16, 2),
    "band.tension_mpa": Reach(_Z.WHEELS, 2, 20, _OWN),
    "band.teeth_per_inch": _AT_COIL, "band.teeth_face": replace(_AT_COIL, seconds=390),
    "band.seat": Reach(_Z.WHEELS, 2, 45, _LOCKED, Opens.SPRING),
    "band.brush_mm": Reach(_Z.BAND, 2, 60, _LOCKED),
    "band.relay_a": Reach(_Z.CABINET, 1, 20, _LOCKED, bare=False), "band.relay": _outside(8),
    "cutting_vise.jaw_gap_mm": Reach(_Z.CUTTING_JAWS, 2, _JAW_S, _OWN), "cutting_vise.pressure_bar": _VALVE,
    "cutting_vise.bundle_clamp": Reach(_Z.CUTTING_JAWS, 2, 12, _OWN),
    "shuttle_vise.jaw_gap_mm": Reach(_Z.SHUTTLE_JAWS, 2, _JAW_S, _OWN), "shuttle_vise.pressure_bar": _VALVE,
    "shuttle.stop_mm": Reach(_Z.SHUTTLE_PATH, 1, 16, _OWN),
    "cutting_vise.support_arm": Reach(_Z.SHUTTLE_PATH, 1, 10, _OWN),
    "head.stop_notch": _at_ring(12), "head.stop_plunger": _at_ring(6), "head.feed_valve_mm_min": _outside(4),
    "head.feed_force_n": _outside(5), "head.lift_throttle_turns": _outside(6),
    "head.mitre_deg": Reach(_Z.SWING, 2, 25, _OWN), "head.index_plunger": Reach(_Z.SWING, 1, 8, _OWN),
    "head.clamp_lever": Reach(_Z.SWING, 1, 8, _OWN), "head.clamp_screw": Reach(_Z.SWING, 1, 20, _OWN),
    "outfeed.back_rail": Reach(_Z.OUTFEED, 1, 12, _OWN),
    "head.prop": _outside(6), "head.hand_pump": _outside(30), "infeed.bar_chock": _outside(10),
    "infeed.hood": _outside(5),
    **dict.fromkeys(("head.oil_relief", "cutting_vise.oil_relief", "shuttle_vise.oil_relief"), _outside(6)),
    "mode.key": _console(2),
}  # fmt: skip
"""Every set point and dial."""


def to_lock_out(step: EnergyStep) -> Reach:
    """Return the row of a step of the lock-out: done outside, by going round."""
    return _outside(step.seconds)


LOADING: Final = Reach(
    _Z.SHUTTLE_PATH, 2, 240, _OWN
)  # guided through the jaws; its seconds go by mass


def to_load(how: str, mass_kg: float) -> Reach:
    """Return the row of a bar that is loaded in a way of `trade.handling`."""
    return replace(LOADING, seconds=loading_s(how, mass_kg))


def _place(
    zone: Zone, demand: Demand, opens: Opens = Opens.NOTHING, hands: int = 1, *,
    eyes: bool = False, aside: Hazard | None = None,
) -> Reach:  # fmt: skip
    """Return a row whose seconds stand elsewhere, and are put in where it is asked for."""
    return Reach(zone, hands, 0.0, demand, opens, eyes=eyes, aside=aside)


_LOOK: Final = _place(_Z.OUTSIDE, Demand.OUTSIDE, eyes=True)
_KEYS: Final = _place(_Z.CONSOLE, Demand.OUTSIDE)
_IN_WHEELS: Final = _place(_Z.WHEELS, _LOCKED, hands=2)
_AT_PIECE: Final = _place(_Z.OUTFEED, Demand.STANDS, aside=Hazard.BAND)
_IN_CABINET: Final = _place(_Z.CABINET, _OWN)  # a look, or a test by who is qualified

_LOOKS: Final[dict[str, Reach]] = {
    **dict.fromkeys((
        "walk-round", "buttons", "air-gauge", "air-cock", "oil-glass", "oil-pressure", "coolant-tank",
        "coolant-flow", "refractometer", "nozzle", "wash-hose", "input-lamps", "output-lamps",
        "head-switches", "shuttle-switches", "vise-switches", "band-switches", "tank-switches", "tooth-pitch",
        "brush", "chips", "gullets", "guards", "tracking", "tension-gauge", "tension-screw", "tachometer", "length-stop",
        "jaw-gaps", "clamping-valves", "clamping-gauges", "bundle-clamp", "bar-end", "bar-front",
        "support-arm", "stop-plunger", "stop-notch", "feed-settings", "lift-throttle", "oil-sight-glass",
        "back-rail", "lift-gauge", "oil-reliefs", "prop", "bar-chock", "infeed-hood", "mode-key", "rule-beside-bar",
    ), _LOOK),
    **dict.fromkeys((
        "console-lamps", "try-raise", "try-lower", "try-shuttle", "try-cutting-vise", "try-shuttle-vise",
        "try-band", "try-speed", "try-coolant", "try-keys",
    ), _KEYS),
    **dict.fromkeys(("band-teeth", "pulley", "washers"), _IN_WHEELS),
    **dict.fromkeys(("fuses", "overload-relay", "safety-relay", "main-contactors", "meter-loaded", "meter-earth", "try-stops"), _IN_CABINET),
    **dict.fromkeys(("last-piece", PROTRACTOR.name, *(tool.name for tool in TOOLS)), _AT_PIECE),
    "guide-inserts": _place(_Z.BAND, _LOCKED),
    "guide-arm": _place(_Z.BAND, _OWN), "arm-lock": _place(_Z.BAND, _OWN),
    "cutting-jaws": _place(_Z.CUTTING_JAWS, _LOCKED), "shuttle-jaws": _place(_Z.SHUTTLE_JAWS, _LOCKED),
    **dict.fromkeys(("stop-play", "infeed-rollers", "bar-straight"), _place(_Z.SHUTTLE_PATH, _OWN)),
    "band-over-bar": _place(_Z.UNDER_HEAD, _OWN), "swivel-clamping": _place(_Z.SWING, _OWN),
}  # fmt: skip

_WIRE_AT: Final = {  # 24 V, at the part that the wire goes to
    _Z.UNDER_HEAD: (
        "head-up-wire", "head-up-stuck", "head-down-wire", "head-down-stuck", "raise-coil-wire",
        "head-up-dead", "head-down-dead", "head-down-held",
    ),
    _Z.SHUTTLE_PATH: (
        "back-limit-wire", "back-limit-stuck", "forward-limit-wire", "bar-sensor-wire", "trip-line-wire", "stop-channel-wire",
        "forward-coil-wire", "back-limit-dead", "bar-sensor-dead", "valve-wire-earthed",
    ),
    _Z.CUTTING_JAWS: (
        "cutting-back-wire", "cutting-clamped-wire", "cutting-clamped-stuck", "cutting-clamp-coil-wire",
        "cutting-back-dead", "cutting-release-coil-wire", "clamp-wire-earthed",
    ),
    _Z.SHUTTLE_JAWS: ("shuttle-clamped-wire", "shuttle-release-coil-wire"),
    _Z.WHEELS: ("band-turns-wire", "at-speed-wire", "tension-wire", "band-turns-dead"),
    _Z.BAND: ("guard-wire", "deviation-wire", "deviation-dead"),
    _Z.FLOOR: ("air-switch-wire", "coolant-switch-wire", "coolant-switch-dead"),
    _Z.CABINET: (
        "overload-wire", "palm-key-wire", "contactor-dead", "coolant-coil-wire", "variator-motor-dead", "control-fuse-blown", "phase-lost",
        "main-contactor-q11-welded", "main-contactor-q12-welded", "main-contactor-wire", "feedback-wire",
        "relay-message-wire", "mains-weak", "control-supply-weak", "valve-return-lost", "oil-pump-fuse",
        "band-motor-fuse", "stop-contact-stuck",
    ),
}  # fmt: skip

_TAG_AT: Final = {  # of the causes in the wiring, where the device is outside the cabinet
    _Z.UNDER_HEAD: ("B11", "B12", "Y11", "Y12", "Y13", "X21", "X31"),
    _Z.SHUTTLE_PATH: ("B21", "B22", "B43", "B53", "S9", "S2", "Y21", "Y22", "X22", "X32", "X27"),
    _Z.CUTTING_JAWS: ("B31", "B33", "Y31", "Y33", "X23", "X33"),
    _Z.SHUTTLE_JAWS: ("B32", "B34", "Y32", "Y34"),
    _Z.WHEELS: ("B1", "B2", "B3", "B42", "B51", "B54", "M1", "M6", "X24", "X34"),
    _Z.BAND: ("B41", "B52"),
    _Z.FLOOR: ("B61", "B62", "B63", "M4", "M5", "X25", "X35"),
}  # fmt: skip
_ZONE_OF: Final = {tag: zone for zone, tags in _TAG_AT.items() for tag in tags}
_BY_RING: Final = "B11"  # what the ring makes when the head is up at its height stop
_METER_BY_RING: Final = _place(_Z.SWING, _OWN, aside=Hazard.HEAD)  # head up, or it is not made
_AT_CARD: Final = (
    "-card",
    "-channel",
    "-line",
)  # ends of the names of what is in the cabinet all the same
_FROM_CABINET: Final = (
    "-signal", "-coil", "-back", "-to-24", "-to-0", "-0", "-u", "-v", "-w", "-wire", "-earthed",
)  # fmt: skip
"""Ends of the names of what is wrong with a wire that runs from the cabinet to a part outside it."""
_BRIDGED: Final = ("b43-feed",)  # of a saw without an infeed hood it lies in the cabinet, whole
_NOT_THERE: Final = ("y12-coil", "y12-to-24", "y12-to-0")
"""They run from the trip line's contact to the valve."""

_AS_SET: Final = {  # whatever puts right what is set wrong is the same act as setting it
    "plunger-on-the-land": "head.stop_plunger", "height-stop-low": "head.stop_notch",
    "stop-from-below": "shuttle.stop_mm", "scale-zeroed-wrong": "shuttle.stop_mm", "length-without-kerf": "shuttle.stop_mm",
    "cutting-jaw-far": "cutting_vise.jaw_gap_mm", "shuttle-jaw-far": "shuttle_vise.jaw_gap_mm",
    "cutting-clamping-low": "cutting_vise.pressure_bar", "cutting-clamping-high": "cutting_vise.pressure_bar",
    "shuttle-clamping-low": "shuttle_vise.pressure_bar", "shuttle-clamping-high": "shuttle_vise.pressure_bar",
    "guide-arm-far": "band.guide_span_mm", "guide-arm-slack": "band.guide_span_mm",
    "tension-low": "band.tension_mpa", "tension-high": "band.tension_mpa",
    "feed-valve-shut": "head.feed_valve_mm_min", "feed-valve-wide": "head.feed_valve_mm_min",
    "feed-force-low": "head.feed_force_n", "lift-throttle-shut": "head.lift_throttle_turns",
    "index-plunger-out": "head.index_plunger", "clamp-lever-open": "head.clamp_lever",
    "clamp-screw-loose": "head.clamp_screw", "clamp-screw-tight": "head.clamp_screw",
    "back-rail-in-way": "outfeed.back_rail", "bundle-clamp-up": "cutting_vise.bundle_clamp",
    "arm-left-up": "cutting_vise.support_arm", "guard-open": "band.guard", "wash-hose-open": "coolant.floor",
    "brush-backed-off": "band.brush_mm", "relay-set-low": "band.relay_a", "air-regulator-low": "supply.air_bar",
    "air-cock-shut": "supply.air_cock", "oil-low": "supply.oil_percent", "coolant-out": "coolant.level_percent",
    "coolant-weak": "coolant.concentration_percent", "coolant-strong": "coolant.concentration_percent",
}  # fmt: skip


_MENDS_TOO: Final[dict[str, tuple[str, ...]]] = {  # what else can be set, and the fault is gone
    "guide-arm-slack": ("band.guide_lock",), "wash-hose-open": ("coolant.wash_down",),
    "clamp-lever-open": ("head.clamp_screw",), "index-plunger-out": ("head.mitre_deg",),
    "coolant-strong": ("coolant.level_percent",), "brush-worn": ("band.brush_mm",),
    "band-inside-out": ("band.teeth_per_inch", "band.teeth_face"),
    **dict.fromkeys(
        ("band-worn", "band-one-sided", "band-stripped", "band-too-coarse"), ("band.teeth_per_inch",)
    ),
}  # fmt: skip


_OIL_BEHIND: Final = {  # of a device that is in the oil: what is let off before it is taken out
    **dict.fromkeys(("Y11", "Y12", "Y13"), Opens.LIFT_OIL),
    **dict.fromkeys(("Y21", "Y22"), Opens.FEED_OIL),
    **dict.fromkeys(("Y31", "Y33", "B33"), Opens.CUTTING_OIL),
    **dict.fromkeys(("Y32", "Y34", "B34"), Opens.SHUTTLE_OIL),
}  # fmt: skip
_LIFT: Final = _place(_Z.UNDER_HEAD, _LOCKED, Opens.LIFT_OIL, 2)


def _at_wire(fault: str, zone: Zone) -> Reach:
    """Return the row of a remedy in the wiring of a part in a zone.

    A wire that runs there from the cabinet is made good at both ends: it is proved dead as all work in the
    cabinet is, and hands are at the part as well.
    """
    if fault.endswith(_AT_CARD):
        zone = _Z.CABINET
    runs = fault in _BRIDGED or (fault.endswith(_FROM_CABINET) and fault not in _NOT_THERE)
    if runs and zone is not _Z.CABINET:
        return replace(_place(_Z.CABINET, _LOCKED, hands=2), far=zone)
    return _place(zone, _LOCKED, hands=2)


_REMEDIES: Final[dict[str, Reach]] = {
    **{fault: SETS[point] for fault, point in _AS_SET.items()},
    **{fault: _at_wire(fault, zone) for zone, faults in _WIRE_AT.items() for fault in faults},
    # Who changes a band, or its washers, lets the band down first, as for the set point.
    **dict.fromkeys((
        "band-inside-out", "band-worn", "band-one-sided", "band-stripped", "band-too-coarse", "washers-weak",
        "lining-glazed",
    ), _place(_Z.WHEELS, _LOCKED, Opens.SPRING, 2)),
    **dict.fromkeys(("variator-forced", "belt-worn"), _IN_WHEELS),
    "band-untracked": _place(_Z.WHEELS, Demand.STANDS),  # the tracking screw, outside, between two jogs
    **dict.fromkeys(("guides-worn", "brush-worn", "nozzle-blocked", "coolant-hose-split"), _place(_Z.BAND, _LOCKED, hands=2)),
    **dict.fromkeys(("head-cylinder-leaks", "lift-filter-clogged", "lower-valve-shut", "lower-valve-open", "air-in-the-oil"), _LIFT),
    **dict.fromkeys(
        ("cutting-vise-leaks", "cutting-release-valve-shut"), _place(_Z.CUTTING_JAWS, _LOCKED, Opens.CUTTING_OIL, 2)
    ),
    "cutting-jaws-oily": _place(_Z.CUTTING_JAWS, _LOCKED),
    "shuttle-jaws-oily": _place(_Z.SHUTTLE_JAWS, _LOCKED),
    **dict.fromkeys(
        ("shuttle-clamp-valve-shut", "shuttle-vise-leaks"), _place(_Z.SHUTTLE_JAWS, _LOCKED, Opens.SHUTTLE_OIL, 2)
    ),
    "back-valve-shut": _place(_Z.SHUTTLE_PATH, _LOCKED, Opens.FEED_OIL, 2),
    "shuttle-throttle-shut": _place(_Z.SHUTTLE_PATH, _LOCKED),
    "rollers-stiff": _place(_Z.SHUTTLE_PATH, _LOCKED, hands=2),
    "bar-bent": _place(_Z.SHUTTLE_PATH, _OWN, hands=2),  # as a bar is loaded
    "oil-pump-coupling": _place(_Z.FLOOR, _LOCKED, hands=2), "coolant-pump-jammed": _place(_Z.FLOOR, _LOCKED, hands=2),
}  # fmt: skip


def to_set(name: str) -> Reach:
    """Return the row of a set point or a dial; raises TableError when it has none."""
    if name not in SETS:
        raise TableError(f"hands: no row for setting {name}")
    return SETS[name]


def to_look(look: Inspection) -> Reach:
    """Return the row of a look, with its own seconds; raises TableError when it has none."""
    if look.name.startswith("meter "):
        return replace(_IN_CABINET, seconds=METER_S)
    if look.terminals:
        outside = {tag for tag in map(tag_of, look.terminals) if tag in _ZONE_OF}
        if outside == {_BY_RING}:
            return replace(_METER_BY_RING, seconds=look.seconds)
        field = next((_ZONE_OF[tag] for tag in sorted(outside)), _Z.CABINET)
        return replace(_place(field, _OWN), seconds=look.seconds)
    if look.base not in _LOOKS:
        raise TableError(f"hands: no row for looking at {look.name}")
    return replace(_LOOKS[look.base], seconds=look.seconds)


def to_mend(fault: Fault) -> Reach:
    """Return the row of a remedy, with its own seconds; raises TableError when it has none."""
    if fault.lead or (fault.fails is not None and fault.name not in _REMEDIES):
        reach = _at_wire(fault.name, _ZONE_OF.get(fault.tag, _Z.CABINET))
        return replace(reach, seconds=fault.minutes * MINUTE)
    if fault.name not in _REMEDIES:
        raise TableError(f"hands: no row for putting {fault.name} right")
    return replace(_REMEDIES[fault.name], seconds=fault.minutes * MINUTE)


def to_swap(spare: Spare) -> Reach:
    """Return the row of a part's exchange, with its own seconds.

    A wire goes to another channel at the card. A device comes out where its remedies are done; what oil is
    behind it is let off first.
    """
    longest = max(spare.faults, key=lambda fault: fault.minutes)
    reach = replace(to_mend(longest), seconds=spare.minutes * MINUTE)
    return reach if spare.channel else replace(reach, opens=_OIL_BEHIND.get(spare.tag, reach.opens))


def set_point_of(fault: Fault) -> str:
    """Return the set point that a remedy is the setting of; empty where it is none."""
    return _AS_SET.get(fault.name, "")


def of_same_setting(fault: Fault) -> list[Fault]:
    """Return the faults whose remedy is the setting of the same set point, this one among them."""
    point = set_point_of(fault)
    return [EVERY[name] for name, other in _AS_SET.items() if point and other == point]


def mended_by_setting(fault: Fault) -> frozenset[str]:
    """Return the set points by which a fault can be put right, beside its remedy."""
    points = {set_point_of(fault), *_MENDS_TOO.get(fault.name, ())}
    return frozenset(points - {""})


def locked_out_to_look(look: Inspection) -> bool:
    """Return whether a look asks for a lock-out first."""
    return to_look(look).demand is Demand.LOCKED_OUT


def last_step_to_mend(fault: Fault | str) -> str:
    """Return the step of the lock-out that comes last before a remedy: electrical work is proved dead."""
    row = EVERY[fault] if isinstance(fault, str) else fault
    return "prove-dead" if to_mend(row).zone is Zone.CABINET else "verify"


def locked_out_to_mend(fault: Fault | str) -> bool:
    """Return whether a remedy asks for a lock-out first."""
    row = EVERY[fault] if isinstance(fault, str) else fault
    return to_mend(row).demand is Demand.LOCKED_OUT
