"""Numbers that were turned to and are not set yet: gathered, and set by one act each when told to.

A click of a step key turns the number that is wanted, and nobody walks to the saw for it; the act
begins when the trainee says so, with one walk for each setting.

Never here: how a setting is carried out (see `play`).
"""

from collections.abc import Callable
from typing import Final

from sim.control.dials import BY_NAME as DIALS
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.session.session import Session
from sim.view.play.points import Points
from sim.words.fields import entry, part, parts
from sim.words.message import Message, row

_BAND: Final = "band.teeth_per_inch"
_ONE: Final = row(
    "window.gathered.one", "{title}: {setting}", title=part(capital=True), setting=part()
)
_DIAL: Final = row(
    "window.gathered.dial", "{title}: {setting}", title=part(capital=True), setting=entry()
)
_TO_SET: Final = row("window.gathered", "To be set: {settings}.", settings=parts("; "))


class Gathered:
    """What each number is wanted at, in the order in which it was first turned.

    Args:
        session: Whose saw it is.
        points: What this trainee has looked at: a number that nobody has looked at is no number yet.
        changed: Called when something was gathered or let go.
    """

    def __init__(self, session: Session, points: Points, changed: Callable[[], None]) -> None:
        self._session = session
        self._points = points
        self._changed = changed
        self._wanted: dict[str, float] = {}

    def __call__(self, name: str, setting: float) -> None:
        """Want a number at a value; at the one that it has already, it is wanted no longer."""
        if self._session.over:
            return
        another = name == _BAND and self._session.saw.plant.band.seat.off  # one like the old one
        if setting == self._stands_at(name) and not another:
            self._wanted.pop(name, None)
        else:
            self._wanted[name] = setting
        self._changed()

    def _stands_at(self, name: str) -> object:
        point = SET_POINTS.get(name)
        return self._session.saw.read(name) if point is None else self._points.read(point)

    def __bool__(self) -> bool:
        return bool(self._wanted)

    def get(self, name: str) -> float | None:
        """Return what a number is wanted at; None when it is not."""
        return self._wanted.get(name)

    def clear(self) -> None:
        """Leave everything as it is."""
        self._wanted.clear()
        self._changed()

    def take(self) -> tuple[str, float] | None:
        """Return the next setting and forget it; None when nothing is left."""
        name = next(iter(self._wanted), None)
        return None if name is None else (name, self._wanted.pop(name))

    @property
    def said(self) -> Message:
        """What is to be set to what."""
        return _TO_SET(settings=tuple(_told(name, to) for name, to in self._wanted.items()))


def _told(name: str, setting: float) -> Message:
    point = SET_POINTS.get(name)
    if point is not None:
        return _ONE(title=point.title, setting=point.told(setting))
    return _DIAL(title=DIALS[name].title, setting=round(setting))
