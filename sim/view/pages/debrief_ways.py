"""The trainee's way to a proved repair beside that of the best plan, step by step.

Never here: what a step is (see `debrief.sound_way`).
"""

from itertools import zip_longest
from typing import Final

from pygame import Rect

from sim.debrief.best_path import price_s
from sim.debrief.debrief import Debrief
from sim.debrief.sound_way import RouteStep
from sim.view.kit.column import Column, Filled
from sim.view.kit.layout import from_left, from_right
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.widget import Mood, Widget
from sim.words.fields import seconds
from sim.words.message import row
from sim.words.speech import reader, say, tell

_YOURS: Final = row("window.debrief.way.yours", "Your way: {cost}", cost=seconds())
_BEST: Final = row("window.debrief.way.best", "The best plan: {cost}", cost=seconds())
_GOOD: Final = row("window.debrief.way.good", "A good plan: {cost}", cost=seconds())
_ONE: Final = row("window.debrief.way.one", "A plan: {cost}", cost=seconds())
_NARROW_EMS: Final = 36  # below which one way stands under the other
_NUMBER_EMS, _COST_EMS = 1.6, 4.0

_Steps = tuple[RouteStep, ...]


def ways(kit: Kit, area: Rect, found: Debrief) -> Filled:
    """Return both ways, a row a step; without a plan, what a sound way is."""
    column = Column(kit, area)
    if found.way_best:
        column.paragraph(
            "ways.what",
            say("Looks and trials have a price, up to the name; what is in sight costs nothing."),
            role="small", soft=True,
        )  # fmt: skip
        column.space(0.4)
        best = _BEST if found.way_exact else _GOOD if found.way_near else _ONE
        both = (
            ("taken", tell(_YOURS(cost=price_s(found.way_taken))), found.steps_taken),
            ("best", tell(best(cost=price_s(found.way_best))), found.steps_best),
        )
        (_under if area.width < kit.px(_NARROW_EMS) else _beside)(kit, column, both)
        if found.cheaper:
            column.space(0.6)
            column.paragraph("ways.cheaper", tell(found.cheaper), role="small")
        return column.widgets, column.top - area.top
    for index, text in enumerate(found.sound_path):
        if index == 0:
            column.paragraph("ways.short", say("A sound way"), bold=True)
        column.paragraph(f"ways.short.{index}", tell(text), role="small")
    if not found.sound_path:
        column.paragraph("ways.none", say("There was nothing to find out."), soft=True)
    return column.widgets, column.top - area.top


_Ways = tuple[tuple[str, str, _Steps], tuple[str, str, _Steps]]


def _under(kit: Kit, column: Column, both: _Ways) -> None:
    for name, title, steps in both:
        column.paragraph(f"ways.{name}", title, bold=True)
        for index, step in enumerate(steps):
            high = _height(kit, column.width, step)
            place = Rect(column.left, column.top + kit.px(0.3), column.width, high)
            column.add(_step(f"ways.{name}.{index}", place, index + 1, step))
            column.top = place.bottom
        column.space(0.6)


def _beside(kit: Kit, column: Column, both: _Ways) -> None:
    gap = kit.px(1.2)
    wide = (column.width - gap) // 2
    lefts = (column.left, column.left + wide + gap)
    top = column.top
    for (name, title, _), left in zip(both, lefts, strict=True):
        head = Column(kit, Rect(left, top, wide, 0))
        column.add(head.paragraph(f"ways.{name}", title, bold=True))
        column.top = max(column.top, head.top)
    for index, pair in enumerate(zip_longest(*(steps for *_, steps in both))):
        top = column.top + kit.px(0.3)
        high = max(_height(kit, wide, step) for step in pair if step is not None)
        for (name, *_), left, step in zip(both, lefts, pair, strict=True):
            if step is not None:
                place = Rect(left, top, wide, high)
                column.add(_step(f"ways.{name}.{index}", place, index + 1, step))
        column.top = top + high


def _height(kit: Kit, width: int, step: RouteStep) -> int:
    left_over = width - kit.px(_NUMBER_EMS) - _cost_width(kit, step)
    return kit.letters.height(tell(step.message), "small", left_over) + kit.px(0.3)


def _cost_width(kit: Kit, step: RouteStep) -> int:
    return kit.px(_COST_EMS) if step.cost_s is not None else 0


def _step(name: str, place: Rect, number: int, step: RouteStep) -> Widget:
    words = tell(step.message)
    cost = reader().quantity(step.cost_s, "s") if step.cost_s is not None else ""

    def paint(pen: Pen, at: Rect, _mood: Mood) -> None:
        figure, rest = from_left(at, pen.px(_NUMBER_EMS))
        soft, line = pen.palette.soft, pen.letters.line("small")
        first = Rect(figure.left, figure.top, figure.width, line)
        pen.text(f"{number}", first, soft, role="small", bold=True)
        price, body = from_right(rest, _cost_width(pen.kit, step))
        pen.block(words, body, role="small")
        first = Rect(price.left, price.top, price.width, line)
        if cost:
            pen.figures(cost, first, soft, role="small", bold=False)
        pen.fill(Rect(at.left, at.bottom - 1, at.width, 1), pen.palette.hair)

    return Widget(name, place, paint, label=f"{number}. {words} {cost}".strip())
