"""The lock-out: six steps before hands go in, three on the way back."""

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
from sim.words.message import plain
from sim.words.speech import say, tell


def lock_out(kit: Kit, area: Rect, play: Play) -> Filled:
    """Return the six steps before hands go in and the three on the way back."""
    column = Column(kit, Rect(area.left, area.top, area.width, 0))
    words = say(
        "Before hands go into the machine: six steps, in this order. Then three to bring power back."
    )
    column.paragraph("lockout.title", words, role="small", soft=True)
    column.space(0.4)
    across = 2 if area.width > kit.px(55) else 1
    gap = kit.px(1.5)
    wide = (area.width - gap * (across - 1)) // across
    groups = ((say("Take energy off"), lockout.STEPS), (say("Bring it back"), lockout.BACK))
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
                    chosen=partial(_taken, play, step.name),
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


def _taken(play: Play, step: str) -> bool:
    return step in play.session.lockout.done


SHEET: Final = Sheet("lockout", plain("saw.tab.lockout", "Lock out"), lock_out)
