"""The head in the round: wheels with the band round both, beam, guides, guard, cover, motor.

It hangs on its pivot, so each height is another tilt; its faces are found once, and only put elsewhere.
Its own axes: x along the bar, y along the band with the pivot at 0, z square to both.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import atan2, cos, pi, sin
from typing import Final

import pygame
from pygame import SRCALPHA, Rect, Surface

from sim.plant.blade import STRIPPED, Blade
from sim.plant.guide import CLOSED, OPEN
from sim.session.session import Session
from sim.view.kit.palette import RED, YELLOW, Colour, mix
from sim.view.picture.drawn import plant_after, plant_of, shown_load
from sim.view.picture.round.camera import Camera, Place, Spot
from sim.view.picture.round.colours import Paints
from sim.view.picture.round.on_head import (
    FEED_TOP,
    FEED_X,
    FEED_Y,
    Sketch,
    brush_face,
    brush_spots,
    feed_area,
    nozzle_tip,
    paint_brush,
    paint_feed,
    paint_nozzle,
)
from sim.view.picture.round.ordering import back_to_front
from sim.view.picture.round.reel import Reel
from sim.view.picture.round.shading import dimmed, tone, turned_to_us
from sim.view.picture.round.sizes import PIVOT_Y, Sizes
from sim.view.picture.round.solids import Solid, box, cylinder
from sim.view.picture.round.travel import Travel
from sim.view.picture.round.work import swung
from sim.view.picture.wreck import BENT, PARTED, fatal
from sim.view.play.happening import Showing, kinds_by

STRAND_X: Final = (0.0, 0.004)
_RIM_X: Final = (-0.018, 0.012)
_GUIDE_WIDE_M: Final = 0.026
NEAR_PARTS: Final = ("near_wheel", "cover", "guard", "beam")
_SHADES: Final = 8  # of load
_LOADED: Final = (244, 200, 60)
_FINE_UP_TO: Final = 1000.0  # px a metre, from which edges smoothed by the pen are clean enough
_FRINGE: Final = (84, 98, 112)
_DASH_M: Final = 0.022
_BOW_M: Final = 0.07
_OFF: Final = kinds_by(Showing.FLIES_OFF)
_WHIP_M: Final = 0.13  # of loose ends, that they reach
_OFF_M: Final = 0.15  # of a band that came off its wheels, at its middle
_SLOWED: Final = 0.12  # of the band's speed, that the eye can follow
_MARKS: Final = 6  # on a wheel
_STEPS: Final = 4  # of wear, and of chips in the gullets
_SHINE: Final = (255, 255, 250)
_DIRT: Final = (98, 82, 58)
_BRIGHT_TO: Final = 0.5  # of a band's life, after which its edges shine no more
_TIP: Final = 0.8  # of the pitch, over which a tooth rises to its tip
_FADES: Final = 4
FADE_M: Final = (0.06, 0.10)  # over the bar, between which wheel and beam fade to an outline


def tilt_rad(sizes: Sizes, session: Session) -> float:
    """Return the angle of the head: its teeth are at their height over the middle of the bar."""
    return atan2(session.saw.plant.head.place.position, PIVOT_Y + sizes.width_m / 2)


def load_paint(pale: Colour, share: float) -> Colour:
    """Return the colour of the band: pale unloaded, yellow at the motor's power, red beyond."""
    share = round(min(share, 2.0) * _SHADES) / _SHADES
    return mix(pale, _LOADED, share) if share <= 1.0 else mix(_LOADED, RED, share - 1.0)


def teeth_face(session: Session) -> tuple[bool, float, float]:
    """Return how the teeth are drawn: whether some are gone, how worn, and how full of chips their gullets are.

    Wear goes in quarters of a band's life, chips in quarters of the gullets; more than that no eye tells.
    """
    blade: Blade = plant_after(session, "band-teeth").blade
    packed = plant_after(session, "gullets").blade.packed
    worn = round(min(blade.wear, 1.0) * _STEPS) / _STEPS
    return blade.condition.name == STRIPPED, worn, round(packed * _STEPS) / _STEPS


def fade_of(sizes: Sizes, session: Session) -> int:
    """Return how far what hides the cut has faded, 0 to 4: all but an outline when the band is near the bar."""
    bar = session.saw.plant.bar
    if not bar.under_band:
        return 0
    over_m = session.saw.plant.head.place.position - sizes.height_m
    share = (FADE_M[1] - over_m) / (FADE_M[1] - FADE_M[0])
    return round(min(max(share, 0.0), 1.0) * _FADES)


def head_solids(
    sizes: Sizes, paints: Paints, span_m: float, guarded: bool, covered: bool
) -> list[Solid]:
    """Return its solids in its own axes, without the band's free strand."""
    r, machine = sizes.wheel_r_m, sizes.machine
    near, far = sizes.near_wheel_y - PIVOT_Y, sizes.far_wheel_y - PIVOT_Y
    found = [
        box((-0.06, 0.05), (-0.10, 0.035), (-0.02, 0.07), paints.head, "pivot"),
        box((-0.052, -0.020), (near, far), (1.18 * r, 1.72 * r), paints.head, "beam"),
        box(
            (0.05, FEED_X + 0.015),
            (-0.185, -0.06),
            (FEED_TOP, FEED_TOP + 0.016),
            paints.head,
            "feed",
        ),
        cylinder(0, (far - 0.01, r), 0.55 * r, (-0.17, -0.055), paints.dark, "motor", 20),
        *_wheel(far, r, paints, "far_wheel", covered=covered),
        *_wheel(near, r, paints, "near_wheel", covered=covered),
        box((-0.017, 0.011), (near, far), (2 * r - 0.003, 2 * r), paints.band, "band"),
    ]
    fixed = machine.fixed_guide_m - PIVOT_Y
    arm = fixed - span_m
    for y, part in ((fixed, "guides"), (arm - _GUIDE_WIDE_M, "guides")):
        found.append(
            box((-0.044, -0.006), (y, y + _GUIDE_WIDE_M), (-0.002, 1.24 * r), paints.guide, part)
        )
        found.append(
            box((0.006, 0.016), (y, y + _GUIDE_WIDE_M), (0.012, 0.065), paints.guide, part)
        )
    low, high = (-0.010, 0.046) if guarded else (0.058, 0.114)
    room = arm - _GUIDE_WIDE_M
    if room - (near + 0.6 * r) > 0.01:
        found.append(
            box((-0.008, 0.013), (near + 0.6 * r, room), (low, high), paints.wheel, "guard")
        )
    return found


def _wheel(y: float, r: float, paints: Paints, part: str, *, covered: bool) -> Iterator[Solid]:
    yield cylinder(0, (y, r), 1.10 * r, (-0.056, -0.020), paints.head, part)
    yield cylinder(0, (y, r), r, _RIM_X, paints.band, part)
    if covered:
        yield cylinder(
            0,
            (y, r),
            0.88 * r,
            (_RIM_X[1], 0.022),
            paints.head,
            "cover" if part == "near_wheel" else part,
        )
        yield cylinder(0, (y, r), 0.30 * r, (0.022, 0.030), paints.wheel, part, 18)
    else:
        yield cylinder(0, (y, r), 0.88 * r, (_RIM_X[1], 0.014), paints.wheel, part)
        yield cylinder(0, (y, r), 0.22 * r, (0.014, 0.030), paints.guide, part, 18)


@dataclass(frozen=True, slots=True)
class _Painted:
    corners: tuple[int, ...]
    colour: Colour
    edge: Colour
    near: bool  # of what may fade


class HeadShown:
    """The head of one machine before one camera.

    Args:
        camera: Before which.
        sizes: Of machine and bar.
        paints: Colours.
        session: Whose head.
        reel: What is shown of a harm.
    """

    def __init__(
        self, camera: Camera, sizes: Sizes, paints: Paints, session: Session, reel: Reel
    ) -> None:
        self._camera, self._sizes, self._paints, self._session = camera, sizes, paints, session
        self._reel = reel
        self._travel = Travel(session, _SLOWED)
        self._made: tuple[float, bool, bool] | None = None
        self._points: list[Spot] = []
        self._faces: list[_Painted] = []
        self._hulls: list[tuple[str, tuple[int, ...]]] = []
        self._fine = 2 if camera.px_per_m < _FINE_UP_TO else 1

    @property
    def _shape(self) -> tuple[float, bool, bool]:
        session = self._session
        guide = plant_of(session, "band.guide_span_mm").band.guide
        truth = session.saw.plant.band.guide  # a guard that stands open is in sight
        return guide.span_m, truth.guard != OPEN, truth.cover == CLOSED

    def face(self) -> tuple[object, ...]:
        """What its picture hangs on, besides what runs."""
        session = self._session
        tilt = tilt_rad(self._sizes, session)
        reach = self._camera.px_per_m * (PIVOT_Y - self._sizes.near_wheel_y)
        ended = fatal(session)
        return (
            round(tilt * reach), self._mitre, fade_of(self._sizes, session), self._shape,
            round(min(shown_load(session), 2.0) * _SHADES), ended.kind if ended is not None else "",
            teeth_face(session), brush_face(session), self._reel.head_face,
        )  # fmt: skip

    @property
    def _mitre(self) -> float:
        return plant_of(self._session, "head.mitre_deg").swivel.mitre_rad

    def _make(self) -> None:
        shape = self._shape
        if shape == self._made:
            return
        self._made = shape
        span_m, guarded, covered = shape
        solids = back_to_front(
            head_solids(self._sizes, self._paints, span_m, guarded, covered), self._camera
        )
        self._points, self._faces, self._hulls = [], [], []
        for solid in solids:
            first = len(self._points)
            self._points += solid.points
            self._hulls.append((solid.part, tuple(range(first, len(self._points)))))
            open_lid = not covered and solid.part in ("near_wheel", "far_wheel")
            raised = not guarded and solid.part == "guard"
            for face in solid.faces:
                corners = tuple(first + corner for corner in face.corners)
                spots = [solid.points[corner] for corner in face.corners[:3]]
                colour = tone(self._camera, spots, solid.colour, soft=face.soft)
                edge = colour if face.soft else dimmed(colour, 0.62)
                if (open_lid or raised) and not face.soft:
                    edge = YELLOW
                self._faces.append(_Painted(corners, colour, edge, solid.part in NEAR_PARTS))

    # Where it is --------------------------------------------------------------------------

    def stand(self) -> None:
        """Put it where it stands now, to the px."""
        self._make()
        camera, sizes = self._camera, self._sizes
        reach = camera.px_per_m * (PIVOT_Y - sizes.near_wheel_y)
        up_rad = atan2(self._reel.head_up_m, PIVOT_Y + sizes.width_m / 2)
        tilt = round((tilt_rad(sizes, self._session) + up_rad) * reach) / reach
        mitre = self._mitre
        c, s, cm, sm = cos(tilt), sin(tilt), cos(mitre), sin(mitre)
        self._x = camera.along(cm, sm, 0.0)
        self._y = camera.along(-c * sm, c * cm, -s)
        self._z = camera.along(-s * sm, s * cm, c)
        self._o = camera.at(-PIVOT_Y * sm, PIVOT_Y * cm, 0.0)

    def at(self, x: float, y: float, z: float) -> Place:
        """Return the place on the screen of a place on the head, in its own axes from its pivot."""
        (ax, ay), (bx, by), (cx, cy), (ox, oy) = self._x, self._y, self._z, self._o
        return ox + x * ax + y * bx + z * cx, oy + x * ay + y * by + z * cy

    def sprite(self) -> tuple[Surface, tuple[int, int]]:
        """Return its picture as it stands, clear around it, and where its corner is."""
        self.stand()
        places = [self.at(*point) for point in self._points]
        around = [*places, *feed_area(self._camera, self._mitre, self._feed_top())]
        xs, ys = [place[0] for place in around], [place[1] for place in around]
        area = Rect(int(min(xs)) - 3, int(min(ys)) - 3, 0, 0)
        area.width, area.height = int(max(xs)) - area.left + 5, int(max(ys)) - area.top + 5
        area = area.clip(self._camera.area)
        if min(area.size) <= 0:
            return Surface((1, 1), SRCALPHA), area.topleft
        fine = self._fine
        surface = Surface((area.width * fine, area.height * fine), SRCALPHA)
        surface.fill((*_FRINGE, 0))  # what smoothed edges are mixed with
        left, top = area.topleft
        moved = [((x - left) * fine, (y - top) * fine) for x, y in places]
        fade = fade_of(self._sizes, self._session)
        before = self._camera.near[0] > 0.0  # the cylinder stands before the head
        if not before:
            self._feed(surface, (left, top))
        self._paint_faces(
            surface, [face for face in self._faces if not (fade and face.near)], moved
        )
        if before:
            self._feed(surface, (left, top))
        self._strand(surface, (left, top))
        self._fittings(surface, (left, top))
        if fade:
            self._faded(surface, moved, fade)
        if fine > 1:
            surface = pygame.transform.smoothscale(surface, area.size)
        return surface, area.topleft

    def _paint_faces(
        self, surface: Surface, faces: Sequence[_Painted], places: Sequence[Place]
    ) -> None:
        for face in faces:
            corners = [places[corner] for corner in face.corners]
            if turned_to_us(corners):
                pygame.draw.polygon(surface, face.colour, corners)
                if self._fine == 1 or face.edge != face.colour:
                    self._line(surface, face.edge, corners)

    def _line(self, surface: Surface, colour: Colour, places: Sequence[Place]) -> None:
        """Draw a closed line as wide as a px of the screen."""
        if self._fine == 1:
            pygame.draw.aalines(surface, colour, True, places)
        else:
            pygame.draw.lines(surface, colour, True, places, self._fine)

    def _faded(self, surface: Surface, places: Sequence[Place], fade: int) -> None:
        """Paint what hides the cut so thin that the cut is seen through it, its outline as it is."""
        veil = Surface(surface.get_size(), SRCALPHA)
        veil.fill((*_FRINGE, 0))
        self._paint_faces(veil, [face for face in self._faces if face.near], places)
        thin = 255 - round(255 * 0.84 * fade / _FADES)
        outline = pygame.mask.from_surface(veil, 80).outline(2)
        veil.fill((255, 255, 255, thin), special_flags=pygame.BLEND_RGBA_MULT)
        surface.blit(veil, (0, 0))
        if len(outline) > 2:
            self._line(surface, mix(self._paints.head, (255, 255, 255), 0.25), outline)

    def band_colour(self) -> Colour:
        """Return the colour of the band."""
        return load_paint(self._paints.band, shown_load(self._session))

    def _strand(self, surface: Surface, corner: tuple[int, int]) -> None:
        """Paint the free strand: it leaves a wheel flat and is turned on edge by the guides."""
        on = self._sketch(surface, corner).on
        sizes, machine = self._sizes, self._sizes.machine
        colour = self.band_colour()
        wide = machine.band_width_m
        near, far = sizes.near_wheel_y - PIVOT_Y, sizes.far_wheel_y - PIVOT_Y
        fixed = machine.fixed_guide_m - PIVOT_Y
        arm = fixed - self._shape[0]
        ended = fatal(self._session)
        shows = self._reel.kind if self._reel.runs else ""  # of a run that goes on only so long
        kind = ended.kind if ended is not None else shows
        moved = self._reel.band > 0.0
        if kind in _OFF and moved:
            self._off_wheels(surface, on, (near, far), colour)
            return
        for wheel, guide in ((near, arm), (far, fixed)):
            twist = [
                on(_RIM_X[0], wheel, 0.0),
                on(_RIM_X[1], wheel, 0.0),
                on(STRAND_X[1], guide, 0.0),
                on(STRAND_X[1], guide, wide),
            ]
            pygame.draw.polygon(surface, dimmed(colour, 0.72), twist)
            self._line(surface, dimmed(colour, 0.5), twist)
        if kind in PARTED and moved:
            self._parted(surface, on, (arm, fixed), colour)
            return
        if kind in BENT:
            self._bent(surface, on, (arm, fixed), colour)
            return
        flat = [
            on(STRAND_X[1], arm, 0.0),
            on(STRAND_X[1], fixed, 0.0),
            on(STRAND_X[1], fixed, wide),
            on(STRAND_X[1], arm, wide),
        ]
        if not turned_to_us(flat):
            colour = dimmed(colour, 0.8)
        pygame.draw.polygon(surface, dimmed(colour, 0.9), flat)
        back = [on(STRAND_X[0], arm, wide), on(STRAND_X[0], fixed, wide), flat[2], flat[3]]
        pygame.draw.polygon(surface, colour, back)
        self._line(surface, dimmed(colour, 0.55), flat)
        self._teeth(surface, on, (arm, fixed), colour)

    def _teeth(
        self,
        surface: Surface,
        on: Callable[[float, float, float], Place],
        span: tuple[float, float],
        colour: Colour,
    ) -> None:
        """Paint its teeth: bright and pointed when sharp, rounded and dirty when worn, none where they are gone."""
        stripped, worn, packed = teeth_face(self._session)
        pitch = max(0.0085, 5.5 / self._camera.px_per_m)
        high = 0.0075 - 0.0033 * worn
        body = mix(colour, _DIRT, 0.55 * worn)
        x, wide = STRAND_X[1], self._sizes.machine.band_width_m
        if worn:
            for stain in range(round(7 * worn)):
                y = span[0] + (span[1] - span[0]) * (stain + 0.4) / 7
                mark = [
                    on(x, y, 0.0),
                    on(x, y + 0.006, 0.0),
                    on(x, y + 0.007, wide * 0.55),
                    on(x, y + 0.003, wide * 0.75),
                ]
                pygame.draw.polygon(surface, mix(colour, _DIRT, 0.5), mark)
        y, tooth = span[0], 0
        while y + pitch < span[1]:
            if packed:
                gullet = [
                    on(x, y + _TIP * pitch * share, -high * 0.8 * packed) for share in (0.1, 1.0)
                ]
                gullet += [on(x, y + _TIP * pitch * share, 0.0) for share in (1.0, 0.1)]
                pygame.draw.polygon(surface, dimmed(_DIRT, 0.8), gullet)
            if not (stripped and tooth % 5):
                points = [on(x, y, 0.0), on(x, y + _TIP * pitch, 0.0), on(x, y, -high)]
                if worn:
                    points.insert(2, on(x, y + 0.4 * pitch * worn, -high))
                pygame.draw.polygon(surface, body, points)
                self._line(surface, dimmed(body, 0.7), points)
                if worn < _BRIGHT_TO:
                    self._line(surface, _SHINE, [points[0], points[-1]])
            y, tooth = y + pitch, tooth + 1

    def _sketch(self, surface: Surface, corner: tuple[int, int]) -> Sketch:
        left, top = corner
        fine = self._fine

        def on(x: float, y: float, z: float) -> Place:
            px, py = self.at(x, y, z)
            return (px - left) * fine, (py - top) * fine

        return Sketch(surface, on, self._camera.px_per_m * fine)

    def _feed(self, surface: Surface, corner: tuple[int, int]) -> None:
        """Paint the cylinder that lets it down."""
        left, top = corner
        fine, camera, mitre = self._fine, self._camera, self._mitre

        def moved(place: Place) -> Place:
            return (place[0] - left) * fine, (place[1] - top) * fine

        def fit(x: float, y: float, z: float) -> Place:
            return moved(camera.at(*swung(x, y, mitre), z))

        paint_feed(self._sketch(surface, corner), moved(self._feed_top()), self._paints, fit)

    def _fittings(self, surface: Surface, corner: tuple[int, int]) -> None:
        """Paint brush and nozzle."""
        sketch = self._sketch(surface, corner)
        fixed = self._sizes.machine.fixed_guide_m - PIVOT_Y
        paint_brush(sketch, fixed, brush_face(self._session))
        arm = fixed - self._shape[0]
        paint_nozzle(sketch, arm, 1.2 * self._sizes.wheel_r_m, self._paints)

    def _feed_top(self) -> Place:
        """Return where the feed cylinder holds the head."""
        return self.at(FEED_X, FEED_Y - PIVOT_Y, FEED_TOP)

    def tip(self) -> Spot:
        """Return where coolant leaves the nozzle, in the head's own axes."""
        return nozzle_tip(self._sizes.machine.fixed_guide_m - PIVOT_Y - self._shape[0])

    def _bent(
        self,
        surface: Surface,
        on: Callable[[float, float, float], Place],
        span: tuple[float, float],
        colour: Colour,
    ) -> None:
        """Paint a band that a bar was driven against: bowed towards the outfeed, out of its guides."""
        low, high = [], []
        far, swings = self._reel.band, self._reel.whips
        for step in range(13):
            share = step / 12
            bow = 1 - (2 * share - 1) ** 2
            wave = 0.3 * swings * sin(3 * pi * share)
            x = STRAND_X[1] + _BOW_M * (far * bow + wave)
            y = span[0] + (span[1] - span[0]) * share
            low.append(on(x, y, 0.0))
            high.append(on(x, y, 0.034))
        pygame.draw.polygon(surface, dimmed(colour, 0.9), [*low, *reversed(high)])
        self._line(surface, RED, [*low, *reversed(high)])

    def _off_wheels(
        self,
        surface: Surface,
        on: Callable[[float, float, float], Place],
        span: tuple[float, float],
        colour: Colour,
    ) -> None:
        """Paint the lower strand of a band that came off its wheels: it hangs before them in a slack bow."""
        far, swings = self._reel.band, self._reel.whips
        low, high = [], []
        for step in range(25):
            share = step / 24
            bow = 4 * share * (1 - share)
            out = _OFF_M * (far * (0.35 + 0.65 * bow) + 0.25 * swings * sin(4 * pi * share))
            x, z = _RIM_X[1] + out, -0.35 * out + 0.04 * far * (1 - bow)
            y = span[0] + (span[1] - span[0]) * share
            low.append(on(x, y, z))
            high.append(on(x + 0.010, y, z + 0.030))
        shape = [*low, *reversed(high)]
        pygame.draw.polygon(surface, dimmed(colour, 0.95), shape)
        self._line(surface, RED, shape)

    def _parted(
        self,
        surface: Surface,
        on: Callable[[float, float, float], Place],
        span: tuple[float, float],
        colour: Colour,
    ) -> None:
        """Paint the two ends of a band that has parted, sprung out of its guides and whipped up."""
        far, swings = self._reel.band, self._reel.whips
        half = (span[1] - span[0]) / 2
        for start, side in ((span[0], -1.0), (span[1], 1.0)):
            low, high = [], []
            for step in range(15):
                share = step / 14
                turn = 2.6 * share * far + 0.7 * swings * share
                x = STRAND_X[1] + _WHIP_M * sin(turn) * share
                y = start - side * (0.05 * sin(1.9 * share) * far + half * share * (1.0 - far))
                z = 0.6 * _WHIP_M * (1.0 - cos(turn)) * share - 0.035 * sin(pi * share) * far
                low.append(on(x, y, z))
                high.append(on(x - 0.006 * share, y, z + 0.030))
            shape = [*low, *reversed(high)]
            pygame.draw.polygon(surface, dimmed(colour, 0.92), shape)
            self._line(surface, dimmed(colour, 0.5), shape)
            torn = [low[-1], high[-1]]
            pygame.draw.lines(surface, RED, False, torn, max(2 * self._fine, 3))

    # What runs ----------------------------------------------------------------------------

    def runs(self) -> bool:
        """Whether the band turns."""
        return self._session.saw.plant.band.turning

    def paint_running(self, surface: Surface, hidden: Rect | None) -> None:
        """Paint what runs on it: marks on the strand and on the rims; `hidden` is where work lies before it."""
        session, sizes = self._session, self._sizes
        way_m = self._travel.way_m(_DASH_M)
        machine = sizes.machine
        wide = machine.band_width_m
        fixed = machine.fixed_guide_m - PIVOT_Y
        arm = fixed - self._shape[0]
        ink = dimmed(self.band_colour(), 0.55)
        x = STRAND_X[1]
        y = arm + way_m % _DASH_M
        while y < fixed - 0.006:
            start, end = self.at(x, y, wide * 0.62), self.at(x, y + 0.008, wide * 0.62)
            if hidden is None or not hidden.collidepoint(start):
                pygame.draw.line(surface, ink, start, end, 2)
            y += _DASH_M
        r = sizes.wheel_r_m
        angle = -way_m / r
        faded = fade_of(sizes, session)
        dark, hole = (
            dimmed(self._paints.wheel, 0.5),
            max(round(0.055 * r * self._camera.px_per_m), 2),
        )
        for wheel in (sizes.far_wheel_y, *(() if faded else (sizes.near_wheel_y,))):
            for mark in range(_MARKS):
                turn = angle + 2 * pi * mark / _MARKS
                middle = self.at(
                    0.024, wheel - PIVOT_Y + 0.60 * r * cos(turn), r + 0.60 * r * sin(turn)
                )
                spot = Rect(0, 0, round(hole * 1.5), hole * 2)
                spot.center = round(middle[0]), round(middle[1])
                pygame.draw.ellipse(surface, dark, spot)

    def strand_places(self) -> list[Place]:
        """Return the places of the free strand between the guides."""
        self.stand()
        fixed = self._sizes.machine.fixed_guide_m - PIVOT_Y
        arm, wide = fixed - self._shape[0], self._sizes.machine.band_width_m
        return [self.at(STRAND_X[1], y, z) for y in (arm, fixed) for z in (-0.004, wide)]

    def hulls(self) -> Iterator[tuple[str, list[Place]]]:
        """Yield its solids as parts with the places of their corners, from back to front."""
        self.stand()
        for part, corners in self._hulls:
            yield part, [self.at(*self._points[corner]) for corner in corners]
        fixed = self._sizes.machine.fixed_guide_m - PIVOT_Y
        yield "brush", [self.at(*spot) for spot in brush_spots(fixed)]
        yield "feed", feed_area(self._camera, self._mitre, self._feed_top())
        x, y, z = self.tip()
        yield (
            "nozzle",
            [self.at(x, y + dy, z + dz) for dy in (-0.03, 0.006) for dz in (-0.006, 0.06)],
        )
