"""The head on its oil against the fluids library and worked numbers."""

from math import pi, sqrt

import pytest
from fluids.flow_meter import flow_meter_discharge
from scipy.integrate import solve_ivp

from sim.trade.descent import (
    SHARP_EDGE_DISCHARGE,
    HeadWeights,
    cylinder_load_n,
    cylinder_pressure_pa,
    descent_speed_m_s,
    feed_force_n,
    orifice_flow_m3_s,
    orifice_for_speed_m,
    speed_under_load_m_s,
)

MM = 1e-3
L_MIN = 1e-3 / 60


def test_sharp_edge_discharge_is_the_printed_one() -> None:
    # FOUND: "Fluid Power Engineering", p. 27, citing Merritt 1967
    assert pytest.approx(0.611, abs=5e-4) == SHARP_EDGE_DISCHARGE


@pytest.mark.parametrize(("discharge", "flow_l_min"), [(0.611015, 1.95238), (0.62, 1.98109)])
def test_worked_orifice_flow(discharge: float, flow_l_min: float) -> None:
    # DERIVED: 1 mm, 20 bar, 870 kg/m3
    flow_m3_s = orifice_flow_m3_s(1 * MM, 20e5, discharge, 870)

    assert flow_m3_s == pytest.approx(flow_l_min * L_MIN, rel=3e-6)


@pytest.mark.parametrize("orifice_mm", [0.4, 0.8, 1.0, 2.0])
@pytest.mark.parametrize("drop_bar", [1.0, 20.0, 60.0])
def test_orifice_flow_is_that_of_the_fluids_library(orifice_mm: float, drop_bar: float) -> None:
    # independent library: fluids, orifice in a pipe so wide that its approach speed is nothing
    mass_kg_s = flow_meter_discharge(
        D=1.0, Do=orifice_mm * MM, P1=1e5 + drop_bar * 1e5, P2=1e5, rho=870, C=0.62
    )
    ours_m3_s = orifice_flow_m3_s(orifice_mm * MM, drop_bar * 1e5, 0.62, 870)

    assert ours_m3_s == pytest.approx(mass_kg_s / 870, rel=1e-9)


def test_worked_descent() -> None:
    # DERIVED: bore 40, 2000 N, orifice 0.8, Cd pi / (pi + 2); 200 mm in 13.529 s
    pressure_pa = cylinder_pressure_pa(2000, 40 * MM)
    speed_m_s = descent_speed_m_s(2000, 40 * MM, 0.8 * MM)

    assert pressure_pa == pytest.approx(1.5915e6, abs=60)
    assert orifice_flow_m3_s(0.8 * MM, pressure_pa) == pytest.approx(1.1146 * L_MIN, rel=5e-5)
    assert speed_m_s == pytest.approx(14.783 * MM, rel=5e-5)
    assert 0.2 / speed_m_s == pytest.approx(13.529, abs=1e-3)


def test_descent_goes_with_the_root_of_the_load_and_the_square_of_the_orifice() -> None:
    # DERIVED
    speed_m_s = descent_speed_m_s(2000, 40 * MM, 0.8 * MM)

    assert descent_speed_m_s(8000, 40 * MM, 0.8 * MM) == pytest.approx(29.567 * MM, rel=5e-5)
    assert descent_speed_m_s(2000, 40 * MM, 1.6 * MM) == pytest.approx(4 * speed_m_s, rel=1e-12)
    assert speed_under_load_m_s(speed_m_s, 2000, 8000) == pytest.approx(2 * speed_m_s, rel=1e-12)
    assert orifice_for_speed_m(speed_m_s, 2000, 40 * MM) == pytest.approx(0.8 * MM, rel=1e-12)


def test_volume_let_out_by_the_orifice_lowers_the_piston_at_that_speed() -> None:
    # DERIVED, against scipy solve_ivp on the oil left under the piston
    area_m2 = pi * (40 * MM) ** 2 / 4
    start_m3 = area_m2 * 0.2

    def emptied(_: float, volume: list[float]) -> float:
        return volume[0]

    emptied.terminal = True
    run = solve_ivp(
        lambda _, __: [-0.611015 * pi * (0.8 * MM) ** 2 / 4 * sqrt(2 * 2000 / area_m2 / 870)],
        (0, 60),
        [start_m3],
        events=emptied,
        rtol=1e-10,
    )

    assert 0.2 / descent_speed_m_s(2000, 40 * MM, 0.8 * MM) == pytest.approx(
        run.t_events[0][0], rel=1e-5
    )


def test_weight_of_the_head_on_its_cylinder() -> None:
    # DERIVED: 80 kg at 450 mm, cylinder at 300 mm
    head = HeadWeights(80.0, 0.45, 0.3, 0.4)

    assert cylinder_load_n(head) == pytest.approx(1177.2, abs=0.05)
    assert feed_force_n(head, 0.0) == pytest.approx(80 * 9.81 * 0.45 / 0.4, rel=1e-12)
    assert feed_force_n(head, cylinder_load_n(head, 200.0)) == pytest.approx(200.0, rel=1e-12)
    assert cylinder_load_n(head, 5000.0) == 0.0
