"""The replay: the picture as it was, who held which key, and a scrubber with a mark for every event."""

from collections.abc import Callable
from typing import Final

from pygame import Rect

from sim.kernel.pacing import Pacer
from sim.view.console.banner import banner, banner_height
from sim.view.kit.bars import bar_title, done_key, pace_keys, top_bar
from sim.view.kit.column import KINDS, Column
from sim.view.kit.controls import focus_ring
from sim.view.kit.layout import from_left, from_top, inset
from sim.view.kit.page import QuietPage
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Act, Mood, Stroke, Widget
from sim.view.picture.picture import picture
from sim.view.picture.stage_picture import Stand, in_metal, look_another_way, stage_picture
from sim.view.play.key_words import called
from sim.view.play.outlook import Outlook
from sim.view.play.play import SPEEDS
from sim.view.play.player import Player
from sim.view.play.telling import shown
from sim.words.fields import authored, parts
from sim.words.message import NOTHING, plain, row
from sim.words.speech import reader, say, tell

_TOLD: Final = ("refused", "consequence", "finding", "cut", "unsafe", "reason")
_TITLE: Final = row("window.replay.title", "Replay: {title}", title=authored())
_HANDS: Final = row("window.replay.hands", "Hands: {keys}", keys=parts(", "))
_NO_HANDS: Final = plain("window.replay.no-hands", "Hands: -")
_STEP_US: Final = 5_000_000


class ReplayPage(QuietPage):
    """The page of one record."""

    name = "replay"

    def __init__(self, player: Player, leave: Callable[[], None]) -> None:
        super().__init__(leave)
        self.player = player
        self.paused = False
        self.speed = 1.0
        self._pacer = Pacer()
        self._banner = NOTHING
        self.outlook = Outlook()
        self._sawing = False  # the band was in metal when the page was built

    def tick(self) -> None:
        """Let the time pass that this frame is worth."""
        self._pacer.speed = self.speed
        passed_us = self._pacer.frame_us()
        if not self.paused and not self.player.over:
            self.player.seek(self.player.now_us + passed_us)

    def go_to(self, time_us: int) -> None:
        """Go to a moment."""
        self._stale = self.player.seek(time_us) or self._stale

    @property
    def pace(self) -> float:
        """How fast it is played, times as fast as life."""
        return self.speed

    def stale(self) -> bool:
        """Return whether the tree must be built anew; true once."""
        warned = self.player.session.bench.banner != self._banner
        self._banner = self.player.session.bench.banner
        sawing = in_metal(self.player.session)
        begun, self._sawing = sawing != self._sawing, sawing
        return super().stale() or warned or begun

    def build(self, kit: Kit, area: Rect) -> Widget:
        """Return the tree for an area."""
        gap = kit.px(0.5)
        bar, rest = from_top(area, max(kit.px(2.4), 30))
        inner = inset(rest, kit.px(0.8), gap)
        shown, below = from_top(inner, inner.height * 3 // 5, gap)
        hands, below = from_top(below, kit.px(1.8), gap)
        line, below = from_top(below, max(kit.px(2.4), 30), gap)
        warn_high = banner_height(kit, inner.width, self.player.session.bench)
        warning: list[Widget] = []
        if warn_high:
            strip, below = from_top(below, warn_high, gap)
            warning = [banner(kit, strip, self.player.session.bench)]
        events = self.scrolls.pane(kit, "replay.events", below, lambda r: self._events(kit, r))
        return Widget(
            "page", area,
            children=[
                self._bar(kit, bar),
                self._stage(kit, shown),
                *warning, self._hands(hands), self._scrubber(line), events,
            ],
        )  # fmt: skip

    def _stage(self, kit: Kit, area: Rect) -> Widget:
        session = self.player.session
        if self.outlook.drawing:
            return picture(kit, area, session, (), wanted=False)
        return stage_picture(kit, area, Stand(session, self.outlook, self.refresh))

    def _bar(self, kit: Kit, area: Rect) -> Widget:
        inner = inset(area, kit.px(0.8), kit.px(0.25))
        done, inner = done_key(kit, "replay.done", inner, self._leave)
        keys, inner = pace_keys(kit, "replay", inner, self)
        title = tell(_TITLE(title=self.player.session.scenario.title))
        return top_bar(area, [done, *keys, bar_title("replay.title", inner, title)])

    def change_speed(self, step: int) -> None:
        """Go so many paces up or down."""
        index = SPEEDS.index(self.speed) + step
        self.speed = SPEEDS[min(max(index, 0), len(SPEEDS) - 1)]

    def toggle_pause(self) -> None:
        """Stop the time, or let it go on."""
        self.paused = not self.paused

    def _hands(self, rect: Rect) -> Widget:
        """Return the line that says which keys are held at this moment."""

        def words() -> str:
            held = tuple(called(key) for key in sorted(self.player.session.saw.held))
            return tell(_HANDS(keys=held) if held else _NO_HANDS)

        def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
            mark, rest = from_left(place, pen.px(1.2), pen.px(0.4))
            symbol(pen, "hand", square_in(mark, pen.px(1.0)), pen.palette.soft)
            pen.fitted(words(), rest, ("body", "small", "fine"))

        return Widget("replay.hands", rect, paint, words, label=say("hands"))

    def _scrubber(self, rect: Rect) -> Widget:
        player = self.player

        def share(time_us: int) -> float:
            return time_us / max(player.end_us, 1)

        def track(place: Rect) -> Rect:
            side = place.height
            return Rect(place.left + side // 2, place.top, place.width - side * 4, place.height)

        def paint(pen: Pen, place: Rect, mood: Mood) -> None:
            palette = pen.palette
            pen.box(place, palette.panel, palette.edge, radius=0.3)
            line = track(place)
            pen.fill(Rect(line.left, line.centery - 1, line.width, 3), palette.edge)
            size = pen.px(0.75)
            for event in player.events:
                if event.kind in _TOLD:
                    shape, colour = KINDS[event.kind]
                    spot = Rect(0, 0, size, size)
                    spot.center = (
                        line.left + round(share(event.at_us) * line.width),
                        line.top + size,
                    )
                    symbol(pen, shape, spot, getattr(palette, colour))
            x = line.left + round(share(player.now_us) * line.width)
            pen.fill(Rect(x - 2, place.top + 3, 4, place.height - 6), palette.focus)
            time = Rect(line.right, place.top, place.right - line.right - pen.px(0.5), place.height)
            pen.figures(
                f"{reader().clock(player.now_us)} / {reader().clock(player.end_us)}",
                time,
                role="small",
            )
            focus_ring(pen, place, mood)

        def at(x: int) -> None:
            line = track(rect)
            self.go_to(round((x - line.left) / max(line.width, 1) * player.end_us))

        def stroke(key: Stroke) -> bool:
            steps = {"left": -_STEP_US, "right": _STEP_US, "page down": -60_000_000,
                     "page up": 60_000_000, "home": -player.end_us, "end": player.end_us}  # fmt: skip
            if key.name not in steps:
                return False
            self.go_to(player.now_us + steps[key.name])
            return True

        begun = [0]

        def point(spot: tuple[int, int]) -> None:
            begun[0] = spot[0]
            at(spot[0])

        return Widget(
            "replay.scrubber", rect, paint, lambda: player.now_us // 100_000,
            Act(point=point, drag=lambda dx: at(begun[0] + dx), stroke=stroke), label=say("scrubber"),
        )  # fmt: skip

    def _events(self, kit: Kit, area: Rect) -> tuple[list[Widget], int]:
        column = Column(kit, area)
        for index, event in enumerate(self.player.events[:400]):
            row = column.stamped(
                f"replay.event.{index}", reader().clock(event.at_us), event.kind, tell(shown(event))
            )
            row.act = Act(click=lambda at_us=event.at_us: self.go_to(at_us))  # type: ignore[misc]
            row.rect.height = max(row.rect.height, 24)
            column.top = row.rect.bottom
        if self.player.not_played:
            column.paragraph("replay.not-played", tell(self.player.not_played), bold=True)
        for index, event in enumerate(self.player.as_recorded[:400]):
            column.stamped(
                f"replay.recorded.{index}", reader().clock(event.at_us), event.kind,
                tell(shown(event)),
            )  # fmt: skip
        return column.widgets, column.top - area.top

    def stroke(self, stroke: Stroke) -> bool:
        """Go back on escape, pause on p, change the pace."""
        if stroke.name == "p":
            self.toggle_pause()
        elif stroke.name in (",", "."):
            self.change_speed(1 if stroke.name == "." else -1)
        elif look_another_way(self.outlook, stroke.name):
            self.refresh()
        else:
            return super().stroke(stroke)
        return True
