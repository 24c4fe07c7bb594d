"""Looks at the band and what drives and guides it.

Whoever feels teeth, belt, washers or inserts has a hand in the machine: lock-out first.
"""

from typing import Final

from sim.plant.blade import ONE_SIDED, SHARP, STRIPPED, WORN
from sim.saw import Saw
from sim.session.inspections.inspection import Inspection, Kind
from sim.units import MM, MPA

_TEETH: Final = {
    SHARP: "The teeth are sharp and evenly set to both sides.",
    WORN: "The tips of the teeth shine and do not catch the nail.",
    ONE_SIDED: "The teeth are sharp, and the ones set to one side are rubbed flat.",
    STRIPPED: "There are gaps where teeth should be.",
}
_CLEAN: Final = 0.02  # share of the gullets; less is a chip or two
_FULL: Final = 0.6


def _teeth(saw: Saw) -> str:
    return _TEETH[saw.plant.blade.condition.name]


def _pitch(saw: Saw) -> str:
    blade = saw.plant.blade
    way = "with their run" if blade.cuts else "against their run"
    return f"There are {blade.teeth_per_inch:g} teeth to the inch, and they point {way}."


def _brush(saw: Saw) -> str:
    brush = saw.plant.brush
    if brush.wear >= 1.0:
        return "The bristles of the brush are worn away."
    return f"The brush is whole and reaches {brush.depth_m / MM:.1f} mm into the gullets."


def _gullets(saw: Saw) -> str:
    packed = saw.plant.blade.packed
    if packed < _CLEAN:
        return "The gullets are clean."
    return "The gullets are full of chips." if packed > _FULL else "Chips stay in the gullets."


def _pulley(saw: Saw) -> str:
    band = saw.plant.band
    if band.damage > 0.0:
        return "The pulley halves are scored and glazed, and there is belt dust in the case."
    if band.belt < 1.0:
        return "The pulley halves are smooth; the belt is narrow, cracked and glazed."
    return "The pulley halves are smooth and the belt is clean."


def _washers(saw: Saw) -> str:
    slack = saw.plant.band.tension.slack
    return (
        "Some of the spring washers lie broken in their stack."
        if slack
        else "The spring washers are whole."
    )


def _inserts(saw: Saw) -> str:
    loose = saw.plant.band.guide.play > 1.0
    return (
        "The band can be rocked between the guide inserts."
        if loose
        else "The guide inserts hold the band without play."
    )


def _arm(saw: Saw) -> str:
    width_m = saw.plant.bar.stock.section.width_m * saw.plant.swivel.widening
    clear_mm = saw.plant.band.guide.clear_m(width_m) / MM
    return f"The guide arm stands {clear_mm:.0f} mm from the bar."


def _arm_lock(saw: Saw) -> str:
    slack = saw.plant.band.guide.lock == "slack"
    return "The guide arm can be pushed by hand." if slack else "The guide arm is locked fast."


def _guards(saw: Saw) -> str:
    guide = saw.plant.band.guide
    arm = (
        "up to the guide arm"
        if guide.guarded or guide.guard == "open"
        else "short of the guide arm"
    )
    guard = "stands open" if guide.guard == "open" else f"is closed {arm}"
    return f"The band guard {guard}; the wheel cover is {guide.cover}."


def _tension(saw: Saw) -> str:
    tension, machine = saw.plant.band.tension, saw.plant.site.machine
    if tension.stress_pa < machine.tension_low_pa:
        return "The tension gauge stands under the green field."
    if tension.stress_pa > machine.tension_high_pa:
        return "The tension gauge stands over the green field."
    return "The tension gauge stands in the green field."


def _screw(saw: Saw) -> str:
    return f"The scale on the tension screw reads {saw.plant.band.tension.set_pa / MPA:.0f} MPa."


def _tachometer(saw: Saw) -> str:
    band = saw.plant.band
    dial = band.dial.position * 60
    if not band.turning:
        return f"The band stands still; the dial shows {dial:.0f} m/min."
    return f"The band runs at {band.speed_m_s * 60:.1f} m/min; the dial shows {dial:.0f} m/min."


_G: Final = Kind.GAUGE

BAND_LOOKS: Final = (
    Inspection("band-teeth", "Open the cover and feel the teeth of the band", "band", 180, _teeth, True),
    Inspection("tooth-pitch", "Look at pitch and direction of the teeth, through the guard", "band", 25, _pitch),
    Inspection("brush", "Look at the chip brush, through its window", "band", 25, _brush),
    Inspection("gullets", "Look at the gullets where the band leaves the brush", "band", 25, _gullets),
    Inspection("pulley", "Open the cover and look at variator pulley and belt", "band", 300, _pulley, True),
    Inspection("washers", "Open the cover and look at the washers of the tension", "band", 240, _washers, True),
    Inspection("guide-inserts", "Rock the band in its guides by hand", "band", 150, _inserts, True),
    Inspection("guide-arm", "Measure from the bar to the guide arm", "band", 20, _arm),
    Inspection("arm-lock", "Push at the guide arm", "band", 15, _arm_lock),
    Inspection("guards", "Look at band guard and wheel cover", "band", 15, _guards),
    Inspection("tension-gauge", "Read the tension gauge", "band", 10, _tension, kind=_G),
    Inspection("tension-screw", "Read the scale on the tension screw", "band", 20, _screw, kind=_G),
    Inspection("tachometer", "Hold a tachometer to the band", "band", 40, _tachometer, kind=_G),
)  # fmt: skip
