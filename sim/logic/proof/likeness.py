"""Whether two controllers do the same whatever they remember, and where in what was reached they do not.

Theory. A controller's rows are read in a few stretches of its code only: when it is asked for an action, when
a wire changes, when it looks after a motion or a job, when a time is over, and in the steps that follow. Each is
unfolded as a tree for both controllers, with every variable open. Where all trees come to the same
for all that the variables can be, the two do the same in every state, reached or not; no bound of `moves` counts.

The other way round is weaker: what tells two trees apart may never arise. So a state is looked for in what a
search has reached, from which the two do go different ways. On the way there what a row speaks of may go bad at
any time, which the bounds of the search may not let it.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

from sim.control.actions import BY_NAME
from sim.control.interlocks import THE_ROWS, Rows, When
from sim.logic.proof.compile import EVERY_ANSWER, OVER, Model, compiled
from sim.logic.proof.ledger import LASTING
from sim.logic.proof.memory import CAN_FAIL, DOMAINS, Case, State, Value, holds, possible
from sim.logic.proof.moves import Scope
from sim.logic.proof.search.explore import Explorer, Reached
from sim.logic.proof.tree import Ask, Call, Grove, Put, Step, Tree, calls
from sim.logic.proof.unfold import JOB_ASKS, Deed, Live, Unfolder
from sim.signals import SIGNALS, Direction

_EVERYTHING: Final = Scope(together=True)
_MOST_DIFFERENCES: Final = 400  # of one stretch; that there is one more tells nothing new
_MOST_STATES: Final = 12  # that are tried for each difference


@dataclass(frozen=True, slots=True)
class Difference:
    """Where a stretch of code comes to something else in two controllers."""

    asked: str  # the action whose key asks; empty for another stretch
    facts: Case  # what was asked until then of the state in which it begins
    whole: bool  # nothing else is needed: wherever the facts hold the two part


class _Stretches:
    """A controller's stretches of code as trees, each unfolded when it is first asked for."""

    def __init__(self, grove: Grove, rows: Rows) -> None:
        self.grove = grove
        self._unfolder = Unfolder(grove, rows=rows)
        self._of_deeds: dict[str, Tree] = {}
        self._of_steps: dict[Step, Tree] = {}

    def deed(self, called: str, deed: Deed) -> Tree:
        """Return the tree of what is done to the controller."""
        if called not in self._of_deeds:
            self._of_deeds[called] = self._unfolder.deed(deed)
        return self._of_deeds[called]

    def step(self, step: Step) -> Tree:
        """Return the tree of a step of a machine."""
        if step not in self._of_steps:
            self._of_steps[step] = self._unfolder.called(*step)
        return self._of_steps[step]


@lru_cache(maxsize=1)
def _in_the_table() -> _Stretches:
    return _Stretches(Grove(), THE_ROWS)


def differences(rows: Rows) -> tuple[Difference, ...]:
    """Return where a controller can do something else than with the table's rows, in whatever state.

    Nothing is returned when both do the same in every state.
    """
    one = _in_the_table()
    other = _Stretches(one.grove, rows)
    found: list[Difference] = []
    pending: list[Step] = [(JOB_ASKS, action) for action in BY_NAME]
    for called, deed in _deeds():
        first, second = one.deed(called, deed), other.deed(called, deed)
        pending.extend((*calls(first), *calls(second)))
        found.extend(_apart(called if called in BY_NAME else "", first, second))
    done: set[Step] = set()
    while pending:
        step = pending.pop()
        if step not in done:
            done.add(step)
            first, second = one.step(step), other.step(step)
            pending.extend((*calls(first), *calls(second)))
            # What was asked in a step is so where the step begins, not where its move does.
            found.extend(replace(each, whole=False) for each in _apart("", first, second))
    return tuple(found)


def _deeds() -> Iterator[tuple[str, Deed]]:
    """Yield all that can happen to a controller, by name; what a key asks for by that of the action."""
    for action in BY_NAME:
        yield action, _asked_by_key(action)
    for row in SIGNALS:
        if row.direction is Direction.INPUT:
            yield from ((f"{row.tag}={value}", _edge(row.tag, value)) for value in (False, True))
    yield "keep", lambda controller: controller.keep()
    yield "advance", lambda controller: controller.job.advance()
    yield from OVER.items()


def _asked_by_key(action: str) -> Deed:
    return lambda controller: controller.ask(action, When.KEY).accepted


def _edge(tag: str, value: bool) -> Deed:
    def take(controller: Live) -> None:
        controller.take(tag, value)

    return take


# Two trees -----------------------------------------------------------------------------------


class _Pair:
    """Walks two trees at once, and notes where they part."""

    def __init__(self, asked: str) -> None:
        self._asked = asked
        self.found: list[Difference] = []
        self._same: set[tuple[int, int, frozenset[tuple[str, Value]]]] = set()

    def walk(
        self,
        one: Tree,
        other: Tree,
        known: dict[str, Value],
        start: Mapping[str, Value],
        whole: bool,
    ) -> bool:
        """Return whether the two come to the same.

        Args:
            one: Where the first is.
            other: Where the second is.
            known: What has been asked or put, as it is now.
            start: What has been asked of the state in which the stretch begins.
            whole: No step has been made that may have changed what is asked from now on.
        """
        if one is other:  # a grove makes a tree only once
            return True
        if len(self.found) >= _MOST_DIFFERENCES:
            return False
        for tree in (one, other):
            if isinstance(tree, Ask):
                return self._ask(tree, one, other, known, start, whole)
        key = (id(one), id(other), frozenset(known.items()))
        if key in self._same:
            return True
        same = self._step(one, other, known, start, whole)
        if same:
            self._same.add(key)
        return same

    def _ask(
        self, asks: Ask, one: Tree, other: Tree, known: dict[str, Value],
        start: Mapping[str, Value], whole: bool,
    ) -> bool:  # fmt: skip
        name = asks.name
        values = (known[name],) if name in known else tuple(asks.branches)
        same = True
        for value in values:
            if name not in known and not possible(known, name, value):
                continue
            first, second = (
                tree.branches[value] if isinstance(tree, Ask) and tree.name == name else tree
                for tree in (one, other)
            )
            begun = {**start, name: value} if whole and name not in known else start
            same &= self.walk(first, second, {**known, name: value}, begun, whole)
        return same

    def _step(
        self,
        one: Tree,
        other: Tree,
        known: dict[str, Value],
        start: Mapping[str, Value],
        whole: bool,
    ) -> bool:
        if isinstance(one, Put) and isinstance(other, Put):
            if (one.name, one.value) == (other.name, other.value):
                return self.walk(one.then, other.then, {**known, one.name: one.value}, start, whole)
        elif (
            isinstance(one, Call)
            and isinstance(other, Call)
            and (one.machine, one.event) == (other.machine, other.event)
        ):
            lasts = {name: value for name, value in known.items() if name in LASTING}
            return self.walk(one.then, other.then, lasts, start, False)
        facts = tuple((name, (value,)) for name, value in start.items() if name in DOMAINS)
        self.found.append(Difference(self._asked, facts, whole))
        return False


def _apart(asked: str, one: Tree, other: Tree) -> list[Difference]:
    pair = _Pair(asked)
    pair.walk(one, other, {}, {}, True)
    return pair.found


# A state from which they part --------------------------------------------------------------------


@lru_cache(maxsize=4)
def _wide(rows: Rows) -> Model:
    return compiled(_EVERYTHING, rows=rows)


def parts(
    found: Iterable[Difference], stands: Case, rows: Rows, explorer: Explorer, reached: Reached
) -> bool:
    """Return whether a state was found, reached or one device away, from which two controllers part.

    Args:
        found: Where they can.
        stands: Where the changed row says anything.
        rows: Of the changed controller.
        explorer: What has searched, with either.
        reached: What it reached with both alike.
    """
    pair = _wide(THE_ROWS), _wide(rows)
    tried: set[Case] = set()
    for each in (*sorted(found, key=lambda one: not one.asked), Difference("", stands, False)):
        if each.facts in tried:
            continue
        tried.add(each.facts)
        for state in _with_bad(each.facts, explorer, reached, pair[0]):
            if each.asked and each.whole:
                return True
            if _part(state, pair):
                return True
    return False


def _with_bad(facts: Case, explorer: Explorer, reached: Reached, model: Model) -> Iterator[State]:
    """Yield states in which the facts hold: reached ones, in which devices have gone bad or been put right."""
    wanted = {name: values for name, values in facts if name in CAN_FAIL}
    case = tuple(fact for fact in facts if fact[0] not in wanted)
    moves = {move.name: move for move in model.moves}
    left = _MOST_STATES
    for layer in reached.layers:
        for number in layer[explorer.holding([case], layer)][:left]:
            left -= 1
            state = explorer.frame.state(int(number))
            for name, values in wanted.items():
                move = moves[f"{name}={int(bool(values[0]))}"]
                if state[name] not in values and move.possible(state):
                    state = model.apply(state, move)
            if holds(facts, state):
                yield state
        if not left:
            return


def _part(state: State, pair: tuple[Model, Model]) -> bool:
    """Return whether some move leads two controllers from a state to different ones."""
    one, other = pair
    return any(
        one.apply(state, move, answers) != other.apply(state, move, answers)
        for move in one.moves
        if move.possible(state)
        for answers in EVERY_ANSWER
    )
