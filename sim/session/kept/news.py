"""What the saw tells of itself while it runs: cuts, harm, a motor that hums, and why it stopped, as events.

Never here: what a person did.
"""

from typing import Final

from sim.plant.harm.consequences import Consequence
from sim.plant.plant import BAND_MOTOR, COOLANT_MOTOR, OIL_MOTOR
from sim.saw import Cut, Saw
from sim.session.hidden import Hidden
from sim.session.inspections.pieces import DENT_M, HAND_M, leans
from sim.session.kept.heard import EventKind, Heard
from sim.session.kept.tally import Tally
from sim.units import US
from sim.words.fields import count, mm, part, parts
from sim.words.message import Message, plain, row

_NEAR_S: Final = 60.0  # for which somebody still stands by a saw whose job is over

SKIMMED: Final = plain("cut.skimmed", "The band only skimmed the face of the bar.")
SQUARED: Final = plain("cut.squaring", "Squaring cut: the end fell.")
PIECE: Final = plain("cut.piece", "A piece fell.")
PIECE_LOOKS: Final = row("cut.piece.looks", "A piece fell: {odd}.", odd=parts(", "))
PIECES: Final = row(
    "cut.pieces", "{count} piece fell, one of each bar.",
    plural="{count} pieces fell, one of each bar.", count=count(),
)  # fmt: skip
PIECES_LOOK: Final = row(
    "cut.pieces.look", "{count} piece fell, one of each bar, and of each: {odd}.",
    plural="{count} pieces fell, one of each bar, and of each: {odd}.", count=count(), odd=parts(", "),
)  # fmt: skip
LEANS: Final = plain("cut.piece.leans", "its face leans")
DENTED: Final = plain("cut.piece.dented", "its sides are pressed in")
SHORT: Final = plain("cut.piece.short", "it is shorter by more than a hand's breadth")
LONG: Final = plain("cut.piece.long", "it is longer by more than a hand's breadth")
CORNER: Final = plain("cut.piece.corner", "a corner of its end is missing")
DIFFER: Final = plain("cut.piece.ends-differ", "its two ends are at different angles")
HALF_SAWN: Final = plain("cut.piece.half-sawn", "an old kerf stands in it")
TRULY: Final = row("cut.piece.truly", "In truth {length}.", length=mm(2))
HARM: Final = row("session.harm", "{title}. {sentence}", title=part(), sentence=part())
HUMS: Final = {
    OIL_MOTOR: plain("session.hums.oil", "You hear: the motor of the oil pump begins to hum."),
    BAND_MOTOR: plain("session.hums.band", "You hear: the motor of the band begins to hum."),
    COOLANT_MOTOR: plain("session.hums.coolant", "You hear: the motor of the coolant pump begins to hum."),
}  # fmt: skip
"""What is told as a motor is fed and does not turn, by its tag."""
STOPPED: Final = row("session.stopped", "Stopped or held: {reason}.", reason=part())


def looks_of(cut: Cut, wanted_m: float, bars: int) -> Message:
    """Return what the eye sees of a piece as it falls; never how long it is.

    Args:
        cut: The piece.
        wanted_m: The length that is wanted, m.
        bars: How many are cut at once, each of which gives one like it.
    """
    off_m = cut.length_m - wanted_m
    seen = (
        (LEANS, leans(cut)), (DENTED, cut.dent_m > DENT_M), (SHORT, off_m < -HAND_M),
        (LONG, off_m > HAND_M), (CORNER, cut.corner_gone), (DIFFER, cut.ends_differ),
        (HALF_SAWN, cut.half_sawn),
    )  # fmt: skip
    odd = tuple([said for said, there in seen if there])
    if bars > 1:
        return PIECES_LOOK(count=bars, odd=odd) if odd else PIECES(count=bars)
    return PIECE_LOOKS(odd=odd) if odd else PIECE


class News:
    """Listens to one saw.

    Args:
        saw: The machine.
        heard: Where it is told.
        tally: Counts the pieces.
        faults: Those that wait for a piece.
    """

    def __init__(self, saw: Saw, heard: Heard, tally: Tally, faults: Hidden) -> None:
        self._heard = heard
        self._tally = tally
        self._faults = faults
        saw.on_cut(self._cut)
        saw.plant.site.told.append(self._harm)
        saw.plant.on_hum = self._hums
        saw.controller.on_reason(self._reason)
        saw.controller.on_change(self._job_changed, only=("job",))
        self._saw = saw

    def count_by(self, tally: Tally) -> None:
        """Have the pieces that fall from now on counted by another tally."""
        self._tally = tally

    def _cut(self, cut: Cut) -> None:
        if cut.length_m <= 0.0:
            told = SKIMMED
        elif cut.squaring:
            told = SQUARED
        else:
            told = looks_of(cut, self._tally.order.piece_m, self._saw.plant.supports.bars)
            self._heard.keep_back(EventKind.CUT, TRULY(length=cut.length_m))
            self._tally.count(cut)
            if cut.counted:
                self._faults.piece()
        self._heard.tell(EventKind.CUT, told)

    def _job_changed(self, _job: str, state: bool | str) -> None:
        if state == "COMPLETE":
            self._saw.clock.after(round(_NEAR_S * US), self._look_for_run_on, slow=True)

    def _look_for_run_on(self) -> None:
        """Tell of a band that still runs on when whoever waited for the last piece has gone."""
        saw = self._saw
        if saw.controller.job.state == "COMPLETE" and saw.plant.band.contactor:
            saw.plant.site.tell("ran-on")

    def _harm(self, harm: Consequence) -> None:
        # How far a piece is out, only a tool tells.
        sentence = harm.row.sentence if harm.row.measured else harm.sentence
        told = HARM(title=harm.row.title, sentence=sentence)
        self._heard.tell(EventKind.CONSEQUENCE, told)
        if harm.row.measured and harm.detail:
            self._heard.keep_back(EventKind.CONSEQUENCE, harm.detail)

    def _hums(self, motor: str) -> None:
        self._heard.tell(EventKind.HEARD, HUMS[motor])

    def _reason(self, reason: Message) -> None:
        self._heard.tell(EventKind.REASON, STOPPED(reason=reason))
