"""The strip of the hands: what they are busy with, where, for how long, and how it is broken off.

Before an act it lists what was gathered, with the key that has it done. Its edge is red while hands
are where nothing protects them. Its keys keep their place when it grows: it grows upwards.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil
from typing import Final

from pygame import Rect

from sim.session.hands.under_way import UnderWay
from sim.session.hands.zones import WHERE
from sim.view.console.coach import fitted_lines
from sim.view.kit.controls import MAIN, PLAIN, Style, button, button_width
from sim.view.kit.layout import from_left, from_right, inset
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Mood, Widget
from sim.view.play.play import Play
from sim.view.play.telling import in_titles
from sim.words.fields import number, part
from sim.words.message import Message, plain, row, sentences
from sim.words.speech import say, tell

# What is done comes last: some of it is a sentence with its stop, some a title without.
_WALKS: Final = row(
    "window.hands.walks", "On the way there; hands go in in {seconds} s: {what}",
    seconds=number(0), what=part(),
)  # fmt: skip
_IN: Final = row(
    "window.hands.in", "Hands {where}, for {seconds} s more: {what}",
    where=part(), seconds=number(0), what=part(),
)  # fmt: skip
_GOES_ROUND: Final = row(
    "window.hands.round", "{seconds} s more: {what}", seconds=number(0), what=part()
)
_COMES_OUT: Final = row(
    "window.hands.out", "Broken off, and the hands come out: {what}", what=part()
)
_BARE: Final = plain(
    "window.hands.bare", "Nothing keeps the saw from starting or the head from coming down on them."
)
_ICON_EMS: Final = 1.5


@dataclass(frozen=True, slots=True)
class _Key:
    name: str
    words: str
    click: Callable[[], None]
    mark: str = ""
    style: Style = PLAIN

    def width(self, kit: Kit) -> int:
        return button_width(kit, self.words, mark=self.mark)


def hands_show(play: Play) -> str:
    """Return what kind of thing the strip shows: `act`, what is `gathered`, or nothing."""
    return "act" if play.busy is not None else "gathered" if play.gathered else ""


def hands_height(kit: Kit, width: int, play: Play) -> int:
    """Return how high the strip is now, 0 while the hands are free and nothing is gathered, px."""
    if not hands_show(play):
        return 0
    inner = width - _keys_width(kit, play) - kit.px(_ICON_EMS + 2.4)
    lines = kit.letters.height(_told(play), "small", max(inner, kit.px(8)))
    if play.busy is not None:
        lines += kit.letters.line("small")  # for more seconds, and for a warning
    return max(lines + kit.px(0.7), least_height(kit))


def least_height(kit: Kit) -> int:
    """Return how high the strip is at least while it is there, px."""
    return max(kit.px(2.5), 40)


def hands_strip(kit: Kit, rect: Rect, play: Play) -> Widget:
    """Return the strip with its keys at the right."""
    keys: list[Widget] = []
    rest = rect
    least = min(least_height(kit), rect.height)
    margin = (least - max(min(least, kit.px(2.0)), 24)) // 2
    for key in reversed(_keys(play)):
        place, rest = from_right(rest, key.width(kit), kit.px(0.4))
        high = least - 2 * margin
        spot = Rect(place.left, rect.bottom - margin - high, place.width, high)
        keys.insert(0, button(key.name, spot, key.words, key.click, mark=key.mark, style=key.style))

    def face() -> tuple[str, bool]:
        busy = play.busy
        return _told(play), busy is not None and busy.bare

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        palette = pen.palette
        words, bare = face()
        edge = palette.red if bare else palette.focus
        pen.box(place, palette.panel, edge, radius=0.3, width=pen.hairline + (2 if bare else 1))
        inner = inset(place, pen.px(0.5), pen.px(0.2))
        mark, body = from_left(inner, pen.px(_ICON_EMS), pen.px(0.6))
        symbol(
            pen, "hand", square_in(mark, pen.px(_ICON_EMS)), palette.red if bare else palette.ink
        )
        fitted_lines(pen, body, words)

    said = Widget("hands.said", rest, paint, face, label=say("hands"))
    return Widget("hands", rect, children=[said, *keys])


def _keys(play: Play) -> tuple[_Key, ...]:
    if play.busy is not None:
        return (
            _Key("hands.break-off", say("Break off (1 s)"), play.break_off, "stop"),
            _Key("hands.pass", say("Let it pass"), play.let_pass, "faster"),
        )
    return (
        _Key("hands.do", say("Do it"), play.set_gathered, "hand", MAIN),
        _Key("hands.leave", say("Leave it"), play.gathered.clear),
    )


def _keys_width(kit: Kit, play: Play) -> int:
    return sum(key.width(kit) + kit.px(0.4) for key in _keys(play))


def _told(play: Play) -> str:
    busy = play.busy
    return tell(play.gathered.said) if busy is None else tell(_of(busy))


def _of(busy: UnderWay) -> Message:
    """Return what the hands do, where they are, and how long that takes."""
    what, seconds = in_titles(busy.what), ceil(busy.seconds_left)
    if busy.broken:
        return _COMES_OUT(what=what)
    if busy.harmless:
        return _GOES_ROUND(seconds=seconds, what=what)
    if not busy.hands_in:
        return _WALKS(seconds=ceil(busy.walk_left), what=what)
    there = _IN(where=WHERE[busy.reach.zone], seconds=seconds, what=what)
    return sentences(*((_BARE,) if busy.bare else ()), there)
