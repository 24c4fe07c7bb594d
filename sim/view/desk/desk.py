"""The desk: lamps, the seven stations in the order a bar meets them, and the JOB strip under them."""

from typing import Final

from pygame import Rect

from sim.control.lamps import LAMPS
from sim.view.desk.job_strip import job_strip
from sim.view.desk.lamps import lamp, lamp_width
from sim.view.desk.station import station_height, station_panel
from sim.view.kit.column import Filled
from sim.view.kit.layout import columns, grid
from sim.view.kit.pen import Kit
from sim.view.kit.widget import Widget
from sim.view.play.desk_rows import STATIONS
from sim.view.play.play import Play
from sim.view.play.sheet import Sheet
from sim.words.message import plain

_STATION_EMS: Final = 10.8  # least width
_GAP_EMS: Final = 0.4  # between two panels


def desk(kit: Kit, area: Rect, play: Play) -> Filled:
    """Return the desk's widgets from the top of an area, and the height they take.

    With letters so large that the stations do not stand in one row, the keys come before the lamps.
    """
    gap = kit.px(_GAP_EMS)
    one_row = _across(kit, area.width) == len(STATIONS)
    parts = (_lamps, _stations, _job) if one_row else (_stations, _job, _lamps)
    top = area.top
    widgets: list[Widget] = []
    for part in parts:
        placed = part(kit, Rect(area.left, top, area.width, 0), play)
        widgets += placed
        top = max(widget.rect.bottom for widget in placed) + gap
    return widgets, top - gap - area.top


def _lamps(kit: Kit, area: Rect, play: Play) -> list[Widget]:
    gap = kit.px(_GAP_EMS)
    fit = area.width // (lamp_width(kit) + gap)
    across = next((n for n in (8, 4, 2) if n <= fit), 1)
    cells = grid(area, across, kit.px(1.55), len(LAMPS), gap)
    return [lamp(row, cell, play.session.saw) for row, cell in zip(LAMPS, cells, strict=True)]


def _stations(kit: Kit, area: Rect, play: Play) -> list[Widget]:
    gap = kit.px(_GAP_EMS)
    across = _across(kit, area.width)
    cells = _cells(kit, area, across, station_height(kit), gap)
    return [
        station_panel(kit, station, cell, play.session, play.hands)
        for station, cell in zip(STATIONS, cells, strict=True)
    ]


def _job(kit: Kit, area: Rect, play: Play) -> list[Widget]:
    return [job_strip(kit, area, play.session, play.hands, play.put)]


def _cells(kit: Kit, area: Rect, across: int, high: int, gap: int) -> list[Rect]:
    """Return the stations' places; SUPPLY, which has the longest words, a little wider in one row."""
    if across == len(STATIONS):
        weights = [1.0 if station.mode_letter else 1.22 for station in STATIONS]
        return columns(Rect(area.left, area.top, area.width, high), weights, gap)
    return grid(area, across, high, len(STATIONS), gap)


def _across(kit: Kit, width: int) -> int:
    """Return how many stations stand side by side in a width."""
    gap = kit.px(_GAP_EMS)
    most = (width + gap) // (kit.px(_STATION_EMS) + gap)
    return max(min(most, len(STATIONS)), 1)


SHEET: Final = Sheet("desk", plain("saw.tab.desk", "Desk"), desk, live=True)
