"""The bar: where its front end and rear end are, the kerf in it, and the pieces cut off.

Positions along x: the blade plane is x = 0, the bar arrives from x < 0, so `front_m` is how far the
bar stands out past the blade. The kerf takes x = 0 to kerf; a piece is what stands beyond it.

Imports `trade` and `surroundings`.
"""

from collections.abc import Callable
from dataclasses import dataclass

from sim.plant.surroundings import Site
from sim.trade.materials import Material
from sim.trade.sections import Section


@dataclass(frozen=True, slots=True)
class Stock:
    """What lies on the machine."""

    material: Material
    section: Section
    length_m: float
    front_m: float


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece that fell on the outfeed."""

    at_us: int
    length_m: float


class Bar:
    """The bar in the machine."""

    def __init__(self, site: Site, stock: Stock) -> None:
        self._site = site
        self.load(stock)
        self.pieces: list[Piece] = []

    def load(self, stock: Stock) -> None:
        """Put a fresh bar in."""
        self.stock = stock
        self._front_m = stock.front_m
        self._carried: Callable[[], float] | None = None
        self.length_m = stock.length_m
        self.kerf_depth_m = 0.0  # of the kerf under the band

    @property
    def front_m(self) -> float:
        """Where the front end is now, also while the bar is carried."""
        return self._front_m if self._carried is None else self._carried()

    @property
    def rear_m(self) -> float:
        """Where the rear end is, m; negative while there is bar before the blade."""
        return self.front_m - self.length_m

    @property
    def height_m(self) -> float:
        """How high the bar stands above the bed."""
        return self.stock.section.height_m

    @property
    def under_band(self) -> bool:
        """Whether the band would come down on bar."""
        return self.front_m > 0.0 > self.rear_m and self.length_m > 0.0

    @property
    def work_top_m(self) -> float:
        """Height at which the band meets metal: the top of the bar, or the bottom of its kerf."""
        return self.height_m - self.kerf_depth_m

    def reaches(self, from_m: float, to_m: float) -> bool:
        """Return whether the bar fills the stretch of x from one place to another."""
        return self.rear_m <= from_m and self.front_m >= to_m

    def ride(self, front_m: Callable[[], float]) -> None:
        """Be carried: from now on the front end is where `front_m` says."""
        self._carried = front_m

    def lie(self) -> None:
        """Lie where it was carried to; a kerf that was begun is no longer under the band."""
        front_m = self.front_m
        self._carried = None
        if front_m != self._front_m:
            self._front_m = front_m
            self.kerf_depth_m = 0.0

    def part(self) -> Piece | None:
        """Cut the bar through at the blade; return the piece, or None if only the face was skimmed."""
        self.lie()
        kerf_m = self._site.machine.kerf_m
        piece = None
        if self.front_m > kerf_m:
            piece = Piece(self._site.clock.now_us, self.front_m - kerf_m)
            self.pieces.append(piece)
        self.length_m -= self.front_m
        self._front_m = 0.0
        self.kerf_depth_m = 0.0
        return piece
