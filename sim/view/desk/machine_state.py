"""A machine's state in words, with a shape and a colour before it."""

from typing import Final

from pygame import Rect

from sim.session.session import Session
from sim.view.kit.layout import from_left
from sim.view.kit.palette import Colour, Palette
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Mood, Widget
from sim.view.play.key_words import state_of
from sim.words.speech import say, tell

_GOOD: Final = frozenset({"ON", "RUNNING", "GRIPPED", "EXECUTE", "COMPLETE", "FLOWING"})
_BAD: Final = frozenset({"EMERGENCY", "TRIPPED", "ABORTED", "ABORTING"})
_MOVING: Final = frozenset({
    "STARTING", "COASTING", "GRIPPING", "FREEING", "TO_STOP", "TO_BLADE", "LIFTING", "LOWERING",
    "HOLDING", "HELD", "STOPPING",
})  # fmt: skip


def state_look(palette: Palette, state: str) -> tuple[str, Colour]:
    """Return the shape and the colour that stand before a state's word."""
    if state in _BAD:
        return "octagon", palette.red
    if state in _GOOD:
        return "disc", palette.green
    if state in _MOVING:
        return "triangle", palette.yellow
    return "ring", palette.soft


def machine_state(kit: Kit, machine: str, rect: Rect, session: Session) -> Widget:
    """Return the widget of a machine's state."""
    runner = session.saw.controller.machines[machine]

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        state = runner.state
        mark, rest = from_left(place, pen.px(0.8), pen.px(0.35))
        shape, colour = state_look(pen.palette, state)
        symbol(pen, shape, square_in(mark, pen.px(0.7)), colour)
        pen.text(tell(state_of(machine, state)), rest, pen.palette.soft, role="small")

    return Widget(f"{machine}.state", rect, paint, lambda: runner.state, label=say("state"))
