"""The last piece: how it looks, and measuring it with a tool.

Nobody is told how long a piece is, or how square: the eye sees a face that leans, sides that are
dented and a piece that is plainly too short or too long, and a tool reads the rest (`session.measuring`).
"""

from dataclasses import replace
from enum import StrEnum
from math import atan2
from math import degrees as degrees_of
from typing import Final

from sim.plant.bar import Piece
from sim.saw import SCALE_RAD, Cut, Saw
from sim.session.inspections.inspection import Inspection, Kind, way
from sim.trade.burr import BURR_SEEN_M
from sim.trade.measuring import PROTRACTOR, TOOLS, Ruling, Tool
from sim.units import MM
from sim.words.fields import count, degrees, mm, name, number, one_of
from sim.words.message import NOTHING, Message, plain, row, sentences

CROOKED: Final = 2.5e-3  # m a m, from which a face leans to the eye; common practice, no source
GAP_SEEN_M: Final = (
    0.1 * MM
)  # under a square; no eye sees a lean of less; common practice, no source
FELT_DENT_M: Final = 0.15 * MM  # that a thumb feels with the piece in hand; from memory
DENT_M: Final = 0.3 * MM  # that an eye sees; common practice, no source
HAND_M: Final = 80 * MM  # a hand's breadth, by which anybody sees that a length is wrong

NO_PIECE: Final = plain("inspection.last-piece.none", "No piece has been cut yet.")
NO_SUCH_PIECE: Final = row(
    "inspection.piece.no-such",
    "There is no piece {number}; {count} piece lies there.",
    plural="There is no piece {number}; {count} pieces lie there.",
    count=count(), number=number(),
)  # fmt: skip
OF_ORDER: Final = row(
    "inspection.piece.of-order", "Piece {number} is of the order {order}, and measured as that.",
    number=number(), order=name(),
)  # fmt: skip
OF_NO_ORDER: Final = row(
    "inspection.piece.of-no-order", "Piece {number} fell before any order was taken.",
    number=number(),
)  # fmt: skip
_LIES: Final = plain("inspection.piece.lies", "It lies there to be measured.")
_LOOKS: Final = row(
    "inspection.last-piece.found",
    "The face of the last piece {face} to the eye, and its sides are {sides}.",
    face=one_of("is square", "is upright", "leans"), sides=one_of("sound", "dented"),
)  # fmt: skip
_CORNER: Final = row(
    "inspection.last-piece.corner",
    "A corner of its end is missing, {corner} along the bar: the first cut ran out of the old end.",
    corner=mm(),
)
_AT_ONE: Final = row(
    "inspection.last-piece.mitred", "Both its ends are at {angle}.", angle=degrees()
)
_AT_TWO: Final = row(
    "inspection.last-piece.ends-differ", "One end is at {front}, the other at {rear}.",
    front=degrees(), rear=degrees(),
)  # fmt: skip
_ANGLES: Final = row(
    "inspection.protractor.found",
    "The bevel protractor reads {front} at the first end of the last piece and {rear} at the other, from square, sure to {sure}.",
    front=degrees(1), rear=degrees(1), sure=degrees(1),
)  # fmt: skip
_BURR: Final = row(
    "inspection.last-piece.burr", "A burr stands along its lower edge, {burr} high.", burr=mm(1)
)
_HALF_SAWN: Final = plain(
    "inspection.last-piece.half-sawn", "The kerf of a broken-off cut stands in it."
)

_READS: Final = {"tape": 1, "caliper": 2, "beam-caliper": 2, "square": 1, "feeler": 2}  # decimals
LENGTH: Final = {
    tool.name: row(
        f"inspection.{tool.name}.found", "Piece {number} reads {read}.",
        number=number(), read=mm(_READS[tool.name]),
    )
    for tool in TOOLS if not tool.squareness
}  # fmt: skip
EDGE: Final = {
    tool.name: row(
        f"inspection.{tool.name}.edge",
        "Piece {number} reads {read} along an edge, from the long point of one end to the short point of the other.",
        number=number(), read=mm(_READS[tool.name]),
    )
    for tool in TOOLS if not tool.squareness
}  # fmt: skip
"""Of a piece with both ends at one angle: its two edges are alike."""
POINTS: Final = {
    tool.name: row(
        f"inspection.{tool.name}.points",
        "Piece {number} reads {long} along its longer edge, from long point to long point, and {short} along its "
        "shorter edge.",
        number=number(), long=mm(_READS[tool.name]), short=mm(_READS[tool.name]),
    )
    for tool in TOOLS if not tool.squareness
}  # fmt: skip
"""Of a piece with ends at two angles, or with a corner missing."""
GAP: Final = {
    tool.name: row(
        f"inspection.{tool.name}.found", "Under the square the face of piece {number} shows {read} of gap.",
        number=number(), read=mm(_READS[tool.name]),
    )
    for tool in TOOLS if tool.squareness
}  # fmt: skip
CALIPERS: Final = ("caliper", "beam-caliper")
ACROSS: Final = row(
    "inspection.piece.across",
    "Turned about the tube, it reads {least} to {most} across: {oval} out of round.",
    least=mm(2), most=mm(2), oval=mm(2),
)  # fmt: skip
ACROSS_FLATS: Final = row(
    "inspection.piece.across-flats",
    "Across the flats of the tube it reads {least} to {most}: {oval} apart.",
    least=mm(2), most=mm(2), oval=mm(2),
)  # fmt: skip
BEYOND: Final = {
    tool.name: row(
        f"inspection.{tool.name}.beyond", "The jaws open to {reach}, and the piece is longer.",
        reach=mm(),
    )
    for tool in TOOLS if not tool.squareness
}  # fmt: skip
DECIDED: Final = row(
    "inspection.piece.decided", "The drawing wants {wanted} \N{PLUS-MINUS SIGN} {tolerance}: good.",
    wanted=mm(None), tolerance=mm(None),
)  # fmt: skip
OFF_BY: Final = {
    tool.name: row(
        f"inspection.{tool.name}.off-by",
        "The drawing wants {wanted} \N{PLUS-MINUS SIGN} {tolerance}: {decided} by {off}, sure to {sure}.",
        wanted=mm(None), tolerance=mm(None), decided=one_of("short", "long"),
        off=mm(_READS[tool.name]), sure=mm(2),
    )
    for tool in TOOLS if not tool.squareness
}  # fmt: skip
"""Of a piece that is surely bad: by how much, as finely as the tool reads it."""
OPEN_AT: Final = {
    tool.name: row(
        f"inspection.{tool.name}.open-at",
        "The drawing wants {wanted} \N{PLUS-MINUS SIGN} {tolerance}: undecided at {off}, sure to {sure}.",
        wanted=mm(None), tolerance=mm(None), off=mm(_READS[tool.name], sign=True), sure=mm(2),
    )
    for tool in TOOLS if not tool.squareness
}  # fmt: skip
_GAPES_AT_TOP: Final = plain(
    "inspection.piece.gapes-at-top", "It gapes down the face, at the top: the upper edge is short."
)
_GAPES_DOWN: Final = plain(
    "inspection.piece.gapes-down", "It gapes down the face, between top and bottom."
)
_GAPES_ACROSS: Final = plain(
    "inspection.piece.gapes-across", "It gapes across the face, between its two sides."
)
_GAPES_BOTH: Final = plain(
    "inspection.piece.gapes-both", "It gapes both down the face and across it."
)
_ONE_WAY: Final = 3.0  # times the other, from which a gap is told to run one way; chosen
SQUARE_ENOUGH: Final = row(
    "inspection.piece.square", "Up to {limit} counts as square: {decided}.",
    limit=mm(2), decided=one_of("it is", "it is not", "undecided"),
)  # fmt: skip
ONLY_LENGTH: Final = row(
    "inspection.piece.only-length",
    "The drawing wants {wanted} \N{PLUS-MINUS SIGN} {tolerance}: its length is right, and no more than that.",
    wanted=mm(None), tolerance=mm(None),
)  # fmt: skip
WRONG_ANGLE: Final = row(
    "inspection.piece.wrong-angle",
    "The order wants {angle}, so the piece is not good.", angle=degrees(),
)  # fmt: skip
TOO_COARSE: Final = row(
    "inspection.piece.too-coarse",
    "It is sure to {sure} only, and a proof of {tolerance} wants a quarter of that.",
    sure=mm(2), tolerance=mm(None),
)  # fmt: skip
FACE_TOO: Final = plain(
    "inspection.piece.face-too",
    "Crooked faces were reported, so square or feeler has to find its face good too.",
)
UNSURE: Final = plain(
    "inspection.piece.unsure", "It reads near a limit, and chance decides on which side."
)
"""What a reading is to a plan where no band can be counted on."""
BAND: Final = {
    ("length", Ruling.GOOD): plain("inspection.piece.within", "It reads within the drawing."),
    ("length", Ruling.SHORT): plain("inspection.piece.short", "It reads short."),
    ("length", Ruling.LONG): plain("inspection.piece.long", "It reads long."),
    ("gap", Ruling.GOOD): plain("inspection.piece.is-square", "It is square."),
    ("gap", Ruling.LONG): plain("inspection.piece.not-square", "It is out of square."),
}
"""What a reading is to diagnosis, by what was read and the band that it fell into."""


def last_piece(saw: Saw) -> Cut | None:
    """Return the cut that the last piece came from, one of the operator's before there is another; or None."""
    own = next((c for c in reversed(saw.cuts) if c.length_m > 0.0 and not c.squaring), None)
    return own or next(reversed(saw.left()), None)


def leans(cut: Cut | Piece) -> bool:
    """Return whether the face of a piece leans to the eye: over its size, and by what can be seen at all."""
    return cut.out_of_square > CROOKED and cut.gap_m > GAP_SEEN_M


class Gape(StrEnum):
    """Which way a face gapes under a square that is laid to it."""

    DOWN = "down"  # between top and bottom
    ACROSS = "across"  # between its sides


def ways_of(cut: Cut | Piece) -> frozenset[Gape]:
    """Return which ways the face of a piece gapes: one where that gap is far the larger."""
    down_m, across_m = cut.gap_down_m, cut.gap_across_m
    ways = {Gape.DOWN: down_m * _ONE_WAY > across_m, Gape.ACROSS: across_m * _ONE_WAY > down_m}
    return frozenset(way for way, there in ways.items() if there)


def gapes(cut: Cut | Piece) -> Message:
    """Return which way the face of a piece gapes, and at which edge where the saw leaves no doubt."""
    ways = ways_of(cut)
    if not ways:
        return NOTHING
    if len(ways) > 1:
        return _GAPES_BOTH
    if Gape.ACROSS in ways:
        return _GAPES_ACROSS
    return _GAPES_AT_TOP if cut.gapes_at_top else _GAPES_DOWN


def _last_piece(saw: Saw) -> Message:
    cut = last_piece(saw)
    if cut is None:
        return NO_PIECE
    dented = cut.dent_m > FELT_DENT_M
    true = "is upright" if cut.rear_rad > SCALE_RAD else "is square"  # of a mitre
    said = _LOOKS(face="leans" if leans(cut) else true, sides="dented" if dented else "sound")
    return sentences(said, *_ends(cut))


def last_end_rad(saw: Saw, cut: Cut) -> float:
    """Return at what angle the end that was cut last truly stands, rad from square.

    That of the swivel, and what head or bar stood askew in the cut; that it adds is chosen for this saw.
    """
    return cut.rear_rad + atan2(cut.gap_across_m, saw.plant.bar.stock.section.width_m)


def _protractor(saw: Saw) -> Message:
    cut = last_piece(saw)
    if cut is None:
        return NO_PIECE
    read = (PROTRACTOR.read(rad) for rad in (cut.front_rad, last_end_rad(saw, cut)))
    front, rear = map(degrees_of, read)
    return _ANGLES(front=front, rear=rear, sure=degrees_of(PROTRACTOR.expanded_rad))


def at_angle(cut: Cut, wanted_rad: float) -> bool:
    """Return whether both ends of a piece are at an angle, as far as the scale of the swivel shows it.

    Args:
        cut: The piece.
        wanted_rad: The angle, rad from square.
    """
    return not cut.ends_differ and abs(cut.rear_rad - wanted_rad) <= SCALE_RAD


def angles_of(cut: Cut) -> Message:
    """Return at what angles the eye sees the ends of a piece."""
    if cut.ends_differ:
        return _AT_TWO(front=degrees_of(cut.front_rad), rear=degrees_of(cut.rear_rad))
    return _AT_ONE(angle=degrees_of(cut.rear_rad))


def _ends(cut: Cut) -> tuple[Message, ...]:
    """Return what is to be seen of the ends and edges of a piece, besides that they are square."""
    said: list[Message] = []
    if cut.ends_differ or cut.rear_rad > SCALE_RAD:
        said.append(angles_of(cut))
    if cut.corner_gone:
        said.append(_CORNER(corner=cut.corner_m))
    if cut.half_sawn:
        said.append(_HALF_SAWN)
    if cut.burr_m >= BURR_SEEN_M:
        said.append(_BURR(burr=cut.burr_m))
    return tuple(said)


def _at_hand(saw: Saw) -> Message:
    return NO_PIECE if last_piece(saw) is None else _LIES


_TITLES: Final = {
    "tape": "Measure a piece with the tape",
    "caliper": "Measure a piece with the caliper",
    "beam-caliper": "Measure a piece with the beam caliper",
    "square": "Put a square to the face of a piece",
    "feeler": "Put square and feeler to the face of a piece",
}


def _with(tool: Tool) -> Inspection:
    said = way(tool.name, _TITLES[tool.name], "job", tool.seconds, _at_hand, kind=Kind.GAUGE)
    return replace(said, tool=tool)


PIECE_LOOKS: Final[tuple[Inspection, ...]] = (
    way("last-piece", "Look at the last piece, at the outfeed", "job", 15, _last_piece),
    *map(_with, TOOLS),
    way(
        PROTRACTOR.name, "Put a bevel protractor to both ends of the last piece", "job",
        PROTRACTOR.seconds, _protractor, kind=Kind.GAUGE,
    ),
)  # fmt: skip
