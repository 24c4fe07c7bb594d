"""What is shown beside the meaning of a word: the part as it is seen now, outlined; else a small drawing.

Never here: what a word means (see `sim.glossary`).
"""

from collections.abc import Callable
from typing import Final

import pygame
from pygame import Rect, Surface

from sim.glossary.table import TERMS
from sim.session.session import Session
from sim.view.kit.bubble import Explained
from sim.view.kit.palette import Palette
from sim.view.kit.pen import Pen
from sim.view.picture.naming import box_of, large, outlines_of
from sim.view.picture.round.camera import SIGHTS
from sim.view.picture.round.view import RoundShown, round_of
from sim.view.picture.sketches import SKETCHES, paint_sketch
from sim.words.speech import sentence, tell

_AROUND: Final = 1.6  # how much more is shown than the part
_LEAST_PX: Final = 96  # of the width that is shown
_SEEN: Final = 0.5  # of the part, that must be in the picture

PARTS_OF_WORDS: Final[dict[str, str]] = {
    "band": "band", "wheel": "near_wheel", "tension-screw": "near_wheel", "guide": "guides",
    "guide-arm": "guides", "brush": "brush", "guard": "guard", "wheel-cover": "cover", "drive": "motor",
    "motor": "motor", "head": "beam", "swivel": "pivot", "height-stop": "height_stop", "rod": "height_stop",
    "prop": "prop", "feed-valve": "feed", "lift": "feed", "cutting-vise": "cutting_vise", "vise": "cutting_vise",
    "shuttle-vise": "shuttle_vise", "bundle-clamp": "clamp", "support-arm": "arm", "shuttle": "shuttle",
    "roller": "infeed", "infeed": "infeed", "hood": "hood", "chock": "chock", "trip-line": "trip_line",
    "outfeed": "outfeed", "back-rail": "rail", "bar": "bar", "bed": "base", "console": "console",
    "emergency-stop": "stop", "cabinet": "cabinet", "isolator": "cabinet", "air-cock": "air", "nozzle": "nozzle",
    "coolant": "nozzle", "tank": "coolant", "oil-glass": "oil",
}  # fmt: skip
"""Words of the glossary that are a part of the saw in the round, each with that part."""


def explained(
    term: str, session: Session, camera: int, whole: Rect | None, palette: Palette
) -> Explained | None:
    """Return what a word means, and its picture, where there is one.

    Args:
        term: Its name in the glossary.
        session: Whose saw is looked at.
        camera: From where.
        whole: The place of the saw in the round in the window; None while it is not shown.
        palette: Of the window.
    """
    found = TERMS.get(term)
    if found is None:
        return None
    picture: Callable[[Pen, Rect], None] | None = None
    part = PARTS_OF_WORDS.get(term, "")
    if part and whole is not None:
        picture = _Cropped.of(round_of(session, SIGHTS[camera], whole, whole, palette), part)
    if picture is None and term in SKETCHES:
        picture = _Sketched(term)
    return Explained(sentence(tell(found.word)), tell(found.text), picture)


class _Sketched:
    """A small drawing."""

    def __init__(self, term: str) -> None:
        self._term = term

    def __call__(self, pen: Pen, place: Rect) -> None:
        paint_sketch(pen, place, self._term)


class _Cropped:
    """A part cut out of the picture as it was seen when it was pointed at."""

    def __init__(self, shown: Surface, outlines: list[list[tuple[int, int]]]) -> None:
        self._shown, self._outlines = shown, outlines
        self._made: Surface | None = None

    @classmethod
    def of(cls, seen: RoundShown, part: str) -> "_Cropped | None":
        """Return it; None where too little of the part is in sight."""
        area = seen.camera.area
        outlines = outlines_of(seen.areas(), frozenset((part,)), area.topleft, area.size)
        if not outlines:
            return None
        box = max(map(box_of, outlines), key=large)
        wide = max(round(box.width * _AROUND), round(box.height * _AROUND * 16 / 9), _LEAST_PX)
        wide = min(wide, area.width, area.height * 16 // 9)
        place = Rect(0, 0, wide, wide * 9 // 16)
        place.center = box.center
        place.clamp_ip(area)
        if large(place.clip(box)) < _SEEN * large(box):
            return None
        shown = Surface(place.size)
        shown.blit(seen.still(), (area.left - place.left, area.top - place.top))
        moved = [[(x - place.left, y - place.top) for x, y in each] for each in outlines]
        return cls(shown, moved)

    def __call__(self, pen: Pen, place: Rect) -> None:
        if self._made is None or self._made.get_size() != place.size:
            self._made = pygame.transform.smoothscale(self._shown, place.size)
            share_x = place.width / self._shown.get_width()
            share_y = place.height / self._shown.get_height()
            for outline in self._outlines:
                line = [(round(x * share_x), round(y * share_y)) for x, y in outline]
                pygame.draw.lines(self._made, pen.palette.black, True, line, 4)
                pygame.draw.lines(self._made, pen.palette.guide, True, line, 2)
        pen.surface.blit(self._made, place)
