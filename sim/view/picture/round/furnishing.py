"""What hangs on the saw and shows how it stands: prop, ring, hood, arm, chock, padlocks, glasses, lamps, hands.

Each is a sprite by its state, in two heaps: what lies behind the head, and what lies before it.
"""

from collections.abc import Callable, Hashable, Iterator
from math import cos, pi, sin
from typing import Final

import pygame

from sim.plant.head import PROP_IN
from sim.plant.height_stop import HOME
from sim.plant.hood import HOOD_OPEN, NO_HOOD
from sim.plant.lift import OPEN
from sim.plant.padlocks import AIR_COCK, ISOLATOR
from sim.plant.supports import ARM_UP, CHOCK_IN, DOWN
from sim.plant.swivel import IN_PLACE
from sim.session.session import Session
from sim.session.sights.controller_words import console_lit
from sim.session.sights.known import unread
from sim.view.kit.palette import ORANGE, Colour, mix
from sim.view.picture.drawn import plant_of
from sim.view.picture.round.camera import Camera, Place, Spot
from sim.view.picture.round.colours import Paints
from sim.view.picture.round.frame import (
    AIR_X,
    CABINET_X,
    DESK_X,
    DESK_Y,
    DESK_Z,
    OIL_X,
    SUPPLY_Y,
    TANK_X,
    mushroom,
    rope,
    stop_at,
    stop_spots,
)
from sim.view.picture.round.person import PersonShown
from sim.view.picture.round.reel import Reel
from sim.view.picture.round.shading import Board, Painter, dimmed
from sim.view.picture.round.sizes import FLOOR_Z, PIVOT_Y, ROD_Y, TABLE_Z, Sizes
from sim.view.picture.round.solids import Solid, box, cylinder
from sim.view.picture.round.spray import heap
from sim.view.picture.round.thing import Heap, Thing
from sim.view.picture.round.work import hull

HOOD_X: Final = -0.62
HOOD_Y: Final = (-0.40, 0.165)
HOOD_Z: Final = 0.18
_PROP_Y: Final = PIVOT_Y - 0.70
_RAIL_BACK_M: Final = 0.42
_CHOCK: Final = (222, 190, 70)
_BRASS: Final = (206, 168, 74)
_OWN: Final = (86, 150, 214)
_OTHER: Final = (196, 92, 176)
_LOOP: Final = tuple((cos(step * pi / 18), sin(step * pi / 18)) for step in range(36))
_FACE_Y: Final = SUPPLY_Y[0] - 0.002


class Furnishings:
    """Those of one saw before one camera."""

    def __init__(
        self, session: Session, camera: Camera, sizes: Sizes, paints: Paints, reel: Reel
    ) -> None:
        self._session, self._camera, self._sizes, self._paints = session, camera, sizes, paints
        self._heap = Heap(camera)
        self._person = PersonShown(session, paints, camera, reel)

    def behind_face(self) -> Hashable:
        """Return what the heap behind the head hangs on."""
        return tuple(thing.face for thing in self._behind())

    def before_face(self) -> Hashable:
        """Return what the heap before it hangs on."""
        return tuple(thing.face for thing in (*self._rail(), *self._person.things()))

    def paint_rail(self, board: Board) -> None:
        """Paint the back rail of the outfeed, which lies between head and bar."""
        self._heap.put(board, self._rail())

    def paint_behind(self, board: Board) -> None:
        """Paint what lies behind the head."""
        self._heap.put(board, self._behind())

    def paint_before(self, board: Board) -> None:
        """Paint what lies before it."""
        self._heap.put(board, self._person.things())

    def areas(self) -> Iterator[tuple[str, list[Place]]]:
        """Yield where its parts are seen."""
        for thing in (*self._behind(), *self._rail()):
            if thing.part:
                places = [self._camera.at(*spot) for spot in thing.spots()]
                yield thing.part, hull([(x + thing.by[0], y + thing.by[1]) for x, y in places])

        line = rope(pulled=not self._session.saw.bus.driven("S2"))
        yield "trip_line", hull([self._camera.at(*spot) for spot in line])

    def _solids(
        self, key: Hashable, part: str, make: Callable[[], list[Solid]], by: Place = (0.0, 0.0)
    ) -> Thing:
        def spots() -> list[Spot]:
            return [point for solid in make() for point in solid.points]

        return Thing(key, spots, lambda painter: painter.solids(make()), by, part)

    # Behind the head ----------------------------------------------------------------------

    def _behind(self) -> Iterator[Thing]:
        pile = heap(self._session)
        if pile is not None:
            yield pile
        yield from self._levels()
        yield from self._isolating()
        yield from self._screen()
        yield from self._stop()
        yield from self._old_band()
        yield from self._ring()
        yield from self._length_stop()
        yield from self._prop()
        yield from self._supports()
        yield from self._hood()

    def _levels(self) -> Iterator[Thing]:
        """Yield the sight glasses, as full as they are; none that nobody has read in a drill."""
        session, plant = self._session, self._session.saw.plant
        for name, x, top, level, colour in (
            ("supply.oil_percent", OIL_X, -0.14, plant.supply.oil_level, ORANGE),
            ("coolant.level_percent", TANK_X, -0.17, plant.coolant.level, self._paints.coolant),
        ):  # fmt: skip
            if unread(session, name):
                continue
            share = round(min(max(level, 0.0), 1.0), 2)
            yield self._glass(
                (name, share), x + 0.015, (FLOOR_Z + 0.02, top - 0.012), share, colour
            )

    def _glass(
        self, key: Hashable, x: float, z: tuple[float, float], share: float, colour: Colour
    ) -> Thing:
        low, high = z
        wide = 0.016
        corners = (
            (x, _FACE_Y, low),
            (x + wide, _FACE_Y, low),
            (x + wide, _FACE_Y, high),
            (x, _FACE_Y, high),
        )
        full = low + (high - low) * share
        inside = (
            (x, _FACE_Y, low),
            (x + wide, _FACE_Y, low),
            (x + wide, _FACE_Y, full),
            (x, _FACE_Y, full),
        )

        def paint(painter: Painter) -> None:
            pygame.draw.polygon(painter.surface, (12, 15, 18), painter.places(corners))
            if share > 0.0:
                pygame.draw.polygon(painter.surface, colour, painter.places(inside))
            painter.line(painter.places(corners), self._paints.rod, closed=True)

        return Thing(key, lambda: corners, paint)

    def _isolating(self) -> Iterator[Thing]:
        """Yield the isolator's handle and the cock, and the padlocks that hang on them."""
        session, plant = self._session, self._session.saw.plant
        on = session.saw.bus.driven("Q0")
        yield self._handle(("isolator", on), (CABINET_X, _FACE_Y, -0.105), 0.0 if on else pi / 2)
        open_cock = plant_of(session, "supply.air_cock").supply.cock == OPEN
        yield self._handle(
            ("cock", open_cock), (AIR_X, _FACE_Y, -0.155), pi / 2 if open_cock else 0.0
        )
        for device, spot in (
            (ISOLATOR, (CABINET_X, _FACE_Y, -0.125)),
            (AIR_COCK, (AIR_X, _FACE_Y, -0.172)),
        ):
            for number, owner in enumerate(plant.padlocks.owners(device)):
                x = spot[0] + 0.022 * (number - (len(plant.padlocks.owners(device)) - 1) / 2)
                yield self._padlock((device, number, owner), (x, spot[1], spot[2]), number)

    def _handle(self, key: Hashable, spot: Spot, turn: float) -> Thing:
        x, y, z = spot

        def field() -> list[Spot]:
            angles = [a * pi / 12 for a in range(24)]
            return [(x + 0.024 * cos(a), y, z + 0.024 * sin(a)) for a in angles]

        def paint(painter: Painter) -> None:
            ends = [(x + 0.022 * s * sin(turn), y, z + 0.022 * s * cos(turn)) for s in (-1, 1)]
            pygame.draw.polygon(painter.surface, (232, 204, 64), painter.places(field()))
            wide = max(round(painter.long(0.010) / painter.fine), 3)
            painter.line(painter.places(ends), (176, 28, 34), wide=wide)

        return Thing(key, field, paint)

    def _padlock(self, key: Hashable, spot: Spot, number: int) -> Thing:
        x, y, z = spot
        body = tuple(
            (x + dx, y - 0.002, z + dz)
            for dx, dz in ((-0.011, -0.026), (0.011, -0.026), (0.011, -0.008), (-0.011, -0.008))
        )

        def paint(painter: Painter) -> None:
            arch = painter.places(
                [
                    (x + 0.007 * cos(pi * s / 8), y - 0.002, z - 0.008 + 0.012 * sin(pi * s / 8))
                    for s in range(9)
                ]
            )
            painter.line(
                arch, (214, 220, 226), wide=max(round(painter.long(0.004) / painter.fine), 2)
            )
            colour = _OWN if number == 0 else _OTHER
            places = painter.places(body)
            pygame.draw.polygon(painter.surface, mix(_BRASS, colour, 0.75), places)
            painter.line(places, dimmed(colour, 0.45), closed=True)

        return Thing(("padlock", key), lambda: (*body, (x, y, z + 0.01)), paint)

    def _screen(self) -> Iterator[Thing]:
        """Yield the console's screen, where it is lit."""
        if not console_lit(self._session):
            return
        (x0, x1), (y0, y1), (low, high) = DESK_X, DESK_Y, DESK_Z

        def on(across: float, deep: float) -> Spot:
            return (
                x0 + (x1 - x0) * across,
                y0 + (y1 - y0) * deep,
                low + (high - low) * deep + 0.0005,
            )

        screen = (on(0.08, 0.52), on(0.55, 0.52), on(0.55, 0.90), on(0.08, 0.90))

        def paint(painter: Painter) -> None:
            pygame.draw.polygon(painter.surface, (44, 74, 92), painter.places(screen))
            for line in range(3):
                deep = 0.82 - line * 0.10
                painter.line(
                    painter.places([on(0.13, deep), on(0.46 - 0.10 * (line % 2), deep)]),
                    self._paints.coolant,
                )

        yield Thing("screen", lambda: screen, paint)

    def _stop(self) -> Iterator[Thing]:
        """Yield the emergency stop, out or latched in."""
        pressed = not self._session.saw.bus.driven("S1")

        def stop(painter: Painter) -> None:
            mushroom(painter, stop_at(), pressed=pressed)

        yield Thing(("stop", pressed), stop_spots, stop, part="stop")

    def _old_band(self) -> Iterator[Thing]:
        """Yield the band that came off when another one was fitted, coiled on the floor behind the outfeed."""
        if "band.teeth_per_inch" not in self._session.seen.set_by_hand:
            return
        colour = dimmed(self._paints.band, 0.62)

        def coil(painter: Painter) -> None:
            for ring in range(3):
                x, y, far = 0.30 + 0.03 * ring, 0.88 - 0.012 * ring, 0.085 - 0.008 * ring
                for z, bright in ((0.0, 0.55), (0.014, 0.8), (0.026, 1.0)):
                    loop = [(x + far * c, y + far * s, FLOOR_Z + z) for c, s in _LOOP]
                    painter.line(painter.places(loop), dimmed(colour, bright), closed=True, wide=3)

        spots = [
            (x, y, z) for x in (0.18, 0.48) for y in (0.76, 1.0) for z in (FLOOR_Z, FLOOR_Z + 0.05)
        ]
        yield Thing("coil", lambda: spots, coil)

    def _ring(self) -> Iterator[Thing]:
        stop = plant_of(self._session, "head.stop_notch", "head.stop_plunger").head.height_stop
        away, paints, part = 0.0 if stop.plunger == HOME else 0.014, self._paints, "height_stop"

        def make() -> list[Solid]:
            return [
                box((-0.07, -0.03), (ROD_Y - 0.02, ROD_Y + 0.02), (-0.012, 0.012), paints.guide, part),
                cylinder(0, (ROD_Y, 0.0), 0.007, (-0.03, away), ORANGE, part, 12),
                cylinder(0, (ROD_Y, 0.0), 0.012, (away, 0.012 + away), ORANGE, part, 16),
            ]  # fmt: skip

        by = self._camera.along(0.0, 0.0, stop.height_m)
        yield self._solids(("ring", away), part, make, by)

    def _length_stop(self) -> Iterator[Thing]:
        """Yield the length stop on its rack, at its reading."""
        machine, paints, part = self._session.machine, self._paints, "length_stop"
        stop_m = plant_of(self._session, "shuttle.stop_mm").shuttle.stop_m
        face = -(machine.jaw_front_m + machine.jaw_length_m)

        def make() -> list[Solid]:
            return [
                box((face - 0.045, face - 0.005), (0.125, 0.165), (-0.035, 0.03), paints.guide, part),
                box((face - 0.005, face), (0.125, 0.165), (-0.03, 0.025), paints.rod, part),
                cylinder(2, (face - 0.025, 0.145), 0.017, (0.03, 0.042), paints.rod, part, 18),
            ]  # fmt: skip

        yield self._solids("length stop", part, make, self._camera.along(-stop_m, 0.0, 0.0))

    def _rail(self) -> Iterator[Thing]:
        """Yield the back rail of the outfeed, at the band or slid back."""
        rail = plant_of(self._session, "outfeed.back_rail").swivel.rail
        start = 0.05 if rail == IN_PLACE else 0.05 + _RAIL_BACK_M
        along, high = (start, start + 0.75), TABLE_Z + self._session.machine.rail_m
        colour = self._paints.roller

        def make() -> list[Solid]:
            return [box(along, (0.020, 0.030), (TABLE_Z, high), colour, "rail")]

        yield self._solids(("rail", rail), "rail", make)

    def _prop(self) -> Iterator[Thing]:
        """Yield the prop under the beam, or folded on the base."""
        head, paints = self._session.saw.plant.head, self._paints
        if head.prop != PROP_IN:

            def folded() -> list[Solid]:
                return [box((0.150, 0.168), (0.08, 0.30), (-0.055, -0.035), paints.rod, "prop")]

            yield self._solids("prop folded", "prop", folded)
            return
        lever = (PIVOT_Y - _PROP_Y) / (PIVOT_Y + self._sizes.width_m / 2)
        top = self._session.machine.prop_m * lever + 1.15 * self._sizes.wheel_r_m
        colour = paints.hold if head.propped else paints.rod
        y = _PROP_Y

        def stands() -> list[Solid]:
            return [
                box((-0.055, -0.015), (y - 0.03, y + 0.03), (-0.05, -0.035), paints.dark, "prop"),
                box((-0.045, -0.025), (y - 0.012, y + 0.012), (-0.035, top), colour, "prop"),
                box((-0.055, -0.015), (y - 0.024, y + 0.024), (top, top + 0.012), colour, "prop"),
            ]

        yield self._solids(("prop", head.propped), "prop", stands)

    def _supports(self) -> Iterator[Thing]:
        supports = self._session.saw.plant.supports
        if supports.arm == ARM_UP:
            yield self._solids("arm", "arm", self._arm_up)
        if supports.chock == CHOCK_IN:
            yield self._solids("chock", "chock", self._chock)
        if plant_of(self._session, "cutting_vise.bundle_clamp").supports.clamp == DOWN:
            yield self._solids("clamp", "clamp", self._clamp)

    def _arm_up(self) -> list[Solid]:
        machine, paints = self._session.machine, self._paints
        x, middle = -(machine.jaw_front_m + machine.arm_m), -self._sizes.width_m / 2
        hinge = -machine.cutting_jaw_m - 0.012
        return [
            box((x - 0.01, hinge), (middle - 0.012, middle + 0.012), (-0.03, -0.018), paints.guide, "arm"),
            box((x - 0.014, x + 0.014), (middle - 0.07, middle + 0.07), (-0.018, 0.0), paints.guide, "arm"),
        ]  # fmt: skip

    def _chock(self) -> list[Solid]:
        near, high = -self._sizes.width_m - 0.004, max(0.5 * self._sizes.height_m, 0.03)
        return [box((-0.655, -0.625), (near - 0.046, near), (0.0, high), _CHOCK, "chock")]

    def _clamp(self) -> list[Solid]:
        sizes, paints = self._sizes, self._paints
        top, half, middle = sizes.height_m, max(sizes.width_m * 0.45, 0.02), -sizes.width_m / 2
        return [
            box((-0.085, -0.045), (middle - half, middle + half), (top, top + 0.012), paints.guide, "clamp"),
            cylinder(2, (-0.065, middle), 0.008, (top + 0.012, top + 0.08), paints.rod, "clamp", 14),
        ]  # fmt: skip

    def _hood(self) -> Iterator[Thing]:
        state = self._session.saw.plant.hood.state
        if state == NO_HOOD:
            return
        x0, x1 = HOOD_X, -self._session.machine.cutting_jaw_m - 0.03
        (y0, y1), z = HOOD_Y, HOOD_Z
        pale = self._paints.coolant
        if state == HOOD_OPEN:
            sheet = ((x0, y1, 0.02), (x1, y1, 0.02), (x1, y1 + 0.10, 0.50), (x0, y1 + 0.10, 0.50))
            edges = [sheet]
        else:
            sheet = ((x0, y0, z), (x1, y0, z), (x1, y1, z), (x0, y1, z))
            edges = [
                sheet, ((x0, y0, 0.03), (x1, y0, 0.03), (x1, y0, z), (x0, y0, z)),
                ((x1, y0, 0.03), (x1, y1, 0.03), (x1, y1, z), (x1, y0, z)),
                ((x0, y0, 0.03), (x0, y1, 0.03), (x0, y1, z), (x0, y0, z)),
            ]  # fmt: skip

        def paint(painter: Painter) -> None:
            for edge in edges:
                places = painter.places(edge)
                veil = pygame.Surface(painter.surface.get_size(), pygame.SRCALPHA)
                pygame.draw.polygon(veil, (*pale, 13), places)
                pygame.draw.lines(veil, (*pale, 120), True, places, painter.fine)
                painter.surface.blit(veil, (0, 0))

        yield Thing(
            ("hood", state),
            lambda: [spot for edge in edges for spot in edge],
            paint,
            part="" if state != HOOD_OPEN else "hood",
        )
