"""A network of resistances: volts between two points of it, ohms between two, by nodal analysis.

Theory. With ideal potentials at some points and current sources beside resistances, Kirchhoff's current
law at every other point gives a symmetric system G u = i. It is solved by elimination, the point with
the fewest neighbours first; wiring is nearly a tree, so hardly anything fills in. Three right sides are
solved at once: direct voltage, and the two parts of the alternating one, since every element is a
resistance. Ohms are the volts that one ampere makes from one point to the other; it never leaves
their part of the network, which is eliminated once for all that is metered there. With G = L D L^T they
are e^T G^-1 e = sum of y^2 / d with L y = e, and y is nothing but along the way on which the two points
were eliminated. What hangs on no potential at all is taken to carry none.

Units: ohms, volts. Never here: what the points are.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from heapq import heappop, heappush
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
    _across: dict[str, dict[str, float]] | None = None
    _parts: "dict[str, _Part]" = field(default_factory=dict)  # by their points

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
        if self._across is None:
            self._across = _conductances(self.edges)
        if one not in self._across:
            return inf
        if one not in self._parts:
            self._parts |= _part_of(self._across, one)
        part = self._parts[one]
        if part is not self._parts.get(other):
            return inf
        return part.ohms(one, other)


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
    right = {p: [*inflow.get(p, NO_VOLTS)] for p in free}
    for point in free:
        for near, g in across[point].items():
            if near in known:
                for side, volts in enumerate(known[near]):
                    right[point][side] += g * volts
    steps = _eliminated(across, free)
    for point, above, pivot in steps:
        one, two, three = right[point]
        if not (one or two or three):
            continue
        for near, g in above.items():
            share, sides = g / pivot, right[near]
            sides[0] += share * one
            sides[1] += share * two
            sides[2] += share * three
    found = dict(known)
    for point, above, pivot in reversed(steps):
        one, two, three = right[point]
        for near, g in above.items():
            beside = found[near]
            one += g * beside[0]
            two += g * beside[1]
            three += g * beside[2]
        found[point] = (one / pivot, two / pivot, three / pivot)
    return found


@dataclass(frozen=True, slots=True)
class _Part:
    """Points that hang together, eliminated but for one."""

    steps: "list[_Step]"
    place: dict[str, int]  # of a point among the steps; the one that is left has none

    def ohms(self, one: str, other: str) -> float:
        """Return the resistance between two of its points."""
        flow = {one: 1.0, other: -1.0}  # amperes in
        ahead = sorted(self.place[point] for point in flow if point in self.place)
        ohms = 0.0
        while ahead:
            point, above, pivot = self.steps[heappop(ahead)]
            amps = flow[point]
            ohms += amps * amps / pivot
            for near, g in above.items():
                if near in flow:
                    flow[near] += g / pivot * amps
                else:
                    flow[near] = g / pivot * amps
                    heappush(ahead, self.place[near])
        return ohms


def _part_of(across: Mapping[str, Mapping[str, float]], point: str) -> dict[str, _Part]:
    """Return by its points the part of a network that hangs on a point."""
    points = _hang_on(across, (point,))
    ground = min(points)  # whichever was asked for first
    steps = _eliminated(across, points - {ground})
    place = {point: number for number, (point, _, _) in enumerate(steps)}
    return dict.fromkeys(points, _Part(steps, place))


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


_Step = tuple[str, dict[str, float], float]  # a point, what it hung on, siemens; all of it, siemens


def _eliminated(across: Mapping[str, Mapping[str, float]], points: set[str]) -> list[_Step]:
    """Eliminate points, the one with the fewest neighbours first; return what each hung on.

    What hangs on a point that is not among them is held to lie at nothing.
    """
    links = {p: {q: g for q, g in across[p].items() if q in points} for p in points}
    own = {p: sum(across[p].values()) for p in points}
    ranks: list[dict[str, None]] = [{} for _ in range(1 + max(map(len, links.values()), default=0))]
    for point in sorted(links):  # the same sums in the same order, whatever the hashes of names are
        ranks[len(links[point])][point] = None
    steps: list[_Step] = []
    least = 0
    for _ in points:
        while not ranks[least]:
            least += 1
        point = next(iter(ranks[least]))
        del ranks[least][point]
        above, pivot = links.pop(point), own[point]
        steps.append((point, above, pivot))
        for near, g in above.items():
            beside = links[near]
            del ranks[len(beside)][near]
            del beside[point]
            own[near] -= g * g / pivot
        if len(above) > 1:
            nears = list(above.items())
            for place, (one, g) in enumerate(nears, 1):
                for other, h in nears[place:]:
                    fill = g * h / pivot
                    links[one][other] = links[one].get(other, 0.0) + fill
                    links[other][one] = links[other].get(one, 0.0) + fill
        for near in above:
            degree = len(links[near])
            while len(ranks) <= degree:
                ranks.append({})
            ranks[degree][near] = None
            least = min(least, degree)
    return steps
