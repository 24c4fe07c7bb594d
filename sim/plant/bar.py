"""The bar: where its front end and rear end are, the kerf in it, and the pieces cut off.

Positions along x: the plane of the band is x = 0 at the fixed jaw, the bar arrives from x < 0, so
`front_m` is how far the bar stands out past the band along that jaw. The front end may be at an angle, or broken
by a cut that ran out of it (`trade.mitre`). The kerf takes x = 0 to kerf / cos(mitre); a piece is what
stands beyond it. What a broken-off cut left in the bar goes with it (`kerfs`).
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import hypot, tan
from typing import Final

from sim.kernel.long_list import LongList
from sim.plant.kerfs import Kerf, Kerfs
from sim.plant.surroundings import Site
from sim.trade import bow
from sim.trade.crush import dent_m, first_yield_n, pressed_n
from sim.trade.materials import Material
from sim.trade.mitre import BarEnd, lean_m, square_end, taken_off
from sim.trade.sections import Section
from sim.units import MM
from sim.words.fields import mm, newtons
from sim.words.message import Row, row

_MOST_DENTS = 32
HAIR_M: Final = 1e-6  # two places nearer to each other are one
CORNER_SEEN_M: Final = (
    0.2 * MM
)  # along the bar; a smaller one is taken for a burr; common practice, no source


def _crushed(vise: str) -> Row:
    return row(
        f"harm.tube-crushed.{vise.replace(' ', '-')}",
        f"The {vise} pressed with {{force}} and left a dent of {{dent}}; it takes {{takes}}.",
        force=newtons(), dent=mm(2), takes=newtons(),
    )  # fmt: skip


CRUSHED_BY_CUTTING_VISE = _crushed("cutting vise")
CRUSHED_BY_SHUTTLE_VISE = _crushed("shuttle vise")


@dataclass(frozen=True, slots=True)
class Stock:
    """What lies on the machine."""

    material: Material
    section: Section
    length_m: float
    front_m: float
    end_rad: float = 0.0  # at which its front end was cut, of a remnant
    bow_m: float = 0.0  # its rise to one side in any metre
    pressing_pa: float = 0.0  # locked in its skin, along the bar

    @property
    def mass_kg(self) -> float:
        """What it weighs as it comes, kg."""
        return self.section.mass_kg_m(self.material.density_kg_m3) * self.length_m


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece that fell on the outfeed."""

    at_us: int
    length_m: float  # along its longer edge: its long point, where the ends are not at one angle
    out_of_square: float = 0.0  # of its last face, m a m
    dent_m: float = 0.0  # the deepest that a vise left in it
    scatter_m: float = 0.0  # of its length, by chance
    lost_m: float = 0.0  # by which its shorter edge is shorter
    front_rad: float = 0.0  # angle of the end that was the bar's
    rear_rad: float = 0.0  # angle of the end that was cut last
    corner_m: float = 0.0  # along the bar, that is missing of a corner
    half_sawn: bool = False  # an old kerf stands in it
    burr_m: float = 0.0  # height of the burr at its lower edge
    gap_down_m: float = 0.0  # that its last face leaves under a square, from top to bottom
    gap_across_m: float = 0.0  # from side to side
    gapes_at_top: bool = (
        False  # its upper edge is known to be the shorter, for the bar hung at its rear
    )
    fed: bool = True  # the bar was moved between the cut before and this one

    @property
    def gap_m(self) -> float:
        """What its last face leaves under a square at the most, m."""
        return hypot(self.gap_down_m, self.gap_across_m)


def _end_of(stock: Stock) -> BarEnd:
    """Return the shape of a bar's front end, from its place at the fixed jaw."""
    end = square_end(stock.section.width_m)
    if not stock.end_rad:
        return end
    end = end.moved(lean_m(stock.section.width_m, stock.end_rad) + HAIR_M).cut(stock.end_rad)
    return end.moved(-end.x_at_m(0.0))


class Bar:
    """The bar in the machine."""

    def __init__(self, site: Site, stock: Stock) -> None:
        self._site = site
        self._mitre_rad = 0.0  # of the band over it
        self.load(stock)
        self.pieces: LongList[Piece] = LongList()
        self.scatter_m: Callable[[int], float] = lambda _piece: (
            0.0
        )  # of a piece by its number, from 0

    def load(self, stock: Stock) -> None:
        """Put a fresh bar in."""
        self.stock = stock
        self.height_m = stock.section.height_m
        """How high it stands above the bed, m."""
        self._front_m = stock.front_m
        self._carried: Callable[[], float] | None = None
        self.length_m = stock.length_m
        self.bow_m = stock.bow_m
        """Its rise to one side in any metre, m."""
        self.end = _end_of(stock)  # its shape, from its place at the fixed jaw
        self.end_rad = stock.end_rad  # the angle at which it was cut last
        self.corner_m = 0.0  # that the last cut left standing of the end before
        self.kerfs = Kerfs()
        self._feel_band()
        self._fed = False  # since the last cut
        # Of this stock: force on it and dent, by clamping force, jaw and what is left of its stroke.
        self._pressed: dict[tuple[float, float, float], tuple[float, float]] = {}
        self._dent_front_m = 0.0  # in the piece that comes off next
        self._dent_behind_m = 0.0  # in the jaws, behind the band

    @property
    def front_m(self) -> float:
        """Where the front end is now, m, also while the bar is carried."""
        return self._front_m if self._carried is None else self._carried()

    @property
    def rear_m(self) -> float:
        """Where the rear end is, m; negative while there is bar before the band."""
        front_m = self._front_m if self._carried is None else self._carried()
        return front_m - self.length_m

    @property
    def mass_kg(self) -> float:
        """What it weighs now, kg."""
        return self.stock.section.mass_kg_m(self.stock.material.density_kg_m3) * self.length_m

    def bend(self, bow_m: float) -> None:
        """Have it rise to one side by so much in any metre, m."""
        self.bow_m = bow_m

    def leans_rad(self, force_n: float, jaw_m: float) -> float:
        """Return by how much the face that is cut now is out of square to its piece by its bow, rad.

        Args:
            force_n: With which the jaws before the band press on it, N.
            jaw_m: Length of the jaws along the bar.
        """
        jaw_m = min(jaw_m, -self.rear_m)
        if not self.bow_m or jaw_m <= 0.0:
            return 0.0
        curvature = bow.curvature_1_m(self.bow_m)
        stiffness = self.stock.material.young_pa * bow.sideways_m4(self.stock.section)
        at_jaws = bow.lean_at_jaws_rad(curvature, jaw_m, stiffness, force_n)
        piece_m = max(self.front_m - self._site.machine.kerf_m, 0.0)
        return bow.face_lean_rad(at_jaws, curvature, piece_m)

    def _edges_differ_m(self, piece_m: float) -> float:
        """Return by how much the edges of a piece differ by its bow, m."""
        if not self.bow_m:
            return 0.0
        curvature = bow.curvature_1_m(self.bow_m)
        return bow.edges_differ_m(curvature, piece_m, self.stock.section.width_m)

    def shift(self, way_m: float) -> None:
        """Be pushed along by so much at once, m, at rest."""
        front_m = self.front_m
        self.ride(lambda: front_m + way_m)
        self.lie()

    @property
    def under_band(self) -> bool:
        """Whether the band would come down on bar."""
        return self.beyond_m > 0.0 > self.rear_m and self.length_m > 0.0

    @property
    def beyond_m(self) -> float:
        """How far the bar stands out past the band where it does so most, m along it."""
        return self.front_m + self._reach_m

    def swing(self, mitre_rad: float) -> None:
        """Have the band over it at another angle."""
        self._mitre_rad = mitre_rad
        self._feel_band()

    def _feel_band(self) -> None:
        """Find out anew how end and kerfs lie to the band."""
        slope = tan(self._mitre_rad)
        reach_m = max([x_m - slope * across_m for across_m, x_m in self.end.points])
        self._reach_m = reach_m if abs(reach_m) > HAIR_M else 0.0
        self.old_kerf = self.kerfs.at(-self.rear_m, self._mitre_rad)
        """What a broken-off cut left where the band goes in now."""

    @property
    def kerf_depth_m(self) -> float:
        """Depth of the kerf under the band, m."""
        return self.old_kerf.depth_m if self.old_kerf is not None else 0.0

    def saw_to(self, depth_m: float, width_m: float, room_m: float, band: int) -> None:
        """Be sawn to a depth where the band is.

        Args:
            depth_m: From the top, m.
            width_m: Of the kerf.
            room_m: On each side of the band's back in it.
            band: Number of the band.
        """
        depth_m = min(depth_m, self.height_m)
        self.kerfs.saw(Kerf(-self.rear_m, self._mitre_rad, depth_m, width_m, room_m, band))
        self._feel_band()

    @property
    def kerf_beside(self) -> tuple[Kerf, float] | None:
        """The old kerf on whose edge the band would come down, and how far aside it lies, m."""
        return self.kerfs.beside(-self.rear_m, self._mitre_rad) if self.kerfs.all else None

    @property
    def work_top_m(self) -> float:
        """Height at which the band meets metal, m: the top of the bar, or the bottom of its kerf."""
        return self.height_m - self.kerf_depth_m

    def reaches(self, from_m: float, to_m: float) -> bool:
        """Return whether the bar fills the stretch from one x to another, m."""
        return self.rear_m <= from_m and self.front_m >= to_m

    def overlaps(self, from_m: float, to_m: float) -> bool:
        """Return whether any of the bar lies between one x and another, m."""
        return self.rear_m < to_m - HAIR_M and self.front_m > from_m + HAIR_M

    def ride(self, front_m: Callable[[], float]) -> None:
        """Be carried: from now on the front end is where `front_m` says."""
        self._carried = front_m

    def lie(self) -> None:
        """Lie where it was carried to, with what was begun in it."""
        front_m = self.front_m
        self._carried = None
        if front_m != self._front_m:
            self._front_m = front_m
            self._feel_band()
            self._fed = True

    def press(self, clamping_n: float, jaw_m: float, stroke_m: float, crushed: Row) -> float:
        """Take the jaws of a vise, and return what they then press with, N; a wall that yields keeps a dent.

        Args:
            clamping_n: What the cylinder gives, N.
            jaw_m: Length along the bar that they clamp, m.
            stroke_m: What is left of the jaw's stroke where it meets the bar, m.
            crushed: What to tell of a dent: which vise pressed.
        """
        of = clamping_n, jaw_m, stroke_m
        found = self._pressed.get(of)
        if found is None:
            if len(self._pressed) >= _MOST_DENTS:
                self._pressed.clear()
            section, material = self.stock.section, self.stock.material
            found = (
                pressed_n(section, material, clamping_n, jaw_m, stroke_m),
                dent_m(section, material, clamping_n, jaw_m, stroke_m),
            )
            self._pressed[of] = found
        force_n, depth_m = found
        if depth_m > self._site.machine.dent_seen_m:
            self._dent_behind_m = max(self._dent_behind_m, depth_m)
            takes_n = first_yield_n(self.stock.section, self.stock.material, jaw_m)
            self._site.tell("tube-crushed", crushed(force=force_n, dent=depth_m, takes=takes_n))
        return force_n

    @property
    def dent_m(self) -> float:
        """The deepest dent that a vise has left behind the band since the last piece, m."""
        return self._dent_behind_m

    @property
    def dent_front_m(self) -> float:
        """The deepest dent in what comes off next, m."""
        return self._dent_front_m

    def part(
        self,
        slid_m: float = 0.0,
        out_of_square: float = 0.0,
        burr_m: float = 0.0,
        gaps_m: tuple[float, float] = (0.0, 0.0),
        *,
        gapes_at_top: bool = False,
    ) -> Piece | None:
        """Cut the bar through at the band; return the piece, or None if only the face was skimmed.

        Args:
            slid_m: How far the bar slid towards the outfeed while it was cut.
            out_of_square: Of the face just cut, m a m.
            burr_m: Height of the burr that the cut leaves.
            gaps_m: That it leaves under a square, m: from top to bottom, and from side to side.
            gapes_at_top: Whether the first of them is known to be at the top.
        """
        self.lie()
        half_sawn = self.kerfs.part(-self.rear_m)
        fed, self._fed = self._fed, False
        scatter_m = self.scatter_m(len(self.pieces)) if fed else 0.0
        self._front_m += slid_m + scatter_m
        mitre_rad, end = self._mitre_rad, self.end.moved(self._front_m)
        off = taken_off(end, mitre_rad, self._site.machine.kerf_m)
        piece = None
        if off.long_m > 0.0:
            bowed_m = self._edges_differ_m(off.long_m)
            piece = Piece(
                self._site.clock.now_us, off.long_m + bowed_m / 2.0, out_of_square, self._dent_front_m,
                scatter_m, off.long_m - off.short_m + bowed_m, self.end_rad, mitre_rad, self.corner_m,
                half_sawn, burr_m, *gaps_m, gapes_at_top, fed,
            )  # fmt: skip
            self.pieces.append(piece)
            self._dent_front_m, self._dent_behind_m = self._dent_behind_m, 0.0
        self.end_rad, self.corner_m = mitre_rad, off.corner_m
        self.end = end.cut(mitre_rad)
        front_m = self.end.x_at_m(0.0)
        self.end = self.end.moved(-front_m)
        self.length_m -= self._front_m - front_m
        self._front_m = front_m
        self._feel_band()
        return piece
