"""Band, tube and section formulas against two finite-element libraries.

Independent routes: PyNiteFEA (frames, P-Delta) and sectionproperties (meshed areas). They are
slow to import, so they are all in this file. Millimetres and newtons inside the models.
"""

from itertools import pairwise
from math import cos, pi, sin

import pytest
from Pynite import FEModel3D
from sectionproperties.analysis import Section as Meshed
from sectionproperties.pre.library import (
    angle_section,
    circular_hollow_section,
    circular_section,
    i_section,
    rectangular_hollow_section,
)

from sim.trade.band import Band, wander_m
from sim.trade.crush import closing_m, first_yield_n
from sim.trade.materials import Material
from sim.trade.sections import (
    Angle,
    IBeam,
    RectangularTube,
    Round,
    RoundTube,
    Section,
    SquareTube,
)

MM = 1e-3
E_MPA = 210e3
STEEL = Material("S235JR", "", 7850, 235e6, 210e9, 1780e6, 0.17, 1.1, 1.7, "")
LENGTH_MM = 100.0


def _plane_frame(
    nodes: dict[str, tuple[float, float]],
    members: list[tuple[str, str]],
    area_mm2: float,
    inertia_mm4: float,
    fixed: dict[str, tuple[bool, bool, bool]],
) -> FEModel3D:
    """Build a frame in a plane; `fixed` says of a node: along x, along y, turning."""
    model = FEModel3D()
    model.add_material("steel", E_MPA, 80e3, 0.3, 7.85e-6)
    model.add_section("wall", area_mm2, inertia_mm4, inertia_mm4, inertia_mm4)
    for name, (x, y) in nodes.items():
        model.add_node(name, x, y, 0)
        along_x, along_y, turning = fixed.get(name, (False, False, False))
        model.def_support(name, along_x, along_y, True, True, True, turning)
    for start, end in members:
        model.add_member(f"{start}-{end}", start, end, "steel", "wall")
    return model


@pytest.mark.parametrize("built_in", [False, True])
@pytest.mark.parametrize(("span_mm", "tension_n"), [(150, 4860), (300, 4860), (300, 2430)])
def test_band_gives_sideways_as_a_frame_with_second_order_tension(
    span_mm: float, tension_n: float, built_in: bool
) -> None:
    # DERIVED, against PyNite P-Delta
    width, thick = 27.0, 0.9
    inertia = width * thick**3 / 12
    pieces = 40
    names = [f"n{i}" for i in range(pieces + 1)]
    model = _plane_frame(
        {name: (span_mm * i / pieces, 0.0) for i, name in enumerate(names)},
        list(pairwise(names)),
        width * thick,
        inertia,
        {names[0]: (True, True, built_in), names[-1]: (False, True, built_in)},
    )
    model.add_node_load(names[-1], "FX", tension_n)
    model.add_node_load(names[pieces // 2], "FY", -10.0)
    model.analyze_PDelta()
    give_mm = -model.nodes[names[pieces // 2]].DY["Combo 1"]

    band = Band(width * MM, thick * MM)
    assert wander_m(10.0, span_mm * MM, tension_n, band, built_in) == pytest.approx(
        give_mm * MM, rel=2e-4
    )


def test_round_tube_closes_and_yields_as_a_ring_of_members() -> None:
    # DERIVED, against a PyNite polygon of 144 sides with stiff sides lengthways
    radius, wall, sides = 28.5, 3.0, 144
    inertia = LENGTH_MM * wall**3 / 12
    names = [f"n{i}" for i in range(sides)]
    model = _plane_frame(
        {
            name: (radius * sin(2 * pi * i / sides), radius * cos(2 * pi * i / sides))
            for i, name in enumerate(names)
        },
        list(zip(names, names[1:] + names[:1], strict=True)),
        1e5,
        inertia,
        {names[sides // 2]: (True, True, True), names[0]: (True, False, False)},
    )
    model.add_node_load(names[0], "FY", -1000.0)
    model.analyze()
    closing_mm = -model.nodes[names[0]].DY["Combo 1"]
    moment_nmm = max(abs(m.max_moment("Mz")) for m in model.members.values())
    yield_n = 1000 * 235 * LENGTH_MM * wall**2 / 6 / moment_nmm

    tube = RoundTube(60 * MM, 3 * MM)
    assert closing_m(tube, STEEL, 1000, LENGTH_MM * MM) == pytest.approx(closing_mm * MM, rel=2e-3)
    assert first_yield_n(tube, STEEL, LENGTH_MM * MM) == pytest.approx(yield_n, rel=2e-3)


@pytest.mark.parametrize(
    ("tube", "loaded", "side", "wall"),
    [
        (SquareTube(50 * MM, 4 * MM), 46.0, 46.0, 4.0),
        (RectangularTube(80 * MM, 40 * MM, 3 * MM), 37.0, 77.0, 3.0),
        (RectangularTube(40 * MM, 80 * MM, 3 * MM), 77.0, 37.0, 3.0),
    ],
    ids=["square", "lying", "standing"],
)
def test_square_and_rectangular_tubes_close_and_yield_as_frames(
    tube: Section, loaded: float, side: float, wall: float
) -> None:
    # DERIVED, against PyNite: jaws press from left and right in the middle of the upright faces
    nodes = {
        "low left": (0.0, 0.0),
        "left": (0.0, loaded / 2),
        "high left": (0.0, loaded),
        "high right": (side, loaded),
        "right": (side, loaded / 2),
        "low right": (side, 0.0),
    }
    names = list(nodes)
    model = _plane_frame(
        nodes,
        list(zip(names, names[1:] + names[:1], strict=True)),
        1e5,
        LENGTH_MM * wall**3 / 12,
        {"left": (True, True, True), "right": (False, True, False)},
    )
    model.add_node_load("right", "FX", -1000.0)
    model.analyze()
    closing_mm = -model.nodes["right"].DX["Combo 1"]
    moments = [abs(m.max_moment("Mz")) for m in model.members.values()]
    moments += [abs(m.min_moment("Mz")) for m in model.members.values()]
    yield_n = 1000 * 235 * LENGTH_MM * wall**2 / 6 / max(moments)

    assert closing_m(tube, STEEL, 1000, LENGTH_MM * MM) == pytest.approx(closing_mm * MM, rel=2e-3)
    assert first_yield_n(tube, STEEL, LENGTH_MM * MM) == pytest.approx(yield_n, rel=1e-4)


def test_angle_closes_and_yields_as_two_slanted_members() -> None:
    # DERIVED, against PyNite: centre lines of an inverted V, tips pushed together on the bed
    tip = 47.5 / 2**0.5
    model = _plane_frame(
        {"left": (-tip, 0.0), "apex": (0.0, tip), "right": (tip, 0.0)},
        [("left", "apex"), ("apex", "right")],
        1e5,
        LENGTH_MM * 5**3 / 12,
        {"left": (True, True, False), "right": (False, True, False)},
    )
    model.add_node_load("right", "FX", -500.0)
    model.analyze()
    closing_mm = -model.nodes["right"].DX["Combo 1"]
    moments = [abs(m.max_moment("Mz")) for m in model.members.values()]
    moments += [abs(m.min_moment("Mz")) for m in model.members.values()]
    yield_n = 500 * 235 * LENGTH_MM * 5**2 / 6 / max(moments)

    angle = Angle(50 * MM, 5 * MM)
    assert closing_m(angle, STEEL, 500, LENGTH_MM * MM) == pytest.approx(closing_mm * MM, rel=2e-3)
    assert first_yield_n(angle, STEEL, LENGTH_MM * MM) == pytest.approx(yield_n, rel=1e-4)


@pytest.mark.parametrize(
    ("ours", "drawn", "fit"),
    [
        (Round(50 * MM), circular_section(50, 256), 2e-4),
        (RoundTube(60 * MM, 5 * MM), circular_hollow_section(60, 5, 256), 2e-4),
        (SquareTube(50 * MM, 4 * MM), rectangular_hollow_section(50, 50, 4, 0, 1), 1e-9),
        (IBeam(100 * MM, 55 * MM, 4.1 * MM, 5.7 * MM), i_section(100, 55, 5.7, 4.1, 0, 1), 1e-9),
        # with the fillets of EN 10056-1 (MEMORY: r 7, toe 3.5, 4.80 cm2): sharp is 1 % less
        (Angle(50 * MM, 5 * MM), angle_section(50, 50, 5, 7, 3.5, 16), 0.012),
    ],
    ids=["round", "round tube", "square tube", "beam", "angle"],
)
def test_areas_are_those_of_a_mesh(ours: Section, drawn, fit: float) -> None:
    # DERIVED, against sectionproperties
    drawn.create_mesh(mesh_sizes=[0])
    meshed = Meshed(drawn)
    meshed.calculate_geometric_properties()

    assert ours.area_m2 == pytest.approx(meshed.get_area() * MM**2, rel=fit)
