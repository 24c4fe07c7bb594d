"""Shuttle and vises in the round: what slides, as solids where it stands when forward and closed.

Each is painted once; the picture slides it.
"""

from collections.abc import Iterator

from sim.view.kit.palette import mix
from sim.view.picture.round.colours import Paints
from sim.view.picture.round.sizes import FRONT_Y, JAW_DEEP_M, RAIL_Y, Sizes
from sim.view.picture.round.solids import Solid, box, cylinder

_LIP_M = 0.005


def carriage(sizes: Sizes, paints: Paints) -> Iterator[Solid]:
    """Yield the shuttle's frame on its rails, forward."""
    low, high = sizes.shuttle_x
    for y in RAIL_Y:
        yield box(
            (low - 0.02, high + 0.02),
            (y - 0.022, y + 0.022),
            (-0.036, -0.008),
            paints.shuttle,
            "shuttle",
        )
    yield box(
        (low, high),
        (RAIL_Y[1] + 0.022, RAIL_Y[0] - 0.022),
        (-0.030, -0.004),
        paints.shuttle,
        "shuttle",
    )


def far_jaw(
    sizes: Sizes, along: tuple[float, float], paints: Paints, part: str, *, holds: bool
) -> Iterator[Solid]:
    """Yield the jaw that stands fast, its lip green while it holds."""
    y, z = JAW_DEEP_M, sizes.far_jaw_m
    yield box(along, (_LIP_M, y), (-0.004, z), paints.jaw, part)
    lip = paints.hold if holds else mix(paints.jaw, (0, 0, 0), 0.35)
    yield box((along[0] + 0.003, along[1] - 0.003), (0.0, _LIP_M), (0.002, z - 0.006), lip, part)


def near_jaw(
    sizes: Sizes, along: tuple[float, float], paints: Paints, part: str, *, holds: bool
) -> Iterator[Solid]:
    """Yield the jaw on our side, as it stands against the bar, with its ram and handwheel."""
    face, z = -sizes.width_m, sizes.near_jaw_m
    middle = (along[0] + along[1]) / 2
    ram = min(z * 0.55, 0.05)
    lip = paints.hold if holds else mix(paints.jaw, (0, 0, 0), 0.35)
    yield box(
        (along[0] + 0.003, along[1] - 0.003), (face - _LIP_M, face), (0.002, z - 0.004), lip, part
    )
    yield box(along, (face - JAW_DEEP_M, face - _LIP_M), (-0.004, z), paints.jaw, part)
    back = min(face - JAW_DEEP_M - 0.04, FRONT_Y + 0.02)
    yield cylinder(1, (ram, middle), 0.014, (back, face - JAW_DEEP_M), paints.rod, part, 18)


def ram(sizes: Sizes, along: tuple[float, float], paints: Paints, part: str) -> Iterator[Solid]:
    """Yield the cylinder that presses the near jaw, and its handwheel; they do not move with the jaw."""
    middle, z = (along[0] + along[1]) / 2, min(sizes.near_jaw_m * 0.55, 0.05)
    front = FRONT_Y + 0.06
    yield cylinder(1, (z, middle), 0.026, (front - 0.02, front + 0.07), paints.guide, part, 22)
    yield box(
        (middle - 0.030, middle + 0.030),
        (front - 0.005, front + 0.012),
        (-0.03, z),
        paints.guide,
        part,
    )
    yield cylinder(1, (z, middle), 0.009, (front - 0.055, front - 0.02), paints.rod, part, 14)
    yield cylinder(1, (z, middle), 0.034, (front - 0.062, front - 0.052), paints.dark, part, 24)
