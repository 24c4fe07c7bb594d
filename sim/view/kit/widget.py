"""The widget: a named rectangle with something to paint and something to do. Pages are trees of them.

`face` says what the widget shows now, in a few plain values; it is painted again only when they
change. A widget without `face` is painted once with the page. Never here: what any of them mean.
"""

from collections.abc import Callable, Hashable, Iterator
from dataclasses import dataclass, field

from pygame import Rect

from sim.view.kit.pen import Pen
from sim.view.kit.words import TermSpot


@dataclass(frozen=True, slots=True)
class Mood:
    """How pointer, keyboard and the step of a lesson stand to a widget."""

    focused: bool = False
    hovered: bool = False
    held: bool = False
    lit: bool = False  # the next act of a step is done here
    ghost: bool = False  # by ghost hands


@dataclass(frozen=True, slots=True)
class Stroke:
    """A key of the keyboard going down, in plain words: `left`, `return`, `a`, with its text."""

    name: str
    text: str = ""
    shift: bool = False
    ctrl: bool = False


Paint = Callable[[Pen, Rect, Mood], None]
Face = Callable[[], Hashable]
Terms = Callable[[Pen, Rect], tuple[TermSpot, ...]]


@dataclass
class Act:
    """What a widget does. `press` and `release` get the source of the hand: the mouse or a key."""

    press: Callable[[str], None] | None = None
    release: Callable[[str], None] | None = None
    click: Callable[[], None] | None = None  # pressed and let go inside
    drag: Callable[[int], None] | None = None  # px from where the drag began
    point: Callable[[tuple[int, int]], None] | None = None  # pressed at a place
    hover: Callable[[tuple[int, int] | None], None] | None = (
        None  # the pointer over it; None as it leaves
    )
    stroke: Callable[[Stroke], bool] | None = None  # while focused; True when it was used
    focus: bool = True
    at_once: bool = (
        False  # takes a click even where it has only just come under the pointer: a stop
    )


@dataclass
class Widget:
    """One rectangle of a page."""

    name: str
    rect: Rect
    paint: Paint | None = None
    face: Face | None = None
    act: Act | None = None
    label: str = ""  # what it is, in words
    children: list["Widget"] = field(default_factory=list)
    window: Rect | None = None  # what can be seen of it when it is in something that scrolls
    pane: str = ""  # the name of that
    floats: bool = False  # meant to lie over others
    terms: Terms | None = None  # the words of the trade in it, and where they stand
    covers: bool = False  # paints every px of its place, so that nothing is cleared under it

    def walk(self) -> Iterator["Widget"]:
        """Yield this widget and everything in it, in reading order."""
        yield self
        for child in self.children:
            yield from child.walk()

    @property
    def seen(self) -> Rect:
        """The part of it that can be seen."""
        return self.rect.clip(self.window) if self.window is not None else self.rect
