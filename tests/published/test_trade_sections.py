"""Bar sections against shapely's intersections, handbook masses and closed forms.

Tags: FOUND = seen in a named page; MEMORY = recalled; DERIVED = mathematics.
"""

from itertools import pairwise
from math import acos, pi, radians, sqrt

import pytest
from scipy.integrate import quad
from shapely import LineString, Point, Polygon, affinity, box, union_all
from shapely.geometry.base import BaseGeometry

from sim.errors import DrycycleError
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
    mitre_factor,
)

MM = 1e-3


def _upright_box(width_mm: float, height_mm: float, centre_y_mm: float) -> Polygon:
    half_w, half_h = width_mm / 2, height_mm / 2
    return box(-half_w, centre_y_mm - half_h, half_w, centre_y_mm + half_h)


def _v(leg_mm: float, thickness_mm: float) -> BaseGeometry:
    """Build an angle from two plain flats, turned so that its corner is the apex on top."""
    flats = union_all([box(0, 0, leg_mm, thickness_mm), box(0, 0, thickness_mm, leg_mm)])
    return affinity.rotate(flats, 45, origin=(0, 0))


def _row(shape: BaseGeometry, width_mm: float, height_mm: float, count: int, rows: int):
    return union_all(
        [
            affinity.translate(shape, (i - (count - 1) / 2) * width_mm, j * height_mm)
            for i in range(count)
            for j in range(rows)
        ]
    )


ROUND_30 = Point(0, 15).buffer(15, quad_segs=4000)
TUBE_60 = Point(0, 30).buffer(30, quad_segs=4000) - Point(0, 30).buffer(25, quad_segs=4000)
BEAM_100 = union_all(
    [_upright_box(55, 5.7, 2.85), _upright_box(55, 5.7, 97.15), _upright_box(4.1, 100, 50)]
)

# our section, the same built by shapely with depth as its y, in mm; and how well arcs fit
DRAWN: dict[str, tuple[Section, BaseGeometry, float]] = {
    "round": (Round(30 * MM), ROUND_30, 2e-5),
    "square": (Square(50 * MM), _upright_box(50, 50, 25), 1e-9),
    "rectangle": (Rectangle(80 * MM, 20 * MM), _upright_box(80, 20, 10), 1e-9),
    "round tube": (RoundTube(60 * MM, 5 * MM), TUBE_60, 2e-5),
    "square tube": (
        SquareTube(50 * MM, 4 * MM),
        _upright_box(50, 50, 25) - _upright_box(42, 42, 25),
        1e-9,
    ),
    "rectangular tube": (
        RectangularTube(80 * MM, 40 * MM, 3 * MM),
        _upright_box(80, 40, 20) - _upright_box(74, 34, 20),
        1e-9,
    ),
    "angle": (Angle(50 * MM, 5 * MM), _v(50, 5), 1e-9),
    "beam": (IBeam(100 * MM, 55 * MM, 4.1 * MM, 5.7 * MM), BEAM_100, 1e-9),
    "bundle": (Bundle(Round(30 * MM), 4, 2), _row(ROUND_30, 30, 30, 4, 2), 2e-5),
    "row of squares": (
        Bundle(Square(20 * MM), 4, 2),
        _row(_upright_box(20, 20, 10), 20, 20, 4, 2),
        1e-9,
    ),
    "bundle of tubes": (Bundle(RoundTube(60 * MM, 5 * MM), 3), _row(TUBE_60, 60, 60, 3, 1), 2e-5),
}
EVERY_SHAPE = pytest.mark.parametrize("shape", DRAWN)


def _drawn_intervals_m(drawing: BaseGeometry, depth_m: float) -> list[tuple[float, float]]:
    depth_mm = depth_m / MM
    crossing = drawing.intersection(LineString([(-500, depth_mm), (500, depth_mm)]))
    lines = [part for part in getattr(crossing, "geoms", [crossing]) if part.length > 1e-9]
    return sorted((part.bounds[0] * MM, part.bounds[2] * MM) for part in lines)


@EVERY_SHAPE
def test_the_band_meets_metal_exactly_where_the_drawing_has_it(shape: str) -> None:
    # DERIVED, against shapely
    section, drawing, fit = DRAWN[shape]
    # a depth never on a break, and off the first hair of an arc, which the drawing's polygon
    # makes flat
    for share in (0.013, 0.07, 0.17, 0.31, 0.43, 0.51, 0.69, 0.77, 0.93, 0.987):
        depth_m = section.height_m * share
        ours = section.contact_intervals_m(depth_m)
        drawn = _drawn_intervals_m(drawing, depth_m)

        assert len(ours) == len(drawn)
        for (start_m, end_m), (drawn_start_m, drawn_end_m) in zip(ours, drawn, strict=True):
            assert start_m == pytest.approx(drawn_start_m, abs=section.width_m * fit)
            assert end_m == pytest.approx(drawn_end_m, abs=section.width_m * fit)
        lengths_m = sum(end_m - start_m for start_m, end_m in ours)
        assert section.contact_length_m(depth_m) == pytest.approx(lengths_m, rel=1e-12)


@EVERY_SHAPE
def test_area_height_and_width_are_those_of_the_drawing(shape: str) -> None:
    # DERIVED, against shapely
    section, drawing, fit = DRAWN[shape]
    left, top, right, bottom = drawing.bounds

    assert section.area_m2 == pytest.approx(drawing.area * MM**2, rel=10 * fit)
    assert section.height_m == pytest.approx((bottom - top) * MM, rel=fit)
    assert section.width_m == pytest.approx((right - left) * MM, rel=fit)


@EVERY_SHAPE
def test_contact_summed_over_the_depth_is_the_area_of_the_section(shape: str) -> None:
    # DERIVED, against scipy quad between the breaks
    section = DRAWN[shape][0]
    swept_m2 = sum(
        quad(section.contact_length_m, top_m, bottom_m, epsabs=0, epsrel=1e-11)[0]
        for top_m, bottom_m in pairwise(section.breaks_m)
    )

    assert swept_m2 == pytest.approx(section.area_m2, rel=1e-9)


@pytest.mark.parametrize(("depth_mm", "area_mm2"), [(10, 279.56), (25, 981.75)])
def test_area_cut_of_a_round_bar_is_the_circular_segment(depth_mm: float, area_mm2: float) -> None:
    # DERIVED, closed form of the segment; and its two worked numbers
    cut_mm2 = (
        quad(Round(50 * MM).contact_length_m, 0, depth_mm * MM, epsabs=0, epsrel=1e-11)[0] / MM**2
    )
    r = 25.0
    closed_mm2 = r * r * acos((r - depth_mm) / r) - (r - depth_mm) * sqrt(
        2 * r * depth_mm - depth_mm**2
    )

    assert cut_mm2 == pytest.approx(closed_mm2, rel=1e-9)
    assert cut_mm2 == pytest.approx(area_mm2, abs=0.005)


@pytest.mark.parametrize(
    ("section", "depth_mm", "contact_mm"),
    [  # all DERIVED, worked by hand
        (Round(0.05), 10, 40.0),
        (Round(0.05), 25, 50.0),
        (RoundTube(0.06, 0.005), 2.5, 23.979),
        (RoundTube(0.06, 0.005), 5, 33.166),
        (RoundTube(0.06, 0.005), 10, 14.721),
        (RoundTube(0.06, 0.005), 30, 10.0),
        (SquareTube(0.05, 0.004), 2, 50.0),
        (SquareTube(0.05, 0.004), 25, 8.0),
        (Angle(0.05, 0.005), 2, 4.0),
        (Angle(0.05, 0.005), 5, 10.0),
        (Angle(0.05, 0.005), 10, 14.142),
        (Angle(0.05, 0.005), 30, 14.142),
    ],
)
def test_contact_length_of_worked_bars(
    section: Section, depth_mm: float, contact_mm: float
) -> None:
    assert section.contact_length_m(depth_mm * MM) == pytest.approx(contact_mm * MM, abs=6e-7)


def test_a_tube_has_its_longest_contact_where_the_bore_is_just_reached() -> None:
    # DERIVED: 2 sqrt(t (D - t))
    tube = RoundTube(0.06, 0.005)
    at_bore_m = tube.contact_length_m(0.005)
    elsewhere_m = max(tube.contact_length_m(0.06 * i / 997) for i in range(998))

    assert at_bore_m == pytest.approx(2 * sqrt(0.005 * 0.055), rel=1e-12)
    assert elsewhere_m <= at_bore_m


def test_areas_of_worked_bars() -> None:
    # DERIVED
    assert Round(0.05).area_m2 == pytest.approx(1963.50e-6, rel=4e-6)
    assert Round(0.05).area_m2 / 0.05 == pytest.approx(39.270e-3, rel=2e-5)
    assert RoundTube(0.06, 0.005).area_m2 == pytest.approx(863.94e-6, rel=5e-6)
    assert SquareTube(0.05, 0.004).area_m2 == pytest.approx(736e-6, rel=1e-12)
    assert Angle(0.05, 0.005).area_m2 == pytest.approx(475e-6, rel=1e-12)
    assert Angle(0.05, 0.005).height_m == pytest.approx(38.891e-3, abs=5e-7)


@pytest.mark.parametrize(
    ("diameter_mm", "printed_kg_m"),
    [(10, 0.617), (16, 1.578), (20, 2.466), (25, 3.853), (40, 9.865)],
)
def test_mass_a_metre_of_round_steel_is_the_printed_one(
    diameter_mm: float, printed_kg_m: float
) -> None:
    # FOUND: fantasticeng.com bar table, printed to three decimals
    assert Round(diameter_mm * MM).mass_kg_m(7850) == pytest.approx(printed_kg_m, abs=0.0006)


@pytest.mark.parametrize(
    ("section", "mass_kg_m"),
    [  # DERIVED at 7850 kg/m3
        (Round(0.03), 5.549),
        (Round(0.05), 15.413),
        (Round(0.06), 22.195),
        (Round(0.08), 39.458),
        (Round(0.1), 61.654),
        (Square(0.05), 19.625),
        (RoundTube(0.06, 0.005), 6.782),
        (SquareTube(0.05, 0.004), 5.778),
    ],
)
def test_mass_a_metre_of_worked_bars(section: Section, mass_kg_m: float) -> None:
    assert section.mass_kg_m(7850) == pytest.approx(mass_kg_m, abs=0.0006)


def test_the_rule_of_thumb_for_round_steel_is_a_tenth_of_a_per_cent_heavy() -> None:
    # FOUND: d^2 / 162 in several workshop tables; 25 mm gives 3.858
    assert Round(0.025).mass_kg_m(7850) == pytest.approx(25**2 / 162, rel=0.002)


@pytest.mark.parametrize("degrees", [15, 30, 45, 60])
def test_a_mitre_stretches_contact_as_shapely_shears_the_outline(degrees: float) -> None:
    # DERIVED: the slanted plane through a bar, projected along the band
    drawing = affinity.scale(ROUND_30, xfact=1 / sqrt(1 - (sqrt(1 - _cos2(degrees))) ** 2))
    drawn = _drawn_intervals_m(drawing, 11 * MM)
    contact_m = Round(30 * MM).contact_length_m(11 * MM) * mitre_factor(radians(degrees))

    assert contact_m == pytest.approx(drawn[0][1] - drawn[0][0], rel=1e-6)


def _cos2(degrees: float) -> float:
    return {15: (2 + sqrt(3)) / 4, 30: 3 / 4, 45: 1 / 2, 60: 1 / 4}[degrees]


def test_a_sixty_degree_mitre_doubles_the_contact() -> None:
    # DERIVED
    assert mitre_factor(pi / 3) == pytest.approx(2.0, rel=1e-12)


def test_a_round_is_widest_and_a_round_tube_thinnest_at_one_of_its_breaks() -> None:
    # DERIVED: the diameter, and two walls
    bar, tube = Round(60 * MM), RoundTube(60 * MM, 3 * MM)

    assert max(bar.contact_length_m(d) for d in bar.breaks_m) == pytest.approx(60 * MM, rel=1e-9)
    inner = [d for d in tube.breaks_m if 3 * MM < d < 57 * MM]
    assert min(tube.contact_length_m(d) for d in inner) == pytest.approx(6 * MM, rel=1e-9)


@pytest.mark.parametrize("wall_mm", [29.0, 29.9])
def test_a_tube_with_hardly_a_bore_is_a_tube_and_one_without_is_refused(wall_mm: float) -> None:
    assert RoundTube(60 * MM, wall_mm * MM).area_m2 < Round(60 * MM).area_m2
    with pytest.raises(DrycycleError):
        RoundTube(60 * MM, 30 * MM)
