"""Rungs of the ladder drawn live: branches of contacts, the coil, and how far the power comes.

Power is a bold line; a contact that is closed has a line through it, with power or without, and an open one a
gap, so that nothing is told by colour alone. Contacts and coils are those of IEC 61131-3 (from memory), the
drawing is our own.
"""

from dataclasses import dataclass
from functools import partial
from typing import Final

from pygame import Rect

from sim.control.actions import BY_NAME as BY_ACTION
from sim.control.interlocks import Image
from sim.logic.bench.rungs import (
    FULL,
    Branch,
    Contact,
    Rung,
    Wired,
    every_rung,
    flow,
    image_of,
    wired_as,
)
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
from sim.words.fields import part, parts
from sim.words.message import NOTHING, Message, plain, row
from sim.words.speech import reader, tell

_NO_VOLTAGE: Final = plain("rungs.no-voltage", "The control has no voltage, so no rung is lit.")
_IN_A_DRILL: Final = plain(
    "rungs.in-a-drill",
    "In a drill the rungs are not lit. Read the lamps in the cabinet, or ask a key why it is refused.",
)
_ONLY_IF: Final = row("rungs.only-if", "only if {where}", where=parts(" and "))
_WHERE: Final = row("rungs.where", "{subject} {states}", subject=part(), states=parts(" or "))
_ON: Final = plain("rungs.on", "on")
_OFF: Final = plain("rungs.off", "off")
_COUNT_FULL: Final = plain("rungs.count-full", "COUNT FULL")
_CELL_EMS, _COIL_EMS = 8.0, 4.0


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
    below: tuple[str, ...]  # lines under it


@dataclass(frozen=True, slots=True)
class _Row:
    """One branch and its place on the screen."""

    branch: Branch
    top: int
    cells: list[_Cell]

    def line(self, pen: Pen, cell: _Cell) -> int:
        """Return the height of the line through a cell."""
        return cell.rect.top + pen.letters.line("small") + pen.px(0.5)


def wired_of(play: Play) -> Wired:
    """Return the wiring and the rows of the saw that is played."""
    plant = play.session.saw.plant
    return Wired(plant.site.machine.name, plant.harness.loom, play.session.saw.controller.rows)


def rungs(kit: Kit, area: Rect, play: Play) -> Filled:
    """Return the choice of a ladder and its rungs; lit where they may be."""
    column = Column(kit, area)
    options = tuple((name, tell(words)) for name, words in LADDERS)
    place = column.place(area.width, 1.8)
    bench = play.bench
    column.add(choice(kit, "rungs.ladder", place, options, lambda: bench.ladder, play.show_ladder))
    column.space(0.4)
    if why_dark := unlit(play.session):
        column.paragraph("rungs.dark", tell(why_dark), role="small", bold=True)
    outputs = bench.ladder == "outputs"
    site = wired_of(play)
    blocks = [
        partial(_rung, kit, play, site, each) for each in every_rung(site) if each.output is outputs
    ]
    rest = Rect(area.left, column.top, area.width, 0)
    widgets, high = side_by_side(kit, rest, 1, blocks, 0.6)
    return [*column.widgets, *widgets], column.top + high - area.top


def _rung(kit: Kit, play: Play, site: Wired, rung: Rung, rect: Rect) -> tuple[Widget, int]:
    controller = play.session.saw.controller
    action = rung.coil in BY_ACTION
    title = tell(called(rung.coil)) if action else f"{rung.coil}: {tell(rung.text)}"
    title_high = kit.letters.height(title, "small", rect.width, True)
    rows, bottom = _rows(kit, site, rung, rect.move(0, title_high))
    own = wired_as(site.loom, rung.coil) if rung.output else None
    beneath = tuple(map(reader().name, (own.address, own.terminal))) if own is not None else ()
    line = rows[-1].cells[-1].rect.top + kit.letters.line("small") + kit.px(0.5)
    bottom = max(bottom, line + kit.px(1.0) + len(beneath) * kit.letters.line("fine"))

    def face() -> tuple[object, ...]:
        if unlit(play.session):
            return ()
        image = image_of(controller)
        return tuple(
            (flow(row.branch, image), *(cell.contact.closed(image) for cell in row.cells))
            for row in rows
        )

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        pen.block(
            title, Rect(place.left, place.top, place.width, title_high), role="small", bold=True
        )
        image = None if unlit(play.session) else image_of(controller)
        rail = Rect(place.left, rows[0].top, max(pen.px(0.16), 2), bottom - rows[0].top)
        pen.fill(rail, pen.palette.edge)
        pen.fill(rail.move(place.width - rail.width, 0), pen.palette.edge)
        coil = place.right - pen.px(_COIL_EMS) // 2
        bus = place.right - pen.px(_COIL_EMS) - pen.px(0.3)
        live = [_branch(pen, row, image, bus) for row in rows]
        ends = [row.line(pen, row.cells[-1]) for row in rows]
        first = live.index(True) if any(live) else len(rows)
        for index in range(len(rows) - 1):
            _upright(pen, bus, ends[index], ends[index + 1], live=first <= index)
        y = ends[-1]
        _wire(pen, bus, coil - pen.px(0.55), y, live=any(live))
        _wire(pen, coil + pen.px(0.55), place.right, y, live=any(live))
        pen.ring((coil, y), pen.px(0.55), pen.palette.edge, 5 if any(live) else 2)
        fine = pen.letters.line("fine")
        for index, words in enumerate(beneath):
            spot = Rect(bus, y + pen.px(0.8) + index * fine, pen.px(_COIL_EMS), fine)
            pen.text(words, spot, pen.palette.soft, role="fine", align="centre")

    high = bottom - rect.top
    return Widget(
        f"rung.{rung.coil}", Rect(rect.left, rect.top, rect.width, high), paint, face, label=title
    ), high


def _rows(kit: Kit, site: Wired, rung: Rung, area: Rect) -> tuple[list[_Row], int]:
    """Return the branches with their contacts, and where the last one ends."""
    rows, top = [], area.top
    fine = kit.letters.line("fine")
    for branch in rung.branches:
        begun = top + fine + kit.px(0.2)
        cells, bottom = _cells(kit, site, branch, Rect(area.left, begun, area.width, 0))
        rows.append(_Row(branch, top, cells))
        top = bottom
    return rows, top


def _cells(kit: Kit, site: Wired, branch: Branch, area: Rect) -> tuple[list[_Cell], int]:
    """Return the contacts in rows that leave room for the coil, and where the last row ends."""
    room = area.width - kit.px(_COIL_EMS) - kit.px(0.9)
    across = max(room // kit.px(_CELL_EMS), 1)
    wide = min(kit.px(_CELL_EMS), room)
    line, fine = kit.letters.line("small"), kit.letters.line("fine")
    cells: list[_Cell] = []
    top = area.top
    for start in range(0, len(branch.contacts), across):
        row = branch.contacts[start : start + across]
        below = [_below(kit, site, contact, wide - kit.px(0.4)) for contact in row]
        high = line + kit.px(1.3) + fine * max(map(len, below))
        for index, (contact, lines) in enumerate(zip(row, below, strict=True)):
            left = area.left + kit.px(0.3) + index * wide
            cells.append(_Cell(contact, Rect(left, top, wide, high), lines))
        top += high
    return cells, top


def _below(kit: Kit, site: Wired, contact: Contact, width: int) -> tuple[str, ...]:
    """Return what stands under a contact, in lines: how it is wired, or its states; where it counts."""
    wired = wired_as(site.loom, contact.subject)
    said = list(map(reader().name, wired.lines)) if wired is not None else []
    if wired is None and contact.values not in ((True,), (False,)):
        said.append(", ".join(tell(state_of(contact.subject, v)) for v in contact.values))
    if contact.given:
        said.append(tell(_ONLY_IF(where=tuple(map(_where, contact.given)))))
    return tuple(line for words in said for line in kit.letters.wrap(words, "fine", width))


def _where(given: tuple[str, tuple[object, ...]]) -> Message:
    subject, values = given
    states = tuple(_value(subject, value) for value in values)
    return _WHERE(subject=called_subject(subject), states=states)


def _value(subject: str, value: object) -> Message:
    return (_ON if value else _OFF) if isinstance(value, bool) else state_of(subject, str(value))


def _branch(pen: Pen, row: _Row, image: Image | None, bus: int) -> bool:
    """Draw a branch as far as the bus; return whether power comes there."""
    cells = row.cells
    passed = -1 if image is None else flow(row.branch, image)
    left = cells[0].rect.left
    fine = pen.letters.line("fine")
    label = Rect(left + pen.px(0.3), row.top, bus - left, fine)
    pen.text(tell(row.branch.said), label, pen.palette.soft, role="fine")
    for index, cell in enumerate(cells):
        y = row.line(pen, cell)
        closed = image is not None and cell.contact.closed(image)
        _contact(pen, cell, y, closed=closed, powered=passed >= index, through=passed > index)
        after = cells[index + 1] if index + 1 < len(cells) else None
        if after is not None and after.rect.top != cell.rect.top:
            _wire(pen, cell.rect.right, bus - pen.px(0.3), y, live=passed > index)
    last = cells[-1]
    live = passed == len(cells)
    _wire(pen, last.rect.right, bus, row.line(pen, last), live=live)
    return live


def _contact(pen: Pen, cell: _Cell, y: int, *, closed: bool, powered: bool, through: bool) -> None:
    palette, place = pen.palette, cell.rect
    middle, half = place.centerx, pen.px(0.35)
    _wire(pen, place.left - pen.px(0.3), middle - half, y, live=powered)
    _wire(pen, middle + half, place.right, y, live=through)
    if closed:
        _wire(pen, middle - half, middle + half, y, live=through)
    high, thick = pen.px(0.9), max(pen.px(0.14), 2)
    for x in (middle - half - thick, middle + half):
        pen.fill(Rect(x, y - high // 2, thick, high), palette.edge)
    if cell.contact.off and not cell.contact.moment:
        pen.line((middle - half, y + high // 2), (middle + half, y - high // 2), palette.edge, 2)
    if cell.contact.moment:
        tip = -high // 2 if not cell.contact.off else high // 2
        pen.line((middle, y - tip), (middle, y + tip), palette.edge, 2)
        for aside in (-pen.px(0.15), pen.px(0.15)):
            pen.line((middle + aside, y + tip // 3), (middle, y + tip), palette.edge, 2)
    line = pen.letters.line("small")
    number, subject = cell.contact.number, tell(_subject(cell.contact))
    before = pen.letters.width(number, "fine") + pen.px(0.3) if number else 0
    whole = before + pen.letters.width(subject, "small", True)
    left = max(middle - whole // 2, place.left)
    side, room = from_left(Rect(left, place.top, place.right - left, line), before)
    pen.text(number, side, palette.soft, role="fine")
    pen.fitted(subject, room, ("small", "fine"), bold=True)
    fine = pen.letters.line("fine")
    for index, words in enumerate(cell.below):
        row = Rect(place.left, y + pen.px(0.7) + index * fine, place.width - pen.px(0.3), fine)
        pen.text(words, row, palette.soft, role="fine", align="centre")


def _subject(contact: Contact) -> Message:
    return _COUNT_FULL if contact.subject == FULL else called_subject(contact.subject)


def _wire(pen: Pen, left: int, right: int, y: int, *, live: bool) -> None:
    thick = max(pen.px(0.24), 4) if live else 1
    colour = pen.palette.green if live else pen.palette.edge
    pen.fill(Rect(left, y - thick // 2, max(right - left, 0), thick), colour)


def _upright(pen: Pen, x: int, top: int, bottom: int, *, live: bool) -> None:
    thick = max(pen.px(0.24), 4) if live else 1
    pen.fill(
        Rect(x - thick // 2, top, thick, bottom - top),
        pen.palette.green if live else pen.palette.edge,
    )
