"""What the saw needs to know of a metal.

The table itself is scenarios/materials/materials.yaml, in shop units, read elsewhere; no file
is opened here.

`kc11_pa` and `mc` are Kienzle's constants: the force to take a chip one millimetre thick off
a width, per area of chip, and how that grows as the chip gets thinner. They are fitted to
turning, at chips of 0.05 mm and more (from memory); see `sim.trade.cutting` for what that
means at a saw tooth.

`hardened` is how hard a surface gets that was rubbed over, by the metal itself: austenitic steels nearly
twice, plain steels a quarter, cast iron and free-cutting brass hardly (orders of size, from memory).
`conductivity_w_mk` is for how hot a chip gets. `price_kg` is what a kilogram of bar costs a shift of
orders, in `PRICED_IN`: invented for training, from memory, one figure a family of metals.
"""

from dataclasses import dataclass
from typing import Final

from sim.trade.bounds import require_above_zero

PRICED_IN: Final = "EUR"


@dataclass(frozen=True)
class Material:
    """One metal of the stock list, SI throughout; `source` says where its numbers are from."""

    name: str
    title: str
    density_kg_m3: float
    yield_pa: float
    young_pa: float
    kc11_pa: float
    mc: float
    speed_low_m_s: float
    speed_high_m_s: float
    source: str
    hardened: float = 1.25  # as plain steel; from memory
    conductivity_w_mk: float = 50.0  # as plain steel; from memory
    price_kg: float = 1.2  # as plain steel; invented

    def __post_init__(self) -> None:
        require_above_zero(
            f"material {self.name}",
            density_kg_m3=self.density_kg_m3,
            yield_pa=self.yield_pa,
            young_pa=self.young_pa,
            kc11_pa=self.kc11_pa,
            mc=self.mc,
            hardened_over=self.hardened - 1.0 + 1e-9,
            conductivity_w_mk=self.conductivity_w_mk,
            price_kg=self.price_kg,
            slope_left=1.0 - self.mc,
            speed_low_m_s=self.speed_low_m_s,
            speed_range_m_s=self.speed_high_m_s - self.speed_low_m_s,
        )
