"""The lock-out: what is told, locked and verified, what is wanting, and the way back."""

from functools import partial
from typing import Final

from pygame import Rect

from sim.session import lockout
from sim.view.kit.column import Column, Filled, row_height
from sim.view.kit.controls import Style, button
from sim.view.kit.pen import Kit
from sim.view.kit.widget import Widget
from sim.view.play.play import Play
from sim.view.play.sheet import Sheet
from sim.words.fields import part
from sim.words.message import Message, plain, row
from sim.words.speech import say, tell


def lock_out(kit: Kit, area: Rect, play: Play) -> Filled:
    """Return the steps before hands go in, what is wanting, and the way back."""
    column = Column(kit, Rect(area.left, area.top, area.width, 0))
    words = say(
        "Before hands go into the machine. Stop, let the head down or prop it, chock the bar, isolator "
        "off, air cock shut, oil relieved: these are done at the saw, by keys and on the walk round."
    )
    column.paragraph("lockout.title", words, role="small", soft=True)
    column.space(0.4)
    across = 2 if area.width > kit.px(55) else 1
    gap = kit.px(1.5)
    wide = (area.width - gap * (across - 1)) // across
    column.paragraph("lockout.wanting", tell(_stands(play)), role="small", bold=True)
    column.space(0.4)
    groups = (
        (say("Take energy off"), (*lockout.STEPS, *lockout.ELECTRICAL)),
        (say("Bring it back"), (*lockout.BACK, *lockout.ASKING)),
    )
    widgets: list[Widget] = list(column.widgets)
    bottom = column.top
    left, top = area.left, column.top
    for title, steps in groups:
        part = Column(kit, Rect(left, top, wide, 0))
        part.paragraph(f"lockout.{title}", title, role="lead", bold=True)
        for step in steps:
            high = row_height(kit)
            place = part.place(wide, high / kit.em)
            part.add(
                button(
                    f"lockout.{step.name}",
                    place,
                    tell(step.title),
                    partial(play.lock_out, step.name),
                    style=Style(role="small"),
                    chosen=partial(play.session.lockout.counts, step.name),
                )
            )
            part.space(0.3)
        widgets += part.widgets
        bottom = max(bottom, part.top)
        if across == 2:
            left += wide + gap
        else:
            top = part.top + kit.px(0.6)
    return widgets, bottom - area.top


def _stands(play: Play) -> Message:
    """Return that it is verified, or what is wanting."""
    here = play.session.lockout
    if here.verified:
        return _VERIFIED
    return _WANTING(what=here.wanting) if here.wanting else _VERIFY


_VERIFIED: Final = plain("sheet.lockout.verified", "Verified: hands may go in.")
_VERIFY: Final = plain("sheet.lockout.verify", "Nothing is wanting; verify it.")
_WANTING: Final = row("sheet.lockout.wanting", "Wanting: {what}", what=part())
SHEET: Final = Sheet("lockout", plain("saw.tab.lockout", "Lock out"), lock_out)
