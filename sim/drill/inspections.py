"""Ways to look at the machine: what each takes, whether hands go in, and what comes back.

A finding is read off the plant and never names a fault. Metering a wire is one inspection for each
signal, `meter B11`; the rest are in the table. Imports `saw` and below.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from sim.saw import Saw
from sim.signals import BY_TAG
from sim.units import BAR, MM


@dataclass(frozen=True, slots=True)
class Inspection:
    """One way to look."""

    name: str
    title: str
    place: str  # station
    seconds: float
    look: Callable[[Saw], str]
    reaches_in: bool = False  # hands go into the machine: lock-out first


def _collar(saw: Saw) -> str:
    return (
        "The pin goes through the collar."
        if saw.plant.head.pin_through
        else "The pin is under the collar; the collar rides on it."
    )


def _hole(saw: Saw) -> str:
    machine = saw.plant.site.machine
    height_mm = saw.plant.head.hole * machine.hole_step_m / MM
    return f"The pin is in the hole for {height_mm:.0f} mm; the bar is {saw.plant.bar.height_m / MM:.1f} mm high."


def _band_over_bar(saw: Saw) -> str:
    gap_mm = (saw.plant.head.place.position - saw.plant.bar.height_m) / MM
    if gap_mm > 0:
        return f"The band stands {gap_mm:.0f} mm above the bar."
    return f"The band stands {-gap_mm:.0f} mm below the top of the bar."


def _stop_play(saw: Saw) -> str:
    play_mm = (saw.plant.shuttle.counter_m - saw.plant.shuttle.stop_m) / MM
    if play_mm < 0.005:
        return "The length stop stands firm against its screw, with no play towards the blade."
    return f"The length stop can be pulled {play_mm:.2f} mm away from the blade before the screw holds it."


def _tachometer(saw: Saw) -> str:
    band = saw.plant.band
    dial = band.dial.position * 60
    if not band.turning:
        return f"The band stands still; the dial shows {dial:.0f} m/min."
    return f"The band runs at {band.speed_m_s * 60:.1f} m/min; the dial shows {dial:.0f} m/min."


def _pulley(saw: Saw) -> str:
    if saw.plant.band.damage > 0.0:
        return "The pulley halves are scored and glazed, and there is belt dust in the case."
    return "The pulley halves are smooth and the belt is clean."


def _last_piece(saw: Saw) -> str:
    for cut in reversed(saw.cuts):
        if cut.length_m > 0.0 and not cut.trim:
            return f"The last piece measures {cut.length_m / MM:.2f} mm."
    return "No piece has been cut yet."


def _jaws(saw: Saw) -> str:
    plant = saw.plant
    return (
        f"The cutting vise jaw was left {plant.cutting_vise.gap_m / MM:.0f} mm from the bar, "
        f"the shuttle vise jaw {plant.shuttle_vise.gap_m / MM:.0f} mm."
    )


def _grip(saw: Saw) -> str:
    plant = saw.plant
    return (
        f"The cutting vise shows {plant.cutting_vise.pressure_pa / BAR:.0f} bar, "
        f"the shuttle vise {plant.shuttle_vise.pressure_pa / BAR:.0f} bar."
    )


def _air(saw: Saw) -> str:
    return f"The air gauge shows {saw.plant.supply.air_pa / BAR:.1f} bar."


def _oil(saw: Saw) -> str:
    return f"The oil stands at {saw.plant.supply.oil_level:.0%} of the glass."


def _coolant(saw: Saw) -> str:
    flow = "runs" if saw.plant.coolant.flowing else "does not run"
    return f"The coolant {flow}; the tank is {saw.plant.coolant.level:.0%} full."


def _feed(saw: Saw) -> str:
    head = saw.plant.head
    return (
        f"The feed valve is set to {head.valve_m_s / MM * 60:.0f} mm/min "
        f"and the feed force to {head.force_n:.0f} N."
    )


def _lamps(saw: Saw) -> str:
    on = [tag for tag, value in saw.bus.seen.items() if value and tag[0] == "B"]
    return "These inputs are lit: " + ", ".join(on) + "."


_ROWS: Final = (
    Inspection("collar-pin", "Look at the pin of the height stop", "head", 20, _collar),
    Inspection("stop-hole", "Read the hole of the height stop against the bar", "head", 20, _hole),
    Inspection("band-over-bar", "Measure from the bar up to the band", "head", 30, _band_over_bar),
    Inspection("feed-settings", "Read feed valve and feed force", "head", 15, _feed),
    Inspection("stop-play", "Try the length stop for play", "shuttle", 30, _stop_play),
    Inspection("last-piece", "Measure the last piece", "job", 40, _last_piece),
    Inspection("tachometer", "Hold a tachometer to the band", "band", 40, _tachometer),
    Inspection(
        "pulley", "Open the cover and look at the variator pulley", "band", 300, _pulley, True
    ),
    Inspection("jaw-gaps", "Look at the jaw gaps", "cutting_vise", 20, _jaws),
    Inspection("grip-gauges", "Read the grip gauges", "cutting_vise", 15, _grip),
    Inspection("air-gauge", "Read the air gauge", "supply", 10, _air),
    Inspection("oil-glass", "Look at the oil glass", "supply", 15, _oil),
    Inspection("coolant-tank", "Look at coolant flow and tank", "coolant", 15, _coolant),
    Inspection("input-lamps", "Read the input lamps in the cabinet", "supply", 60, _lamps),
)

INSPECTIONS: Final = {row.name: row for row in _ROWS}
METER_S: Final = 45.0


def meter(tag: str) -> Inspection:
    """Return the inspection that puts a meter on one wire."""
    row = BY_TAG[tag]

    def look(saw: Saw) -> str:
        live = saw.bus.seen[tag]
        return f"{tag} is {'live' if live else 'dead'}; live means that {row.text}."

    return Inspection(f"meter {tag}", f"Meter {tag}: {row.text}", "supply", METER_S, look)


def find(name: str) -> Inspection | None:
    """Return an inspection by its name, or None."""
    word, _, tag = name.partition(" ")
    if word == "meter" and tag.upper() in BY_TAG:
        return meter(tag.upper())
    return INSPECTIONS.get(name)
