"""The console: the mode at the left edge, the mimic, the alarms, and the job between the two palm keys."""

from typing import Final

from pygame import Rect

from sim.view.console import mimic_plan
from sim.view.console.alarm_lines import alarm_lines
from sim.view.console.job_strip import job_strip
from sim.view.console.mimic import mimic
from sim.view.console.mimic_plan import WIDE, lay
from sim.view.console.mode_switch import mode_height, mode_switch
from sim.view.kit.column import Filled
from sim.view.kit.pen import Kit
from sim.view.kit.widget import Widget
from sim.view.play.play import Play
from sim.view.play.sheet import Sheet
from sim.words.message import plain

_MODE_EMS: Final = 9.9
_ALARMS_EMS: Final = 11.1
_ALARMS_HIGH_EMS: Final = 6.0  # where they lie under the mimic
_GAP_EMS: Final = 0.35


def console(kit: Kit, area: Rect, play: Play) -> Filled:
    """Return the console's widgets from the top of an area, and the height they take.

    With letters so large that not all of it stands side by side, the mode comes first over the whole
    width, the mimic is broken in two, and the alarms come last.
    """
    gap = kit.px(_GAP_EMS)
    side = kit.px(_MODE_EMS) + gap
    alarms_wide = kit.px(_ALARMS_EMS) + gap
    whole = kit.px(WIDE)
    beside = area.width >= whole + side
    alarms_beside = area.width >= whole + side + alarms_wide
    widgets: list[Widget] = []
    top, left, width = area.top, area.left, area.width
    if beside:
        left, width = left + side, width - side
    else:
        place = Rect(left, top, width, mode_height(kit, wide=True))
        widgets.append(mode_switch(kit, place, play.session, play.hands, wide=True))
        top = place.bottom + gap
    if alarms_beside:
        width -= alarms_wide
    begin = top
    stretches = ((0.0, WIDE),) if width >= whole else mimic_plan.HALVES
    for stretch in stretches:
        at = lay(kit, left, top, width, stretch)
        widgets.append(mimic(kit, at, play.session, play.hands, play.gathered))
        top = at.area.bottom + gap
    if beside:
        high = max(mode_height(kit, wide=False), top - gap - begin)
        place = Rect(area.left, begin, side - gap, high)
        widgets.insert(0, mode_switch(kit, place, play.session, play.hands, wide=False))
        top = max(top, place.bottom + gap)
    if alarms_beside:
        place = Rect(left + width + gap, begin, alarms_wide - gap, top - gap - begin)
        widgets.append(alarm_lines(kit, place, play.alarms))
    job = job_strip(
        kit,
        Rect(area.left, top, area.width, 0),
        play.session,
        play.hands,
        play.track,
        play.gathered,
    )
    widgets.append(job)
    top = job.rect.bottom + gap
    if not alarms_beside:
        place = Rect(area.left, top, area.width, kit.px(_ALARMS_HIGH_EMS))
        widgets.append(alarm_lines(kit, place, play.alarms))
        top = place.bottom + gap
    return widgets, top - gap - area.top


SHEET: Final = Sheet("console", plain("saw.tab.console", "Console"), console, live=True)
