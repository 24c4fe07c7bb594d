"""A mitred cut from above, against shapely: kerf along the bar, trim, corners, long and short points, chips.

The laws are plane geometry. That the long point of an end is its outer tip, and that a piece with both ends
parallel is measured along an edge, is common practice, no source.
"""

from math import cos, isclose, pi, radians, tan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Polygon, box
from shapely.affinity import translate

from sim.trade.kerf import binds, kerf_width_m, room_m
from sim.trade.mitre import BarEnd, kerf_along_m, lean_m, square_end, taken_off
from sim.trade.sections import Rectangle, Round, Square

DEGREES = (0, 15, 30, 45, 60)
angles = st.floats(0.0, 60.0).map(radians)
widths_m = st.floats(0.01, 0.3)
kerfs_m = st.floats(0.0005, 0.004)


def strip(mitre_rad: float, kerf_m: float, far_m: float = 10.0) -> Polygon:
    """What the band takes out of a plane, its rear side through the origin: made by its width, square to its plane."""
    along = far_m * tan(mitre_rad)
    line = LineString([(-along, -far_m), (along, far_m)])
    slot = line.buffer(kerf_m / 2.0, cap_style="flat")
    # Half a kerf square to the plane, so that the rear side goes through the origin.
    return translate(
        slot, kerf_m / 2.0 * cos(mitre_rad), -kerf_m / 2.0 * (1 - cos(mitre_rad) ** 2) ** 0.5
    )


def polygon(end: BarEnd, rear_m: float) -> Polygon:
    """A bar from above, from its rear to its end: x along it, y across it."""
    return Polygon(
        [(rear_m, 0.0), *((x, across) for across, x in end.points), (rear_m, end.width_m)]
    )


@pytest.mark.parametrize(("degrees", "more_mm"), [(0, 0.0), (30, 0.232), (45, 0.621), (60, 1.5)])
def test_a_kerf_of_a_millimetre_and_a_half_takes_so_much_more_along_the_bar(degrees, more_mm):
    # DERIVED: 1.5 / cos - 1.5, and the strip of that width crossed by a line along the bar
    along_m = kerf_along_m(1.5e-3, radians(degrees))
    crossed = strip(radians(degrees), 1.5e-3).intersection(LineString([(-1, 0.007), (1, 0.007)]))

    assert (along_m - 1.5e-3) * 1e3 == pytest.approx(more_mm, abs=5e-4)
    assert along_m == pytest.approx(crossed.length, rel=1e-9)


@given(angles, widths_m, kerfs_m, st.floats(0.0, 0.5))
def test_what_a_cut_takes_off_a_square_end_is_what_shapely_leaves_beyond_its_strip(
    mitre_rad, width_m, kerf_m, front_m
):
    # DERIVED, against shapely
    end = square_end(width_m, front_m)
    off = taken_off(end, mitre_rad, kerf_m)
    slope, along_m = tan(mitre_rad), kerf_along_m(kerf_m, mitre_rad)
    beyond = Polygon(
        [(along_m, 0.0), (9.0, 0.0), (9.0, width_m), (along_m + slope * width_m, width_m)]
    )
    piece = polygon(end, -1.0).intersection(beyond)
    lines = [
        piece.intersection(LineString([(-1.0, across), (9.0, across)])).length
        for across in (1e-9, width_m - 1e-9)
    ]

    assert off.long_m == pytest.approx(max(lines), abs=1e-7)
    assert off.short_m == pytest.approx(min(lines), abs=1e-7)


@given(angles, widths_m, st.floats(0.0, 0.6))
def test_an_end_that_stands_out_by_less_than_width_by_tangent_keeps_a_corner(
    mitre_rad, width_m, front_m
):
    # DERIVED, against shapely: what is left of a square end between the plane of the cut and its own
    lean = lean_m(width_m, mitre_rad)
    end = square_end(width_m, front_m)
    off = taken_off(end, mitre_rad, 1.5e-3)
    whole = polygon(BarEnd(((0.0, 0.0), (width_m, lean))), -1.0)
    missing_m2 = whole.difference(polygon(end, -1.0)).area
    left = end.cut(mitre_rad)

    assert (off.corner_m > 1e-9) == (front_m < lean - 1e-9)
    assert off.corner_m == pytest.approx(max(0.0, lean - front_m), abs=1e-12)
    assert isclose(polygon(left, -1.0).area, whole.area - missing_m2, rel_tol=1e-9, abs_tol=1e-12)


@pytest.mark.parametrize("degrees", DEGREES)
@pytest.mark.parametrize("before", DEGREES)
def test_a_cut_at_one_angle_on_an_end_at_another_leaves_what_shapely_leaves(before, degrees):
    # DERIVED, against shapely; straight on a mitred end, and the reverse, among them
    width_m, front_m = 0.05, 0.02
    end = square_end(width_m, 0.2).cut(radians(before)).moved(front_m)
    cut = end.cut(radians(degrees))
    slope = tan(radians(degrees))
    kept = Polygon([(-1.0, 0.0), (0.0, 0.0), (slope * width_m, width_m), (-1.0, width_m)])
    by_shapely = polygon(end, -1.0).intersection(kept)

    assert polygon(cut, -1.0).symmetric_difference(by_shapely).area == pytest.approx(0.0, abs=1e-12)
    gone = taken_off(end, radians(degrees), 1.5e-3).corner_m
    assert (gone > 0.0) == (by_shapely.area < kept.area - 1e-12)


def test_an_end_stands_at_every_place_across_where_numpy_has_it():
    # DERIVED, against numpy.interp, which is held at the edges too
    end = square_end(0.08, 0.03).cut(radians(45)).moved(0.4)
    across, along = (np.array(each) for each in zip(*end.points, strict=True))
    places = [-0.01, 0.0, 0.011, 0.03, 0.055, 0.0799, 0.08, 0.1]

    assert len(end.points) > 2
    assert [end.x_at_m(place) for place in places] == pytest.approx(
        list(np.interp(places, across, along)), abs=1e-12
    )


@pytest.mark.parametrize("degrees", DEGREES)
def test_both_edges_of_a_piece_between_two_cuts_of_one_angle_are_as_long_as_the_feed_less_kerf_by_cosine(
    degrees,
):
    # DERIVED, against shapely
    mitre_rad, width_m, kerf_m, travel_m = radians(degrees), 0.04, 1.5e-3, 0.302
    end = square_end(width_m, 0.2).cut(mitre_rad)
    fed = end.moved(travel_m)
    off = taken_off(fed, mitre_rad, kerf_m)
    beyond = polygon(fed, -1.0).difference(
        polygon(
            BarEnd(tuple((a, x + kerf_along_m(kerf_m, mitre_rad)) for a, x in end.points)), -1.0
        )
    )

    assert off.long_m == pytest.approx(off.short_m, abs=1e-12)
    assert off.long_m == pytest.approx(travel_m - kerf_m / cos(mitre_rad), abs=1e-12)
    assert beyond.bounds[2] - beyond.bounds[0] == pytest.approx(
        off.long_m + lean_m(width_m, mitre_rad), abs=1e-9
    )
    assert beyond.area == pytest.approx(off.long_m * width_m, rel=1e-9)


@given(angles, kerfs_m, st.sampled_from([Square(0.04), Rectangle(0.05, 0.07), Round(0.06)]))
def test_chips_are_kerf_by_the_area_of_the_face_at_any_angle(mitre_rad, kerf_m, section):
    # DERIVED: the strip cut out of the bar is its section by the kerf along it; the face is section / cos
    face_m2 = section.area_m2 / cos(mitre_rad)

    assert kerf_along_m(kerf_m, mitre_rad) * section.area_m2 == pytest.approx(
        kerf_m * face_m2, rel=1e-12
    )
    bar = box(-1.0, 0.0, 1.0, section.width_m)
    out_m2 = bar.intersection(strip(mitre_rad, kerf_m)).area
    assert out_m2 == pytest.approx(kerf_along_m(kerf_m, mitre_rad) * section.width_m, rel=1e-6)


def test_forty_five_degrees_run_as_far_along_the_bar_as_it_is_wide():
    # DERIVED
    assert lean_m(0.04, pi / 4) == pytest.approx(0.04, rel=1e-12)


def test_a_worn_band_saws_a_narrower_slot_that_a_new_one_does_not_go_into():
    # from memory: a third of the set is gone at the end of a band's life; no source
    new, old = (kerf_width_m(1.5e-3, 1.1e-3, worn) for worn in (0.0, 1.0))

    assert new == pytest.approx(1.5e-3)
    assert (new - old) / (new - 1.1e-3) == pytest.approx(0.33, abs=0.01)
    assert kerf_width_m(1.5e-3, 1.1e-3, 0.5) == pytest.approx((new + old) / 2)
    assert binds(new, old)
    assert binds(new, new)
    assert not binds(old, new)
    assert room_m(new, 1.1e-3) == pytest.approx(0.2e-3)
