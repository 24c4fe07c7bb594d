"""The kit for a window: how large the em is at a window size, and what the settings make of the rest."""

from typing import Final

from sim.records.settings import Settings
from sim.view.kit.lettering import Letters
from sim.view.kit.palette import CALM, STARK
from sim.view.kit.pen import Kit

_BASE: Final = (1280, 720)
_EM: Final = 15.0  # px of body text in a window of the base size
_LEAST_EM: Final = 11.0


def kit_for(size: tuple[int, int], settings: Settings | None = None) -> Kit:
    """Return letters and colours for a window of a size; text grows with the window."""
    chosen = settings or Settings()
    share = min(size[0] / _BASE[0], size[1] / _BASE[1])
    letters = Letters(max(_EM * share, _LEAST_EM) * chosen.text_scale)
    palette = STARK if chosen.contrast == "stark" else CALM
    return Kit(letters, palette)
