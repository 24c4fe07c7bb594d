"""A plan of inspections as a tree: look, and go on by what was seen.

Never here: how a good tree is found (`par`, `greedy`).
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from math import fsum

from sim.bugs import TableError
from sim.diagnosis.condensed import Condensed, ProbeMasks
from sim.diagnosis.dependency import Cause, Matrix


@dataclass(frozen=True, slots=True)
class Node:
    """One place in a plan."""

    causes: tuple[str, ...]  # still possible here
    inspection: str = ""  # to be made next; empty where the plan ends
    branches: tuple[tuple[str, "Node"], ...] = ()  # by what is seen


Choice = Callable[[int, int], ProbeMasks | None]  # of a set of classes and a stage; None ends there


@dataclass(frozen=True, slots=True)
class PlannedLook:
    """One inspection on the way to one cause."""

    inspection: str
    cost_s: float
    outcome: str
    left: tuple[str, ...]  # causes still possible after it


def grown(small: Condensed, subset: int, stage: int, choose: Choice) -> Node:
    """Return the plan that makes the looks that `choose` chooses."""
    column = choose(subset, stage)
    if column is None:
        return Node(small.names(subset))
    branches = tuple(
        (outcome, grown(small, subset & part, column.leads_to, choose))
        for outcome, part in zip(column.outcomes, column.parts, strict=True)
        if subset & part
    )
    return Node(small.names(subset), column.name, branches)


def path(tree: Node, matrix: Matrix, cause: str) -> tuple[PlannedLook, ...]:
    """Return the looks that a plan takes when `cause` is what is wrong.

    Raises:
        TableError: The matrix has no such cause, or the plan leaves it out.
    """
    if cause not in tree.causes:
        raise TableError("the plan does not look for it", cause)
    looks = []
    node = tree
    while node.inspection:
        name, seen = node.inspection, matrix.outcome(cause, node.inspection)
        node = dict(node.branches)[seen]
        cost_s = matrix.inspections[matrix.column(name)].cost_s
        looks.append(PlannedLook(name, cost_s, seen, node.causes))
    return tuple(looks)


def expected_s(tree: Node, matrix: Matrix) -> float:
    """Return the cost of a plan, s, the mean over its causes by weight.

    Raises:
        TableError: The plan has a cause or an inspection that is not in the matrix.
    """
    weights = {cause.name: cause.weight for cause in matrix.causes}
    costs_s = {column.name: column.cost_s for column in matrix.inspections}
    spent = fsum(
        costs_s[node.inspection] * weights[name]
        for node in nodes(tree)
        if node.inspection
        for name in node.causes
    )
    return spent / fsum(weights[name] for name in tree.causes)


def leader(matrix: Matrix, causes: Iterable[str]) -> tuple[str, ...]:
    """Return those of some causes that look alike and together are the likeliest.

    Raises:
        TableError: The matrix has not got one of them.
    """
    alike: dict[tuple[str, ...], list[Cause]] = {}
    for name in causes:
        cause = matrix.causes[matrix.row(name)]
        alike.setdefault(cause.outcomes, []).append(cause)
    ahead = max(alike.values(), key=lambda rows: fsum(row.weight for row in rows))
    return tuple(row.name for row in ahead)


def nodes(tree: Node) -> Iterator[Node]:
    """Return every place of a plan, the first look first."""
    yield tree
    for _, branch in tree.branches:
        yield from nodes(branch)


def leaves(tree: Node) -> tuple[tuple[str, ...], ...]:
    """Return the causes that a plan leaves together, group by group, where it ends."""
    return tuple(node.causes for node in nodes(tree) if not node.inspection)
