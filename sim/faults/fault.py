"""The form of a fault: what it changes on the machine, how it shows that it is there, how it is mended.

A fault changes a plant value, a wire or a set-up, never what anybody sees; symptoms follow from the
machine. Whether a fault is there is read off the machine too, so when a trainee sets right what was set
wrong, the fault is gone, whether or not they name it.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Final, NotRequired, TypedDict, Unpack

from sim.plant.plant import Plant
from sim.plant.set_points import Setting
from sim.signals import Bus
from sim.wiring.failures import Failure
from sim.wiring.loom import Loom
from sim.words.message import Message, plain


class Family(StrEnum):
    """What kind of thing is wrong."""

    SET_UP = "set-up"
    SENSOR = "sensor"
    ACTUATOR = "actuator"
    MECHANICAL = "mechanical"
    SUPPLY = "supply"
    CONSUMABLE = "consumable"


class Who(StrEnum):
    """Who may put it right."""

    OPERATOR = "operator"
    MAINTENANCE = "maintenance"


FAMILIES: Final = {family: plain(f"fault.family.{family.value}", family.value) for family in Family}
WHO: Final = {who: plain(f"fault.who.{who.value}", who.value) for who in Who}


@dataclass(frozen=True, slots=True)
class Wreck:
    """What a fault acts on."""

    plant: Plant
    bus: Bus
    right: Mapping[str, Setting]  # what a good operator would set for the job, by set point


Act = Callable[[Wreck], None]


def _anywhere(_wreck: Wreck) -> bool:
    return True


@dataclass(frozen=True, slots=True)
class Fault:
    """One cause."""

    name: str
    title: Message  # plain name, a noun phrase
    family: Family
    changes: Message  # what it changes on the machine, a clause
    remedy: (
        Message  # how it is put right, an imperative sentence; the lock-out is an act of its own
    )
    who: Who
    minutes: float  # what the remedy takes
    apply: Act
    present: Callable[[Wreck], bool]
    mend: Act
    possible: Callable[[Wreck], bool] = _anywhere  # a clamp left up means nothing to one bar
    fails: Callable[[Loom], Failure | None] | None = None  # what of the wiring; None for no wiring
    lead: str = ""  # another cause that does the same to all but a meter on terminals
    tag: str = ""  # the device whose wiring it is in
    spare: str = ""  # what can be exchanged and the fault is gone; see `sim.faults.spares`
    fresh_bar: bool = False  # its remedy is another bar, laid in as any bar is loaded
    jogged: bool = False  # its remedy is jogs of the band, which want a saw that can be jogged


class Acts(TypedDict):
    """What a fault does."""

    apply: Act
    present: Callable[[Wreck], bool]
    mend: Act
    possible: NotRequired[Callable[[Wreck], bool]]  # every machine can have it, when left out
    fails: NotRequired[Callable[[Loom], Failure | None]]
    fresh_bar: NotRequired[bool]
    jogged: NotRequired[bool]


CHANNEL: Final = (
    "-channel"  # ends the name of a spare that is a channel of a card, after the tag on it
)


def fault(
    name: str, title: str, family: Family, changes: str, remedy: str, who: Who, minutes: float,
    *, spare: str = "", **acts: Unpack[Acts],
) -> Fault:  # fmt: skip
    """Return a row of the catalogue; the keys of its messages come from its name."""
    key = f"fault.{name}"
    return Fault(
        name, plain(f"{key}.title", title), family, plain(f"{key}.changes", changes),
        plain(f"{key}.remedy", remedy), who, minutes, spare=spare, **acts,
    )  # fmt: skip
