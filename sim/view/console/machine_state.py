"""A machine's state in words, with a shape and a colour before it."""

from typing import Final

from pygame import Rect

from sim.session.session import Session
from sim.session.sights.controller_words import console_lit, shown_state
from sim.view.kit.layout import from_left
from sim.view.kit.palette import Colour, Palette
from sim.view.kit.pen import Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Mood, Widget
from sim.view.play.key_words import state_of
from sim.words.message import Message, plain
from sim.words.speech import say, tell

_GOOD: Final = frozenset({
    "ON", "RUNNING", "CLAMPED", "EXECUTE", "COMPLETE", "FLOWING", "COMPLETING",
})  # fmt: skip
_DANGER: Final = frozenset({"ABORTED", "ABORTING"})
_DARK: Final = plain("console.state.dark", "dark")
_WAITS: Final = frozenset({"HOLDING", "HELD", "STOPPING"})


def state_look(palette: Palette, machine: str, state: str) -> tuple[str, Colour]:
    """Return the shape and the colour that stand before a state's word.

    Red is danger, yellow abnormal, green normal, white neutral (IEC 60073): what moves in the
    ordinary way is white.
    """
    if state in _DANGER or (machine == "supply" and state == "TRIPPED"):
        return "octagon", palette.red
    if state == "TRIPPED":
        return "triangle", palette.yellow
    if state in _GOOD:
        return "disc", palette.green
    if state in _WAITS:
        return "pause", palette.white
    if state.endswith("ING") or state == "NONE":
        return "faster", palette.white
    return "ring", palette.soft


def machine_state(
    machine: str, rect: Rect, session: Session, title: Message | None = None
) -> Widget:
    """Return the widget of a machine's state, after its title where it is to have one; dark without voltage."""
    image = session.saw.controller.image
    words = tell(title) if title else ""

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        if title:
            room = pen.letters.width(words, "fine", True)
            spot, place = from_left(place, room, pen.px(0.6))
            pen.text(words, spot, role="fine", bold=True)
        lit, state = face()
        mark, rest = from_left(place, pen.px(0.8), pen.px(0.35))
        if lit:
            shape, colour = state_look(pen.palette, machine, state)
            symbol(pen, shape, square_in(mark, pen.px(0.7)), colour)
        shown = state_of(machine, state) if lit else _DARK
        pen.fitted(tell(shown), rest, ("small", "fine"), pen.palette.soft)

    def face() -> tuple[bool, str]:
        return console_lit(session), shown_state(image, machine)

    return Widget(f"{machine}.state", rect, paint, face, label=say("state"))
