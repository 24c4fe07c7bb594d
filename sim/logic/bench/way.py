"""A way out of a refusal: the acts of it in words, and what comes of doing them on a saw.

Never here: how a way is found (see `freeing`).
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from sim.control.actions import Action
from sim.control.interlocks import Image
from sim.control.nouns import MODES, THE, state_word
from sim.control.switches import ALREADY
from sim.plant.harm.consequences import Severity
from sim.plant.set_points import Setting
from sim.saw import Saw
from sim.signals import BY_TAG, MODE_SWITCH
from sim.units import US
from sim.words.fields import name, part
from sim.words.message import NOTHING, Message, plain, row

LONGEST_S: Final = 120  # that a motion is waited for when the way is done
COOLS_S: Final = 3600  # that a hot relay is waited for


@dataclass(frozen=True, slots=True)
class BenchAct:
    """One thing a person does, in words and as what is done."""

    words: Message
    verb: str  # tap, press, release, hold, turn, set or wait
    names: tuple[str, ...] = ()
    settings: tuple[tuple[str, Setting], ...] = ()
    edges: tuple[tuple[str, bool], ...] = ()  # on the wires of the controller


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

    @property
    def words(self) -> tuple[Message, ...]:
        """The acts in words."""
        return tuple(step.act.words for step in self.steps)


# The acts ------------------------------------------------------------------------------

_PRESS: Final = row("way.press", "Press {name}.", name=name())
_PALMS: Final = row("way.palms", "Press {name}, then both palm keys together.", name=name())
_HOLD_UNTIL: Final = row("way.hold-until", "Hold {name} until it is there.", name=name())
_TURN: Final = row("way.turn", "Turn the mode switch to {mode}.", mode=MODES)

_PALM_TAGS: Final = ("S3", "S4")


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
    return BenchAct(_PRESS(name=key), "tap", (key,), (), ((action.tag, True), (action.tag, False)))


def turn_act(mode: str) -> BenchAct:
    """Return the turning of the mode switch to a mode."""
    at = dict(zip(MODES.words, MODE_SWITCH, strict=True))[mode]
    edges = tuple((tag, tag == at) for tag in MODE_SWITCH)
    return BenchAct(_TURN(mode=mode), "turn", (BY_TAG[at].key,), (), edges)


WAIT: Final = BenchAct(plain("way.wait", "Wait until everything stands still."), "wait")


# Doing it ---------------------------------------------------------------------------------


_REFUSED: Final = row("way.refused", "{name}: {refused}", name=name(), refused=part())
_BLOCKED: Final = row("way.blocked", "{name}: {blocked}", name=name(), blocked=part())
_BUT: Final = row("way.but", "{act} But then {missing}.", act=part(), missing=part())
_HARMS: Final = row("way.harms", "{act} But that does harm: {harm}.", act=part(), harm=part())
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


def do(saw: Saw, steps: Iterable[WayStep], action: str) -> Message:
    """Do a way on a saw; return what did not come, nothing when the action is taken."""
    accepted = False
    harmed = len(saw.consequences)
    for step in steps:
        act = step.act
        answers = []
        if act.verb in ("tap", "press", "hold", "turn"):
            answers += [saw.press(key) for key in act.names]
        if act.verb in ("tap", "release"):
            answers += [saw.release(key) for key in act.names]
        told = [answer for answer in answers if answer is not None]
        accepted = bool(told) and told[-1].accepted
        if told and not accepted:
            return _REFUSED(name=told[-1].action, refused=told[-1].sentence)
        blocked = _set(saw, act)
        if blocked:
            return blocked
        missing = _await(saw, step.shows)
        if act.verb == "hold":
            for key in act.names:
                saw.release(key)
        harm = _harm_of(saw, harmed)
        if harm:
            return _HARMS(act=act.words, harm=harm)
        if missing:
            return _BUT(act=act.words, missing=missing)
    return NOTHING if accepted else _NOT_TAKEN(action=action)


def _harm_of(saw: Saw, harmed: int) -> Message:
    """Return the title of the first harm after so many, milder warnings left out."""
    worse = (c for c in saw.consequences[harmed:] if c.row.severity is not Severity.WARNING)
    return next((c.row.title for c in worse), NOTHING)


def _set(saw: Saw, act: BenchAct) -> Message:
    """Set what the act sets; return what blocks it, a sentence."""
    for point, setting in act.settings:
        blocked = _until_free(saw, point)
        if blocked:
            return _BLOCKED(name=point, blocked=blocked)
        saw.set(point, setting)
    return NOTHING


def _until_free(saw: Saw, point: str) -> Message:
    """Let time pass until a set point can be set; return what blocks it at the limit."""
    end_us = saw.clock.now_us + COOLS_S * US
    while (blocked := saw.blocked(point)) and saw.clock.now_us < end_us:
        saw.advance_to(saw.clock.now_us + 10 * US)
    return blocked


def _await(saw: Saw, shows: tuple[tuple[str, object], ...]) -> Message:
    """Let time pass until everything shows what it should; return what does not, at the limit."""
    image = saw.controller.image
    end_us = saw.clock.now_us + LONGEST_S * US
    while True:
        late = [(subject, value) for subject, value in shows if image[subject] != value]
        due_us = saw.clock.next_us()
        if not late:
            return NOTHING
        if due_us is None or due_us > end_us or saw.plant.site.wrecked:
            return _is_late(image, *late[0])
        saw.advance_to(due_us)


def _is_late(image: Image, subject: str, value: object) -> Message:
    if subject in BY_TAG:
        return (_NOT_ON if value else _NOT_OFF)(tag=subject, meaning=BY_TAG[subject].text)
    machine, state = THE[subject], state_word(subject, str(value))
    switch = ALREADY.get((subject, str(image[subject])))
    if switch is None:
        return _NOT_THERE(machine=machine, state=state)
    return _NOT_SHOWN(machine=machine, state=state, tag=switch[0])
