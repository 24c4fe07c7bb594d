"""Why each line of the set-up card says what it says, a clause, and where the figure comes from.

Never here: the figures (see `setup_card`).
"""

from typing import Final

from sim.words.fields import number, part
from sim.words.message import Message, plain, row

REASON: Final = row("card.reason", "{why}.", why=part(capital=True))


def _reasons(rows: dict[str, str]) -> dict[str, Message]:
    return {
        name: plain(f"card.{name.replace('_', '-')}.reason", text) for name, text in rows.items()
    }


_JAW: Final = "slide the jaw to within 6 mm of the bar"
_GRIP: Final = "full grip for a solid bar; for a thin wall enough to hold and no more"
_OPEN: Final = "nothing starts with it open (I3)"

REASONS: Final = _reasons({
    "supply.air_cock": "the head is carried by air over oil",
    "supply.air_bar": "the saw's own air pressure",
    "supply.oil_percent": "oil moves everything",
    "coolant.level_percent": "enough for the whole job",
    "coolant.concentration_percent": "5 to 10 % for soluble oil",
    "coolant.wash_down": "an open hose empties the tank on to the floor",
    "coolant.floor": "mop up before anybody slips",
    "band.guard": _OPEN,
    "band.wheel_cover": _OPEN,
    "band.relay": "a tripped relay is reset at the relay",
    "band.relay_a": "the motor's rated current",
    "cutting_vise.support_arm": "the shuttle would strike it",
    "band.teeth_per_inch": "three teeth at least in every wall, six to twelve wanted",
    "band.teeth_face": "the teeth point the way the band runs",
    "band.tension_mpa": "the middle of 150 to 300 MPa",
    "band.brush_mm": "the brush just sweeps the gullets",
    "band.guide_span_mm": "guides as close to the bar as they go without touching, 10 mm each",
    "band.guide_lock": "a slack arm drifts in the cut",
    "band.speed_m_min": "the middle of the metal's range",
    "head.stop_notch": "the lowest hole that clears the bar",
    "head.stop_plunger": "the pin goes through the collar",
    "outfeed.back_rail": "it is slid back before a mitre, or it is cut",
    "head.mitre_deg": "as the order says; 0 is a square cut",
    "head.clamp_lever": "tight before any cut",
    "head.index_plunger": "tight for a square cut",
    "head.lift_throttle_turns": "fully shut, the head sticks and slips",
    "head.feed_valve_mm_min": "no faster in thin metal than the teeth and their gullets can take",
    "cutting_vise.jaw_gap_mm": _JAW,
    "shuttle_vise.jaw_gap_mm": _JAW,
    "cutting_vise.pressure_bar": _GRIP,
    "shuttle_vise.pressure_bar": _GRIP,
    "cutting_vise.bundle_clamp": "it holds a row of bars down together",
    "shuttle.stop_mm": "piece plus kerf, shared by the strokes; run past it and back",
    "job.strokes": "as many strokes as the piece needs",
    "job.wanted": "as many pieces as the order asks for",
})  # fmt: skip
LOCKS_MITRED: Final = plain(
    "card.head.pivot-locks.mitre",
    "they hold the square cut; in a mitre the lever holds the head, and they may be left slack",
)
CHIP: Final = row(
    "card.head.feed-force-n.reason",
    "a chip of {chip} um a tooth, or less if vise, band or motor want it",
    chip=number(),
)

PRACTICE: Final = plain("card.source.practice", "common practice, no source")
STATICS: Final = plain("card.source.statics", "statics; friction from handbooks, a wide spread")
KIENZLE: Final = plain("card.source.kienzle", "Kienzle's law, extrapolated to thin chips")
GLASS: Final = plain("card.source.glass", "the saw's glass")
TANK: Final = plain("card.source.tank", "the saw's tank")
WORKSHOP: Final = plain("card.source.workshop", "a workshop page, weak")
PLATE: Final = plain("card.source.plate", "the motor's plate")
MEMORY: Final = plain("card.source.memory", "from memory")
ORDER: Final = plain("card.source.order", "the order")
GEOMETRY: Final = plain("card.source.geometry", "geometry")
