"""The step of a lesson that is asked now: number, what to do, why, what to beware of, and the hint."""

from typing import Final

from pygame import Rect

from sim.view.kit.column import Column
from sim.view.kit.controls import button, button_width, paragraph
from sim.view.kit.layout import from_left, from_right, inset
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Mood, Widget
from sim.view.play.play import Play
from sim.words.fields import authored, part
from sim.words.message import quoted, row
from sim.words.speech import say, tell

_CAUTION: Final = row("lesson.caution", "{why} Caution: {caution}", why=part(), caution=authored())


def lesson_height(kit: Kit, width: int, play: Play) -> int:
    """Return how high the strip is for the present step, 0 when this is no lesson, px."""
    if play.lesson is None:
        return 0
    inner = _words_width(kit, width)
    pad = 2 * kit.px(0.3)
    ask = kit.letters.height(tell(play.lesson.ask), "body", inner, True)
    return max(ask + kit.letters.height(_why(play), "small", inner) + pad, kit.px(2.2))


def _words_width(kit: Kit, width: int) -> int:
    return width - kit.px(1.4) - _count_width(kit) - _hint_width(kit) - kit.px(1.2)


def _count_width(kit: Kit) -> int:
    return kit.letters.width("88 / 88", "body", True) + kit.px(0.8)


def _hint_width(kit: Kit) -> int:
    return button_width(kit, say("Hint"), mark="speech")


def _why(play: Play) -> str:
    step = play.lesson.step if play.lesson is not None else None
    if step is None:
        return say("Finish leads to the debrief.")
    why = quoted(step.why)
    return tell(_CAUTION(why=why, caution=step.caution) if step.caution else why)


def lesson_strip(kit: Kit, rect: Rect, play: Play) -> Widget:
    """Return the strip."""
    lesson = play.lesson
    if lesson is None:
        return Widget("lesson", rect)
    inner = inset(rect, kit.px(0.7), kit.px(0.3))
    count_place, rest = from_left(inner, _count_width(kit))
    hint_place, words = from_right(rest, _hint_width(kit), kit.px(0.6))
    hint_place.height = max(kit.px(1.9), 24)
    hint_place.centery = rect.centery
    count = f"{min(lesson.number + 1, len(lesson.steps))} / {len(lesson.steps)}"
    done = lesson.done

    def ground(pen: Pen, place: Rect, _mood: Mood) -> None:
        pen.box(place, pen.palette.panel, pen.palette.blue, radius=0.4)

    def paint_count(pen: Pen, place: Rect, _mood: Mood) -> None:
        if done:
            symbol(pen, "tick", square_in(place, pen.px(1.2)), pen.palette.green)
        else:
            pen.text(count, place, pen.palette.soft, bold=True)

    column = Column(kit, words)
    column.paragraph("lesson.ask", tell(lesson.ask), bold=True)
    column.add(
        paragraph(kit, "lesson.why", Rect(words.left, column.top, words.width, 0), _why(play),
                  role="small", soft=True)
    )  # fmt: skip
    children = [Widget("lesson.count", count_place, paint_count, label=count), *column.widgets]
    if not done:
        children.append(button("lesson.hint", hint_place, say("Hint"), play.hint, mark="speech"))
    return Widget("lesson", rect, ground, children=children)
