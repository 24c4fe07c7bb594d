"""The stock list of metals against published cutting constants and plain sense."""

from math import sqrt

import pytest
import yaml

from sim.resources import shipped
from sim.trade.choice import band_speed_m_s
from sim.trade.cutting import specific_cutting_force_pa
from sim.trade.materials import Material

FOLDER = shipped("scenarios") / "materials" / "materials.yaml"
ROWS = {row["name"]: row for row in yaml.safe_load(FOLDER.read_text("utf-8"))["materials"]}


def _material(name: str) -> Material:
    row = ROWS[name]
    return Material(
        row["name"],
        row["title"],
        row["density_kg_m3"],
        row["yield_mpa"] * 1e6,
        row["young_gpa"] * 1e9,
        row["kc11_mpa"] * 1e6,
        row["mc"],
        row["speed_low_m_min"] / 60,
        row["speed_high_m_min"] / 60,
        row["source"],
    )


@pytest.mark.parametrize(
    ("name", "printed_at_0_1_mm", "printed_at_0_63_mm"),
    [  # FOUND: Kienzle table, mirror of the German encyclopaedia's page on specific cutting force
        ("CuZn39Pb3", 1180, 850),  # there for brass
        ("S275JR", 2630, 1930),
        ("S235JR", 2630, 1930),  # MEMORY: as S275JR in the classic tables
        ("E335", 3120, 2280),
        ("16MnCr5", 3820, 2370),
        ("42CrMo4", 4550, 2820),
    ],
)
def test_a_metal_of_the_list_takes_the_printed_force(
    name: str, printed_at_0_1_mm: float, printed_at_0_63_mm: float
) -> None:
    metal = _material(name)
    found = [
        specific_cutting_force_pa(metal.kc11_pa, metal.mc, chip_mm * 1e-3) / 1e6
        for chip_mm in (0.1, 0.63)
    ]

    assert found == pytest.approx([printed_at_0_1_mm, printed_at_0_63_mm], rel=0.003)


@pytest.mark.parametrize(
    ("name", "printed_kn_mm2"),
    [  # FOUND: published calculation sheet, feeds 0.16 to 1.6 mm at 45 degrees, rows assigned by value
        ("E295", (3.50, 3.10, 2.75, 2.45, 2.15, 1.95)),
        ("18CrNi8", (4.35, 3.80, 3.30, 2.90, 2.50, 2.20)),
    ],
)
def test_two_more_metals_take_the_force_of_a_second_sheet(
    name: str, printed_kn_mm2: tuple[float, ...]
) -> None:
    metal = _material(name)
    for feed_mm, printed in zip((0.16, 0.25, 0.4, 0.63, 1.0, 1.6), printed_kn_mm2, strict=True):
        force_pa = specific_cutting_force_pa(metal.kc11_pa, metal.mc, feed_mm * 1e-3 / sqrt(2))
        assert force_pa == pytest.approx(printed * 1e9, rel=0.018)


def test_metals_from_memory_stand_in_the_order_in_which_they_resist() -> None:
    # MEMORY, common practice: at a chip of 0.1 mm aluminium least, stainless more than plain steel
    force = {
        name: specific_cutting_force_pa(metal.kc11_pa, metal.mc, 1e-4)
        for name, metal in ((name, _material(name)) for name in ROWS)
    }

    assert force["EN-AW-6082"] < force["CuSn8"] < force["S235JR"] < force["C45"]
    assert force["C45"] < force["X5CrNi18-10"] < force["X6CrNiMoTi17-12-2"] * 1.01
    assert force["EN-GJL-250"] < force["S275JR"]


def test_published_constants_are_said_to_be_published_and_no_others() -> None:
    published = {"CuZn39Pb3", "S275JR", "E335", "16MnCr5", "42CrMo4"}
    says_so = {name for name, row in ROWS.items() if row["source"].startswith("cutting constants")}

    assert says_so == published
    assert all("from memory" in row["source"] for row in ROWS.values())


@pytest.mark.parametrize("name", ROWS)
def test_every_metal_is_one_that_the_saw_can_take_in(name: str) -> None:
    # MEMORY: bounds that any common metal keeps
    metal = _material(name)

    assert 2600 < metal.density_kg_m3 < 9000
    assert 5e-4 < metal.yield_pa / metal.young_pa < 5e-3
    assert 0.1 <= metal.mc <= 0.35


@pytest.mark.parametrize(
    ("name", "speed_m_min"),
    [  # ranges: MEMORY, handbook kind; middle of each, within a saw of 20 to 110 m/min
        ("S275JR", 85.0),
        ("X5CrNi18-10", 37.5),
        ("90MnCrV8", 35.0),
        ("CuZn39Pb3", 110.0),
        ("EN-AW-6082", 110.0),
    ],
)
def test_band_speed_to_set_is_the_middle_of_the_range_within_that_of_the_saw(
    name: str, speed_m_min: float
) -> None:
    assert band_speed_m_s(_material(name), 20 / 60, 110 / 60) * 60 == pytest.approx(speed_m_min)


def test_the_stock_list_has_fifteen_metals_at_least() -> None:
    assert len(ROWS) >= 15
