"""The pieces of a session: how many were cut, how many are good, and when a measured one proved the saw sound.

Never here: what a piece is worth in points.
"""

from collections.abc import Callable
from math import radians

from sim.saw import Cut, Saw
from sim.session.card.setup_card import JobOrder
from sim.session.inspections.pieces import at_angle
from sim.session.measuring import Measuring, SizeRead
from sim.trade.measuring import Ruling, Tool


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
        self.proved_us: int | None = (
            None  # when a good piece of a job was measured and proved the machine sound
        )
        self.proving = 0  # good pieces of a job, one after the other, on a sound machine
        self.too_coarse: Tool | None = (
            None  # with which a piece was measured that would have proved it
        )
        self.right_length = False  # of a piece of that row, as a tool that is fine enough read it
        self.right_face = False
        self._row: dict[
            int, int
        ] = {}  # how many there were in a row, by when the last of them fell
        self._saw = saw
        self.order = order
        self._tolerance_m = tolerance_m
        self._sound = sound
        self._wanted = wanted
        self._counted = len(saw.cuts)  # what fell for an earlier order counts for none but that
        self._pieces = self._good = 0

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
            self._pieces += cut.is_piece
            self._good += self.is_good(cut)

    def is_good(self, cut: Cut) -> bool:
        """Return whether a cut gave a whole piece within the job's tolerance on both edges, its ends at the order's angle, its face square."""
        wanted_m = self.order.piece_m
        off_m = max(abs(cut.length_m - wanted_m), abs(cut.short_m - wanted_m))
        whole = not cut.corner_gone and not cut.half_sawn
        plant = self._saw.plant
        face_m = cut.out_of_square * plant.bar.height_m  # the band wanders on its way down
        leans = plant.site.machine.leans(cut.out_of_square, face_m)
        good = whole and at_angle(cut, radians(self.order.mitre_deg)) and off_m <= self._tolerance_m
        return good and not leans and not cut.squaring

    def count(self, cut: Cut) -> None:
        """Take a piece into account, as it is cut."""
        if not cut.counted:
            return
        self.proving = self.proving + 1 if self.is_good(cut) and self._sound() else 0
        if not self.proving:
            self.right_length = self.right_face = False
        self._row[cut.at_us] = self.proving

    @property
    def unmeasured(self) -> bool:
        """Whether there were pieces that would prove it, had one been measured."""
        return self.proved_us is None and any(row >= self._wanted() for row in self._row.values())

    def measured(self, reading: SizeRead, measuring: Measuring) -> None:
        """Take a reading into account, as it is taken; a good one of a long enough row is the proof.

        Where crooked faces were reported a good length waits for a face that is found good, and the other
        way about; the two may be of two pieces of that row.
        """
        if not reading.counts:
            return
        cut = measuring.pieces[reading.piece - 1]
        row = self._row.get(cut.at_us, 0)
        if not row or not self._sound() or row < self._wanted():
            return
        good = reading.verdict is Ruling.GOOD
        if reading.tool.squareness:
            self.right_face = self.right_face or good
        elif not reading.proves:
            self.too_coarse = reading.tool
        else:
            self.right_length = self.right_length or good
        right = self.right_length and (self.right_face or not measuring.face)
        if right and self.proved_us is None:
            self.proved_us = reading.at_us
