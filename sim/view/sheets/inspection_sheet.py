"""The inspection sheet: every way to look, with what it takes, part by part; and what was found.

In drills one may say beforehand what a look will show; the debrief compares.
"""

from functools import partial
from typing import Final

from pygame import Rect

from sim.debrief.evidence import EXPECTS
from sim.diagnosis.causes import metered
from sim.session.hands.cautions import before_look, in_short, together
from sim.session.hands.table import to_look
from sim.session.hands.zones import Demand
from sim.session.inspections import INSPECTIONS, Inspection, find
from sim.session.inspections.probes import along
from sim.view.kit.column import Column, Filled, beside, row_height, side_by_side
from sim.view.kit.controls import button, button_width, choice, field, focus_ring
from sim.view.kit.layout import from_right
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Act, Mood, Widget
from sim.view.kit.words import TermSpot, spots_of_lines, underline
from sim.view.play.console_rows import TITLES
from sim.view.play.play import Play
from sim.view.play.sheet import Sheet
from sim.view.sheets.piece_card import piece_card
from sim.words.message import plain, sentences
from sim.words.speech import reader, say, tell

_ASKING: Final = ("drill", "assessment")
_LONG_S: Final = 90.0  # from which a time is told in minutes


def inspect(kit: Kit, area: Rect, play: Play) -> Filled:
    """Return the ways to look, and beside them what was found."""
    return beside(
        kit, area, lambda left: _ways(kit, left, play), lambda right: _findings(right, play), 3
    )


def _ways(kit: Kit, column: Column, play: Play) -> None:
    _search(kit, column, play)
    if play.session.scenario.mode in _ASKING:
        _expecting(kit, column, play)
    column.space(0.3)
    if not any(_matches(row, play) for row in _allowed(play)):
        column.paragraph("inspect.none", say("No way to look has these words."), soft=True)
    across = max(column.width // kit.px(24), 1)
    for place, title in TITLES.items():
        rows = [row for row in _allowed(play) if row.place == place and _matches(row, play)]
        if rows:
            column.paragraph(f"inspect.{place}", tell(title), role="fine", bold=True)
            blocks = [partial(_inspection, kit, play, row) for row in rows]
            at = Rect(column.left, column.top, column.width, 0)
            widgets, high = side_by_side(kit, at, across, blocks, 0.25)
            column.widgets += widgets
            column.top += high
            if first := together(map(before_look, rows)):
                column.space(0.15)
                column.paragraph(
                    f"inspect.{place}.first", tell(sentences(*first)), role="fine", soft=True
                )
            column.space(0.4)


def _search(kit: Kit, column: Column, play: Play) -> None:
    place = column.place(column.width, 2.0)
    if play.may_ask:
        words = say("Hint")
        side, place = from_right(place, button_width(kit, words, mark="speech"), kit.px(0.5))
        column.add(button("inspect.hint", side, words, play.hint, mark="speech"))
    prompt = say("Search the ways to look; they take time, and some need lock-out")
    column.add(field("inspect.search", place, play.looking, prompt, play.refresh))


def _expecting(kit: Kit, column: Column, play: Play) -> None:
    column.space(0.3)
    column.paragraph(
        "inspect.expect.title", say("What do you expect of the next look?"), role="small"
    )
    options = tuple((value, tell(words)) for value, words in EXPECTS.items())
    place = column.place(column.width, 1.8)
    column.add(choice(kit, "inspect.expect", place, options, lambda: play.expect, play.expect_next))


def _allowed(play: Play) -> list[Inspection]:
    allowed = play.session.scenario.inspections
    rows = [row for row in INSPECTIONS.values() if allowed == "all" or row.name in allowed]
    loom = play.session.machine.loom
    probed = (look for tag in metered(play.session.scenario) for look in along(loom, tag))
    return [*rows, *filter(None, map(find, dict.fromkeys(probed)))]


def _matches(row: Inspection, play: Play) -> bool:
    words = f"{tell(row.title)} {tell(TITLES[row.place])} {row.kind.value}".lower()
    return all(part in words for part in play.looking.text.lower().split())


def _cost(kit: Kit, row: Inspection) -> str:
    """Return the time that a look takes."""
    short = row.seconds < _LONG_S
    return reader().quantity(row.seconds if short else row.seconds / 60, "s" if short else "min")


def _inspection(kit: Kit, play: Play, row: Inspection, rect: Rect) -> tuple[Widget, int]:
    words, cost, reach = tell(row.title), _cost(kit, row), to_look(row)
    demand, first = reach.demand, in_short(reach)
    pad, side = kit.px(0.5), kit.px(6.2)
    lines = kit.letters.wrap(words, "small", rect.width - side - 2 * pad, bold=True)
    high = max(row_height(kit), len(lines) * kit.letters.line("small") + kit.px(0.6))
    place = Rect(rect.left, rect.top, rect.width, high)

    def done() -> bool:
        session = play.session  # no tick for a look that cost hands their protection
        return session.seen.has(row.name) and not session.hands.exposed_for(row.title)

    def paint(pen: Pen, at: Rect, mood: Mood) -> None:
        palette = pen.palette
        pen.box(at, palette.lit if mood.hovered else palette.raised, palette.edge, radius=0.3)
        cost_place, body = from_right(at.inflate(-2 * pad, 0), side)
        line = pen.letters.line("small")
        for index, each in enumerate(lines):
            spot = Rect(body.left, told(pen, at).top + index * line, body.width, line)
            pen.text(each, spot, role="small", bold=True)
        underline(pen, terms(pen, at))
        where = pen.text(cost, cost_place, role="small", align="right")
        if demand is not Demand.OUTSIDE:
            sign = "lock" if demand is Demand.LOCKED_OUT else "hand"
            _mark(pen, where.left - pen.px(1.3), at, sign, "yellow")
        if done():
            _mark(pen, where.left - pen.px(2.6), at, "tick", "green")
        focus_ring(pen, at, mood)

    def told(pen: Pen, at: Rect) -> Rect:
        high = len(lines) * pen.letters.line("small")
        return Rect(at.left + pad, at.centery - high // 2, at.width - 2 * pad, high)

    def terms(pen: Pen, at: Rect) -> tuple[TermSpot, ...]:
        return spots_of_lines(pen, lines, told(pen, at), "small", bold=True)

    act = Act(click=partial(play.inspect, row.name))
    return Widget(
        f"inspect.{row.name}",
        place,
        paint,
        done,
        act,
        label=", ".join((words, cost, *((tell(first),) if first else ()))),
        terms=terms,
    ), high


def _mark(pen: Pen, left: int, at: Rect, mark: str, colour: str) -> None:
    spot = Rect(left, at.top, pen.px(1), at.height)
    symbol(pen, mark, square_in(spot, pen.px(0.85)), getattr(pen.palette, colour))


def _findings(column: Column, play: Play) -> None:
    """Add the first-piece sheet, and what was found so far, the newest first."""
    piece_card(column, play.session)
    column.paragraph("found.title", say("Found"), role="lead", bold=True)
    found = play.session.seen.looks
    if not found:
        column.paragraph(
            "found.none", say("Nothing has been looked at yet."), role="small", soft=True
        )
    for index, look in enumerate(reversed(found)):
        row = find(look.name)
        title = f"{reader().clock(look.at_us)}  {tell(row.title) if row else look.name}"
        column.paragraph(f"found.{index}.title", title, role="fine", soft=True)
        column.paragraph(f"found.{index}", tell(look.found), role="small")
        column.space(0.4)


SHEET: Final = Sheet("inspect", plain("saw.tab.inspect", "Inspect"), inspect)
