"""Home: one button that begins or goes on, the lessons along a path, practice, and drills by what was reported."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Final

from pygame import Rect

from sim.debrief.library_entries import GROUPS, PRACTICE, LibraryEntry, group_of, read_library
from sim.scenario.library import shifts
from sim.view.kit.column import Column, Filled
from sim.view.kit.controls import (
    MAIN,
    Style,
    Typed,
    button,
    button_width,
    choice,
    choice_width,
    field,
)
from sim.view.kit.layout import from_bottom, from_left, from_right, from_top, inset
from sim.view.kit.page import QuietPage
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.widget import Mood, Widget
from sim.view.pages.home_cards import found, groups
from sim.view.pages.home_path import LEAST_PX, lesson_title, path
from sim.words.fields import count, parts
from sim.words.message import NOTHING, Message, named, plain, quoted, row, sentence
from sim.words.speech import say, tell

if TYPE_CHECKING:  # the first frame loads no saw
    from sim.view.pages.home_saw import HomeSaw

_START: Final = plain("home.start", "Start here")
_GO_ON: Final = plain("home.go-on", "Go on")
_WORKS: Final = plain("home.saw", "the saw at work")
_SHIFTS: Final = row("home.shifts.names", "{names}", names=parts(", "))
_EACH: Final = row("home.level.each", "level {level}", level=count())
LISTS: Final = tuple(
    (name, plain(f"home.list.{name}", words))
    for name, words in {"all": "all", "new": "not yet", "due": "due", "done": "done"}.items()
)
LEVELS: Final = (
    ("any", plain("home.level.any", "any level")),
    *((str(level), _EACH(level=level)) for level in (1, 2, 3)),
)
_GO: Final = Style(MAIN.fill, MAIN.ink, MAIN.edge, "title")
_BESIDE_EMS: Final = (
    62  # of width, from which on the saw is beside the button, and below which it is under it
)
_PLATE_EMS: Final = 27
_LEAST_SAW_EMS: Final = 13.5  # of height
_SAW_SHARE: Final = 0.42  # of the page's height


class HomePage(QuietPage):
    """The first page.

    Args:
        pick: Opens a scenario by its name.
        quit_: What escape does.
        settings: Shows the settings.
        looked_at: Returns the name of the widget that pointer or keyboard is on.
        trouble: Why what was picked could not be opened.
    """

    name = "home"

    def __init__(
        self,
        pick: Callable[[str], None],
        quit_: Callable[[], None],
        settings: Callable[[], None],
        looked_at: Callable[[], str],
        trouble: Message = NOTHING,
    ) -> None:
        super().__init__(quit_)
        self._trouble = trouble
        self.library = read_library()
        self.search = Typed()
        self.list = "all"
        self.level = "any"
        self._pick = pick
        self._settings = settings
        self._looked_at = looked_at
        self._claim = "home.go"
        self.saw: HomeSaw | None = None  # once everything is loaded
        self._picture: Widget | None = None
        ahead = next((each for each in self.entries if each.name == self.library.next), None)
        self.group = group_of(ahead) if ahead and ahead.listed.mode != "lesson" else PRACTICE

    @property
    def entries(self) -> tuple[LibraryEntry, ...]:
        """Every scenario."""
        return self.library.entries

    def show_list(self, name: str) -> None:
        """Show all scenarios, or those that are new, due or done."""
        self.list = name
        self.refresh()

    def show_level(self, level: str) -> None:
        """Show scenarios of one level, or of any."""
        self.level = level
        self.refresh()

    def show_group(self, name: str) -> None:
        """Show the cards of another group."""
        self.group = name
        self.refresh()

    def claim(self) -> str:
        """Bring the keyboard to the large button, once."""
        claim, self._claim = self._claim, ""
        return claim

    def tick(self) -> None:
        """Let the saw work on, where it is seen; called only once everything is loaded."""
        picture = self._picture
        if picture is None or min(picture.seen.size) <= 0:
            return
        if self.saw is None:
            from sim.view.pages.home_saw import HomeSaw

            self.saw = HomeSaw()
            return
        self.saw.tick()

    @property
    def searching(self) -> bool:
        """Whether something was asked for: then what fits is shown, and not the path."""
        return bool(self.search.text.strip()) or self.list != "all" or self.level != "any"

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
        inner = inset(area, kit.px(2.2), kit.px(1.0))
        words = say(
            "Practice, not authorisation: the maker's manual, local codes and a qualified or authorised person come first."
        )
        head, rest = self._head(kit, inner)
        high = kit.letters.height(words, "small", inner.width)
        foot, rest = from_bottom(rest, high, kit.px(0.6))
        note = Column(kit, foot)
        note.paragraph("home.note", words, role="small", soft=True)
        said = Column(kit, rest)
        if self._trouble:
            said.stamped("home.trouble", "", "refused", tell(sentence(self._trouble)))
            said.space(0.6)
            rest = from_top(rest, said.top - rest.top)[1]
        self._picture = None
        if self.searching:
            name, content = "home.found", self._found
        else:
            name, content = "home.all", self._everything
        whole = self.scrolls.pane(kit, name, rest, lambda place: content(kit, place))
        return Widget("page", area, children=[*head, *said.widgets, whole, *note.widgets])

    # The head ---------------------------------------------------------------------------------

    def _head(self, kit: Kit, area: Rect) -> tuple[list[Widget], Rect]:
        """Return name, search and settings, and the place that is left under them."""
        high, gap = max(kit.px(2.3), LEAST_PX), kit.px(0.8)
        line, rest = from_top(area, high, kit.px(0.8))
        wide = kit.px(4.2) + kit.letters.width("drycycle", "hero", True) + kit.px(0.5)
        brand, line = from_left(line, wide, gap)
        words = say("Settings")
        wide = button_width(kit, words, mark="gear")
        if line.width < wide:
            wide, words = max(button_width(kit, "", mark="gear"), LEAST_PX), ""
        place, line = from_right(line, wide, gap)
        settings = button("home.settings", place, words, self._settings, mark="gear")
        settings.label = say("Settings")
        lists = tuple((name, tell(words)) for name, words in LISTS)
        levels = tuple((level, tell(words)) for level, words in LEVELS)
        widths = [choice_width(kit, options, LEAST_PX) for options in (lists, levels)]
        prompt = say("Search by skill or by words")
        both, least = sum(widths) + gap, kit.letters.width(prompt, "body") + kit.px(1.6)
        if line.width >= both + gap + least:
            chosen, search = from_right(line, both, gap)
        else:
            line, rest = from_top(rest, high, gap)
            if line.width >= both + gap + least:
                chosen, search = from_right(line, both, gap)
            else:
                search = line
                chosen, rest = from_top(rest, high, gap)
        first, second = from_left(chosen, widths[0], gap)
        if second.width < widths[1]:
            second, rest = from_top(rest, high, gap)
        second.width = min(second.width, widths[1])
        return [
            Widget("home.head", brand, _brand, label="drycycle"),
            field("home.search", search, self.search, prompt, self.refresh),
            choice(kit, "home.list", first, lists, lambda: self.list, self.show_list, least=LEAST_PX),
            choice(kit, "home.level", second, levels, lambda: self.level, self.show_level, least=LEAST_PX),
            settings,
        ], rest  # fmt: skip

    # What is shown ----------------------------------------------------------------------------

    def _found(self, kit: Kit, area: Rect) -> Filled:
        return found(kit, area, self.shown(), self._pick)

    def _everything(self, kit: Kit, area: Rect) -> Filled:
        widgets, down = self._go(kit, area)
        top = area.top + down + kit.px(1.0)
        lessons = self.library.lessons
        place = Rect(area.left, top, area.width, 0)
        if lessons:
            more, down = path(
                kit, place, lessons, self.library.next_lesson, self._pick, self._looked_at
            )
            widgets += more
            place.top += down + kit.px(1.2)
        others = [each for each in self.entries if each.listed.mode != "lesson"]
        names = _SHIFTS(names=tuple(named(name) for name, _ in shifts()))
        more, down = groups(kit, place, others, self.group, self.show_group, self._pick, names)
        return widgets + more, place.top + down - area.top

    def _go(self, kit: Kit, area: Rect) -> Filled:
        """Return what comes next with the large button, and the saw beside it."""
        least = kit.px(_LEAST_SAW_EMS)
        if area.width < kit.px(_BESIDE_EMS):
            plate, down = self._plate(kit, area)
            place = Rect(area.left, area.top + down + kit.px(0.8), area.width, least)
            return [*plate, self._saw(place)], place.bottom - area.top
        wide = kit.px(_PLATE_EMS)
        left, right = from_left(Rect(area.left, area.top, area.width, 0), wide, kit.px(1.2))
        plate, down = self._plate(kit, left)
        right.height = max(down, least, min(round(area.height * _SAW_SHARE), kit.px(26)))
        for widget in plate:
            widget.rect.move_ip(0, (right.height - down) // 2)
        return [*plate, self._saw(right)], right.height

    def _plate(self, kit: Kit, area: Rect) -> Filled:
        library = self.library
        column = Column(kit, Rect(area.left, area.top, area.width, 0))
        words = say("A saw that can be run wrong, so that yours is not.")
        column.paragraph("home.purpose", words, soft=True)
        column.space(0.7)
        ahead = next((each for each in self.entries if each.name == library.next), None)
        if ahead is None:
            return column.widgets, column.top - area.top
        numbers = {each.name: number for number, each in enumerate(library.lessons, start=1)}
        title = tell(quoted(ahead.listed.title))
        if ahead.name in numbers:
            title = lesson_title(numbers[ahead.name], ahead)
        column.paragraph("home.next.title", title, role="title", bold=True)
        column.space(0.2)
        column.paragraph("home.next.why", tell(library.why), soft=True)
        column.space(0.8)
        words = tell(_GO_ON if library.begun else _START)
        wide = max(button_width(kit, words, mark="start", role="title") + kit.px(3), kit.px(14))
        place = Rect(area.left, column.top, min(wide, area.width), max(kit.px(3.4), LEAST_PX))
        column.top = place.bottom
        go = button(
            "home.go", place, words, lambda: self._pick(library.next), mark="start", style=_GO
        )
        go.label = f"{words}: {title}. {tell(library.why)}"
        column.add(go)
        return column.widgets, column.top - area.top

    def _saw(self, rect: Rect) -> Widget:
        def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
            if self.saw is None:
                pen.fill(place, pen.palette.paper)
            else:
                self.saw.paint(pen, place)

        def face() -> int:
            return -1 if self.saw is None else self.saw.pictures

        self._picture = Widget("home.saw", rect, paint, face, label=tell(_WORKS), covers=True)
        return self._picture


def _words_of(entry: LibraryEntry) -> str:
    listed = entry.listed
    told = (tell(quoted(listed.title)), tell(quoted(listed.summary)))
    group = "" if listed.mode == "lesson" else tell(GROUPS[group_of(entry)])
    return " ".join((listed.title, listed.summary, *told, *listed.skills, group)).lower()


def _brand(pen: Pen, place: Rect, _mood: Mood) -> None:
    _mark(pen, place)
    shift = pen.px(4.2)
    name = Rect(place.left + shift, place.top, place.width - shift, place.height)
    pen.text("drycycle", name, role="hero", bold=True)


def _mark(pen: Pen, place: Rect) -> None:
    """Draw our sign: a bar, a kerf through it, and the piece beyond."""
    palette = pen.palette
    high = pen.px(1.5)
    top = place.centery - high // 2
    pen.box(Rect(place.left, top, pen.px(2.1), high), palette.steel, radius=0.2)
    pen.box(Rect(place.left + pen.px(2.5), top, pen.px(1.1), high), palette.steel, radius=0.2)
    kerf = Rect(
        place.left + pen.px(2.22), top - pen.px(0.45), max(pen.px(0.14), 2), high + pen.px(0.9)
    )
    pen.fill(kerf, palette.orange)
