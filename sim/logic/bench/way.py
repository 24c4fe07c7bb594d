"""A way out of a refusal: the acts of it in words, and what comes of doing them on a saw.

Never here: how a way is found (see `freeing`).
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Final

from sim.control import needs
from sim.control.actions import BY_NAME, Action
from sim.control.decision import Decision
from sim.control.interlocks import Image
from sim.control.nouns import MODES, THE, state_word
from sim.control.switches import ALREADY
from sim.control.table import TABLES
from sim.plant.harm.consequences import Severity
from sim.plant.mode_key import IN_POCKET, IN_SWITCH
from sim.plant.set_points import Setting
from sim.saw import Saw
from sim.signals import BY_TAG, MODE_SWITCH
from sim.units import US
from sim.words.fields import name, part
from sim.words.message import NOTHING, Message, plain, row

LONGEST_S: Final = 1200  # that a motion or a cut is waited for when the way is done
TRIES_S: Final = 1.0  # that the key which was asked about is held, to see that it acts


@dataclass(frozen=True, slots=True)
class BenchAct:
    """One thing a person does, in words and as what is done."""

    words: Message
    verb: str  # tap, press, release, hold, turn, set, load or wait
    names: tuple[str, ...] = ()
    settings: tuple[tuple[str, Setting], ...] = ()
    edges: tuple[tuple[str, bool], ...] = ()  # on the wires of the controller
    until: tuple[str, str] | None = (
        None  # of a wait: a machine and its state; else all stands still
    )
    seconds: float = 0.0  # of a wait or a hold that has an end of its own


@dataclass(frozen=True, slots=True)
class WayStep:
    """An act, and what the controller sees after it by the tables."""

    act: BenchAct
    shows: tuple[tuple[str, object], ...]  # machines' states, and switches that change


@dataclass(frozen=True, slots=True)
class Way:
    """The acts that free an action, the action itself last when a key asks for it."""

    steps: tuple[WayStep, ...]
    verified: bool  # done on a fresh saw, and the action was taken
    stuck_at: Message  # what did not come when it was done; nothing when all did
    harm: Message = NOTHING  # what it did when it was done; then nobody is told to do it
    in_control: bool = (
        True  # where hands go in on it, the saw is in one's own control by what it says
    )

    @property
    def words(self) -> tuple[Message, ...]:
        """The acts in words."""
        return tuple(step.act.words for step in self.steps)


# The acts ------------------------------------------------------------------------------

PRESS: Final = row("way.press", "Press {name}.", name=name())
_PALMS: Final = row("way.palms", "Press {name}, then both palm keys together.", name=name())
_HOLD: Final = row("way.hold", "Hold {name}.", name=name())
_HOLD_UNTIL: Final = row("way.hold-until", "Hold {name} until it is there.", name=name())
_LET_GO: Final = row("way.let-go", "Let go of {name}.", name=name())
_TURN: Final = row("way.turn", "Turn the mode switch to {mode}.", mode=MODES)

# A band that had hardly begun to turn is not seen coasting, nor the job stopping with it.
_PASSES_TO: Final = {("band", "COASTING"): "STOPPED", ("job", "STOPPING"): "STOPPED"}
_PALM_TAGS: Final = ("S3", "S4")
_TABLE_OF: Final = {table.name: table for table in TABLES}


def key_act(action: Action) -> BenchAct:
    """Return the asking for an action by its key."""
    key = action.name
    if action.palms:
        tags = (action.tag, *_PALM_TAGS)
        edges = (*((tag, True) for tag in tags), *((tag, False) for tag in tags))
        names = tuple(BY_TAG[tag].key for tag in tags)
        return BenchAct(_PALMS(name=key), "tap", names, (), edges)
    if action.halt:
        return BenchAct(_HOLD_UNTIL(name=key), "hold", (key,), (), ((action.tag, True),))
    return BenchAct(PRESS(name=key), "tap", (key,), (), ((action.tag, True), (action.tag, False)))


def let_go_act(tag: str) -> BenchAct:
    """Return the letting go of a key that is held down."""
    key = BY_TAG[tag].key
    return BenchAct(_LET_GO(name=key), "release", (key,), (), ((tag, False),))


def turn_act(mode: str) -> BenchAct:
    """Return the turning of the mode switch to a mode."""
    at = dict(zip(MODES.words, MODE_SWITCH, strict=True))[mode]
    edges = tuple((tag, tag == at) for tag in MODE_SWITCH)
    return BenchAct(_TURN(mode=mode), "turn", (BY_TAG[at].key,), (), edges)


def asked_act(action: Action, mode: str) -> BenchAct:
    """Return the asking for the action that a way leads to, in a mode: held until it acts, no longer."""
    jogs = action.moves and mode == "MAINTENANCE"  # there the band takes no palm keys
    if action.halt or jogs:
        held = key_act(replace(action, palms=False, halt="HALT"))
        return replace(held, words=_HOLD(name=action.name), seconds=TRIES_S)
    return key_act(action)


WAIT: Final = BenchAct(plain("way.wait", "Wait until everything stands still."), "wait")
_LOADING_S: Final = 1.0  # a bar lies there at once; then all that it changes is seen
LOAD: Final = BenchAct(
    needs.BAR.remedy, "load", edges=((needs.BAR.subject, True),), seconds=_LOADING_S
)
KEY_OUT: Final = BenchAct(
    plain("way.key-out", "Take the key of the mode switch along."),
    "set",
    settings=(("mode.key", IN_POCKET),),
)
KEY_IN: Final = BenchAct(
    plain("way.key-in", "Put the key of the mode switch back."),
    "set",
    settings=(("mode.key", IN_SWITCH),),
)
CUT_THROUGH: Final = BenchAct(
    plain("way.cut-through", "Wait until the cut is through and the head goes up."),
    "wait",
    until=("cycle", "RAISE_HEAD"),
)


def cool_act(blocked: Message, seconds: float) -> BenchAct:
    """Return the waiting for something that is blocked for so long, s; with why it is."""
    return BenchAct(blocked, "wait", seconds=seconds)


def there(key: str) -> tuple[str, str]:
    """Return the machine that a movement key brings to its end, and the state in which it is there."""
    action = BY_NAME[key]
    rows = _TABLE_OF[action.machine].rows
    moving = next(row.to for row in rows if row.event == action.event)
    event = ALREADY[(action.machine, moving)][2]
    end = next(row.to for row in rows if (row.state, row.event) == (moving, event))
    return action.machine, end


# Doing it ---------------------------------------------------------------------------------


_REFUSED: Final = row("way.refused", "{name}: {refused}", name=name(), refused=part())
_BLOCKED: Final = row("way.blocked", "{name}: {blocked}", name=name(), blocked=part())
_BUT: Final = row("way.but", "{act} But then {missing}.", act=part(), missing=part())
_HARMS: Final = row("way.harms", "{act} But that does harm: {harm}.", act=part(), harm=part())
_NOT_FED: Final = plain(
    "way.not-fed", "nothing is fed, for the safety relay has not pulled in, whatever its wire shows"
)
_NOT_TAKEN: Final = row("way.not-taken", "{action} was not taken.", action=name())
_NOT_ON: Final = row("way.not-on", "{tag} does not show that {meaning}", tag=name(), meaning=part())
_NOT_OFF: Final = row("way.not-off", "{tag} still shows that {meaning}", tag=name(), meaning=part())
_NOT_THERE: Final = row(
    "way.not-there", "{machine} does not come to {state}", machine=part(), state=part()
)
_NOT_SHOWN: Final = row(
    "way.not-shown", "{machine} does not come to {state}, for {tag} does not show it",
    machine=part(), state=part(), tag=name(),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Trial:
    """What came of a way that was done: nothing said where all went well."""

    stuck_at: Message = NOTHING
    harm: Message = NOTHING


Judge = Callable[[Saw, str], Message]
"""Returns what is wrong with a key's having just been pressed, a clause; nothing where it will do."""


def no_slip(_saw: Saw, _key: str) -> Message:
    """Return nothing: every key will do."""
    return NOTHING


def do(saw: Saw, steps: Iterable[WayStep], action: str, judge: Judge = no_slip) -> Trial:
    """Do a way on a saw; return what did not come or did harm, nothing when the action is taken."""
    answer = None
    harmed = len(saw.consequences)
    for step in steps:
        act = step.act
        answer = _by_keys(saw, act)
        if answer is not None and not answer.accepted:
            return Trial(_REFUSED(name=answer.action, refused=answer.sentence))
        slip = next((said for key in act.names if (said := judge(saw, key))), NOTHING)
        if slip:
            return Trial(_HARMS(act=act.words, harm=slip), slip)
        blocked = _set(saw, act)
        if blocked:
            return Trial(blocked)
        saw.advance_to(saw.clock.now_us + round(act.seconds * US))  # what is due now happens too
        if act == WAIT:
            _rest(saw)
        missing = _await(saw, step.shows) or _unfed(saw)
        if act.verb == "hold":
            for key in act.names:
                saw.release(key)
        harm = _harm_of(saw, harmed)
        if harm:
            return Trial(_HARMS(act=act.words, harm=harm), harm)
        if missing:
            return Trial(_BUT(act=act.words, missing=missing))
    return Trial(NOTHING if answer is not None else _NOT_TAKEN(action=action))


def _unfed(saw: Saw) -> Message:
    """Return that control is on and nothing hangs on it, as with a forced K0; nothing where it is fed."""
    on = saw.controller.image["supply"] == "ON"
    return _NOT_FED if on and not saw.plant.power.switched else NOTHING


def _by_keys(saw: Saw, act: BenchAct) -> Decision | None:
    """Press and let go the keys of an act; return the last answer, None where none came."""
    answers = []
    if act.verb in ("tap", "press", "hold", "turn"):
        answers += [saw.press(key) for key in act.names]
    if act.verb in ("tap", "release"):
        answers += [saw.release(key) for key in act.names]
    told = [answer for answer in answers if answer is not None]
    return told[-1] if told else None


def _harm_of(saw: Saw, harmed: int) -> Message:
    """Return the title of the first harm after so many, milder warnings left out."""
    worse = (c for c in saw.consequences[harmed:] if c.row.severity is not Severity.WARNING)
    return next((c.row.title for c in worse), NOTHING)


def _set(saw: Saw, act: BenchAct) -> Message:
    """Set what the act sets, or load its bar; return what blocks it, a sentence."""
    if act == LOAD:
        saw.plant.load(saw.plant.bar.stock)
        saw.bus.settle()
    for point, setting in act.settings:
        blocked = saw.blocked(point)
        if blocked:
            return _BLOCKED(name=point, blocked=blocked)
        saw.set(point, setting)
    return NOTHING


def _rest(saw: Saw) -> None:
    """Let time pass until nothing moves and nothing is timed, or to the limit."""
    end_us = saw.clock.now_us + LONGEST_S * US
    while not saw.clock.still and not saw.plant.site.wrecked:
        due_us = saw.clock.next_us()
        if due_us is None or due_us > end_us:
            return
        saw.advance_to(due_us)


def _await(saw: Saw, shows: tuple[tuple[str, object], ...]) -> Message:
    """Let time pass until everything shows what it should; return what does not, at the limit."""
    image = saw.controller.image
    end_us = saw.clock.now_us + LONGEST_S * US
    while True:
        late = [show for show in shows if not _has_come(image, *show)]
        due_us = saw.clock.next_us()
        if not late:
            return NOTHING
        if due_us is None or due_us > end_us or saw.plant.site.wrecked:
            return _is_late(image, *late[0])
        saw.advance_to(due_us)


def _has_come(image: Image, subject: str, value: object) -> bool:
    """Return whether something shows, or has gone past what it shows only on its way."""
    return image[subject] in (value, _PASSES_TO.get((subject, str(value)), value))


def _is_late(image: Image, subject: str, value: object) -> Message:
    if subject in BY_TAG:
        return (_NOT_ON if value else _NOT_OFF)(tag=subject, meaning=BY_TAG[subject].text)
    machine, state = THE[subject], state_word(subject, str(value))
    switch = ALREADY.get((subject, str(image[subject])))
    if switch is None:
        return _NOT_THERE(machine=machine, state=state)
    return _NOT_SHOWN(machine=machine, state=state, tag=switch[0])
