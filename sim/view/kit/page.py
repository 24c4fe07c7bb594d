"""What the stage needs of a page, and a page on which nothing is held, refused or claimed."""

from collections.abc import Callable
from typing import Protocol

from pygame import Rect

from sim.view.kit.bubble import Bubble, Explained
from sim.view.kit.pen import Kit
from sim.view.kit.scrolling import Scrolls
from sim.view.kit.widget import Stroke, Widget


class Page(Protocol):
    """What the stage needs of a page."""

    name: str
    scrolls: Scrolls
    explains: bool  # whether words of the trade are marked, and explained at the pointer
    spared: tuple[str, ...]  # widgets that no bubble lies over

    def build(self, kit: Kit, area: Rect) -> Widget:
        """Return the tree of widgets for an area."""

    def stale(self) -> bool:
        """Return whether the tree must be built anew; true once."""

    def claim(self) -> str:
        """Return the beginning of the name of the widget the keyboard is to go to; once."""

    def stroke(self, stroke: Stroke) -> bool:
        """Take a key that no widget wanted; return whether it was used."""

    def why(self, name: str) -> None:
        """Say what stands against the thing that a widget does, if anything can be said."""

    def unstroke(self, name: str) -> None:
        """Take a key coming up."""

    def let_go(self) -> None:
        """Take every hand off: the window lost the keyboard."""

    def bubble(self) -> Bubble | None:
        """Return what is to be said beside a widget, or None."""

    def explained(self, term: str) -> Explained | None:
        """Return what a word of the trade means, and what it looks like, where anything shows that."""

    def interrupt(self) -> bool:
        """End what is only shown, since somebody reaches for key or pointer; return whether anything was."""

    def acts_at_once(self, stroke: Stroke) -> bool:
        """Return whether a key is taken even where it ends what is only shown: a stop."""

    @property
    def by_ghost(self) -> bool:
        """Whether what is lit is done by ghost hands."""

    def lights(self) -> frozenset[str]:
        """Return the widgets that are lit, since the next act of a step is done there."""


class QuietPage:
    """The calls of a page that has no keys of a machine; escape leaves it.

    Args:
        leave: What escape does.
    """

    explains = False
    spared: tuple[str, ...] = ()

    def __init__(self, leave: Callable[[], None]) -> None:
        self.scrolls = Scrolls()
        self._leave = leave
        self._stale = False

    def refresh(self) -> None:
        """Have the tree built anew."""
        self._stale = True

    def stale(self) -> bool:
        """Return whether the tree must be built anew; true once."""
        stale = self._stale or self.scrolls.moved
        self._stale = self.scrolls.moved = False
        return stale

    def claim(self) -> str:
        """Leave the keyboard where it is."""
        return ""

    def stroke(self, stroke: Stroke) -> bool:
        """Leave on escape."""
        if stroke.name == "escape":
            self._leave()
            return True
        return False

    def why(self, name: str) -> None:
        """Nothing here can be refused."""

    def unstroke(self, name: str) -> None:
        """Nothing is held here."""

    def let_go(self) -> None:
        """Nothing is held here."""

    def bubble(self) -> Bubble | None:
        """Say nothing."""
        return None

    def explained(self, term: str) -> Explained | None:
        """Explain nothing."""
        return None

    def interrupt(self) -> bool:
        """Nothing is only shown here."""
        return False

    def acts_at_once(self, stroke: Stroke) -> bool:
        """Return that no key is; there is no stop here."""
        del stroke
        return False

    by_ghost = False

    def lights(self) -> frozenset[str]:
        """Light nothing."""
        return frozenset()
