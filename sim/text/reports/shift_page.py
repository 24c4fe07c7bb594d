"""The debrief of a shift as one HTML page: the tables and sentences of the report, and the time line as a picture.

A block of an order is low while it is changed over, high while it is cut, and open while it is measured;
its colour says the same. No script, no font, picture or style from elsewhere.
"""

from collections.abc import Sequence
from math import ceil
from typing import Final

from sim.debrief.paper import (
    BAD,
    BLUE,
    CARE,
    INK,
    PAPER,
    SHADE,
    STYLE,
    TRUE,
    Child,
    Html,
    el,
    label,
    page,
    table,
)
from sim.debrief.shift_debrief import ShiftDebrief
from sim.session.shift.shop import Served
from sim.text.report import CAUTION
from sim.text.reports.shift_report import about, against, tables
from sim.text.tables import PrintedCell, PrintedHead, printed, printed_head
from sim.units import MINUTE
from sim.words.fields import authored, name
from sim.words.message import Message, row
from sim.words.speech import tell

MADE_BY: Final = "drycycle shift"
BEGINS: Final = f'<!DOCTYPE html>\n<html><head><meta name="generator" content="{MADE_BY}">'

_TITLE: Final = row("shift.page.title", "Shift: {title}", title=authored())
_MACHINE: Final = row("shift.page.machine", "Machine: {machine}", machine=name())
_WIDE: Final = 760.0
_LEFT: Final = 130.0
_LANE: Final = 22.0
_TICKS: Final = 8
_STEPS_MIN: Final = (5, 10, 15, 30, 60, 120, 240)
_STYLE: Final = f"""{STYLE}
.critical {{ border: 3px solid {BAD}; padding: 6px 14px; margin: 12px 0; break-inside: avoid; }}
.critical h2 {{ border: 0; margin: 0; padding: 0; color: {BAD}; }}
table {{ font-size: 12.5px; }}
.caution {{ border-top: 2px solid {INK}; margin-top: 24px; padding-top: 8px; font-size: 13px; }}
"""


def shift_html(found: ShiftDebrief) -> str:
    """Return the debrief of a shift as one self-contained page of HTML5, for who reads now."""
    title = _TITLE(title=found.shift.title)
    wrong = against(found)
    critical = [
        el(
            "div",
            el("h2", label("Critical: this alone fails the session")),
            el("ul", *(el("li", each) for each in wrong)),
            class_="critical",
        )
    ]
    line, *others = tables(found)
    return page(
        MADE_BY,
        tell(title),
        _STYLE,
        el("h1", title),
        el("p", _MACHINE(machine=found.planner.machine), class_="quiet"),
        *(critical if wrong else []),
        *_pictures(found),
        _table(line.heads, line.rows),
        *(
            part
            for each in others
            for part in (el("h2", each.title), _table(each.heads, each.rows))
        ),
        *(el("p", each) for each in about(found)),
        el("p", CAUTION, class_="caution"),
    )


def _table(heads: Sequence[PrintedHead], rows: Sequence[Sequence[PrintedCell]]) -> Html:
    return table(map(printed_head, heads), ([printed(cell) for cell in row] for row in rows))


def _pictures(found: ShiftDebrief) -> list[Html]:
    end_s = max(
        found.run.ends_s,
        found.plan.ends_s,
        *(order.due_min * MINUTE for order in found.shift.orders),
        1.0,
    )
    says = label(
        "Minutes of the shift. A low block is the change-over, a high one cutting, an open one measuring; the "
        "line with the triangle is when the order is due."
    )
    return [
        el("h2", label("This shift")),
        el("figure", _lanes(found, found.served, end_s)),
        el("h2", label("The best plan")),
        el("figure", _lanes(found, found.plan_served, end_s), el("figcaption", says)),
    ]


def _lanes(found: ShiftDebrief, served: Sequence[Served], end_s: float) -> Html:
    scale = (_WIDE - _LEFT - 12) / end_s
    lanes: list[Child] = []
    orders = found.shift.orders
    for number, order in enumerate(orders):
        top = 4 + number * (_LANE + 4)
        lanes.append(el("rect", x=_LEFT, y=top, width=end_s * scale, height=_LANE, fill=SHADE))
        lanes.append(_text(0, top + 15, order.name))
        for each in served:
            if each.order == order.name:
                lanes += _blocks(each, scale, top)
        x = _LEFT + order.due_min * MINUTE * scale
        lanes.append(el("line", x1=x, y1=top, x2=x, y2=top + _LANE, stroke=BAD, stroke_width=2))
        lanes.append(el("path", d=f"M{x - 4:.1f} {top:.1f}h8l-4 6z", fill=BAD))
    low = 4 + len(orders) * (_LANE + 4)
    minutes = end_s / MINUTE
    step = next((each for each in _STEPS_MIN if minutes / each <= _TICKS), ceil(minutes / _TICKS))
    for at in range(0, int(minutes) + 1, step):
        x = _LEFT + at * MINUTE * scale
        lanes.append(el("line", x1=x, y1=low, x2=x, y2=low + 5, stroke=INK))
        lanes.append(_text(x, low + 18, str(at), text_anchor="middle"))
    return el(
        "svg", el("title", label("Time line of the shift")), *lanes,
        viewBox=f"0 0 {_WIDE:g} {low + 24:g}", role="img",
    )  # fmt: skip


def _blocks(each: Served, scale: float, top: float) -> list[Html]:
    changed_s = each.from_s + each.changed_s
    cut_s = changed_s + each.cutting_s
    return [
        _block(each.from_s, changed_s, scale, top + 11, 11, CARE, CARE),
        _block(changed_s, cut_s, scale, top, _LANE, BLUE, BLUE),
        _block(cut_s, each.to_s, scale, top + 1, _LANE - 2, PAPER, TRUE),
    ]


def _block(
    from_s: float, to_s: float, scale: float, top: float, high: float, fill: str, stroke: str
) -> Html:
    return el(
        "rect", x=_LEFT + from_s * scale, y=top, width=max((to_s - from_s) * scale, 0.0), height=high,
        fill=fill, stroke=stroke, stroke_width=1.5 if fill == PAPER else 0,
    )  # fmt: skip


def _text(x: float, y: float, says: str | Message, **more: str | float) -> Html:
    return el("text", says, **{"x": x, "y": y, "fill": INK, "font_size": 12, **more})
