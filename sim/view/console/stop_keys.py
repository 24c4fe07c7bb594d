"""The stop keys besides the emergency stop, in sight and in reach of the mouse on every sheet.

The console has them at their parts; where it is so high that it scrolls, it has them here too.
"""

from typing import Final

from pygame import Rect

from sim.session.session import Session
from sim.view.console.keys import cap_key, emergency_key, key_row
from sim.view.kit.layout import columns
from sim.view.kit.pen import Kit
from sim.view.kit.widget import Widget
from sim.view.play.console_rows import CAPS, EMERGENCY, STOPS
from sim.view.play.hands import Hands
from sim.view.play.key_words import called
from sim.words.speech import tell

ROW: Final = tuple(key for key in STOPS if key != EMERGENCY.key)
"""The keys of the row, in their order."""

_GAP_EMS: Final = 0.3
_SHARE: Final = 0.62  # of a line, that they may take
_LOW_EMS: Final = 1.5  # height of a key where they take two lines
_MARKS_EMS: Final = 3.0  # symbol, letter and margins
_RING_EMS: Final = 0.9  # yellow round an emergency stop


def _words(key: str) -> str:
    """Return what stands on a key that is away from its part."""
    return tell(called(key) if key in ("band.stop", "job.stop") else CAPS[key].words)


def _wanted(kit: Kit, key: str) -> int:
    marks = _MARKS_EMS + (_RING_EMS if CAPS[key].style == "emergency" else 0.0)
    return kit.letters.width(_words(key), "fine", True) + kit.px(marks)


def stops_width(kit: Kit, room: int) -> int:
    """Return how wide the keys are side by side, or half of that where they take two lines, px."""
    wide = _in_one(kit)
    return wide if wide <= room * _SHARE else max(_in_two(kit))


def _in_one(kit: Kit) -> int:
    return sum(_wanted(kit, key) for key in ROW) + (len(ROW) - 1) * kit.px(_GAP_EMS)


def _in_two(kit: Kit) -> tuple[int, int]:
    half = len(ROW) // 2
    first, second = (
        sum(_wanted(kit, key) for key in keys) + kit.px(_GAP_EMS)
        for keys in (ROW[:half], ROW[half:])
    )
    return first, second


APART: Final = "apart"
"""What the names of these keys begin with where the console has them at their parts as well."""


def stop_keys(kit: Kit, rect: Rect, session: Session, hands: Hands, named: str = "key") -> Widget:
    """Return the keys in one line, or in two where they would take too much of it.

    Args:
        kit: Letters and colours.
        rect: Where they go.
        session: Whose console it is.
        hands: What presses them.
        named: What the names of the widgets begin with.
    """
    gap = kit.px(_GAP_EMS)
    half = len(ROW) // 2
    lines = [ROW] if _in_one(kit) <= rect.width else [ROW[:half], ROW[half:]]
    children: list[Widget] = []
    top, high = rect.top, (rect.height - gap * (len(lines) - 1)) // len(lines)
    for keys in lines:
        place = Rect(rect.left, top, rect.width, high)
        for key, spot in zip(
            keys, columns(place, [_wanted(kit, k) for k in keys], gap), strict=True
        ):
            if CAPS[key].style == "emergency":
                children.append(emergency_key(kit, CAPS[key], spot, hands, named))
            else:
                children.append(cap_key(kit, CAPS[key], spot, session, hands, _words(key), named))
        top += high + gap
    return Widget("stops", rect, children=children)


def stops_height(kit: Kit, room: int) -> int:
    """Return how high the keys are in a line of a width, px."""
    one = _in_one(kit) <= room * _SHARE
    return key_row(kit) if one else 2 * max(kit.px(_LOW_EMS), 24) + kit.px(_GAP_EMS)
