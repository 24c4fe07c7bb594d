"""The first-piece sheet: what the drawing asks, what was read on which piece with which tool, and what that decides.

Window and terminal show the same rows. It knows what was read, and nothing of how long a piece truly is.
"""

from dataclasses import dataclass
from typing import Final

from sim.session.measuring import SizeRead
from sim.session.session import Session
from sim.trade.measuring import Ruling, wilson
from sim.words.fields import count, mm, number
from sim.words.message import Message, plain, row

TITLE: Final = plain("first-piece.title", "First-piece sheet")
_ASKS: Final = row(
    "first-piece.asks",
    "The drawing wants {wanted} \N{PLUS-MINUS SIGN} {tolerance}.",
    wanted=mm(None), tolerance=mm(None),
)  # fmt: skip
LEFT: Final = plain("first-piece.left.title", "The operator's pieces")
_LEFT: Final = row(
    "first-piece.left",
    "Piece {count} is the operator's; yours are numbered from {next}.",
    plural="Pieces 1 to {count} are the operator's; yours are numbered from {next}.",
    count=count(), next=number(),
)  # fmt: skip
_NONE: Final = plain("first-piece.none", "Nothing has been measured yet.")
_UNDECIDED: Final = plain("first-piece.undecided", "No reading has decided anything yet.")
_SHARE: Final = row(
    "first-piece.share",
    "{good} of {count} measured piece is good; of all that are cut like it that is from {low} to {high} %, at 95 %.",
    plural="{good} of {count} measured pieces are good; of all that are cut like them that is from {low} to {high} %, at 95 %.",
    count=count(), good=number(), low=number(), high=number(),
)  # fmt: skip
_READS: Final = row("first-piece.reads", "{read}", read=mm(2))
_OFF: Final = row("first-piece.off", "{off}", off=mm(2, sign=True))
_TOOLS: Final = {
    "tape": plain("first-piece.tool.tape", "tape"),
    "caliper": plain("first-piece.tool.caliper", "caliper"),
    "beam-caliper": plain("first-piece.tool.beam-caliper", "beam caliper"),
    "square": plain("first-piece.tool.square", "square"),
    "feeler": plain("first-piece.tool.feeler", "square and feeler"),
}
_DECIDES: Final = {
    Ruling.GOOD: plain("first-piece.good", "good"),
    Ruling.SHORT: plain("first-piece.short", "too short"),
    Ruling.LONG: plain("first-piece.long", "too long"),
    Ruling.OPEN: plain("first-piece.open", "too near a limit to tell"),
}
_TOO_COARSE: Final = plain("first-piece.too-coarse", "undecided: the tool is too coarse")
_COARSE: Final = plain("first-piece.coarse", "good, with a tool too coarse for a proof")
_WRONG_ANGLE: Final = plain("first-piece.wrong-angle", "good by its length, wrong by its angle")
_SQUARE: Final = plain("first-piece.is-square", "square")
_NOT_SQUARE: Final = plain("first-piece.not-square", "out of square")


@dataclass(frozen=True, slots=True)
class SheetLine:
    """One reading."""

    piece: int
    tool: Message
    reads: Message
    off: Message | None  # None of a gap
    decides: Message
    good: bool


def heads(session: Session) -> tuple[Message, ...]:
    """Return what the drawing asks, which pieces are the operator's, and what the others come to as measured."""
    measuring = session.measuring
    asks = _ASKS(wanted=session.order.piece_m, tolerance=measuring.tolerance_m)
    his = len(session.saw.left())
    left = (_LEFT(count=his, next=his + 1),) if his else ()
    read = [each for each in measuring.readings if not each.tool.squareness and each.counts]
    if not read:
        return (asks, *left) if left_lines(session) else (asks, *left, _NONE)
    lengths = {each.piece for each in read if each.verdict is not Ruling.OPEN}
    if not lengths:
        return (asks, *left, _UNDECIDED)
    low, high = wilson(measuring.good, len(lengths))
    share = _SHARE(count=len(lengths), good=measuring.good, low=100 * low, high=100 * high)
    return (asks, *left, share)


def lines(session: Session) -> tuple[SheetLine, ...]:
    """Return a line for each reading of a piece that was cut in this session for this order, in order."""
    return tuple(_line(each) for each in session.measuring.readings if each.counts)


def left_lines(session: Session) -> tuple[SheetLine, ...]:
    """Return a line for each reading of a piece that the operator left, in order."""
    return tuple(_line(each) for each in session.measuring.readings if each.left)


def _line(reading: SizeRead) -> SheetLine:
    square = reading.tool.squareness
    return SheetLine(
        reading.piece,
        _TOOLS[reading.tool.name],
        _READS(read=reading.read_m),
        None if square else _OFF(off=round(reading.off_m, 8) + 0.0),
        _decides(reading),
        reading.good and (square or reading.proves),
    )


def _decides(reading: SizeRead) -> Message:
    if reading.verdict is Ruling.OPEN:
        fits = reading.tool.squareness or reading.proves
        return _DECIDES[Ruling.OPEN] if fits else _TOO_COARSE
    if reading.tool.squareness:
        return _SQUARE if reading.verdict is Ruling.GOOD else _NOT_SQUARE
    if reading.wrong_angle_only:
        return _WRONG_ANGLE
    coarse = reading.verdict is Ruling.GOOD and not reading.proves
    return _COARSE if coarse else _DECIDES[reading.verdict]
