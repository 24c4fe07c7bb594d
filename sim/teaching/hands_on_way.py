"""Hands on a way out: they go in before the way gives up what keeps the saw still, or in own control.

A way over the tables sets the machine wherever that frees a key. A careful person does it otherwise. What
hands do is done first where the saw is in one's own control as it stands; else the acts that bring own
control about are laid around it, as they are where the way has come to. Both are done on a copy of the
session, hands and all, and told only where nothing strikes there and nobody is exposed. In a drill nothing
is done on a copy: hands go first, where the key or a stop is all that is wanting.

Never here: how a way is found (see `way_out`), and what must hold for hands (see `session.hands.rule`).
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Final

from sim.control.decision import Decision
from sim.errors import CommandError
from sim.logic.bench.way import (
    KEY_IN,
    KEY_OUT,
    LOAD,
    LONGEST_S,
    PRESS,
    WAIT,
    BenchAct,
    Way,
    WayStep,
    cool_act,
    let_go_act,
    there,
    turn_act,
)
from sim.plant.harm.consequences import Severity
from sim.session.hands.cautions import before_loading, before_set, together, what_holds
from sim.session.hands.table import LOADING, Reach, to_set
from sim.session.hands.zones import Demand
from sim.session.kept import told
from sim.session.locking import LockingAct, locking_out
from sim.session.lockout import NOT_AUTHORISED, OPERATOR
from sim.session.own_control import own_control
from sim.session.session import Session
from sim.session.typed import listed
from sim.signals import BY_KEY
from sim.units import US
from sim.words.fields import name, part
from sim.words.message import Message, plain, row

_HOLD_UNTIL_UP: Final = row("way.hold-up", "Hold {name} until the head is up.", name=name())
_HOLD_ON_TO_PROP: Final = row(
    "way.hold-on-to-prop", "Hold {name} until the head rests on its prop.", name=name()
)
_COMES_DOWN: Final = plain("way.comes-down", "Wait until the head has come down.")
_LOCK_OUT: Final = row(
    "way.or-locked-out", "Where own control cannot be had, lock it out. {acts}", acts=part()
)

Steps = tuple[WayStep, ...]


def reach_of(act: BenchAct) -> Reach | None:
    """Return where an act of a way puts hands that something must hold for; None from outside."""
    reaches = [LOADING] if act == LOAD else [to_set(point) for point, _ in act.settings]
    return next((reach for reach in reaches if reach.demand is not Demand.OUTSIDE), None)


def with_care(session: Session, way: Way, fresh: Callable[[], Session] | None) -> Way:
    """Return a way on which hands go in only while the saw is in one's own control.

    Args:
        session: Where the way begins; nothing is changed in it.
        way: As it was found.
        fresh: Makes another session that stands there; None where nothing may be tried, as in a drill.
    """
    if all(reach_of(step.act) is None for step in way.steps):
        return way
    if fresh is None:
        steps = _untried(session, way.steps)
        return replace(way, steps=steps, in_control=_holds_throughout(session, steps))
    if way.verified:
        orders = _hands_first(session, way.steps), _outside_first(way.steps), _hands_last(way.steps)
        for order in dict.fromkeys(orders):
            steps = laid_out(fresh(), order)
            if steps:
                return replace(way, steps=steps)
    return replace(way, in_control=False)


# In which order --------------------------------------------------------------------------


def _hands_first(session: Session, steps: Steps) -> Steps:
    """Return the steps with those of hands in front that own control holds for as the session stands."""
    first = [step for step in steps if _may_now(session, step.act)]
    return (*first, *(step for step in steps if step not in first))


def _may_now(session: Session, act: BenchAct) -> bool:
    reach = reach_of(act)
    if reach is None or act == LOAD or not session.hands.safe(reach):
        return False
    return not any(session.saw.blocked(point) for point, _ in act.settings)


def _outside_first(steps: Steps) -> Steps:
    """Return the steps with hands last of all that is set at a time."""
    found: list[WayStep] = []
    hands: list[WayStep] = []
    for step in steps:
        sets = step.act.verb == "set" and step.act not in (KEY_OUT, KEY_IN)
        if not sets:
            found += hands
            hands = []
        (hands if sets and reach_of(step.act) is not None else found).append(step)
    return (*found, *hands)


def _hands_last(steps: Steps) -> Steps:
    """Return the steps with what hands set just before the key that is asked for."""
    hands = [s for s in steps if s.act.verb == "set" and reach_of(s.act) is not None]
    *before, asked = (step for step in steps if step not in hands)
    return (*before, *hands, asked)


def _untried(session: Session, steps: Steps) -> Steps:
    """Return the steps with hands first, where own control wants no more than rest and the key; else as they are."""
    first, laid = [], []
    for step in steps:
        reach = reach_of(step.act)
        if reach is None or step.act == LOAD:
            continue
        before, after = own_control(session, reach)
        if any(act.name not in ("still", "mode.key") for act in before):
            return steps  # the head must come to rest on something first, or what runs be stopped
        first.append(step)
        laid += [*map(_step, before), step, *map(_step, after)]
    return (*laid, *(step for step in steps if step not in first))


def _holds_throughout(session: Session, steps: Steps) -> bool:
    """Return whether hands go in with the key out only, or first of all where own control holds already."""
    key_out, begun = False, False
    for act in (step.act for step in steps):
        reach = reach_of(act)
        if act in (KEY_OUT, KEY_IN):
            key_out = act == KEY_OUT
        elif reach is None:
            begun = begun or act != WAIT
        elif not key_out and (begun or not session.hands.safe(reach)):
            return False
    return True


# On a copy -------------------------------------------------------------------------------


def laid_out(copy: Session, steps: Sequence[WayStep]) -> Steps:
    """Do steps on a copy with the acts of own control around hands; return all of them, none where it fails.

    It fails where anything is refused or does not come, does harm, or leaves hands exposed.
    """
    harmed, exposed = len(copy.saw.consequences), len(copy.hands.exposures)
    done: list[WayStep] = []
    answer: Decision | None = None
    try:
        for step in steps:
            for each in _with_own_control(copy, step):
                taken, answer = _do(copy, each.act)
                done.append(each)
                worse = any(
                    c.row.severity is not Severity.WARNING for c in copy.saw.consequences[harmed:]
                )
                if not taken or worse or copy.over or len(copy.hands.exposures) > exposed:
                    return ()
    except CommandError:
        return ()
    return tuple(done) if answer is not None and answer.accepted else ()


def _with_own_control(copy: Session, step: WayStep) -> Iterator[WayStep]:
    """Yield a step, and around it what own control wants where the copy stands then."""
    reach = reach_of(step.act)
    if reach is None:
        yield step
        return
    mode = str(copy.saw.controller.image["mode"])
    before, after = own_control(copy, reach)
    yield from map(_step, before)
    yield step
    yield from map(_step, after)
    if any(act.word == "turn" for act in before) and mode != "NONE":
        yield WayStep(turn_act(mode), ())


def _do(copy: Session, act: BenchAct) -> tuple[bool, Decision | None]:
    """Do an act by the session's verbs, as it is typed; return whether it was taken, and what a key answered."""
    answer: Decision | None = None
    if act.verb == "tap":
        answer = copy.tap(*act.names)
    elif act.verb == "press":
        answer = copy.press(*act.names)
    elif act.verb == "release":
        answer = copy.release(*act.names)
    elif act.verb == "turn":
        answer = copy.turn(act.names[0].removeprefix("mode."))
    elif act.verb == "hold":
        answer = _hold(copy, act)
    elif act.verb == "set":
        return all(copy.set(point, setting).taken for point, setting in act.settings), None
    elif act.verb == "load":
        return copy.load_bar().taken, None
    elif act.seconds:
        copy.advance(act.seconds)
    else:
        _wait(copy, act.until)
    return answer is None or answer.accepted, answer


def _hold(copy: Session, act: BenchAct) -> Decision | None:
    (key,) = act.names
    if act.seconds:
        return copy.hold(key, act.seconds)
    answer = copy.press(key)
    _wait(copy, there(key))
    copy.release(key)
    return answer


def _wait(copy: Session, until: tuple[str, str] | None) -> None:
    """Wait until a machine is in a state, or until all stands still."""
    saw = copy.saw

    def reached() -> bool:
        there_already = until is not None and saw.controller.machines[until[0]].state == until[1]
        return there_already or saw.clock.still

    copy.advance_until(reached, LONGEST_S * US)


# In words --------------------------------------------------------------------------------


def _step(act: LockingAct) -> WayStep:
    return WayStep(_bench_act(act), ())


def _bench_act(act: LockingAct) -> BenchAct:
    """Return an act of own control as one of a way, in words."""
    key = act.name
    if act.word == "set":
        if key == "mode.key":
            return KEY_OUT if (key, act.setting) in KEY_OUT.settings else KEY_IN
        said = told.in_words(told.SET_TO(name=key, setting=act.value))
        return BenchAct(said, "set", settings=((key, act.value),))
    if act.word == "wait":
        return WAIT if key == "still" else cool_act(_COMES_DOWN, float(key))
    if act.word == "turn":
        return turn_act(key.upper())
    tag = BY_KEY[key].tag
    if act.word == "hold":
        said = (_HOLD_UNTIL_UP if key == "head.raise" else _HOLD_ON_TO_PROP)(name=key)
        return BenchAct(said, "hold", (key,), edges=((tag, True),), seconds=float(act.setting))
    if act.word == "release":
        return let_go_act(tag)
    return BenchAct(PRESS(name=key), act.word, (key,), edges=((tag, True),))


def beware_of_hands(way: Way) -> tuple[Message, ...]:
    """Return what is said of hands before a way: what to beware of, and what must hold where it brings that not."""
    acts = [step.act for step in way.steps if reach_of(step.act) is not None]
    said = together(map(_before, acts))
    if not way.in_control:
        return said
    held = together(what_holds(reach) for act in acts if (reach := reach_of(act)) is not None)
    return tuple(each for each in said if each not in held)


def or_locked_out(session: Session, way: Way) -> tuple[Message, ...]:
    """Return the lock-out that keeps hands safe where a way does not, act by act as it still wants them."""
    if way.in_control:
        return ()
    if session.lockout.role == OPERATOR:
        return (NOT_AUTHORISED,)
    return (_LOCK_OUT(acts=listed([act.typed for act in locking_out(session)])),)


def _before(act: BenchAct) -> tuple[Message, ...]:
    if act == LOAD:
        return before_loading()
    return together(before_set(point) for point, _ in act.settings)
