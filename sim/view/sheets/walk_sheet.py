"""The walk round the saw: every set-up point with its control, and the bar rack."""

from functools import partial
from typing import Final

from pygame import Rect

from sim.plant.set_points import SetPoint
from sim.view.kit.column import Column, Filled, row_height, side_by_side
from sim.view.kit.controls import button, button_width, choice
from sim.view.kit.layout import from_right
from sim.view.kit.number import NumberRange, number
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.widget import Mood, Widget
from sim.view.play.play import Play
from sim.view.play.points import decimals
from sim.view.play.sheet import Sheet
from sim.words.message import plain
from sim.words.speech import say, sentence, tell


def walk_round(kit: Kit, area: Rect, play: Play) -> Filled:
    """Return every set-up point with its control, in as many columns as fit, and the bar rack."""
    column = Column(kit, area)
    words = say("Load a fresh bar (4 min)")
    place = column.place(button_width(kit, words, mark="bar_end") + kit.px(0.6), 1.95)
    rack = button("walk.load", place, words, play.load_bar, mark="bar_end")
    column.space(0.4)
    widgets, high = _points(kit, Rect(area.left, column.top, area.width, 0), play)
    return [rack, *widgets], column.top + high - area.top


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

    control_width = min(kit.px(14), rect.width // 2)
    control, words = from_right(
        Rect(badge.right + kit.px(0.5), rect.top, rect.right - badge.right - kit.px(0.5), high),
        control_width, kit.px(0.6),
    )  # fmt: skip
    title = sentence(tell(row.title))
    height = max(kit.letters.height(title, "small", words.width), high)
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
    if row.words:
        options = tuple((word, tell(row.told(word))) for word in row.words)
        children.append(
            choice(
                kit,
                f"walk.{row.name}",
                control,
                options,
                lambda: str(play.points.read(row) or ""),
                lambda v: play.put(row.name, v),
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
                lambda value: play.put(row.name, value),
                title,
            )
        )
    return Widget(
        f"walk.{row.name}.row", Rect(rect.left, rect.top, rect.width, height), children=children
    ), height


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
