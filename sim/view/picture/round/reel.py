"""What would have happened, moving: how far each thing is at a share of the two seconds, and what flies.

A reel that does not run is at its end; then the picture shows what is left, as it stays.

Never here: which way a harm is shown (see `play.happening`), and when (see `play.aftermath`).
"""

from math import cos, pi, sin
from typing import Final, Protocol

import pygame
from pygame import SRCALPHA, Surface

from sim.session.hands.zones import Zone
from sim.trade.mitre import square_end
from sim.trade.sections import Section
from sim.view.kit.palette import RED, Colour
from sim.view.picture.round.camera import Camera, Place, Spot
from sim.view.picture.round.colours import Paints
from sim.view.picture.round.shading import Board, Sprite, dimmed
from sim.view.picture.round.work import Stick
from sim.view.play.happening import SHOWN, ZONE_OF, Showing, kinds_by

_STEPS: Final = 60
_SHOWS_S: Final = 0.24  # of what would have happened, that is shown slowed
_G: Final = 9.81
_TEETH: Final = 16
_TURN: Final = 2.399963  # rad from one thing that flies to the next: no two go the same way
_PALE: Final = (250, 250, 252)
_INK: Final = (14, 16, 20)
_SMOKE: Final = (150, 152, 158)
_ARC: Final = (255, 250, 190)
_CARRIED: Final = ("lifted-too-much",)  # by hand, so that nothing holds it
_HANGS_M: Final = 0.24  # over the infeed, where it begins to fall
_COMES_FROM: Final[dict[Zone, Spot]] = {
    Zone.BAND: (0.0, 1.0, 0.0), Zone.WHEELS: (0.0, 1.0, 0.0), Zone.CUTTING_JAWS: (0.0, -1.0, 0.0),
    Zone.SHUTTLE_JAWS: (0.0, -1.0, 0.0), Zone.SHUTTLE_PATH: (1.0, 0.0, 0.0), Zone.UNDER_HEAD: (0.0, 0.0, 1.0),
    Zone.SWING: (1.0, 0.0, 0.0), Zone.OUTFEED: (-1.0, 0.0, 0.0), Zone.CABINET: (1.0, 0.0, 0.0),
}  # fmt: skip
"""From which side it comes that would have struck hands."""
_SHORT_M: Final = 0.05  # of the hands, that it stops
_HAND_OFF_M: Final = (0.0, -0.20, 0.07)  # where hands come from
_HEAD_MOVES: Final = frozenset(
    {
        Showing.SNAPS,
        Showing.FLIES_OFF,
        Showing.TURNS_OUT,
        Showing.SNATCHED,
        Showing.BENDS,
        Showing.DROPS,
    }
)


HANGS: Final = kinds_by(Showing.COMES_DOWN)


class Hung(Board, Protocol):
    """What a bar and its slings can be put on."""

    def lines(self, colour: Colour, places: list[Place], wide: int) -> None:
        """Draw a line through places."""


def _within(share: float, begins: float, ends: float) -> float:
    """Return how far something is that goes on from one share to another; it begins and ends softly."""
    at = min(max((share - begins) / (ends - begins), 0.0), 1.0)
    return at * at * (3.0 - 2.0 * at)


class Reel:
    """That of one picture."""

    def __init__(self) -> None:
        self.kind = ""
        self.share = 1.0
        self._hangs: tuple[Section, Sprite] | None = None

    def run(self, kind: str, share: float) -> None:
        """Show a kind of harm at a share of its two seconds; an empty kind shows none."""
        self.kind, self.share = kind, (round(share * _STEPS) / _STEPS if kind else 1.0)

    @property
    def runs(self) -> bool:
        """Whether it is on its way."""
        return bool(self.kind) and self.share < 1.0

    @property
    def way(self) -> Showing:
        """How what runs is shown; in words only where nothing runs."""
        return SHOWN[self.kind] if self.runs else Showing.TOLD

    @property
    def face(self) -> tuple[str, float]:
        """What the whole picture hangs on."""
        return (self.kind, self.share) if self.runs else ("", 1.0)

    @property
    def head_face(self) -> tuple[str, float]:
        """What the head hangs on."""
        moves = self.way in _HEAD_MOVES or self.kind == "struck-under-head"
        return self.face if moves else ("", 1.0)

    # How far each thing is ------------------------------------------------------------------

    @property
    def bar(self) -> float:
        """How far a bar has turned out that is thrown, 0 to 1."""
        if self.way is Showing.SNATCHED:
            return _within(self.share, 0.08, 0.55)
        return _within(self.share, 0.0, 0.7) if self.way is Showing.TURNS_OUT else 1.0

    @property
    def band(self) -> float:
        """How far a band has come out of its guides, 0 to 1."""
        begins = {Showing.TURNS_OUT: 0.35, Showing.SNATCHED: 0.2}.get(self.way, 0.0)
        return _within(self.share, begins, 1.0)

    @property
    def whips(self) -> float:
        """How far loose ends still swing, -1 to 1."""
        return sin(6.0 * pi * self.band) * (1.0 - self.band)

    @property
    def head_up_m(self) -> float:
        """How much higher than it is the head still stands, m."""
        if self.way is Showing.DROPS:
            return 0.10 * (1.0 - min(self.share / 0.7, 1.0) ** 2)
        return 0.05 * self._to_come if self.kind == "struck-under-head" else 0.0

    @property
    def jaw_off_m(self) -> float:
        """How much farther off than it is the near jaw of the cutting vise still stands, m."""
        if self.way is Showing.CRUSHES:
            return 0.022 * (1.0 - _within(self.share, 0.0, 0.5))
        return 0.05 * self._to_come if self.kind == "struck-cutting-jaws" else 0.0

    @property
    def shuttle_jaw_off_m(self) -> float:
        """The same of the shuttle vise, m."""
        return 0.05 * self._to_come if self.kind == "struck-shuttle-jaws" else 0.0

    @property
    def shuttle_by_m(self) -> float:
        """How far the shuttle still has to come back, m."""
        return 0.07 * self._to_come if self.kind == "struck-shuttle-path" else 0.0

    @property
    def hands_off(self) -> Spot:
        """How far hands still are from where they go in, m."""
        if not self.runs or self.kind not in ZONE_OF:
            return 0.0, 0.0, 0.0
        off = 1.0 - _within(self.share, 0.0, 0.5)
        x, y, z = _HAND_OFF_M
        return x * off, y * off, z * off

    @property
    def short_m(self) -> float:
        """How far from hands is still what comes at them, m: it never reaches them."""
        return _SHORT_M + 0.11 * self._to_come

    @property
    def _to_come(self) -> float:
        """What comes at hands begins when they are there, and stops one picture before it is."""
        return 1.0 - _within(self.share, 0.3, 1.0)

    # What flies -----------------------------------------------------------------------------

    def paint(
        self, surface: Surface, camera: Camera, paints: Paints, at: Spot, bar: Section
    ) -> None:
        """Paint what flies, falls, smokes or is pressed.

        Args:
            surface: To paint on, in places of the window.
            camera: Before which.
            paints: Colours.
            at: Where it happens, m.
            bar: What lies there.
        """
        if self.way is Showing.TEETH:
            self._teeth(surface, camera, paints, at)
        elif self.way is Showing.KNOCKED:
            self._knocked(surface, camera, paints, at)
        elif self.way is Showing.SMOKES:
            self._smoke(surface, camera, at)
        elif self.way is Showing.ARCS:
            self._arc(surface, camera, at)
        elif self.way is Showing.CRUSHES:
            self._pressed(surface, camera, bar)
        elif self.way is Showing.HAND:
            self._coming(surface, camera, at, _COMES_FROM[ZONE_OF[self.kind]])
        elif self.way is Showing.BENDS:
            over = (-0.04, -0.5 * bar.width_m, bar.height_m)
            self._coming(surface, camera, over, (-1.0, 0.0, 0.0))

    def _flown(self, at: Spot, number: int, fast: float) -> tuple[Spot, float]:
        """Return where a thing is that flew off, and how far it has turned about itself."""
        time_s = _within(self.share, 0.0, 1.6) * 2 * _SHOWS_S
        around = number * _TURN
        x, y, z = at
        vx = fast * (0.9 + 0.5 * sin(around))
        vy = fast * (-0.75 + 0.55 * cos(1.7 * around))
        vz = fast * (0.8 + 0.5 * cos(around))
        way = (
            x + vx * time_s, y + vy * time_s, z + vz * time_s - _G / 2 * time_s * time_s,
        )  # fmt: skip
        return way, around + 18.0 * time_s

    def _splinter(
        self, surface: Surface, middle: Place, turn: float, far: float, colour: Colour
    ) -> None:
        x, y = middle
        corners = [
            (x + far * cos(turn + step), y + far * sin(turn + step)) for step in (0.0, 2.3, 3.6)
        ]
        pygame.draw.polygon(surface, colour, corners)
        pygame.draw.aalines(surface, _INK, True, corners)

    def _teeth(self, surface: Surface, camera: Camera, paints: Paints, at: Spot) -> None:
        far = max(0.009 * camera.px_per_m, 4.0)
        for number in range(_TEETH):
            begun = 0.35 * number / _TEETH  # one after the other
            if self.share <= begun:
                continue
            x, y, z = at
            start = (x, y - 0.012 * (number % 6), z)
            spot, turn = self._flown(start, number, 1.15)
            tail, _ = self._flown(start, number, 1.0)
            pygame.draw.aaline(surface, RED, camera.at(*tail), camera.at(*spot))
            self._splinter(surface, camera.at(*spot), turn, far, dimmed(paints.band, 1.1))

    def _knocked(self, surface: Surface, camera: Camera, paints: Paints, at: Spot) -> None:
        x, y = camera.at(*at)
        for wave in range(3):
            grown = self.share * 1.5 - 0.25 * wave
            if 0.0 < grown < 1.0:
                far = (0.03 + 0.13 * grown) * camera.px_per_m
                wide = max(round(5 * (1.0 - grown)), 1)
                pygame.draw.circle(surface, _PALE, (x, y), far + wide, wide)
                pygame.draw.circle(surface, RED, (x, y), far, wide + 1)
        far = max(0.007 * camera.px_per_m, 3.0)
        for number in range(7):
            spot, turn = self._flown(at, number, 0.8)
            self._splinter(surface, camera.at(*spot), turn, far, paints.guide)

    def _smoke(self, surface: Surface, camera: Camera, at: Spot) -> None:
        x, y = camera.at(*at)
        for puff in range(9):
            age = (self.share * 2.2 - puff / 9) % 1.0
            if self.share * 2.2 < puff / 9:
                continue
            far = (0.008 + 0.03 * age) * camera.px_per_m
            veil = Surface((2 * far + 2, 2 * far + 2), SRCALPHA)
            solid = round(150 * (1.0 - age))
            pygame.draw.circle(veil, (*_SMOKE, solid), (far + 1, far + 1), far)
            aside = 0.02 * sin(puff * _TURN + 3 * age) * camera.px_per_m
            surface.blit(veil, (x + aside - far, y - 0.16 * age * camera.px_per_m - far))

    def _arc(self, surface: Surface, camera: Camera, at: Spot) -> None:
        x, y = camera.at(*at)
        step = round(self.share * _STEPS)
        long = 0.10 * camera.px_per_m
        for ray in range(5):
            if (step + ray) % 3 == 2:  # it flickers
                continue
            turn, places = ray * 2 * pi / 5 + 0.3 * step, [(x, y)]
            for joint in range(1, 5):
                kink = turn + 0.7 * sin(joint * _TURN + step)
                far = long * joint / 4
                places.append((x + far * cos(kink), y + far * sin(kink)))
            pygame.draw.lines(surface, RED, False, places, 4)
            pygame.draw.lines(surface, _ARC, False, places, 2)

    def _coming(self, surface: Surface, camera: Camera, at: Spot, from_: Spot) -> None:
        """Paint from where it comes; what would have struck hands stops before it touches them."""
        x, y, z = from_
        off = self.short_m

        def along(far: float) -> Place:
            return camera.at(at[0] + x * far, at[1] + y * far, at[2] + z * far + 0.03)

        tip, root = along(off), along(off + 0.10)
        dx, dy = root[0] - tip[0], root[1] - tip[1]
        long = max((dx * dx + dy * dy) ** 0.5, 1.0)
        ux, uy = dx / long, dy / long
        far = 0.10 * camera.px_per_m
        shape = (
            (0.0, 0.0),
            (0.4, 0.3),
            (0.4, 0.12),
            (1.0, 0.12),
            (1.0, -0.12),
            (0.4, -0.12),
            (0.4, -0.3),
        )
        places = [
            (tip[0] + far * (ux * a - uy * b), tip[1] + far * (uy * a + ux * b)) for a, b in shape
        ]
        pygame.draw.polygon(surface, RED, places)
        pygame.draw.lines(surface, _PALE, True, places, 2)

    def _pressed(self, surface: Surface, camera: Camera, bar: Section) -> None:
        """Paint what presses, from both sides: the arrows come on as the jaw does."""
        middle, high = -0.5 * bar.width_m, bar.height_m * 0.5
        off = 0.10 - 0.06 * _within(self.share, 0.0, 0.6)
        for side in (-1.0, 1.0):
            tip = middle + side * (0.5 * bar.width_m + off - 0.03)
            root, neck = tip + side * 0.09, tip + side * 0.035
            spots = (
                (tip, 0.0), (neck, 0.028), (neck, 0.011), (root, 0.011), (root, -0.011),
                (neck, -0.011), (neck, -0.028),
            )  # fmt: skip
            places = [camera.at(-0.06, y, high + 0.01 + up) for y, up in spots]
            pygame.draw.polygon(surface, RED, places)
            pygame.draw.lines(surface, _PALE, True, places, 2)

    def put_hanging(self, board: Hung, camera: Camera, paints: Paints, bar: Section) -> None:
        """Put the bar that hung over the infeed, as far as it has fallen; at its end it is over the hands."""
        if self._hangs is None or self._hangs[0] != bar:
            stick = Stick(
                bar, square_end(bar.width_m).moved(-0.14), square_end(bar.width_m).moved(-0.95)
            )
            self._hangs = bar, stick.sprite(camera, paints, paints.bar)
        share = self.share
        up_m = _HANGS_M - (_HANGS_M - 0.105) * _within(share, 0.35, 1.0) ** 2
        by = camera.along(0.0, -0.04, up_m)
        for x in (-0.32, -0.76) if self.kind not in _CARRIED else ():
            for y in (-bar.width_m, 0.0):
                low = camera.at(x, y - 0.04, up_m + bar.height_m / 2)
                high = camera.at(x, -bar.width_m / 2 - 0.04, up_m + 0.5)
                slack = 1.0 - 0.6 * _within(share, 0.35, 0.6)  # of the one that slips
                if x == -0.32:
                    high = (
                        low[0] + (high[0] - low[0]) * slack,
                        low[1] + (high[1] - low[1]) * slack,
                    )
                board.lines(paints.rod, [low, high], 3)
        self._hangs[1].put(board, by)
