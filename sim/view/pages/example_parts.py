"""What is shown of a counterexample: its moves, the machines before and after, what is on, the verdict.

Each is a function of the player and a place; it returns widgets from the top of the place and the
height that they take.
"""

from collections.abc import Callable, Iterable
from functools import partial
from typing import Final

from pygame import Rect

from sim.control.interlocks import BY_NUMBER
from sim.control.table import TABLES
from sim.signals import SIGNALS, Direction, Signal
from sim.view.kit.column import Column, Filled
from sim.view.kit.controls import focus_ring
from sim.view.kit.layout import columns, from_left, inset
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Act, Mood, Widget
from sim.view.play.example_player import ExamplePlayer
from sim.view.play.key_words import called_subject, state_of
from sim.view.play.move_words import stride_sentence
from sim.words.fields import count, name, part, parts
from sim.words.message import Message, plain, row, sentences
from sim.words.speech import say, tell

CHANGED: Final = ("diamond", "orange")  # what the present move has changed
_ON: Final = ("disc", "green")
_OFF: Final = ("ring", "soft")


# The verdict ------------------------------------------------------------------------------


_BROKEN: Final = plain("window.example.broken", "The live controller has broken it.")
_STUCK: Final = plain(
    "window.example.stuck",
    "The live controller has come to where it can never happen now.",
)
_HAZARD: Final = row("window.example.hazard", "The hazard: {hazards}.", hazards=parts("; "))
_AT_REST: Final = plain(
    "window.example.at-rest", "Before the first move: the machine at rest, nobody has touched it."
)
_MOVE: Final = row(
    "window.example.move", "Move {made} of {moves}. {move}",
    made=count(), moves=count(), move=part(),
)  # fmt: skip


def verdict(player: ExamplePlayer) -> Message:
    """Return that it is broken, and which hazard that is, by the interlock table."""
    broken = _BROKEN if player.about_a_moment else _STUCK
    return sentences(broken, _HAZARD(hazards=player.hazards)) if player.hazards else broken


def stands_at(player: ExamplePlayer) -> Message:
    """Return where the example stands: its beginning, a move, or the verdict."""
    return verdict(player) if player.broken else _move_said(player, player.made)


def _move_said(player: ExamplePlayer, number: int) -> Message:
    if not number:
        return _AT_REST
    move = stride_sentence(player.example.strides[number - 1])
    return _MOVE(made=number, moves=player.moves, move=move)


def now_height(kit: Kit, width: int, player: ExamplePlayer) -> int:
    """Return a height that is enough for whatever is said of the present, px."""
    room = width - kit.px(1.4) - kit.px(1.8)
    said = [verdict(player), *(_move_said(player, n) for n in range(player.moves + 1))]
    return max(kit.letters.height(tell(each), "body", room, True) for each in said) + kit.px(0.8)


def present(kit: Kit, rect: Rect, player: ExamplePlayer) -> Widget:
    """Return the sentence of the present moment; the verdict stands out by colour, shape and word."""
    del kit
    broken, words = player.broken, tell(stands_at(player))

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        palette = pen.palette
        fill, edge = (palette.red, palette.red) if broken else (palette.panel, palette.hair)
        ink = palette.dark if broken else palette.ink
        shape, colour = ("octagon", palette.dark) if broken else ("start", palette.focus)
        pen.box(place, fill, edge, radius=0.4)
        mark, body = from_left(inset(place, pen.px(0.7), 0), pen.px(1.2), pen.px(0.6))
        symbol(pen, shape, square_in(mark, pen.px(1.1)), colour)
        high = pen.letters.height(words, "body", body.width, True)
        pen.block(
            words, Rect(body.left, body.centery - high // 2, body.width, high), ink, bold=True
        )

    return Widget("example.now", rect, paint, label=words)


# Moves ------------------------------------------------------------------------------------


def move_rows(kit: Kit, area: Rect, player: ExamplePlayer, go_to: Callable[[int], None]) -> Filled:
    """Return the moves in sentences, the present one marked; a click goes to one."""
    column = Column(kit, area)
    heading(column, "moves", say("Moves"))
    for number, stride in enumerate(player.example.strides, 1):
        _move(kit, column, number, tell(stride_sentence(stride)), player, partial(go_to, number))
        column.space(0.15)
    return column.widgets, column.top - area.top


def heading(column: Column, name: str, words: str) -> None:
    """Add the heading of a part."""
    column.paragraph(f"example.{name}.heading", words, role="lead", bold=True)
    column.space(0.3)


def _move(
    kit: Kit, column: Column, number: int, words: str, player: ExamplePlayer, go: Callable[[], None]
) -> None:
    pad, side = kit.px(0.25), kit.px(3.4)
    room = column.width - side - kit.px(0.6)
    high = kit.letters.height(words, "small", room, True) + 2 * pad
    here, made = number == player.made, number <= player.made

    def paint(pen: Pen, place: Rect, mood: Mood) -> None:
        palette = pen.palette
        if here or mood.hovered or mood.held:
            fill = palette.sunk if here else palette.lit
            pen.box(place, fill, palette.focus if here else palette.edge, radius=0.3)
        line = pen.letters.line("small")
        first = Rect(place.left + pen.px(0.4), place.top + pad, pen.px(1.0), line)
        if made:
            shape, colour = ("start", palette.focus) if here else ("tick", palette.soft)
            symbol(pen, shape, square_in(first, pen.px(0.7)), colour)
        figure = Rect(first.right, first.top, side - first.width - pen.px(0.9), line)
        lit = made or mood.hovered or mood.held
        ink = palette.ink if lit else palette.soft
        pen.figures(str(number), figure, ink, role="small", bold=here)
        body = Rect(place.left + side, place.top + pad, room, place.height - 2 * pad)
        pen.block(words, body, ink, role="small", bold=here)
        focus_ring(pen, place, mood)

    rect = Rect(column.left, column.top, column.width, max(high, 24))
    column.add(Widget(f"example.move.{number}", rect, paint, None, Act(click=go), label=words))
    column.top = rect.bottom


# Machines ---------------------------------------------------------------------------------


def state_rows(
    kit: Kit, area: Rect, player: ExamplePlayer, *, changed_first: bool = False
) -> Filled:
    """Return every machine's state before the present move and after it, what changed marked."""
    column = Column(kit, area)
    heading(column, "states", say("Machines before and after"))
    then = (player.before or player.now).states
    pairs = [(table.name, then[table.name], player.now.states[table.name]) for table in TABLES]
    if changed_first:
        pairs.sort(key=lambda pair: pair[1] == pair[2])
    for machine, was, is_now in pairs:
        _state(kit, column, machine, was, is_now)
    return column.widgets, column.top - area.top


def _state(kit: Kit, column: Column, name: str, was: str, is_now: str) -> None:
    changed = was != is_now
    mark, between = kit.px(1.4), kit.px(1.5)
    whole = Rect(column.left + mark, column.top, column.width - mark - between, 0)
    title_place, was_place, now_place = columns(whole, [1.15, 1, 1], kit.px(0.4))
    now_place.left += between
    parts = [
        (tell(called_subject(name)), title_place, True),
        (tell(state_of(name, was)), was_place, False),
    ]
    if changed:
        parts.append((tell(state_of(name, is_now)), now_place, True))
    high = max(kit.letters.height(words, "small", at.width, bold) for words, at, bold in parts)
    high = max(high + kit.px(0.35), 22)
    lefts = [at.left for _, at, _ in parts]

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        palette = pen.palette
        line = pen.letters.line("small")
        top = place.top + pen.px(0.15)
        if changed:
            shape, colour = CHANGED
            spot = Rect(place.left, top, pen.px(0.9), line)
            symbol(pen, shape, square_in(spot, pen.px(0.7)), getattr(palette, colour))
            arrow = Rect(lefts[2] - between, top, pen.px(1.1), line)
            symbol(pen, "right", square_in(arrow, pen.px(0.7)), palette.ink)
        for left, (words, at, bold) in zip(lefts, parts, strict=True):
            ink = palette.ink if changed else palette.soft
            pen.block(
                words, Rect(left, top, at.width, high), ink, role="small", bold=bold and changed
            )
        pen.fill(Rect(place.left, place.bottom - 1, place.width, 1), palette.hair)

    label = " ".join(words for words, _, _ in parts)
    rect = Rect(column.left, column.top, column.width, high)
    column.add(Widget(f"example.state.{name}", rect, paint, label=label))
    column.top = rect.bottom


# Lamps and wires --------------------------------------------------------------------------

_NOW: Final = row("window.example.now", "now: {meaning}", meaning=part())
_NO_LONGER: Final = row("window.example.no-longer", "no longer: {meaning}", meaning=part())


def wire_rows(kit: Kit, area: Rect, player: ExamplePlayer) -> Filled:
    """Return the lamps that are lit, the outputs and the inputs that are on, what changed marked."""
    column = Column(kit, area)
    heading(column, "lamps", say("Lamps of the console"))
    lit = player.now.lamps
    for lamp in lit:
        _line(kit, column, f"lamp.{lamp.name}", tell(lamp.word), "disc", lamp.colour)
    if not lit:
        column.paragraph("example.lamps.none", say("None is lit."), role="small", soft=True)
    for direction, words in (
        (Direction.OUTPUT, say("Outputs that are on")),
        (Direction.INPUT, say("Inputs that are on")),
    ):
        column.space(0.6)
        heading(column, direction.value, words)
        _wires(kit, column, player, [row for row in SIGNALS if row.direction is direction])
    return column.widgets, column.top - area.top


def _wires(kit: Kit, column: Column, player: ExamplePlayer, rows: Iterable[Signal]) -> None:
    """Add what is on, and what the present move has switched off."""
    before = player.before.on if player.before is not None else player.now.on
    shown = [row for row in rows if row.tag in player.now.on | before]
    if not shown:
        column.paragraph(f"example.none.{column.top}", say("None is on."), role="small", soft=True)
    for wire in shown:
        on, changed = wire.tag in player.now.on, (wire.tag in player.now.on) != (wire.tag in before)
        words = tell((_NOW if on else _NO_LONGER)(meaning=wire.text) if changed else wire.text)
        shape, colour = _OFF if not on else CHANGED if changed else _ON
        _line(kit, column, wire.tag, words, shape, colour, tag=wire.tag, bold=changed)


def _line(
    kit: Kit, column: Column, name: str, words: str, shape: str, colour: str, *,
    tag: str = "", bold: bool = False,
) -> None:  # fmt: skip
    mark = kit.px(1.4)
    side = mark + (kit.letters.width("B88", "small", True) + kit.px(0.5) if tag else 0)
    room = column.width - side
    high = kit.letters.height(words, "small", room, bold) + kit.px(0.15)

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        palette = pen.palette
        line = pen.letters.line("small")
        spot = Rect(place.left, place.top, pen.px(0.9), line)
        symbol(pen, shape, square_in(spot, pen.px(0.7)), getattr(palette, colour))
        at = Rect(place.left + mark, place.top, side - mark, line)
        pen.text(tag, at, role="small", bold=True)
        body = Rect(place.left + side, place.top, room, place.height)
        pen.block(words, body, role="small", bold=bold)

    rect = Rect(column.left, column.top, column.width, high)
    column.add(Widget(f"example.on.{name}", rect, paint, label=f"{tag} {words}".lstrip()))
    column.top = rect.bottom


# What is to be broken ---------------------------------------------------------------------

_INTERLOCK: Final = row("window.interlock", "{number} ({title})", number=name(), title=part())
_WITHOUT: Final = row(
    "window.example.without", "Without {interlocks} this breaks:", interlocks=parts(", ")
)
_BREAKS: Final = plain("window.example.breaks", "This breaks:")


def promise(kit: Kit, area: Rect, player: ExamplePlayer) -> Filled:
    """Return the property that the example breaks, in its sentence, and without which interlocks."""
    column = Column(kit, area)
    out = tuple(_INTERLOCK(number=n, title=BY_NUMBER[n].title) for n in player.numbers)
    words = tell(_WITHOUT(interlocks=out) if out else _BREAKS)
    column.paragraph("example.without", words, soft=True)
    words = tell(player.finding.sentence)
    column.paragraph("example.promise", words, role="lead", bold=True)
    return column.widgets, column.top - area.top
