"""What the saw tells of itself while it runs: cuts, harm, a motor that hums, and why it stopped, as events.

Never here: what a person did.
"""

from typing import Final

from sim.plant.harm.consequences import Consequence
from sim.plant.plant import BAND_MOTOR, COOLANT_MOTOR, OIL_MOTOR
from sim.saw import Cut, Saw
from sim.session.hidden import Hidden
from sim.session.kept.heard import EventKind, Heard
from sim.session.kept.tally import Tally
from sim.units import US
from sim.words.fields import mm, part
from sim.words.message import Message, plain, row

_NEAR_S: Final = 60.0  # for which somebody still stands by a saw whose job is over

SKIMMED: Final = plain("cut.skimmed", "The band only skimmed the face of the bar.")
SQUARED: Final = row("cut.squaring", "Squaring cut: {length} off the end.", length=mm(2))
PIECE: Final = row("cut.piece", "A piece of {length}.", length=mm(2))
HARM: Final = row("session.harm", "{title}. {sentence}", title=part(), sentence=part())
HUMS: Final = {
    OIL_MOTOR: plain("session.hums.oil", "You hear: the motor of the oil pump begins to hum."),
    BAND_MOTOR: plain("session.hums.band", "You hear: the motor of the band begins to hum."),
    COOLANT_MOTOR: plain("session.hums.coolant", "You hear: the motor of the coolant pump begins to hum."),
}  # fmt: skip
"""What is told as a motor is fed and does not turn, by its tag."""
STOPPED: Final = row("session.stopped", "Stopped or held: {reason}.", reason=part())


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
        saw.controller.on_change(self._changed)
        self._saw = saw

    def _cut(self, cut: Cut) -> None:
        if cut.length_m <= 0.0:
            told = SKIMMED
        elif cut.squaring:
            told = SQUARED(length=cut.length_m)
        else:
            told = PIECE(length=cut.length_m)
            self._tally.count(cut)
            if cut.counted:
                self._faults.piece()
        self._heard.tell(EventKind.CUT, told)

    def _changed(self, subject: str, value: object) -> None:
        if subject == "job" and value == "COMPLETE":
            self._saw.clock.after(round(_NEAR_S * US), self._look_for_run_on, slow=True)

    def _look_for_run_on(self) -> None:
        """Tell of a band that still runs on when whoever waited for the last piece has gone."""
        saw = self._saw
        if saw.controller.job.state == "COMPLETE" and saw.plant.band.contactor:
            saw.plant.site.tell("ran-on")

    def _harm(self, harm: Consequence) -> None:
        told = HARM(title=harm.row.title, sentence=harm.sentence)
        self._heard.tell(EventKind.CONSEQUENCE, told)

    def _hums(self, motor: str) -> None:
        self._heard.tell(EventKind.HEARD, HUMS[motor])

    def _reason(self, reason: Message) -> None:
        self._heard.tell(EventKind.REASON, STOPPED(reason=reason))
