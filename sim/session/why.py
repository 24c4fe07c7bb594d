"""What blocks a key now: the sentences, and the devices behind them; and what a job stands waiting for.

Never here: what would happen if it were pressed (see `teaching.way_out`).
"""

from typing import Final

from sim.control.actions import BY_NAME as ACTIONS
from sim.control.decision import Refusal
from sim.control.nouns import THE, said_state
from sim.control.switches import END_OF
from sim.control.table import JOB_RUNS
from sim.logic.bench.heed import jumpered, unheeded
from sim.logic.bench.trace import Trace
from sim.logic.bench.why_not import Against, why_not
from sim.plant.padlocks import AIR_COCK, ISOLATOR
from sim.saw import Saw
from sim.session.inspections.inspection import isolator_on
from sim.session.known import key_called
from sim.words.fields import name, part
from sim.words.message import NOTHING, Message, plain, row, sentences

VARIATOR: Final = ("band.slower", "band.faster")
"""Keys that are wired through: nothing is asked, and without control power they do nothing."""

_WAITS: Final = row("why.job-waits", "The job stands and waits: {what}", what=part())
_TRIP_LINE: Final = plain(
    "why.trip-line.taken",
    "The trip line is latched: it stops the band and lowering, and a held key still moves the rest, so "
    "that somebody caught can be freed. See who is at the infeed before you press it. It is no emergency "
    "stop: control power stays on. In danger press the emergency stop.",
)
LOCKED_OFF: Final = plain(
    "why.locked",
    "The isolator is locked off: leave it off, for the lock says that somebody is at work on the saw.",
)
AIR_LOCKED_OFF: Final = plain(
    "why.air-locked",
    "The air cock is locked off: leave it shut, for the lock says that somebody is at work on the saw.",
)
_AIR: Final = ("B61",)
_DEVICE: Final = row("why.device", "{tag} {now}.", tag=name(), now=part())
_RUNS: Final = row(
    "why.runs-already",
    "The job is {state} already. Job stop, a turn of the mode switch and every emergency stop break it off; hold "
    "interrupts it, and unhold goes on with it.",
    state=part(),
)
_THERE_ALREADY: Final = row(
    "why.there-already",
    "The control takes {subject} to be {state} already, for {tag} is on: the key is taken, and moves nothing.",
    subject=part(), state=part(), tag=name(),
)  # fmt: skip
_UNHEEDED: Final = row(
    "why.unheeded", "No interlock keeps you from it now, but heed this first: {what} {to_do}",
    what=part(), to_do=part(),
)  # fmt: skip
_JUMPERED: Final = row(
    "why.jumpered",
    "{what} {interlock} would refuse it for that, but a jumper is over it. It is there against {hazard}, and "
    "protects nobody now.",
    what=part(), interlock=name(), hazard=part(),
)  # fmt: skip


def against(saw: Saw, action: str) -> tuple[Message, ...]:
    """Return what blocks an action now, with the remedy; empty when nothing does.

    A padlock on the isolator comes first, whoever's it is, and nobody is told to switch it on; with one on
    the air cock nobody is told to open that.

    Args:
        saw: Where it stands.
        action: A key.

    Raises:
        CommandError: There is no such key.
    """
    key_called(action, "why")
    locked = saw.plant.padlocks.on(ISOLATOR)
    if locked and action == "supply.isolator":
        return (LOCKED_OFF,)
    if action in VARIATOR:
        blocks = saw.controller.without_power()
    else:
        blocks = as_lit(saw, saw.controller.blocks(action)) if action in ACTIONS else ()
    power, air = locked and wants_power(blocks), _air_locked(saw, blocks)
    kept = [each for each in blocks if not (power and wants_power((each,)))]
    kept = [each for each in kept if not (air and each.device in _AIR)]
    first = (*((LOCKED_OFF,) if power else ()), *((AIR_LOCKED_OFF,) if air else ()))
    return (*first, *(refusal.said for refusal in kept))


def no_power(saw: Saw) -> tuple[Message, Message]:
    """Return that there is no control power, and what brings it; nothing twice where it is on.

    Behind a padlock nobody is told to switch anything on.
    """
    refusals = saw.controller.without_power()
    if not refusals:
        return NOTHING, NOTHING
    locked = saw.plant.padlocks.on(ISOLATOR)
    return refusals[0].sentence, LOCKED_OFF if locked else refusals[0].remedy


def _air_locked(saw: Saw, refusals: tuple[Refusal, ...]) -> bool:
    wanted = any(refusal.device in _AIR for refusal in refusals)
    return wanted and saw.plant.padlocks.on(AIR_COCK)


def as_lit(saw: Saw, refusals: tuple[Refusal, ...]) -> tuple[Refusal, ...]:
    """Return of some refusals what can be told: without voltage that there is none, and the rules of use.

    What its switches show a control knows only while it is fed.
    """
    if not isolator_on(saw) or not wants_power(refusals):
        return refusals
    return tuple(each for each in refusals if wants_power((each,)) or not each.interlock)


def wants_power(refusals: tuple[Refusal, ...]) -> bool:
    """Whether what is refused for the isolator or for control power is among some refusals."""
    return any(refusal.device in ("Q0", "supply") for refusal in refusals)


def devices_against(saw: Saw, trace: Trace, action: str) -> tuple[Against, ...]:
    """Return what blocks an action now, down to the devices and their last changes.

    With a padlock on the isolator what asks for power is left out.

    Args:
        saw: Where it stands.
        trace: Of it.
        action: A key.

    Raises:
        CommandError: There is no such key.
    """
    key_called(action, "why")
    if action not in ACTIONS:
        return ()
    locked = saw.plant.padlocks.on(ISOLATOR)
    blocks = saw.controller.blocks(action)
    told = as_lit(saw, blocks)
    found = zip(why_not(saw, trace, action), blocks, strict=True)
    return tuple(
        row
        for row, refusal in found
        if refusal in told and not (locked and wants_power((refusal,)))
    )


def answer_to(saw: Saw, trace: Trace, action: str) -> Message:
    """Return everything that is told of a key that is asked about: what there is to be known by it.

    When a device last changed is left out: that hangs on what was done, and to a second.

    Raises:
        CommandError: There is no such key.
    """
    rows = devices_against(saw, trace, action)
    return sentences(
        *against(saw, action),
        *(_DEVICE(tag=each.tag, now=each.now) for row in rows for each in row.devices),
        *stands_waiting(saw), *runs_already(saw, action), *there_already(saw, action),
        *still_taken(saw, action),
        *to_heed(saw, action),
    )  # fmt: skip


def there_already(saw: Saw, action: str) -> tuple[Message, ...]:
    """Return that a key moves nothing, since a switch shows the end of its way; nothing where none does.

    What its switches show a control knows only while it is fed, and what blocks the key comes first.
    """
    row = ACTIONS.get(action)
    if row is None or not row.halt or saw.controller.blocks(action):
        return ()
    tag, state = END_OF[row.machine, row.event]
    if not saw.controller.image[tag]:
        return ()
    said = said_state(row.machine, state)
    return (_THERE_ALREADY(subject=THE[row.machine], state=said, tag=tag),)


def locked_off(saw: Saw, action: str) -> tuple[Message, ...]:
    """Return that a lock keeps the power off that an action wants, or that a hand would switch on; else nothing."""
    locked = saw.plant.padlocks.on(ISOLATOR)
    return against(saw, action)[:1] if locked and _is_locked_off(saw, action) else ()


def _is_locked_off(saw: Saw, action: str) -> bool:
    if action == "supply.isolator":
        return True
    blocks = saw.controller.blocks(action) if action in ACTIONS else ()
    return wants_power(blocks)


def still_taken(saw: Saw, action: str) -> tuple[Message, ...]:
    """Return why a key moves its part though the trip line is latched; nothing where it is not.

    Without voltage no key moves anything, and no latch is known.
    """
    moves = action in ACTIONS and bool(ACTIONS[action].halt) and not isolator_on(saw)
    return (_TRIP_LINE,) if moves and saw.controller.image["latch.trip_line"] else ()


def to_heed(saw: Saw, action: str) -> tuple[Message, ...]:
    """Return what should keep a careful person from an action, though the controller does not: a line each."""
    if action not in ACTIONS:
        return ()
    controller = saw.controller
    over = {
        (row.number, row.need): _JUMPERED(
            interlock=row.number, what=row.need.sentence, hazard=row.hazard
        )
        for row in jumpered(controller, action)
        if not row.need.holds(controller.image)
    }
    unasked = () if controller.blocks(action) else unheeded(controller, action)
    return (
        *over.values(),
        *(_UNHEEDED(what=need.sentence, to_do=need.remedy) for need in unasked),
    )


def runs_already(saw: Saw, action: str) -> tuple[Message, ...]:
    """Return that the job runs already, to who asks for its start, a new one or a part that it has; else nothing."""
    state = str(saw.controller.image["job"])
    asks = action in ("job.start", "job.new") or (action in ACTIONS and ACTIONS[action].moves)
    if state not in JOB_RUNS or not asks:
        return ()
    return (_RUNS(state=said_state("job", state)),)


def stands_waiting(saw: Saw) -> tuple[Message, ...]:
    """Return the first thing that a job waits for which stands still; nothing where none does."""
    if not saw.clock.still:
        return ()
    return tuple(_WAITS(what=refusal.said) for refusal in saw.controller.waits_for()[:1])
