"""Every colour on the screen, by its role, and the contrast between two of them.

The hues are those of Okabe and Ito (told apart by every kind of colour vision that they tested),
but for red: theirs is an orange, and danger and emergency stop must be red. What a hue means on a
lamp or a key follows IEC 60073 and IEC 60204-1: red emergency, yellow abnormal, green normal, blue
mandatory, white neutral. A colour never says anything alone: a shape and a word stand beside it.
"""

from dataclasses import dataclass, replace
from typing import Final

Colour = tuple[int, int, int]

ORANGE: Final = (230, 159, 0)
SKY: Final = (86, 180, 233)
GREEN: Final = (0, 158, 115)
YELLOW: Final = (240, 228, 66)
RED: Final = (232, 58, 58)
STOP_RED: Final = (190, 16, 26)
LILAC: Final = (222, 178, 240)  # lighter than the reddish purple of Okabe and Ito, and bluer
VERMILION: Final = (213, 94, 0)  # the red of Okabe and Ito


@dataclass(frozen=True, slots=True)
class Palette:
    """One set of colours."""

    ground: Colour  # behind everything
    panel: Colour  # a group of things
    sunk: Colour  # a value in a panel, a list
    raised: Colour  # a key
    lit: Colour  # a key under the pointer
    edge: Colour  # outlines that carry meaning
    hair: Colour  # lines that only tidy
    ink: Colour  # text
    soft: Colour  # less important text
    dark: Colour  # text on a bright fill
    focus: Colour  # where the keyboard is
    guide: Colour  # where the next act of a step is done
    paper: Colour  # under the machine
    grid: Colour  # its 100 mm squares
    steel: Colour  # bar
    cut: Colour  # cut faces
    iron: Colour  # machine parts
    iron_edge: Colour
    red: Colour = RED
    stop: Colour = STOP_RED  # the actuator of an emergency stop, white words on it
    yellow: Colour = YELLOW
    green: Colour = GREEN
    blue: Colour = SKY
    white: Colour = (242, 245, 247)
    orange: Colour = ORANGE
    black: Colour = (11, 14, 17)


CALM: Final = Palette(
    ground=(20, 24, 28),
    panel=(28, 34, 40),
    sunk=(18, 22, 26),
    raised=(52, 62, 72),
    lit=(68, 80, 92),
    edge=(126, 142, 156),
    hair=(58, 68, 78),
    ink=(242, 245, 247),
    soft=(184, 196, 206),
    dark=(11, 14, 17),
    focus=SKY,
    guide=LILAC,
    paper=(23, 29, 35),
    grid=(32, 40, 48),
    steel=(146, 164, 182),
    cut=(214, 224, 232),
    iron=(64, 78, 92),
    iron_edge=(138, 156, 172),
)

STARK: Final = Palette(
    ground=(0, 0, 0),
    panel=(0, 0, 0),
    sunk=(0, 0, 0),
    raised=(34, 34, 34),
    lit=(70, 70, 70),
    edge=(255, 255, 255),
    hair=(150, 150, 150),
    ink=(255, 255, 255),
    soft=(255, 255, 255),
    dark=(0, 0, 0),
    focus=YELLOW,
    guide=LILAC,
    paper=(0, 0, 0),
    grid=(36, 36, 36),
    steel=(190, 204, 216),
    cut=(255, 255, 255),
    iron=(44, 54, 64),
    iron_edge=(235, 240, 245),
)


def told_apart(palette: Palette) -> Palette:
    """Return a palette in which danger and normal do not lean on red and green, and differ in grey too.

    Danger is dark, normal brighter, abnormal brightest; mandatory is told from all three by its hue.
    The emergency stop stays red on yellow (ISO 13850): between those the contrast is large in any case.
    """
    return replace(palette, red=VERMILION, green=(100, 188, 200), blue=(74, 140, 236))


CALM_APART: Final = told_apart(CALM)
STARK_APART: Final = told_apart(STARK)


def _linear(channel: int) -> float:
    share = channel / 255
    return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4


def luminance(colour: Colour) -> float:
    """Return the relative luminance of a colour, 0 to 1; the formula is that of WCAG 2.2."""
    red, green, blue = (_linear(channel) for channel in colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: Colour, other: Colour) -> float:
    """Return the contrast of two colours, 1 to 21; the formula is that of WCAG 2.2."""
    dim, bright = sorted((luminance(one), luminance(other)))
    return (bright + 0.05) / (dim + 0.05)


def mix(one: Colour, other: Colour, share: float) -> Colour:
    """Return the colour that lies a share of the way from one to the other."""
    return (
        round(one[0] + (other[0] - one[0]) * share),
        round(one[1] + (other[1] - one[1]) * share),
        round(one[2] + (other[2] - one[2]) * share),
    )
