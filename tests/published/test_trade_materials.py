"""The stock list of metals against published cutting constants and plain sense."""

import pytest
import yaml

from sim.resources import shipped
from sim.trade.choice import band_speed_m_s
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
    ("name", "kc11_mpa", "mc"),
    [
        ("CuZn39Pb3", 780, 0.18),  # FOUND, for brass
        ("S275JR", 1780, 0.17),  # FOUND
        ("E335", 2110, 0.17),  # FOUND
        ("16MnCr5", 2100, 0.26),  # FOUND
        ("42CrMo4", 2500, 0.26),  # FOUND
        ("S235JR", 1780, 0.17),  # MEMORY
        ("E295", 1990, 0.26),  # MEMORY
        ("C45", 2220, 0.14),  # MEMORY
        ("X5CrNi18-10", 2350, 0.21),  # MEMORY
        ("18CrNi8", 2260, 0.30),  # MEMORY
        ("EN-AW-6082", 780, 0.23),  # MEMORY, low confidence
    ],
)
def test_cutting_constants_are_the_printed_or_recalled_ones(
    name: str, kc11_mpa: float, mc: float
) -> None:
    assert (ROWS[name]["kc11_mpa"], ROWS[name]["mc"]) == (kc11_mpa, mc)


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
