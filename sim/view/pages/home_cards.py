"""Cards of scenarios to pick, and practice and drills in groups, the drills by what was reported.

Never here: which of them fit a search.
"""

from collections.abc import Callable, Sequence
from functools import partial
from typing import Final

from pygame import Rect

from sim.debrief.library_entries import GROUPS, PRACTICE, LibraryEntry, group_of, passed_of, stands
from sim.view.kit.column import Column, Filled
from sim.view.kit.controls import button, button_width, focus_ring
from sim.view.kit.layout import grid, inset
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Act, Mood, Widget
from sim.view.pages.home_path import LEAST_PX, STATION, mark_of
from sim.words.fields import count, part
from sim.words.message import NOTHING, Message, plain, quoted, row
from sim.words.speech import say, tell

# The kinds of scenario in their order, with the shape that tells them apart.
MODES: Final = {
    mode: (plain(f"home.{mode}", mode.capitalize()), shape)
    for mode, shape in {
        "lesson": "ring", "practice": "start", "drill": "triangle", "assessment": "octagon",
    }.items()
}  # fmt: skip
_TILE: Final = row("home.group.tile", "{title} ({count})", title=part(), count=count())
_TITLE: Final = plain("home.groups", "Practice, and drills by what was reported")
_DUE: Final = row("home.group.due", "{count} due", count=count())
_SHIFTS: Final = row(
    "home.shifts", "Whole shifts of orders are typed, in a terminal: drycycle play {name}.", name=part()
)  # fmt: skip
_LEVEL: Final = row("home.level", "level {level} of 3", level=count())


def groups(
    kit: Kit,
    area: Rect,
    entries: Sequence[LibraryEntry],
    shown: str,
    show: Callable[[str], None],
    pick: Callable[[str], None],
    shifts: Message = NOTHING,
) -> Filled:
    """Return a tile for each group that has something, and the cards of the one that is shown.

    Args:
        kit: Letters and colours.
        area: Where, its height left out.
        entries: Practice and drills.
        shown: Which group.
        show: Shows another.
        pick: Opens a scenario by its name.
        shifts: Names of the shifts, told with practice.
    """
    column = Column(kit, Rect(area.left, area.top, area.width, 0))
    column.paragraph("home.groups", tell(_TITLE), role="lead", bold=True)
    column.space(0.4)
    of = {name: [each for each in entries if group_of(each) == name] for name in GROUPS}
    gap, high = kit.px(0.4), max(kit.px(2.2), LEAST_PX)
    left = area.left
    for name, rows in of.items():
        if not rows:
            continue
        words = tell(_TILE(title=GROUPS[name], count=len(rows)))
        mark = "turn" if any(each.due for each in rows) else ""
        wide = min(max(button_width(kit, words, mark=mark), LEAST_PX), area.width)
        if left > area.left and left + wide > area.right:
            left, column.top = area.left, column.top + high + gap
        place = Rect(left, column.top, wide, high)
        column.add(
            button(
                f"home.group.{name}", place, words, partial(show, name), mark=mark,
                chosen=partial(_is, name, shown),
            )
        )  # fmt: skip
        left += wide + gap
    column.top += high
    column.space(0.6)
    rows = of[shown]
    due = sum(each.due for each in rows)
    parts = [passed_of(rows)]
    parts += [_DUE(count=due)] if due else []
    column.paragraph(
        "home.group.counted", " · ".join(tell(each) for each in parts), role="small", soft=True
    )
    column.space(0.3)
    widgets, down = cards(kit, Rect(area.left, column.top, area.width, 0), rows, pick)
    column.widgets += widgets
    column.top += down
    if shown == PRACTICE and shifts:
        column.space(0.6)
        column.paragraph("home.shifts", tell(_SHIFTS(name=shifts)), role="small", soft=True)
    return column.widgets, column.top - area.top


def _is(name: str, shown: str) -> bool:
    return name == shown


def found(
    kit: Kit, area: Rect, entries: Sequence[LibraryEntry], pick: Callable[[str], None]
) -> Filled:
    """Return the cards of what was searched for, kind by kind."""
    column = Column(kit, Rect(area.left, area.top, area.width, 0))
    for mode, (title, _) in MODES.items():
        rows = [entry for entry in entries if entry.listed.mode == mode]
        if not rows:
            continue
        column.paragraph(f"home.{mode}", tell(title), role="lead", bold=True)
        column.space(0.3)
        widgets, down = cards(kit, Rect(area.left, column.top, area.width, 0), rows, pick)
        column.widgets += widgets
        column.top += down + kit.px(1)
    if not column.widgets:
        column.paragraph("home.none", say("No scenario fits."), soft=True)
    return column.widgets, column.top - area.top


def cards(
    kit: Kit, area: Rect, rows: Sequence[LibraryEntry], pick: Callable[[str], None]
) -> Filled:
    """Return a card for each of some scenarios, as many across as there is room for."""
    if not rows:
        return [], 0
    gap = kit.px(0.9)
    across = max((area.width + gap) // (kit.px(25) + gap), 1)
    wide = (area.width - gap * (across - 1)) // across
    high = max(_height(kit, wide, entry) for entry in rows)
    cells = grid(area, across, high, len(rows), gap)
    widgets = [_card(cell, entry, pick) for entry, cell in zip(rows, cells, strict=True)]
    return widgets, cells[-1].bottom - area.top


def _card(rect: Rect, entry: LibraryEntry, pick: Callable[[str], None]) -> Widget:
    listed = entry.listed
    shape = MODES[listed.mode][1]

    def paint(pen: Pen, place: Rect, mood: Mood) -> None:
        palette = pen.palette
        pen.box(place, palette.raised if mood.hovered else palette.panel, palette.edge, radius=0.5)
        inner = inset(place, pen.px(0.9), pen.px(0.7))
        line = pen.letters.line("lead")
        spot = Rect(inner.left, inner.top, pen.px(1.1), line)
        symbol(pen, shape, square_in(spot, pen.px(0.95)), palette.blue)
        shift = pen.px(1.6)
        width = inner.width - shift
        title = Rect(inner.left + shift, inner.top, width, line)
        high = pen.block(tell(quoted(listed.title)), title, role="lead", bold=True)
        body = Rect(inner.left + shift, inner.top + high + pen.px(0.1), width, inner.height)
        pen.block(tell(quoted(listed.summary)), body, palette.soft, role="small")
        fine = pen.letters.line("fine")
        below = Rect(body.left, place.bottom - pen.px(0.7) - fine, width, fine)
        _level(pen, below, listed.level)
        _standing(pen, below, entry)
        focus_ring(pen, place, mood)

    return Widget(
        f"{STATION}{entry.name}", rect, paint, None, Act(click=partial(pick, entry.name)),
        label=f"{tell(quoted(listed.title))}. {tell(stands(entry))}",
    )  # fmt: skip


def _standing(pen: Pen, place: Rect, entry: LibraryEntry) -> None:
    """Draw at the right how it stands."""
    done = pen.text(tell(stands(entry)), place, pen.palette.soft, role="fine", align="right")
    sign = mark_of(entry)
    if sign is not None:
        mark = Rect(done.left - pen.px(1.2), place.top, pen.px(0.9), place.height)
        symbol(pen, sign[0], square_in(mark, pen.px(0.75)), getattr(pen.palette, sign[1]))


def _level(pen: Pen, place: Rect, level: int) -> None:
    words = tell(_LEVEL(level=level))
    size = pen.px(0.6)
    for index in range(3):
        spot = square_in(
            Rect(place.left + index * pen.px(0.9), place.top, size, place.height), size
        )
        symbol(pen, "square" if index < level else "minus", spot, pen.palette.blue)
    rest = Rect(place.left + pen.px(3.2), place.top, place.width - pen.px(3.2), place.height)
    pen.text(words, rest, pen.palette.soft, role="fine")


def _height(kit: Kit, width: int, entry: LibraryEntry) -> int:
    inner = width - 2 * kit.px(0.9) - kit.px(1.6)
    listed = entry.listed
    return (
        kit.letters.height(tell(quoted(listed.title)), "lead", inner, True)
        + kit.letters.height(tell(quoted(listed.summary)), "small", inner)
        + kit.letters.line("fine") + 2 * kit.px(0.7) + kit.px(0.5)
    )  # fmt: skip
