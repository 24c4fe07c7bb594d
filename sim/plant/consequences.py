"""What goes wrong on the machine: a table of kinds, and the record of one that happened.

Nobody is shown hurt. A consequence of severity STOP ends the run, and its sentence says what would
have happened. What triggers one is computed in the part it happens to, never listed in a scenario.
Costs are this workshop's invented ones: minutes of stand-still, share of a band's life, bar
scrapped and money. Imports nothing of `sim`.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final


class Severity(StrEnum):
    """How bad, mildest first."""

    NOTE = "note"
    WARNING = "warning"
    DAMAGE = "damage"
    STOP = "stop"


@dataclass(frozen=True, slots=True)
class Kind:
    """One way in which the machine, the band or the bar comes to harm."""

    name: str
    title: str
    severity: Severity
    place: str  # station
    sentence: str
    minutes: float = 0.0
    band_life: float = 0.0  # 0 to 1 of a band
    scrap_m: float = 0.0
    money: float = 0.0


@dataclass(frozen=True, slots=True)
class Consequence:
    """One that happened."""

    at_us: int
    kind: str
    detail: str = ""  # with the numbers that the physics gave

    @property
    def row(self) -> Kind:
        """The kind's row in the table."""
        return KINDS[self.kind]

    @property
    def sentence(self) -> str:
        """What would have happened, with the numbers."""
        return f"{self.row.sentence} {self.detail}".strip()


_W, _D, _S = Severity.WARNING, Severity.DAMAGE, Severity.STOP

_ROWS: Final = (
    Kind(
        "bar-into-band", "Bar driven into the band", _S, "shuttle",
        "The shuttle pushed the bar against the side of the band while the head was not clear of it: "
        "the band would have jumped its guides or broken.",
        minutes=40, band_life=1.0, scrap_m=0.1, money=140,
    ),
    Kind(
        "bar-snatched", "Bar snatched by the band", _S, "cutting vise",
        "The band came down on bar that no vise held: the teeth would have caught it and thrown it.",
        minutes=45, band_life=1.0, scrap_m=0.3, money=160,
    ),
    Kind(
        "teeth-pressed", "Band pressed on to the bar at rest", _D, "head",
        "The head was driven down on to the bar with the band standing: the teeth under it would be "
        "chipped.",
        minutes=15, band_life=0.3, money=30,
    ),
    Kind(
        "pulley-damaged", "Variator pulley damaged", _D, "band",
        "The speed was changed while the band stood: the pulley halves were forced against a belt that "
        "did not move.",
        minutes=30, money=90,
    ),
    Kind(
        "bar-scored", "Bar scored by a closed vise", _W, "shuttle vise",
        "The shuttle was driven while both vises held the bar: its jaws slid along the bar and scored it.",
        scrap_m=0.2, money=8,
    ),
    Kind(
        "grip-lost", "Grip lost in the cut", _S, "cutting vise",
        "The cutting vise let go of the bar with the band in it: the bar would have turned and broken "
        "the band.",
        minutes=40, band_life=1.0, scrap_m=0.3, money=150,
    ),
)  # fmt: skip

KINDS: Final = {row.name: row for row in _ROWS}
