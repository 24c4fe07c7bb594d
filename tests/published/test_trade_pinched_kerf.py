"""How far the mouth of a slot comes together by stress that is locked in a bar, against plane elements of our own.

The strip is meshed in squares of four nodes in plane stress, half of it by symmetry: what is sawn is free and
pressed on as the stress that it lets go of would, what is not yet sawn keeps to the plane of the cut. The formula in
`sim.trade.kerf` is from the handbook of cracks by Tada, Paris and Irwin: MEMORY.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import spsolve

from sim.trade.kerf import (
    SKIN,
    hanging_pa,
    mouth_closed_m,
    mouth_opened_m,
    pinched_at_m,
    room_m,
)
from sim.units import MM, MPA

YOUNG_PA, POISSON = 210e9, 0.3


def _square() -> np.ndarray:
    """Stiffness of a square of four nodes, one thick, in plane stress, by two Gauss points a way."""
    elastic = YOUNG_PA / (1 - POISSON**2) * np.array(
        [[1, POISSON, 0], [POISSON, 1, 0], [0, 0, (1 - POISSON) / 2]]
    )  # fmt: skip
    corners = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)])
    stiffness = np.zeros((8, 8))
    for r in (-(3**-0.5), 3**-0.5):
        for s in (-(3**-0.5), 3**-0.5):
            by_r = corners[:, 0] * (1 + corners[:, 1] * s) / 4
            by_s = corners[:, 1] * (1 + corners[:, 0] * r) / 4
            strain = np.zeros((3, 8))
            strain[0, 0::2], strain[1, 1::2] = by_r, by_s
            strain[2, 0::2], strain[2, 1::2] = by_s, by_r
            stiffness += strain.T @ elastic @ strain  # of any size of square
    return stiffness


def mouth_by_elements_m(
    pressing_pa: float, depth_m: float, height_m: float, cells: int, *, bent: bool = False
) -> float:
    """Return by how much the mouth of a slot comes together, by elements, m.

    Args:
        pressing_pa: What presses on the plane of the cut, Pa; of a bent bar at its top.
        depth_m: Of the slot.
        height_m: Of the strip.
        cells: Over the height.
        bent: Whether it goes evenly to as much that draws at the bottom; else it is the same all over.
    """
    size_m = height_m / cells
    along, sawn = 3 * cells, round(depth_m / size_m)

    def node(x: int, y: int) -> int:
        return x * (cells + 1) + y

    square, rows, columns, values = _square(), [], [], []
    for x in range(along):
        for y in range(cells):
            nodes = (node(x, y), node(x + 1, y), node(x + 1, y + 1), node(x, y + 1))
            dofs = np.array([2 * n + way for n in nodes for way in (0, 1)])
            rows.append(np.repeat(dofs, 8))
            columns.append(np.tile(dofs, 8))
            values.append(square.ravel())
    count = 2 * (along + 1) * (cells + 1)
    whole = coo_matrix(
        (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))), (count, count)
    ).tocsc()
    load = np.zeros(count)
    for y in range(sawn):  # of each edge between two nodes, half to each, towards the cut
        share = 1.0 - (2 * y + 1) / cells if bent else 1.0
        for at in (y, y + 1):
            load[2 * node(0, at)] -= share * pressing_pa * size_m / 2
    fixed = {2 * node(0, y) for y in range(sawn, cells + 1)} | {2 * node(0, cells) + 1}
    free = np.array([dof for dof in range(count) if dof not in fixed])
    moved = spsolve(whole[free][:, free], load[free])
    return float(-2 * moved[list(free).index(2 * node(0, 0))])


@pytest.mark.parametrize("share", [0.1, 0.2, 0.25])
def test_the_mouth_of_a_slot_comes_together_as_elements_have_it(share: float) -> None:
    # DERIVED, against elements: they are stiff at the end of the slot by as much as they are large. The formula
    # is a half to two per cent under them.
    coarse_m, fine_m = (
        mouth_by_elements_m(200 * MPA, share * 0.1, 0.1, cells) for cells in (40, 80)
    )
    by_formula_m = mouth_closed_m(200 * MPA, YOUNG_PA, share * 0.1, 0.1)

    assert 0.98 <= by_formula_m / (2 * fine_m - coarse_m) <= 0.997


@pytest.mark.parametrize("share", [0.1, 0.25, 0.4, 0.5])
def test_the_mouth_of_a_slot_in_a_bent_bar_parts_as_elements_have_it(share: float) -> None:
    # As above; drawn at its top, the sign turned round
    coarse_m, fine_m = (
        -mouth_by_elements_m(-10 * MPA, share * 0.1, 0.1, cells, bent=True) for cells in (40, 80)
    )
    by_formula_m = mouth_opened_m(10 * MPA, YOUNG_PA, share * 0.1, 0.1)

    assert 0.985 <= by_formula_m / (2 * fine_m - coarse_m) <= 1.02


def test_a_hanging_end_draws_at_the_top_as_a_beam_on_one_end_does() -> None:
    # DERIVED: moment w l^2 / 2, w = rho g b h, over the section modulus b h^2 / 6; 2 m of steel 60 high
    weight_n_m = 7850 * 9.81 * 0.04 * 0.06
    by_hand_pa = weight_n_m * 2.0**2 / 2 / (0.04 * 0.06**2 / 6)

    assert hanging_pa(7850, 2.0, 0.06) == pytest.approx(by_hand_pa, rel=1e-3)
    assert hanging_pa(7850, -0.01, 0.06) == 0.0


@given(st.floats(50, 400), st.floats(40, 250), st.floats(0, 4), st.floats(0.1, 4))
def test_the_longer_what_hangs_the_later_a_band_is_pinched(
    pressing_mpa: float, height_mm: float, hangs_m: float, more_m: float
) -> None:
    given_ = pressing_mpa * MPA, YOUNG_PA, height_mm * MM, 0.2 * MM
    short, long_ = (
        pinched_at_m(*given_, hanging_pa(7850, length_m, height_mm * MM))
        for length_m in (hangs_m, hangs_m + more_m)
    )

    assert long_ is None or (short is not None and short <= long_)


def test_a_shallow_slot_is_that_in_a_half_plane() -> None:
    # MEMORY: 4 x 1.458 p a / E at the edge of a half-plane
    assert mouth_closed_m(200 * MPA, YOUNG_PA, 0.1 * MM, 1.0) == pytest.approx(
        4 * 1.458 * 200 * MPA * 0.1 * MM / YOUNG_PA, rel=0.005
    )


def test_the_skin_and_the_core_are_in_balance() -> None:
    # DERIVED: two quarters that press and a half that draws, with neither force nor moment left
    depth = (np.arange(4000) + 0.5) / 4000
    stress = np.where((depth < SKIN) | (depth > 1 - SKIN), -1.0, 1.0)

    assert stress.mean() == pytest.approx(0.0, abs=1e-12)
    assert (stress * (depth - 0.5)).mean() == pytest.approx(0.0, abs=1e-12)


@given(st.floats(0, 400), st.floats(10, 250), st.floats(0.05, 0.6))
def test_a_band_is_pinched_just_where_the_mouth_has_taken_its_room(
    pressing_mpa: float, height_mm: float, room_mm: float
) -> None:
    given_ = pressing_mpa * MPA, YOUNG_PA, height_mm * MM
    at_m = pinched_at_m(*given_, room_mm * MM)
    deepest_m = mouth_closed_m(given_[0], YOUNG_PA, given_[2], given_[2])

    assert (at_m is None) == (deepest_m < room_mm * MM)
    if at_m is not None:
        assert mouth_closed_m(given_[0], YOUNG_PA, at_m, given_[2]) == pytest.approx(room_mm * MM)
        assert at_m <= SKIN * given_[2] * (1 + 1e-9)


@pytest.mark.parametrize(("kerf_mm", "back_mm"), [(1.6, 1.1), (1.3, 0.9)])
def test_the_back_of_a_band_and_its_room_on_both_sides_fill_the_kerf(kerf_mm, back_mm):
    room_mm = room_m(kerf_mm * MM, back_mm * MM) / MM

    assert back_mm + 2 * room_mm == pytest.approx(kerf_mm)
