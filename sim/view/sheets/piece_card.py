"""The first-piece sheet, on the sheet of the looks: what the drawing asks, and what was read."""

from collections.abc import Iterable

from sim.session.session import Session
from sim.session.sights import first_piece
from sim.view.kit.column import Column
from sim.words.speech import tell


def piece_card(column: Column, session: Session) -> None:
    """Add it once a piece lies there."""
    if not session.measuring.pieces:
        return
    column.paragraph("piece.title", tell(first_piece.TITLE), role="lead", bold=True)
    for index, said in enumerate(first_piece.heads(session)):
        column.paragraph(f"piece.head.{index}", tell(said), role="small", soft=index > 0)
    _lines(column, "piece", first_piece.lines(session))
    if left := first_piece.left_lines(session):
        column.paragraph("piece.left.title", tell(first_piece.LEFT), role="small", soft=True)
        _lines(column, "piece.left", left)
    column.space(0.6)


def _lines(column: Column, under: str, lines: Iterable[first_piece.SheetLine]) -> None:
    for index, line in enumerate(lines):
        off = (tell(line.off),) if line.off is not None else ()
        words = "   ".join(
            (f"{line.piece}", tell(line.tool), tell(line.reads), *off, tell(line.decides))
        )
        column.paragraph(f"{under}.{index}", words, role="small", bold=line.good)
