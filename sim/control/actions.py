"""Everything that can be asked of the controller: which key asks, and which machine is asked.

A movement key moves its part for as long as it is held, and only outside PRODUCTION, where the job
has all parts. A palms key takes effect when both palm keys go down together after it.
"""

from dataclasses import dataclass
from typing import Final

from sim.signals import BY_KEY
from sim.words.message import Message, plain


@dataclass(frozen=True, slots=True)
class Action:
    """One command: `part.verb`."""

    name: str
    tag: str  # the key's wire
    machine: str
    event: str
    sets_going: Message  # a sentence
    halt: str = ""  # the event on letting go, for keys that move things only while held
    palms: bool = False  # wants both palm keys (ISO 13851)
    on_release: bool = False  # takes effect when the key comes up

    @property
    def moves(self) -> bool:
        """Whether it moves a part of the saw, so that the job and a hand cannot both have it."""
        return bool(self.halt) or self.name == "band.run"


def _action(
    name: str,
    machine: str,
    event: str,
    halt: str = "",
    *,
    sets_going: str,
    palms: bool = False,
    on_release: bool = False,
) -> Action:
    """Return an action; the key that asks for it has its name."""
    said = plain(f"action.{name.replace('_', '-')}.sets-going", sets_going)
    return Action(name, BY_KEY[name].tag, machine, event, said, halt, palms, on_release)


# fmt: off
ACTIONS: Final[tuple[Action, ...]] = (
    _action(
        "supply.control_on", "supply", "CONTROL_ON",
        sets_going="Control power is on and the oil pump runs, so vises and head can be driven; nothing is "
        "driven until it is asked for.",
    ),
    _action(
        "supply.reset", "supply", "RESET", on_release=True,
        sets_going="The safety circuit is closed and the latches are cleared; nothing starts, the start is a separate act.",
    ),
    _action(
        "band.run", "band", "START", palms=True,
        sets_going="Both palm keys together: the band runs up, and runs on until it is stopped. They tell where your hands are, and nobody else's.",
    ),
    _action(
        "band.stop", "band", "STOP",
        sets_going="The band coasts to rest; a stop needs one hand only, and a job that runs stops with it. Guard and cover stay locked until it stands.",
    ),
    _action(
        "cutting_vise.clamp", "cutting_vise", "CLAMP", halt="HALT",
        sets_going="The cutting vise closes for as long as the key is held; B33 makes when it is clamped, and then a check valve holds it. Fingers stay out of its jaws.",
    ),
    _action(
        "cutting_vise.release", "cutting_vise", "RELEASE", halt="HALT",
        sets_going="The cutting vise opens; now nothing holds the bar at the band.",
    ),
    _action(
        "shuttle_vise.clamp", "shuttle_vise", "CLAMP", halt="HALT",
        sets_going="The shuttle vise closes for as long as the key is held; B34 makes when it is clamped. Fingers stay out of its jaws.",
    ),
    _action(
        "shuttle_vise.release", "shuttle_vise", "RELEASE", halt="HALT",
        sets_going="The shuttle vise opens; the shuttle can go without the bar.",
    ),
    _action(
        "shuttle.back", "shuttle", "GO_BACK", halt="HALT",
        sets_going="The shuttle goes back to its length stop for as long as the key is held.",
    ),
    _action(
        "shuttle.forward", "shuttle", "GO_FORWARD", halt="HALT",
        sets_going="The shuttle goes forward for as long as the key is held, with the bar if its vise is clamped.",
    ),
    _action(
        "head.raise", "head", "RAISE", halt="HALT",
        sets_going="The head rises for as long as the key is held, and stops by itself at its height stop.",
    ),
    _action(
        "head.lower", "head", "LOWER", halt="HALT",
        sets_going="The head comes down for as long as the key is held, as fast as the feed valve lets it.",
    ),
    _action(
        "coolant.off", "coolant_choice", "CHOOSE_OFF",
        sets_going="The coolant is off, and stays off when the band runs.",
    ),
    _action(
        "coolant.with_band", "coolant_choice", "CHOOSE_WITH_BAND",
        sets_going="The coolant goes with the band from now on.",
    ),
    _action(
        "coolant.on", "coolant_choice", "CHOOSE_ON",
        sets_going="The coolant flows until it is switched off, whether or not the band runs.",
    ),
    _action(
        "job.reset", "job", "RESET",
        sets_going="The job is idle and waits for its start; no part is driven for it yet.",
    ),
    _action(
        "job.start", "job", "START", palms=True,
        sets_going="Both palm keys together: the job has all parts and runs. They tell where your hands are, and nobody else's.",
    ),
    _action(
        "job.hold", "job", "HOLD",
        sets_going="The step under way is ended, a cut with its raising, and then the job is held. A held job goes on, so a hold protects nobody: stop it and take the key along, or lock out, before hands go in.",
    ),
    _action(
        "job.unhold", "job", "UNHOLD", palms=True,
        sets_going="Both palm keys together: the job goes on where it was held. They tell where your hands are, and nobody else's.",
    ),
    _action(
        "job.complete", "job", "COMPLETE",
        sets_going="The job ends in good order: a piece that is begun is finished, otherwise both vises clamp the bar.",
    ),
    _action(
        "job.stop", "job", "STOP",
        sets_going="The feed is off, the head is raised with the band running, and then the band stops; a piece that is begun is scrap.",
    ),
    _action(
        "job.clear", "job", "CLEAR",
        sets_going="The job is cleared and stopped; reset comes next, and no part is driven for it.",
    ),
    _action(
        "job.new", "job", "",
        sets_going="The count is zero again.",
    ),
    _action(
        "job.square", "first", "CHOOSE_SQUARE",
        sets_going="The job begins by squaring the end of the bar; that cut is not counted.",
    ),
    _action(
        "job.straight", "first", "CHOOSE_STRAIGHT",
        sets_going="The job begins straight with a piece, so the end must be square already.",
    ),
)
# fmt: on

PARTS: Final = ("band", "cutting_vise", "shuttle_vise", "shuttle", "head", "coolant")
BY_NAME: Final = {row.name: row for row in ACTIONS}
BY_TAG: Final = {row.tag: row for row in ACTIONS}
MOVE: Final = tuple(row.name for row in ACTIONS if row.moves)
