"""Measuring a sawn piece: how sure a reading is, and what it can decide.

A reading is the true size and an error; the errors of a tool are taken as normal, with its standard
uncertainty. What a reading decides about a tolerance follows the rule of ISO 14253-1 in words of our
own, from memory: good is what is inside the limits by more than the expanded uncertainty, bad what is
outside by more than it, and between the two the reading decides nothing.

Not here: who measures, and when.
"""

from collections.abc import Collection
from dataclasses import dataclass
from enum import StrEnum
from math import exp, fsum, inf, radians, sqrt
from statistics import NormalDist

COVERAGE = 2.0  # of the expanded uncertainty, for about 95 %; the usual factor, from memory
FIT_SHARE = 0.25  # of the tolerance, that the expanded uncertainty of a proof may be
FACE_SHARE = 0.5  # of what counts as square, that of a proof of it may be; chosen for this program
_NORMAL = NormalDist()


class Ruling(StrEnum):
    """What a reading decides about a size."""

    GOOD = "good"
    SHORT = "short"
    LONG = "long"
    OPEN = "undecided"  # too near a limit for this tool


@dataclass(frozen=True, slots=True)
class Tool:
    """One measuring tool in a practised hand.

    The figures are taken from memory of makers' limits of error, as rectangular where they are such,
    and are common practice for the rest.
    """

    name: str
    seconds: float  # with the walk to the piece
    resolution_m: float
    standard_m: float  # standard uncertainty of one reading, without its rounding
    reach_m: float = inf  # the longest size that it takes
    squareness: bool = False  # it takes the gap under a square, and not a length

    @property
    def uncertainty_m(self) -> float:
        """Standard uncertainty of what is read, its rounding to the resolution in it, m."""
        return sqrt(self.standard_m**2 + self.resolution_m**2 / 12.0)

    @property
    def expanded_m(self) -> float:
        """Expanded uncertainty of what is read, m, k = 2."""
        return COVERAGE * self.uncertainty_m

    def fits(self, tolerance_m: float) -> bool:
        """Return whether it is fine enough to prove a size within plus or minus a tolerance, m."""
        return self.expanded_m <= FIT_SHARE * tolerance_m

    def read(self, true_m: float, error_m: float) -> float:
        """Return what is read of a size, m: with its error, rounded to the resolution."""
        return round((true_m + error_m) / self.resolution_m) * self.resolution_m


def decided(off_m: float, tolerance_m: float, expanded_m: float) -> Ruling:
    """Return what a reading decides, by the rule of ISO 14253-1.

    Args:
        off_m: The reading less what is wanted, m.
        tolerance_m: How far off a good piece may be, either way, m.
        expanded_m: Expanded uncertainty of the reading, m.
    """
    if abs(off_m) <= tolerance_m - expanded_m:
        return Ruling.GOOD
    if abs(off_m) < tolerance_m + expanded_m:
        return Ruling.OPEN
    return Ruling.SHORT if off_m < 0.0 else Ruling.LONG


def chance_of_band(
    band: Ruling, true_off_m: float, tolerance_m: float, tool: Tool, scatter_m: float = 0.0
) -> float:
    """Return how likely a reading comes out within, short or long, whatever its uncertainty; 0 to 1.

    Args:
        band: `GOOD` for within the tolerance, `SHORT` or `LONG`; `OPEN` is none.
        true_off_m: By how much the piece is off at a mean, m.
        tolerance_m: How far off a good piece may be, either way, m.
        tool: With which it is read.
        scatter_m: Standard deviation of the piece about that mean, m.
    """
    sigma_m = sqrt(tool.uncertainty_m**2 + scatter_m**2)
    short = _NORMAL.cdf((-tolerance_m - true_off_m) / sigma_m)
    long = 1.0 - _NORMAL.cdf((tolerance_m - true_off_m) / sigma_m)
    chances = {Ruling.SHORT: short, Ruling.LONG: long, Ruling.GOOD: 1.0 - short - long}
    return max(chances.get(band, 0.0), 0.0)


def likelihood(
    off_m: float,
    true_off_m: float,
    tool: Tool,
    scatter_m: float = 0.0,
    before: Collection[tuple[float, Tool]] = (),
) -> float:
    """Return how likely a reading is by how far it is off, as a share of the likeliest one, 0 to 1.

    Normal about the mean. What chance added to the piece is the same in each of its readings, so the
    earlier ones tell of it and it is not counted twice.

    Args:
        off_m: By how much it reads off, m.
        true_off_m: By how much such pieces are off at a mean, m.
        tool: With which it is read.
        scatter_m: Standard deviation of the pieces about that mean, m.
        before: How far off the same piece was read before, m, and with what.
    """
    if scatter_m > 0.0:
        told = [(earlier_m - true_off_m, each.uncertainty_m**-2) for earlier_m, each in before]
        precision = scatter_m**-2 + fsum(weight for _, weight in told)
        own_m = fsum(weight * apart_m for apart_m, weight in told) / precision
        sigma_m = sqrt(tool.uncertainty_m**2 + 1.0 / precision)
    else:
        own_m, sigma_m = 0.0, tool.uncertainty_m
    return exp(-0.5 * ((off_m - true_off_m - own_m) / sigma_m) ** 2)


def band_of(off_m: float, tolerance_m: float) -> Ruling:
    """Return whether a reading is within, short or long, taken as it is."""
    if abs(off_m) <= tolerance_m + 1e-9:
        return Ruling.GOOD
    return Ruling.SHORT if off_m < 0.0 else Ruling.LONG


def wilson(good: int, of: int, z: float = 1.959964) -> tuple[float, float]:
    """Return the interval that a share lies in, after so many good ones of a sample.

    The score interval of E. B. Wilson, J. Am. Stat. Assoc. 22 (1927) 209-212.

    Args:
        good: How many of the sample are good.
        of: The sample, one at least.
        z: Quantile of the normal distribution; as it stands, for 95 %.

    Raises:
        ValueError: The sample is empty, or has more good ones than it has.
    """
    if not 0 <= good <= of or not of:
        raise ValueError(f"{good} good of {of}")
    share, square = good / of, z * z / of
    middle = (share + square / 2.0) / (1.0 + square)
    half = z / (1.0 + square) * sqrt(share * (1.0 - share) / of + square / (4.0 * of))
    return max(middle - half, 0.0), min(middle + half, 1.0)


@dataclass(frozen=True, slots=True)
class AngleTool:
    """One tool for the angle of an end, in a practised hand; its figures from memory of makers' limits of error.

    No error is drawn for it: what is read is the truth, rounded.
    """

    name: str
    seconds: float  # with the walk to the piece, both ends
    resolution_rad: float
    standard_rad: float  # standard uncertainty of one reading, without its rounding

    @property
    def expanded_rad(self) -> float:
        """Expanded uncertainty of what is read, rad, k = 2."""
        return COVERAGE * sqrt(self.standard_rad**2 + self.resolution_rad**2 / 12.0)

    def read(self, true_rad: float) -> float:
        """Return what is read of an angle, rad: rounded to the resolution."""
        return round(true_rad / self.resolution_rad) * self.resolution_rad


# A bevel protractor with a vernier of 5 minutes of arc, limits of error about as much, from memory.
PROTRACTOR = AngleTool("protractor", 45, radians(5 / 60), radians(5 / 60) / sqrt(3.0))

_MM = 1e-3
TOOLS = (
    # A steel tape, read to half a division; class II is good to 0.3 + 0.2 mm a metre, from memory.
    Tool("tape", 25, 0.5 * _MM, 0.2 * _MM),
    # A digital caliper of 300 mm, limits of error about 0.02 mm, from memory.
    Tool("caliper", 30, 0.01 * _MM, 0.012 * _MM, reach_m=300 * _MM),
    # A beam caliper of 1500 mm with a fine vernier, limits of error about 0.06 mm, from memory.
    Tool("beam-caliper", 45, 0.02 * _MM, 0.035 * _MM, reach_m=1500 * _MM),
    # The gap under a try square, judged by eye against the light, and with feeler leaves put in it.
    Tool("square", 25, 0.1 * _MM, 0.05 * _MM, squareness=True),
    Tool("feeler", 50, 0.05 * _MM, 0.015 * _MM, squareness=True),
)
BY_NAME = {tool.name: tool for tool in TOOLS}


def fit_tool(length_m: float, tolerance_m: float, there: Collection[str] = BY_NAME) -> Tool | None:
    """Return the quickest tool that reaches a length and is fine enough to prove it; None without one.

    Args:
        length_m: The length that is wanted, m.
        tolerance_m: How far off a good piece may be, either way, m.
        there: Names of the tools that there are.
    """
    fit = (
        tool for tool in TOOLS
        if tool.name in there and not tool.squareness
        and tool.reach_m >= length_m and tool.fits(tolerance_m)
    )  # fmt: skip
    return min(fit, key=lambda tool: tool.seconds, default=None)


def face_tool(limit_m: float, there: Collection[str] = BY_NAME) -> Tool | None:
    """Return the quickest tool that can be counted on to find a square face square; None without one.

    No leaf of a feeler is sure to a quarter of the tenth that a small face may gape, as a length asks it;
    a tool that is sure to half of it leaves half to a good face, and what it finds good is inside the limit
    by more than it is unsure.

    Args:
        limit_m: The largest gap under a square that counts as square, m.
        there: Names of the tools that there are.
    """
    fit = (
        tool for tool in TOOLS
        if tool.name in there and tool.squareness and tool.expanded_m <= FACE_SHARE * limit_m
    )  # fmt: skip
    return min(fit, key=lambda tool: tool.seconds, default=None)
