"""The sheets under the picture in their order, and the row of tabs that opens them.

The one list of sheets: the page, the function keys, `drycycle shot` and the tests all read it.
"""

from dataclasses import replace
from functools import partial
from typing import Final

from pygame import Rect

from sim.view.console import console
from sim.view.kit.controls import Style, button, button_width
from sim.view.kit.layout import from_right
from sim.view.kit.pen import Kit
from sim.view.kit.widget import Widget
from sim.view.play.play import Play
from sim.view.play.sheet import Sheet
from sim.view.sheets import (
    bench_sheet,
    brief_sheet,
    diagnosis_sheet,
    inspection_sheet,
    instructor_sheet,
    lockout_sheet,
    log_sheet,
    signal_sheet,
    walk_sheet,
)
from sim.words.speech import tell

TABS: Final = (
    brief_sheet.SHEET, console.SHEET, walk_sheet.SHEET, inspection_sheet.SHEET, lockout_sheet.SHEET,
    diagnosis_sheet.SHEET, signal_sheet.SHEET, log_sheet.SHEET, bench_sheet.SHEET,
)  # fmt: skip
INSTRUCTOR: Final = instructor_sheet.SHEET  # has a key of its own at the right
SHEETS: Final[dict[str, Sheet]] = {sheet.name: sheet for sheet in (*TABS, INSTRUCTOR)}

_KEYS: Final = tuple(f"F{number}" for number in range(1, 10))  # F10: settings, F12: emergency stop
_HINTS: Final = {
    **{sheet.name: key for sheet, key in zip(TABS, _KEYS, strict=False)}, INSTRUCTOR.name: "F11",
}  # fmt: skip
BY_KEY: Final = {key.lower(): name for name, key in _HINTS.items()}
"""The sheet that a function key opens."""

_STYLE: Final = Style("panel", "ink", "hair")
# Sizes of text, and whether the function keys stand on the tabs; the first that fits is taken.
_LOOKS: Final = (("body", True), ("body", False), ("small", False), ("fine", False))


def tab_row(kit: Kit, area: Rect, play: Play) -> Widget:
    """Return the tabs, and at the right the key to the instructor's sheet."""
    gap = kit.px(0.2)
    side, rest = from_right(area, button_width(kit, "", mark="hand"), gap)
    role, hinted, widths = _fitting(kit, rest.width, gap)
    left = rest.left
    children: list[Widget] = []
    for sheet, width in zip(TABS, widths, strict=True):
        place = Rect(left, rest.top, width, rest.height).clip(rest)
        hint = _hint(sheet) if hinted else ""
        children.append(_tab(sheet, place, play, role, words=tell(sheet.title), hint=hint))
        left = place.right + gap
    words, hint = tell(INSTRUCTOR.title), _hint(INSTRUCTOR)
    wide = button_width(kit, words, mark="hand", hint=hint, role=role) + kit.px(0.6)
    if side.right - wide < left:  # no room for the words
        words, hint, wide = "", "", side.width
    side = Rect(side.right - wide, side.top, wide, side.height)
    children.append(_tab(INSTRUCTOR, side, play, role, words=words, hint=hint, mark="hand"))
    return Widget("tabs", rest.union(side), children=children)


def _hint(sheet: Sheet) -> str:
    return _HINTS.get(sheet.name, "")


def _fitting(kit: Kit, room: int, gap: int) -> tuple[str, bool, list[int]]:
    """Return size of text, whether with function keys, and the tabs' widths, as they fit the room."""
    for role, hinted in _LOOKS:
        spare = kit.px(0.6) if hinted else 0
        widths = [
            button_width(kit, tell(sheet.title), hint=_hint(sheet) if hinted else "", role=role)
            + spare
            for sheet in TABS
        ]
        if sum(widths) + gap * len(widths) <= room:
            break
    return role, hinted, widths


def _tab(
    sheet: Sheet, place: Rect, play: Play, role: str, *, words: str, hint: str, mark: str = ""
) -> Widget:
    return button(
        f"tab.{sheet.name}", place, words, partial(play.go, sheet.name), mark=mark, hint=hint,
        chosen=lambda: play.tab == sheet.name, style=replace(_STYLE, role=role),
    )  # fmt: skip
