"""What is heard at the saw as long as it goes on: band, cut, pump, coolant, a motor that stands and hums.

It is free in every front end, and it is evidence. How the teeth sound goes by the same readings as the chips
(`sim.trade.chips`); in a drill it is only told that they cut, as long as nobody has looked at chips or teeth.
What clacks once as a valve or a contactor moves is not told
here: nobody could weigh it afterwards.
"""

from typing import Final

from sim.plant.plant import BAND_MOTOR, COOLANT_MOTOR, OIL_MOTOR
from sim.session.session import Session
from sim.session.sights.known import hides
from sim.trade.chips import Form
from sim.words.fields import parts
from sim.words.message import NOTHING, Message, plain, row

BAND, CUT, PUMP, COOLANT, SQUEAL = "band", "cut", "pump", "coolant", "squeal"
HISS, GROWL, RATTLE = "cut-hiss", "cut-growl", "cut-rattle"
CAPTIONS: Final = {
    name: plain(f"caption.{name}", words)
    for name, words in {
        BAND: "the band hums", CUT: "the teeth cut", PUMP: "the oil pump whines",
        COOLANT: "coolant hisses", SQUEAL: "a squeal from the wheels of the band",
        HISS: "a thin, dry hiss, where the teeth should cut", GROWL: "the cut growls",
        RATTLE: "the cut rattles, as if teeth were missing",
        OIL_MOTOR: "the motor of the oil pump hums and stands",
        BAND_MOTOR: "the motor of the band hums and stands",
        COOLANT_MOTOR: "the motor of the coolant pump hums and stands",
    }.items()
}  # fmt: skip
_OF_FORM: Final = {Form.POWDER: HISS, Form.THICK: GROWL, Form.TORN: RATTLE, Form.CURLS: CUT}
CUTS: Final = tuple(_OF_FORM.values())
MOTORS: Final = (OIL_MOTOR, BAND_MOTOR, COOLANT_MOTOR)
_HEARD: Final = row("seen.sounds", "You hear: {sounds}.", sounds=parts("; "))


def going_on(session: Session) -> tuple[str, ...]:
    """Return the names of what is heard now."""
    plant = session.saw.plant
    heard = {
        BAND: plant.band.turning,
        SQUEAL: plant.band.turning and plant.band.seat.rubs,
        _of_cut(session): plant.head.cutting is not None,
        PUMP: plant.supply.pump and plant.supply.powered,
        COOLANT: plant.coolant.flowing,
        **{motor: motor in plant.humming for motor in MOTORS},
    }
    return tuple(name for name, on in heard.items() if on)


def _of_cut(session: Session) -> str:
    """Return how the cut sounds, by the chips that it throws."""
    thrown = None if hides(session) else session.saw.plant.head.sawing.thrown
    return CUT if thrown is None else _OF_FORM[thrown.form]


def sounds(session: Session) -> Message:
    """Return what is heard now, nothing where all is silent."""
    heard = going_on(session)
    return _HEARD(sounds=tuple(CAPTIONS[name] for name in heard)) if heard else NOTHING
