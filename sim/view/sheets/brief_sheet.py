"""The brief: what the trainee is told, and beside it the set-up card."""

from typing import Final

from pygame import Rect

from sim.session.lockout import YOU_ARE
from sim.view.kit.column import Column, Filled
from sim.view.kit.controls import MAIN, button, button_width
from sim.view.kit.pen import Kit
from sim.view.play.play import Play
from sim.view.play.sheet import Sheet
from sim.view.sheets.brief_card import set_up_card
from sim.words.message import plain, quoted
from sim.words.speech import say, tell


def brief(kit: Kit, area: Rect, play: Play) -> Filled:
    """Return what the trainee is told, and beside it the set-up card."""
    scenario = play.session.scenario
    gap = kit.px(2)
    narrow = area.width < kit.px(55)
    width = area.width if narrow else (area.width - gap) * 2 // 5
    column = Column(kit, Rect(area.left, area.top, width, 0))
    column.paragraph("brief.title", tell(quoted(scenario.title)), role="title", bold=True)
    column.space(0.3)
    if scenario.report:
        column.paragraph("brief.report.title", say("The operator reports"), role="small", bold=True)
        column.paragraph("brief.report", tell(quoted(scenario.report)))
        column.space(0.5)
    for index, line in enumerate(tell(quoted(scenario.brief)).splitlines()):
        column.paragraph(f"brief.{index}", line)
        column.space(0.3)
    column.paragraph("brief.role", tell(YOU_ARE[scenario.role]), role="small", bold=True)
    column.space(0.6)
    words = say("Go to the console") if play.session.now_s > 0 else say("Begin")
    place = column.place(button_width(kit, words, mark="start") + kit.px(2), 2.3)
    column.add(button("brief.begin", place, words, play.begin, mark="start", style=MAIN))
    if narrow:
        column.space(1)
        card = Column(kit, Rect(area.left, column.top, area.width, 0))
    else:
        left = area.left + width + gap
        card = Column(kit, Rect(left, area.top, area.right - left, 0))
    set_up_card(kit, card, play)
    return [*column.widgets, *card.widgets], max(column.top, card.top) - area.top


SHEET: Final = Sheet("brief", plain("saw.tab.brief", "Brief"), brief)
