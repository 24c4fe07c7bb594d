"""Home: what the program is for, and every scenario to pick from, by words, level, new, due or done."""

from collections.abc import Callable
from typing import Final

from pygame import Rect

from sim.view.kit.column import Column
from sim.view.kit.controls import (
    Typed,
    button,
    button_width,
    choice,
    choice_width,
    field,
    focus_ring,
)
from sim.view.kit.layout import from_bottom, from_left, from_right, from_top, grid, inset
from sim.view.kit.page import QuietPage
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Act, Mood, Widget
from sim.view.pages.library_entries import LibraryEntry, read_entries
from sim.words.fields import count
from sim.words.message import NOTHING, Message, named, plain, quoted, row, sentence
from sim.words.speech import say, tell

# The kinds of scenario in their order, with the shape that tells them apart.
MODES: Final = {
    mode: (plain(f"home.{mode}", mode.capitalize()), shape)
    for mode, shape in {
        "lesson": "ring", "practice": "start", "drill": "triangle", "assessment": "octagon",
    }.items()
}  # fmt: skip


_BEST: Final = row("home.best", "best {score}", score=count())
_BEST_DUE: Final = row("home.best-due", "best {score}, due", score=count())
_LEVEL: Final = row("home.level", "level {level} of 3", level=count())
LISTS: Final = tuple(
    (name, plain(f"home.list.{name}", words))
    for name, words in {"all": "all", "new": "not yet", "due": "due", "done": "done"}.items()
)
LEVELS: Final = (
    ("any", plain("home.level.any", "any level")),
    *((level, named(level)) for level in ("1", "2", "3")),
)


class HomePage(QuietPage):
    """The first page."""

    name = "home"

    def __init__(
        self,
        pick: Callable[[str], None],
        quit_: Callable[[], None],
        settings: Callable[[], None],
        trouble: Message = NOTHING,
    ) -> None:
        super().__init__(quit_)
        self._trouble = trouble  # why what was picked could not be opened
        self.entries = read_entries()
        self.search = Typed()
        self.list = "all"
        self.level = "any"
        self._pick = pick
        self._settings = settings

    def show_list(self, name: str) -> None:
        """Show all scenarios, or those that are new, due or done."""
        self.list = name
        self.refresh()

    def show_level(self, level: str) -> None:
        """Show scenarios of one level, or of any."""
        self.level = level
        self.refresh()

    def shown(self) -> list[LibraryEntry]:
        """Return the entries that fit search, list and level."""
        asked = self.search.text.lower().split()
        return [
            entry
            for entry in self.entries
            if self.list in ("all", entry.standing)
            and self.level in ("any", str(entry.listed.level))
            and all(word in _words_of(entry) for word in asked)
        ]

    def build(self, kit: Kit, area: Rect) -> Widget:
        """Return the tree for an area."""
        inner = inset(area, kit.px(2.2), kit.px(1.2))
        head_high = kit.letters.line("hero") + kit.letters.line("body") + kit.px(1.0)
        head, rest = from_top(inner, head_high)
        words = say(
            "Practice, not authorisation: the maker's manual, local codes and a qualified or authorised person come first."
        )
        high = kit.letters.height(words, "small", inner.width) + kit.px(0.3)
        foot, rest = from_bottom(rest, high, kit.px(0.6))
        note = Column(kit, foot)
        note.paragraph("home.note", words, role="small", soft=True)
        find, rest = self._finders(kit, rest)
        said = Column(kit, rest)
        if self._trouble:
            said.stamped("home.trouble", "", "refused", tell(sentence(self._trouble)))
            said.space(0.6)
            rest = from_top(rest, said.top - rest.top)[1]
        picker = self.scrolls.pane(kit, "home.cards", rest, lambda place: self._cards(kit, place))
        words = say("Settings")
        place, head = from_right(head, button_width(kit, words, mark="gear"), kit.px(1))
        place.height = max(kit.px(2.1), 24)
        settings = button("home.settings", place, words, self._settings, mark="gear")
        return Widget(
            "page",
            area,
            children=[self._head(head), settings, *find, *said.widgets, picker, *note.widgets],
        )

    def _head(self, rect: Rect) -> Widget:
        def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
            title, below = from_top(place, pen.letters.line("hero"))
            _mark(pen, title)
            shift = pen.px(4.2)
            pen.text("drycycle", Rect(title.left + shift, title.top, title.width - shift, title.height),
                     role="hero", bold=True)  # fmt: skip
            line = Rect(below.left, below.top, below.width, pen.letters.line("body"))
            pen.text(
                say("A saw that can be run wrong, so that yours is not."), line, pen.palette.soft
            )

        return Widget("home.head", rect, paint, label="drycycle")

    def _finders(self, kit: Kit, area: Rect) -> tuple[list[Widget], Rect]:
        """Return search, list and level, and the place that is left under them."""
        gap, high = kit.px(0.8), max(kit.px(2.1), 26)
        lists = tuple((name, tell(words)) for name, words in LISTS)
        levels = tuple((level, tell(words)) for level, words in LEVELS)
        widths = [choice_width(kit, options) for options in (lists, levels)]
        row, rest = from_top(area, high, gap)
        if row.width - sum(widths) - 2 * gap < kit.px(16):
            line, rest = from_top(rest, high, gap)
        else:
            line, row = from_right(row, sum(widths) + gap, gap)
        first, second = from_left(line, widths[0], gap)
        second.width = min(second.width, widths[1])
        prompt = say("Search by skill or by words")
        return [
            field("home.search", row, self.search, prompt, self.refresh),
            choice(kit, "home.list", first, lists, lambda: self.list, self.show_list),
            choice(kit, "home.level", second, levels, lambda: self.level, self.show_level),
        ], rest

    def _cards(self, kit: Kit, area: Rect) -> tuple[list[Widget], int]:
        gap = kit.px(0.9)
        across = max((area.width + gap) // (kit.px(25) + gap), 1)
        widgets: list[Widget] = []
        top = area.top
        for mode, (title, _) in MODES.items():
            rows = [entry for entry in self.shown() if entry.listed.mode == mode]
            if not rows:
                continue
            column = Column(kit, Rect(area.left, top, area.width, 0))
            column.paragraph(f"home.{mode}", tell(title), role="lead", bold=True)
            top = column.top + kit.px(0.3)
            widgets += column.widgets
            heights = [
                _card_height(kit, (area.width - gap * (across - 1)) // across, e) for e in rows
            ]
            high = max(heights)
            cells = grid(Rect(area.left, top, area.width, 0), across, high, len(rows), gap)
            for entry, cell in zip(rows, cells, strict=True):
                widgets.append(self._card(kit, cell, entry))
            top = cells[-1].bottom + kit.px(1)
        if not widgets:
            column = Column(kit, area)
            column.paragraph("home.none", say("No scenario fits."), soft=True)
            return column.widgets, column.top - area.top
        return widgets, top - area.top

    def _card(self, kit: Kit, rect: Rect, entry: LibraryEntry) -> Widget:
        listed = entry.listed
        shape = MODES[listed.mode][1]

        def paint(pen: Pen, place: Rect, mood: Mood) -> None:
            palette = pen.palette
            pen.box(
                place, palette.raised if mood.hovered else palette.panel, palette.edge, radius=0.5
            )
            inner = inset(place, pen.px(0.9), pen.px(0.7))
            line = pen.letters.line("lead")
            spot = Rect(inner.left, inner.top, pen.px(1.1), line)
            symbol(pen, shape, square_in(spot, pen.px(0.95)), palette.blue)
            shift = pen.px(1.6)
            width = inner.width - shift
            high = pen.block(
                tell(quoted(listed.title)),
                Rect(inner.left + shift, inner.top, width, line),
                role="lead",
                bold=True,
            )
            body = Rect(inner.left + shift, inner.top + high + pen.px(0.1), width, inner.height)
            high = pen.block(tell(quoted(listed.summary)), body, palette.soft, role="small")
            row = Rect(
                body.left,
                place.bottom - pen.px(0.7) - pen.letters.line("fine"),
                width,
                pen.letters.line("fine"),
            )
            _level(pen, row, listed.level)
            _standing(pen, row, entry)
            focus_ring(pen, place, mood)

        return Widget(
            f"pick.{entry.name}", rect, paint, None, Act(click=lambda: self._pick(entry.name)),
            label=tell(quoted(listed.title)),
        )  # fmt: skip


def _words_of(entry: LibraryEntry) -> str:
    listed = entry.listed
    told = (tell(quoted(listed.title)), tell(quoted(listed.summary)))
    return " ".join((listed.title, listed.summary, *told, *listed.skills)).lower()


def _standing(pen: Pen, row: Rect, entry: LibraryEntry) -> None:
    """Draw at the right whether it is due, or how well it was done."""
    if entry.best is None:
        return
    words = tell((_BEST_DUE if entry.due else _BEST)(score=entry.best))
    done = pen.text(words, row, pen.palette.soft, role="fine", align="right")
    mark = Rect(done.left - pen.px(1.2), row.top, pen.px(0.9), row.height)
    shape, colour = ("tick", pen.palette.green) if entry.passed else ("ring", pen.palette.soft)
    if entry.due:
        shape, colour = "turn", pen.palette.yellow
    symbol(pen, shape, square_in(mark, pen.px(0.75)), colour)


def _level(pen: Pen, row: Rect, level: int) -> None:
    words = tell(_LEVEL(level=level))
    size = pen.px(0.6)
    for index in range(3):
        spot = square_in(Rect(row.left + index * pen.px(0.9), row.top, size, row.height), size)
        symbol(pen, "square" if index < level else "minus", spot, pen.palette.blue)
    pen.text(words, Rect(row.left + pen.px(3.2), row.top, row.width - pen.px(3.2), row.height),
             pen.palette.soft, role="fine")  # fmt: skip


def _card_height(kit: Kit, width: int, entry: LibraryEntry) -> int:
    inner = width - 2 * kit.px(0.9) - kit.px(1.6)
    listed = entry.listed
    return (
        kit.letters.height(tell(quoted(listed.title)), "lead", inner, True)
        + kit.letters.height(tell(quoted(listed.summary)), "small", inner)
        + kit.letters.line("fine") + 2 * kit.px(0.7) + kit.px(0.5)
    )  # fmt: skip


def _mark(pen: Pen, place: Rect) -> None:
    """Draw our sign: a bar, a kerf through it, and the piece beyond."""
    palette = pen.palette
    high = pen.px(1.5)
    top = place.centery - high // 2
    pen.box(Rect(place.left, top, pen.px(2.1), high), palette.steel, radius=0.2)
    pen.box(Rect(place.left + pen.px(2.5), top, pen.px(1.1), high), palette.steel, radius=0.2)
    pen.fill(
        Rect(
            place.left + pen.px(2.22), top - pen.px(0.45), max(pen.px(0.14), 2), high + pen.px(0.9)
        ),
        palette.orange,
    )
