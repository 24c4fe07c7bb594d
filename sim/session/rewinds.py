"""A going back: from when to when, and what it took back on the saw and not out of the books.

Never here: how a session goes back (see `playback.rewind`), or what it is worth.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from sim.plant.harm.consequences import Consequence
from sim.records.acts import Act
from sim.session.hands.person import Exposure
from sim.session.kept.seen import Look
from sim.words.fields import clock
from sim.words.message import row

REWINDS_IN: Final = ("lesson", "practice")
"""The modes that have it: in a drill and in an assessment all that is done is judged."""
WENT_BACK: Final = row(
    "session.rewound",
    "Back from {at}. What was seen, what it cost and every strike stay in the books; this session is "
    "practice from now on.",
    at=clock(tenths=True),
)


@dataclass(frozen=True, slots=True)
class Rewind:
    """One going back."""

    at_us: int  # from when
    to_us: int
    stood: int  # how many acts stand: those begun before `to_us`
    acts: tuple[Act, ...]  # the others; what follows is what they came to
    looks: tuple[Look, ...]
    harms: tuple[Consequence, ...]
    exposures: tuple[Exposure, ...]
    ordered: bool  # hands were struck by what an instructor had put in
    bad_pieces: int

    @property
    def took_us(self) -> int:
        """The simulated time that was spent on it, us."""
        return self.at_us - self.to_us


def spent_us(rewinds: Iterable[Rewind]) -> int:
    """Return the simulated time that was spent on what was taken back, us."""
    return sum(each.took_us for each in rewinds)
