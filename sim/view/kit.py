"""The kit for a window: how large the em is at a window size and a text scale.

Imports `lettering`, `palette`, `pen`.
"""

from typing import Final

from sim.view.lettering import Letters
from sim.view.palette import CALM, Palette
from sim.view.pen import Kit

_BASE: Final = (1280, 720)
_EM: Final = 15.0  # px of body text in a window of the base size
_LEAST_EM: Final = 11.0


def kit_for(size: tuple[int, int], text_scale: float = 1.0, palette: Palette = CALM) -> Kit:
    """Return letters and colours for a window of a size; text grows with the window."""
    share = min(size[0] / _BASE[0], size[1] / _BASE[1])
    return Kit(Letters(max(_EM * share, _LEAST_EM) * text_scale), palette)
