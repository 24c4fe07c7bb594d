"""The colours of the round: a dark room, a middle frame, light work, and a hue for each group that moves.

Saturation is kept for stop, danger and focus. Never here: what a colour is put on.
"""

from dataclasses import dataclass, replace
from typing import Final

from sim.view.kit.palette import STARK, STARK_APART, Colour, Palette


@dataclass(frozen=True, slots=True)
class Paints:
    """One set."""

    wall: Colour = (25, 29, 34)
    wall_low: Colour = (31, 36, 42)
    floor: Colour = (42, 47, 53)
    floor_far: Colour = (31, 36, 41)
    lane: Colour = (96, 90, 52)
    base: Colour = (84, 96, 106)  # what stands fast
    table: Colour = (100, 113, 123)
    roller: Colour = (134, 146, 156)
    dark: Colour = (62, 70, 79)
    shuttle: Colour = (98, 134, 122)  # green grey: what feeds
    jaw: Colour = (176, 158, 128)  # bronze: what holds
    head: Colour = (102, 138, 174)  # blue: what saws
    wheel: Colour = (70, 90, 112)
    guide: Colour = (82, 92, 106)
    band: Colour = (238, 226, 186)
    bar: Colour = (214, 220, 226)
    bore: Colour = (40, 46, 53)
    hold: Colour = (0, 158, 115)  # the lip of a jaw that clamps
    desk: Colour = (92, 104, 116)
    rod: Colour = (150, 162, 174)
    skin: Colour = (196, 176, 158)
    sleeve: Colour = (74, 96, 122)
    coolant: Colour = (176, 214, 232)


CALM_PAINTS: Final = Paints()
STARK_PAINTS: Final = Paints(
    wall=(0, 0, 0), wall_low=(0, 0, 0), floor=(16, 18, 20), floor_far=(8, 9, 10), lane=(150, 140, 40),
    base=(84, 92, 100), table=(110, 120, 130), roller=(160, 170, 180), dark=(50, 56, 62),
    shuttle=(96, 160, 138), jaw=(214, 184, 132), head=(104, 156, 216), wheel=(60, 84, 112),
    guide=(80, 92, 108), band=(255, 244, 200), bar=(236, 242, 248), bore=(16, 18, 22),
    desk=(104, 118, 132),
)  # fmt: skip


def paints(palette: Palette) -> Paints:
    """Return the colours that go with a palette."""
    plain = STARK_PAINTS if palette in (STARK, STARK_APART) else CALM_PAINTS
    return replace(plain, hold=palette.green)
