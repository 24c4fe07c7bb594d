"""Measuring pieces: what a tool reads on one, what that decides about the drawing, what it is to diagnosis.

A piece lies on the outfeed from its fall on, and is measured there; its true size is told to nobody
before the close. Errors are drawn from the session's own seed, for each reading of a piece anew, so a
session played again reads the same.

A length is read along an edge of the piece. With both ends at one angle its two edges are alike; with ends
at two angles, or a corner missing, both are read, and the one further from what is wanted decides.

In a shift of orders what fell for an earlier order lies there too: it is measured by the drawing of its
own order, and decides nothing about the one that is taken now.

Never here: how long a reading takes and where hands are meanwhile (see `hands.table`).
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from math import radians
from typing import Final

from sim.bugs import TableError
from sim.kernel.streams import normal
from sim.saw import Cut, Saw
from sim.session.card.setup_card import JobOrder
from sim.session.inspections.inspection import Inspection
from sim.session.inspections.pieces import (
    ACROSS,
    ACROSS_FLATS,
    BAND,
    BEYOND,
    CALIPERS,
    DECIDED,
    EDGE,
    FACE_TOO,
    GAP,
    LENGTH,
    NO_PIECE,
    NO_SUCH_PIECE,
    OF_NO_ORDER,
    OF_ORDER,
    OFF_BY,
    ONLY_LENGTH,
    OPEN_AT,
    POINTS,
    SQUARE_ENOUGH,
    TOO_COARSE,
    UNSURE,
    WRONG_ANGLE,
    Gape,
    angles_of,
    at_angle,
    gapes,
    ways_of,
)
from sim.trade.crush import across_m, is_round, is_tube
from sim.trade.measuring import (
    BY_NAME,
    Ruling,
    Tool,
    band_of,
    chance_of_band,
    decided,
    face_tool,
    fit_tool,
    likelihood,
)
from sim.trade.sections import Section
from sim.units import MM
from sim.words.message import NOTHING, Message, sentences

_SQUARE: Final = {
    Ruling.GOOD: "it is", Ruling.LONG: "it is not", Ruling.OPEN: "undecided",
}  # fmt: skip
_SAME_EDGE_M: Final = 0.02 * MM  # by which two edges differ that every tool reads alike
_SURE: Final = 0.9  # chance of a band from which a plan counts on it; chosen for this program


@dataclass(frozen=True, slots=True)
class Size:
    """What a tool can read on one piece, by the truth of it."""

    tool: Tool
    off_m: float  # of the mean, from what is wanted
    limit_m: float  # how far off is good
    scatter_m: float  # of the piece about that mean
    ways: frozenset[Gape] = frozenset()  # in which a face gapes

    def chance(self, band: Ruling) -> float:
        """Return how likely a reading falls into a band, 0 to 1."""
        return chance_of_band(band, self.off_m, self.limit_m, self.tool, self.scatter_m)

    def likelihood(self, read: "Measured") -> float:
        """Return how likely a piece like this is to read so far off, by the likeliest reading; 0 to 1.

        How wide a face gapes hangs on the load, so of a gap only that it is there counts, and which way:
        a face that gapes another way than the one that was read is none of it.
        """
        if read.reading is None or read.fell is None:
            return 0.0
        tool = read.reading.tool
        if tool.squareness:
            apart = read.ways and self.ways and not read.ways & self.ways
            return 0.0 if apart else self.chance(read.fell)
        return likelihood(read.reading.off_m, self.off_m, tool, self.scatter_m, read.before)

    @property
    def likely(self) -> Ruling:
        """The band that can be counted on; `OPEN` where chance decides."""
        bands = (Ruling.GOOD, Ruling.SHORT, Ruling.LONG)
        return next((band for band in bands if self.chance(band) >= _SURE), Ruling.OPEN)


@dataclass(frozen=True, slots=True)
class PieceAsked:
    """What is wanted of the pieces that fall from a cut on."""

    order: JobOrder
    tolerance_m: float
    section: Section  # of the bar that they are cut from
    called: str = ""  # the order of a shift
    from_cut: int = 0  # cuts that had fallen before


@dataclass(frozen=True, slots=True)
class SizeRead:
    """One size that was read."""

    at_us: int
    piece: int  # from 1, in the order in which they fell
    tool: Tool
    read_m: float
    true_m: float
    off_m: float  # of what was read, from what is wanted
    verdict: Ruling  # by the drawing and the tool's uncertainty
    limit_m: float  # how far off is good
    proves: bool  # the tool is fine enough for the drawing
    left: bool = False  # the operator's piece, which proves nothing
    at_angle: bool = True  # its ends are at the order's, as the eye sees them
    of_another: bool = False  # order of a shift, not of the one that is taken now

    @property
    def counts(self) -> bool:
        """Whether it tells of this session's pieces of this order."""
        return not (self.left or self.of_another)

    @property
    def good(self) -> bool:
        """Whether what was read, with what the eye saw of the ends, finds it good."""
        return self.verdict is Ruling.GOOD and not self.wrong_angle_only

    @property
    def wrong_angle_only(self) -> bool:
        """Whether its length is right, and the piece is not good for the angle of its ends."""
        length = self.verdict is Ruling.GOOD and not self.tool.squareness
        return length and not self.at_angle


@dataclass(frozen=True, slots=True)
class Measured:
    """What came of one act of measuring."""

    said: Message
    band: Message  # what diagnosis goes by
    fell: Ruling | None = None  # that band; None where nothing was read
    size: Size | None = None
    reading: SizeRead | None = None
    before: tuple[tuple[float, Tool], ...] = ()  # how far off it was read earlier, and with what
    ways: frozenset[Gape] = frozenset()  # in which the face gapes, as told; none where it is not


class Measuring:
    """The measuring of one session.

    Args:
        saw: Whose pieces they are.
        asked: The piece that is wanted.
        seed: Of the errors; 0 for none.
        face: Whether crooked faces were reported, so that a piece proves nothing by its length alone.
        before: What was wanted of the pieces before, in the order in which they fell.
    """

    def __init__(
        self,
        saw: Saw,
        asked: PieceAsked,
        seed: int,
        *,
        face: bool = False,
        before: Sequence[PieceAsked] = (),
    ) -> None:
        self.readings: list[SizeRead] = []
        self.asked = (*before, asked)
        self.tolerance_m = asked.tolerance_m
        self.face = face
        self._saw = saw
        self._order = asked.order
        self._seed = seed

    @property
    def pieces(self) -> Sequence[Cut]:
        """What lies there, in the order in which it fell, the operator's first; squared ends are none."""
        return [*self._saw.left(), *self.own]

    @property
    def own(self) -> Sequence[Cut]:
        """Those of them that were cut in this session."""
        return [cut for cut in self._saw.cuts if cut.is_piece]

    def of_piece(self, piece: int) -> tuple[SizeRead, ...]:
        """Return what was read on a piece, by its number from 1."""
        return tuple(each for each in self.readings if each.piece == piece)

    @property
    def good(self) -> int:
        """How many of this session's pieces were measured with a tool that is fine enough, and found good."""
        lengths = [each for each in self.readings if not each.tool.squareness and each.counts]
        return len({each.piece for each in lengths if each.proves and each.good})

    def square_faces(self, pieces: int) -> int:
        """How many of so many pieces that fell last square or feeler found square, as a proof asks it."""
        faces = [each for each in self.readings if each.tool.squareness and each.counts]
        from_piece = len(self.pieces) - pieces + 1
        return len({each.piece for each in faces if each.good and each.piece >= from_piece})

    def face_tool(self, there: Collection[str] = BY_NAME) -> Tool | None:
        """Return the quickest tool that can be counted on to find a square face square; None without one.

        Args:
            there: Names of those that there are.
        """
        bar = self._saw.plant.bar
        narrow_m = min(bar.height_m, bar.stock.section.width_m)  # over which the least is let pass
        return face_tool(self._square_limit_m(narrow_m), there)

    def fit_tool(self, there: Collection[str] = BY_NAME) -> Tool | None:
        """Return the quickest tool that reaches the piece and is fine enough to prove it; None without one.

        Args:
            there: Names of those that there are.
        """
        return fit_tool(self._order.piece_m, self.tolerance_m, there)

    def proof_tools(self, there: Collection[str] = BY_NAME) -> tuple[Tool, ...]:
        """Return the quickest tools that prove a piece good, all of which it takes; none where one is missing.

        Args:
            there: Names of those that there are.
        """
        length = self.fit_tool(there)
        if length is None:
            return ()
        if not self.face:
            return (length,)
        face = self.face_tool(there)
        return () if face is None else (length, face)

    def expected(self, row: Inspection) -> Message:
        """Return what measuring can be counted on to show: the band, that it is open, or why there is none."""
        found = self._size(row)
        if isinstance(found, Message):
            return found
        band = found[2].likely
        return UNSURE if band is Ruling.OPEN else _band(found[2], band)

    def take(self, row: Inspection) -> Measured:
        """Measure a piece; return what was read and what that decides."""
        found = self._size(row)
        if isinstance(found, Message):
            return Measured(found, found.rounded())
        number, cut, size = found
        tool, asked = size.tool, self._asked_of(cut)
        before = sum(1 for each in self.readings if (each.piece, each.tool) == (number, tool))
        error_m = normal(self._seed, f"{tool.name}/{number}/{before}", tool.standard_m)
        true_m = cut.gap_m if tool.squareness else _edge_m(cut, asked)
        read_m = max(tool.read(true_m, error_m), 0.0)
        off_m = read_m if tool.squareness else read_m - asked.order.piece_m
        verdict = decided(off_m, size.limit_m, tool.expanded_m)
        reading = SizeRead(
            self._saw.clock.now_us, number, tool, read_m, true_m, off_m, verdict, size.limit_m,
            tool.fits(size.limit_m), number <= len(self._saw.left()),
            at_angle(cut, radians(asked.order.mitre_deg)), asked.called != self._now.called,
        )  # fmt: skip
        earlier = tuple(
            (each.off_m, each.tool)
            for each in self.of_piece(number) if each.tool.squareness == tool.squareness
        )  # fmt: skip
        other_m = max(tool.read(cut.length_m + cut.short_m - true_m, error_m), 0.0)
        said = _read(reading, cut, other_m)
        if reading.of_another and not asked.called:  # of what the last shift left on the saw
            said = sentences(OF_NO_ORDER(number=number), said)
            return Measured(said, said.rounded())
        self.readings.append(reading)
        said = sentences(
            OF_ORDER(number=number, order=asked.called) if reading.of_another else NOTHING,
            said,
            gapes(cut) if self._gapes(reading) else NOTHING,
            self._decided(reading, asked),
            _angles(reading, cut, asked),
            self._across(reading, cut, asked),
        )
        fell = band_of(off_m, size.limit_m)
        told = size.ways if self._gapes(reading) else frozenset()
        return Measured(said, _band(size, fell), fell, size, reading, earlier, told)

    def _gapes(self, reading: SizeRead) -> bool:
        """Whether a gap was read that is surely there, so that one sees where it is."""
        return reading.tool.squareness and reading.read_m > reading.tool.expanded_m

    @property
    def _now(self) -> PieceAsked:
        return self.asked[-1]

    def _asked_of(self, cut: Cut) -> PieceAsked:
        """Return what was wanted of a piece as it fell; of one that the operator left, what is wanted now."""
        cuts = self._saw.cuts
        index = next((at for at, each in enumerate(cuts) if each is cut), len(cuts))
        return next((each for each in reversed(self.asked) if each.from_cut <= index), self._now)

    def _section_of(self, asked: PieceAsked) -> Section:
        """Return the section of a piece: the bar that lies there shows that of its own."""
        return self._saw.plant.bar.stock.section if asked is self._now else asked.section

    def _across(self, reading: SizeRead, cut: Cut, asked: PieceAsked) -> Message:
        """Return what a caliper reads across a tube, turned about it; nothing of another bar or tool."""
        section, tool = self._section_of(asked), reading.tool
        if tool.name not in CALIPERS or not is_tube(section):
            return NOTHING
        before = len(self.readings)
        read_m = sorted(
            tool.read(size_m, normal(self._seed, f"across/{before}/{side}", tool.standard_m))
            for side, size_m in enumerate(across_m(section, cut.dent_m))
        )
        said = ACROSS if is_round(section) else ACROSS_FLATS
        return said(least=read_m[0], most=read_m[1], oval=read_m[1] - read_m[0])

    def _decided(self, reading: SizeRead, asked: PieceAsked) -> Message:
        if reading.tool.squareness:
            return SQUARE_ENOUGH(limit=reading.limit_m, decided=_SQUARE[reading.verdict])
        asks = {"wanted": asked.order.piece_m, "tolerance": asked.tolerance_m}
        said = self._length_decided(reading, asks)
        coarse = TOO_COARSE(sure=reading.tool.expanded_m, tolerance=asked.tolerance_m)
        if not reading.proves:
            return sentences(said, coarse)
        return sentences(said, FACE_TOO) if self.face and reading.good else said

    def _length_decided(self, reading: SizeRead, asks: Mapping[str, float]) -> Message:
        tool, off_m = reading.tool, round(reading.off_m, 9) + 0.0  # no minus zero
        if reading.wrong_angle_only:
            return ONLY_LENGTH(**asks)
        if reading.verdict is Ruling.GOOD:
            return DECIDED(**asks)
        if reading.verdict is Ruling.OPEN:
            return OPEN_AT[tool.name](**asks, off=off_m, sure=tool.expanded_m)
        said, word = OFF_BY[tool.name], reading.verdict.value
        return said(**asks, decided=word, off=abs(off_m), sure=tool.expanded_m)

    def _size(self, row: Inspection) -> tuple[int, Cut, Size] | Message:
        """Return the piece that is meant, its number and what can be read on it; or why nothing can."""
        tool, pieces = row.tool, self.pieces
        if tool is None:
            raise TableError(f"measuring: {row.name} is no tool")
        number = row.piece or len(pieces)
        if not pieces:
            return NO_PIECE
        if number > len(pieces):
            return NO_SUCH_PIECE(number=number, count=len(pieces))
        cut = pieces[number - 1]
        asked = self._asked_of(cut)
        if not tool.squareness and asked.order.piece_m > tool.reach_m:
            return BEYOND[tool.name](reach=tool.reach_m)
        machine = self._saw.plant.site.machine
        if tool.squareness:
            across_m = self._across_m(asked)
            if cut.out_of_square > 0.0:  # along the side on which it leans
                across_m = min(cut.gap_m / cut.out_of_square, across_m)
            limit_m = self._square_limit_m(across_m)
            return number, cut, Size(tool, cut.gap_m, limit_m, 0.0, ways_of(cut))
        mean_m = _edge_m(cut, asked) - cut.scatter_m - asked.order.piece_m
        scatter_m = machine.cut_scatter_m
        return number, cut, Size(tool, mean_m, asked.tolerance_m, scatter_m)

    def _square_limit_m(self, across_m: float) -> float:
        """Return the gap up to which a face so wide counts as square, m."""
        machine = self._saw.plant.site.machine
        return max(machine.square_limit * across_m, machine.square_least_m)

    def _across_m(self, asked: PieceAsked) -> float:
        section = self._section_of(asked)
        return max(section.height_m, section.width_m)


def _read(reading: SizeRead, cut: Cut, other_m: float) -> Message:
    tool, number, read_m = reading.tool, reading.piece, reading.read_m
    if tool.squareness:
        return GAP[tool.name](number=number, read=read_m)
    if cut.lost_m > _SAME_EDGE_M:
        return POINTS[tool.name](
            number=number, long=max(read_m, other_m), short=min(read_m, other_m)
        )
    rows = EDGE if cut.rear_rad > 0.0 else LENGTH
    return rows[tool.name](number=number, read=read_m)


def _edge_m(cut: Cut, asked: PieceAsked) -> float:
    """Return the length of the edge that decides, m: the one further from what is wanted."""
    wanted_m = asked.order.piece_m
    return max((cut.length_m, cut.short_m), key=lambda edge_m: abs(edge_m - wanted_m))


def _angles(reading: SizeRead, cut: Cut, asked: PieceAsked) -> Message:
    """Return that the ends are not at the order's angle, for whoever took it for good by its length."""
    if reading.tool.squareness or reading.at_angle:
        return NOTHING
    return sentences(angles_of(cut), WRONG_ANGLE(angle=asked.order.mitre_deg))


def _band(size: Size, band: Ruling) -> Message:
    kind = "gap" if size.tool.squareness else "length"
    return BAND[kind, band]
