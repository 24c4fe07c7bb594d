"""The saw's own dimensions and limits: the defaults of the training saw, SI throughout.

A machine file may change any of them. All are invented for this saw unless a line says otherwise.
Imports `units` only.
"""

from dataclasses import dataclass

from sim.units import BAR, MM


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
    # Vises
    powered_stroke_m: float = 8 * MM
    jaw_m_s: float = 8 * MM
    jaw_way_m: float = 260 * MM  # how far the jaw can be slid by hand
    piston_m2: float = 20e-4
    build_up_s: float = 0.3  # from contact to full grip
    grip_switch_pa: float = 4 * BAR
    grip_low_pa: float = 5 * BAR
    grip_high_pa: float = 60 * BAR
    # Shuttle
    stroke_m: float = 600 * MM
    shuttle_m_s: float = 150 * MM
    backlash_m: float = 0.15 * MM
    jaw_front_m: float = 150 * MM  # shuttle vise from the blade when forward
    jaw_length_m: float = 80 * MM  # along the bar; the bar sensor sits at its rear edge
    cutting_jaw_m: float = 120 * MM  # along the bar, up to the blade
    # Head
    head_bottom_m: float = -3 * MM  # the band's edge below the bed when down
    head_top_m: float = 260 * MM
    lift_m_s: float = 60 * MM
    valve_high_m_s: float = 250 * MM / 60
    force_low_n: float = 50.0
    force_high_n: float = 800.0
    hole_step_m: float = 20 * MM
    holes: int = 12  # the first one step above the bed
    collar_m: float = 40 * MM  # how much lower the switch makes with the pin under the collar
    # Supply
    air_switch_pa: float = 4.5 * BAR
    air_normal_pa: float = 6.0 * BAR
