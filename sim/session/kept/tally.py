"""The pieces of a session: how many were cut, how many are good, and when the saw was proved sound.

Never here: what a piece is worth in points.
"""

from collections.abc import Callable

from sim.saw import Cut, Saw
from sim.session.card.setup_card import JobOrder


class Tally:
    """The count of one session's pieces.

    Args:
        saw: The machine.
        order: The piece that is wanted.
        tolerance_m: How far from it a good piece may be.
        sound: Whether nothing is wrong with the machine.
        wanted: How many good pieces in a row prove that.
    """

    def __init__(
        self,
        saw: Saw,
        order: JobOrder,
        tolerance_m: float,
        sound: Callable[[], bool],
        wanted: Callable[[], int],
    ) -> None:
        self.proved_us: int | None = None  # when good pieces of a job had proved the machine sound
        self.proving = 0  # good pieces of a job, one after the other, on a sound machine
        self._saw = saw
        self._order = order
        self._tolerance_m = tolerance_m
        self._sound = sound
        self._wanted = wanted
        self._counted = self._pieces = self._good = 0

    @property
    def pieces(self) -> int:
        """How many pieces have been cut, squaring cuts not counted."""
        self._count_up()
        return self._pieces

    @property
    def good(self) -> int:
        """How many of them are within the job's tolerance."""
        self._count_up()
        return self._good

    def _count_up(self) -> None:
        """Count the cuts that have come since the last count."""
        for cut in self._saw.cuts[self._counted :]:
            self._counted += 1
            self._pieces += cut.length_m > 0.0 and not cut.squaring
            self._good += self.is_good(cut)

    def is_good(self, cut: Cut) -> bool:
        """Return whether a cut gave a piece within the job's tolerance."""
        off_m = abs(cut.length_m - self._order.piece_m)
        return not cut.squaring and off_m <= self._tolerance_m

    def count(self, cut: Cut) -> None:
        """Take a piece into account, as it is cut."""
        if not cut.counted:
            return
        self.proving = self.proving + 1 if self.is_good(cut) and self._sound() else 0
        if self.proved_us is None and self.proving and self.proving >= self._wanted():
            self.proved_us = cut.at_us
