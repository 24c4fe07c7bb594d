"""Ten scenes look as they did when somebody last looked at them.

What differs is measured in small: how many pixels differ by more than a twentieth, and how much all
differ on the average. Fonts and smoothing may move a pixel; a part that is gone is seen.
"""

import numpy as np
import pygame
import pytest

from .ten_scenes import SCENES, drawn, path_of

_FAR = 24  # of 255
_MOST_FAR = 0.01  # of the pixels
_MOST_MEAN = 1.0  # of 255


def _pixels(surface):
    flat = pygame.image.tobytes(surface, "RGB")
    return np.frombuffer(flat, np.uint8).reshape(surface.get_height(), surface.get_width(), 3)


@pytest.mark.parametrize("name", SCENES)
def test_a_scene_looks_as_it_did(name):
    kept = _pixels(pygame.image.load(str(path_of(name)))).astype(int)
    now = _pixels(drawn(name)).astype(int)
    off = np.abs(kept - now)
    far = float((off.max(axis=2) > _FAR).mean())
    assert far <= _MOST_FAR, f"{far:.2%} of the pixels differ"
    assert float(off.mean()) <= _MOST_MEAN


def test_a_missing_part_is_seen():
    kept = _pixels(pygame.image.load(str(path_of("squaring cut")))).astype(int)
    other = _pixels(pygame.image.load(str(path_of("console")))).astype(int)
    assert float((np.abs(kept - other).max(axis=2) > _FAR).mean()) > _MOST_FAR
