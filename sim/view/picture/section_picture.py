"""The bar's cross-section as pictures: solid where metal is whole, hatched where it has been sawn.

Made from the contact intervals of the section, so that any shape and any bundle comes out as the
band meets it.
"""

from functools import lru_cache

import pygame
from pygame import Surface

from sim.trade.crush import across_m
from sim.trade.sections import Section
from sim.view.kit.palette import Colour, mix


@lru_cache(maxsize=16)
def section_pictures(
    section: Section, px_per_m: float, steel: Colour, cut: Colour, ground: Colour,
    dent_m: float = 0.0,
) -> tuple[Surface, Surface]:  # fmt: skip
    """Return the whole section and the sawn section, transparent around the metal; oval with a dent."""
    mask = section_mask(section, px_per_m, dent_m)
    size = mask.get_size()
    whole = Surface(size, pygame.SRCALPHA)
    whole.fill((*steel, 255))
    whole.blit(mask, (0, 0), special_flags=pygame.BLEND_RGBA_MULT)
    sawn = Surface(size, pygame.SRCALPHA)
    sawn.fill((*mix(ground, steel, 0.35), 255))
    for start in range(-size[1], size[0], 6):
        pygame.draw.aaline(sawn, cut, (start, size[1]), (start + size[1], 0), 2)
    sawn.blit(mask, (0, 0), special_flags=pygame.BLEND_RGBA_MULT)
    outline = pygame.mask.from_surface(mask, 127).outline()
    for picture in (whole, sawn):
        if len(outline) > 2:
            pygame.draw.aalines(picture, cut, True, outline)
    return whole, sawn


def section_mask(section: Section, px_per_m: float, dent_m: float = 0.0) -> Surface:
    """Return white metal on nothing, oval with a dent."""
    mask = _mask(section, px_per_m)
    return (
        pygame.transform.smoothscale(mask, _pressed(mask, section, dent_m))
        if dent_m > 0.0
        else mask
    )


def _pressed(mask: Surface, section: Section, dent_m: float) -> tuple[int, int]:
    """Return the size of a section that jaws have pressed narrower, and so higher if it is round."""
    least_m, most_m = across_m(section, dent_m)
    own_m = least_m + dent_m
    wide, high = mask.get_size()
    return max(round(wide * least_m / own_m), 2), max(round(high * most_m / own_m), 2)


def _mask(section: Section, px_per_m: float) -> Surface:
    """Return white metal on nothing; four times as fine and made small, for smooth edges."""
    fine = 4
    scale = px_per_m * fine
    wide = max(round(section.width_m * px_per_m), 2)
    high = max(round(section.height_m * px_per_m), 2)
    large = Surface((wide * fine, high * fine), pygame.SRCALPHA)
    large.fill((255, 255, 255, 0))
    for row in range(high * fine):
        depth_m = (row + 0.5) / (high * fine) * section.height_m
        for left_m, right_m in section.contact_intervals_m(depth_m):
            left = round(left_m * scale) + wide * fine // 2
            right = round(right_m * scale) + wide * fine // 2
            pygame.draw.line(large, (255, 255, 255, 255), (left, row), (right - 1, row))
    return pygame.transform.smoothscale(large, (wide, high))
