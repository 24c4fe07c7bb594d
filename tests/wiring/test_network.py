"""Volts and ohms of the wiring against a nodal analysis by SuperLU, for every failure and every pair of terminals."""

import random
from math import hypot, inf

import numpy as np
import pytest
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import splu

from sim.scenario.machines import first_machine, shipped_machine
from sim.wiring.circuit import PHASES, State, circuit, point
from sim.wiring.failures import every_failure, wounds
from sim.wiring.network import Network, between

FAILURES = tuple(every_failure(first_machine().loom))
TOLERANCE_V = 1e-6
PAIRS = 6  # for ohms, a failure and state; for volts all pairs are compared


def at_random(seed):
    """Contacts and outputs that stand anyhow, each the same whenever it is asked."""
    chance = random.Random(seed)
    share, stands = chance.choice([0.1, 0.5, 0.9]), {}

    def closed(device, contact):
        return stands.setdefault((device.tag, contact.name), chance.random() < share)

    return State(closed, lambda tag: stands.setdefault(tag, chance.random() < share), PHASES)


def hanging_on(fixed, links):
    """Return the points that hang together with some."""
    near = {}
    for a, b, _ in links:
        near.setdefault(a, []).append(b)
        near.setdefault(b, []).append(a)
    ahead, reached = [p for p in fixed if p in near], set()
    while ahead:
        here = ahead.pop()
        if here not in reached:
            reached.add(here)
            ahead += near[here]
    return reached


def nodal(net, inject=None, ground=None):
    """Return the potential of every point by nodal analysis: direct, and both parts of the alternating one.

    What hangs on nothing is left out. With `inject` and `ground` it is what 1 A from the one to the other makes.
    """
    fixed = net.fixed if ground is None else {ground: (0.0, 0.0, 0.0)}
    sources = net.sources if ground is None else []
    links = [*net.edges, *((a, b, ohms) for a, b, _, ohms in sources)]
    reached = hanging_on(fixed, links)
    order = {p: k for k, p in enumerate(sorted(reached))}
    if not order:
        return {}
    size = len(order)
    rows, columns, values, i = [], [], [], np.zeros((size, 3))
    there = [link for link in links if link[0] != link[1] and link[0] in order]
    for p, q, ohms in (*there, *((b, a, ohms) for a, b, ohms in there)):
        if p not in fixed:
            rows += [order[p], order[p]]
            columns += [order[p], order[q]]
            values += [1 / ohms, -1 / ohms]
    for low, high, volts, ohms in sources:
        if low in order:
            i[order[low], 0] -= volts / ohms
            i[order[high], 0] += volts / ohms
    if inject in order:
        i[order[inject], 0] += 1.0
    for p in set(fixed) & set(order):
        rows.append(order[p])
        columns.append(order[p])
        values.append(1.0)
        i[order[p]] = fixed[p]
    found = splu(coo_matrix((values, (rows, columns)), (size, size)).tocsc()).solve(i)
    return {p: found[k] for p, k in order.items()}


def network(loom, failure, seed):
    return circuit(loom, at_random(seed), wounds(loom, (failure,)))


@pytest.mark.sampled(4)
@pytest.mark.parametrize("group", range(8))
def test_every_failure_reads_as_an_independent_nodal_analysis_has_it(group):
    loom = first_machine().loom
    for number, failure in enumerate(FAILURES):
        if number % 8 != group:
            continue
        net = network(loom, failure, number)
        ours, theirs = net.potentials(), nodal(net)

        assert set(theirs) <= set(ours)
        assert set(ours) - set(theirs) <= set(net.fixed)
        for p, volts in theirs.items():
            assert max(map(abs, ours[p] - volts)) < TOLERANCE_V, (failure, p)
        chance = random.Random(number)
        terminals = loom.terminals
        near = chance.choice([each.tag for each in loom.devices])
        some = [end for end in terminals if end.startswith(f"{near}:")] or terminals
        for _ in range(PAIRS):
            one, other = (point(loom, chance.choice(ends)) for ends in (some, terminals))
            assert net.ohms(one, other) == pytest.approx(_ohms(net, one, other), rel=1e-6), failure


def _ohms(net, one, other):
    if one == other:
        return 0.0
    found = nodal(net, inject=one, ground=other)
    return abs(found[one][0]) if one in found else inf


def test_every_pair_of_terminals_reads_the_difference_of_its_two():
    loom = shipped_machine("quay-saw").loom
    net = circuit(loom, at_random(5), wounds(loom, ()))
    ours, theirs = net.potentials(), nodal(net)
    live = 0
    for one in [point(loom, end) for end in loom.terminals]:
        for other in [point(loom, end) for end in loom.terminals]:
            direct, alternating = between(ours.get(one), ours.get(other))
            if one in theirs and other in theirs:
                found = theirs[one] - theirs[other]
                assert abs(direct - found[0]) < TOLERANCE_V
                assert abs(alternating - hypot(*found[1:])) < TOLERANCE_V
                live += hypot(direct, alternating) > 1.0
            else:
                assert one not in theirs or other not in theirs
    assert live > 1000


def test_a_divider_a_bridge_and_what_hangs_on_nothing():
    net = Network(fixed={"high": (24.0, 0.0, 0.0), "low": (0.0, 0.0, 0.0)})
    net.join("high", "mid", 100.0)
    net.join("mid", "low", 300.0)
    net.join("loose", "looser", 5.0)
    found = net.potentials()

    assert found["mid"][0] == pytest.approx(18.0)
    assert "loose" not in found
    assert between(found.get("loose"), found["mid"]) == (0.0, 0.0)
    assert net.ohms("loose", "looser") == pytest.approx(5.0)
    assert net.ohms("high", "low") == pytest.approx(400.0)
    assert net.ohms("mid", "loose") == inf
