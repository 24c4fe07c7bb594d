"""The numbers that a hand sets at the console, where their part is drawn, and what of the job is only read."""

from pygame import Rect

from sim.control.dials import BY_NAME as DIALS
from sim.session.session import Session
from sim.session.sights.controller_words import console_lit
from sim.units import MM
from sim.view.kit.controls import text
from sim.view.kit.layout import from_left
from sim.view.kit.number import NumberRange, number
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.widget import Mood, Widget
from sim.view.play.gathered import Gathered
from sim.words.speech import reader, say, tell


def dial(
    kit: Kit, rect: Rect, name: str, words: str, session: Session, gathered: Gathered
) -> Widget:
    """Return a number of the job with its words before it; what it is turned to is gathered."""
    row = DIALS[name]
    title, place = from_left(rect, kit.letters.width(words, "fine") + kit.px(0.4))
    return Widget(
        f"{name}.group", rect,
        children=[
            text(f"{name}.title", title, words, role="fine", soft=True),
            number(
                kit, name, place, NumberRange(row.low, row.high, 1),
                lambda: float(session.saw.read(name)), lambda value: gathered(name, value), tell(row.title),
                wanted=lambda: gathered.get(name),
            ),
        ],
    )  # fmt: skip


def cut(rect: Rect, session: Session) -> Widget:
    """Return how many pieces the job has counted; a dash while the console is dark."""
    job = session.saw.controller.job
    words = say("cut")

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        word, rest = from_left(place, pen.letters.width(words, "fine"), pen.px(0.5))
        pen.text(words, word, pen.palette.soft, role="fine")
        pen.figures(figures(), rest, role="lead", align="left")

    def figures() -> str:
        return f"{job.cut}" if console_lit(session) else "–"

    return Widget("job.cut", rect, paint, figures, label=say("counters"))


def ordered(rect: Rect, session: Session) -> Widget:
    """Return the length of a piece as it is ordered."""
    words = say("length")

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        word, rest = from_left(place, pen.letters.width(words, "fine"), pen.px(0.5))
        pen.text(words, word, pen.palette.soft, role="fine")
        length = reader().quantity(session.order.piece_m / MM, "mm", 1)
        pen.fitted(length, rest, ("small", "fine"), bold=True)

    return Widget("job.length", rect, paint, label=words)
