"""The JOB strip under the stations: its keys, the counters that a hand sets, and those that are only read."""

from collections.abc import Callable
from functools import partial

from pygame import Rect

from sim.control.dials import BY_NAME as DIALS
from sim.session.session import Session
from sim.units import MM
from sim.view.desk.keys import cap_key
from sim.view.desk.machine_state import machine_state
from sim.view.desk.station import desk_row, paint_panel
from sim.view.kit.controls import text
from sim.view.kit.layout import columns, from_left, from_top
from sim.view.kit.number import NumberRange, number
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.widget import Mood, Widget
from sim.view.play.desk_rows import JOB, Cap
from sim.view.play.hands import Hands
from sim.words.speech import reader, say, tell

Setter = Callable[[str, float], None]


def job_strip(kit: Kit, area: Rect, session: Session, hands: Hands, put: Setter) -> Widget:
    """Return the strip; its parts take as many lines as they need."""
    pad, gap, row = kit.px(0.45), kit.px(0.4), desk_row(kit)
    inner = Rect(area.left + pad, area.top + pad, area.width - 2 * pad, 0)
    keys = max(kit.px(9.0), 24)
    parts: list[tuple[int, Callable[[Rect], Widget]]] = [
        (kit.px(6.6), lambda r: _job_title(kit, r, session)),
        *((keys, partial(_job_key, kit, cap, hands)) for cap in JOB.caps),
        (kit.px(9.8), lambda r: _counter(kit, r, "job.wanted", say("wanted"), session, put)),
        (kit.px(9.8), lambda r: _counter(kit, r, "job.strokes", say("strokes"), session, put)),
        (kit.px(12.2), lambda r: _tally(kit, r, session)),
    ]
    children: list[Widget] = []
    line: list[tuple[int, Callable[[Rect], Widget]]] = []
    top = inner.top

    def place_line() -> None:
        total = sum(width for width, _ in line)
        spare = inner.width - total - gap * (len(line) - 1)
        left = inner.left
        for width, make in line:
            wide = width + round(spare * width / max(total, 1))
            children.append(make(Rect(left, top, min(wide, inner.right - left), row)))
            left += wide + gap

    used = 0
    for width, make in parts:
        if line and used + gap + width > inner.width:
            place_line()
            top += row + gap
            line, used = [], 0
        used += (gap if line else 0) + width
        line.append((width, make))
    place_line()
    rect = Rect(area.left, area.top, area.width, top + row + pad - area.top)
    return Widget("station.job", rect, paint_panel, children=children)


def _job_key(kit: Kit, cap: Cap, hands: Hands, rect: Rect) -> Widget:
    return cap_key(kit, cap, rect, hands)


def _job_title(kit: Kit, rect: Rect, session: Session) -> Widget:
    upper, lower = from_top(rect, rect.height // 2)
    return Widget(
        "job.head", rect,
        children=[
            text("job.title", upper, tell(JOB.title), role="small", bold=True),
            machine_state(kit, "job", lower, session),
        ],
    )  # fmt: skip


def _counter(kit: Kit, rect: Rect, name: str, words: str, session: Session, put: Setter) -> Widget:
    row = DIALS[name]
    title, place = from_left(rect, kit.letters.width(words, "small") + kit.px(0.4))
    return Widget(
        f"{name}.group", rect,
        children=[
            text(f"{name}.title", title, words, role="small", soft=True),
            number(
                kit, name, place, NumberRange(row.low, row.high, 1),
                lambda: float(session.saw.read(name)), lambda value: put(name, value), tell(row.title),
            ),
        ],
    )  # fmt: skip


def _tally(kit: Kit, rect: Rect, session: Session) -> Widget:
    """Return the counters that are only read: pieces cut, and their length."""
    job = session.saw.controller.job
    cut_word, length_word = say("cut"), say("length")

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        palette = pen.palette
        left, right = columns(place, (2, 3.6), pen.px(0.3))
        word, value = from_left(left, pen.letters.width(cut_word, "small") + pen.px(0.35))
        pen.text(cut_word, word, palette.soft, role="small")
        pen.figures(f"{job.cut}", value, role="lead", align="left")
        word, value = from_left(right, pen.letters.width(length_word, "small") + pen.px(0.35))
        pen.text(length_word, word, palette.soft, role="small")
        length = reader().quantity(session.order.piece_m / MM, "mm", 1)
        pen.fitted(length, value, ("body", "small", "fine"), bold=True)

    return Widget("job.tally", rect, paint, lambda: job.cut, label=say("counters"))
