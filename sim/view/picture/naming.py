"""Names on the picture in the round: the part that is pointed at, those of a lesson's step, or all of them.

A part is lit by a line round it; its plate has its name and what is set on it. No lines lead anywhere.
"""

from collections.abc import Sequence
from functools import lru_cache
from typing import Final

import pygame
from pygame import SRCALPHA, Rect, Surface

from sim.session.session import Session
from sim.view.kit.guide import arrow_down, dots_along, ghost_hand
from sim.view.kit.palette import Colour
from sim.view.kit.pen import Pen
from sim.view.picture.drawn import as_seen, lying
from sim.view.picture.outfeed import piece_words
from sim.view.picture.round.camera import Place
from sim.view.picture.round.parts import PARTS
from sim.view.picture.round.view import Areas, RoundShown
from sim.view.play.points import Points
from sim.words.fields import count
from sim.words.message import row
from sim.words.speech import sentence, tell

_LIE: Final = row(
    "picture.pieces-lie", "{count} piece or end lies there", count=count(),
    plural="{count} pieces and ends lie there",
)  # fmt: skip
_MOST_LINES: Final = 4
_GHOST_EMS: Final = 3.2
_SPECK: Final = 12  # what is seen of a part is left dark where it is so much smaller than the rest
_PLATE_EMS: Final = 24
_EDGE_EMS: Final = 0.5


def paint_halo(
    pen: Pen, area: Rect, areas: Areas, lit: frozenset[str], colour: Colour, wide: int
) -> None:
    """Draw a line round some parts."""
    if not any(name in lit for name, _ in areas):
        return
    for outline in outlines_of(areas, lit, area.topleft, area.size):
        pygame.draw.lines(pen.surface, pen.palette.black, True, outline, wide + 2)
        pygame.draw.lines(pen.surface, colour, True, outline, wide)


def paint_light(pen: Pen, area: Rect, areas: Areas, lit: str) -> None:
    """Draw the light of a lesson's step round a part, with an arrow over it."""
    outlines = outlines_of(areas, frozenset((lit,)), area.topleft, area.size) if lit else []
    if not outlines:
        return
    largest = max(outlines, key=lambda each: large(box_of(each)))
    for outline in outlines:
        if large(box_of(outline)) * _SPECK >= large(box_of(largest)):
            dots_along(pen, outline)
    arrow_down(pen, min(largest, key=lambda place: place[1]))


def middle_of(areas: Areas, name: str, area: Rect) -> Place | None:
    """Return the middle of the largest area of a part that is in sight; None where none is."""
    boxes = [box.clip(area) for box in _boxes(areas, frozenset((name,)))]
    largest = max(boxes, key=large, default=Rect(0, 0, 0, 0))
    return largest.center if min(largest.size) > 0 else None


def paint_ghosts(
    pen: Pen, area: Rect, rests: Sequence[Place], to: Place | None, share: float
) -> None:
    """Draw two ghost hands: one stays at the console, the other is a share of the way to a part.

    Args:
        pen: What draws.
        area: Of the picture.
        rests: Where hands rest at the console, left and right.
        to: Where the act is done; None to stay.
        share: Of the way, 0 to 1; it begins and ends slowly.
    """
    high = max(pen.px(_GHOST_EMS), area.height // 8)
    eased = share * share * (3.0 - 2.0 * share)
    for number, (x0, y0) in enumerate(rests):
        x, y = x0, min(y0, area.bottom - high // 2)
        if number == len(rests) - 1 and to is not None:
            x, y = x + (to[0] - x) * eased, y + (to[1] - y) * eased
        ghost_hand(pen, (x, y), high, mirrored=number == 0)


@lru_cache(maxsize=4)
def outlines_of(
    areas: Areas, lit: frozenset[str], corner: tuple[int, int], size: tuple[int, int]
) -> list[list[tuple[int, int]]]:
    """Return the lines round what is seen of some parts."""
    left, top = corner
    mask = Surface(size, SRCALPHA)
    for name, places in areas:  # what lies before it covers it
        moved = [(x - left, y - top) for x, y in places]
        pygame.draw.polygon(mask, (255, 255, 255, 255) if name in lit else (0, 0, 0, 0), moved)
    parts = pygame.mask.from_surface(mask, 127).connected_components(60)
    outlines = [[(x + left, y + top) for x, y in each.outline()] for each in parts]
    return [outline for outline in outlines if len(outline) > 2]


def paint_plate(
    pen: Pen, area: Rect, seen: RoundShown, areas: Areas, lit: str, points: Points | None
) -> None:
    """Write the name of a part, and what is set on it, where nothing moves and the part is not."""
    lines = [sentence(tell(PARTS[lit].title)), *_readings(lit, points)]
    if lit == "piece":
        lines += _pieces(seen.session)
    line, pad = pen.letters.line("small"), pen.px(0.45)
    title = pen.letters.line("body")
    room = min(pen.px(_PLATE_EMS), area.width - 2 * pen.px(_EDGE_EMS)) - 2 * pad
    wrapped = [text for words in lines[1:] for text in pen.letters.wrap(words, "small", room)]
    wide = max(
        pen.letters.width(lines[0], "body", True),
        *(pen.letters.width(text, "small") for text in wrapped or [""]),
    )
    size = (min(wide, room) + 2 * pad, title + len(wrapped) * line + 2 * pad)
    place = _free(pen, area, size, [*_boxes(areas, frozenset((lit,))), *seen.busy()])
    pen.box(place, pen.palette.panel, pen.palette.focus, radius=0.35)
    inner = place.inflate(-2 * pad, -2 * pad)
    pen.text(lines[0], Rect(inner.left, inner.top, inner.width, title), bold=True)
    for number, text in enumerate(wrapped):
        at = Rect(inner.left, inner.top + title + number * line, inner.width, line)
        pen.text(text, at, pen.palette.soft, role="small")


def _readings(lit: str, points: Points | None) -> list[str]:
    if points is None:
        return []
    rows = [each for each in points.rows if each.name in PARTS[lit].points]
    said = []
    for each in rows[:_MOST_LINES]:
        value = points.words(each)
        words = tell(each.told(value)) if each.words and value != "?" else value
        said.append(f"{sentence(tell(each.title))}: {words}")
    return said


def _pieces(session: Session) -> list[str]:
    """Return how many lie there, and what was read on the last of them or is to be seen of it."""
    pieces = lying(session)
    said = [tell(_LIE(count=len(pieces)))]
    words = [(len(pieces) - back, piece_words(session, as_seen(session, piece)))
             for back, piece in enumerate(reversed(pieces[-_MOST_LINES:]))]  # fmt: skip
    return [*said, *(f"{number}: {told}" for number, told in words if told)]


def _boxes(areas: Areas, lit: frozenset[str]) -> list[Rect]:
    return [box_of(places) for name, places in areas if name in lit]


def box_of(places: Sequence[Place]) -> Rect:
    """Return the box round places."""
    left, top = (int(min(place[axis] for place in places)) for axis in (0, 1))
    right, bottom = (int(max(place[axis] for place in places)) + 1 for axis in (0, 1))
    return Rect(left, top, right - left, bottom - top)


def _free(pen: Pen, area: Rect, size: tuple[int, int], spared: list[Rect]) -> Rect:
    """Return the first of six places at the edges that covers none of what is spared, else the one that covers least."""
    edge = pen.px(_EDGE_EMS)
    inner = area.inflate(-2 * edge, -2 * edge)
    found: list[tuple[int, Rect]] = []
    for corner in ("topright", "bottomright", "topleft", "bottomleft", "midbottom", "midtop"):
        place = Rect((0, 0), size)
        setattr(place, corner, getattr(inner, corner))
        hidden = sum(place.clip(each).width * place.clip(each).height for each in spared)
        if not hidden:
            return place
        found.append((hidden, place))
    return min(found, key=lambda each: each[0])[1]


def large(box: Rect) -> int:
    """Return how many px a box has."""
    return box.width * box.height


def paint_names(pen: Pen, area: Rect, areas: Areas) -> None:
    """Write every name on its part, as far as they go without overlap; the smaller part first."""
    whole: dict[str, Rect] = {}
    for name, places in areas:
        box = box_of(places).clip(area)
        before = whole.get(name)
        if min(box.size) > 3 and (before is None or large(box) > large(before)):
            whole[name] = box
    taken: list[Rect] = []
    line = pen.letters.line("small")
    for name, box in sorted(whole.items(), key=lambda each: large(each[1])):
        words = tell(PARTS[name].title)
        size = (pen.letters.width(words, "small", True) + pen.px(0.6), line + 2)
        for dx, dy in (
            (0, 0),
            (0, -1),
            (0, 1),
            (-1, 0),
            (1, 0),
            (0, -2),
            (0, 2),
            (-1, -1),
            (1, 1),
            (1, -1),
            (-1, 1),
        ):
            place = Rect((0, 0), size)
            place.center = (box.centerx + dx * size[0] * 2 // 3, box.centery + dy * (line + 3))
            if area.contains(place) and place.collidelist(taken) < 0:
                pen.box(place, pen.palette.paper, pen.palette.hair, radius=0.25)
                pen.text(words, place, role="small", bold=True, align="centre")
                taken.append(place)
                break
