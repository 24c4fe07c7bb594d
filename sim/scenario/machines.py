"""A machine file: which of the training saw's dimensions differ on this one.

Shop units here, SI in `sim.plant.machine`. Every field is optional; what is left out is the
training saw's own.
"""

from pathlib import Path
from typing import Annotated

from pydantic import BaseModel, Field

from sim.plant.machine import Machine
from sim.scenario.reading import PLAIN, read_model
from sim.units import BAR, MM

Positive = Annotated[float, Field(gt=0)]


class MachineFile(BaseModel):
    """One saw, by what differs from the default."""

    model_config = PLAIN
    title: str = Field(min_length=1, max_length=80)
    kerf_mm: Annotated[float, Field(gt=0.5, le=4)] | None = None
    stroke_mm: Annotated[float, Field(ge=100, le=2000)] | None = None
    backlash_mm: Annotated[float, Field(ge=0, le=2)] | None = None
    powered_stroke_mm: Annotated[float, Field(ge=2, le=30)] | None = None
    motor_kw: Annotated[float, Field(gt=0, le=30)] | None = None
    band_low_m_min: Positive | None = None
    band_high_m_min: Positive | None = None
    grip_high_bar: Annotated[float, Field(ge=10, le=200)] | None = None
    shuttle_mm_s: Positive | None = None
    lift_mm_s: Positive | None = None

    def to_machine(self, name: str) -> Machine:
        """Return the machine in SI."""
        scales = {
            "kerf_mm": ("kerf_m", MM),
            "stroke_mm": ("stroke_m", MM),
            "backlash_mm": ("play_m", MM),
            "powered_stroke_mm": ("powered_stroke_m", MM),
            "motor_kw": ("motor_w", 1000.0),
            "band_low_m_min": ("band_low_m_s", 1 / 60),
            "band_high_m_min": ("band_high_m_s", 1 / 60),
            "grip_high_bar": ("grip_high_pa", BAR),
            "shuttle_mm_s": ("shuttle_m_s", MM),
            "lift_mm_s": ("lift_m_s", MM),
        }
        given = self.model_dump(exclude_none=True)
        changes = {to: given[key] * scale for key, (to, scale) in scales.items() if key in given}
        return Machine(name=name, **changes)


def read_machine(path: Path, content: bytes | None = None) -> Machine:
    """Return the machine that a file describes; `content` where the file need not be there any more.

    Raises:
        ScenarioError: The file is refused; `where` is `path:line:column`.
    """
    return read_model(path, MachineFile, content).to_machine(path.stem)
