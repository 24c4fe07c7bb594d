"""The interlock table: what each action needs, why, and what follows by itself from what.

The controller keeps an image: one flat mapping of every signal (by tag), every machine's state (by
name), every station's selector (`mode.band`), every latch (`latch.deviation`) and the origin of
the present command (`origin`, HAND for a key, AUTO for the job). A need is a look-up in that image.
Why-not, the handbook, the proofs and the rungs read these rows; there is no second copy.

Two tables. PERMISSIVES says what must hold for an action to be taken, and, where `keeps` is set,
what must go on holding while it lasts. REACTIONS says which event follows when something in the
image becomes something. Procedural rules (I12, I13) are taught and checked, not wired.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from sim.control.actions import BY_NAME, STATIONS

Image = Mapping[str, object]


class When(StrEnum):
    """Who must be asking for the row to apply."""

    HAND = "HAND"
    AUTO = "AUTO"
    ANY = "ANY"


@dataclass(frozen=True, slots=True)
class Need:
    """Something in the image that must have one of some values."""

    subject: str
    values: tuple[object, ...]
    sentence: str  # said when it does not hold
    remedy: str

    def holds(self, image: Image) -> bool:
        """Return whether the image satisfies it."""
        return image[self.subject] in self.values


@dataclass(frozen=True, slots=True, eq=False)  # a row is itself, and hashes fast
class Permissive:
    """An action needs something, and the hazard it is there for."""

    number: str
    action: str
    when: When
    need: Need
    hazard: str
    keeps: bool = False  # must go on holding while the action lasts


@dataclass(frozen=True, slots=True, eq=False)
class Reaction:
    """When the subject becomes one of the values, and the others hold, fire the events."""

    number: str
    subject: str
    becomes: tuple[object, ...]
    given: tuple[tuple[str, tuple[object, ...]], ...]
    fires: tuple[tuple[str, str], ...]  # (machine, event)
    reason: str = ""  # kept and shown as the reason for a hold or a stop


POWER: Final = Need(
    "supply", ("ON",), "There is no control power.", "Switch control on with both hands."
)
GUARD: Final = Need("B41", (True,), "B41: the band guard is open.", "Close the band guard.")
COVER: Final = Need("B42", (True,), "B42: the wheel cover is open.", "Close the wheel cover.")
TENSION: Final = Need("B51", (True,), "B51: the band is not tensioned.", "Tension the band.")
OVERLOAD: Final = Need(
    "F1",
    (True,),
    "F1: the overload relay has tripped.",
    "Let the motor cool, find the cause, and reset the relay.",
)
BAND_FAULT: Final = Need(
    "band",
    ("STOPPED", "STARTING", "RUNNING", "COASTING"),
    "The band fault is latched.",
    "Find the cause, then press reset.",
)
DEVIATION: Final = Need(
    "latch.deviation",
    (False,),
    "The deviation stop is latched.",
    "Find why the band wanders, then press reset.",
)
HEAD_UP: Final = Need(
    "B11", (True,), "B11: the head is not up at its height stop.", "Lift the head."
)
CUTTING_GRIPPED: Final = Need(
    "B33", (True,), "B33: the cutting vise is not gripped.", "Grip the cutting vise."
)
CUTTING_NOT_GRIPPED: Final = Need(
    "B33", (False,), "B33: the cutting vise is gripped.", "Free the cutting vise."
)
SHUTTLE_GRIPPED: Final = Need(
    "B34", (True,), "B34: the shuttle vise is not gripped.", "Grip the shuttle vise."
)
SHUTTLE_NOT_GRIPPED: Final = Need(
    "B34", (False,), "B34: the shuttle vise is gripped.", "Free the shuttle vise."
)
AT_SPEED: Final = Need(
    "B2", (True,), "B2: the band is not at speed.", "Start the band and let it come to speed."
)
AIR: Final = Need("B61", (True,), "B61: the air pressure is low.", "Restore the air supply.")
OIL: Final = Need("B62", (True,), "B62: the oil level is low.", "Top up the oil.")
BAR: Final = Need("B53", (True,), "B53: there is no bar at the shuttle vise.", "Load a bar.")
STILL: Final = Need(
    "B1", (False,), "B1: the band still turns.", "Wait until the band stands still."
)
ISOLATOR: Final = Need("Q0", (True,), "Q0: the isolator is off.", "Switch the isolator on.")
STOP_RELEASED: Final = Need(
    "S1",
    (True,),
    "S1: the emergency stop is pressed in.",
    "Release the emergency stop when the reason for it is gone.",
)
DRIVE_STOP_RELEASED: Final = Need(
    "S2", (True,), "S2: the drive stop is held in.", "Let the drive stop go."
)

_DEAD: Final = "movement without control power"
_BAND: Final = "hands at a moving band, or a slack band thrown off its wheels"
_BOTH: Final = "bar held by no vise, or dragged through a closed one"
_INTO: Final = "bar driven into the band"
_LOOSE: Final = "a band forced on to loose bar, or on to bar while it stands"
_BLIND: Final = "a job that runs on without bar, air or oil"
_TWO_MASTERS: Final = "a station that the job and a hand move in turn, or that a selector starts"

# The stations that a running job must have to itself; band and coolant may stay in HAND (I9, I7).
_OF_THE_JOB: Final = ("cutting_vise", "shuttle_vise", "shuttle", "head")


def _in_auto(station: str) -> Need:
    name = station.replace("_", " ")
    return Need(
        f"mode.{station}", ("AUTO",), f"The {name} is in HAND.", f"Turn the {name} to AUTO, or arm."
    )


_ACTIONS_WITH_POWER: Final = (
    "band.start", "cutting_vise.grip", "cutting_vise.free", "shuttle_vise.grip",
    "shuttle_vise.free", "shuttle.to_stop", "shuttle.to_blade", "head.lift", "head.lower",
    "coolant.flow", "supply.reset", "job.arm", "job.begin_on_trim", "job.begin_on_piece",
)  # fmt: skip
_BEGINS: Final = ("job.begin_on_trim", "job.begin_on_piece")
_BAND_NEEDS: Final = (GUARD, COVER, TENSION, OVERLOAD, BAND_FAULT, DEVIATION, DRIVE_STOP_RELEASED)

# fmt: off
PERMISSIVES: Final[tuple[Permissive, ...]] = (
    Permissive("I1", "supply.control_on", When.ANY, ISOLATOR, _DEAD),
    Permissive("I1", "supply.control_on", When.ANY, STOP_RELEASED, "a machine that starts while somebody has stopped it"),
    *(Permissive("I1", action, When.ANY, POWER, _DEAD) for action in _ACTIONS_WITH_POWER),
    Permissive("I2", "supply.reset", When.ANY, STILL, "a band that is cleared to start while it still turns"),
    Permissive("I2", "supply.reset", When.ANY, OVERLOAD, "a fault that is cleared while its cause is still there"),
    *(Permissive("I3", "band.start", When.ANY, need, _BAND) for need in _BAND_NEEDS),
    *(Permissive("I3", action, When.ANY, need, _BAND) for action in _BEGINS for need in _BAND_NEEDS),
    Permissive("I4", "shuttle.to_blade", When.AUTO, HEAD_UP, _INTO, keeps=True),
    Permissive("I5", "shuttle.to_blade", When.AUTO, SHUTTLE_GRIPPED, _BOTH, keeps=True),
    Permissive("I5", "shuttle.to_blade", When.AUTO, CUTTING_NOT_GRIPPED, _BOTH, keeps=True),
    Permissive("I5", "shuttle.to_stop", When.AUTO, SHUTTLE_NOT_GRIPPED, _BOTH, keeps=True),
    Permissive("I5", "shuttle.to_stop", When.AUTO, CUTTING_GRIPPED, _BOTH, keeps=True),
    Permissive("I5", "shuttle_vise.free", When.AUTO, CUTTING_GRIPPED, _BOTH),
    Permissive("I5", "cutting_vise.free", When.AUTO, SHUTTLE_GRIPPED, _BOTH),
    Permissive("I6", "head.lower", When.AUTO, CUTTING_GRIPPED, _LOOSE, keeps=True),
    Permissive("I6", "head.lower", When.AUTO, AT_SPEED, _LOOSE, keeps=True),
    *(Permissive("I4", action, When.ANY, HEAD_UP, _INTO) for action in _BEGINS),
    *(Permissive("I11", action, When.ANY, need, _BLIND) for action in _BEGINS for need in (AIR, OIL, BAR)),
    *(Permissive("I11", action, When.ANY, _in_auto(station), _TWO_MASTERS) for action in _BEGINS for station in _OF_THE_JOB),
)

_BAND_MOVES: Final = (("band", ("STARTING", "RUNNING", "COASTING")),)
_RUNNING_JOB: Final = ("STARTING", "EXECUTE", "UNHOLDING")
_UNDER_WAY: Final = (*_RUNNING_JOB, "HOLDING", "HELD", "COMPLETING")
_ALL_OFF: Final = (
    *((machine, "POWER_LOST") for machine in STATIONS),
    ("job", "ABORT"),
)

REACTIONS: Final[tuple[Reaction, ...]] = (
    # I14: nothing stays on without control power, and nothing comes back with it (I2).
    # The reason is that of the isolator or the emergency stop, below.
    Reaction("I14", "supply", ("DEAD", "EMERGENCY"), (), _ALL_OFF),
    Reaction("I2", "supply", ("ON",), (), (("job", "CLEAR"),)),
    Reaction("I1", "Q0", (True,), (), (("supply", "ISOLATOR_ON"),)),
    Reaction("I1", "Q0", (False,), (), (("supply", "ISOLATOR_OFF"),), "the isolator was switched off"),
    Reaction("I1", "S1", (False,), (), (("supply", "EMERGENCY_PRESSED"),), "the emergency stop was pressed"),
    Reaction("I2", "S1", (True,), (), (("supply", "EMERGENCY_RELEASED"),)),
    # What stops the band, besides its own stop key.
    Reaction("I3", "S2", (False,), (("supply", ("ON",)),), (("band", "TRIP"),), "the drive stop was pressed"),
    Reaction("I3", "B41", (False,), _BAND_MOVES, (("band", "TRIP"),), "the band guard was opened"),
    Reaction("I3", "B42", (False,), _BAND_MOVES, (("band", "TRIP"),), "the wheel cover was opened"),
    Reaction("I3", "B51", (False,), _BAND_MOVES, (("band", "TRIP"),), "the band lost its tension"),
    Reaction("I3", "F1", (False,), (("supply", ("ON",)),), (("band", "TRIP"),), "the overload relay tripped"),
    Reaction("I3", "B1", (False,), (("band", ("RUNNING",)),), (("band", "TRIP"),), "the band lost its speed"),
    # A guard that is opened while the band stands must not start it when it is closed again.
    Reaction("I3", "B41", (False,), (("job", _RUNNING_JOB),), (("job", "HOLD"),), "the band guard was opened"),
    Reaction("I3", "B42", (False,), (("job", _RUNNING_JOB),), (("job", "HOLD"),), "the wheel cover was opened"),
    Reaction("I3", "B51", (False,), (("job", _RUNNING_JOB),), (("job", "HOLD"),), "the band lost its tension"),
    Reaction("I8", "latch.deviation", (True,), (), (("band", "TRIP"),), "the band wandered beyond its range for more than 20 s"),
    Reaction("I3", "band", ("TRIPPED",), (("F1", (True,)),), (("job", "STOP"),)),
    Reaction("I11", "band", ("TRIPPED",), (("F1", (False,)),), (("job", "HOLD"),)),
    # I7: in AUTO the coolant goes with the band.
    Reaction("I7", "B1", (True,), (("mode.coolant", ("AUTO",)), ("supply", ("ON",))), (("coolant", "FLOW"),)),
    Reaction("I7", "B1", (False,), (("mode.coolant", ("AUTO",)),), (("coolant", "DRY"),)),
    Reaction("I7", "mode.coolant", ("AUTO",), (("B1", (True,)), ("supply", ("ON",))), (("coolant", "FLOW"),)),
    Reaction("I7", "mode.coolant", ("AUTO",), (("B1", (False,)),), (("coolant", "DRY"),)),
    # I9: in AUTO the band stops with the job; in HAND it runs on.
    Reaction("I9", "job", ("COMPLETING", "HELD", "STOPPING"), (("mode.band", ("AUTO",)),), (("band", "STOP"),)),
    Reaction("I9", "mode.band", ("AUTO",), (("job", ("COMPLETING", "HELD", "STOPPING")),), (("band", "STOP"),)),
    Reaction("I9", "mode.band", ("AUTO",), (("job", _RUNNING_JOB),), (("job", "HOLD"),), "the band was turned to AUTO"),
    # I10: a grip lost in the cut.
    Reaction("I10", "B33", (False,), (("head", ("LOWERING",)), ("job", _UNDER_WAY)), (("job", "STOP"),), "the cutting vise lost its grip in the cut"),
    Reaction("I10", "B2", (False,), (("head", ("LOWERING",)), ("band", ("RUNNING",)), ("job", _UNDER_WAY)), (("job", "STOP"),), "the band fell below its speed in the cut"),
    # I11: hold, with the reason kept.
    Reaction("I11", "B61", (False,), (), (("job", "HOLD"),), "the air pressure is low"),
    Reaction("I11", "B62", (False,), (), (("job", "HOLD"),), "the oil level is low"),
    Reaction("I11", "B53", (False,), (), (("job", "HOLD"),), "the end of the bar was reached"),
    # A station taken into HAND under a running job holds it.
    *(
        Reaction("I11", f"mode.{station}", ("HAND",), (), (("job", "HOLD"),), f"the {station.replace('_', ' ')} was turned to HAND")
        for station in _OF_THE_JOB
    ),
)
# fmt: on

# Rules that are practised and checked, but not wired.
PROCEDURAL: Final = (
    ("I12", "Swing for a mitre only with the band stopped and the head up."),
    ("I13", "Change the band speed only while the band turns."),
)


def needs_of(action: str, origin: When) -> tuple[Permissive, ...]:
    """Return the permissives that apply to the action when `origin` asks for it."""
    return _NEEDS[(action, origin)]


def _sorted() -> dict[tuple[str, When], tuple[Permissive, ...]]:
    actions = {row.action for row in PERMISSIVES} | set(BY_NAME)
    return {
        (action, origin): tuple(
            row for row in PERMISSIVES if row.action == action and row.when in (origin, When.ANY)
        )
        for action in actions
        for origin in (When.HAND, When.AUTO)
    }


_NEEDS: Final = _sorted()

REACTIONS_TO: Final[dict[str, tuple[Reaction, ...]]] = {
    subject: tuple(row for row in REACTIONS if row.subject == subject)
    for subject in dict.fromkeys(row.subject for row in REACTIONS)
}
