"""Everything that can be asked of the controller: which key asks, which machine is asked, what it sets going."""

from dataclasses import dataclass
from typing import Final

from sim.signals import BY_KEY
from sim.words.message import Message, plain


@dataclass(frozen=True, slots=True)
class Action:
    """One command: `station.verb`."""

    name: str
    tag: str  # the key's wire
    machine: str
    event: str
    sets_going: Message  # a sentence
    halt: str = ""  # the event on letting go, for keys that move things only while held
    two_hand: bool = False
    any_mode: bool = False  # may be pressed in HAND and in AUTO


def _action(
    name: str,
    machine: str,
    event: str,
    halt: str = "",
    *,
    sets_going: str,
    two_hand: bool = False,
    any_mode: bool = False,
) -> Action:
    """Return an action; the key that asks for it has its name."""
    said = plain(f"action.{name.replace('_', '-')}.sets-going", sets_going)
    return Action(name, BY_KEY[name].tag, machine, event, said, halt, two_hand, any_mode)


# fmt: off
ACTIONS: Final[tuple[Action, ...]] = (
    _action(
        "supply.control_on", "supply", "CONTROL_ON", two_hand=True, any_mode=True,
        sets_going="Both hands together: control power is on, and nothing moves until it is asked for.",
    ),
    _action(
        "supply.reset", "band", "RESET", any_mode=True,
        sets_going="The latch is cleared and nothing starts; the start is a separate act.",
    ),
    _action(
        "band.start", "band", "START", two_hand=True,
        sets_going="Both hands together: the band runs up.",
    ),
    _action(
        "band.stop", "band", "STOP", any_mode=True,
        sets_going="The band coasts to rest; a stop needs one hand only, and a job that runs stops with it.",
    ),
    _action(
        "cutting_vise.grip", "cutting_vise", "GRIP",
        sets_going="The cutting vise closes; B33 makes when the grip is there, and not before.",
    ),
    _action(
        "cutting_vise.free", "cutting_vise", "FREE",
        sets_going="The cutting vise opens; now nothing holds the bar at the blade.",
    ),
    _action(
        "shuttle_vise.grip", "shuttle_vise", "GRIP",
        sets_going="The shuttle vise closes; B34 makes when the grip is there.",
    ),
    _action(
        "shuttle_vise.free", "shuttle_vise", "FREE",
        sets_going="The shuttle vise opens; the shuttle can go without the bar.",
    ),
    _action(
        "shuttle.to_stop", "shuttle", "GO_TO_STOP", halt="HALT",
        sets_going="The shuttle goes to its length stop for as long as the key is held.",
    ),
    _action(
        "shuttle.to_blade", "shuttle", "GO_TO_BLADE", halt="HALT",
        sets_going="The shuttle goes to the blade for as long as the key is held, with the bar if its vise grips.",
    ),
    _action(
        "head.lift", "head", "LIFT", halt="HALT",
        sets_going="The head rises for as long as the key is held, and stops by itself at its height stop.",
    ),
    _action(
        "head.lower", "head", "LOWER", halt="HALT",
        sets_going="The head comes down for as long as the key is held, as fast as the feed valve lets it.",
    ),
    _action(
        "coolant.flow", "coolant", "FLOW",
        sets_going="The coolant flows until it is turned off; in AUTO it would go with the band.",
    ),
    _action(
        "coolant.dry", "coolant", "DRY",
        sets_going="The coolant is off.",
    ),
    _action(
        "job.arm", "job", "RESET", any_mode=True,
        sets_going="All six stations are in AUTO; nothing moves before a begin.",
    ),
    _action(
        "job.hold", "job", "HOLD", any_mode=True,
        sets_going="Held before the head has left its stop the saw stops at once, in the cut it finishes it first.",
    ),
    _action(
        "job.begin_on_trim", "job", "START", two_hand=True, any_mode=True,
        sets_going="The job runs: the first cut trims the end and is not counted.",
    ),
    _action(
        "job.begin_on_piece", "job", "START", two_hand=True, any_mode=True,
        sets_going="The job runs on: the bar is brought forward first.",
    ),
)
# fmt: on

STATIONS: Final = ("band", "cutting_vise", "shuttle_vise", "shuttle", "head", "coolant")
BY_NAME: Final = {row.name: row for row in ACTIONS}
BY_TAG: Final = {row.tag: row for row in ACTIONS}

# The selectors: which key turns which station, and to what.
SELECTORS: Final[dict[str, tuple[str, str]]] = {
    BY_KEY[f"{station}.{mode.lower()}"].tag: (station, mode)
    for station in STATIONS
    for mode in ("HAND", "AUTO")
}
