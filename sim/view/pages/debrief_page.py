"""The debrief: the score and its reasons, what was wrong, what was done, and the time line."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from pygame import Rect

from sim.debrief.debrief import Debrief
from sim.debrief.debrief_html import html
from sim.debrief.scoring import OUTCOMES, Outcome, ScorePart
from sim.errors import DrycycleError
from sim.records.output import write_output
from sim.units import MINUTE
from sim.view.kit.bars import bar_title, top_bar
from sim.view.kit.column import Column, Filled
from sim.view.kit.controls import MAIN, PLAIN, Style, button, button_width, choice
from sim.view.kit.layout import from_bottom, from_left, from_right, from_top, inset
from sim.view.kit.page import QuietPage
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Mood, Widget
from sim.view.pages.debrief_parts import belief, safety, time_line
from sim.view.pages.debrief_ways import ways
from sim.words.fields import count, minutes, number, part
from sim.words.message import Message, plain, row, sentence, sentences
from sim.words.speech import say, tell

# Name, words on its key, and what shows it.
_PARTS: Final[tuple[tuple[str, Message, Callable[[Kit, Rect, Debrief], Filled]], ...]] = (
    ("ways", plain("window.debrief.ways", "Ways"), ways),
    ("line", plain("window.debrief.line", "Time line"), time_line),
    ("belief", plain("window.debrief.belief", "Causes"), belief),
    ("safety", plain("window.debrief.safety", "Safety and cost"), safety),
)
# A tick is for a pass only; half of it is a ring, everything else a cross.
_MARKS: Final = {
    Outcome.PASSED: ("tick", "green"),
    Outcome.FOUND: ("ring", "blue"),
    Outcome.PRACTISED: ("ring", "blue"),
}
_SHOWS: Final = {name: shows for name, _, shows in _PARTS}


_NEXT: Final = row("window.debrief.next", "Next: {title}.", title=part())
_GO: Final = Style(MAIN.fill, MAIN.ink, MAIN.edge, "lead")
_LEAST_PX: Final = 44
_TITLE: Final = row("window.debrief.title", "Debrief: {title}", title=part())
_REASON: Final = row("window.debrief.part", "{title}: {reason}", title=part(), reason=part())
_COUNTED: Final = row(
    "window.debrief.counted", "of 100. {count} piece cut, {good} good, {time}, harm {money}",
    plural="of 100. {count} pieces cut, {good} good, {time}, harm {money}",
    count=count(), good=count(), time=minutes(1), money=number(None),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Onward:
    """What a debrief leads on to."""

    title: Message
    why: Message  # a sentence
    go: Callable[[], None]


class DebriefPage(QuietPage):
    """The last page of a session."""

    name = "debrief"

    def __init__(
        self,
        found: Debrief,
        record: Path | None,
        leave: Callable[[], None],
        again: Callable[[], None] | None,
        replay: Callable[[], None] | None,
        news: tuple[Message, ...] = (),
        onward: Onward | None = None,
    ) -> None:
        super().__init__(leave)
        self._onward = onward
        self.debrief = found
        self.part = "ways" if found.way_best else "line"
        self.saved: Path | None = None
        self._news = list(news)  # of the record's file
        self._record = record
        self._again = again
        self._replay = replay

    def show(self, part: str) -> None:
        """Show another part of the debrief."""
        self.part = part
        self.refresh()

    def save(self) -> None:
        """Write the debrief as a page of its own beside the record."""
        if self._record is not None:
            path = self._record.with_suffix(".html")
            try:
                write_output(path, html(self.debrief), [self._record])
            except DrycycleError as error:
                self._news = [sentence(error.message)]
            else:
                self.saved = path
            self.refresh()

    def build(self, kit: Kit, area: Rect) -> Widget:
        """Return the tree for an area."""
        gap = kit.px(1.6)
        bar, rest = from_top(area, max(kit.px(2.9), 34))
        foot, rest = self._foot(kit, rest)
        inner = inset(rest, kit.px(1.6), kit.px(1.0))
        if inner.width < kit.px(60):
            panes = [
                self.scrolls.pane(kit, "debrief.all", inner, lambda r: self._everything(kit, r))
            ]
            return Widget("page", area, children=[self._bar(kit, bar), *panes, *foot])
        left, right = from_left(inner, (inner.width - gap) // 2, gap)
        tabs, below = from_top(right, max(kit.px(1.9), 26), kit.px(0.6))
        panes = [
            self.scrolls.pane(kit, "debrief.left", left, lambda r: self._verdict(kit, r)),
            self._tabs(kit, tabs),
            self.scrolls.pane(kit, f"debrief.{self.part}", below, lambda r: self._part(kit, r)),
        ]
        return Widget("page", area, children=[self._bar(kit, bar), *panes, *foot])

    def _foot(self, kit: Kit, area: Rect) -> tuple[list[Widget], Rect]:
        """Return the last line of a debrief, what is next, and the place that is left over it."""
        onward = self._onward
        if onward is None:
            return [], area
        words, gap = say("Go on"), kit.px(1.0)
        wide = button_width(kit, words, mark="start", role="lead") + kit.px(2)
        told = tell(sentences(_NEXT(title=onward.title), onward.why))
        room = area.width - 2 * kit.px(1.6) - wide - gap
        high = max(kit.letters.height(told, "body", room, True), kit.px(2.3), _LEAST_PX)
        strip, rest = from_bottom(area, high + 2 * kit.px(0.5))
        inner = inset(strip, kit.px(1.6), kit.px(0.5))
        place, inner = from_right(inner, wide, gap)

        def paint(pen: Pen, at: Rect, _mood: Mood) -> None:
            high = pen.letters.height(told, "body", at.width, True)
            pen.block(told, Rect(at.left, at.centery - high // 2, at.width, high), bold=True)

        go = button("debrief.next", place, words, onward.go, mark="start", style=_GO)
        go.label = f"{words}. {told}"
        return [Widget("debrief.next.title", inner, paint, label=told), go], rest

    def _tabs(self, kit: Kit, rect: Rect) -> Widget:
        options = tuple((name, tell(words)) for name, words, _ in _PARTS)
        return choice(kit, "debrief.part", rect, options, lambda: self.part, self.show)

    def _part(self, kit: Kit, area: Rect) -> Filled:
        return _SHOWS[self.part](kit, area, self.debrief)

    def _bar(self, kit: Kit, area: Rect) -> Widget:
        inner = inset(area, kit.px(1.6), kit.px(0.35))
        words = say("Home")
        place, inner = from_right(inner, button_width(kit, words, mark="home"), kit.px(0.6))
        style = MAIN if self._onward is None else PLAIN
        children = [button("debrief.home", place, words, self._leave, mark="home", style=style)]
        if self._again is not None:
            words = say("Once more")
            place, inner = from_right(inner, button_width(kit, words), kit.px(0.6))
            children.append(button("debrief.again", place, words, self._again))
        if self._replay is not None:
            words = say("Replay")
            place, inner = from_right(inner, button_width(kit, words), kit.px(0.6))
            children.append(button("debrief.replay", place, words, self._replay))
        if self._record is not None:
            words = say("Saved") if self.saved else say("Save as a page")
            place, inner = from_right(inner, button_width(kit, words), kit.px(0.6))
            children.append(button("debrief.save", place, words, self.save))
        title = tell(_TITLE(title=self.debrief.title))
        children.append(bar_title("debrief.title", inner, title))
        return top_bar(area, children)

    def _everything(self, kit: Kit, area: Rect) -> Filled:
        first, high = self._verdict(kit, area)
        column = Column(kit, Rect(area.left, area.top + high + kit.px(1), area.width, 0))
        tabs = self._tabs(kit, column.place(area.width, 1.9))
        below = Rect(area.left, column.top + kit.px(0.5), area.width, 0)
        second, more = self._part(kit, below)
        return [*first, tabs, *second], below.top + more - area.top

    def _verdict(self, kit: Kit, area: Rect) -> tuple[list[Widget], int]:
        found = self.debrief
        column = Column(kit, area)
        column.add(_score(kit, column.place(column.width, 5.2), found))
        column.space(0.4)
        if found.why:
            column.paragraph("verdict.why", tell(found.why), bold=True)
        column.space(0.6)
        for index, said in enumerate(self._news):
            column.stamped(f"record.{index}", "", "consequence", tell(said))
            column.space(0.3)
        if found.ordered:
            column.stamped("verdict.ordered", "", "note", tell(found.ordered))
            column.space(0.3)
        for index, each in enumerate(found.critical):
            column.stamped(f"critical.{index}", "", "unsafe", tell(each))
            column.space(0.3)
        _causes(column, found)
        column.paragraph("scored.title", say("The score, part by part"), bold=True)
        for scored in found.parts:
            column.space(0.25)
            column.add(_scored(kit, column, scored))
        return column.widgets, column.top - area.top


def _causes(column: Column, found: Debrief) -> None:
    """Add what was wrong, what was named, what is still wrong, and what to remember."""
    groups = (
        ("wrong", say("What was wrong"), found.causes),
        ("named", say("What you named or put right"), found.named),
        ("still", say("Still wrong"), found.still_wrong),
    )
    for name, title, lines in groups:
        if not lines:
            continue
        column.paragraph(f"verdict.{name}", title, bold=True)
        for index, line in enumerate(lines):
            column.paragraph(f"verdict.{name}.{index}", tell(line), role="small")
        column.space(0.5)
    if found.teaches:
        column.paragraph("teaches.title", say("What this one teaches"), bold=True)
        for index, words in enumerate(tell(found.teaches).splitlines()):
            column.paragraph(f"teaches.{index}", words, role="small")
        column.space(0.5)


def _score(kit: Kit, rect: Rect, found: Debrief) -> Widget:
    del kit

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        palette = pen.palette
        score = str(found.score)
        wide = pen.letters.width(score, "huge", True)
        number, rest = from_left(place, wide, pen.px(0.9))
        pen.text(score, number, role="huge", bold=True)
        upper, lower = from_top(inset(rest, 0, pen.px(0.9)), pen.letters.line("lead"))
        shape, colour = _MARKS.get(found.outcome, ("cross", "yellow"))
        mark, upper = from_left(upper, pen.px(1.2), pen.px(0.5))
        symbol(pen, shape, square_in(mark, pen.px(1.1)), getattr(palette, colour))
        words = tell(OUTCOMES[found.outcome])
        pen.text(words, upper, role="lead", bold=True)
        counted = _COUNTED(
            count=found.pieces, good=found.good, time=found.minutes * MINUTE, money=found.money
        )
        pen.block(tell(counted), lower, palette.soft, role="small")

    return Widget("debrief.score", rect, paint, label=str(found.score))


def _scored(kit: Kit, column: Column, scored: ScorePart) -> Widget:
    side = kit.px(4)
    words = tell(_REASON(title=scored.title, reason=scored.reason))
    height = kit.letters.height(words, "small", column.width - side) + kit.px(0.65)
    rect = Rect(column.left, column.top, column.width, height)
    column.top = rect.bottom

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        palette = pen.palette
        points, body = from_right(place, side)
        high = pen.block(words, body, role="small")
        line = Rect(points.left, points.top, points.width, pen.letters.line("small"))
        if not scored.of:  # it is not scored
            return
        points_words = f"{scored.points} / {scored.of}"
        pen.text(points_words, line, role="small", bold=True, align="right")
        track = Rect(place.left, place.top + high + pen.px(0.15), place.width, max(pen.px(0.35), 4))
        pen.fill(track, palette.hair)
        pen.fill(
            Rect(track.left, track.top, track.width * scored.points // scored.of, track.height),
            palette.blue,
        )

    return Widget(f"scored.{scored.key}", rect, paint, label=words)
