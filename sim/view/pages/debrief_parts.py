"""The figures of a debrief: time line, belief over time, safety and cost, expectations.

Colour never tells causes apart alone: each has its letter.
"""

from typing import Final

from pygame import Rect

from sim.debrief.debrief import Debrief, hints_told
from sim.view.kit.column import Column, Filled
from sim.view.kit.layout import from_right
from sim.view.kit.palette import Colour, Palette
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.widget import Mood, Widget
from sim.view.play.telling import in_titles, shown
from sim.words.fields import clock, count, part
from sim.words.message import NOTHING, Message, plain, row, sentences
from sim.words.speech import reader, say, tell

_MOST_CAUSES: Final = 6  # shown one by one; the others together
_MOST_LINES: Final = 400

_MORE_EVENTS: Final = row(
    "window.debrief.more-events", "{count} more event is in the record.",
    plural="{count} more events are in the record.", count=count(),
)  # fmt: skip
_NOTHING_TO_FIND: Final = plain("window.debrief.nothing-to-find", "There was nothing to find out.")
_REPORTED: Final = row("window.debrief.reported", "The operator's report: {report}", report=part())
_OTHERS: Final = row(
    "window.debrief.others", "grey: {count} other", plural="grey: {count} others together",
    count=count(),
)  # fmt: skip
_TRUE: Final = row("window.debrief.true-cause", "{cause} (so it was)", cause=part())
_SEEN: Final = row(
    "window.debrief.seen", "{at}  {title}. {found}", at=clock(), title=part(), found=part()
)
_NOTHING_NEW: Final = plain("window.debrief.nothing-new", "(This could tell nothing new.)")
_EXPECTED: Final = row(
    "window.debrief.expected", "{title}: expected {expected}. {found}",
    title=part(), expected=part(), found=part(),
)  # fmt: skip


def _colours(palette: Palette) -> tuple[Colour, ...]:
    return (palette.blue, palette.orange, palette.green, palette.yellow, palette.red, palette.white)


# Time line --------------------------------------------------------------------------------


def time_line(kit: Kit, area: Rect, found: Debrief) -> Filled:
    """Return everything that happened, in order."""
    column = Column(kit, area)
    for index, event in enumerate(found.timeline[:_MOST_LINES]):
        column.stamped(f"line.{index}", reader().clock(event.at_us), event.kind, tell(shown(event)))
    left_out = len(found.timeline) - _MOST_LINES
    if left_out > 0:
        words = tell(_MORE_EVENTS(count=left_out))
        column.paragraph("line.more", words, role="small", soft=True)
    return column.widgets, column.top - area.top


# Belief -----------------------------------------------------------------------------------


def belief(kit: Kit, area: Rect, found: Debrief) -> Filled:
    """Return how likely each cause was after every finding, a bar each."""
    column = Column(kit, area)
    if found.not_weighed or not found.causes_weighed or not found.weighs:
        none = (found.weighs and found.not_weighed) or _NOTHING_TO_FIND
        column.paragraph("belief.none", tell(none), soft=True)
        return column.widgets, column.top - area.top
    shown = _shown_causes(found)
    words = say("How likely each cause was, by the report and after what was seen.")
    column.paragraph("belief.what", words, role="small", soft=True)
    column.space(0.4)
    for place, index in enumerate(shown):
        column.add(_legend(kit, column, place, found.causes_weighed[index], found))
    others = len(found.causes_weighed) - len(shown)
    if others > 0:
        words = tell(_OTHERS(count=others))
        column.paragraph("belief.others", words, role="small", soft=True)
    column.space(0.5)
    heard = (
        tell(_REPORTED(report=found.reported)) if found.reported else say("The operator's report")
    )
    column.paragraph("belief.start.title", heard, role="small")
    column.add(_bar(kit, column, "belief.start", found.start, shown))
    told_nothing = found.redundant
    for number, step in enumerate(found.steps):
        column.space(0.3)
        seen = _SEEN(at=step.at_us, title=step.title, found=step.found)
        nothing_new = _NOTHING_NEW if step in told_nothing else NOTHING
        words = tell(sentences(seen, nothing_new))
        column.paragraph(f"belief.{number}.title", words, role="small")
        column.add(_bar(kit, column, f"belief.{number}", step.shares, shown))
    return column.widgets, column.top - area.top


def _shown_causes(found: Debrief) -> list[int]:
    """Return the causes that were ever most believed, at most so many, the true one among them."""
    stages: list[tuple[float, ...]] = [found.start, *(step.shares for step in found.steps)]
    most = [max(shares[i] for shares in stages) for i in range(len(found.causes_weighed))]
    order = sorted(
        range(len(most)), key=lambda i: (found.causes_weighed[i] != found.true_cause, -most[i])
    )
    return order[:_MOST_CAUSES]


def _legend(kit: Kit, column: Column, place: int, title: Message, found: Debrief) -> Widget:
    high = max(kit.letters.line("small"), kit.px(1.2))
    rect = Rect(column.left, column.top, column.width, high)
    column.top = rect.bottom
    true = title == found.true_cause
    words = tell(_TRUE(cause=title) if true else title)

    def paint(pen: Pen, at: Rect, _mood: Mood) -> None:
        spot = Rect(at.left, at.top + 2, pen.px(1.4), at.height - 4)
        pen.fill(spot, _colours(pen.palette)[place])
        pen.text(
            chr(ord("A") + place), spot, pen.palette.dark, role="fine", bold=True, align="centre"
        )
        rest = Rect(
            spot.right + pen.px(0.5), at.top, at.width - spot.width - pen.px(0.5), at.height
        )
        pen.text(words, rest, role="small", bold=true)

    return Widget(f"belief.legend.{place}", rect, paint, label=words)


def _bar(
    kit: Kit, column: Column, name: str, shares: tuple[float, ...], shown: list[int]
) -> Widget:
    rect = Rect(column.left, column.top, column.width, max(kit.px(1.1), 14))
    column.top = rect.bottom

    def paint(pen: Pen, at: Rect, _mood: Mood) -> None:
        pen.fill(at, pen.palette.hair)
        left = float(at.left)
        for place, index in enumerate(shown):
            wide = at.width * shares[index]
            part = Rect(round(left), at.top, round(left + wide) - round(left), at.height)
            pen.fill(part, _colours(pen.palette)[place])
            if part.width > pen.px(1.2):
                letter = chr(ord("A") + place)
                pen.text(letter, part, pen.palette.dark, role="fine", bold=True, align="centre")
            left += wide

    return Widget(name, rect, paint, label=", ".join(f"{shares[i]:.0%}" for i in shown))


# Safety, cost, expectations ---------------------------------------------------------------


def safety(kit: Kit, area: Rect, found: Debrief) -> Filled:
    """Return the safety record, what it all cost, what was expected, and the hints."""
    column = Column(kit, area)
    column.paragraph("safety.title", say("Safety"), bold=True)
    if not found.safety:
        column.paragraph(
            "safety.none",
            say("No lock-out was begun, and no hand was struck or left unprotected."),
            role="small",
        )
    for index, act in enumerate(found.safety):
        kind = "step" if act.fine else "unsafe"
        column.stamped(f"safety.{index}", reader().clock(act.at_us), kind, tell(act.said))
    column.space(0.6)
    column.paragraph("cost.title", say("Cost"), bold=True)
    for index, (title, value) in enumerate(_costs(kit, found)):
        column.add(_pair(kit, column, f"cost.{index}", title, value))
    column.space(0.6)
    if found.expectations:
        column.paragraph("expect.title", say("What you expected"), bold=True)
    for index, seen in enumerate(found.expectations):
        kind = "note" if seen.held is None else "step" if seen.held else "refused"
        words = tell(_EXPECTED(title=seen.title, expected=seen.expected, found=seen.found))
        column.stamped(f"expect.{index}", reader().clock(seen.at_us), kind, words)
    for index, text in enumerate(hints_told(found.hints)):
        if index == 0:
            column.space(0.6)
            column.paragraph("hints.title", say("Hints"), bold=True)
        column.paragraph(f"hints.{index}", tell(in_titles(text)), role="small")
    return column.widgets, column.top - area.top


def _costs(kit: Kit, found: Debrief) -> list[tuple[str, str]]:
    cost = found.cost
    return [
        (say("time in the session"), reader().quantity(cost.minutes, "min", 1)),
        (
            say("standstill that the harm would cause"),
            reader().quantity(cost.downtime_minutes, "min"),
        ),
        (say("parts and scrap, in the workshop's money"), reader().number(cost.money)),
        (say("bands used up by harm"), reader().number(cost.band_life, decimals=2)),
        (say("bar spoilt"), reader().quantity(cost.scrap_mm, "mm")),
        (say("pieces out of tolerance"), f"{cost.bad_pieces}"),
    ]


def _pair(kit: Kit, column: Column, name: str, title: str, value: str) -> Widget:
    rect = Rect(column.left, column.top, column.width, kit.letters.line("small"))
    column.top = rect.bottom

    def paint(pen: Pen, at: Rect, _mood: Mood) -> None:
        right, left = from_right(at, pen.px(8), pen.px(0.5))
        pen.text(title, left, pen.palette.soft, role="small")
        pen.text(value, right, role="small", bold=True, align="right")

    return Widget(name, rect, paint, label=f"{title}: {value}")
