"""Looks at the bar, what holds it, what moves it, and the last piece."""

from typing import Final

from sim.saw import Cut, Saw
from sim.session.inspections.inspection import Inspection, Kind
from sim.units import BAR, MM


def _last(saw: Saw) -> Cut | None:
    return next((c for c in reversed(saw.cuts) if c.length_m > 0.0 and not c.trim), None)


def _stop_play(saw: Saw) -> str:
    play_mm = (saw.plant.shuttle.counter_m - saw.plant.shuttle.stop_m) / MM
    if play_mm < 0.005:
        return "The length stop stands firm against its screw, with no play towards the blade."
    return f"The length stop can be pulled {play_mm:.2f} mm away from the blade before the screw holds it."


def _counter(saw: Saw) -> str:
    strokes = saw.controller.job.strokes
    plural = "stroke" if strokes == 1 else "strokes"
    return f"The length counter reads {saw.plant.shuttle.counter_m / MM:.2f} mm, for {strokes} {plural} a piece."


def _last_piece(saw: Saw) -> str:
    cut = _last(saw)
    return (
        f"The last piece measures {cut.length_m / MM:.2f} mm."
        if cut
        else "No piece has been cut yet."
    )


def _last_face(saw: Saw) -> str:
    cut, machine = _last(saw), saw.plant.site.machine
    if cut is None:
        return "No piece has been cut yet."
    bar_m = max(saw.plant.bar.height_m, saw.plant.bar.stock.section.width_m)
    off = cut.out_of_square
    crooked = off > machine.square_limit and off * bar_m > machine.square_least_m
    dented = cut.dent_m > machine.dent_seen_m
    face = (
        "The face of the last piece is out of square"
        if crooked
        else "The face of the last piece is square"
    )
    return f"{face}, and its sides are {'dented' if dented else 'sound'}."


def _jaws(saw: Saw) -> str:
    plant = saw.plant
    return (
        f"The cutting vise jaw was left {plant.cutting_vise.gap_m / MM:.0f} mm from the bar, "
        f"the shuttle vise jaw {plant.shuttle_vise.gap_m / MM:.0f} mm."
    )


def _grip_valves(saw: Saw) -> str:
    plant = saw.plant
    return (
        f"The grip valve of the cutting vise is set to {plant.cutting_vise.set_pressure_pa / BAR:.0f} "
        f"bar, that of the shuttle vise to {plant.shuttle_vise.set_pressure_pa / BAR:.0f} bar."
    )


def _grip(saw: Saw) -> str:
    plant = saw.plant
    return (
        f"The cutting vise shows {plant.cutting_vise.pressure_pa / BAR:.0f} bar, "
        f"the shuttle vise {plant.shuttle_vise.pressure_pa / BAR:.0f} bar."
    )


def _wipe(saw: Saw) -> str:
    vise = saw.plant.cutting_vise
    oily = vise.friction < saw.plant.site.machine.jaw_friction
    return (
        "The cloth comes away from the cutting jaws wet with oil."
        if oily
        else "The cutting jaws are dry."
    )


def _clamp(saw: Saw) -> str:
    supports = saw.plant.supports
    bars = "one bar" if supports.bars == 1 else f"{supports.bars} bars"
    return f"There is a row of {bars} in the vise; the bundle clamp is {supports.clamp}."


def _bar_end(saw: Saw) -> str:
    behind = saw.plant.bar.rear_m <= saw.plant.shuttle.rear_edge_m + 1e-9
    return (
        "The bar lies before the bar sensor."
        if behind
        else "There is no bar before the bar sensor."
    )


def _rollers(saw: Saw) -> str:
    stiff = saw.plant.shuttle.drag > saw.plant.site.machine.roller_drag
    return (
        "The infeed rollers hardly turn under the hand."
        if stiff
        else "The infeed rollers turn freely."
    )


def _support_roller(saw: Saw) -> str:
    return f"The loose support roller is {saw.plant.supports.roller}."


_G: Final = Kind.GAUGE

BAR_LOOKS: Final = (
    Inspection("stop-play", "Try the length stop for play", "shuttle", 30, _stop_play),
    Inspection("length-counter", "Read the length counter against the card", "shuttle", 15, _counter, kind=_G),
    Inspection("last-piece", "Measure the last piece", "job", 40, _last_piece, kind=_G),
    Inspection("last-face", "Put a square to the last piece", "job", 30, _last_face),
    Inspection("jaw-gaps", "Look at the jaw gaps", "cutting_vise", 20, _jaws),
    Inspection("grip-valves", "Read the settings of the grip valves", "cutting_vise", 15, _grip_valves),
    Inspection("grip-gauges", "Read the grip gauges", "cutting_vise", 15, _grip, kind=_G),
    Inspection("cutting-jaws", "Wipe the cutting jaws with a cloth", "cutting_vise", 60, _wipe, True),
    Inspection("bundle-clamp", "Look at the bundle clamp", "cutting_vise", 15, _clamp),
    Inspection("bar-end", "Look where the bar ends", "shuttle", 15, _bar_end),
    Inspection("infeed-rollers", "Turn the infeed rollers by hand", "shuttle", 40, _rollers),
    Inspection("support-roller", "Look for the support roller", "shuttle", 10, _support_roller),
)  # fmt: skip
