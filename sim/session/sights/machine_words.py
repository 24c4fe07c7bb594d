"""How the bar and what moves it stand, to the eye: vises, shuttle, band, head, coolant, outfeed.

Lengths are to the eye: whole millimetres along the bar, tens in height.
"""

from typing import Final

from sim.plant.bar import Bar
from sim.plant.blade import HungBand
from sim.plant.vise import Vise
from sim.session.inspections.bar import kerfs_in
from sim.session.inspections.supply import SEEN_ODD, plain_to_see
from sim.session.session import Session
from sim.trade.sections import Bundle, RectangularTube, Round, RoundTube, SquareTube, bars_in
from sim.units import MM
from sim.words.fields import count, m_min, metres, mm, name, number, one_of, part, parts
from sim.words.message import NOTHING, Message, plain, row, sentences

_TOUCHES_M: Final = 0.5 * MM  # nearer than that it lies on the bar, to the eye
_BAR: Final = row(
    "seen.bar",
    "The bar, {metal} {width} wide and {height} high, is {length} long; its end stands {end}.",
    metal=name(), width=mm(), height=mm(), length=metres(2), end=part(),
)  # fmt: skip
_ROUND_BAR: Final = row(
    "seen.bar.round",
    "The bar, {metal} {diameter} round, is {length} long; its end stands {end}.",
    metal=name(), diameter=mm(), length=metres(2), end=part(),
)  # fmt: skip
_TUBE: Final = row(
    "seen.bar.tube",
    "The bar, {metal} tube {width} wide and {height} high with a wall of {wall}, is {length} long; its end stands {end}.",
    metal=name(), width=mm(1), height=mm(1), wall=mm(1), length=metres(2), end=part(),
)  # fmt: skip
_ROUND_TUBE: Final = row(
    "seen.bar.round-tube",
    "The bar, {metal} tube {diameter} round with a wall of {wall}, is {length} long; its end stands {end}.",
    metal=name(), diameter=mm(1), wall=mm(1), length=metres(2), end=part(),
)  # fmt: skip
_BARS: Final = row(
    "seen.bars",
    "{count} bar, {metal}, {width} wide and {height} high, is {length} long; its end stands {end}.",
    plural="{count} bars, {metal}, together {width} wide and {height} high, are {length} long; their ends stand {end}.",
    count=count(), metal=name(), width=mm(), height=mm(), length=metres(2), end=part(),
)  # fmt: skip
_PAST: Final = row("seen.bar.past", "{distance} past the band", distance=mm())
_SHORT: Final = row("seen.bar.short", "{distance} short of the band", distance=mm())

# A row for each vise, as a whole sentence.
_VISES: Final = ("cutting", "shuttle")


def _of_vises(case: str, english: str) -> dict[str, Message]:
    return {
        vise: plain(f"seen.{vise}-vise.{case}", english.format(vise=f"{vise} vise"))
        for vise in _VISES
    }


_CLAMPED: Final = _of_vises("clamped", "The {vise} is clamped on the bar.")
_JAW_OUT: Final = _of_vises("out", "The {vise} jaw closes.")
_JAW_BACK: Final = _of_vises("back", "The {vise} jaw moves back.")
_RELEASED: Final = _of_vises("released", "The {vise} is released, its jaw fully back.")
_CLAMPS_NOTHING: Final = _of_vises("nothing", "The {vise} jaw is out and clamps nothing.")

_HANG: Final = row("seen.hook", "On the hook hang, by their tags: {bands}.", bands=parts("; "))
_RUN_IN_HANGS: Final = row(
    "seen.hook.run-in", "a band of {teeth} TPI, run in, {used} % of its life used",
    teeth=number(None), used=number(1),
)  # fmt: skip
_FRESH_HANGS: Final = row(
    "seen.hook.fresh",
    "a band of {teeth} TPI, {left} % of its running-in still to do, {used} % of its life used",
    teeth=number(None), used=number(1), left=number(),
)  # fmt: skip
_RUNS: Final = row(
    "seen.shuttle.runs",
    "The shuttle goes {where}{load}, {distance} from the cutting vise.",
    where=one_of("back", "forward"), load=one_of("", " with the bar"), distance=mm(),
)  # fmt: skip
_FORWARD: Final = plain("seen.shuttle.forward", "The shuttle stands forward at the cutting vise.")
_AT_STOP: Final = plain("seen.shuttle.at-stop", "The shuttle stands at its length stop.")
_STANDS: Final = row(
    "seen.shuttle.stands", "The shuttle stands {distance} from the cutting vise.", distance=mm()
)

_BAND: Final = row(
    "seen.band",
    "The band {does}; its dial is at {speed}.",
    does=one_of("runs up", "coasts down", "turns", "stands still"), speed=m_min(),
)  # fmt: skip
_CREEPS: Final = row(
    "seen.band.creeps",
    "The band has almost stopped: below {rest} its standstill monitor sees rest; its dial is at {speed}.",
    rest=m_min(1), speed=m_min(),
)  # fmt: skip

_MOVES: Final = one_of("rises", "comes down", "stands")
_CUTS: Final = row(
    "seen.head.cuts", "The head cuts, about {depth} down in {height}.", depth=mm(), height=mm()
)
_THROUGH: Final = row(
    "seen.head.through",
    "The head {does}, the band down below the bar line.",
    does=_MOVES,
)
_AT_HEIGHT: Final = row(
    "seen.head",
    "The head {does}, the band about {height} above the bed, {where} the bar.",
    does=_MOVES, height=mm(), where=one_of("on top of", "clear above", "below the top of"),
)  # fmt: skip

_ON_PROP: Final = row(
    "seen.head.propped",
    "The head rests on its prop, the band about {height} above the bed.",
    height=mm(),
)

_FLOWS: Final = plain("seen.coolant.flows", "The coolant flows.")
_FLOWS_NOT: Final = plain("seen.coolant.dry", "The coolant does not flow.")

_NOTHING_LIES: Final = plain("seen.outfeed.none", "Nothing lies on the outfeed.")
_LIES: Final = row("seen.outfeed", "On the outfeed: {lies}.", lies=parts(", ", " and "))
_ENDS: Final = row(
    "seen.outfeed.ends",
    "{count} offcut",
    plural="{count} offcuts",
    count=count(),
)
_PIECES: Final = row("seen.outfeed.pieces", "{count} piece", plural="{count} pieces", count=count())


_LEFT: Final = row(
    "seen.outfeed.left",
    "{count} piece of the operator's",
    plural="{count} pieces of the operator's",
    count=count(),
)


def bar(session: Session) -> Message:
    """Return how long the bar is, where its end stands, and what kerfs broken-off cuts left in it."""
    plant = session.saw.plant
    sawn = plant.head.cutting is not None
    return sentences(_stock_of(plant.bar), *kerfs_in(plant.bar, sawn=sawn))


def _stock_of(bar: Bar) -> Message:
    section = bar.stock.section
    front_m = whole_m(bar.front_m)
    end = _PAST(distance=front_m) if front_m >= 0 else _SHORT(distance=-front_m)
    metal, length_m = bar.stock.material.name, round(bar.length_m, 2)
    width_m, height_m = section.width_m, section.height_m
    match section:
        case Bundle():
            return _BARS(
                count=bars_in(section), metal=metal, width=width_m, height=height_m, length=length_m, end=end,
            )  # fmt: skip
        case Round():
            return _ROUND_BAR(metal=metal, diameter=width_m, length=length_m, end=end)
        case RoundTube():
            wall_m = section.wall_m
            return _ROUND_TUBE(metal=metal, diameter=width_m, wall=wall_m, length=length_m, end=end)
        case SquareTube() | RectangularTube():
            wall_m = section.wall_m
            return _TUBE(
                metal=metal, width=width_m, height=height_m, wall=wall_m, length=length_m, end=end
            )
        case _:
            return _BAR(metal=metal, width=width_m, height=height_m, length=length_m, end=end)


def vise(which: str, vise: Vise) -> Message:
    """Return how a vise stands; `which` is `cutting` or `shuttle`."""
    if vise.clamped:
        return _CLAMPED[which]
    if vise.jaw.moving:
        return (_JAW_OUT if vise.jaw.rate > 0 else _JAW_BACK)[which]
    return (_RELEASED if vise.back else _CLAMPS_NOTHING)[which]


def shuttle(session: Session) -> Message:
    """Return where the shuttle stands or goes."""
    shuttle = session.saw.plant.shuttle
    distance_m = whole_m(shuttle.place.position)
    if shuttle.place.moving:
        where = "back" if shuttle.place.rate > 0 else "forward"
        load = " with the bar" if shuttle.carrying else ""
        return _RUNS(where=where, load=load, distance=distance_m)
    if shuttle.place.position <= 0.0:
        return _FORWARD
    if shuttle.place.beyond("stop"):
        return _AT_STOP
    return _STANDS(distance=distance_m)


def band(session: Session) -> Message:
    """Return what the band does and what its dial shows."""
    drive = session.saw.plant.band
    motor, dial = drive.motor, drive.dial
    if motor.moving and motor.rate < 0 and not drive.turning:
        return _CREEPS(rest=drive.monitor_m_s, speed=round(dial.position * 60) / 60)
    if motor.moving:
        does = "runs up" if motor.rate > 0 else "coasts down"
    else:
        does = "turns" if motor.position > 0.0 else "stands still"
    return _BAND(does=does, speed=round(dial.position * 60) / 60)


def head(session: Session) -> Message:
    """Return how high the head is and what it does."""
    head, bar = session.saw.plant.head, session.saw.plant.bar
    here_m = head.place.position
    if head.cutting is not None:
        return _CUTS(depth=tens_m(bar.height_m - here_m), height=bar.height_m)
    rate = head.place.rate if head.place.moving else 0.0
    does = "rises" if rate > 0 else "comes down" if rate < 0 else "stands"
    if here_m <= 0.0:
        return _THROUGH(does=does)
    if head.propped:
        return _ON_PROP(height=tens_m(here_m))
    if abs(here_m - bar.height_m) < _TOUCHES_M:
        where = "on top of"
    else:
        where = "clear above" if here_m > bar.height_m else "below the top of"
    return _AT_HEIGHT(does=does, height=tens_m(here_m), where=where)


def coolant(session: Session) -> Message:
    """Return whether the coolant flows."""
    return _FLOWS if session.saw.plant.coolant.flowing else _FLOWS_NOT


def outfeed(session: Session) -> Message:
    """Return what lies on the outfeed."""
    offcuts = sum(1 for cut in session.saw.cuts if cut.squaring and cut.length_m > 0.0)
    left = len(session.saw.left())
    if not session.tally.pieces and not offcuts and not left:
        return _NOTHING_LIES
    his = (_LEFT(count=left),) if left else ()
    ends = (_ENDS(count=offcuts),) if offcuts else ()
    fell = session.tally.pieces * session.pieces_a_cut
    pieces = (_PIECES(count=fell),) if fell else ()
    return _LIES(lies=(*his, *ends, *pieces))


def hook(session: Session) -> Message:
    """Return which bands hang coiled on the hook, by their tags; nothing where none does."""
    hung = session.saw.plant.blade.hung
    if not hung:
        return NOTHING
    return _HANG(bands=tuple(map(_tag, hung)))


def _tag(coil: HungBand) -> Message:
    used, teeth = coil.wear * 100, coil.teeth_per_inch
    if coil.fresh <= 0.0:
        return _RUN_IN_HANGS(teeth=teeth, used=used)
    return _FRESH_HANGS(teeth=teeth, used=used, left=coil.fresh * 100)


def openings(session: Session) -> Message:
    """Return which guard stands open, and what is in the way or wet; nothing where nothing is."""
    odd = plain_to_see(session.saw)
    return SEEN_ODD(odd=odd) if odd else NOTHING


def whole_m(length_m: float) -> float:
    """Return a length to the eye: whole millimetres, m."""
    return round(length_m / MM) * MM


def shuttle_by_eye_m(session: Session) -> float:
    """Return about where the shuttle stands, m: to the millimetre on its way, to tens at its length stop.

    Where the stop stands is read off its scale, and that is a look.
    """
    place = session.saw.plant.shuttle.place
    return (tens_m if place.beyond("stop") else whole_m)(place.position)


def tens_m(length_m: float) -> float:
    """Return a height to the eye: tens of millimetres, m."""
    return 10 * round(length_m / MM / 10) * MM
