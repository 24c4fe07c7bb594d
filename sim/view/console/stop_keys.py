"""The stop keys besides the emergency stop, in reach of the mouse from every sheet that is not the console."""

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

_KEYS: Final = tuple(key for key in STOPS if key != EMERGENCY.key)
_GAP_EMS: Final = 0.3
_SHARE: Final = 0.62  # of a line, that they may take
_MARKS_EMS: Final = 3.0  # symbol, letter and margins


def _words(key: str) -> str:
    """Return what stands on a key that is away from its part."""
    return tell(called(key) if key in ("band.stop", "job.stop") else CAPS[key].words)


def _wanted(kit: Kit, key: str) -> int:
    return kit.letters.width(_words(key), "fine", True) + kit.px(_MARKS_EMS)


def stops_width(kit: Kit, room: int) -> int:
    """Return how wide the keys are side by side, or half of that where they take two lines, px."""
    wide = _in_one(kit)
    return wide if wide <= room * _SHARE else max(_in_two(kit))


def _in_one(kit: Kit) -> int:
    return sum(_wanted(kit, key) for key in _KEYS) + (len(_KEYS) - 1) * kit.px(_GAP_EMS)


def _in_two(kit: Kit) -> tuple[int, int]:
    half = len(_KEYS) // 2
    first, second = (
        sum(_wanted(kit, key) for key in keys) + kit.px(_GAP_EMS)
        for keys in (_KEYS[:half], _KEYS[half:])
    )
    return first, second


def stop_keys(kit: Kit, rect: Rect, session: Session, hands: Hands) -> Widget:
    """Return the keys in one line, or in two where they would take too much of it."""
    gap = kit.px(_GAP_EMS)
    half = len(_KEYS) // 2
    lines = [_KEYS] if _in_one(kit) <= rect.width else [_KEYS[:half], _KEYS[half:]]
    children: list[Widget] = []
    top, high = rect.top, (rect.height - gap * (len(lines) - 1)) // len(lines)
    for keys in lines:
        place = Rect(rect.left, top, rect.width, high)
        for key, spot in zip(
            keys, columns(place, [_wanted(kit, k) for k in keys], gap), strict=True
        ):
            if CAPS[key].style == "emergency":
                children.append(emergency_key(kit, CAPS[key], spot, hands))
            else:
                children.append(cap_key(kit, CAPS[key], spot, session, hands, _words(key)))
        top += high + gap
    return Widget("stops", rect, children=children)


def stops_height(kit: Kit, room: int) -> int:
    """Return how high the keys are in a line of a width, px."""
    one = _in_one(kit) <= room * _SHARE
    return key_row(kit) if one else 2 * key_row(kit) + kit.px(_GAP_EMS)
