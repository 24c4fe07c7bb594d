"""The best plan for a scenario, kept on this computer where it hangs on nothing hidden.

That is the plan over the machine with one fault, whichever, from the start, its report heard: the
plan of every scenario that hides nothing else. It is found and kept for all scenarios alike, so the
files do not tell which of them hide more; the plan of one that does is found anew in each process.

Only the names of the looks are kept. The plan is grown from them over the matrix, so it can be made
and tells apart what it says; of its cost it is asked that it is no more than that of the greedy plan.
That it is the best, or that the search would pass its cap, is believed: only the search could tell.

Runs the saw, where the matrix is not kept.
"""

import json
from collections.abc import Iterator
from functools import lru_cache
from math import fsum
from typing import Final

from sim.diagnosis.condensed import ProbeMasks, condensed
from sim.diagnosis.dependency import Matrix
from sim.diagnosis.enough import Enough
from sim.diagnosis.greedy import Greedy
from sim.diagnosis.matrix_from_saw import for_role, matrix_for
from sim.diagnosis.packed import packed
from sim.diagnosis.par import CAP, Par, cap_passed, par
from sim.diagnosis.tree import Node, expected_s, grown, leaves
from sim.records.keep import engine, keep, kept, key_of
from sim.scenario.scenario import Scenario

_ROUNDING: Final = 1e-9  # of two sums of the same costs, a share


def plan_of(scenario: Scenario) -> tuple[Matrix, Par]:
    """Return the matrix of a scenario as its role may look, and the best plan over it.

    Args:
        scenario: What is hidden in it matters only as `matrix_for` says.

    Raises:
        EffortError: As `matrix_for`.
    """
    bare = scenario.sound()
    shown = for_role(scenario, matrix_for(bare))
    plan = _kept_or_found(shown)  # first, and for every scenario: what is kept shall not tell
    matrix = for_role(scenario, matrix_for(scenario))
    return matrix, plan if matrix == shown else plan_for(matrix)


@lru_cache(maxsize=16)
def plan_for(matrix: Matrix, stage: int = 0, total: float | None = None) -> Par:
    """Return the best plan over a matrix from a stage on; worked out once.

    Args:
        matrix: The causes that are possible.
        stage: The stage that the machine is in.
        total: The weight of all causes before anything was seen; that of the matrix when left out.
    """
    return par(matrix, stage, enough=_enough(matrix, total))


def plan_key(matrix: Matrix) -> str:
    """Return the key for the plan over a matrix of which nothing hidden decides anything."""
    return key_of("plan", engine().encode() + b"/" + packed(matrix))


def _enough(matrix: Matrix, total: float | None = None) -> Enough:
    return Enough(fsum(cause.weight for cause in matrix.causes) if total is None else total)


@lru_cache(maxsize=16)
def _kept_or_found(matrix: Matrix) -> Par:
    key = plan_key(matrix)
    content = kept(key)
    plan = _unpacked(content, matrix) if content is not None else None
    if plan is None:
        plan = plan_for(matrix)
        keep(key, _packed(plan))
    return plan


def _packed(plan: Par) -> bytes:
    """Return the looks of a plan in the order of its places, empty where it ends; none of a greedy one."""
    looks = list(_looks(plan.tree)) if plan.exact else []
    return json.dumps({"subsets": plan.subsets, "looks": looks}).encode()


def _looks(tree: Node) -> Iterator[str]:
    yield tree.inspection
    for _, branch in tree.branches:
        yield from _looks(branch)


def _unpacked(content: bytes, matrix: Matrix) -> Par | None:
    """Return the plan that was packed; None where the bytes are none, or it cannot be the best."""
    try:
        told = json.loads(content)
        subsets, looks = told["subsets"], told["looks"]
        if type(subsets) is not int or not 1 <= subsets <= CAP:
            return None
        if looks == [] and subsets == CAP:
            return cap_passed(matrix, enough=_enough(matrix))
        return _exact(matrix, iter(looks), subsets)
    except (ValueError, TypeError, KeyError, RecursionError, _NoPlanError):
        return None


class _NoPlanError(Exception):
    """These looks make no plan."""


def _exact(matrix: Matrix, looks: Iterator[str], subsets: int) -> Par:
    quick = Greedy(condensed(matrix, _enough(matrix)))
    small = quick.small

    def choose(subset: int, stage: int) -> ProbeMasks | None:
        name = next(looks, None)
        if name == "":
            return None
        for column, _ in small.usable(subset, stage):
            if column.name == name and not small.ends(subset):
                return column
        raise _NoPlanError

    tree = grown(small, small.everything, 0, choose)
    if next(looks, None) is not None:
        raise _NoPlanError
    cost_s = expected_s(tree, matrix)
    mask = {cause.name: 1 << place for place, rows in enumerate(small.classes) for cause in rows}
    ends = (sum({mask[name] for name in names}) for names in leaves(tree))
    doubt, cost = sum(map(small.doubt, ends)), cost_s * small.weigh(small.everything)
    greedy_doubt, greedy_cost = quick.worth(small.everything, 0)
    if (doubt, cost) > (greedy_doubt, greedy_cost * (1.0 + _ROUNDING)):
        raise _NoPlanError
    return Par(tree, cost_s, cost_s, exact=True, subsets=subsets)
