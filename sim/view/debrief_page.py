"""The debrief: the score and its reasons, what was wrong, what was done, and the time line.

Imports `drill.debrief`, and the controls.
"""

from collections.abc import Callable

from pygame import Rect

from sim.drill.debrief import Debrief, Part, debrief
from sim.drill.session import Session
from sim.view.bubble import Bubble
from sim.view.column import Column
from sim.view.controls import MAIN, button, button_width
from sim.view.layout import from_left, from_right, from_top, inset
from sim.view.pen import Kit, Pen
from sim.view.play import clock_words, event_words
from sim.view.scrolling import Scrolls
from sim.view.symbols import square_in, symbol
from sim.view.widget import Mood, Stroke, Widget
from sim.view.words import say


class DebriefPage:
    """The last page of a session."""

    name = "debrief"

    def __init__(
        self,
        session: Session,
        leave: Callable[[], None],
        again: Callable[[], None] | None,
        replay: Callable[[], None] | None = None,
    ) -> None:
        self.scrolls = Scrolls()
        self.debrief: Debrief = debrief(session)
        self._leave = leave
        self._again = again
        self._replay = replay

    def stale(self) -> bool:
        """Return whether the tree must be built anew; true once."""
        moved, self.scrolls.moved = self.scrolls.moved, False
        return moved

    def build(self, kit: Kit, area: Rect) -> Widget:
        """Return the tree for an area."""
        gap = kit.px(1.6)
        bar, rest = from_top(area, max(kit.px(2.9), 34))
        inner = inset(rest, kit.px(1.6), kit.px(1.0))
        panes: list[Widget]
        if inner.width < kit.px(60):
            panes = [
                self.scrolls.pane(kit, "debrief.all", inner, lambda r: self._everything(kit, r))
            ]
        else:
            left, right = from_left(inner, (inner.width - gap) * 11 // 20, gap)
            panes = [
                self.scrolls.pane(kit, "debrief.left", left, lambda r: self._verdict(kit, r)),
                self.scrolls.pane(kit, "debrief.right", right, lambda r: self._timeline(kit, r)),
            ]
        return Widget("page", area, children=[self._bar(kit, bar), *panes])

    def _bar(self, kit: Kit, area: Rect) -> Widget:
        inner = inset(area, kit.px(1.6), kit.px(0.35))
        words = say("Home")
        place, inner = from_right(inner, button_width(kit, words, mark="home"), kit.px(0.6))
        children = [button("debrief.home", place, words, self._leave, mark="home", style=MAIN)]
        if self._again is not None:
            words = say("Once more")
            place, inner = from_right(inner, button_width(kit, words), kit.px(0.6))
            children.append(button("debrief.again", place, words, self._again))
        if self._replay is not None:
            words = say("Replay")
            place, inner = from_right(inner, button_width(kit, words), kit.px(0.6))
            children.append(button("debrief.replay", place, words, self._replay))
        title = say("Debrief: {title}").format(title=self.debrief.title)

        def paint(pen: Pen, at: Rect, _mood: Mood) -> None:
            pen.fitted(title, at, ("lead", "body", "small", "fine"), bold=True)

        def ground(pen: Pen, at: Rect, _mood: Mood) -> None:
            pen.fill(at, pen.palette.panel)

        children.append(Widget("debrief.title", inner, paint, label=title))
        return Widget("bar", area, ground, children=children)

    def _everything(self, kit: Kit, area: Rect) -> tuple[list[Widget], int]:
        first, high = self._verdict(kit, area)
        below = Rect(area.left, area.top + high + kit.px(1.5), area.width, 0)
        second, more = self._timeline(kit, below)
        return first + second, high + kit.px(1.5) + more

    def _verdict(self, kit: Kit, area: Rect) -> tuple[list[Widget], int]:
        found = self.debrief
        column = Column(kit, area)
        column.add(_score(kit, column.place(column.width, 5.2), found))
        column.space(0.8)
        for index, sentence in enumerate(found.critical):
            column.stamped(f"critical.{index}", "", "unsafe", sentence)
            column.space(0.3)
        for part in found.parts:
            column.add(_part(kit, column, part))
            column.space(0.45)
        column.space(0.4)
        groups = (
            (say("What was wrong"), found.causes), (say("What you named"), found.named),
            (say("Still wrong"), found.still_wrong), (say("The shortest sound way"), found.sound_path),
        )  # fmt: skip
        for title, lines in groups:
            if not lines:
                continue
            column.paragraph(f"verdict.{title}", title, bold=True)
            for index, line in enumerate(lines):
                column.paragraph(f"verdict.{title}.{index}", line, role="small")
            column.space(0.5)
        if found.teaches:
            column.paragraph("teaches.title", say("What this one teaches"), bold=True)
            for index, line in enumerate(found.teaches.splitlines()):
                column.paragraph(f"teaches.{index}", line, role="small")
        return column.widgets, column.top - area.top

    def _timeline(self, kit: Kit, area: Rect) -> tuple[list[Widget], int]:
        column = Column(kit, area)
        column.paragraph("line.title", say("Time line"), role="lead", bold=True)
        column.space(0.3)
        for index, event in enumerate(self.debrief.timeline[:400]):
            column.stamped(
                f"line.{index}", clock_words(event.at_us), event.kind, event_words(event)
            )
        return column.widgets, column.top - area.top

    def claim(self) -> str:
        """Leave the keyboard where it is."""
        return ""

    def stroke(self, stroke: Stroke) -> bool:
        """Go home on escape."""
        if stroke.name == "escape":
            self._leave()
            return True
        return False

    def unstroke(self, name: str) -> None:
        """Nothing is held here."""

    def let_go(self) -> None:
        """Nothing is held here."""

    def bubble(self) -> Bubble | None:
        """Say nothing."""
        return None


def _score(kit: Kit, rect: Rect, found: Debrief) -> Widget:
    del kit

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        palette = pen.palette
        score = str(found.score)
        wide = pen.letters.width(score, "huge", True)
        number, rest = from_left(place, wide, pen.px(0.9))
        pen.text(score, number, role="huge", bold=True)
        upper, lower = from_top(inset(rest, 0, pen.px(0.9)), pen.letters.line("lead"))
        shape, colour = ("tick", palette.green) if found.passed else ("cross", palette.yellow)
        mark, upper = from_left(upper, pen.px(1.2), pen.px(0.5))
        symbol(pen, shape, square_in(mark, pen.px(1.1)), colour)
        words = say("passed") if found.passed else say("not passed")
        pen.text(words, upper, role="lead", bold=True)
        words = say("of 100. {pieces} pieces cut, {good} good, {minutes} min, harm {money}").format(
            pieces=found.pieces, good=found.good, minutes=f"{found.minutes:.1f}", money=f"{found.money:g}"
        )  # fmt: skip
        pen.block(words, lower, palette.soft, role="small")

    return Widget("debrief.score", rect, paint, label=str(found.score))


def _part(kit: Kit, column: Column, part: Part) -> Widget:
    side = kit.px(4)
    words = f"{say(part.title)}: {part.reason}"
    height = kit.letters.height(words, "small", column.width - side) + kit.px(0.65)
    rect = Rect(column.left, column.top, column.width, height)
    column.top = rect.bottom

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        palette = pen.palette
        points, body = from_right(place, side)
        high = pen.block(words, body, role="small")
        line = Rect(points.left, points.top, points.width, pen.letters.line("small"))
        pen.text(f"{part.points} / {part.of}", line, role="small", bold=True, align="right")
        track = Rect(place.left, place.top + high + pen.px(0.15), place.width, max(pen.px(0.35), 4))
        pen.fill(track, palette.hair)
        pen.fill(
            Rect(track.left, track.top, track.width * part.points // max(part.of, 1), track.height),
            palette.blue,
        )

    return Widget(f"part.{part.title}", rect, paint, label=words)
