"""The kit for a window: how large the em is at a window size, and what the settings make of the rest."""

from math import sqrt
from typing import Final

from sim.records.settings import Settings
from sim.view.kit.lettering import Letters
from sim.view.kit.palette import CALM, CALM_APART, STARK, STARK_APART, Palette
from sim.view.kit.pen import Kit

_BASE: Final = (1280, 720)
_EM: Final = 15.0  # px of body text in a window of the base size
_LEAST_EM: Final = 11.0
_ROOMY: Final = 1.25  # times the base size, from which on a window shows more, too
_PALETTES: Final[dict[tuple[str, str], Palette]] = {
    ("calm", "usual"): CALM, ("calm", "apart"): CALM_APART,
    ("stark", "usual"): STARK, ("stark", "apart"): STARK_APART,
}  # fmt: skip


def kit_for(size: tuple[int, int], settings: Settings | None = None) -> Kit:
    """Return letters and colours for a window of a size.

    Text grows with the window; beyond 1600 x 900 only by the root of it, so that a large screen
    shows more and not only the same in large.
    """
    chosen = settings or Settings()
    share = min(size[0] / _BASE[0], size[1] / _BASE[1])
    if share > _ROOMY:
        share = _ROOMY * sqrt(share / _ROOMY)
    letters = Letters(max(_EM * share, _LEAST_EM) * chosen.text_scale)
    return Kit(letters, _PALETTES[chosen.contrast, chosen.colours])
