"""The saw's own dimensions and limits, SI throughout: the one list of them.

Each row says where in a machine file the number stands, in which shop unit, and between which limits
it may lie. The numbers themselves are in scenarios/machines; all are invented unless a line of this
file says otherwise.
"""

from dataclasses import Field, dataclass, field, fields
from functools import cached_property
from typing import Any, Final

from sim.trade.band import Band, slip_limit_n, strand_force_n
from sim.trade.clamping import Jaws
from sim.units import BAR, MINUTE, MM, MPA
from sim.wiring.loom import Loom
from sim.wiring.site_rows import NO_CHANGE, SiteRows

HOUR: Final = 60 * MINUTE
KW: Final = 1e3
KNM: Final = 1e3
CM2: Final = 1e-4
LITRE: Final = 1e-3
_LEAST, _MOST = 1e-3, 1e6  # of anything, in its shop unit


@dataclass(frozen=True, slots=True)
class MachineEntry:
    """Where a number stands in a machine file, and what may stand there."""

    section: str
    key: str
    si: float  # of one shop unit
    low: float
    high: float


def of(
    section: str, key: str, si: float = 1.0, *, within: tuple[float, float] = (_LEAST, _MOST)
) -> Any:
    """Return a field of `Machine` that a machine file tells under section and key.

    Args:
        section: Of the file.
        key: The name in it, with its shop unit.
        si: What one of that unit is in SI.
        within: Lowest and highest, in the shop unit.
    """
    return field(metadata={"entry": MachineEntry(section, key, si, *within)})


def entry_of(each: Field[Any]) -> MachineEntry:
    """Return what a field of `Machine` says of its place in a machine file."""
    entry: MachineEntry = each.metadata["entry"]
    return entry


# fmt: off
@dataclass(frozen=True, kw_only=True)
class Machine:
    """One saw."""

    name: str
    loom: Loom  # its wiring
    site_rows: SiteRows = NO_CHANGE  # what its controller has other than the table of interlocks
    # Band
    band_low_m_s: float = of("band", "low_m_min", 1.0 / MINUTE)
    band_high_m_s: float = of("band", "high_m_min", 1.0 / MINUTE)
    motor_w: float = of("band", "motor_kw", KW, within=(0.1, 30))
    band_width_m: float = of("band", "width_mm", MM)
    band_thickness_m: float = of("band", "thickness_mm", MM)
    kerf_m: float = of("band", "kerf_mm", MM, within=(0.5, 4))
    start_s: float = of("band", "start_s")  # standstill to speed
    coast_s: float = of("band", "coast_s", within=(0.1, 120))  # speed to standstill
    variator_m_s2: float = of("band", "variator_m_min_s", 1.0 / MINUTE)  # m/s of band speed a second
    thrust_ratio: float = of("band", "thrust_ratio")  # feed force over cutting force; common practice, no source
    wheel_m: float = of("band", "wheel_mm", MM)
    band_length_m: float = of("band", "length_mm", MM, within=(500, 20_000))  # once round both wheels
    wheel_friction: float = of("band", "wheel_friction", within=(0.001, 2))  # band on its wheels, oily
    belt_n: float = of("band", "belt_n")  # pull at the band that the variator's belt passes on when sound
    stall_s: float = of("band", "stall_s")  # from speed to standstill when the pull is too much
    band_life_s: float = of("band", "life_h", HOUR)  # of sawing, at the middle of a metal's speeds
    # Motor and its relay
    motor_efficiency: float = of("motor", "motor_efficiency", within=(0.01, 1))
    power_factor: float = of("motor", "power_factor", within=(0.01, 1))
    voltage_v: float = of("motor", "voltage_v")
    drive_efficiency: float = of("motor", "drive_efficiency", within=(0.01, 1))  # variator and worm gear
    idle_w: float = of("motor", "idle_w")  # at the highest speed, band running free
    relay_cool: float = of("motor", "relay_cool", within=(0.01, 1))  # the heat at which the relay lets itself be reset
    relay_low_a: float = of("motor", "relay_low_a")  # that its dial goes to
    relay_high_a: float = of("motor", "relay_high_a")
    # Tension
    tension_low_pa: float = of("tension", "low_mpa", MPA)  # below and above, the tension switch opens
    tension_high_pa: float = of("tension", "high_mpa", MPA)
    throw_pa: float = of("tension", "throw_mpa", MPA)  # below this a running band climbs off its wheels
    band_strength_pa: float = of("tension", "strength_mpa", MPA)  # of the weld; bending round the wheels counts
    heat_felt: float = of("tension", "heat_felt", within=(0.01, 1))  # of the tension that heat takes; the spring washers give the rest back
    warm_up_s: float = of("tension", "warm_up_s")
    screw_high_pa: float = of("tension", "screw_high_mpa", MPA)  # as far as its screw goes
    tension_found_pa: float = of("tension", "found_mpa", MPA)  # as it was last set
    # Guides
    fixed_guide_m: float = of("guides", "fixed_mm", MM)  # from the fixed jaw; the bar lies against that jaw
    guide_low_m: float = of("guides", "low_mm", MM)
    guide_high_m: float = of("guides", "high_mm", MM)
    arm_drift_m_m2: float = of("guides", "arm_drift_mm_cm2", MM / CM2)  # of an arm left unlocked, per area sawn
    guard_reach_m: float = of("guides", "guard_reach_mm", MM)  # how far the arm may leave its guard before the switch opens
    wander_limit_m: float = of("guides", "range_mm", MM)  # of the deviation gauge
    deviation_s: float = of("guides", "time_s")  # beyond it, until the saw stops
    square_limit: float = of("guides", "square_limit_mm_m", MM)  # out of square, m a m, that nobody would pass
    square_least_m: float = of("guides", "square_least_mm", MM)  # under this, over the whole face, nobody can measure it
    guide_found_m: float = of("guides", "found_mm", MM)  # free span as the arm was last left
    # Vises
    powered_stroke_m: float = of("vises", "powered_stroke_mm", MM, within=(2, 30))
    jaw_gap_m: float = of("vises", "jaw_gap_mm", MM)  # to which the jaw is set by hand
    finger_m: float = of("vises", "finger_mm", MM)  # a wider gap has room for a finger
    jaw_m_s: float = of("vises", "jaw_mm_s", MM)
    piston_m2: float = of("vises", "piston_cm2", CM2)
    build_up_s: float = of("vises", "build_up_s")  # from contact to full clamping pressure
    clamping_switch_pa: float = of("vises", "switch_bar", BAR)
    clamping_low_pa: float = of("vises", "low_bar", BAR)
    clamping_high_pa: float = of("vises", "high_bar", BAR, within=(10, 200))
    jaw_efficiency: float = of("vises", "jaw_efficiency", within=(0.01, 1))  # seals; 0.85 to 0.95 from memory
    jaw_friction: float = of("vises", "jaw_friction", within=(0.001, 2))  # oily; a choice
    jaw_touch_m: float = of("vises", "jaw_touch_mm", MM)  # a jaw that stands closer rubs on the bar when open
    skew_rate: float = of("vises", "skew_rate")  # creep per depth of a bar that turns, nothing held
    slide_rate: float = of("vises", "slide_rate")  # creep per depth of a bar that slides, nothing held
    loose_share: float = of("vises", "loose_share", within=(0.01, 1))  # of the clamping force that one loose bar of a pair gets
    slip_seen_m: float = of("vises", "slip_seen_mm", MM)  # under this nobody can measure that the bar moved
    dent_seen_m: float = of("vises", "dent_seen_mm", MM)  # under this nobody finds it
    bed_step_m: float = of("vises", "bed_step_mm", MM)  # by which a short bar hangs at its rear without the support arm
    creep_share: float = of("vises", "creep_share", within=(0.01, 1))  # of every speed, with the creep valve shut
    jaw_reach_m: float = of("vises", "jaw_reach_mm", MM)  # how far from the bar the jaw can be set
    clamping_found_pa: float = of("vises", "found_bar", BAR)  # as its last setting was
    # Shuttle
    stroke_m: float = of("shuttle", "stroke_mm", MM, within=(100, 2000))
    shuttle_m_s: float = of("shuttle", "speed_mm_s", MM)
    drive_n: float = of("shuttle", "drive_n", within=(100, 100_000))  # the most that its oil pulls with
    play_m: float = of("shuttle", "play_mm", MM, within=(0, 2))
    cut_scatter_m: float = of("shuttle", "scatter_mm", MM, within=(0, 1))  # standard deviation of the length of a piece; common practice, no source
    jaw_front_m: float = of("shuttle", "jaw_front_mm", MM)  # shuttle vise from the band when forward
    jaw_length_m: float = of("shuttle", "jaw_length_mm", MM)  # along the bar; the bar sensor sits at its rear edge
    cutting_jaw_m: float = of("shuttle", "cutting_jaw_mm", MM)  # along the bar, up to the band
    shuttle_m_s2: float = of("shuttle", "acceleration_m_s2")  # how it speeds up and slows down, as the bar feels it
    roller_drag: float = of("shuttle", "roller_drag")  # of the bar's weight
    rollers_m: float = of("shuttle", "rollers_mm", MM, within=(1000, 20_000))  # from the band to the furthest roller of the infeed
    infeed_hood: bool = of("shuttle", "infeed_hood")  # over shuttle and shuttle vise; an older saw has none
    arm_m: float = of("shuttle", "arm_mm", MM)  # where the support arm stands when up, of the shuttle's way
    stop_low_m: float = of("shuttle", "stop_low_mm", MM)  # the shortest stroke that the length stop can be set to
    stop_found_m: float = of("shuttle", "found_mm", MM)  # reading of the length stop as it was last left
    # Head
    up_switch_m: float = of("head", "up_switch_mm", MM)  # that the head sinks before its upper switch lets go again
    head_bottom_m: float = of("head", "bottom_mm", MM, within=(-50, 0))  # the band's edge below the bed when down
    head_top_m: float = of("head", "top_mm", MM)
    lift_m_s: float = of("head", "lift_mm_s", MM)
    valve_high_m_s: float = of("head", "valve_high_mm_min", MM / MINUTE, within=(10, 100_000))
    force_low_n: float = of("head", "force_low_n")
    force_high_n: float = of("head", "force_high_n")
    head_kg: float = of("head", "mass_kg", within=(5, 2000))  # as felt at the band
    head_sinks: bool = of("head", "head_without_power")  # without control power it `sinks`, or it `holds`
    shut_creep_m_s: float = of("head", "shut_creep_mm_min", MM / MINUTE)  # through a shut feed valve, without control power
    jerk_s: float = of("head", "jerk_s")  # period of sticking and slipping with air in the oil
    jerk_stands: float = of("head", "jerk_stands", within=(0.01, 0.95))  # of the period
    throttle_right: float = of("head", "throttle_right")  # turns that the exhaust throttle of the lift is open
    throttle_open: float = of("head", "throttle_open")  # turns, from which it no longer matters
    stops_short_m: float = of("head", "stops_short_mm", MM)  # above its lowest place, with that throttle all but shut
    dive_m: float = of("head", "dive_mm", MM)  # by which it then springs down when the work gives way
    dive_m_s: float = of("head", "dive_mm_s", MM)
    notch_step_m: float = of("head", "notch_step_mm", MM)
    notches: int = of("head", "notches")  # the first one step above the bed
    ring_creep_m: float = of("head", "ring_creep_mm", MM)  # down its rod with each stroke, the plunger on the land
    ring_ridden: int = of("head", "ring_ridden")  # strokes that a ring forgotten on the land has crept for when it is found
    throttle_high: float = of("head", "throttle_high")  # turns, as far as that throttle goes
    force_found_n: float = of("head", "found_n")  # feed force as it was last set
    fall_m_s: float = of("head", "fall_mm_s", MM)  # with the feed valve shut and no air left to carry it
    prop_m: float = of("head", "prop_mm", MM, within=(20, 1000))  # height at which the prop carries it
    relief_m_s: float = of("head", "relief_mm_s", MM, within=(1, 50))  # at which it comes down through its open oil relief
    lift_piston_m2: float = of("head", "lift_piston_cm2", CM2)
    lift_trapped_pa: float = of("head", "lift_trapped_bar", BAR)  # what its check valve keeps under a head that rests
    pump_stroke_m: float = of("head", "pump_stroke_mm", MM, within=(0.1, 5))  # that one stroke of the hand pump raises it
    # Swivel
    yaw_arm_m: float = of("swivel", "pull_arm_mm", MM)  # of the band's pull about the pivot
    index_deg: tuple[float, ...] = of("swivel", "index_deg", within=(0, 90))  # at which the plunger snaps home
    clamp_screw_low: float = of("swivel", "clamp_screw_low")  # turns in, up to which the closed lever clamps nothing
    clamp_screw_right: float = of("swivel", "clamp_screw_right")
    clamp_screw_high: float = of("swivel", "clamp_screw_high")  # beyond which the lever does not close
    clamp_nm: float = of("swivel", "clamp_nm")  # moment that the closed lever holds, its screw set right
    lever_open_nm_rad: float = of("swivel", "lever_open_knm_rad", KNM)  # what friction of the pivot is left when it does not hold
    plunger_out_nm_rad: float = of("swivel", "plunger_out_knm_rad", KNM)
    rail_m: float = of("swivel", "rail_mm", MM)  # height of the back rail of the outfeed
    mitre_high_deg: float = of("swivel", "mitre_high_deg")
    clamp_screw_most: float = of("swivel", "clamp_screw_most")  # turns, as far as it goes
    # Chip brush and coolant
    packs_at_m2: float = of("coolant", "packs_at_cm2", CM2)  # area sawn until gullets that nothing sweeps are full
    brush_wear_s_m: float = of("coolant", "brush_wear_s_mm", MM)  # s of sawing that wear the brush away, times m too deep
    brush_spare_m: float = of("coolant", "brush_spare_mm", MM)  # that bristles may stand deeper than the gullets
    tank_m3: float = of("coolant", "tank_l", LITRE)
    carried_off_m3_s: float = of("coolant", "carried_off_l_h", LITRE / HOUR)  # with chips, while it flows
    dries_off_m3_s: float = of("coolant", "dries_off_l_h", LITRE / HOUR)  # of water, while it flows
    wash_m3_s: float = of("coolant", "wash_l_min", LITRE / MINUTE)  # through the wash-down hose
    wash_left: float = of("coolant", "wash_left", within=(0.01, 1))  # share of the flow that then still reaches the cut
    spill_m3: float = of("coolant", "spill_l", LITRE)  # on the floor, from which somebody slips
    brush_high_m: float = of("coolant", "brush_high_mm", MM)  # as deep as the brush can be set
    brush_found_m: float = of("coolant", "brush_found_mm", MM)
    coolant_low: float = of("coolant", "coolant_low", within=(0.01, 1))  # of a full tank, at which its switch lets go
    coolant_empty: float = of("coolant", "coolant_empty", within=(0.01, 1))  # of a full tank, at which the pump draws air
    # Supply
    air_vent_s: float = of("supply", "air_vent_s", within=(0.5, 10))  # time constant of the pressure behind the shut air cock, which vents
    air_hold_pa: float = of("supply", "air_hold_bar", BAR)  # under this the head is not held
    air_switch_pa: float = of("supply", "air_switch_bar", BAR)
    air_normal_pa: float = of("supply", "air_normal_bar", BAR)
    air_high_pa: float = of("supply", "air_high_bar", BAR)  # as far as its regulator goes
    oil_low: float = of("supply", "oil_low", within=(0.01, 1))  # of a full tank, at which its switch lets go
    oil_none: float = of("supply", "oil_none", within=(0.01, 1))  # of a full tank, at which the pump draws air
    # Control
    mode_rest_s: float = of("control", "mode_rest_s", within=(0.1, 0.5))  # of the mode switch, before its mode takes effect; words say at most half a second
    jog_s: float = of("control", "jog_s", within=(0.05, 0.3))  # the longest that the band is driven in MAINTENANCE

    # What follows from these, for the saw and for whoever reckons beforehand.

    @cached_property
    def strip(self) -> Band:
        """The band as a strip of steel."""
        return Band(self.band_width_m, self.band_thickness_m)

    @property
    def cutting_jaws(self) -> Jaws:
        """The jaws at the band."""
        return Jaws(self.piston_m2, self.cutting_jaw_m, self.jaw_efficiency, self.jaw_friction)

    @property
    def shuttle_jaws(self) -> Jaws:
        """The jaws on the shuttle; they clamp less of the bar, and so dent it sooner."""
        return Jaws(self.piston_m2, self.jaw_length_m, self.jaw_efficiency, self.jaw_friction)

    def leans(self, out_of_square: float, face_m: float) -> bool:
        """Return whether nobody would pass a face.

        Args:
            out_of_square: Of the face, m a m.
            face_m: What that comes to over the whole face, m; too little of it cannot be measured.
        """
        return out_of_square > self.square_limit and face_m > self.square_least_m

    def wheels_pull_n(self, tension_pa: float) -> float:
        """Return the most that the wheels pass on to a band, N.

        Args:
            tension_pa: Stress of a strand, Pa.
        """
        return slip_limit_n(strand_force_n(tension_pa, self.strip), self.wheel_friction)

    @property
    def least_rest_m(self) -> float:
        """The rest of a bar behind the band that no stroke fetches any more, m.

        At the end of its stroke the shuttle vise stands forward, and the bar has to fill it.
        """
        return self.jaw_front_m + self.jaw_length_m
# fmt: on

ENTRIES: Final = {each.name: entry_of(each) for each in fields(Machine) if each.metadata}
"""By the name of the field."""

# What must be less than what, for a saw that can be built.
ORDERED: Final = (
    ("band_low_m_s", "band_high_m_s"),
    ("wheel_m", "band_length_m"),
    ("band_thickness_m", "kerf_m"),  # the teeth are set wider than the band
    ("relay_low_a", "relay_high_a"),
    ("throw_pa", "tension_low_pa"),
    ("tension_low_pa", "tension_high_pa"),
    ("tension_high_pa", "screw_high_pa"),
    ("guide_low_m", "guide_high_m"),
    ("clamping_switch_pa", "clamping_low_pa"),
    ("clamping_low_pa", "clamping_high_pa"),
    ("jaw_touch_m", "jaw_gap_m"),
    ("jaw_gap_m", "finger_m"),
    ("finger_m", "powered_stroke_m"),
    ("powered_stroke_m", "jaw_reach_m"),
    ("stop_low_m", "stroke_m"),
    ("arm_m", "stroke_m"),
    ("force_low_n", "force_high_n"),
    ("up_switch_m", "notch_step_m"),
    ("throttle_open", "throttle_right"),
    ("throttle_right", "throttle_high"),
    ("clamp_screw_low", "clamp_screw_right"),
    ("clamp_screw_right", "clamp_screw_high"),
    ("clamp_screw_high", "clamp_screw_most"),
    ("coolant_empty", "coolant_low"),
    ("oil_none", "oil_low"),
    ("air_hold_pa", "air_switch_pa"),
    ("air_switch_pa", "air_normal_pa"),
    ("air_normal_pa", "air_high_pa"),
    ("clamping_low_pa", "clamping_found_pa"),
    ("clamping_found_pa", "clamping_high_pa"),
    ("stop_low_m", "stop_found_m"),
    ("stop_found_m", "stroke_m"),
    ("force_low_n", "force_found_n"),
    ("force_found_n", "force_high_n"),
    ("tension_low_pa", "tension_found_pa"),
    ("tension_found_pa", "tension_high_pa"),
    ("guide_low_m", "guide_found_m"),
    ("guide_found_m", "guide_high_m"),
    ("brush_found_m", "brush_high_m"),
    ("valve_high_m_s", "fall_m_s"),
    ("relief_m_s", "fall_m_s"),
    ("prop_m", "head_top_m"),
)
