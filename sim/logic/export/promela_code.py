"""Trees as Promela statements, and names as Promela names.

Promela has no subroutines; a called step is an `inline`, copied wherever it is called. spin bounds
how long an undivided step may be, so what several ways have in common is written once: where they
begin with the same call, where they meet again, and, by `goto`, where a tree is shared.

Never here: what a turn is made of (`promela`).
"""

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from typing import Final

from sim.logic.proof.memory import DOMAINS, QUESTIONS, Value
from sim.logic.proof.tree import TOOK, Ask, Call, End, Put, Step, Tree, nodes

ANSWERS: Final = "answers"  # to the questions, a bit for each
BEFORE: Final = "before"  # a value before a call, where it matters whether the call changed it
_YES: Final = "else"

_Way = tuple[str, list[str]]  # on which condition, and what is done


# Names ------------------------------------------------------------------------------------


def word(name: str) -> str:
    """Return a name of ours as a Promela name."""
    return re.sub(r"\W+", "_", name)


def bits(name: str) -> int:
    """Return how many bits a variable takes."""
    return max(1, (len(DOMAINS[name]) - 1).bit_length())


def constant(name: str, value: Value) -> str:
    """Return a value of a variable as Promela has it."""
    return str(int(value)) if isinstance(value, bool) else f"{word(name)}_{value}"


def has(name: str, values: Iterable[Value]) -> str:
    """Return the condition that a variable has one of the values."""
    any_of = " || ".join(f"{word(name)} == {constant(name, value)}" for value in values)
    return f"({any_of or 'false'})"


def step_name(step: Step) -> str:
    """Return the name of a called step."""
    return f"step_{word('_'.join(step))}"


def indented(lines: Iterable[str]) -> Iterator[str]:
    """Yield the lines, a step further to the right."""
    return (f"  {line}" for line in lines)


# Statements -------------------------------------------------------------------------------


def code(tree: Tree, result: str = "", label: str = "", *, unasked: bool = False) -> Iterator[str]:
    """Yield the statements of a tree.

    Args:
        tree: What is to be done.
        result: The variable that the last statement sets, if any.
        label: With what labels begin; without it there are none, and the statements may be copied.
        unasked: Whether there are no answers to the questions, and none should be needed.
    """
    yield from _Writer(tree, result, label, unasked=unasked).until(tree, None)


class _Writer:
    """Writes one tree."""

    def __init__(self, tree: Tree, result: str, label: str, *, unasked: bool) -> None:
        self._unasked = unasked
        self._result = result
        self._label = label
        self._labels: dict[tuple[int, int], str] = {}  # by node and where its way ends
        self._ahead: dict[int, tuple[Tree, ...]] = {}
        self._look(tree)
        parents = Counter(id(child) for node in nodes(tree) for child in _children(node))
        self._shared = {one for one, count in parents.items() if count > 1} if label else set()

    def _look(self, tree: Tree) -> tuple[Tree, ...]:
        """Return the nodes that every way on comes to, in order, the node itself first."""
        if id(tree) not in self._ahead:
            if isinstance(tree, Ask):
                first, *others = [self._look(branch) for branch in tree.branches.values()]
                common = tuple(one for one in first if all(one in other for other in others))
            else:
                common = () if isinstance(tree, End) else self._look(tree.then)
            self._ahead[id(tree)] = (tree, *common)
        return self._ahead[id(tree)]

    def until(self, tree: Tree, end: Tree | None) -> Iterator[str]:
        """Yield the statements from a node up to another, or to the end; at least one."""
        if tree is end:
            yield "skip;"
        while tree is not end:
            if id(tree) in self._shared and not isinstance(tree, End):
                key = (id(tree), id(end))
                if key in self._labels:
                    yield f"goto {self._labels[key]};"
                    return
                self._labels[key] = f"{self._label}_{len(self._labels)}"
                yield f"{self._labels[key]}:"
            statements, after = self._one(tree, end)
            yield from statements
            if after is None:
                return
            tree = after

    def _one(self, tree: Tree, end: Tree | None) -> tuple[Iterable[str], Tree | None]:
        """Return the statements of one node, and the node after them."""
        if isinstance(tree, End):
            return [self._ended(tree)], None
        if isinstance(tree, Put):
            return [f"{word(tree.name)} = {constant(tree.name, tree.value)};"], tree.then
        if isinstance(tree, Call):
            return [f"{step_name((tree.machine, tree.event))}();"], tree.then
        if self._unasked and tree.name in QUESTIONS:
            return ["assert(false); /* an answer was not expected to be needed */"], None
        meet = next(iter(self._ahead[id(tree)][1:]), end)
        return self._question(tree, meet), meet

    def _ended(self, end: End) -> str:
        if not self._result or self._result == end.result:
            return "skip;"
        return f"{self._result} = {TOOK if end.result == TOOK else int(bool(end.result))};"

    def _question(self, ask: Ask, meet: Tree | None) -> Iterator[str]:
        values: dict[int, list[Value]] = {}
        trees: dict[int, Tree] = {}
        for value, tree in ask.branches.items():
            values.setdefault(id(tree), []).append(value)
            trees[id(tree)] = tree
        alike: dict[object, list[int]] = {}
        for key, tree in trees.items():
            begins = (tree.machine, tree.event) if isinstance(tree, Call) else key
            alike.setdefault(begins if self._shares(ask, tree, meet) else key, []).append(key)
        ways = []
        for keys in sorted(alike.values(), key=lambda keys: sum(len(values[k]) for k in keys)):
            groups = [(values[key], trees[key]) for key in keys]
            condition = _answered(ask.name, [value for some, _ in groups for value in some])
            if len(keys) > 1:
                ways.append((condition, list(self._called_once(ask.name, groups, meet))))
            else:
                ways.append((condition, list(self.until(trees[keys[0]], meet))))
        yield from _choice(ways)

    def _shares(self, ask: Ask, tree: Tree, meet: Tree | None) -> bool:
        """Whether a way on may share its first call; called steps do not, they may be nested."""
        known = ask.name in DOMAINS and self._result == "again"
        return known and isinstance(tree, Call) and tree is not meet

    def _called_once(
        self, name: str, groups: list[tuple[list[Value], Tree]], meet: Tree | None
    ) -> Iterator[str]:
        """Yield the statements of ways that begin with the same call."""
        after = [(values, tree.then) for values, tree in groups if isinstance(tree, Call)]
        call = groups[0][1]
        assert isinstance(call, Call)
        yield f"{BEFORE} = {word(name)};"
        yield f"{step_name((call.machine, call.event))}();"
        whether = {_whether_changed(name, values, tree) for values, tree in after}
        outcome = whether.pop()
        if whether or outcome is None:
            yield from _choice(
                (
                    " || ".join(f"({BEFORE} == {constant(name, value)})" for value in values),
                    list(self.until(tree, meet)),
                )
                for values, tree in after
            )
            return
        same, other = outcome
        yield from _choice(
            (
                (f"({word(name)} == {BEFORE})", list(self.until(same, meet))),
                (_YES, list(self.until(other, meet))),
            )
        )


def _children(tree: Tree) -> tuple[Tree, ...]:
    """Return the nodes that come next, each once."""
    if isinstance(tree, Ask):
        return tuple({id(branch): branch for branch in tree.branches.values()}.values())
    return () if isinstance(tree, End) else (tree.then,)


def _whether_changed(name: str, values: list[Value], tree: Tree) -> tuple[Tree, Tree] | None:
    """Return what follows if the variable has kept its value and what if not, if that is all."""
    if not isinstance(tree, Ask) or tree.name != name or len(values) != 1:
        return None
    others = [branch for value, branch in tree.branches.items() if value != values[0]]
    if values[0] not in tree.branches or any(other is not others[0] for other in others):
        return None
    return tree.branches[values[0]], others[0]


def _choice(ways: Iterable[_Way]) -> Iterator[str]:
    *some, (_, last) = ways
    yield "if"
    for condition, statements in some:
        yield f":: {condition} ->"
        yield from indented(statements)
    yield ":: else ->"
    yield from indented(last)
    yield "fi;"


def _answered(name: str, values: list[Value]) -> str:
    if name == TOOK:
        return f"({TOOK} == {int(bool(values[0]))})"
    if name in QUESTIONS:
        return f"({ANSWERS} & {1 << QUESTIONS.index(name)}) {'!=' if values[0] else '=='} 0"
    return has(name, values)
