"""Back to front: in which order solids are painted for a camera.

Two solids that a plane square to an axis parts never hide each other but from one side; that gives an order
of every two, and a walk through those gives one of all.
"""

from collections.abc import Sequence

from sim.view.picture.round.camera import Camera
from sim.view.picture.round.solids import Solid

_HAIR_M = 1e-6
_Reach = tuple[tuple[float, float], ...]


def _reach(solid: Solid) -> _Reach:
    return tuple(
        (min(point[axis] for point in solid.points), max(point[axis] for point in solid.points))
        for axis in range(3)
    )


def _hides(one: _Reach, other: _Reach, near: Sequence[float]) -> bool:
    """Return whether the first lies on our side of the second, and so may hide it."""
    found: set[bool] = set()
    for (low, high), (other_low, other_high), eye in zip(one, other, near, strict=True):
        if low >= other_high - _HAIR_M:
            found.add(eye > 0.0)
        elif high <= other_low + _HAIR_M:
            found.add(eye < 0.0)
    return found == {True}  # parted both ways, neither hides the other


def back_to_front(solids: Sequence[Solid], camera: Camera) -> list[Solid]:
    """Return solids in the order in which they are painted; what no plane parts keeps its own order."""
    reaches = [_reach(solid) for solid in solids]
    behind: list[list[int]] = [
        [
            other
            for other in range(len(solids))
            if other != index and _hides(reaches[index], reaches[other], camera.near)
        ]
        for index in range(len(solids))
    ]
    done: list[int] = []
    seen: set[int] = set()

    def visit(index: int) -> None:
        if index in seen:
            return
        seen.add(index)
        for other in behind[index]:
            visit(other)
        done.append(index)

    for index in range(len(solids)):
        visit(index)
    return [solids[index] for index in done]
