"""Three fixed cameras: metres of the machine to px, by parallel projection.

Axes as in the drawing: x along the bar towards the outfeed, y across towards the rear, z up; the bed is at
z = 0, the fixed jaw at y = 0, the band at x = 0. Parallel projection, so that what slides on the machine
slides on the screen and keeps its shape.
"""

from dataclasses import dataclass
from math import cos, radians, sin
from typing import Final

from pygame import Rect

from sim.words.message import Message, plain

Spot = tuple[float, float, float]  # on the machine, m
Place = tuple[float, float]  # on the screen, px


@dataclass(frozen=True, slots=True)
class Sight:
    """One place to look from.

    Attributes:
        name: Of the camera.
        title: In words.
        turn_deg: How far to the right of straight in front it stands.
        rise_deg: How far it looks down.
        middle: What is in the middle of its picture, m.
        high_m: What its picture shows at least from top to bottom, m.
        wide_m: From left to right.
    """

    name: str
    title: Message
    turn_deg: float
    rise_deg: float
    middle: Spot
    high_m: float
    wide_m: float


OPERATOR: Final = Sight(
    "operator", plain("picture.from.operator", "From the operator"),
    36.0, 22.0, (-0.06, 0.0, 0.088), 0.555, 0.90,
)  # fmt: skip
INFEED: Final = Sight(
    "infeed", plain("picture.from.infeed", "From the infeed"),
    -34.0, 24.0, (-0.20, -0.06, 0.095), 0.68, 0.96,
)  # fmt: skip
CABINET: Final = Sight(
    "cabinet", plain("picture.from.cabinet", "From the cabinet"),
    -14.0, 20.0, (-0.40, -0.30, 0.01), 0.74, 0.98,
)  # fmt: skip
SIGHTS: Final = (OPERATOR, INFEED, CABINET)


class Camera:
    """One place to look from, with the picture that it fills.

    Args:
        sight: Where it looks from.
        area: What it fills, px.
        clear: What of the area lies under nothing else; what it looks at is in the middle of that.
    """

    def __init__(self, sight: Sight, area: Rect, clear: Rect | None = None) -> None:
        self.sight = sight
        self.area = area
        self.clear = clear = clear or area
        self.px_per_m = min(clear.height / sight.high_m, clear.width / sight.wide_m)
        turn, rise = radians(sight.turn_deg), radians(sight.rise_deg)
        px = self.px_per_m
        self.x = cos(turn) * px, sin(turn) * sin(rise) * px
        self.y = sin(turn) * px, -cos(turn) * sin(rise) * px
        self.z = 0.0, -cos(rise) * px
        self.right = cos(turn), sin(turn), 0.0
        self.up = -sin(turn) * sin(rise), cos(turn) * sin(rise), cos(rise)
        self.near = sin(turn) * cos(rise), -cos(turn) * cos(rise), sin(rise)
        """Towards the eye."""
        middle = self.along(*sight.middle)
        self.origin = clear.centerx - middle[0], clear.centery - middle[1]

    def along(self, x_m: float, y_m: float, z_m: float) -> Place:
        """Return a way on the machine as a way on the screen."""
        return (
            x_m * self.x[0] + y_m * self.y[0],
            x_m * self.x[1] + y_m * self.y[1] + z_m * self.z[1],
        )

    def at(self, x_m: float, y_m: float, z_m: float) -> Place:
        """Return the place on the screen of a place on the machine."""
        across, down = self.along(x_m, y_m, z_m)
        return self.origin[0] + across, self.origin[1] + down
