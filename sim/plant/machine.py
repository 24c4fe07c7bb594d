"""The saw's own dimensions and limits: the defaults of the training saw, SI throughout.

A machine file may change any of them. All are invented for this saw unless a line says otherwise.
"""

from dataclasses import dataclass

from sim.units import BAR, MM, MPA


@dataclass(frozen=True)
class Machine:
    """One saw."""

    name: str = "harbour-saw"
    # Band
    band_low_m_s: float = 20 / 60
    band_high_m_s: float = 110 / 60
    motor_w: float = 3000.0
    band_width_m: float = 34 * MM
    band_thickness_m: float = 1.1 * MM
    kerf_m: float = 1.5 * MM
    start_s: float = 1.2  # standstill to speed
    coast_s: float = 3.0  # speed to standstill
    variator_m_s2: float = 10 / 60  # m/s of band speed a second
    thrust_ratio: float = 1.0  # feed force over cutting force; common practice, no source
    wheel_m: float = 450 * MM
    wheel_friction: float = 0.10  # band on its wheels, oily
    belt_n: float = 2500.0  # pull at the band that the variator's belt passes on when sound
    stall_s: float = 0.3  # from speed to standstill when the pull is too much
    band_life_s: float = 8 * 3600.0  # of sawing, at the middle of a metal's speeds
    # Motor and its relay
    motor_efficiency: float = 0.82
    power_factor: float = 0.77
    voltage_v: float = 400.0
    drive_efficiency: float = 0.7  # variator and worm gear
    idle_w: float = 450.0  # at the highest speed, band running free
    relay_cool: float = 0.7  # the heat at which the relay lets itself be reset
    # Tension
    tension_low_pa: float = 150 * MPA  # below and above, the tension switch opens
    tension_high_pa: float = 300 * MPA
    throw_pa: float = 60 * MPA  # below this a running band climbs off its wheels
    band_strength_pa: float = 900 * MPA  # of the weld; bending round the wheels counts
    heat_felt: float = 0.3  # of the tension that heat takes; the spring washers give the rest back
    warm_up_s: float = 120.0
    # Guides
    fixed_guide_m: float = 10 * MM  # from the fixed jaw; the bar lies against that jaw
    guide_low_m: float = 40 * MM
    guide_high_m: float = 340 * MM
    arm_drift_m_m2: float = 2.5  # of an arm left unlocked, per area sawn
    guard_reach_m: float = 15 * MM  # how far the arm may leave its guard before the switch opens
    wander_limit_m: float = 0.8 * MM  # of the deviation gauge
    deviation_s: float = 6.0  # beyond it, until the saw stops
    square_limit: float = 0.2 / 100  # out of square, m a m, that nobody would pass
    square_least_m: float = 0.1 * MM  # under this, over the whole face, nobody can measure it
    # Vises
    powered_stroke_m: float = 10 * MM
    jaw_gap_m: float = 4 * MM  # to which the jaw is set by hand
    finger_m: float = 6 * MM  # a wider gap has room for a finger
    jaw_m_s: float = 8 * MM
    piston_m2: float = 20e-4
    build_up_s: float = 0.3  # from contact to full grip
    grip_switch_pa: float = 4 * BAR
    grip_low_pa: float = 5 * BAR
    grip_high_pa: float = 60 * BAR
    jaw_efficiency: float = 0.9  # seals; 0.85 to 0.95 from memory
    jaw_friction: float = 0.15  # oily; a choice
    jaw_touch_m: float = 0.5 * MM  # a jaw that stands closer rubs on the bar when open
    skew_rate: float = 0.02  # creep per depth of a bar that turns, nothing held
    slide_rate: float = 0.05  # creep per depth of a bar that slides, nothing held
    loose_share: float = 0.5  # of the grip that one loose bar of a pair gets
    slip_seen_m: float = 0.05 * MM  # under this nobody can measure that the bar moved
    dent_seen_m: float = 0.02 * MM  # under this nobody finds it
    bed_step_m: float = 0.6 * MM  # by which a short bar hangs at its rear without the support arm
    creep_share: float = 0.1  # of every speed, with the creep valve shut
    # Shuttle
    stroke_m: float = 600 * MM
    shuttle_m_s: float = 150 * MM
    play_m: float = 0.15 * MM
    jaw_front_m: float = 150 * MM  # shuttle vise from the blade when forward
    jaw_length_m: float = 80 * MM  # along the bar; the bar sensor sits at its rear edge
    cutting_jaw_m: float = 120 * MM  # along the bar, up to the blade
    shuttle_m_s2: float = 1.0  # how it speeds up and slows down, as the bar feels it
    roller_drag: float = 0.05  # of the bar's weight
    arm_m: float = 60 * MM  # where the support arm stands when up, of the shuttle's way
    # Head
    up_switch_m: float = 0.5 * MM  # that the head sinks before its upper switch lets go again
    head_bottom_m: float = -3 * MM  # the band's edge below the bed when down
    head_top_m: float = 260 * MM
    lift_m_s: float = 60 * MM
    valve_high_m_s: float = 250 * MM / 60
    force_low_n: float = 50.0
    force_high_n: float = 1500.0
    head_kg: float = 60.0  # as felt at the band
    head_sinks: bool = True  # without control power; else it holds
    shut_creep_m_s: float = 0.6 * MM / 60  # through a shut feed valve, without control power
    jerk_s: float = 1.5  # period of sticking and slipping with air in the oil
    jerk_stands: float = 0.7  # of the period
    throttle_right: float = 1.0  # turns that the exhaust throttle of the lift is open
    throttle_open: float = 0.25  # turns, from which it no longer matters
    stops_short_m: float = 2.5 * MM  # above its lowest place, with that throttle all but shut
    dive_m: float = 2 * MM  # by which it then springs down when the work gives way
    dive_m_s: float = 50 * MM
    notch_step_m: float = 20 * MM
    notches: int = 12  # the first one step above the bed
    ring_creep_m: float = 10 * MM  # down its rod with each stroke, the plunger on the land
    ring_ridden: int = 4  # strokes that a ring forgotten on the land has crept for when it is found
    # Swivel
    yaw_arm_m: float = 0.4  # of the band's pull about the pivot
    index_deg: tuple[float, ...] = (0.0, 15.0, 30.0, 45.0, 60.0)  # at which the plunger snaps home
    clamp_screw_low: float = 1.0  # turns in, up to which the closed lever clamps nothing
    clamp_screw_right: float = 2.0
    clamp_screw_high: float = 3.0  # beyond which the lever does not close
    clamp_nm: float = 1000.0  # moment that the closed lever holds, its screw set right
    lever_open_nm_rad: float = 6e3  # what friction of the pivot is left when it does not hold
    plunger_out_nm_rad: float = 20e3
    rail_m: float = 50 * MM  # height of the back rail of the outfeed
    # Chip brush and coolant
    packs_at_m2: float = 100e-4  # area sawn until gullets that nothing sweeps are full
    brush_wear_s_m: float = 1.8  # s of sawing that wear the brush away, times m too deep
    brush_spare_m: float = 1.5 * MM  # that bristles may stand deeper than the gullets
    tank_m3: float = 0.1
    carried_off_m3_s: float = 2e-3 / 3600  # with chips, while it flows
    dries_off_m3_s: float = 0.5e-3 / 3600  # of water, while it flows
    wash_m3_s: float = 10e-3 / 60  # through the wash-down hose
    wash_left: float = 0.5  # share of the flow that then still reaches the cut
    spill_m3: float = 5e-3  # on the floor, from which somebody slips
    # Supply
    air_leak_s: float = 600.0  # time constant of the pressure with the air cock shut
    air_hold_pa: float = 1 * BAR  # under this the head is not held
    air_switch_pa: float = 4.5 * BAR
    air_normal_pa: float = 6.0 * BAR
