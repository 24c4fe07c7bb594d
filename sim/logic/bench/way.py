"""A way out of a refusal: the acts of it in words, and what comes of doing them on a saw.

Never here: how a way is found (see `freeing`).
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from sim.control.actions import SELECTORS, Action
from sim.control.interlocks import Image, When
from sim.control.nouns import MODE, THE, state_word
from sim.control.switches import ALREADY
from sim.logic.bench.why_not import origin_of
from sim.plant.set_points import Setting
from sim.saw import Saw
from sim.signals import BY_TAG
from sim.units import US
from sim.words.fields import name, part
from sim.words.message import NOTHING, Message, plain, row, sentences

LONGEST_S: Final = 120  # that a motion is waited for when the way is done
COOLS_S: Final = 3600  # that a hot relay is waited for


@dataclass(frozen=True, slots=True)
class BenchAct:
    """One thing a person does, in words and as what is done."""

    words: Message
    verb: str  # tap, press, release, hold, set or wait
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
_BOTH_HANDS: Final = row("way.both-hands", "Press {name} with both hands.", name=name())
_HOLD: Final = row("way.hold", "Hold {name}.", name=name())
_HOLD_UNTIL: Final = row("way.hold-until", "Hold {name} until it is there.", name=name())
_TURN: Final = row("way.turn", "Turn {station} to {mode}.", station=part(), mode=MODE)


def key_act(action: Action) -> BenchAct:
    """Return the asking for an action by its key."""
    key = action.name
    if action.two_hand:
        edges = (("S3", True), (action.tag, True), (action.tag, False), ("S3", False))
        return BenchAct(_BOTH_HANDS(name=key), "tap", (BY_TAG["S3"].key, key), (), edges)
    if action.halt:
        held = _HOLD_UNTIL if action.machine in ("head", "shuttle") else _HOLD
        return BenchAct(held(name=key), "hold", (key,), (), ((action.tag, True),))
    return BenchAct(_PRESS(name=key), "tap", (key,), (), ((action.tag, True), (action.tag, False)))


def selector_act(tag: str) -> BenchAct:
    """Return the turning of a station's selector."""
    station, mode = SELECTORS[tag]
    words = _TURN(station=THE[station], mode=mode)
    return BenchAct(words, "tap", (BY_TAG[tag].key,), (), ((tag, True), (tag, False)))


WAIT: Final = BenchAct(plain("way.wait", "Wait until everything stands still."), "wait")


# Doing it ---------------------------------------------------------------------------------


_REFUSED: Final = row("way.refused", "{name}: {refused}", name=name(), refused=part())
_BLOCKED: Final = row("way.blocked", "{name}: {blocked}", name=name(), blocked=part())
_BUT: Final = row("way.but", "{act} But then {missing}.", act=part(), missing=part())
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
    origin = origin_of(saw.controller.image, action)
    for step in steps:
        act = step.act
        if act.verb in ("tap", "press", "hold"):
            for key in act.names:
                decision = saw.press(key)
                accepted = decision is not None and decision.accepted
                if decision is not None and not decision.accepted and key == act.names[-1]:
                    return _REFUSED(name=key, refused=decision.sentence)
        blocked = _set(saw, act)
        if blocked:
            return blocked
        missing = _await(saw, step.shows)
        if act.verb in ("tap", "hold", "release"):
            for key in act.names:
                saw.release(key)
        if missing:
            return _BUT(act=act.words, missing=missing)
    if origin is When.AUTO:
        return sentences(*(r.sentence for r in saw.controller.refusals(action, origin)))
    return NOTHING if accepted else _NOT_TAKEN(action=action)


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
