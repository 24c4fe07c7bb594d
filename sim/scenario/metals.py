"""Reads the list of metals, scenarios/materials/materials.yaml, into `sim.trade.materials`.

Shop units in the file, SI outside it. Never here: what a metal does to a band.
"""

from pathlib import Path
from typing import Self

from pydantic import BaseModel, Field, model_validator

from sim.scenario.reading import PLAIN, read_model
from sim.scenario.wording import wrong
from sim.trade.materials import Material
from sim.units import MPA, m_s_from_m_min

_GPA = 1000.0 * MPA  # Pa


class MaterialRow(BaseModel):
    """One metal of the list, in shop units."""

    model_config = PLAIN
    name: str = Field(min_length=1, max_length=40)
    title: str = Field(min_length=1, max_length=80)
    density_kg_m3: float = Field(ge=500, le=25_000)
    yield_mpa: float = Field(gt=0, le=5_000)
    young_gpa: float = Field(gt=0, le=1_000)
    kc11_mpa: float = Field(gt=0, le=20_000)
    mc: float = Field(gt=0, lt=1)
    speed_low_m_min: float = Field(gt=0, le=2_000)
    speed_high_m_min: float = Field(gt=0, le=2_000)
    source: str = Field(min_length=1, description="Where the numbers are from.")

    @model_validator(mode="after")
    def _has_a_range_of_speeds(self) -> Self:
        if self.speed_low_m_min >= self.speed_high_m_min:
            raise wrong(
                f"the highest speed, {self.speed_high_m_min:g} m/min, is not above the lowest,"
                f" {self.speed_low_m_min:g} m/min",
                f"give more than {self.speed_low_m_min:g}",
                ("speed_high_m_min",),
            )
        return self

    def to_material(self) -> Material:
        """Return the metal in SI."""
        return Material(
            name=self.name,
            title=self.title,
            density_kg_m3=self.density_kg_m3,
            yield_pa=self.yield_mpa * MPA,
            young_pa=self.young_gpa * _GPA,
            kc11_pa=self.kc11_mpa * MPA,
            mc=self.mc,
            speed_low_m_s=m_s_from_m_min(self.speed_low_m_min),
            speed_high_m_s=m_s_from_m_min(self.speed_high_m_min),
            source=self.source,
        )


class MaterialsFile(BaseModel):
    """The list of metals."""

    model_config = PLAIN
    materials: tuple[MaterialRow, ...] = Field(min_length=1)

    @model_validator(mode="after")
    def _names_each_once(self) -> Self:
        names = [row.name for row in self.materials]
        for index, name in enumerate(names):
            if name in names[:index]:
                raise wrong(
                    f"a second metal is called {name}",
                    "give it a name of its own",
                    ("materials", index, "name"),
                )
        return self


def read_materials(path: Path) -> dict[str, Material]:
    """Return the metals of a list by name, in SI, in the order of the file.

    Raises:
        ScenarioError: The file is not a list of metals.
    """
    rows = read_model(path, MaterialsFile).materials
    return {row.name: row.to_material() for row in rows}
