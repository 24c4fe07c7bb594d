"""The sheets under the picture in their order, and the row of tabs that opens them.

The one list of sheets: the page, the function keys, `drycycle shot` and the tests all read it.
"""

from dataclasses import replace
from functools import partial
from typing import Final

from pygame import Rect

from sim.view.circuit import circuit
from sim.view.console import console
from sim.view.kit.controls import Style, button, button_width
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
    meter_sheet,
    signal_sheet,
    walk_sheet,
)
from sim.words.speech import tell

TABS: Final = (
    brief_sheet.SHEET, console.SHEET, walk_sheet.SHEET, inspection_sheet.SHEET, lockout_sheet.SHEET,
    diagnosis_sheet.SHEET, signal_sheet.SHEET, log_sheet.SHEET, bench_sheet.SHEET,
    circuit.SHEET, meter_sheet.SHEET,
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
_GAP_EMS: Final = 0.2
_LOW_EMS: Final = 1.35  # height of a tab where they stand in two lines


def tabs_height(kit: Kit, width: int) -> int:
    """Return how high the row of tabs is over a width: one line, or two with large letters, px."""
    lines = len(_laid(kit, width)[2])
    return (
        max(kit.px(1.8), 26) if lines == 1 else lines * _low(kit) + (lines - 1) * kit.px(_GAP_EMS)
    )


def _low(kit: Kit) -> int:
    return max(kit.px(_LOW_EMS), 24)


def tab_row(kit: Kit, area: Rect, play: Play) -> Widget:
    """Return the tabs, and at the right the key to the instructor's sheet."""
    gap = kit.px(_GAP_EMS)
    role, hinted, lines = _laid(kit, area.width)
    high = area.height if len(lines) == 1 else _low(kit)
    children: list[Widget] = []
    left, top = area.left, area.top
    for line in lines:
        left = area.left
        for sheet, width in line:
            hint = _hint(sheet) if hinted else ""
            place = Rect(left, top, width, high)
            children.append(_tab(sheet, place, play, role, words=tell(sheet.title), hint=hint))
            left = place.right + gap
        top += high + gap
    words, hint = tell(INSTRUCTOR.title), _hint(INSTRUCTOR)
    wide = button_width(kit, words, mark="hand", hint=hint, role=role) + kit.px(0.6)
    if area.right - wide < left:  # no room for the words
        words, hint, wide = "", "", _side(kit)
    side = Rect(area.right - wide, top - high - gap, wide, high)
    children.append(_tab(INSTRUCTOR, side, play, role, words=words, hint=hint, mark="hand"))
    return Widget("tabs", area, children=children)


def _hint(sheet: Sheet) -> str:
    return _HINTS.get(sheet.name, "")


def _side(kit: Kit) -> int:
    return button_width(kit, "", mark="hand")


def _laid(kit: Kit, width: int) -> tuple[str, bool, list[list[tuple[Sheet, int]]]]:
    """Return size of text, whether with function keys, and the tabs by lines with their widths."""
    gap = kit.px(_GAP_EMS)
    room = width - _side(kit) - gap
    for role, hinted in _LOOKS:
        spare = kit.px(0.6) if hinted else 0
        tabs = [
            (
                sheet,
                button_width(kit, tell(sheet.title), hint=_hint(sheet) if hinted else "", role=role)
                + spare,
            )
            for sheet in TABS
        ]
        if sum(wide for _, wide in tabs) + gap * len(tabs) <= room:
            return role, hinted, [tabs]
    lines: list[list[tuple[Sheet, int]]] = [[]]
    used = 0
    for sheet, wide in tabs:
        if lines[-1] and used + wide > room:
            lines.append([])
            used = 0
        lines[-1].append((sheet, wide))
        used += wide + gap
    return role, False, lines


def _tab(
    sheet: Sheet, place: Rect, play: Play, role: str, *, words: str, hint: str, mark: str = ""
) -> Widget:
    return button(
        f"tab.{sheet.name}", place, words, partial(play.go, sheet.name), mark=mark, hint=hint,
        chosen=lambda: play.tab == sheet.name, style=replace(_STYLE, role=role),
    )  # fmt: skip
