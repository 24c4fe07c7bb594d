"""A thing on the picture in the round that is a sprite by its state, and the heap of such sprites."""

from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass

from sim.view.picture.round.camera import Camera, Place, Spot
from sim.view.picture.round.shading import Board, Painter, Sprite, reach, sprite


@dataclass(frozen=True, slots=True)
class Thing:
    """One thing as it stands: what its picture hangs on, where it is, and how it is painted."""

    key: Hashable
    spots: Callable[[], Sequence[Spot]]
    paint: Callable[[Painter], None]
    by: Place = (0.0, 0.0)
    part: str = ""

    @property
    def face(self) -> Hashable:
        """What its picture hangs on, and where it is."""
        return self.key, round(self.by[0]), round(self.by[1])


class Heap:
    """Sprites of things before one camera, each painted once for its state."""

    def __init__(self, camera: Camera) -> None:
        self._camera = camera
        self._sprites: dict[Hashable, Sprite] = {}

    def put(self, board: Board, things: Iterable[Thing]) -> None:
        """Draw things in their order."""
        for thing in things:
            found = self._sprites.get(thing.key)
            if found is None:
                edge = round(self._camera.px_per_m * 0.05) + 4
                area = reach(self._camera, thing.spots(), edge=edge)
                found = self._sprites[thing.key] = sprite(self._camera, area, thing.paint)
            found.put(board, thing.by)
