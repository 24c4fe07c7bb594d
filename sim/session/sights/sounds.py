"""What is heard at the saw as long as it goes on: band, cut, pump, coolant, a motor that stands and hums.

It is free in every front end, and it is evidence. What clacks once as a valve or a contactor moves is not told
here: nobody could weigh it afterwards.
"""

from typing import Final

from sim.plant.plant import BAND_MOTOR, COOLANT_MOTOR, OIL_MOTOR
from sim.session.session import Session
from sim.words.fields import parts
from sim.words.message import NOTHING, Message, plain, row

BAND, CUT, PUMP, COOLANT = "band", "cut", "pump", "coolant"
CAPTIONS: Final = {
    name: plain(f"caption.{name}", words)
    for name, words in {
        BAND: "the band hums", CUT: "the teeth cut", PUMP: "the oil pump whines",
        COOLANT: "coolant hisses",
        OIL_MOTOR: "the motor of the oil pump hums and stands",
        BAND_MOTOR: "the motor of the band hums and stands",
        COOLANT_MOTOR: "the motor of the coolant pump hums and stands",
    }.items()
}  # fmt: skip
MOTORS: Final = (OIL_MOTOR, BAND_MOTOR, COOLANT_MOTOR)
_HEARD: Final = row("seen.sounds", "You hear: {sounds}.", sounds=parts("; "))


def going_on(session: Session) -> tuple[str, ...]:
    """Return the names of what is heard now."""
    plant = session.saw.plant
    heard = {
        BAND: plant.band.turning,
        CUT: plant.head.cutting is not None,
        PUMP: plant.supply.pump and plant.supply.powered,
        COOLANT: plant.coolant.flowing,
        **{motor: motor in plant.humming for motor in MOTORS},
    }
    return tuple(name for name, on in heard.items() if on)


def sounds(session: Session) -> Message:
    """Return what is heard now, nothing where all is silent."""
    heard = going_on(session)
    return _HEARD(sounds=tuple(CAPTIONS[name] for name in heard)) if heard else NOTHING
