"""The settings: one row a choice, each with a sentence that says what it does."""

from collections.abc import Callable
from functools import partial
from typing import Final

from pygame import Rect

from sim.records.settings import CHOICES, LANGUAGES, Settings
from sim.view.console.keys import emergency_corner
from sim.view.kit.bars import bar_title, done_key, top_bar
from sim.view.kit.column import Column, side_by_side
from sim.view.kit.controls import choice
from sim.view.kit.layout import from_top, inset
from sim.view.kit.page import QuietPage
from sim.view.kit.pen import Kit
from sim.view.kit.widget import Widget
from sim.view.play.hands import Hands
from sim.words.message import Message, named, plain
from sim.words.reader import language_name
from sim.words.speech import reader, say, tell

# What can be chosen, as a title and in a sentence.
_TEXTS: Final[tuple[tuple[str, str, str], ...]] = (
    ("units", "Units", "Lengths, speeds, pressures and forces on the screen. The saw stays metric."),
    ("text", "Text size", "In per cent of normal. The console scrolls when it no longer fits."),
    ("contrast", "Contrast", "Calm is easy on the eyes; stark is black, white and full lines."),
    ("colours", "Colours",
     "Told apart: danger and normal differ without red and green, and in grey. A sign stands beside each in any case."),
    ("motion", "Motion",
     "Still: what runs all the time stands in the picture, and nothing shakes or flickers. What moves a part still moves it."),
    ("sticky", "Sticky keys",
     "A click holds a key until the next: for one hand. It is noted in the record."),
    ("sound", "Sound", "Band, cut, pump and valves. Auto: on where there is something to play it."),
    ("captions", "Captions", "Words for every sound, whether it can be heard or not."),
    ("language", "Language", "Of everything on the screen."),
)  # fmt: skip

_COLUMN_EMS: Final = 34
_ROWS: Final = tuple(
    (name, plain(f"settings.{name}.title", title), plain(f"settings.{name}.what", what))
    for name, title, what in _TEXTS
)
_WORDS: Final = {
    word: plain(f"settings.choice.{word}", word)
    for word in ("metric", "inch", "calm", "stark", "usual", "full", "still", "on", "off", "auto")
} | {"apart": plain("settings.choice.apart", "told apart")}


def _told(value: str) -> str:
    """Return what stands on the key of a choice; a language has its own name for itself."""
    if value in LANGUAGES:
        return tell(named(language_name(value)))
    return tell(_WORDS[value]) if value in _WORDS else f"{value} %"


class SettingsPage(QuietPage):
    """The page of settings."""

    name = "settings"

    def __init__(
        self,
        settings: Callable[[], Settings],
        change: Callable[[Settings], None],
        back: Callable[[], None],
        hands: Hands | None = None,
    ) -> None:
        super().__init__(back)
        self._hands = (
            hands  # of the session that they are opened in, so that its stop stays in reach
        )
        self._settings = settings
        self._change = change

    def build(self, kit: Kit, area: Rect) -> Widget:
        """Return the tree for an area."""
        bar, rest = from_top(area, max(kit.px(3.4 if self._hands else 2.9), 34))
        inner = inset(rest, kit.px(1.6), kit.px(1.0))
        pane = self.scrolls.pane(kit, "settings.list", inner, lambda r: self._rows(kit, r))
        return Widget("page", area, children=[self._bar(kit, bar), pane])

    def _bar(self, kit: Kit, area: Rect) -> Widget:
        inner = inset(area, kit.px(1.6), kit.px(0.35))
        stop: list[Widget] = []
        if self._hands is not None:
            key, inner = emergency_corner(kit, inner, self._hands)
            stop.append(key)
        done, inner = done_key(kit, "settings.done", inner, self._leave, wide_ems=1)
        title = say("Settings")
        return top_bar(area, [bar_title("settings.title", inner, title), done, *stop])

    def _rows(self, kit: Kit, area: Rect) -> tuple[list[Widget], int]:
        across = max(area.width // kit.px(_COLUMN_EMS), 1)
        blocks = [partial(self._row, kit, *row) for row in _ROWS]
        return side_by_side(kit, area, min(across, 2), blocks, 1.2)

    def _row(
        self, kit: Kit, name: str, title: Message, what: Message, rect: Rect
    ) -> tuple[Widget, int]:
        column = Column(kit, rect)
        column.paragraph(f"settings.{name}.title", tell(title), bold=True)
        column.paragraph(f"settings.{name}.what", tell(what), role="small", soft=True)
        column.space(0.2)
        place = column.place(column.width, 2.0)
        options = tuple((value, _told(value)) for value in CHOICES[name])
        column.add(
            choice(kit, f"settings.{name}", place, options, partial(self._read, name),
                   partial(self._pick, name))
        )  # fmt: skip
        high = column.top - rect.top
        whole = Rect(rect.left, rect.top, rect.width, high)
        return Widget(f"settings.{name}.row", whole, children=column.widgets), high

    def _read(self, name: str) -> str:
        return str(getattr(self._settings(), name)) or reader().language

    def _pick(self, name: str, value: str) -> None:
        self._change(self._settings().with_(name, value))
