"""The picture in the round: what stands still baked, what slides as sprites, the head where it is.

Three layers, each kept until something in it changes: the room with what lies behind the head, the head with
what lies before it, and over both what runs: band, chips, coolant.
"""

from collections.abc import Callable, Hashable, Iterator, Mapping, Sequence
from functools import lru_cache
from typing import Final

import pygame
from pygame import SRCALPHA, Rect, Surface

from sim.plant.bar import Piece
from sim.plant.coolant import WET
from sim.session.session import Session
from sim.trade.sections import Section
from sim.units import MM
from sim.view.kit.palette import Palette
from sim.view.picture.drawn import as_seen, is_offcut, jaw_off_m, lying, plant_of
from sim.view.picture.outfeed import rolled_share
from sim.view.picture.round.camera import Camera, Place, Sight, Spot
from sim.view.picture.round.closeup import spot_of
from sim.view.picture.round.colours import Paints, paints
from sim.view.picture.round.frame import paint_room, standing
from sim.view.picture.round.furnishing import Furnishings
from sim.view.picture.round.head import NEAR_PARTS, HeadShown, fade_of
from sim.view.picture.round.ordering import back_to_front
from sim.view.picture.round.parts import PARTS
from sim.view.picture.round.reel import HANGS, Reel
from sim.view.picture.round.shading import Sprite, dimmed, reach, sprite
from sim.view.picture.round.shuttle import carriage, far_jaw, near_jaw, ram
from sim.view.picture.round.sizes import FRONT_Y, TABLE_Z, Sizes
from sim.view.picture.round.solids import Solid
from sim.view.picture.round.spray import paint_spray
from sim.view.picture.round.work import (
    bar_sprite,
    dents_of,
    hull,
    kerf_line,
    near_side,
    piece_stick,
    shadow_lines,
)
from sim.view.picture.round.wrecked import dashes, thrown, thrown_bar
from sim.view.picture.wreck import fatal
from sim.view.play.happening import ZONE_OF, Showing
from sim.view.play.readings import depth_m

_BAR_SEEN_M: Final = 2.9  # of the bar behind its front end, that any picture shows
_PIECES_X: Final = 0.035
_SPLIT_MM: Final = 5  # to which it is told where a dent begins
_LAYERS: Final = 2
_SHADOW_M: Final = 0.12  # of the strand over the bar, from which its shadow is too soft to be seen
_GAP_M: Final = 0.012
_LIES: Final = 0.35  # of its turn, up to which a thrown bar still lies behind the band
_BEFORE: Final = (
    Showing.TURNS_OUT,
    Showing.SNATCHED,
    Showing.COMES_DOWN,
)  # of which the layer before the head hangs


Areas = tuple[tuple[str, tuple[Place, ...]], ...]
"""Parts by name, each with the corners of a convex area of the window."""


class RoundShown:
    """The saw of one session before one camera, in one place of the window.

    Args:
        session: Whose saw.
        camera: Where it is looked at from.
        colours: Of everything.
    """

    def __init__(self, session: Session, camera: Camera, colours: Paints) -> None:
        self.session, self.camera, self.paints = session, camera, colours
        self.sizes = Sizes(session.machine, session.saw.plant.bar.stock.section)
        self.reel = Reel()
        self.head = HeadShown(camera, self.sizes, colours, session, self.reel)
        self.things = Furnishings(session, camera, self.sizes, colours, self.reel)
        self._rooms: dict[tuple[bool, bool], Surface] = {}
        self._sprites: dict[Hashable, Sprite] = {}
        self._pieces: dict[Hashable, Sprite] = {}  # of those that lie in sight, and of no other
        self._behind: tuple[Hashable, Surface] | None = None
        self._whole: tuple[Hashable, Surface] | None = None
        self._head: tuple[Hashable, Surface, tuple[int, int]] | None = None
        self._stencil: tuple[float, Surface, Rect] | None = None
        self._still: list[tuple[str, list[Place]]] | None = None
        self._areas: tuple[Hashable, Areas] | None = None
        self._ground = (False, False)
        self._behind_area = Rect(0, 0, 0, 0)  # that was painted on, of the picture
        self._before_area = Rect(0, 0, 0, 0)

    # What it hangs on ---------------------------------------------------------------------

    def face(self) -> Hashable:
        """Return everything that the still picture hangs on."""
        return self._behind_face(), self._before_face()

    def runs(self) -> bool:
        """Whether anything in it runs all the time."""
        plant = self.session.saw.plant
        return self.head.runs() or plant.coolant.flowing

    def _px(self, way: Place) -> tuple[int, int]:
        return round(way[0]), round(way[1])

    def _shuttle_by(self) -> tuple[int, int]:
        back_m = max(self.session.saw.plant.shuttle.place.position - self.reel.shuttle_by_m, 0.0)
        return self._px(self.camera.along(-back_m, 0.0, 0.0))

    def _bar_by(self) -> tuple[int, int]:
        return self._px(self.camera.along(self.session.saw.plant.bar.front_m, 0.0, 0.0))

    def _vises(self) -> tuple[tuple[tuple[int, int], bool], ...]:
        plant = self.session.saw.plant
        return tuple(
            (
                self._px(
                    self.camera.along(0.0, -jaw_off_m(self.session, name, vise) - still_m, 0.0)
                ),
                vise.clamped,
            )
            for name, vise, still_m in (
                ("cutting_vise", plant.cutting_vise, self.reel.jaw_off_m),
                ("shuttle_vise", plant.shuttle_vise, self.reel.shuttle_jaw_off_m),
            )
        )

    def _bar_key(self) -> Hashable:
        bar = self.session.saw.plant.bar
        dents = dents_of(bar)
        split = round(bar.front_m / MM / _SPLIT_MM) if any(dents) else 0
        return (
            "bar",
            round(min(bar.length_m, _BAR_SEEN_M) / MM),
            bar.end,
            bar.kerfs.all,
            dents,
            split,
        )

    def _behind_face(self) -> Hashable:
        return (
            self._ground_now(), thrown(fatal(self.session)), self._shuttle_by(), self._bar_by(), self._bar_key(), self._vises(),
            self.things.behind_face(),
        )  # fmt: skip

    def _before_face(self) -> Hashable:
        return (
            self.head.face(),
            self._pieces_face(),
            round(depth_m(self.session) * self.camera.px_per_m),
            self.things.before_face(),
            self.reel.face if self.reel.way in _BEFORE else "",
        )

    def _pieces_face(self) -> Hashable:
        pieces = lying(self.session)
        rolled = round(rolled_share(self.session) * 40) if pieces else 0
        return (
            len(pieces),
            rolled,
            len(self.session.seen.looks),
            len(self.session.measuring.readings),
        )

    # Painting -----------------------------------------------------------------------------

    def paint(self, surface: Surface) -> None:
        """Paint it where its camera's picture goes."""
        whole = self._painted()
        surface.blit(whole, self.camera.area)
        clip = surface.get_clip()
        surface.set_clip(self.camera.area.clip(clip))
        if fatal(self.session) is None:
            if self.head.runs():
                self.head.paint_running(surface, self._work_before())
            self.head.stand()
            _, arm_y, high_z = self.head.tip()
            nozzle = (self.head.at, (arm_y - 0.010, high_z))
            paint_spray(surface, self.camera, self.session, self.paints, nozzle)
        if self.reel.runs:
            self.reel.paint(surface, self.camera, self.paints, self._spot(), self.sizes.section)
        surface.set_clip(clip)

    def _spot(self) -> Spot:
        """Return where what is shown of a harm happens."""
        if self.reel.way in (Showing.TEETH, Showing.SMOKES):
            return (
                0.0,
                -0.2 * self.sizes.width_m,
                max(self.session.saw.plant.head.place.position, 0.0),
            )
        return spot_of(self.reel.kind)

    def still(self) -> Surface:
        """Return the picture of its camera without what runs."""
        return self._painted()

    def _painted(self) -> Surface:
        """Return everything but what runs; of both layers only what was painted before is painted anew."""
        behind_face, before_face = self._behind_face(), self._before_face()
        key = behind_face, before_face
        if self._whole is not None and self._whole[0] == key:
            return self._whole[1]
        anew = self._behind is None or self._behind[0] != behind_face
        old = self._behind_area
        behind = self._painted_behind(behind_face)
        if self._whole is None:
            surface, stale = behind.copy(), Rect(0, 0, 0, 0)
        else:
            surface, stale = self._whole[1], self._before_area
            if anew:
                stale = stale.unionall((old, self._behind_area))
        surface.blit(behind, stale, stale)
        view = Shifted(surface, self.camera.area)
        self._paint_before(view)
        self._before_area = view.painted
        self._whole = key, surface
        return surface

    def _painted_behind(self, key: Hashable) -> Surface:
        if self._behind is not None and self._behind[0] == key:
            return self._behind[1]
        ground = self._ground_now()
        room = self._room(ground)
        if self._behind is None or ground != self._ground:
            surface, self._ground = room.copy(), ground
            whole = surface.get_rect()
        else:
            surface, whole = self._behind[1], Rect(0, 0, 0, 0)
            surface.blit(room, self._behind_area, self._behind_area)
        view = Shifted(surface, self.camera.area)
        if self._from_outfeed:
            self._paint_feed(view)
        else:
            self._put_bar(view)
        self.things.paint_behind(view)
        self._behind = key, surface
        self._behind_area = whole if whole.width else view.painted
        return surface

    @property
    def _from_outfeed(self) -> bool:
        return self.camera.near[0] > 0.0

    def _ground_now(self) -> tuple[bool, bool]:
        """Return what the room hangs on: whether the floor is wet, and whether the trip line is pulled."""
        saw = self.session.saw
        return saw.plant.coolant.floor == WET, not saw.bus.driven("S2")

    def _room(self, ground: tuple[bool, bool]) -> Surface:
        if ground not in self._rooms:
            size = self.camera.area.size
            whole = Surface(size).convert() if pygame.display.get_surface() else Surface(size)
            wet, pulled = ground
            paint_room(whole, self.camera, self.sizes, self.paints, wet=wet, pulled=pulled)
            self._rooms[ground] = whole
        return self._rooms[ground]

    def _paint_feed(self, view: "Shifted") -> None:
        """Paint shuttle, bar and vises from back to front."""
        by, plant = self._shuttle_by(), self.session.saw.plant
        cutting, shuttle = self._vises()
        held = plant.shuttle_vise.clamped, plant.cutting_vise.clamped
        self._solid("carriage", lambda: carriage(self.sizes, self.paints)).put(view, by)
        self._jaws(view, "far", "shuttle_vise", by, held[0])
        self._jaws(view, "far", "cutting_vise", (0, 0), held[1])
        self._put_bar(view)
        for name, off, moved, holds in (
            ("shuttle_vise", shuttle[0], by, held[0]), ("cutting_vise", cutting[0], (0, 0), held[1]),
        ):  # fmt: skip
            self._jaws(view, "near", name, (off[0] + moved[0], off[1] + moved[1]), holds)
            self._jaws(view, "ram", name, moved, False)

    def _jaws(self, view: "Shifted", which: str, name: str, by: Place, holds: bool) -> None:
        along = self.sizes.shuttle_x if name == "shuttle_vise" else self.sizes.cutting_x
        made: dict[str, Callable[[], Iterator[Solid]]] = {
            "far": lambda: far_jaw(self.sizes, along, self.paints, name, holds=holds),
            "near": lambda: near_jaw(self.sizes, along, self.paints, name, holds=holds),
            "ram": lambda: ram(self.sizes, along, self.paints, name),
        }
        self._solid((which, name, holds), made[which]).put(view, by)

    def _solid(self, key: Hashable, make: Callable[[], Iterator[Solid]]) -> Sprite:
        found = self._sprites.get(key)
        if found is None:
            solids = back_to_front(list(make()), self.camera)
            area = reach(self.camera, [point for solid in solids for point in solid.points])
            found = sprite(self.camera, area, lambda painter: painter.solids(solids))
            self._sprites[key] = found
        return found

    def _bar(self) -> Sprite:
        key = self._bar_key()
        found = self._sprites.get(key)
        if found is None:
            for old in [
                each for each in self._sprites if isinstance(each, tuple) and each[0] == "bar"
            ]:
                del self._sprites[old]
            bar = self.session.saw.plant.bar
            kerfs = [
                (kerf.from_rear_m - bar.length_m, kerf)
                for kerf in bar.kerfs.all
                if kerf is not bar.old_kerf
            ]
            found = bar_sprite(self.camera, self.sizes, self.paints, bar, _BAR_SEEN_M, kerfs)
            self._sprites[key] = found
        return found

    def _put_bar(self, view: "Shifted") -> None:
        if self.session.saw.plant.bar.length_m > 0.0 and not thrown(fatal(self.session)):
            self._bar().put(view, self._bar_by())

    def _mitre(self) -> float:
        return plant_of(self.session, "head.mitre_deg").swivel.mitre_rad

    def _put_near_bar(self, view: "Shifted") -> None:
        """Paint the bar once more where it lies on our side of the band."""
        bar = self.session.saw.plant.bar
        if bar.length_m <= 0.0 or (self._from_outfeed and bar.beyond_m <= 0.0):
            return
        if thrown(fatal(self.session)):
            return
        mitre, area = self._mitre(), self.camera.area
        if self._stencil is None or self._stencil[0] != mitre:
            stencil = Surface(area.size, SRCALPHA)
            for places in near_side(self.sizes.section, self.camera, mitre):
                if len(places) > 2:
                    moved = [(x - area.left, y - area.top) for x, y in places]
                    pygame.draw.polygon(stencil, (255, 255, 255, 255), moved)
            self._stencil = mitre, stencil, stencil.get_bounding_rect().move(area.topleft)
        _, stencil, whole = self._stencil
        found, by = self._bar(), self._bar_by()
        place = Rect(found.corner, found.surface.get_size()).move(by).clip(area)
        place = place.clip(whole)
        if min(place.size) <= 0:
            return
        cut = Surface(place.size, SRCALPHA)
        cut.blit(
            found.surface,
            (found.corner[0] + by[0] - place.left, found.corner[1] + by[1] - place.top),
        )
        cut.blit(
            stencil, (0, 0), place.move(-area.left, -area.top), special_flags=pygame.BLEND_RGBA_MULT
        )
        view.blit(cut, place)

    def _work_before(self) -> Rect | None:
        """Return where the bar lies before the strand, for what runs on it."""
        bar = self.session.saw.plant.bar
        if not bar.under_band or not self._from_outfeed:
            return None
        wide, high = self.sizes.width_m, self.sizes.height_m
        return reach(self.camera, [(0.0, y, z) for y in (-wide, 0.0) for z in (0.0, high)], edge=0)

    def _paint_before(self, view: "Shifted") -> None:
        """Paint the head and what lies on our side of it."""
        if not self._from_outfeed:
            self._paint_pieces(view)
        key = self.head.face()
        if self._head is None or self._head[0] != key:
            self._head = (key, *self.head.sprite())
        ended = fatal(self.session)
        lies = self.reel.runs and self.reel.bar < _LIES
        if thrown(ended) and lies:
            self._paint_thrown(view)
        view.blit(self._head[1], self._head[2])
        self.things.paint_rail(view)
        if self._from_outfeed:
            self._put_near_bar(view)
            self._paint_shadow(view)
            self._paint_kerf(view)
            self._paint_pieces(view)
        else:
            self._paint_feed_before(view)
        if thrown(ended) and not lies:
            self._paint_thrown(view)
        kind = ended.kind if ended is not None else self.reel.kind
        if kind in HANGS and (ended is not None or self.reel.runs):
            self.reel.put_hanging(view, self.camera, self.paints, self.sizes.section)
        if ended is not None and ended.kind in ZONE_OF:  # but for the hands
            view.grey()
        self.things.paint_before(view)

    def _paint_thrown(self, view: "Shifted") -> None:
        """Paint the bar as it would have been thrown, and in dashes where it lay."""
        bar = self.session.saw.plant.bar
        if bar.length_m <= 0.0:
            return
        lay = self._bar_hull(max(bar.rear_m, -1.2), bar.front_m)
        for start, end in dashes(lay):
            view.lines(self.paints.bar, [start, end], 2)
        key = ("thrown", round(bar.front_m / MM))
        if self.reel.runs:  # another at each moment, of which none is kept
            thrown_bar(
                self.camera, self.sizes, self.paints, bar.end, bar.front_m, self.reel.bar
            ).put(view)
            return
        if key not in self._sprites:
            self._sprites[key] = thrown_bar(
                self.camera, self.sizes, self.paints, bar.end, bar.front_m
            )
        self._sprites[key].put(view)

    def _paint_feed_before(self, view: "Shifted") -> None:
        by, plant = self._shuttle_by(), self.session.saw.plant
        cutting, shuttle = self._vises()
        held = plant.shuttle_vise.clamped, plant.cutting_vise.clamped
        self._solid("carriage", lambda: carriage(self.sizes, self.paints)).put(view, by)
        self._jaws(view, "far", "cutting_vise", (0, 0), held[1])
        self._jaws(view, "far", "shuttle_vise", by, held[0])
        self._put_near_bar(view)
        self._paint_kerf(view)
        self._jaws(view, "near", "cutting_vise", cutting[0], held[1])
        self._jaws(view, "ram", "cutting_vise", (0, 0), False)
        moved = (shuttle[0][0] + by[0], shuttle[0][1] + by[1])
        self._jaws(view, "near", "shuttle_vise", moved, held[0])
        self._jaws(view, "ram", "shuttle_vise", by, False)

    def _paint_shadow(self, view: "Shifted") -> None:
        """Paint the shadow of the strand on the bar before it."""
        if thrown(fatal(self.session)):
            return
        bar = self.session.saw.plant.bar
        over_m = self.session.saw.plant.head.place.position - self.sizes.height_m
        if not bar.under_band or not 0.0 < over_m < _SHADOW_M or over_m * 0.5 > bar.front_m:
            return
        soft = ((0.86, 0.012), (0.76, 0.006))  # from its edge to its middle: how bright, how wide
        for rim in shadow_lines(self.sizes.section, self.camera, self._mitre(), over_m):
            for bright, wide_m in soft:
                wide = max(round(wide_m * self.camera.px_per_m), 2)
                view.lines(dimmed(self.paints.bar, bright), rim, wide)

    def _paint_kerf(self, view: "Shifted") -> None:
        deep_m = depth_m(self.session)
        if (
            deep_m <= 0.0
            or thrown(fatal(self.session))
            or not self.session.saw.plant.bar.under_band
        ):
            return
        for rim in kerf_line(self.sizes.section, self.camera, self._mitre(), deep_m):
            view.lines(self.paints.bore, rim, 2)

    # Parts ----------------------------------------------------------------------------------

    def areas(self) -> Areas:
        """Return where every part is seen, each as convex areas, from back to front."""
        key = self.face()
        if self._areas is None or self._areas[0] != key:
            self._areas = key, self._found_areas()
        return self._areas[1]

    def _found_areas(self) -> Areas:
        found = self._standing_areas()
        feed = [*self._feed_areas(), *self.things.areas()]
        head = [(part, hull(places)) for part, places in self.head.hulls()]
        found += [*feed, *head] if self._from_outfeed else [*head, *feed]
        if fade_of(self.sizes, self.session):  # what is seen through is pointed at through it
            found.sort(key=lambda each: each[0] not in NEAR_PARTS)
        found.append(("band", hull(self.head.strand_places())))
        found += self._front_areas()
        return tuple(
            (part, tuple(places)) for part, places in found if part in PARTS and len(places) > 2
        )

    def _standing_areas(self) -> list[tuple[str, list[Place]]]:
        if self._still is None:
            solids = back_to_front(standing(self.sizes, self.paints), self.camera)
            self._still = [(solid.part, self._hull(solid.points)) for solid in solids]
        return [*self._still]

    def busy(self) -> list[Rect]:
        """Return where things move, which no words may cover: the cut, the shuttle, the head."""
        cut = reach(
            self.camera,
            [(x, y, z) for x in (-0.15, 0.15) for y in (-0.15, 0.06) for z in (0.0, 0.14)],
        )
        wheel = self.sizes.wheel_r_m
        head = [self.head.at(0.0, y, z) for y in (-0.9, -0.1) for z in (0.0, 2 * wheel)]
        left, top = (int(min(place[axis] for place in head)) for axis in (0, 1))
        right, bottom = (int(max(place[axis] for place in head)) for axis in (0, 1))
        return [cut, Rect(left, top, right - left, bottom - top)]

    def part_at(self, place: Place) -> str:
        """Return the part that is seen at a place of the window, empty where none is."""
        return part_in(self.areas(), place)

    def _hull(self, spots: Sequence[Spot], by: Place = (0.0, 0.0)) -> list[Place]:
        return hull([(x + by[0], y + by[1]) for x, y in (self.camera.at(*spot) for spot in spots)])

    def _feed_areas(self) -> Iterator[tuple[str, list[Place]]]:
        by, sizes, paints = self._shuttle_by(), self.sizes, self.paints
        for solid in carriage(sizes, paints):
            yield solid.part, self._hull(solid.points, by)
        vises = (("shuttle_vise", sizes.shuttle_x, by), ("cutting_vise", sizes.cutting_x, (0, 0)))
        for name, along, moved in vises:
            for solid in far_jaw(sizes, along, paints, name, holds=False):
                yield solid.part, self._hull(solid.points, moved)
        bar = self.session.saw.plant.bar
        if bar.length_m > 0.0:
            yield "bar", self._bar_hull(max(bar.rear_m, -3.0), bar.front_m)
        for (name, along, moved), (off, _) in zip(vises, reversed(self._vises()), strict=True):
            for solid in near_jaw(sizes, along, paints, name, holds=False):
                yield solid.part, self._hull(solid.points, (moved[0] + off[0], moved[1] + off[1]))
            for solid in ram(sizes, along, paints, name):
                yield solid.part, self._hull(solid.points, moved)

    def _bar_hull(self, rear_m: float, front_m: float) -> list[Place]:
        wide, high = self.sizes.width_m, self.sizes.height_m
        return self._hull(
            [(x, y, z) for x in (rear_m, front_m) for y in (-wide, 0.0) for z in (0.0, high)]
        )

    def _front_areas(self) -> Iterator[tuple[str, list[Place]]]:
        bar = self.session.saw.plant.bar
        if self._from_outfeed and bar.length_m > 0.0 and bar.front_m > 0.0:
            yield "bar", self._bar_hull(max(bar.rear_m, 0.0), bar.front_m)
        wide, high = self.sizes.width_m, self.sizes.height_m
        for piece, (_, by) in self._lying():
            spots = [
                (x, y, z) for x in (0.0, piece.length_m) for y in (-wide, 0.0) for z in (0.0, high)
            ]
            yield "piece", self._hull(spots, by)

    # Pieces -------------------------------------------------------------------------------

    def _paint_pieces(self, view: "Shifted") -> None:
        for _, (piece_sprite, by) in self._lying():
            piece_sprite.put(view, by)

    def _lying(self) -> list[tuple[Piece, tuple[Sprite, Place]]]:
        """Return the last pieces and where they lie, from back to front: side by side, then on one another."""
        pieces = lying(self.session)
        if not pieces:
            return []
        wide, high = self.sizes.width_m, self.sizes.height_m
        step = wide + _GAP_M
        first = -wide - 0.02
        row = max(int((first - wide - FRONT_Y) / step) + 1, 1)
        room = row * _LAYERS
        shown = pieces[-room:]
        rolled = rolled_share(self.session)
        found: list[tuple[tuple[float, float], Piece, Place]] = []
        for number, piece in enumerate(shown):
            layer, slot = divmod(number, row)
            y, z = first - (row - 1 - slot) * step, TABLE_Z + layer * high
            if number == len(shown) - 1 and rolled < 1.0:
                y, z = y * rolled, z * rolled
            by = self.camera.along(_PIECES_X, y, z)
            found.append(((z, -y), piece, by))
        found.sort(key=lambda each: each[0])
        before, self._pieces = self._pieces, {}
        told = [
            (as_seen(self.session, each), is_offcut(self.session, each), by)
            for _, each, by in found
        ]
        return [(shown, (self._piece(shown, offcut, before), by)) for shown, offcut, by in told]

    def _piece(self, shown: Piece, offcut: bool, before: Mapping[Hashable, Sprite]) -> Sprite:
        """Return the picture of a piece, from what was there before where it is among that."""
        key = (
            round(shown.length_m, 4), shown.front_rad, shown.rear_rad, shown.corner_m, shown.dent_m,
            round(shown.out_of_square, 5), offcut,
        )  # fmt: skip
        found = before.get(key) or self._pieces.get(key)
        if found is None:
            colour = dimmed(self.paints.bar, 0.72) if offcut else self.paints.bar
            found = piece_stick(self.sizes.section, shown).sprite(self.camera, self.paints, colour)
        self._pieces[key] = found
        return found


def part_in(areas: Areas, place: Place) -> str:
    """Return which of some areas, told from back to front, is seen at a place; empty where none is."""
    return next((part for part, places in reversed(areas) if _inside(places, place)), "")


def _inside(places: Sequence[Place], place: Place) -> bool:
    """Return whether a place lies in a convex area."""
    x, y = place
    x0, y0 = places[-1]
    signs = set()
    for x1, y1 in places:
        signs.add((x1 - x0) * (y - y0) - (y1 - y0) * (x - x0) > 0.0)
        x0, y0 = x1, y1
    return len(signs) == 1


class Shifted:
    """A surface on which the places are those of the window; it remembers where something was painted.

    Args:
        surface: As large as the area.
        area: Of the window.
    """

    def __init__(self, surface: Surface, area: Rect) -> None:
        self.surface, self._left, self._top = surface, area.left, area.top
        self.painted = Rect(0, 0, 0, 0)  # on the surface

    def blit(self, other: Surface, place: Rect | tuple[float, float]) -> Rect:
        """Draw a picture at a place of the window."""
        at = (place[0] - self._left, place[1] - self._top)
        return self._note(self.surface.blit(other, at))

    def lines(self, colour: tuple[int, int, int], places: list[Place], wide: int) -> None:
        """Draw a line through places of the window."""
        moved = [(x - self._left, y - self._top) for x, y in places]
        self._note(pygame.draw.lines(self.surface, colour, False, moved, wide))

    def grey(self) -> None:
        """Take the colour out of all of it."""
        self.surface.blit(pygame.transform.grayscale(self.surface), (0, 0))
        self._note(self.surface.get_rect())

    def _note(self, where: Rect) -> Rect:
        self.painted = self.painted.union(where) if self.painted.width else where
        return where


@lru_cache(maxsize=3)
def _kept(
    session: Session, sight: Sight, area: tuple[int, int, int, int], clear: tuple[int, int, int, int],
    stark: Paints, _section: Section,
) -> RoundShown:  # fmt: skip
    return RoundShown(session, Camera(sight, Rect(area), Rect(clear)), stark)


def _four(rect: Rect) -> tuple[int, int, int, int]:
    return rect.left, rect.top, rect.width, rect.height


def round_of(
    session: Session, sight: Sight, area: Rect, clear: Rect, palette: Palette
) -> RoundShown:
    """Return the picture in the round for a place of the window; kept while that is the same."""
    lies = session.saw.plant.bar.stock.section  # another one is drawn anew
    return _kept(session, sight, _four(area), _four(clear), paints(palette), lies)
