"""Looks at the head: height stop, feed, swivel and fence."""

from typing import Final

from sim.saw import Saw
from sim.session.inspections.inspection import Inspection
from sim.units import MM

_TOUCHES_MM: Final = 0.5


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
    if abs(gap_mm) < _TOUCHES_MM:
        return "The band lies on the bar."
    if gap_mm > 0:
        return f"The band stands {gap_mm:.0f} mm above the bar."
    return f"The band stands {-gap_mm:.0f} mm below the top of the bar."


def _feed(saw: Saw) -> str:
    head = saw.plant.head
    return (
        f"The feed valve is set to {head.valve_m_s / MM * 60:.0f} mm/min "
        f"and the feed force to {head.force_n:.0f} N."
    )


def _bleed(saw: Saw) -> str:
    turns = saw.plant.head.bleed_turns
    return (
        f"The bleed screw is {turns:g} turns open." if turns else "The bleed screw is fully shut."
    )


def _locks(saw: Saw) -> str:
    swivel = saw.plant.swivel
    return f"The pivot locks are {swivel.locks}, and the mitre lever is {swivel.lever}."


def _fence(saw: Saw) -> str:
    swivel = saw.plant.swivel
    return (
        f"The head is swung to {swivel.mitre_deg:.0f} degrees; the outfeed fence is {swivel.fence}."
    )


HEAD_LOOKS: Final = (
    Inspection("collar-pin", "Look at the pin of the height stop", "head", 20, _collar),
    Inspection("stop-hole", "Read the hole of the height stop against the bar", "head", 20, _hole),
    Inspection("band-over-bar", "Measure from the bar up to the band", "head", 30, _band_over_bar),
    Inspection("feed-settings", "Read feed valve and feed force", "head", 15, _feed),
    Inspection("bleed-screw", "Try the bleed screw of the feed line", "head", 25, _bleed),
    Inspection("swivel-locks", "Try the pivot locks and the mitre lever", "head", 25, _locks),
    Inspection("outfeed-fence", "Look at mitre angle and outfeed fence", "head", 15, _fence),
)
