"""The shortest way to an action that is refused now: found over the tables, then done to prove it.

Theory. The search goes breadth first over images. A node is the live controller's code on a copy of
its image, with an ideal plant: whatever is driven arrives, and its switches say so. To stay small,
the search tries helpful acts only (see `helpful`), and two of its acts are bundles: all latches that
help, and all that hands set at the machine, which are set only while everything stands. What of a
bundle can be left out is left out when a way is found. That way is then done on a fresh saw with its
real plant, and is told only if the action is taken there and nothing is harmed. So a sensor that lies
gives itself away. What no interlock asks for and a careful person does all the same (see `heed`) is
part of every way.

Never here: who may ask, which acts may help, and what is to be heeded.
"""

from collections import deque
from collections.abc import Callable
from typing import Final

from sim.control import needs
from sim.control.actions import BY_NAME
from sim.control.interlocks import Need
from sim.logic.bench.heed import heeds
from sim.logic.bench.helpful import Helpful, helpful
from sim.logic.bench.ideal_bench import IdealBench, Place
from sim.logic.bench.way import (
    KEY_IN,
    KEY_OUT,
    LOAD,
    BenchAct,
    Judge,
    Way,
    WayStep,
    asked_act,
    cool_act,
    do,
    no_slip,
)
from sim.plant.mode_key import IN_POCKET
from sim.saw import Saw

_MOST_NODES: Final = 6000
_RELAY: Final = "band.relay"  # the only thing that a hand must wait for, to set it
_ROOM_S: Final = 1.0  # more than a hot relay says that it needs


def free(fresh: Callable[[], Saw], action: str, judge: Judge = no_slip) -> Way | None:
    """Return the shortest way to an action from where a saw stands; None when there is none.

    Where that does harm, because the band lies on the bar or in it, the head is raised first; where a
    step of the job does not come to its end, or does harm on the way, it is not waited for.

    Args:
        fresh: Makes a saw that stands where the one in question stands; called several times.
        action: Of the table of actions.
        judge: Tells the slip of a key that a way has pressed; a way that makes one does harm too.
    """
    saw = fresh()
    steps = search(saw, action)
    if steps is None:
        return None
    way = _done(fresh(), steps, action, judge)
    if way.verified:
        return way
    others = [search(saw, action, patient=False)]
    if way.harm:
        others.insert(0, search(saw, action, needs.HEAD_UP))
    for other in others:
        if other is not None and other != steps:
            tried = _done(fresh(), other, action, judge)
            if tried.verified:
                return tried
    return way


def _done(saw: Saw, steps: tuple[WayStep, ...], action: str, judge: Judge) -> Way:
    outcome = do(saw, steps, action, judge)
    return Way(steps, not outcome.stuck_at, outcome.stuck_at, outcome.harm)


def search(
    saw: Saw, action: str, *besides: Need, patient: bool = True
) -> tuple[WayStep, ...] | None:
    """Return the fewest acts that free an action by the tables; None when none do.

    Args:
        saw: Where it stands; it is not touched.
        action: Of the table of actions.
        besides: What else is to hold when the action is asked for.
        patient: Whether a step that the job has under way may be waited for.
    """
    besides = (*besides, *heeds(saw.controller, action))
    for acts in helpful(saw.controller, action, besides):
        bench = IdealBench.of(saw)
        bench.patient = patient
        found = _breadth_first(bench, action, acts, besides)
        if found is not None:
            return _in_own_control(saw, _cooled(saw, found))
    return None


def _breadth_first(
    bench: IdealBench, action: str, acts: Helpful, besides: tuple[Need, ...]
) -> tuple[WayStep, ...] | None:
    start = bench.place
    queue: deque[tuple[Place, tuple[BenchAct, ...]]] = deque([(start, ())])
    seen = {start}
    while queue and len(seen) < _MOST_NODES:
        place, before = queue.popleft()
        bench.put(place)
        goal = asked_act(BY_NAME[action], str(bench.image["mode"]))
        if _is_there(bench, goal, action, besides):
            needed = _needed(bench, start, (*before, goal), action, besides)
            return _steps(bench, start, needed)
        bench.put(place)
        for bundle in acts.bundles:
            bench.put(place)
            if not _do_all(bench, bundle) or (after := bench.place) in seen:
                continue
            seen.add(after)
            queue.append((after, (*before, *bundle)))
    return None


def _do_all(bench: IdealBench, acts: tuple[BenchAct, ...]) -> bool:
    """Do acts one after the other; return whether each can be done and none is refused."""
    for act in acts:
        if not bench.may(act):
            return False
        bench.do(act)
        if bench.refused:
            return False
    return True


def _is_there(bench: IdealBench, goal: BenchAct, action: str, besides: tuple[Need, ...]) -> bool:
    """Return whether the action is taken where the bench stands; asking for it moves the bench."""
    return all(need.holds(bench.image) for need in besides) and bench.takes(action, goal)


def _needed(
    bench: IdealBench,
    start: Place,
    acts: tuple[BenchAct, ...],
    action: str,
    besides: tuple[Need, ...],
) -> tuple[BenchAct, ...]:
    """Return the acts of a way without those that it does not need, waits last of all."""
    kept = list(acts)
    for act in sorted(acts[:-1], key=lambda act: act.verb == "wait"):
        at = kept.index(act)
        fewer = (*kept[:at], *kept[at + 1 :])
        bench.put(start)
        if _do_all(bench, fewer[:-1]) and _is_there(bench, fewer[-1], action, besides):
            kept = list(fewer)
    return tuple(kept)


def _steps(bench: IdealBench, start: Place, acts: tuple[BenchAct, ...]) -> tuple[WayStep, ...]:
    """Return acts with what each of them shows; the last is the asking, and shows nothing."""
    bench.put(start)
    steps = []
    for act in acts[:-1]:
        before = bench.place
        bench.do(act)
        shows = (act.until,) if act.until is not None else bench.shows(before)
        steps.append(WayStep(act, shows))
    return (*steps, WayStep(acts[-1], ()))


def _cooled(saw: Saw, steps: tuple[WayStep, ...]) -> tuple[WayStep, ...]:
    """Return a way that waits for a hot relay before it is set."""
    hot = saw.blocked(_RELAY)
    if not hot:
        return steps
    wait = WayStep(cool_act(hot, saw.plant.band.relay.too_hot_s + _ROOM_S), ())
    return tuple(
        each for step in steps for each in ((wait, step) if _sets(step.act, _RELAY) else (step,))
    )


def _in_own_control(saw: Saw, steps: tuple[WayStep, ...]) -> tuple[WayStep, ...]:
    """Return a way that has the key of the mode switch out while a bar is laid in, and back in after it.

    A key that is out already is put back before the switch is turned.
    """
    turns = any(step.act.verb == "turn" for step in steps)
    out = saw.plant.mode_key.place == IN_POCKET
    found = [WayStep(KEY_IN, ())] if out and turns else []
    mode: object = saw.controller.image["mode"]
    for step in steps:
        mode = dict(step.shows).get("mode", mode)
        if step.act != LOAD:
            found.append(step)
            continue
        back = () if mode == "NONE" else (("mode", mode),)
        found += (WayStep(KEY_OUT, ()), step, WayStep(KEY_IN, back))
    return tuple(found)


def _sets(act: BenchAct, point: str) -> bool:
    return any(name == point for name, _ in act.settings)
