"""What is said before hands go in or a key is pressed: what must hold first, and what to beware of there.

It comes from the table of hands, so that a sheet, a list and the coach ask for the same. Said from
common practice in shops that saw; the maker's manual, local codes and a qualified or authorised person
come first.

Never here: whether it holds now (see `rule`), and what is said after hands were there (see `person`).
"""

from collections.abc import Iterable, Mapping
from itertools import chain
from typing import Final

from sim.faults.fault import Fault
from sim.faults.spares import Spare
from sim.session.hands.hazards import Opens
from sim.session.hands.table import LOADING, Reach, to_look, to_mend, to_set, to_swap
from sim.session.hands.zones import Demand, Zone
from sim.session.inspections.inspection import Inspection
from sim.trade.measuring import PROTRACTOR, TOOLS
from sim.words.message import NOTHING, Message, plain

OWN_CONTROL: Final = plain(
    "caution.own-control",
    "Own control first: the band stands, and the head rests on bed, bar or prop. The key of the mode switch is in your pocket, or an emergency stop is pressed in, or the isolator is off.",
)
OWN_CONTROL_ASIDE: Final = plain(
    "caution.own-control.aside",
    "Own control first: everything stands. The key of the mode switch is in your pocket, or an emergency stop is pressed in, or the isolator is off.",
)
STANDS: Final = plain(
    "caution.stands", "Only with band and head at rest: no job runs, and both have come to a stop."
)
LOCKED_OUT: Final = plain("caution.locked-out", "Lock out first, and verify it.")
PROVED_DEAD: Final = plain(
    "caution.proved-dead", "Lock out first; then a qualified person proves it dead at the part."
)
BAND: Final = plain(
    "caution.band",
    "The teeth cut at rest, too. Chips are hot and sharp: brush and hook, never the hand, never compressed air.",
)
WHEELS: Final = plain(
    "caution.wheels",
    "A band under tension is a spring: stand at the side of the wheel, never in line with the band.",
)
COVER: Final = plain(
    "caution.cover",
    "Take the key of the mode switch along and open the wheel cover while there is power and the band stands; then lock out.",
)
COIL: Final = plain(
    "caution.coil",
    "Let the tension down before the band is lifted off. A coiled band springs open, and its teeth cut: gloves and "
    "glasses, and the gloves off again before the band runs.",
)
JAWS: Final = plain(
    "caution.jaws",
    "A vise keeps its pressure without power, until its oil relief is opened. Bar has burrs.",
)
SHUTTLE: Final = plain(
    "caution.shuttle", "A bar that nothing holds rolls: chock it, and keep clear of its ends."
)
UNDER_HEAD: Final = plain(
    "caution.under-head",
    "No valve is a holding device: reach under the head only when it rests on bed, bar or prop.",
)
SWING: Final = plain("caution.swing", "Nobody else is in the swing of the head.")
OUTFEED: Final = plain(
    "caution.outfeed",
    "Never reach for an end piece while the band moves; it is hot, and its burr is sharp.",
)
CABINET: Final = plain(
    "caution.cabinet",
    "Qualified people only: the line side of the isolator stays live with the isolator off.",
)
LIVE: Final = plain(
    "caution.live",
    "At live parts: a barrier so that nobody else comes near, insulated tools, gloves rated for the voltage, a face shield. No metal on arms or hands, and never alone.",
)
FLOOR: Final = plain("caution.floor", "Wet coolant on the floor is as smooth as oil.")
LOAD: Final = plain(
    "caution.load",
    "Nobody is under a hanging bar: two slings, guided from its side, slings off when it lies in its chocks. By hand only "
    "what one may lift. Hands and feet stay out from between bar and rollers. Gloves for its burrs, off again before the "
    "band runs.",
)
AIR_COCK: Final = plain(
    "caution.air-cock",
    "With air and control power off nothing carries a raised head: it sinks, and falls with the feed valve shut. Before air is let in: no lock on the cock, and nobody under the head.",
)
OIL: Final = plain(
    "caution.oil",
    "Oil under pressure goes through the skin: never feel for a leak with the hand. Opened, the lift lets the head "
    "down, and a vise lets the bar go: chock it first.",
)
PROP: Final = plain(
    "caution.prop", "The prop counts only when the head rests on it. Keep clear until then."
)
COOLANT: Final = plain(
    "caution.coolant",
    "Concentrate is bad for skin and eyes: gloves and glasses for it, and the gloves off again before the band runs.",
)
TRAPPED: Final = plain(
    "caution.trapped",
    "It raises the head without any power. To free somebody who is caught, call for help first.",
)
SOLVENT: Final = plain("caution.solvent", "Solvent: fresh air, gloves, no flame.")
PIECE: Final = plain(
    "caution.piece", "Take it only when the band stands. It is hot and has a burr: gloves."
)
OTHERS: Final = plain(
    "caution.others",
    "Look for other people first: two palm keys tell where your hands are, and nobody else's.",
)
CLOTHING: Final = plain(
    "caution.clothing",
    "Glasses and ear protection on; no gloves at a running band, and nothing loose: sleeves, hair, rings.",
)
FINGERS: Final = plain(
    "caution.fingers", "Fingers out of the jaws first, yours and everybody's."
)  # fmt: skip
INFEED: Final = plain(
    "caution.infeed", "See first that nobody is at the infeed or at the end of the bar."
)
LOWERS: Final = plain("caution.lowers", "See first that nobody reaches under the head.")
POWER: Final = plain("caution.power", "See first that nobody is at the saw, and that no lock hangs on it.")  # fmt: skip

_SHORT_OWN: Final = plain("caution.short.own-control", "own control first")
_SHORT_STANDS: Final = plain("caution.short.stands", "band and head at rest")
_SHORT_LOCKED: Final = plain("caution.short.locked-out", "lock-out first")
_SHORT_DEAD: Final = plain("caution.short.proved-dead", "lock-out first, and proved dead")
_SHORT_QUALIFIED: Final = plain("caution.short.qualified", "qualified people only")

IN_ZONE: Final[Mapping[Zone, Message]] = {
    Zone.BAND: BAND, Zone.WHEELS: WHEELS, Zone.CUTTING_JAWS: JAWS, Zone.SHUTTLE_JAWS: JAWS,
    Zone.SHUTTLE_PATH: SHUTTLE, Zone.UNDER_HEAD: UNDER_HEAD, Zone.SWING: SWING, Zone.OUTFEED: OUTFEED,
    Zone.CABINET: CABINET, Zone.FLOOR: FLOOR,
}  # fmt: skip
"""What to beware of where hands go in."""

OF_ACT: Final[Mapping[str, Message]] = {
    **dict.fromkeys((
        "band.teeth_per_inch", "band.teeth_face", "band.seat", "band-inside-out", "band-worn", "band-one-sided",
        "band-stripped", "band-too-coarse", "washers-weak", "lining-glazed", "variator-forced", "belt-worn",
    ), COIL),
    **dict.fromkeys(("supply.air_cock", "air-cock-shut"), AIR_COCK),
    **dict.fromkeys((
        "head.oil_relief", "cutting_vise.oil_relief", "shuttle_vise.oil_relief",
    ), OIL),
    "head.prop": PROP, "head.hand_pump": TRAPPED, "bar-bent": LOAD,
    **dict.fromkeys((
        "coolant.level_percent", "coolant.concentration_percent", "coolant-out", "coolant-weak",
        "coolant-strong",
    ), COOLANT),
    **dict.fromkeys(("cutting-jaws-oily", "shuttle-jaws-oily"), SOLVENT),
    **dict.fromkeys(("last-piece", PROTRACTOR.name, *(tool.name for tool in TOOLS)), PIECE),
    "try-shuttle": INFEED, "try-lower": LOWERS, "try-raise": LOWERS,
    **dict.fromkeys(("try-cutting-vise", "try-shuttle-vise"), FINGERS),
    **dict.fromkeys(("try-band", "try-speed"), OTHERS),
}  # fmt: skip
"""What else to beware of at one act: set point, look or fault that is put right."""

OF_KEY: Final[Mapping[str, tuple[Message, ...]]] = {
    **dict.fromkeys(("band.run", "job.start", "job.unhold"), (OTHERS, CLOTHING)),
    **dict.fromkeys(("cutting_vise.clamp", "shuttle_vise.clamp"), (FINGERS,)),
    **dict.fromkeys(("shuttle.back", "shuttle.forward"), (INFEED,)),
    "head.lower": (LOWERS,),
    **dict.fromkeys(("supply.isolator", "supply.control_on"), (POWER,)),
}
"""What to look for before a key is pressed."""


def what_holds(reach: Reach) -> tuple[Message, ...]:
    """Return what must hold before hands go in; nothing from outside, and for a look into the cabinet."""
    if reach.demand is Demand.LOCKED_OUT:
        return (PROVED_DEAD if reach.zone is Zone.CABINET else LOCKED_OUT,)
    if reach.demand is Demand.OUTSIDE or reach.zone is Zone.CABINET:
        return ()
    if reach.demand is Demand.STANDS:
        return (STANDS,)
    return (OWN_CONTROL if reach.wants_rest else OWN_CONTROL_ASIDE,)


def in_short(reach: Reach) -> Message:
    """Return in a few words what must hold before hands go in; nothing from outside."""
    if reach.demand is Demand.OUTSIDE:
        return NOTHING
    if reach.demand is Demand.STANDS:
        return _SHORT_STANDS
    in_cabinet = reach.zone is Zone.CABINET
    if reach.demand is Demand.LOCKED_OUT:
        return _SHORT_DEAD if in_cabinet else _SHORT_LOCKED
    return _SHORT_QUALIFIED if in_cabinet else _SHORT_OWN


def _before(reach: Reach, name: str) -> tuple[Message, ...]:
    said = [*what_holds(reach)]
    said += [IN_ZONE[zone] for zone in reach.zones if zone in IN_ZONE]
    if reach.behind_cover:
        said.insert(0, COVER)
    if reach.zone is Zone.CABINET and reach.demand is not Demand.LOCKED_OUT:
        said.append(LIVE)
    if reach.opens not in (Opens.NOTHING, Opens.SPRING):
        said.append(OIL)
    if name in OF_ACT:
        said.append(OF_ACT[name])
    return tuple(dict.fromkeys(said))


def before_set(name: str) -> tuple[Message, ...]:
    """Return what is said before a set point is set, a sentence or two each."""
    return _before(to_set(name), name)


def before_look(look: Inspection) -> tuple[Message, ...]:
    """Return what is said before a look, a sentence or two each."""
    return _before(to_look(look), look.name)


def before_mend(fault: Fault) -> tuple[Message, ...]:
    """Return what is said before a fault is put right, a sentence or two each."""
    return _before(to_mend(fault), fault.name)


def before_swap(spare: Spare) -> tuple[Message, ...]:
    """Return what is said before a part is exchanged, a sentence or two each."""
    return _before(to_swap(spare), spare.name)


def before_loading() -> tuple[Message, ...]:
    """Return what is said before a bar is loaded, a sentence or two each."""
    return (*what_holds(LOADING), LOAD)


def together(each: Iterable[tuple[Message, ...]]) -> tuple[Message, ...]:
    """Return what is said before several acts, each thing once."""
    return tuple(dict.fromkeys(chain.from_iterable(each)))


def before_key(key: str) -> tuple[Message, ...]:
    """Return what is said before a key is pressed, a sentence or two each."""
    return OF_KEY.get(key, ())
