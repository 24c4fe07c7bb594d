"""What vise jaws do to a bar: how far it closes, when it first yields, when it folds up.

Never here: how hard the vise presses (`sim.trade.clamping`).

Theory. A hollow bar is cut through at its planes of symmetry; what is left is a quarter of a
wall of EI, bent by M(s) = M0 - W * lever(s), where lever(s) is the moment that W = 1 makes
beyond the loaded point and M0 is such that the loaded point does not turn.

| shape       | model                            | lever along the wall          | source        |
| ----------- | -------------------------------- | ----------------------------- | ------------- |
| round tube  | thin ring, two opposite loads    | (R/2) sin of the angle        | Roark, rings, |
|             |                                  |                               | case 1 (from  |
|             |                                  |                               | memory)       |
| square and  | stiff-cornered frame, loads in   | x/2 on the loaded face, L/4   | slope and     |
| rectangular | the middle of two faces          | all along the side            | deflection    |
| angle       | two legs bent from the apex, M0  | distance from the tip over    | cantilever    |
|             | is zero: the tips turn freely    | sqrt 2                        |               |
| the rest    | solid between the jaws           | -                             | W / A         |

Loads in the middle of a face are the worst case: flat jaws on a square tube put most of the
load straight into the webs. Past first yield the wall is taken as a perfectly plastic
rectangle, whose curvature is k_y / sqrt(3 - 2 M/M_y), and the sum along the quarter is done
numerically; the part over the elastic closing stays as a dent. Small bending throughout: a
dent of a good part of the bore is an estimate. Jaw marks on solid bars are not modelled.

A jaw goes no further than its stroke. Where the walls would close further than is left of it, the jaw
stands at its end, presses with no more than what the walls then bear, and dents no deeper than that.
"""

from dataclasses import dataclass
from math import copysign, fsum, inf, pi, sin, sqrt
from typing import Final, assert_never

from sim.trade.materials import Material
from sim.trade.sections import (
    Angle,
    Bundle,
    IBeam,
    Rectangle,
    RectangularTube,
    Round,
    RoundTube,
    Section,
    Square,
    SquareTube,
    one_of,
)

_PIECES: Final = 48  # of a wall, for the sum past first yield
_HALVINGS: Final = 40  # of the range of M0

RING_CLOSING: Final = pi / 4.0 - 2.0 / pi  # of W R^3 / EI, along the load
RING_OPENING: Final = 2.0 / pi - 0.5  # of W R^3 / EI, across the load


def wall_stiffness_n_m2(young_pa: float, length_m: float, wall_m: float) -> float:
    """Return EI of a wall of some length along the bar, N m2."""
    return young_pa * length_m * wall_m**3 / 12.0


def yield_moment_nm(yield_pa: float, length_m: float, wall_m: float) -> float:
    """Return the moment at which the skin of a wall first yields, N m; 1.5 times it folds it."""
    return yield_pa * length_m * wall_m**2 / 6.0


def ring_closing_m(force_n: float, radius_m: float, stiffness_n_m2: float) -> float:
    """Return how far a ring closes between the loads, m."""
    return RING_CLOSING * force_n * radius_m**3 / stiffness_n_m2


def frame_moments_nm(force_n: float, loaded_m: float, side_m: float) -> tuple[float, float]:
    """Return the moment in the middle of a loaded face and, opposite, at its corners, N m."""
    corner_nm = force_n * loaded_m / 8.0 * loaded_m / (loaded_m + side_m)
    return force_n * loaded_m / 4.0 - corner_nm, corner_nm


def frame_closing_m(force_n: float, loaded_m: float, side_m: float, stiffness_n_m2: float) -> float:
    """Return how far the two loaded faces of a frame close, m."""
    _, corner_nm = frame_moments_nm(force_n, loaded_m, side_m)
    bending = force_n * loaded_m**3 / 48.0 - corner_nm * loaded_m**2 / 8.0
    return 2.0 * bending / stiffness_n_m2


@dataclass(frozen=True)
class Squeeze:
    """How a bar takes the jaws: `give_m_n` while elastic, first yield, and fold-up.

    `levers_m` and `piece_m` describe one wall for the sum past yield; empty for solid bars.
    `turns_freely` says that the loaded point carries no moment. `copies` walls close in turn.
    """

    give_m_n: float
    yield_n: float
    collapse_n: float
    hollow_m: float = 0.0
    levers_m: tuple[float, ...] = ()
    pieces_m: tuple[float, ...] = ()
    copies: float = 4.0
    turns_freely: bool = False
    stiffness_n_m2: float = inf
    yield_moment_nm: float = inf


def _ring(tube: RoundTube, material: Material, length_m: float) -> Squeeze:
    radius_m = (tube.diameter_m - tube.wall_m) / 2.0
    stiffness_n_m2 = wall_stiffness_n_m2(material.young_pa, length_m, tube.wall_m)
    moment_nm = yield_moment_nm(material.yield_pa, length_m, tube.wall_m)
    step = pi / 2.0 / _PIECES
    return Squeeze(
        give_m_n=ring_closing_m(1.0, radius_m, stiffness_n_m2),
        yield_n=pi * moment_nm / radius_m,
        collapse_n=6.0 * moment_nm / radius_m,
        hollow_m=tube.diameter_m - 2.0 * tube.wall_m,
        levers_m=tuple(radius_m / 2.0 * sin((i + 0.5) * step) for i in range(_PIECES)),
        pieces_m=(radius_m * step,) * _PIECES,
        stiffness_n_m2=stiffness_n_m2,
        yield_moment_nm=moment_nm,
    )


def _frame(
    jaw_face_m: float, width_m: float, wall_m: float, material: Material, length_m: float
) -> Squeeze:
    loaded_m, side_m = jaw_face_m - wall_m, width_m - wall_m
    stiffness_n_m2 = wall_stiffness_n_m2(material.young_pa, length_m, wall_m)
    moment_nm = yield_moment_nm(material.yield_pa, length_m, wall_m)
    middle_nm, corner_nm = frame_moments_nm(1.0, loaded_m, side_m)
    piece_m = loaded_m / 2.0 / _PIECES
    return Squeeze(
        give_m_n=frame_closing_m(1.0, loaded_m, side_m, stiffness_n_m2),
        yield_n=moment_nm / max(middle_nm, corner_nm),
        collapse_n=12.0 * moment_nm / loaded_m,
        hollow_m=width_m - 2.0 * wall_m,
        levers_m=(*((i + 0.5) * piece_m / 2.0 for i in range(_PIECES)), loaded_m / 4.0),
        pieces_m=(*(piece_m,) * _PIECES, side_m / 2.0),
        stiffness_n_m2=stiffness_n_m2,
        yield_moment_nm=moment_nm,
    )


def _legs(angle: Angle, material: Material, length_m: float) -> Squeeze:
    leg_m = angle.leg_m - angle.thickness_m / 2.0
    arm_m = leg_m / sqrt(2.0)
    stiffness_n_m2 = wall_stiffness_n_m2(material.young_pa, length_m, angle.thickness_m)
    moment_nm = yield_moment_nm(material.yield_pa, length_m, angle.thickness_m)
    piece_m = leg_m / _PIECES
    return Squeeze(
        give_m_n=leg_m**3 / (3.0 * stiffness_n_m2),
        yield_n=moment_nm / arm_m,
        collapse_n=1.5 * moment_nm / arm_m,
        hollow_m=(angle.leg_m - angle.thickness_m) * sqrt(2.0),
        levers_m=tuple(arm_m * (i + 0.5) / _PIECES for i in range(_PIECES)),
        pieces_m=(piece_m,) * _PIECES,
        copies=2.0,
        turns_freely=True,
        stiffness_n_m2=stiffness_n_m2,
        yield_moment_nm=moment_nm,
    )


def _solid(width_m: float, bearing_m: float, material: Material, length_m: float) -> Squeeze:
    limit_n = material.yield_pa * bearing_m * length_m
    give_m_n = width_m / (material.young_pa * bearing_m * length_m)
    return Squeeze(give_m_n, limit_n, limit_n)


def squeeze(section: Section, material: Material, length_m: float) -> Squeeze:
    """Return how one bar of a section takes jaws that clamp a length of it.

    In a bundle the bars of a row pass the force on and stacked rows share it; what is
    returned is one bar's, see `closing_m`.

    Args:
        section: The bar as it lies; the jaws press from both sides.
        material: The metal.
        length_m: Length along the bar that the jaws clamp, m.
    """
    match section:
        case Bundle():
            return squeeze(section.section, material, length_m)
        case RoundTube():
            return _ring(section, material, length_m)
        case SquareTube(side_m, wall_m):
            return _frame(side_m, side_m, wall_m, material, length_m)
        case RectangularTube(width_m, height_m, wall_m):
            return _frame(height_m, width_m, wall_m, material, length_m)
        case Angle():
            return _legs(section, material, length_m)
        case IBeam():
            return _solid(section.width_m, 2.0 * section.flange_m, material, length_m)
        case Round() | Square() | Rectangle():
            bearing_m = section.area_m2 / section.width_m
            return _solid(section.width_m, bearing_m, material, length_m)
        case _:
            assert_never(section)


def first_yield_n(section: Section, material: Material, length_m: float) -> float:
    """Return the clamping force at which a bar first takes a lasting dent, N."""
    return squeeze(section, material, length_m).yield_n * _rows(section)


def is_hollow(section: Section) -> bool:
    """Return whether a bar has walls that bend between the jaws; a solid one has none."""
    return isinstance(one_of(section), RoundTube | SquareTube | RectangularTube | Angle)


def is_tube(section: Section) -> bool:
    """Return whether a bar is a tube, round, square or rectangular."""
    return isinstance(one_of(section), RoundTube | SquareTube | RectangularTube)


def is_round(section: Section) -> bool:
    """Return whether a tube is a round one, which can be turned and goes out of round."""
    return isinstance(one_of(section), RoundTube)


def collapse_n(section: Section, material: Material, length_m: float) -> float:
    """Return the clamping force at which a bar folds up, N."""
    return squeeze(section, material, length_m).collapse_n * _rows(section)


def closing_m(section: Section, material: Material, clamping_n: float, length_m: float) -> float:
    """Return how far the jaws close on a bar under a clamping force, m, dent included.

    All bars of a row together; at most until the walls meet.
    """
    bar = squeeze(section, material, length_m)
    force_n = clamping_n / _rows(section)
    give_m = bar.give_m_n * min(force_n, bar.collapse_n)
    closing = give_m + _dent_m(bar, force_n)
    return (min(closing, bar.hollow_m) if bar.hollow_m else closing) * _in_a_row(section)


def pressed_n(
    section: Section, material: Material, clamping_n: float, length_m: float, stroke_m: float
) -> float:
    """Return what of a clamping force comes on a bar, N: all of it, unless the jaw ends its stroke before.

    Args:
        section: The bar as it lies.
        material: The metal.
        clamping_n: What the cylinder gives, N.
        length_m: Length along the bar that the jaws clamp, m.
        stroke_m: What is left of the stroke where the jaw meets the bar, m; zero or more.
    """
    if not is_hollow(section) or closing_m(section, material, clamping_n, length_m) <= stroke_m:
        return clamping_n
    low_n, high_n = 0.0, min(clamping_n, collapse_n(section, material, length_m))
    for _ in range(_HALVINGS):
        middle_n = (low_n + high_n) / 2.0
        if closing_m(section, material, middle_n, length_m) <= stroke_m:
            low_n = middle_n
        else:
            high_n = middle_n
    return low_n


def dent_m(
    section: Section,
    material: Material,
    clamping_n: float,
    length_m: float,
    stroke_m: float = inf,
) -> float:
    """Return the dent that a bar keeps once the vise has let go, m; of one bar.

    Nothing up to first yield; then the closing of the yielding wall over its elastic part; at
    the collapse force the walls meet, or the jaw ends its stroke, less what springs back.

    Args:
        section: The bar as it lies.
        material: The metal.
        clamping_n: What the cylinder gives, N.
        length_m: Length along the bar that the jaws clamp, m.
        stroke_m: What is left of the stroke where the jaw meets the bar, m; zero or more.
    """
    bar, force_n = squeeze(section, material, length_m), clamping_n / _rows(section)
    most_m = stroke_m / _in_a_row(section)
    if bar.give_m_n * min(force_n, bar.collapse_n) + _dent_m(bar, force_n) <= most_m:
        return _dent_m(bar, force_n)
    bears_n = pressed_n(section, material, clamping_n, length_m, stroke_m) / _rows(section)
    return max(0.0, most_m - bar.give_m_n * bears_n)


def across_m(section: Section, dent_m: float) -> tuple[float, float]:
    """Return the least and the most that a caliper finds across a tube with a dent, m.

    A ring that closes along the load opens across it, in the ratio of its two factors (Roark, rings,
    case 1, from memory), while it is elastic; a dent is taken to do the same. Of a square or rectangular
    tube only the two pressed faces are looked at.
    """
    bar = one_of(section)
    opens_m = dent_m * RING_OPENING / RING_CLOSING if is_round(section) else 0.0
    return bar.width_m - dent_m, bar.width_m + opens_m


def _rows(section: Section) -> int:
    return section.rows if isinstance(section, Bundle) else 1


def _in_a_row(section: Section) -> int:
    return section.count if isinstance(section, Bundle) else 1


def _dent_m(bar: Squeeze, force_n: float) -> float:
    if force_n <= bar.yield_n or not bar.levers_m:
        return 0.0
    most_m = max(0.0, bar.hollow_m - bar.give_m_n * bar.collapse_n)
    if force_n >= bar.collapse_n:
        return most_m
    elastic_m = _wall_closing_m(bar, force_n, plastic=False)
    return min(most_m, max(0.0, _wall_closing_m(bar, force_n, plastic=True) - elastic_m))


def _wall_closing_m(bar: Squeeze, force_n: float, plastic: bool) -> float:
    """Return the closing summed over the pieces of the wall, m."""
    bends = [force_n * lever_m / bar.yield_moment_nm for lever_m in bar.levers_m]
    most = 1.5 if plastic else inf

    def curvature(share: float) -> float:
        size = abs(share)
        if size > 1.0 and plastic:
            size = 1.0 / sqrt(max(3.0 - 2.0 * size, 1e-6))
        return copysign(size, share)

    def turn(loaded: float) -> float:
        pieces = zip(bends, bar.pieces_m, strict=True)
        return fsum(curvature(loaded - bend) * piece_m for bend, piece_m in pieces)

    low, high = (0.0, 0.0) if bar.turns_freely else (max(0.0, max(bends) - most), max(bends))
    high = min(high, most)
    for _ in range(0 if bar.turns_freely else _HALVINGS):
        middle = (low + high) / 2.0
        low, high = (low, middle) if turn(middle) > 0.0 else (middle, high)
    work = fsum(
        curvature(high - bend) * piece_m * lever_m
        for bend, piece_m, lever_m in zip(bends, bar.pieces_m, bar.levers_m, strict=True)
    )
    return -bar.copies * work * bar.yield_moment_nm / bar.stiffness_n_m2
