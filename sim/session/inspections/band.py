"""Looks at the band and what drives and guides it.

Whoever looks at teeth, belt, washers or inserts has a hand in the machine: lock-out first.
"""

from collections.abc import Callable
from functools import lru_cache
from typing import Final

from sim.plant.blade import ONE_SIDED, SHARP, STRIPPED, WORN
from sim.plant.guide import DOORS
from sim.plant.sawing import Chips
from sim.plant.seat import LAID_ON
from sim.saw import Saw
from sim.session.inspections.inspection import Inspection, Kind, way
from sim.trade.chips import Colour, Form, chip_colour, chip_form
from sim.trade.cutting import CutConditions
from sim.trade.toothed_cut import ToothEdge, toothed_cut
from sim.units import MM
from sim.words.fields import m_min, mm, mpa, number, one_of, part
from sim.words.message import Message, plain, row

_TEETH: Final = {
    SHARP: plain("inspection.band-teeth.sharp", "The teeth are sharp and evenly set to both sides."),
    WORN: plain("inspection.band-teeth.worn", "The tips of the teeth are rounded and shine."),
    ONE_SIDED: plain(
        "inspection.band-teeth.one-sided",
        "The teeth are sharp, and the ones set to one side are rubbed flat.",
    ),
    STRIPPED: plain("inspection.band-teeth.stripped", "There are gaps where teeth should be."),
}  # fmt: skip
_FRESH: Final = plain(
    "inspection.band-teeth.new",
    "The teeth are new: sharp to the touch, their edges not yet run in.",
)
_ROUNDED: Final = plain(
    "inspection.band-teeth.rounded",
    "The tips of the teeth begin to shine; the set is even to both sides.",
)
_ROUNDED_FROM: Final = 0.5  # of its life, from which an eye sees it; chosen for this saw
_CLEAN: Final = 0.02  # share of the gullets; less is a chip or two
_FULL: Final = 0.6

_PITCH: Final = row(
    "inspection.tooth-pitch.found",
    "There are {teeth} teeth to the inch, and they point {way} their run.",
    teeth=number(None),
    way=one_of("with", "against"),
)
_BRISTLES_GONE: Final = plain("inspection.brush.worn", "The bristles of the brush are worn away.")
_BRUSH: Final = row(
    "inspection.brush.depth",
    "The brush is whole and reaches {depth} into the gullets.",
    depth=mm(1),
)
_GULLETS_CLEAN: Final = plain("inspection.gullets.clean", "The gullets are clean.")
_GULLETS_FULL: Final = plain("inspection.gullets.full", "The gullets are full of chips.")
_CHIPS_STAY: Final = plain("inspection.gullets.chips", "Chips stay in the gullets.")
_CHIPS: Final = {
    Form.CURLS: plain("inspection.chips.full", "The chips under the saw are full and curled."),
    Form.POWDER: plain(
        "inspection.chips.fine",
        "The chips under the saw are as fine as dust: the teeth hardly bite.",
    ),
    Form.THICK: plain(
        "inspection.chips.thick", "The chips under the saw are thick, hard and hardly curled."
    ),
    Form.TORN: plain(
        "inspection.chips.torn",
        "Among the chips under the saw there are splinters and bits of teeth.",
    ),
}
_COLOURS: Final = {
    Colour.STRAW: plain(
        "inspection.chips.straw", "They have turned straw-coloured: they came off hot."
    ),
    Colour.BLUE: plain(
        "inspection.chips.blue", "They have turned blue: they came off far too hot."
    ),
}
_FROM_BEFORE: Final = row(
    "inspection.chips.from-before",
    "Nothing has been cut yet; this is what lay there before. {chips}",
    chips=part(),
)
_LOOKS: Final = row("inspection.chips.found", "{form} {colour}", form=part(), colour=part())
_SHUT_M_S: Final = 1e-6  # a feed valve that lets less through is fully shut
_PULLEY_SCORED: Final = plain(
    "inspection.pulley.scored",
    "The pulley halves are scored and glazed, and there is belt dust in the case.",
)
_BELT_WORN: Final = plain(
    "inspection.pulley.belt",
    "The pulley halves are smooth; the belt is narrow, cracked and glazed.",
)
_LINING_GLAZED: Final = plain(
    "inspection.pulley.lining",
    "Pulley halves and belt are sound; the lining of the drive wheel is glazed and shines with oil.",
)
_PULLEY_SOUND: Final = plain(
    "inspection.pulley.sound", "The pulley halves are smooth and the belt is clean."
)
_WASHERS_BROKEN: Final = plain(
    "inspection.washers.broken", "Some of the spring washers lie broken in their stack."
)
_WASHERS_WHOLE: Final = plain("inspection.washers.whole", "The spring washers are whole.")
_INSERTS_LOOSE: Final = plain(
    "inspection.guide-inserts.loose", "The band can be rocked between the guide inserts."
)
_INSERTS_SOUND: Final = plain(
    "inspection.guide-inserts.sound", "The guide inserts hold the band without play."
)
_ARM: Final = row(
    "inspection.guide-arm.found", "The guide arm stands {clear} from the bar.", clear=mm()
)
_ARM_SLACK: Final = plain("inspection.arm-lock.slack", "The guide arm can be pushed by hand.")
_ARM_TIGHT: Final = plain("inspection.arm-lock.tight", "The guide arm is locked fast.")
_GUARD_OPEN: Final = plain("inspection.guards.open", "stands open")
_GUARD_UP: Final = plain("inspection.guards.up-to-arm", "is closed up to the guide arm")
_GUARD_SHORT: Final = plain("inspection.guards.short", "is closed short of the guide arm")
_GUARDS: Final = row(
    "inspection.guards.found",
    "The band guard {guard}; the wheel cover is {cover}.",
    guard=part(),
    cover=one_of(*DOORS),
)
_TENSION: Final = row(
    "inspection.tension-gauge.found",
    "The tension gauge stands {where} the green field.",
    where=one_of("under", "in", "over"),
)
_TRACKS: Final = plain(
    "inspection.tracking.middle",
    "The back of the band runs just clear of the flanges of both wheels, its teeth out past the rims.",
)
_SO_FAR: Final = row(
    "inspection.tracking.so-far",
    "The back of the band runs just clear of the flanges of both wheels, where it has come past: {unseen} of it have not.",
    unseen=mm(0),
)
_HANGS: Final = plain("inspection.tracking.slack", "The band hangs slack on its wheels.")
_NONE_ON: Final = plain("inspection.tracking.none", "No band is on the wheels.")
_LAID: Final = plain(
    "inspection.tracking.laid-on",
    "The band lies loosely on both wheels, and beside its guides.",
)
_TOUCHES: Final = plain(
    "inspection.tracking.touches", "The back of the band is hard against a flange of its wheel."
)
_TOUCHES_M: Final = 0.1 * MM  # less is not seen through the window; chosen for this saw
_NEAR: Final = row(
    "inspection.tracking.near",
    "The back of the band is {gap} off the flange of its wheel: not clear of it yet.",
    gap=mm(1),
)
_SCREW: Final = row(
    "inspection.tension-screw.found",
    "The scale on the tension screw reads {tension}.",
    tension=mpa(),
)
_STILL: Final = row(
    "inspection.tachometer.still",
    "The band stands still; the dial shows {dial}.",
    dial=m_min(),
)
_RUNS: Final = row(
    "inspection.tachometer.runs",
    "The band runs at {speed}; the dial shows {dial}.",
    speed=m_min(1),
    dial=m_min(),
)


def _teeth(saw: Saw) -> Message:
    blade = saw.plant.blade
    name = blade.condition.name
    if name != SHARP:
        return _TEETH[name]
    if blade.fresh > 0.0:
        return _FRESH
    return _ROUNDED if blade.wear >= _ROUNDED_FROM else _TEETH[SHARP]


def _pitch(saw: Saw) -> Message:
    blade = saw.plant.blade
    return _PITCH(teeth=blade.teeth_per_inch, way="with" if blade.cuts else "against")


def _brush(saw: Saw) -> Message:
    brush = saw.plant.brush
    return _BRISTLES_GONE if brush.wear >= 1.0 else _BRUSH(depth=brush.depth_m)


def _gullets(saw: Saw) -> Message:
    packed = saw.plant.blade.packed
    if packed < _CLEAN:
        return _GULLETS_CLEAN
    return _GULLETS_FULL if packed > _FULL else _CHIPS_STAY


_toothed = lru_cache(maxsize=64)(toothed_cut)  # most causes cut alike


def chips_left(saw: Saw) -> Callable[[], Chips]:
    """Return what works out the chips that a saw leaves which cuts as it is set now."""
    plant = saw.plant
    blade, bar, machine = plant.blade, plant.bar.stock, plant.site.machine
    teeth, metal, speed_m_s = blade.condition, bar.material, plant.band.dial.position
    if teeth.name == STRIPPED:
        return lambda: Chips(Form.TORN, Colour.METAL)
    conditions = CutConditions(
        kc11_pa=metal.kc11_pa * teeth.force,
        mc=metal.mc,
        pitch_m=blade.pitch_m,
        kerf_m=machine.kerf_m,
        band_speed_m_s=speed_m_s,
        thrust_ratio=machine.thrust_ratio * teeth.thrust,
    )
    force_n, valve_m_s = plant.head.force_n, max(plant.head.valve_m_s, _SHUT_M_S)
    edge, mitre_rad = ToothEdge(teeth.edge_m, metal.hardened), plant.swivel.mitre_rad

    def chips() -> Chips:
        cut = _toothed(bar.section, force_n, valve_m_s, conditions, edge, mitre_rad)
        # What coolant did to them is not known.
        return Chips(
            chip_form(cut.chip_m, cut.rubbed), chip_colour(metal, cut.chip_m, speed_m_s, 1.0)
        )

    return chips


def _chips(saw: Saw) -> Message:
    """Tell of the chips of the cut under way or the last one; before it, of those that lay there when it was found."""
    sawing = saw.plant.head.sawing
    here = sawing.thrown
    lies = here or sawing.found()
    told = _CHIPS[lies.form]
    if lies.colour in _COLOURS:
        told = _LOOKS(form=told, colour=_COLOURS[lies.colour])
    return told if here else _FROM_BEFORE(chips=told)


def _pulley(saw: Saw) -> Message:
    band = saw.plant.band
    if band.damage > 0.0:
        return _PULLEY_SCORED
    if band.belt < 1.0:
        return _BELT_WORN
    return _LINING_GLAZED if band.lining < 1.0 else _PULLEY_SOUND


def _washers(saw: Saw) -> Message:
    return _WASHERS_BROKEN if saw.plant.band.tension.slack else _WASHERS_WHOLE


def _inserts(saw: Saw) -> Message:
    return _INSERTS_LOOSE if saw.plant.band.guide.play > 1.0 else _INSERTS_SOUND


def _arm(saw: Saw) -> Message:
    width_m = saw.plant.bar.stock.section.width_m * saw.plant.swivel.widening
    return _ARM(clear=saw.plant.band.guide.clear_m(width_m))


def _arm_lock(saw: Saw) -> Message:
    return _ARM_SLACK if saw.plant.band.guide.lock == "slack" else _ARM_TIGHT


def _guards(saw: Saw) -> Message:
    guide = saw.plant.band.guide
    closed = _GUARD_UP if guide.guarded else _GUARD_SHORT
    return _GUARDS(guard=_GUARD_OPEN if guide.guard == "open" else closed, cover=guide.cover)


def _tension(saw: Saw) -> Message:
    stress_pa, machine = saw.plant.band.tension.stress_pa, saw.plant.site.machine
    if stress_pa < machine.tension_low_pa:
        return _TENSION(where="under")
    return _TENSION(where="over" if stress_pa > machine.tension_high_pa else "in")


def _tracking(saw: Saw) -> Message:
    seat, stress_pa = saw.plant.band.seat, saw.plant.band.tension.stress_pa
    if seat.off or seat.place == LAID_ON:
        return _NONE_ON if seat.off else _LAID
    if stress_pa < saw.plant.site.machine.throw_pa:
        return _HANGS
    if seat.off_flange_m < _TOUCHES_M:
        return _TOUCHES
    if not seat.tracks:
        return _NEAR(gap=seat.off_flange_m)
    return _SO_FAR(unseen=seat.unseen_m) if seat.unseen_m > 0.0 else _TRACKS


def _screw(saw: Saw) -> Message:
    return _SCREW(tension=saw.plant.band.tension.set_pa)


def _tachometer(saw: Saw) -> Message:
    band = saw.plant.band
    dial = band.dial.position
    return _RUNS(speed=band.speed_m_s, dial=dial) if band.turning else _STILL(dial=dial)


_G: Final = Kind.GAUGE

BAND_LOOKS: Final[tuple[Inspection, ...]] = (
    way("band-teeth", "Look at the teeth of the band, with the wheel cover open", "band", 180, _teeth),
    way(
        "tooth-pitch", "Look at pitch and direction of the teeth, through the guard", "band", 25, _pitch,
        reads=("band.teeth_per_inch", "band.teeth_face"),
    ),
    way("brush", "Look at the chip brush, through its window", "band", 25, _brush, reads=("band.brush_mm",)),
    way("chips", "Look at the chips under the saw", "band", 15, _chips),
    way("gullets", "Look at the gullets where the band leaves the brush", "band", 25, _gullets),
    way(
        "pulley", "Look at variator pulley and belt, with the wheel cover open", "band", 300, _pulley,
    ),
    way(
        "washers", "Look at the washers of the tension, with the wheel cover open", "band", 240, _washers,
    ),
    way("guide-inserts", "Rock the band in its guides by hand", "band", 150, _inserts),
    way(
        "guide-arm", "Measure from the bar to the guide arm", "band", 20, _arm,
        reads=("band.guide_span_mm",),
    ),
    way("arm-lock", "Push at the guide arm", "band", 15, _arm_lock, reads=("band.guide_lock",)),
    way(
        "guards", "Look at band guard and wheel cover", "band", 15, _guards,
        reads=("band.guard", "band.wheel_cover"),
    ),
    way("tracking", "Look where the band runs on its wheels, through the window of the cover", "band", 20, _tracking, reads=("band.seat",)),
    way("tension-gauge", "Read the tension gauge", "band", 10, _tension, kind=_G),
    way(
        "tension-screw", "Read the scale on the tension screw", "band", 20, _screw, kind=_G,
        reads=("band.tension_mpa",),
    ),
    way("tachometer", "Read the speed of the band with an optical tachometer, from outside", "band", 40, _tachometer, kind=_G),
)  # fmt: skip
