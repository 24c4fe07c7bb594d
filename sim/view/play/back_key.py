"""The key that goes back to before what came to harm, on the card and on the strip alike."""

from collections.abc import Callable
from typing import Final

from pygame import Rect

from sim.view.kit.controls import MAIN, button, button_width
from sim.view.kit.pen import Kit
from sim.view.kit.widget import Widget
from sim.words.speech import say

BACK_KEY: Final = "backspace"


def back_width(kit: Kit, *, short: bool = False) -> int:
    """Return how wide the button is that goes back, px; `short` with the fewest words and without its key."""
    if short:
        return button_width(kit, say("Five seconds back"))
    return button_width(kit, say("Back five seconds, do it right"), hint=say("Backspace", "key"))


def back_button(kit: Kit, name: str, place: Rect, go_back: Callable[[], None]) -> Widget:
    """Return the button that goes back to before what came to harm, with its key where there is room."""
    words, hint = say("Back five seconds, do it right"), say("Backspace", "key")
    if button_width(kit, words, hint=hint) > place.width:
        hint = ""
    if button_width(kit, words) > place.width:
        words = say("Five seconds back")
    return button(name, place, words, go_back, hint=hint, style=MAIN)
