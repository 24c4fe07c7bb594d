"""The record of harm that happened: when, of which kind, and what the physics said.

The kinds are a table in `kinds`; what one cost may be computed where it happened and then stands in
place of the table's figure.
"""

from dataclasses import dataclass

from sim.plant.harm.kinds import KINDS, HarmKind, Severity
from sim.words.message import NOTHING, Message, sentences

__all__ = ["KINDS", "Consequence", "HarmKind", "Severity"]


@dataclass(frozen=True, slots=True)
class Consequence:
    """One that happened."""

    at_us: int
    kind: str
    detail: Message = NOTHING  # with the numbers that the physics gave
    computed_life: float | None = None  # share of a band's life, where it was worked out
    computed_scrap_m: float | None = None

    @property
    def row(self) -> HarmKind:
        """The kind's row in the table."""
        return KINDS[self.kind]

    @property
    def sentence(self) -> Message:
        """What would have happened, with the numbers."""
        return sentences(self.row.sentence, self.detail)

    @property
    def minutes(self) -> float:
        """Downtime that it costs, min."""
        return self.row.minutes

    @property
    def money(self) -> float:
        """What it costs besides, in the workshop's money."""
        return self.row.money

    @property
    def band_life(self) -> float:
        """Share of a band's life that it costs."""
        return self.row.band_life if self.computed_life is None else self.computed_life

    @property
    def scrap_m(self) -> float:
        """Length of bar that it spoils, m."""
        return self.row.scrap_m if self.computed_scrap_m is None else self.computed_scrap_m
