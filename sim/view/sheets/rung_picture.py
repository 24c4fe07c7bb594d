"""Rungs of the ladder drawn live: contacts in a row, the coil, and how far the power comes.

A wire with power is thick and a closed contact is filled, so that nothing is told by colour alone; contacts
and coils are those of IEC 61131-3 (from memory), the drawing is our own.
"""

from dataclasses import dataclass
from functools import partial
from typing import Final

from pygame import Rect

from sim.control.actions import BY_NAME as BY_ACTION
from sim.control.interlocks import Image, When
from sim.logic.bench.rungs import Contact, Rung, action_rungs, flow, output_rungs
from sim.session.session import Session
from sim.session.sights.controller_words import console_lit
from sim.session.sights.known import hides
from sim.view.kit.column import Column, Filled, side_by_side
from sim.view.kit.controls import choice
from sim.view.kit.layout import from_left
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.widget import Mood, Widget
from sim.view.play.bench_choice import LADDERS
from sim.view.play.key_words import called, called_subject, state_of
from sim.view.play.play import Play
from sim.words.message import NOTHING, Message, plain
from sim.words.speech import tell

_LADDERS: Final = {
    "outputs": output_rungs(),
    "keys": action_rungs(When.KEY),
    "job": action_rungs(When.JOB),
}
_NO_VOLTAGE: Final = plain("rungs.no-voltage", "The control has no voltage, so no rung is lit.")
_IN_A_DRILL: Final = plain(
    "rungs.in-a-drill",
    "In a drill the rungs are not lit. Read the lamps in the cabinet, or ask a key why it is refused.",
)
_CELL_EMS, _COIL_EMS = 7.5, 3.0
_COLUMN_EMS: Final = 30
_SHORT: Final = 3  # contacts, so that rungs stand side by side


def unlit(session: Session) -> Message:
    """Return why no rung is lit now; nothing where they are."""
    if hides(session):
        return _IN_A_DRILL
    return NOTHING if console_lit(session) else _NO_VOLTAGE


@dataclass(frozen=True, slots=True)
class _Cell:
    """One contact and its place on the screen."""

    contact: Contact
    rect: Rect
    wants: tuple[str, ...]  # lines under it


def rungs(kit: Kit, area: Rect, play: Play) -> Filled:
    """Return the choice of a ladder and its rungs, in as many columns as fit; lit where they may be."""
    column = Column(kit, area)
    options = tuple((name, tell(words)) for name, words in LADDERS)
    place = column.place(area.width, 1.8)
    bench = play.bench
    column.add(choice(kit, "rungs.ladder", place, options, lambda: bench.ladder, play.show_ladder))
    column.space(0.4)
    if why_dark := unlit(play.session):
        column.paragraph("rungs.dark", tell(why_dark), role="small", bold=True)
    rows = _LADDERS[bench.ladder]
    short = max(len(row.contacts) for row in rows) <= _SHORT
    across = max(area.width // kit.px(_COLUMN_EMS), 1) if short else 1
    blocks = [partial(_rung, kit, play, row) for row in rows]
    rest = Rect(area.left, column.top, area.width, 0)
    widgets, high = side_by_side(kit, rest, across, blocks, 0.6)
    return [*column.widgets, *widgets], column.top + high - area.top


def _rung(kit: Kit, play: Play, rung: Rung, rect: Rect) -> tuple[Widget, int]:
    image = play.session.saw.controller.image
    line = kit.letters.line("small")
    action = rung.coil in BY_ACTION
    title = tell(called(rung.coil)) if action else f"{rung.coil}: {tell(rung.text)}"
    title_high = kit.letters.height(title, "small", rect.width, True)
    cells, bottom = _cells(kit, rung, Rect(rect.left, rect.top + title_high, rect.width, 0))
    coil = Rect(rect.right - kit.px(_COIL_EMS), cells[-1].rect.top, kit.px(_COIL_EMS), 0)
    coil.height = cells[-1].rect.height

    def face() -> tuple[object, ...]:
        if unlit(play.session):
            return ()
        return flow(rung, image), *(cell.contact.closed(image) for cell in cells)

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        pen.block(
            title, Rect(place.left, place.top, place.width, title_high), role="small", bold=True
        )
        shown = not unlit(play.session)
        passed = flow(rung, image) if shown else -1
        for index, cell in enumerate(cells):
            _contact(
                pen, cell, image if shown else None, powered=passed >= index, through=passed > index
            )
        rails = Rect(
            place.left, cells[0].rect.top, max(pen.px(0.16), 2), bottom - cells[0].rect.top
        )
        pen.fill(rails, pen.palette.edge)
        pen.fill(rails.move(place.width - rails.width, 0), pen.palette.edge)
        last = cells[-1].rect
        live = passed == len(cells)
        y = last.top + line + pen.px(0.5)
        _wire(pen, last.right, coil.centerx - pen.px(0.55), y, live=live)
        _wire(pen, coil.centerx + pen.px(0.55), coil.right, y, live=live)
        _coil(pen, (coil.centerx, y), live=live)

    high = bottom - rect.top
    return Widget(
        f"rung.{rung.coil}", Rect(rect.left, rect.top, rect.width, high), paint, face, label=title
    ), high


def _cells(kit: Kit, rung: Rung, area: Rect) -> tuple[list[_Cell], int]:
    """Return the contacts in rows that leave room for the coil, and where the last row ends."""
    room = area.width - kit.px(_COIL_EMS) - kit.px(0.3)
    across = max(room // kit.px(_CELL_EMS), 1)
    wide = min(kit.px(_CELL_EMS), room)
    line, fine = kit.letters.line("small"), kit.letters.line("fine")
    cells: list[_Cell] = []
    top = area.top
    for start in range(0, len(rung.contacts), across):
        row = rung.contacts[start : start + across]
        wants = [_wants(kit, contact, wide - kit.px(0.4)) for contact in row]
        high = line + kit.px(1.1) + fine * max(map(len, wants))
        for index, (contact, lines) in enumerate(zip(row, wants, strict=True)):
            left = area.left + kit.px(0.3) + index * wide
            cells.append(_Cell(contact, Rect(left, top, wide, high), lines))
        top += high
    return cells, top


def _wants(kit: Kit, contact: Contact, width: int) -> tuple[str, ...]:
    """Return the states that close a contact, in lines; nothing for a plain wire."""
    if contact.values in ((True,), (False,)):
        return ()
    words = ", ".join(tell(state_of(contact.subject, value)) for value in contact.values)
    return kit.letters.wrap(words, "fine", width)


def _contact(pen: Pen, cell: _Cell, image: Image | None, *, powered: bool, through: bool) -> None:
    palette, place = pen.palette, cell.rect
    line = pen.letters.line("small")
    y = place.top + line + pen.px(0.5)
    middle, half = place.centerx, pen.px(0.35)
    _wire(pen, place.left - pen.px(0.3), middle - half, y, live=powered)
    _wire(pen, middle + half, place.right, y, live=through)
    closed = image is not None and cell.contact.closed(image)
    bars = palette.green if closed else palette.edge
    high, thick = pen.px(0.9), max(pen.px(0.14), 2)
    if closed:
        pen.fill(Rect(middle - half, y - high // 4, 2 * half, high // 2), palette.green)
    for x in (middle - half - thick, middle + half):
        pen.fill(Rect(x, y - high // 2, thick, high), bars)
    if cell.contact.values == (False,):
        ink = palette.white if closed else palette.edge
        pen.line((middle - half, y + high // 2), (middle + half, y - high // 2), ink, 2)
    number, subject = cell.contact.number, tell(called_subject(cell.contact.subject))
    before = pen.letters.width(number, "fine") + pen.px(0.3) if number else 0
    whole = before + pen.letters.width(subject, "small", True)
    left = max(middle - whole // 2, place.left)
    side, room = from_left(Rect(left, place.top, place.right - left, line), before)
    pen.text(number, side, palette.soft, role="fine")
    pen.fitted(subject, room, ("small", "fine"), bold=True)
    fine = pen.letters.line("fine")
    for index, words in enumerate(cell.wants):
        row = Rect(place.left, y + pen.px(0.6) + index * fine, place.width - pen.px(0.3), fine)
        pen.text(words, row, palette.soft, role="fine", align="centre")


def _wire(pen: Pen, left: int, right: int, y: int, *, live: bool) -> None:
    thick = max(pen.px(0.24), 4) if live else 1
    colour = pen.palette.green if live else pen.palette.edge
    pen.fill(Rect(left, y - thick // 2, max(right - left, 0), thick), colour)


def _coil(pen: Pen, centre: tuple[int, int], *, live: bool) -> None:
    radius = pen.px(0.55)
    if live:
        pen.disc(centre, radius, pen.palette.green)
    pen.ring(centre, radius, pen.palette.white if live else pen.palette.edge, 2)
