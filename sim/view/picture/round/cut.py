"""The cut, half of the stage while the band is in metal: the section from its first tooth to its last.

Seen from the outfeed: bright metal is whole, dark metal is sawn; the band with its real pitch runs to the
right, its colour is its load; chips have the form and the colour that they have. All of it is where the
plant has it, as far as `picture.drawn` lets it be seen.
"""

from collections.abc import Hashable, Iterator
from functools import lru_cache
from math import cos, pi, sin
from typing import Final

import pygame
from pygame import SRCALPHA, Rect, Surface

from sim.plant.blade import INSIDE_OUT
from sim.plant.sawing import Chips
from sim.session.session import Session
from sim.trade.chips import Colour as ChipColour
from sim.trade.chips import Form
from sim.trade.sections import Section
from sim.units import MM
from sim.view.kit.palette import Colour, mix
from sim.view.kit.pen import Pen
from sim.view.picture.chips import chance
from sim.view.picture.drawn import (
    plant_of,
    shown_chips,
    shown_load,
    shown_removal_mm3_s,
    shown_wander_m,
)
from sim.view.picture.plan_head import WANDER, WANDER_FACTOR
from sim.view.picture.round.colours import Paints
from sim.view.picture.round.head import load_paint, teeth_face
from sim.view.picture.round.shading import dimmed
from sim.view.picture.round.travel import Travel
from sim.view.picture.section_picture import section_mask
from sim.view.play.motion import running_s
from sim.view.play.readings import depth_m, descent_mm_min, load_share
from sim.words.speech import reader, say, tell

_OVER_M: Final = 0.012  # what is seen over the band
_UNDER_M: Final = 0.014  # of the bed
_SIDE_M: Final = 0.075  # beside the bar, at least
_JAW_M: Final = 0.03
_SLOWED: Final = 0.10  # of the band's speed, that the eye can follow
_MOST_CHIPS: Final = 70
_FULL_MM3_S: Final = 700.0  # removal at which all of them fly
_LIFE_S: Final = 0.9
_FINE: Final = 3
_SPREAD: Final = 0.6180339887  # of a life from chip to chip: however many fly, each keeps its place
_SHINE: Final = (255, 255, 250)
_DIRT: Final = (98, 82, 58)
_FOOT_EMS: Final = 2.1
_HEAP: Final = 60  # chips of the heap at the end of a cut
_CHIP_M: Final = 0.0038
_STRAW: Final = (222, 184, 92)
_BLUE: Final = (92, 128, 196)
_METAL: Final = (198, 206, 214)


class CutShown:
    """The section of one session in one place of the window."""

    def __init__(self, session: Session, area: Rect, foot: int, colours: Paints) -> None:
        self._session, self._area, self._paints = session, area, colours
        section = session.saw.plant.bar.stock.section
        self._foot = foot
        self._stretch = 1.0 / cos(plant_of(session, "head.mitre_deg").swivel.mitre_rad)
        wide_m = section.width_m * self._stretch
        high_m = section.height_m + session.machine.band_width_m + _OVER_M + _UNDER_M
        self.px_per_m = min((area.height - foot) / high_m, area.width / (wide_m + 2 * _SIDE_M))
        self._wide_m = wide_m
        self._middle = area.centerx
        self._bed = area.bottom - foot - round(_UNDER_M * self.px_per_m)
        self._ground = self._painted_ground()
        self._travel = Travel(session, _SLOWED)

    def _x(self, across_m: float) -> int:
        """Return where a place across is: 0 is the middle of the bar, the fixed jaw at the right."""
        return self._middle + round(across_m * self.px_per_m)

    def _y(self, up_m: float) -> int:
        return self._bed - round(up_m * self.px_per_m)

    def face(self) -> Hashable:
        """Return what it hangs on besides time."""
        session = self._session
        plant = session.saw.plant
        return (
            plant.head.place.position, plant.coolant.flowing, plant.cutting_vise.clamped, plant.bar.dent_m,
            round(shown_load(session), 2), round(shown_wander_m(session) / MM, 2), len(session.seen.looks),
            teeth_face(session), shown_chips(session),
        )  # fmt: skip

    # Ground -------------------------------------------------------------------------------

    def _painted_ground(self) -> Surface:
        area, paints = self._area, self._paints
        ground = Surface(area.size)
        ramp = Surface((1, 32))
        for step in range(32):
            ramp.set_at((0, step), mix(paints.wall, paints.floor_far, step / 31))
        ground.blit(pygame.transform.smoothscale(ramp, area.size), (0, 0))
        bed = self._bed - area.top
        pygame.draw.rect(ground, paints.base, (0, bed, area.width, area.height - bed))
        pygame.draw.rect(ground, dimmed(paints.base, 1.12), (0, bed, area.width, 2))
        veil = Surface((area.width, area.height - bed), SRCALPHA)
        for step in range(veil.get_height()):
            veil.fill((0, 0, 0, min(150, 20 + 4 * step)), (0, step, area.width, 1))
        ground.blit(veil, (0, bed + 2))
        return ground

    # Painting -----------------------------------------------------------------------------

    def paint(self, pen: Pen) -> None:
        """Paint it on the page."""
        surface, session = pen.surface, self._session
        surface.blit(self._ground, self._area)
        teeth_m = min(
            max(session.saw.plant.head.place.position, -0.002),
            session.saw.plant.bar.stock.section.height_m + 0.05,
        )
        self._jaws(surface)
        self._section(surface)
        self._heap(surface)
        if session.saw.plant.coolant.flowing:
            self._wet(surface)
        self._band(surface, teeth_m)
        self._nozzle(surface, teeth_m)
        self._chips(surface, teeth_m)
        self._words(pen)
        pygame.draw.rect(surface, self._paints.dark, self._area, 1)

    def _jaws(self, surface: Surface) -> None:
        session, paints = self._session, self._paints
        vise = session.saw.plant.cutting_vise
        high = min(session.saw.plant.bar.stock.section.height_m * 0.75, 0.13)
        half = self._wide_m / 2
        lip = paints.hold if vise.clamped else mix(paints.jaw, (0, 0, 0), 0.35)
        press_m = session.saw.plant.bar.dent_m if vise.clamped else 0.0
        thick = max(self._x(0.0025) - self._x(0.0), 3)
        top = self._y(high)
        for left, right, inner in (
            (self._x(-half - _JAW_M) + 0, self._x(-half + press_m), -1),
            (self._x(half), self._x(half + _JAW_M), 1),
        ):  # fmt: skip
            body = Rect(left, top, right - left, self._bed - top)
            surface.fill(dimmed(paints.jaw, 0.78), body)
            surface.fill(paints.jaw, (left, top, body.width, max(thick // 2, 2)))
            edge = body.right - thick if inner < 0 else body.left
            surface.fill(lip, (edge, top, thick, body.height))
            pygame.draw.rect(surface, dimmed(paints.jaw, 0.45), body, 1)

    def _section(self, surface: Surface) -> None:
        session = self._session
        bar = session.saw.plant.bar
        whole, sawn = _section_faces(
            session.saw.plant.bar.stock.section, self.px_per_m, self._stretch, bar.dent_m, self._paints.bar, self._paints.bore
        )  # fmt: skip
        corner = (self._middle - whole.get_width() // 2, self._bed - whole.get_height())
        deep = round(
            depth_m(session) / session.saw.plant.bar.stock.section.height_m * whole.get_height()
        )
        surface.blit(
            whole,
            (corner[0], corner[1] + deep),
            (0, deep, whole.get_width(), whole.get_height() - deep),
        )
        surface.blit(sawn, corner, (0, 0, whole.get_width(), deep))

    def _strand(self) -> tuple[Surface, int]:
        session = self._session
        blade = plant_of(session, "band.teeth_per_inch", "band.teeth_face").blade
        colour = load_paint(self._paints.band, shown_load(session))
        return _band_picture(
            self._area.width, self.px_per_m, round(blade.pitch_m, 6), session.machine.band_width_m, colour,
            blade.face == INSIDE_OUT, teeth_face(session),
        )  # fmt: skip

    def _band(self, surface: Surface, teeth_m: float) -> None:
        session, area, paints = self._session, self._area, self._paints
        strand, pitch_px = self._strand()
        way_m = self._travel.way_m(pitch_px / self.px_per_m)
        moved = round(way_m * self.px_per_m) % pitch_px
        depth = strand.get_height() - round(session.machine.band_width_m * self.px_per_m)
        top = self._y(teeth_m) - strand.get_height()
        clip = surface.get_clip()
        surface.set_clip(area.clip(clip))
        surface.blit(strand, (area.left - pitch_px + moved, top))
        self._gullets(surface, teeth_m, pitch_px, moved, depth)
        guide = plant_of(session, "band.guide_span_mm").band.guide
        fixed_m = self._wide_m / 2 + session.machine.fixed_guide_m
        for left_m, right_m in (
            (fixed_m, fixed_m + 0.026),
            (fixed_m - guide.span_m * self._stretch - 0.026, fixed_m - guide.span_m * self._stretch),
        ):  # fmt: skip
            left, right = self._x(left_m), self._x(right_m)
            body = Rect(left, area.top, right - left, self._y(teeth_m + 0.004) - area.top)
            surface.fill(paints.guide, body)
            surface.fill(
                dimmed(paints.guide, 1.12),
                (left, body.top, max((right - left) // 6, 2), body.height),
            )
            pad = Rect(
                left + (right - left) // 5,
                body.bottom - max(body.height // 3, 8),
                (right - left) * 3 // 5,
                max(body.height // 3, 8) - 3,
            )
            surface.fill(dimmed(paints.guide, 0.6), pad)
            pygame.draw.rect(surface, dimmed(paints.guide, 0.5), body, 1)
        surface.set_clip(clip)

    def _gullets(
        self, surface: Surface, teeth_m: float, pitch_px: int, moved: int, deep: int
    ) -> None:
        """Paint what each gullet carries: the further it has come through the metal, the more."""
        session = self._session
        if shown_removal_mm3_s(session) <= 0.0:
            return
        colour = chip_colour(shown_chips(session))
        depth = min(
            max(session.saw.plant.bar.stock.section.height_m - teeth_m, 1e-5),
            session.saw.plant.bar.stock.section.height_m - 1e-5,
        )
        y = self._y(teeth_m) - deep // 2
        for start_m, end_m in session.saw.plant.bar.stock.section.contact_intervals_m(depth):
            start, end = self._x(start_m * self._stretch), self._x(end_m * self._stretch)
            first = (
                self._area.left
                + moved
                + ((start - self._area.left - moved) // pitch_px + 1) * pitch_px
            )
            for x in range(first, end, pitch_px):
                share = (x - start) / max(end - start, 1)
                radius = max(round(deep * 0.42 * share), 1)
                pygame.draw.circle(
                    surface, colour, (x + pitch_px // 3, y), radius, 0 if radius < 4 else 2
                )

    def _exit(self, teeth_m: float) -> tuple[int, int]:
        """Return where chips come out: behind the last metal that the teeth meet."""
        section = self._session.saw.plant.bar.stock.section
        depth = min(max(section.height_m - teeth_m, 1e-5), section.height_m - 1e-5)
        intervals = section.contact_intervals_m(depth)
        end_m = intervals[-1][1] if intervals else 0.0
        return self._x(end_m * self._stretch), self._y(max(teeth_m, 0.0))

    def _chips(self, surface: Surface, teeth_m: float) -> None:
        removal = shown_removal_mm3_s(self._session)
        count = round(_MOST_CHIPS * min(removal / _FULL_MM3_S + 0.12, 1.0)) if removal > 0.0 else 0
        if not count:
            return
        look = shown_chips(self._session)
        pictures = chip_pictures(look, self.px_per_m)
        if look.form == Form.POWDER:
            count *= 2
        x0, y0 = self._exit(teeth_m)
        now_s = running_s(self._session)
        px, area = self.px_per_m, self._area
        places: list[tuple[Surface, tuple[int, int]]] = []
        for index in range(count):
            phase = now_s / _LIFE_S + index * _SPREAD
            age = (phase % 1.0) * _LIFE_S
            luck, other = chance(index * 7919 + int(phase)), chance(index * 104729 + int(phase))
            x = x0 + px * (0.012 + 0.062 * luck) * age / _LIFE_S * 1.5
            y = y0 - px * (0.010 * other * age - 0.075 * age * age) + px * 0.002
            picture = pictures[(index + int(phase)) % len(pictures)]
            if y < self._bed - picture.get_height() // 2 and x < area.right - picture.get_width():
                places.append((picture, (round(x), round(y))))
        surface.fblits(places)

    def _heap(self, surface: Surface) -> None:
        """Paint what has piled up behind the bar in this cut; where each lies follows from its number."""
        session = self._session
        if shown_removal_mm3_s(session) <= 0.0:
            return
        done = depth_m(session) / session.saw.plant.bar.stock.section.height_m
        pictures = chip_pictures(shown_chips(session), self.px_per_m)
        x0 = self._x(self._wide_m / 2 + 0.012)
        places = []
        for index in range(round(_HEAP * done)):
            luck, other = chance(index * 31 + 5), chance(index * 17 + 3)
            x = x0 + self.px_per_m * 0.05 * (luck + other - 0.4) * 0.9
            y = self._bed - self.px_per_m * 0.012 * done * (1.0 - abs(luck + other - 1.0)) * chance(
                index
            )
            picture = pictures[index % len(pictures)]
            places.append((picture, (round(x), round(y) - picture.get_height() + 2)))
        surface.fblits(places)

    # Coolant ------------------------------------------------------------------------------

    def _wet(self, surface: Surface) -> None:
        """Paint the sheen on bed and jaws."""
        pale = self._paints.coolant
        now_s = running_s(self._session)
        half = self._wide_m / 2 + _JAW_M
        left, right = self._x(-half - 0.03), self._x(half + 0.05)
        for line in range(3):
            y = self._bed + 3 + line * 5
            shift = sin(now_s * 1.7 + line * 2.1) * 9
            pygame.draw.aaline(
                surface,
                mix(self._paints.base, pale, 0.6 - line * 0.15),
                (left + shift, y),
                (right + shift * 0.5, y),
            )

    def _nozzle(self, surface: Surface, teeth_m: float) -> None:
        """Paint the nozzle at the guide, and the ribbon that runs from it, if it does."""
        session, area, paints = self._session, self._area, self._paints
        guide = plant_of(session, "band.guide_span_mm").band.guide
        across = self._wide_m / 2 + session.machine.fixed_guide_m - guide.span_m * self._stretch
        x = max(self._x(across) + 4, area.left + 8)
        thick = max(round(self.px_per_m * 0.004), 4)
        high = self._y(teeth_m + session.machine.band_width_m * 0.72)
        pygame.draw.lines(
            surface,
            dimmed(paints.rod, 0.7),
            False,
            ((x, area.top), (x, high - thick), (x + 2 * thick, high)),
            thick,
        )
        pygame.draw.circle(surface, dimmed(paints.rod, 0.5), (x + 2 * thick, high), thick * 2 // 3)
        if not session.saw.plant.coolant.flowing:
            return
        now_s = running_s(session)
        start = (x + 2 * thick, high)
        foot = self._y(max(teeth_m, 0.0))
        for strand in range(4):
            points = []
            for step in range(9):
                share = step / 8
                wave = sin(now_s * 9.0 - share * 7.0 + strand * 1.6) * (1.5 + 3.0 * share)
                points.append(
                    (
                        start[0] + (18 + 22 * strand) * share + wave,
                        start[1] + (foot - start[1]) * share**1.6,
                    )
                )
            pygame.draw.aalines(
                surface, mix(paints.coolant, (255, 255, 255), 0.2 * (strand % 2)), False, points
            )
            pygame.draw.aalines(surface, paints.coolant, False, [(px + 1, py) for px, py in points])
        for drop in range(6):
            phase = (now_s * 1.8 + drop / 6) % 1.0
            dx = self._x(-self._wide_m * 0.4 + self._wide_m * 0.8 * chance(drop * 13))
            dy = foot + (self._bed - foot) * phase
            if dy < self._bed - 4:
                pygame.draw.line(surface, paints.coolant, (dx, dy), (dx, dy + 4), 2)

    # Words --------------------------------------------------------------------------------

    def _words(self, pen: Pen) -> None:
        """Write what it is, three readings where they may be known, and the wander as it is drawn."""
        area, palette = self._area, pen.palette
        line = pen.letters.line("small")
        title = say("THE CUT, FROM THE OUTFEED")
        wide = pen.letters.width(title, "fine", True) + pen.px(0.8)
        if wide <= area.width - pen.px(1):
            plate = Rect(
                area.left + pen.px(0.4), area.top + pen.px(0.3), wide, pen.letters.line("fine") + 2
            )
            pen.box(plate, palette.paper, radius=0.2)
            pen.text(title, plate, palette.soft, role="fine", bold=True, align="centre")
        if not self._foot:
            return
        foot = Rect(area.left + 1, area.bottom - self._foot, area.width - 2, self._foot - 1)
        pen.fill(foot, palette.paper)
        left = foot.left + pen.px(0.6)
        for name, value in self._readings():
            said = f"{name} {value}"
            wide = pen.letters.width(said, "small", True) + pen.px(1.0)
            if left + wide > foot.right:
                return
            pen.text(said, Rect(left, foot.top, wide, foot.height), role="small", bold=True)
            left += wide
        self._wander(pen, Rect(left, foot.top, foot.right - left - pen.px(0.5), foot.height), line)

    def _readings(self) -> Iterator[tuple[str, str]]:
        session, read = self._session, reader()
        yield say("band"), read.quantity(session.saw.plant.band.speed_m_s * 60, "m/min")
        yield say("load"), read.quantity(load_share(session) * 100, "%")
        yield say("descent"), read.quantity(descent_mm_min(session), "mm/min")

    def _wander(self, pen: Pen, place: Rect, line: int) -> None:
        """Draw the band from above between its guides, its wander larger by a factor that is written beside it."""
        off_m = shown_wander_m(self._session)
        words = tell(WANDER(size=off_m, factor=WANDER_FACTOR))
        wide = pen.letters.width(words, "small") + pen.px(0.6)
        span = min(place.width - wide, pen.px(9))
        if span < pen.px(3):
            return
        left, middle = place.right - span, place.centery
        pen.text(
            words, Rect(left - wide, place.top, wide, place.height), pen.palette.soft, role="small"
        )
        for x in (left, place.right - 6):
            pen.fill(Rect(x, middle - line // 3, 6, 2 * (line // 3)), self._paints.guide)
        reach = min(max(off_m / MM * WANDER_FACTOR / 10, -1.0), 1.0) * (place.height / 2 - 3)
        points = []
        for step in range(17):
            share = step / 16
            points.append(
                (left + 6 + (span - 12) * share, middle + reach * (1 - (2 * share - 1) ** 2))
            )
        for down in (0, 1):
            pygame.draw.aalines(
                pen.surface, self._paints.band, False, [(x, y + down) for x, y in points]
            )


@lru_cache(maxsize=8)
def _section_faces(
    section: Section, px_per_m: float, stretch: float, dent_m: float, steel: Colour, dark: Colour
) -> tuple[Surface, Surface]:
    """Return the section as whole metal, and as a sawn face with the marks of the teeth."""
    mask = section_mask(section, px_per_m, dent_m)
    if stretch != 1.0:
        mask = pygame.transform.smoothscale(
            mask, (round(mask.get_width() * stretch), mask.get_height())
        )
    size = mask.get_size()
    faces = []
    for light, low in ((1.0, 0.80), (0.46, 0.34)):
        face = Surface(size, SRCALPHA)
        for y in range(size[1]):
            share = light + (low - light) * y / size[1]
            face.fill((*dimmed(steel, share), 255), (0, y, size[0], 1))
        if light < 1.0:
            for y in range(1, size[1], 4):
                face.fill((*dimmed(steel, 0.56), 255), (0, y, size[0], 1))
        else:
            for start in range(-size[1], size[0], 9):
                pygame.draw.aaline(
                    face, dimmed(steel, 0.86), (start, size[1]), (start + size[1], 0)
                )
        face.blit(mask, (0, 0), special_flags=pygame.BLEND_RGBA_MULT)
        outline = pygame.mask.from_surface(mask, 127).outline()
        if len(outline) > 2:
            pygame.draw.lines(face, (*mix(dark, steel, 0.25), 255), True, outline, 2)
        faces.append(face)
    return faces[0], faces[1]


@lru_cache(maxsize=24)
def _band_picture(
    wide: int,
    px_per_m: float,
    pitch_m: float,
    width_m: float,
    colour: Colour,
    turned: bool,
    teeth: tuple[bool, float, float],
) -> tuple[Surface, int]:
    """Return the band with its teeth, a pitch longer than the place is wide, and its pitch in px."""
    stripped, worn, packed = teeth
    pitch = max(round(pitch_m * px_per_m), 5)
    body = round(width_m * px_per_m)
    deep = max(round(pitch * 0.42), 3)
    small = _tooth(pitch, deep, mix(colour, _DIRT, 0.5 * worn), turned=turned, worn=worn)
    picture = Surface((wide + pitch, body + deep), SRCALPHA)
    for y in range(body):
        share = 1.06 - 0.30 * y / max(body, 1)
        picture.fill((*dimmed(colour, share), 255), (0, y, wide + pitch, 1))
    picture.fill((*dimmed(colour, 0.55), 255), (0, 0, wide + pitch, 2))
    picture.fill((*dimmed(colour, 0.66), 255), (0, body - 2, wide + pitch, 1))
    if worn:
        _stain(picture, pitch, body, mix(colour, _DIRT, 0.6), worn)
    for number, x in enumerate(range(0, wide + pitch, pitch)):
        if packed:
            full = max(round(deep * 0.85 * packed), 1)
            picture.fill((*dimmed(_DIRT, 0.85), 255), (x, body, pitch, full))
        if not (stripped and number % 5):
            picture.blit(small, (x, body))
        picture.fill(
            (*dimmed(colour, 0.72), 255), (x + pitch // 2, body * 2 // 5, max(pitch // 2, 3), 2)
        )
    return picture, pitch


def _tooth(pitch: int, deep: int, colour: Colour, *, turned: bool, worn: float) -> Surface:
    """Return one tooth: a crisp bright edge when it is sharp, a rounded tip that shines when it is worn."""
    fine = _FINE
    tile = Surface((pitch * fine, deep * fine), SRCALPHA)
    p, d = pitch * fine, deep * fine
    low = d * (1.0 - 0.42 * worn)  # as far as the tip still reaches
    tooth = [
        (0.0, 0.0), (p * 0.28, 0.0), (p * 0.62, d * 0.35), (p * (0.94 - 0.16 * worn), low * 0.94),
        (p * (0.97 - 0.06 * worn), low), (p, low * 0.92 - d * 0.18 * worn), (p * 0.985, 0.0),
    ]  # fmt: skip
    if turned:
        tooth = [(p - x, y) for x, y in tooth]
    pygame.draw.polygon(tile, (*colour, 255), tooth)
    if worn < 0.5:
        pygame.draw.lines(tile, (*_SHINE, 255), False, tooth[2:6], max(fine * deep // 12, fine))
    else:
        tip = max(round(d * 0.16), 2)
        pygame.draw.lines(tile, (*_SHINE, 255), False, tooth[3:6], tip)
    return pygame.transform.smoothscale(tile, (pitch, deep))


def _stain(picture: Surface, pitch: int, body: int, colour: Colour, worn: float) -> None:
    """Draw dirt over the teeth, the same in each pitch, so that it runs with the band."""
    wide = picture.get_width()
    for number, (across, high) in enumerate(((0.10, 0.14), (0.42, 0.09), (0.66, 0.19))):
        if number < round(3 * worn):
            tall, broad = max(round(body * high), 2), max(round(pitch * 0.22), 2)
            for x in range(round(pitch * across), wide, pitch):
                picture.fill((*colour, 255), (x, body - tall, broad, tall - 2))
                picture.fill(
                    (*mix(colour, _DIRT, 0.4), 255), (x, body - tall // 2, broad, tall // 2 - 1)
                )


def chip_colour(look: Chips) -> Colour:
    """Return the colour of chips."""
    return {ChipColour.METAL: _METAL, ChipColour.STRAW: _STRAW, ChipColour.BLUE: _BLUE}[look.colour]


@lru_cache(maxsize=8)
def chip_pictures(look: Chips, px_per_m: float) -> tuple[Surface, ...]:
    """Return chips as they look, some turned this way and some that."""
    colour = chip_colour(look)
    size = max(round(_CHIP_M * px_per_m), 5)
    if look.form == Form.POWDER:
        speck = Surface((2, 2))
        speck.fill(colour)
        return (speck,)
    found = []
    for turn in range(4):
        large = Surface((size * 4, size * 4), SRCALPHA)
        box = Rect(size // 2, size // 2, size * 3, size * 3)
        start = turn * pi / 2
        if look.form == Form.CURLS:
            pygame.draw.arc(
                large, (*dimmed(colour, 0.7), 255), box, start, start + 5.0, max(size * 3 // 4, 3)
            )
            pygame.draw.arc(
                large, (*colour, 255), box, start + 0.4, start + 3.4, max(size * 3 // 4, 3)
            )
            inner = box.inflate(-size * 3 // 2, -size * 3 // 2)
            pygame.draw.arc(
                large,
                (*dimmed(colour, 0.85), 255),
                inner,
                start + 1.5,
                start + 6.0,
                max(size // 2, 2),
            )
        else:
            lean = size * (turn - 1.5) * 0.4
            block = [
                (size, size * 1.4 + lean),
                (size * 3.2, size - lean),
                (size * 3, size * 2.4 - lean),
                (size * 0.9, size * 2.8 + lean),
            ]
            pygame.draw.polygon(large, (*colour, 255), block)
            pygame.draw.polygon(large, (*dimmed(colour, 0.6), 255), block, max(size // 3, 2))
            if look.form == Form.TORN:
                pygame.draw.line(large, (226, 120, 96, 255), block[0], block[2], max(size // 2, 2))
        found.append(pygame.transform.smoothscale(large, (size, size)))
    return tuple(found)


@lru_cache(maxsize=2)
def _kept(
    session: Session, area: tuple[int, int, int, int], foot: int, mitre: float, colours: Paints,
    section: Section,
) -> CutShown:  # fmt: skip
    del mitre, section
    return CutShown(session, Rect(area), foot, colours)


def cut_of(session: Session, area: Rect, foot: int, colours: Paints) -> CutShown:
    """Return the picture of the cut for a place of the window; kept while that is the same."""
    mitre = plant_of(session, "head.mitre_deg").swivel.mitre_rad
    lies = session.saw.plant.bar.stock.section
    return _kept(
        session, (area.left, area.top, area.width, area.height), foot, mitre, colours, lies
    )


def foot_height(pen_px: float) -> int:
    """Return how high the line of readings under it is, px of an em given."""
    return max(round(pen_px * _FOOT_EMS), 26)
