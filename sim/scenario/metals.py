"""Reads the list of metals, scenarios/materials/materials.yaml, into `sim.trade.materials`.

Shop units in the file, SI outside it. Never here: what a metal does to a band.
"""

from pathlib import Path
from typing import Final, Self

from pydantic import BaseModel, Field, model_validator

from sim.scenario.reading import PLAIN, read_model
from sim.scenario.wording import wrong
from sim.trade.materials import Material
from sim.units import MPA, m_s_from_m_min
from sim.words.fields import name
from sim.words.message import plain, row

_GPA: Final = 1000.0 * MPA  # Pa
_SPEEDS: Final = row(
    "metals.speeds",
    "the highest speed, {high} m/min, is not above the lowest, {low} m/min",
    high=name(), low=name(),
)  # fmt: skip
_SPEEDS_DO: Final = row("metals.speeds.do", "give more than {low}", low=name())
_TWICE: Final = row("metals.twice", "a second metal is called {name}", name=name())
_TWICE_DO: Final = plain("metals.twice.do", "give it a name of its own")


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
    hardened: float = Field(
        ge=1, le=4, description="Hardness of a rubbed surface by that of the metal."
    )
    conductivity_w_mk: float = Field(gt=0, le=1_000)
    price_eur_kg: float = Field(gt=0, le=1_000, description="What a kilogram of bar costs, EUR.")
    source: str = Field(min_length=1, description="Where the numbers are from.")

    @model_validator(mode="after")
    def _has_a_range_of_speeds(self) -> Self:
        if self.speed_low_m_min >= self.speed_high_m_min:
            low = f"{self.speed_low_m_min:g}"
            what = _SPEEDS(high=f"{self.speed_high_m_min:g}", low=low)
            raise wrong(what, _SPEEDS_DO(low=low), ("speed_high_m_min",))
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
            hardened=self.hardened,
            conductivity_w_mk=self.conductivity_w_mk,
            price_kg=self.price_eur_kg,
        )


class MaterialsFile(BaseModel):
    """The list of metals."""

    model_config = PLAIN
    materials: tuple[MaterialRow, ...] = Field(min_length=1)

    @model_validator(mode="after")
    def _names_each_once(self) -> Self:
        names = [row.name for row in self.materials]
        for index, called in enumerate(names):
            if called in names[:index]:
                raise wrong(_TWICE(name=called), _TWICE_DO, ("materials", index, "name"))
        return self


def read_materials(path: Path) -> dict[str, Material]:
    """Return the metals of a list by name, in SI, in the order of the file.

    Raises:
        ScenarioError: The file is not a list of metals.
    """
    rows = read_model(path, MaterialsFile).materials
    return {row.name: row.to_material() for row in rows}
