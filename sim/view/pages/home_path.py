"""The lessons as numbers along a path, and what the one that is looked at is about.

Never here: which one is next.
"""

from collections.abc import Callable, Sequence
from functools import partial
from typing import Final

from pygame import Rect

from sim.debrief.library_entries import LibraryEntry, passed_of, stands
from sim.view.kit.column import Column, Filled
from sim.view.kit.layout import columns, from_left
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Act, Mood, Widget
from sim.words.fields import count, part
from sim.words.message import plain, quoted, row
from sim.words.speech import tell

STATION: Final = "pick."  # what the name of every widget begins with that opens a scenario
_SIZE_EMS: Final = 2.4
LEAST_PX: Final = 44  # of anything here that a hand goes to

_TITLE: Final = plain("home.lessons", "Lessons")
_NEXT: Final = plain("home.path.next", "next")
_LESSON: Final = row("home.lesson-number", "Lesson {number}: {title}", number=count(), title=part())


def mark_of(entry: LibraryEntry) -> tuple[str, str] | None:
    """Return the sign of how it stands, and its colour; a tick only where it was passed."""
    if entry.best is None:
        return None
    if entry.due:
        return "turn", "yellow"
    return ("tick", "green") if entry.passed else ("ring", "soft")


def lesson_title(number: int, entry: LibraryEntry) -> str:
    """Return the title of a lesson with its number."""
    return tell(_LESSON(number=number, title=quoted(entry.listed.title)))


def path(
    kit: Kit,
    area: Rect,
    lessons: Sequence[LibraryEntry],
    next_name: str,
    pick: Callable[[str], None],
    looked_at: Callable[[], str],
) -> Filled:
    """Return the path with a station for each lesson, and under it a line on the one that is looked at.

    Args:
        kit: Letters and colours.
        area: Where, its height left out.
        lessons: In their order.
        next_name: Of the one that is next.
        pick: Opens one by its name.
        looked_at: Returns the name of the widget that pointer or keyboard is on.
    """
    column = Column(kit, Rect(area.left, area.top, area.width, 0))
    words = f"{tell(_TITLE)} · {tell(passed_of(lessons))}"
    column.paragraph("home.lessons", words, role="lead", bold=True)
    column.space(0.4)
    size = max(kit.px(_SIZE_EMS), LEAST_PX)
    high = size + kit.letters.line("fine") + kit.px(0.2)
    most = max(area.width // (size + kit.px(0.6)), 1)
    rows = -(-len(lessons) // most)
    across = -(-len(lessons) // max(rows, 1)) if lessons else 1
    for start in range(0, len(lessons), across):
        band = Rect(area.left, column.top, area.width, high)
        cells = columns(band, [1] * across)
        for at, entry in enumerate(lessons[start : start + across], start):
            ends = at == 0, at == len(lessons) - 1
            column.add(
                _station(
                    cells[at - start], size, at + 1, entry, entry.name == next_name, ends, pick
                )
            )
        column.top = band.bottom + kit.px(0.5)
    column.add(_told(kit, column, lessons, next_name, looked_at))
    return column.widgets, column.top - area.top


def _station(
    cell: Rect, size: int, number: int, entry: LibraryEntry, is_next: bool,
    ends: tuple[bool, bool], pick: Callable[[str], None],
) -> Widget:  # fmt: skip
    def paint(pen: Pen, place: Rect, mood: Mood) -> None:
        palette = pen.palette
        middle = Rect(place.centerx - size // 2, place.top, size, size)
        thick = max(pen.px(0.25), 3)
        left = middle.centerx if ends[0] else place.left
        right = middle.centerx if ends[1] else place.right
        track = palette.green if entry.passed else palette.hair
        pen.fill(Rect(left, middle.centery - thick // 2, right - left, thick), track)
        _disc(pen, middle, entry, mood, is_next=is_next)
        ink = palette.dark if is_next else palette.ink if entry.best is not None else palette.soft
        pen.text(str(number), middle, ink, role="lead", bold=True, align="centre")
        below = Rect(
            place.left,
            middle.bottom + pen.px(0.2),
            place.width,
            place.bottom - middle.bottom - pen.px(0.2),
        )
        _caption(pen, below, entry, is_next=is_next)

    name, title = f"{STATION}{entry.name}", lesson_title(number, entry)
    act = Act(click=partial(pick, entry.name))
    return Widget(name, cell, paint, None, act, label=f"{title}. {tell(stands(entry))}")


def _disc(pen: Pen, middle: Rect, entry: LibraryEntry, mood: Mood, *, is_next: bool) -> None:
    """Draw the station itself, with a ring round it where the keyboard is."""
    palette, width = pen.palette, max(pen.px(0.14), 2)
    edge = palette.green if entry.passed else palette.edge
    if entry.due:
        edge = palette.yellow
    fill = palette.blue if is_next else palette.panel
    if mood.hovered or mood.held:
        fill = palette.white if is_next else palette.lit
    if mood.focused:
        pen.box(middle, palette.focus, radius=99)
        middle = middle.inflate(-2 * width, -2 * width)
        pen.box(middle, palette.dark, radius=99)
        middle = middle.inflate(-2 * width, -2 * width)
    pen.box(middle, fill, palette.blue if is_next else edge, radius=99, width=width)


def _caption(pen: Pen, place: Rect, entry: LibraryEntry, *, is_next: bool) -> None:
    palette = pen.palette
    if is_next:
        pen.text(tell(_NEXT), place, palette.blue, role="fine", bold=True, align="centre")
        return
    mark = mark_of(entry)
    if mark is None:
        return
    score, size = str(entry.best), pen.px(0.75)
    wide = pen.letters.width(score, "fine") + pen.px(0.3) + size
    spot, rest = from_left(
        Rect(place.centerx - wide // 2, place.top, wide, place.height), size, pen.px(0.3)
    )
    symbol(pen, mark[0], square_in(spot, size), getattr(palette, mark[1]))
    pen.text(score, rest, palette.soft, role="fine")


def _told(
    kit: Kit, column: Column, lessons: Sequence[LibraryEntry], next_name: str, looked_at: Callable[[], str]
) -> Widget:  # fmt: skip
    """Return title and line of the lesson that is looked at; of the next one while it is none of them."""
    numbers = {each.name: number for number, each in enumerate(lessons, start=1)}
    known = {each.name: each for each in lessons}
    width = column.width
    line = kit.letters.line("lead")
    high = line + max(
        (kit.letters.height(tell(quoted(each.listed.summary)), "small", width) for each in lessons),
        default=0,
    )
    titles = [
        f"{lesson_title(numbers[each.name], each)} · {tell(stands(each))}" for each in lessons
    ]
    high += (
        max((kit.letters.height(each, "lead", width, True) for each in titles), default=line) - line
    )
    rect = Rect(column.left, column.top, width, high)
    column.top = rect.bottom

    def shown() -> str:
        name = looked_at().removeprefix(STATION)
        if name in known:
            return name
        return next_name if next_name in known else lessons[0].name if lessons else ""

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        entry = known.get(shown())
        if entry is None:
            return
        title = titles[numbers[entry.name] - 1]
        down = pen.block(title, place, role="lead", bold=True)
        below = Rect(place.left, place.top + down, place.width, place.height - down)
        pen.block(tell(quoted(entry.listed.summary)), below, pen.palette.soft, role="small")

    return Widget("home.told", rect, paint, shown)
