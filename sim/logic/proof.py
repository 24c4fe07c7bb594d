"""Proves the live controller: each property holds in everything that can happen, or how it breaks.

    proof = prove(); proof.sound

Imports the other files of `logic` that make the model and search it; numpy when it runs.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sim.logic.compile import Model, compiled
from sim.logic.example import Example, breach_of, way_to
from sim.logic.explore import Explorer, Report
from sim.logic.moves import Scope
from sim.logic.packing import Packing
from sim.logic.properties import PROPERTIES, Never, NeverStep, Reachable
from sim.logic.unfold import Row
from sim.logic.ways import Ways


@dataclass(frozen=True, slots=True)
class Finding:
    """What was found of one property."""

    name: str
    sentence: str
    example: Example | None  # how it is broken; for progress, how one gets stuck

    @property
    def holds(self) -> bool:
        """Whether it holds in everything that can happen."""
        return self.example is None


@dataclass(frozen=True, slots=True)
class Proof:
    """What was found of a controller."""

    findings: tuple[Finding, ...]
    states: int
    edges: int
    depth: int

    @property
    def sound(self) -> bool:
        """Whether every property holds."""
        return all(finding.holds for finding in self.findings)


def prove(
    names: Sequence[str] = (),
    bypassed: Iterable[Row] = (),
    scope: Scope | None = None,
    report: Report = lambda _layer, _states: None,
) -> Proof:
    """Return what holds of the controller.

    Args:
        names: Of the properties; all when left out.
        bypassed: Interlock rows that are jumpered.
        scope: How much may be out of order at one time.
        report: Told how far it has come.

    Raises:
        KeyError: There is no property of a name.
    """
    rows = [PROPERTIES[name] for name in names or PROPERTIES]
    model = compiled(scope or Scope(), bypassed)
    explorer = Explorer(model, [row for row in rows if not isinstance(row, Reachable)])
    reached = explorer.reach(report=report)
    ways = Ways(explorer)
    findings = []
    for row in rows:
        if isinstance(row, Reachable):
            stuck = ways.stuck(row, reached)
            example = way_to(explorer, reached, int(ways.shallowest(stuck, reached))) if stuck.size else None
        else:
            example = breach_of(explorer, reached, row)
        findings.append(Finding(row.name, row.sentence, example))
    return Proof(tuple(findings), reached.states, reached.edges, reached.depth)


def first_breach(
    model: Model, rows: Sequence[Never | NeverStep], packing: Packing
) -> tuple[Finding | None, int]:
    """Return the first safety property found broken in a model, and how many states were visited.

    Args:
        model: The model.
        rows: The properties.
        packing: The numbering of a like model's explorer.
    """
    explorer = Explorer(model, rows, packing)
    reached = explorer.reach(enough=lambda so_far: bool(so_far.breaches))
    for breach in reached.breaches[:1]:
        row = PROPERTIES[breach.name]
        assert not isinstance(row, Reachable)
        return Finding(row.name, row.sentence, breach_of(explorer, reached, row)), reached.states
    return None, reached.states
