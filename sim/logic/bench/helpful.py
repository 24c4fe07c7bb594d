"""Which acts may help an action that is refused: those for its needs, and for the needs of these.

Never here: in which order they are done (see `freeing`).
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from sim.control import needs
from sim.control.actions import ACTIONS, BY_NAME, Action
from sim.control.controller import Controller
from sim.control.interlocks import Image, Need, Permissive, When
from sim.control.nouns import MODES
from sim.control.switches import SENSOR_EVENTS
from sim.control.table import JOB_RUNS, TABLES
from sim.control.two_hand import PALMS
from sim.logic.bench.way import CUT_THROUGH, LOAD, WAIT, BenchAct, key_act, let_go_act, turn_act
from sim.signals import BY_TAG, Source

_TABLE_OF: Final = {table.name: table for table in TABLES}
_TO_HELD: Final = (*JOB_RUNS, "HOLDING", "HELD")

# In which states of the job a key has something to act on; in the others no way to it is looked for.
_ACTS_ON: Final = {
    "job.hold": _TO_HELD,
    "job.unhold": ("HOLDING", "HELD"),
    "job.complete": (*_TO_HELD, "COMPLETING"),
    "job.clear": ("ABORTING", "ABORTED"),
    "job.stop": tuple(
        s for s in _TABLE_OF["job"].states if s not in ("ABORTING", "ABORTED", "STOPPED")
    ),
}
_BY_JOB_KEYS: Final = {
    "job.start": ("job.stop", "job.clear", "job.reset", "job.new"),
    "job.reset": ("job.stop", "job.clear"),
    "job.new": ("job.stop",),
    "job.complete": ("job.unhold",),
    "job.square": ("job.hold", "job.stop"),
    "job.straight": ("job.hold", "job.stop"),
}


def acts_on_nothing(action: str, image: Image) -> bool:
    """Return whether there is no job, or none in a state, that a key of the job could act on."""
    return action in _ACTS_ON and image["job"] not in _ACTS_ON[action]


@dataclass(frozen=True, slots=True)
class Helpful:
    """The acts that are tried, each alone but for three bundles: keys let go, latches, hands at the machine."""

    hands: tuple[BenchAct, ...]
    bundles: tuple[tuple[BenchAct, ...], ...]

    @classmethod
    def of(cls, acts: Iterable[BenchAct]) -> "Helpful":
        """Return acts in their bundles."""
        found = tuple(dict.fromkeys(acts))
        hands = tuple(act for act in found if act.verb == "set")
        latches = tuple(act for act in found if _is_latch(act))
        let_go = tuple(act for act in found if act.verb == "release" and act not in latches)
        bundled = (*hands, *latches, *let_go)
        alone = [(act,) for act in found if act not in bundled]
        bundles = [bundle for bundle in (let_go, (WAIT,), latches, hands, *alone) if bundle]
        return cls(hands, tuple(bundles))


def _is_latch(act: BenchAct) -> bool:
    return act.verb in ("press", "release") and BY_TAG[act.edges[0][0]].source is Source.LATCH


def helpful(
    controller: Controller, action: str, besides: tuple[Need, ...] = ()
) -> Iterator[Helpful]:
    """Yield what to try: for needs that are not met now, then for all, since an act may undo them.

    In MAINTENANCE it is first tried to stay there.

    Args:
        controller: As it stands.
        action: Of the table of actions.
        besides: What else is to hold when it is asked for.
    """
    image = controller.image
    if acts_on_nothing(action, image):
        return
    if image["mode"] == "MAINTENANCE" and BY_NAME[action].moves:
        acts = tuple(_acts(controller, action, besides, every_need=False))
        yield Helpful.of(act for act in acts if act.verb != "turn")
    for every_need in (False, True):
        yield Helpful.of(_acts(controller, action, besides, every_need=every_need))


def _acts(
    controller: Controller, action: str, besides: tuple[Need, ...], *, every_need: bool
) -> Iterator[BenchAct]:
    """Yield the acts that make true what the action needs, then what those acts need, and so on."""
    image, pending = controller.image, [action]
    done: set[str] = set()
    for need in besides:
        helpers, acts = _brings(need)
        pending += helpers
        yield from acts
    while pending:
        wanted = pending.pop()
        if wanted in done or (wanted != action and acts_on_nothing(wanted, image)):
            continue
        done.add(wanted)
        yield from _letting_go(BY_NAME[wanted], image)
        if wanted != action:
            yield key_act(BY_NAME[wanted])
        pending += _BY_JOB_KEYS.get(wanted, ())
        yield from _of_mode(wanted, str(image["mode"]))
        if wanted == "job.straight" and image["job.owes"]:
            pending += ["job.unhold", "job.start"]
            yield from (CUT_THROUGH, key_act(BY_NAME["job.hold"]))
        if wanted == "job.new":  # by a rule of use, which is no row of the table
            pending += _brings(needs.POWER)[0]
        for permissive in controller.rows.needs_of(wanted, When.KEY):
            if every_need or permissive.stands(image):
                helpers, acts = _brings(permissive.need)
                pending += helpers
                yield from acts
                yield from _leaving(permissive)


def _letting_go(action: Action, image: Image) -> Iterator[BenchAct]:
    """Yield the letting go of the keys of an action that are held down now."""
    tags = (action.tag, *(PALMS if action.palms else ()))
    return (let_go_act(tag) for tag in tags if image[tag])


def _of_mode(action: str, mode: str) -> Iterator[BenchAct]:
    """Yield the turn of the mode switch that an action needs by the rules of use."""
    if BY_NAME[action].moves and mode in ("NONE", "PRODUCTION"):
        yield turn_act("MANUAL")
    if action in ("job.start", "job.unhold") and mode != "PRODUCTION":
        yield turn_act("PRODUCTION")


def _brings(need: Need) -> tuple[list[str], list[BenchAct]]:
    """Return the actions, and the acts at the machine itself, that make a need hold."""
    subject, values = need.subject, need.values
    if subject == "mode":
        return [], [turn_act(mode) for mode in MODES.words if mode in values]
    if subject in _TABLE_OF:
        return [action for value in values for action in _leading_to(subject, str(value))], []
    if subject.startswith("latch."):
        return ["supply.reset"], []
    if subject == "K0":
        return ["supply.reset"], []
    wire = BY_TAG[subject]
    value = bool(values[0])
    if wire.source is not Source.SENSOR:
        down = value != wire.normally_closed
        verb = "press" if down else "release"
        return [], [BenchAct(need.remedy, verb, (wire.key,), edges=((subject, value),))]
    helpers = [
        action
        for machine, event in filter(None, [SENSOR_EVENTS.get((subject, value))])
        for table_row in _TABLE_OF[machine].rows
        if table_row.event == event
        for action in _leading_to(machine, table_row.state)
    ]
    acts = []
    if need == needs.BAR:
        helpers += ["cutting_vise.release", "shuttle_vise.release", "head.raise"]
        acts.append(LOAD)
    if wire.good and value:
        acts.append(BenchAct(need.remedy, "set", (), wire.good, ((subject, True),)))
    return helpers, acts


def _leaving(permissive: Permissive) -> Iterator[BenchAct]:
    """Yield the turns of the mode switch to where a permissive does not apply."""
    for subject, values in permissive.given:
        if subject == "mode":
            yield from (turn_act(mode) for mode in MODES.words if mode not in values)


def _leading_to(machine: str, state: str) -> list[str]:
    """Return the actions whose event leads a machine into a state."""
    events = {row.event for row in _TABLE_OF[machine].rows if row.to == state}
    return [row.name for row in ACTIONS if row.machine == machine and row.event in events]
