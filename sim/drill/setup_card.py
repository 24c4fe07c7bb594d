"""The set-up card: what a good operator would set for a job, with the reason and its source.

Imports `trade`, `plant` for names and limits, and the scenario's models.
"""

from dataclasses import dataclass
from math import ceil, pi
from typing import Final

from sim.faults.catalogue import CLEARANCE_M
from sim.plant.bar import Stock
from sim.plant.machine import Machine
from sim.plant.set_points import Setting
from sim.trade.choice import band_speed_m_s, mean_interval_m
from sim.trade.cutting import CutConditions, cutting_force_n, feed_for_force_m_s
from sim.trade.grip import Jaws, grip_window_pa
from sim.trade.length import index_travel_m, strokes_needed
from sim.units import BAR, MM

PRACTICE: Final = "common practice, no source"
CHIP_M: Final = 6e-6  # within the 5 to 50 um that band sawing removes; published abstract
GAP_MM: Final = 4.0  # inside the 6 mm of good practice and the 8 mm of powered stroke
PITCH_M: Final = 0.00635


@dataclass(frozen=True, slots=True)
class Line:
    """One setting."""

    name: str  # set point, or `band.speed_m_min`, which is set by keys with the band running
    setting: Setting
    reason: str
    source: str = PRACTICE


@dataclass(frozen=True, slots=True)
class JobOrder:
    """What is to be cut."""

    piece_m: float
    wanted: int


def strokes_for(machine: Machine, order: JobOrder) -> int:
    """Return how many strokes of the shuttle a piece needs."""
    return strokes_needed(order.piece_m, machine.kerf_m, machine.stroke_m)


def card(machine: Machine, stock: Stock, order: JobOrder) -> tuple[Line, ...]:
    """Return the lines of the card, in the order in which they are set."""
    section, material = stock.section, stock.material
    speed_m_s = band_speed_m_s(material, machine.band_low_m_s, machine.band_high_m_s)
    cut = CutConditions(
        material.kc11_pa, material.mc, PITCH_M, machine.kerf_m, speed_m_s, machine.thrust_ratio
    )
    longest_m = max(section.contact_length_m(section.height_m * (i + 0.5) / 64) for i in range(64))
    force_n = machine.thrust_ratio * cutting_force_n(
        material.kc11_pa, material.mc, machine.kerf_m, CHIP_M, max(longest_m / PITCH_M, 1.0)
    )
    force_n = 10 * round(min(max(force_n, machine.force_low_n), machine.force_high_n) / 10)
    valve_m_s = feed_for_force_m_s(force_n, mean_interval_m(section) * pi / 4, cut)
    valve_mm_min = min(round(valve_m_s / MM * 60), round(machine.valve_high_m_s / MM * 60))
    least_pa, most_pa = grip_window_pa(
        section, material, force_n, Jaws(machine.piston_m2, machine.cutting_jaw_m)
    )
    grip_pa = min(max(2 * least_pa, 30 * BAR), 0.8 * most_pa, machine.grip_high_pa)
    grip_bar = max(round(grip_pa / BAR), round(machine.grip_low_pa / BAR))
    hole = ceil((section.height_m + CLEARANCE_M) / machine.hole_step_m - 1e-9)
    strokes = strokes_for(machine, order)
    counter_mm = index_travel_m(order.piece_m, machine.kerf_m, strokes) / MM
    grip_reason = (
        "Full grip for a solid bar, less for a thin wall, and always enough to hold the cut."
    )
    return (
        Line("cutting_vise.jaw_gap_mm", GAP_MM, "Slide the jaw to within 6 mm of the bar."),
        Line("shuttle_vise.jaw_gap_mm", GAP_MM, "Slide the jaw to within 6 mm of the bar."),
        Line("cutting_vise.pressure_bar", grip_bar, grip_reason, "statics; common practice"),
        Line("shuttle_vise.pressure_bar", grip_bar, grip_reason, "statics; common practice"),
        Line(
            "shuttle.counter_mm", round(counter_mm, 2),
            "Piece plus kerf, shared by the strokes; run past it and back.", "geometry",
        ),
        Line("job.strokes", strokes, "As many strokes as the piece needs.", "geometry"),
        Line("job.wanted", order.wanted, "As many pieces as the order asks for.", "the order"),
        Line("head.stop_hole", hole, "The lowest hole that clears the bar."),
        Line("head.stop_pin", "through", "The pin goes through the collar."),
        Line(
            "head.feed_force_n", force_n, f"A chip of about {CHIP_M * 1e6:.0f} um a tooth.",
            "Kienzle's law, extrapolated to thin chips",
        ),
        Line(
            "head.feed_valve_mm_min", valve_mm_min,
            "No faster in thin metal than the teeth can take.", "Kienzle's law, extrapolated",
        ),
        Line(
            "band.speed_m_min", round(speed_m_s * 60), "The middle of the metal's range.",
            material.source,
        ),
    )  # fmt: skip
