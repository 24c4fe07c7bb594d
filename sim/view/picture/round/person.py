"""The person at the saw, as far as he is seen: hands at rest on the console, or where they reach in.

His zone is tinted; it is hatched and ringed in red where nothing protects the hands. Never gore.
"""

from collections.abc import Callable, Iterator
from functools import partial
from math import cos, pi, sin
from typing import Final

import pygame
from pygame import SRCALPHA, Rect, Surface

from sim.session.hands.zones import Zone
from sim.session.session import Session
from sim.view.kit.palette import RED, SKY, Colour
from sim.view.picture.mannequin import hand_face
from sim.view.picture.round.camera import Camera, Spot
from sim.view.picture.round.colours import Paints
from sim.view.picture.round.frame import CABINET_X, PALMS, SUPPLY_Y, TANK_X
from sim.view.picture.round.reel import Reel
from sim.view.picture.round.shading import Painter, dimmed
from sim.view.picture.round.sizes import FLOOR_Z
from sim.view.picture.round.thing import Thing
from sim.view.picture.round.wrecked import ring_mark
from sim.view.picture.wreck import fatal
from sim.view.play.happening import ZONE_OF
from sim.view.play.on_copy import is_copy

# Where hands are, and the corners of the zone that is tinted, m.
ZONES: Final[dict[Zone, tuple[Spot, float]]] = {
    Zone.BAND: ((0.02, -0.03, 0.07), 0.10), Zone.WHEELS: ((0.02, -0.40, 0.13), 0.14),
    Zone.CUTTING_JAWS: ((-0.06, -0.05, 0.06), 0.09), Zone.SHUTTLE_JAWS: ((-0.19, -0.05, 0.06), 0.09),
    Zone.SHUTTLE_PATH: ((-0.42, -0.10, 0.03), 0.16), Zone.UNDER_HEAD: ((0.02, -0.14, 0.02), 0.12),
    Zone.SWING: ((0.02, 0.34, 0.06), 0.14), Zone.OUTFEED: ((0.16, -0.06, 0.02), 0.12),
    Zone.CABINET: ((CABINET_X, SUPPLY_Y[0], -0.15), 0.09), Zone.FLOOR: ((-0.70, -0.60, FLOOR_Z), 0.16),
}  # fmt: skip
MARKS: Final[dict[str, Spot]] = {
    "supply": (CABINET_X, SUPPLY_Y[0], -0.12), "band": (0.01, -0.03, 0.06), "cutting_vise": (-0.06, -0.05, 0.04),
    "shuttle_vise": (-0.19, -0.05, 0.04), "shuttle": (-0.02, -0.03, 0.04), "head": (0.01, -0.06, 0.06),
    "coolant": (TANK_X, SUPPLY_Y[0], -0.2),
}  # fmt: skip
_GREY: Final = (104, 106, 110)  # of a sleeve, where all but the hands is grey
_MIDDLE: Final = (0.0, -0.03, 0.05)
_BEFORE_M: Final = (0.0, -0.035, 0.02)
"""How far from where they would be struck hands are shown."""
_MARK_M: Final = 0.115  # of the ring round what went wrong, which is seen inside it
_CIRCLE: Final = tuple((cos(step * pi / 18), sin(step * pi / 18)) for step in range(36))


class PersonShown:
    """The person at one saw."""

    def __init__(self, session: Session, paints: Paints, camera: Camera, reel: Reel) -> None:
        self._session, self._paints = session, paints
        self._camera, self._reel = camera, reel

    def things(self) -> Iterator[Thing]:
        """Yield hands, and the mark of what went wrong."""
        session = self._session
        zone, bare = hand_face(session)
        if is_copy(session):  # hands are drawn over it, in dashes
            pass
        elif zone:
            yield from self._hands(Zone(zone), bare=bare)
        elif session.under_way is None:
            yield from self._at_console()
        ended = fatal(session)
        if ended is not None and not self._reel.runs:
            hand = ZONE_OF.get(ended.kind)
            spot = ZONES[hand][0] if hand in ZONES else MARKS.get(ended.row.place, _MIDDLE)
            yield Thing(
                ("mark", spot),
                partial(_round_spot, spot, 0.17),
                lambda painter: ring_mark(painter, spot, _MARK_M),
            )

    def _at_console(self) -> Iterator[Thing]:
        """Yield the person's hands, at rest on the console beside the palm keys."""
        for number, (x, y, z) in enumerate(PALMS):
            side = -1 if number == 0 else 1
            wrist = (x + 0.012 * side, y - 0.05, z - 0.012)
            spot = (x, y - 0.01, z + 0.014)
            key = ("rest", number)
            elbow = (x, y - 0.28, z - 0.10)
            yield Thing(key, partial(_both, spot, elbow), self._arm(spot, wrist, side))

    def _hands(self, zone: Zone, *, bare: bool) -> Iterator[Thing]:
        """Yield hands where they are, their zone tinted; hatched where something there can strike them."""
        spot, wide = ZONES[zone]
        ended = fatal(self._session) is not None
        x, y, z = spot

        def tint(painter: Painter) -> None:
            _tint(painter, [(x + wide * c, y + wide * 0.8 * s, z) for c, s in _CIRCLE], bare=bare)

        yield Thing(("zone", zone, bare), partial(_round_spot, spot, wide), tint)
        for side in (-1, 1):
            palm = (x + 0.045 * side, y - 0.01, z + 0.012)
            wrist = (x + 0.068 * side, y - 0.058, z + 0.02)
            elbow = (x + 0.2 * side, y - 0.3, z + 0.06)
            arm = self._arm(palm, wrist, side, grey=ended)
            by = self._camera.along(*self._off(ended))
            yield Thing(("hand", zone, side, ended), partial(_both, palm, elbow), arm, by)

    def _off(self, ended: bool) -> Spot:
        """Return how far hands are from where they would be struck: nothing touches them."""
        x, y, z = self._reel.hands_off
        before = _BEFORE_M if ended else (0.0, 0.0, 0.0)
        return x + before[0], y + before[1], z + before[2]

    def _arm(
        self, palm: Spot, wrist: Spot, side: int, *, grey: bool = False
    ) -> Callable[[Painter], None]:
        """Return what paints a forearm in its sleeve and the hand at its end."""
        paints = self._paints

        def paint(painter: Painter) -> None:
            out = 0.03 if wrist[2] < 0.0 else 0.11  # arms that reach in come from both sides
            elbow = (wrist[0] + out * side, wrist[1] - 0.22, wrist[2] - 0.06 + out * 0.4)
            _sleeve(painter, wrist, elbow, _GREY if grey else paints.sleeve)
            _limb(painter, palm, wrist, (0.020, 0.017), paints.skin)
            for finger in range(4):
                spread = (finger - 1.5) * 0.011
                long = 0.040 - 0.006 * abs(finger - 1.3)
                root = (palm[0] + spread, palm[1] + 0.014, palm[2] + 0.004)
                tip = (palm[0] + spread * 1.35, palm[1] + 0.014 + long, palm[2] - 0.004)
                _limb(painter, tip, root, (0.0055, 0.0062), paints.skin)
            thumb = (palm[0] - 0.024 * side, palm[1] + 0.018, palm[2] - 0.002)
            _limb(
                painter,
                thumb,
                (palm[0] - 0.010 * side, palm[1] - 0.008, palm[2]),
                (0.006, 0.008),
                paints.skin,
            )

        return paint


def _tint(painter: Painter, spots: list[Spot], *, bare: bool) -> None:
    """Tint a zone, and hatch it where something in it can strike."""
    colour = RED if bare else SKY
    ring = painter.places(spots)
    size = painter.surface.get_size()
    veil = Surface(size, SRCALPHA)
    pygame.draw.polygon(veil, (*colour, 46), ring)
    if bare:
        left, top = (min(place[axis] for place in ring) for axis in (0, 1))
        right, bottom = (max(place[axis] for place in ring) for axis in (0, 1))
        area = Rect(round(left), round(top), round(right - left), round(bottom - top))
        hatch = Surface(size, SRCALPHA)
        for start in range(area.left - area.height, area.right, 9 * painter.fine):
            ends = (start, area.bottom), (start + area.height, area.top)
            pygame.draw.line(hatch, (*colour, 150), *ends, painter.fine)
        mask = Surface(size, SRCALPHA)
        pygame.draw.polygon(mask, (255, 255, 255, 255), ring)
        hatch.blit(mask, (0, 0), special_flags=pygame.BLEND_RGBA_MULT)
        veil.blit(hatch, (0, 0))
    painter.surface.blit(veil, (0, 0))
    painter.line(ring, colour, closed=True, wide=2)


def _both(palm: Spot, elbow: Spot) -> tuple[Spot, ...]:
    return (*_round_spot(palm, 0.07), *_round_spot(elbow, 0.08))


def _round_spot(spot: Spot, far: float) -> tuple[Spot, ...]:
    """Return corners of the room round a spot."""
    x, y, z = spot
    return tuple(
        (x + far * i, y + far * j, z + far * k) for i in (-1, 1) for j in (-1, 1) for k in (-1, 1)
    )


_SHADES: Final = ((0.58, 0.0), (1.0, 0.22))  # of a limb: its lower side, then its upper


def _sleeve(painter: Painter, wrist: Spot, elbow: Spot, colour: Colour) -> None:
    """Paint a forearm in its sleeve; it fades out towards whom it belongs to."""
    steps = 14

    def at(share: float) -> Spot:
        (x0, y0, z0), (x1, y1, z1) = wrist, elbow
        return x0 + (x1 - x0) * share, y0 + (y1 - y0) * share, z0 + (z1 - z0) * share

    for bright, shift in _SHADES:
        for step in range(steps, 0, -1):
            near, far = (step - 1) / steps, step / steps
            solid = min(255, round(255 * 1.8 * (1.0 - near)))
            radii = (0.022 + 0.014 * near, 0.022 + 0.014 * far)
            _stroke(painter, (at(near), at(far)), radii, (*dimmed(colour, bright), solid), shift)


def _limb(
    painter: Painter, one: Spot, other: Spot, radii: tuple[float, float], colour: Colour
) -> None:
    """Paint a limb: two discs and what lies between them, its lower side in shade."""
    for bright, shift in _SHADES:
        _stroke(painter, (one, other), radii, (*dimmed(colour, bright), 255), shift)


def _stroke(
    painter: Painter, ends: tuple[Spot, Spot], radii: tuple[float, float],
    shade: tuple[int, int, int, int], shift: float,
) -> None:  # fmt: skip
    (x0, y0), (x1, y1) = painter.at(ends[0]), painter.at(ends[1])
    r0, r1 = painter.long(radii[0]), painter.long(radii[1])
    dx, dy = x1 - x0, y1 - y0
    long = max((dx * dx + dy * dy) ** 0.5, 1e-9)
    nx, ny = -dy / long, dx / long
    up = -shift * min(r0, r1)
    s0, s1 = r0 * (1 - shift * 0.5), r1 * (1 - shift * 0.5)
    body = [
        (x0 + nx * s0, y0 + ny * s0 + up), (x1 + nx * s1, y1 + ny * s1 + up),
        (x1 - nx * s1, y1 - ny * s1 + up), (x0 - nx * s0, y0 - ny * s0 + up),
    ]  # fmt: skip
    pygame.draw.polygon(painter.surface, shade, body)
    pygame.draw.circle(painter.surface, shade, (x0, y0 + up), s0)
    pygame.draw.circle(painter.surface, shade, (x1, y1 + up), s1)
