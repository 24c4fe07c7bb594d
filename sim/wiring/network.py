"""A network of resistances: volts between two points of it, ohms between two, by nodal analysis.

Theory. With ideal potentials at some points and current sources beside resistances, Kirchhoff's current
law at every other point gives a symmetric system G u = i. It is solved by elimination, the point with
the fewest neighbours first; wiring is nearly a tree, so hardly anything fills in. Three right sides are
solved at once: direct voltage, and the two parts of the alternating one, since every element is a
resistance. What hangs on no potential at all is taken to carry none.

Units: ohms, volts. Never here: what the points are.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from math import hypot, inf
from typing import Final

Volts = tuple[float, float, float]
"""Direct voltage, and real and imaginary part of the alternating one (r.m.s.), V."""

NO_VOLTS: Final[Volts] = (0.0, 0.0, 0.0)


@dataclass
class Network:
    """Points by name, and the resistances between them."""

    edges: list[tuple[str, str, float]] = field(default_factory=list)  # two points, ohms
    fixed: dict[str, Volts] = field(default_factory=dict)  # points with a potential of their own
    sources: list[tuple[str, str, float, float]] = field(default_factory=list)  # from, to, V, ohms
    # Resistances that were asked for, of a network that is whole.
    _ohms: dict[tuple[str, str], float] = field(default_factory=dict)

    def join(self, one: str, other: str, ohms: float) -> None:
        """Put a resistance between two points."""
        self.edges.append((one, other, ohms))

    def feed(self, low: str, high: str, volts: float, ohms: float) -> None:
        """Put a source of direct voltage with its inner resistance between two points."""
        self.sources.append((low, high, volts, ohms))

    def potentials(self) -> dict[str, Volts]:
        """Return the potential of every point that hangs on a fixed one."""
        across = _conductances((*self.edges, *((a, b, r) for a, b, _, r in self.sources)))
        inflow: dict[str, list[float]] = {}
        for low, high, volts, ohms in self.sources:
            for end, sign in ((low, -1.0), (high, 1.0)):
                inflow.setdefault(end, [0.0, 0.0, 0.0])[0] += sign * volts / ohms
        return _solved(across, self.fixed, inflow)

    def ohms(self, one: str, other: str) -> float:
        """Return the resistance between two points with every source taken off; infinite where none joins them."""
        pair = (min(one, other), max(one, other))
        if pair not in self._ohms:
            self._ohms[pair] = self._between(*pair)
        return self._ohms[pair]

    def _between(self, one: str, other: str) -> float:
        if one == other:
            return 0.0
        across = _conductances(self.edges)
        if one not in across or other not in across:
            return inf
        found = _solved(across, {other: NO_VOLTS}, {one: [1.0, 0.0, 0.0]})
        return found[one][0] if one in found else inf


def between(one: Volts | None, other: Volts | None) -> tuple[float, float]:
    """Return direct and alternating voltage between two potentials; none where either hangs on nothing."""
    if one is None or other is None:
        return 0.0, 0.0
    return one[0] - other[0], hypot(one[1] - other[1], one[2] - other[2])


def _conductances(edges: Iterable[tuple[str, str, float]]) -> dict[str, dict[str, float]]:
    across: dict[str, dict[str, float]] = {}
    for one, other, ohms in edges:
        if one == other:
            continue
        near, far = across.setdefault(one, {}), across.setdefault(other, {})
        near[other] = far[one] = near.get(other, 0.0) + 1.0 / ohms
    return across


def _solved(
    across: Mapping[str, Mapping[str, float]],
    fixed: Mapping[str, Volts],
    inflow: Mapping[str, list[float]],
) -> dict[str, Volts]:
    """Return the potentials of all points that hang on a fixed one.

    Args:
        across: Conductance between neighbours, siemens.
        fixed: Points with a potential of their own.
        inflow: Current fed into points, A, as three right sides.
    """
    known = {point: volts for point, volts in fixed.items() if point in across}
    free = _hang_on(across, known) - set(known)
    links = {p: {q: g for q, g in across[p].items() if q not in known} for p in free}
    own = {p: sum(across[p].values()) for p in links}
    right = {p: [*inflow.get(p, NO_VOLTS)] for p in links}
    for point in links:
        for near, g in across[point].items():
            if near in known:
                for side, volts in enumerate(known[near]):
                    right[point][side] += g * volts
    order = _eliminate(links, own, right)
    found = dict(known)
    for point, above, pivot, currents in reversed(order):
        values = list(currents)
        for near, g in above.items():
            for side, volts in enumerate(found[near]):
                values[side] += g * volts
        found[point] = (values[0] / pivot, values[1] / pivot, values[2] / pivot)
    return found


def _hang_on(across: Mapping[str, Mapping[str, float]], start: Iterable[str]) -> set[str]:
    """Return the points that hang together with some, those among them."""
    reached = set(start)
    ahead = list(reached)
    while ahead:
        for near in across[ahead.pop()]:
            if near not in reached:
                reached.add(near)
                ahead.append(near)
    return reached


_Step = tuple[str, dict[str, float], float, list[float]]


def _eliminate(
    links: dict[str, dict[str, float]], own: dict[str, float], right: dict[str, list[float]]
) -> list[_Step]:
    """Eliminate every point, the one with the fewest neighbours first; return what each hung on."""
    ranks: list[dict[str, None]] = []

    def rank(point: str) -> None:
        degree = len(links[point])
        while len(ranks) <= degree:
            ranks.append({})
        ranks[degree][point] = None

    for point in sorted(links):  # the same sums in the same order, whatever the hashes of names are
        rank(point)
    order: list[_Step] = []
    while len(order) < len(own):
        bucket = next(each for each in ranks if each)
        point = next(iter(bucket))
        del bucket[point]
        above, pivot, currents = links.pop(point), own[point], right[point]
        order.append((point, above, pivot, currents))
        nears = list(above.items())
        for near, g in nears:
            del ranks[len(links[near])][near]
            del links[near][point]
            own[near] -= g * g / pivot
            for side in range(3):
                right[near][side] += g / pivot * currents[side]
        for place, (one, g) in enumerate(nears):
            for other, h in nears[place + 1 :]:
                fill = g * h / pivot
                links[one][other] = links[one].get(other, 0.0) + fill
                links[other][one] = links[other].get(one, 0.0) + fill
        for near, _ in nears:
            rank(near)
    return order
