"""Why each line of the set-up card says what it says, a clause, and where the figure comes from.

Never here: the figures (see `setup_card`).
"""

from enum import Enum
from typing import Final

from sim.words.fields import (
    count,
    degrees,
    m_min,
    micrometres,
    mm,
    mm_min,
    mpa,
    number,
    part,
    percent,
)
from sim.words.message import Message, plain, row

REASON: Final = row("card.reason", "{why}.", why=part(capital=True))


def _reasons(rows: dict[str, str]) -> dict[str, Message]:
    return {
        name: plain(f"card.{name.replace('_', '-')}.reason", text) for name, text in rows.items()
    }


_JAW: Final = "the stroke left is your margin, and in a wider gap a finger fits"
_CLAMPING: Final = "all there is for a solid bar; for a thin wall enough to hold and no more"
_OPEN: Final = "with it open neither band nor job starts; in MAINTENANCE the band still jogs (I3)"

_OWN_ROWS: Final = "close it before band or job is started"
OWN_ROWS: Final = {
    name: plain(f"card.{name.replace('_', '-')}.reason.own-rows", _OWN_ROWS)
    for name in ("band.guard", "band.wheel_cover")
}
"""Said instead on a saw with other interlock rows than those that ship."""

REASONS: Final = _reasons({
    "supply.air_cock": "without air the head is not raised, and can drop",
    "supply.air_bar": "the saw's own air pressure",
    "coolant.wash_down": "an open hose empties the tank on to the floor",
    "coolant.floor": "mop up before anybody slips",
    "band.guard": _OPEN,
    "band.wheel_cover": _OPEN,
    "band.relay": "a tripped relay is reset at the relay",
    "band.relay_a": "the motor's rated current",
    "cutting_vise.support_arm": "the shuttle would strike it",
    "band.teeth_per_inch": "what band charts have for its average width of cut, with 3 to 24 teeth in it; a new band is run in",
    "band.teeth_face": "the teeth point the way the band runs",
    "band.tension_mpa": "the middle of 150 to 300 MPa",
    "band.brush_mm": "the wires of the brush just reach the bottom of the gullets",
    "band.guide_span_mm": "each guide clears the bar by 10 mm, so that the free span is short",
    "band.guide_lock": "a slack arm drifts in the cut",
    "band.speed_m_min": "the middle of the metal's range",
    "head.stop_notch": "the lowest notch that clears the bar: all air above it is gone through at the feed of the cut",
    "head.stop_plunger": "on the land the ring creeps down its rod",
    "outfeed.back_rail": "it is slid back before a mitre, or it is cut",
    "head.mitre_deg": "as the order says; 0 is a square cut",
    "head.clamp_lever": "closed before any cut",
    "head.clamp_screw": "so far in that the lever closes firmly",
    "head.index_plunger": "home at 0, 15, 30, 45 and 60 degrees, or the head gives in the cut",
    "head.lift_throttle_turns": "nearly shut, the head is slow, stops short and dives at break-through",
    "cutting_vise.jaw_gap_mm": _JAW,
    "shuttle_vise.jaw_gap_mm": _JAW,
    "cutting_vise.pressure_bar": _CLAMPING,
    "shuttle_vise.pressure_bar": _CLAMPING,
    "cutting_vise.bundle_clamp": "it holds a row of bars down together",
    "shuttle.stop_mm": "piece plus kerf, shared by the strokes; wind past it and back",
    "job.strokes": "as many strokes as the piece needs",
    "job.wanted": "as many pieces as the order asks for",
    "job.run_on_min": "a band that runs on wears and drips with nobody near, and is taken for one that stands",
})  # fmt: skip
CUTS: Final = row(
    "card.job.wanted.reason.cuts",
    "the job counts cuts, each gives {bars} pieces, and the order asks for {count}",
    bars=count(),
    count=count(),
)
OIL: Final = row(
    "card.supply.oil-percent.reason",
    "the pump feeds vises, shuttle and lift; from {low} on it is left as it is", low=percent(),
)  # fmt: skip
LEVEL: Final = row(
    "card.coolant.level-percent.reason",
    "enough for the whole job; from {low} on it is left as it is", low=percent(),
)  # fmt: skip
STRENGTH: Final = row(
    "card.coolant.concentration-percent.reason",
    "{low} to {high} for soluble oil, and left as it is within that",
    low=percent(bare=True), high=percent(),
)  # fmt: skip
LEFT_TENSION: Final = row(
    "card.left.tension", "{why}. From {low} to {high} it is left as it is",
    why=part(), low=mpa(bare=True), high=mpa(),
)  # fmt: skip
LEFT_BRUSH: Final = row(
    "card.left.brush", "{why}. From {low} to {high} it is left as it is",
    why=part(), low=mm(1, bare=True), high=mm(1),
)  # fmt: skip
LEFT_SPAN: Final = row(
    "card.left.span", "{why}. From {low} to {high} it is left as it is",
    why=part(), low=mm(0, bare=True), high=mm(0),
)  # fmt: skip
BETWEEN_INDEX: Final = plain(
    "card.head.index-plunger.between",
    "there is no bush for it at this angle, and the clamp lever alone holds the head",
)
TENSE: Final = plain(
    "card.band.tension-mpa.tense",
    "above the middle of 150 to 300 MPa: this bar wants more force before the teeth bite, and a tight band stays square",
)
FASTEST: Final = row(
    "card.band.speed-m-min.fastest",
    "as fast as this saw runs it; the middle of the metal's range, {low} to {high}, lies above that",
    low=m_min(bare=True), high=m_min(),
)  # fmt: skip
SLOWEST: Final = row(
    "card.band.speed-m-min.slowest",
    "as slow as this saw runs it; the middle of the metal's range, {low} to {high}, lies below that",
    low=m_min(bare=True), high=m_min(),
)  # fmt: skip
CLOSEST: Final = row(
    "card.band.guide-span-mm.closest",
    "the arm goes no closer, and clears the bar by {clear}",
    clear=mm(0),
)
OFF_CHART: Final = row(
    "card.band.teeth-per-inch.off-chart",
    "band charts have {charts} TPI for its average width of cut. As this saw feeds this bar, those teeth would rub "
    "more than these; a new band is run in",
    charts=number(),
)


class Bound(Enum):
    """The limit that sets the card's feed force: the least of them all."""

    CHIP = "chip"
    VISE = "vise"
    DRIVE = "drive"
    MOTOR = "motor"
    FACE = "face"
    BAND = "band"
    MOST = "most"
    LEAST = "least"


FORCE_LIMITS: Final = {
    Bound.CHIP: plain("card.limit.chip", "the chip that a tooth can take"),
    Bound.VISE: plain("card.limit.vise", "what the vise holds"),
    Bound.DRIVE: plain("card.limit.drive", "what wheels and belt pass on"),
    Bound.MOTOR: plain("card.limit.motor", "the motor"),
    Bound.FACE: plain("card.limit.face", "the face, which would run off square"),
    Bound.BAND: plain("card.limit.band", "the band, which would run off sideways"),
    Bound.MOST: plain("card.limit.most", "the most that the feed relief gives"),
    Bound.LEAST: plain("card.limit.least", "the least that the feed relief gives"),
}
"""The limits by their names, for a sentence in which one bars something."""
_NO_CHIP: Final = {
    Bound.VISE: "no more than the vise holds",
    Bound.DRIVE: "no more than wheels and belt pass on",
    Bound.MOTOR: "no more than the motor has for it",
    Bound.FACE: "no more than leaves the face square",
    Bound.BAND: "no more than keeps the band from running off sideways",
    Bound.MOST: "the most that the feed relief gives",
}
FORCE_BY: Final = {
    Bound.CHIP: row(
        "card.force.chip",
        "a chip of {chip} um a tooth, which vise, band, motor and face allow", chip=number(),
    ),
    Bound.LEAST: row(
        "card.force.least",
        "the least that the feed relief gives; a chip of {chip} um a tooth or another limit asks for less",
        chip=number(),
    ),
    **{
        bound: row(
            f"card.force.{bound.value}", f"{text}; a chip of {{chip}} um a tooth would take more",
            chip=number(),
        )
        for bound, text in _NO_CHIP.items()
    },
}  # fmt: skip
"""Why the feed force is what it is, by the limit that sets it."""
MITRED_STOP: Final = row(
    "card.shuttle.stop-mm.mitred",
    "piece plus kerf along the bar: at {angle} a kerf of {kerf} takes {along} of it, {more} more than square. For the first cut stand the square end out past the band by {out} at least, or a corner of it stays. Wind past the setting and back",
    angle=degrees(), kerf=mm(2), along=mm(2), more=mm(2), out=mm(1),
)  # fmt: skip
VALVE: Final = row(
    "card.head.feed-valve-mm-min.reason",
    "no faster in thin metal than the teeth and their gullets can take. With a new band {valve} for its first "
    "400 cm2: no tooth gets more than {easy}, and a cut takes {times} times as long",
    valve=mm_min(), easy=micrometres(), times=number(1),
)  # fmt: skip
VALVE_NO_LONGER: Final = row(
    "card.head.feed-valve-mm-min.no-longer",
    "no faster in thin metal than the teeth and their gullets can take. With a new band {valve} for its first "
    "400 cm2: no tooth gets more than {easy}, and a cut takes hardly longer",
    valve=mm_min(), easy=micrometres(),
)  # fmt: skip
VALVE_AS_IT_IS: Final = row(
    "card.head.feed-valve-mm-min.as-it-is",
    "no faster in thin metal than the teeth and their gullets can take. A new band takes it, too, since no tooth "
    "gets more than {easy}, and with less feed the teeth would rub",
    easy=micrometres(),
)

PRACTICE: Final = plain("card.source.practice", "common practice, no source")
STATICS: Final = plain("card.source.statics", "statics; friction from handbooks, a wide spread")
KIENZLE: Final = plain("card.source.kienzle", "Kienzle's law, extrapolated to thin chips")
GLASS: Final = plain("card.source.glass", "the saw's glass")
TANK: Final = plain("card.source.tank", "the saw's tank")
WORKSHOP: Final = plain("card.source.workshop", "a workshop page, weak")
PLATE: Final = plain("card.source.plate", "the motor's plate")
MEMORY: Final = plain("card.source.memory", "from memory")
LEFT_SOURCE: Final = row(
    "card.source.left", "{source}; what is left as it is: common practice, no source", source=part()
)
ORDER: Final = plain("card.source.order", "the order")
GEOMETRY: Final = plain("card.source.geometry", "geometry")
