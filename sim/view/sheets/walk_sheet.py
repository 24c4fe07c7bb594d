"""The walk round the saw: every set-up point with its control, and the bar rack."""

from functools import partial
from math import ceil
from typing import Final

from pygame import Rect

from sim.plant.set_points import SetPoint
from sim.session.hands.cautions import before_loading, before_set, in_short, together
from sim.session.hands.table import to_set
from sim.session.hands.zones import Demand
from sim.session.kept.told import weighs
from sim.trade.handling import ALONE, CRANE, PAIR, UNDER, loading_s
from sim.view.kit.column import Column, Filled, row_height, side_by_side
from sim.view.kit.controls import button, button_width, choice, choice_lines, choice_width
from sim.view.kit.layout import from_right
from sim.view.kit.number import NumberRange, number
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Mood, Widget
from sim.view.play.play import Play
from sim.view.play.points import decimals
from sim.view.play.sheet import Sheet
from sim.words.fields import number as number_field
from sim.words.message import plain, row, sentences
from sim.words.speech import sentence, tell

_FIRST: Final = plain(
    "window.walk.first", "Before hands go in (hand: own control; lock: locked out)"
)

_LOAD: Final = {
    how: row(f"window.walk.load.{how}", f"Load a fresh bar {words} ({{minutes}} min)", minutes=number_field())
    for how, words in (
        (CRANE, "by crane"), (PAIR, "with a second person"), (ALONE, "alone"),
        (UNDER, "by crane, hands under it"),
    )
}  # fmt: skip


def walk_round(kit: Kit, area: Rect, play: Play) -> Filled:
    """Return every set-up point with its control, in as many columns as fit, and the bar rack."""
    column = Column(kit, area)
    stock = play.session.stock
    rack: list[Widget] = []
    for how, label in _LOAD.items():
        words = tell(label(minutes=ceil(loading_s(how, stock.mass_kg) / 60)))
        place = column.place(button_width(kit, words, mark="bar_end") + kit.px(0.6), 1.95)
        called = "walk.load" if how == CRANE else f"walk.load.{how}"
        rack.append(button(called, place, words, partial(play.load_bar, how), mark="bar_end"))
        column.space(0.2)
    weight = weighs(stock.mass_kg, stock.length_m)
    first = tell(sentences(weight, *before_loading()))
    column.paragraph("walk.load.first", first, role="fine", soft=True)
    column.space(0.4)
    widgets, high = _points(kit, Rect(area.left, column.top, area.width, 0), play)
    column.top += high
    column.space(0.4)
    column.paragraph("walk.first.title", tell(_FIRST), role="small", bold=True)
    for index, line in enumerate(together(before_set(point.name) for point in play.points.rows)):
        column.paragraph(f"walk.first.{index}", tell(line), role="fine")
    return [*rack, *column.widgets, *widgets], column.top - area.top


def _points(kit: Kit, area: Rect, play: Play) -> Filled:
    across = max(area.width // kit.px(38), 1)
    blocks = [partial(_point, kit, play, row) for row in play.points.rows]
    return side_by_side(kit, area, across, blocks)


def _point(kit: Kit, play: Play, row: SetPoint, rect: Rect) -> tuple[Widget, int]:
    high = row_height(kit)
    badge = Rect(rect.left, rect.top, high, high)
    figure = str(play.points.number(row.name))

    def mark(pen: Pen, place: Rect, _mood: Mood) -> None:
        pen.disc(place.center, place.height / 2 - 2, pen.palette.edge)
        pen.text(figure, place, pen.palette.dark, role="small", bold=True, align="centre")

    options = tuple((word, tell(row.told(word))) for word in row.words)
    needs = max(choice_width(kit, options) if options else 0, kit.px(14))
    left = badge.right + kit.px(0.5)
    beside = Rect(left, rect.top, rect.right - left, high)
    under = needs > max(rect.width * 11 // 20, rect.width - kit.px(22))  # then on lines of its own
    lines = choice_lines(kit, options, beside.width)
    control, words = (beside, beside) if under else from_right(beside, needs, kit.px(0.6))
    first, words = from_right(words, kit.px(1.0), kit.px(0.4))
    title = sentence(tell(row.title))
    height = max(kit.letters.height(title, "small", words.width), high)
    if under:
        control = Rect(left, rect.top + height, beside.width, high * lines)
    column = Column(
        kit,
        Rect(
            words.left, rect.top + max((high - kit.letters.line("small")) // 2, 0), words.width, 0
        ),
    )
    if height > high:
        column.top = rect.top
    label = column.paragraph(f"walk.{row.name}.title", title, role="small")
    children = [Widget(f"walk.{row.name}.mark", badge, mark, label=figure), label]
    children += _demand(row.name, first)
    if options:
        children.append(
            choice(
                kit,
                f"walk.{row.name}",
                control,
                options,
                lambda: str(play.points.read(row) or ""),
                lambda v: play.put(row.name, v),
                lines=lines,
            )
        )
    else:
        lowest, highest = row.limits(play.session.machine)
        span = NumberRange(lowest, highest, row.step, row.unit, decimals(row), _start(play, row))
        children.append(
            number(
                kit,
                f"walk.{row.name}",
                control,
                span,
                lambda: _reading(play, row),
                lambda value: play.gathered(row.name, value),
                title,
                wanted=lambda: play.gathered.get(row.name),
            )
        )
    if under:
        height += control.height
    return Widget(
        f"walk.{row.name}.row", Rect(rect.left, rect.top, rect.width, height), children=children
    ), height


def _demand(name: str, place: Rect) -> list[Widget]:
    """Return the sign of what must hold before hands go to a set point; none from outside."""
    reach = to_set(name)
    sign = "lock" if reach.demand is Demand.LOCKED_OUT else "hand"

    def paint(pen: Pen, at: Rect, _mood: Mood) -> None:
        symbol(pen, sign, square_in(at, pen.px(0.85)), pen.palette.yellow)

    if reach.demand is Demand.OUTSIDE:
        return []
    return [Widget(f"walk.{name}.first", place, paint, label=tell(in_short(reach)))]


def _start(play: Play, row: SetPoint) -> float:
    """Return what the card asks for, or the low end where it asks for nothing."""
    lines = (line for line in play.session.card if line.name == row.name)
    line = next(lines, None)
    return row.limits(play.session.machine)[0] if line is None else float(line.setting)


def _reading(play: Play, row: SetPoint) -> float | None:
    setting = play.points.read(row)
    return None if setting is None else float(setting)


SHEET: Final = Sheet(
    "walk", plain("saw.tab.walk", "Walk round"), walk_round, live=True, tags="points"
)
