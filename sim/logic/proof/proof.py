"""Proves the live controller: each property holds in everything that can happen, or how it breaks.

Here: what is asked and what is answered; `prove().sound` is the shortest question.
Not here: the search itself (`search`).
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from sim.control.interlocks import THE_ROWS, Rows
from sim.logic.proof.compile import compiled
from sim.logic.proof.example import Example, breach_of, goes_on, way_to
from sim.logic.proof.moves import Scope
from sim.logic.proof.properties import PROPERTIES, Ends, Never, NeverStep, Reachable
from sim.logic.proof.search.explore import Explorer, Reached, Report
from sim.logic.proof.tried import Tried, Untried
from sim.logic.proof.unfold import Row
from sim.logic.proof.ways import Ways
from sim.words.message import Message


@dataclass(frozen=True, slots=True)
class Finding:
    """What was found of one property."""

    name: str
    sentence: Message
    example: Example | None  # how it is broken; for progress, how one gets stuck
    untried: Untried | None = None  # why nothing can be said of it; None where it was tried

    @property
    def broken(self) -> bool:
        """Whether a way was found that breaks it."""
        return self.example is not None

    @property
    def holds(self) -> bool:
        """Whether it was tried, and holds in everything that can happen."""
        return not self.broken and self.untried is None

    @property
    def moves(self) -> int:
        """How many moves break it; 0 when it holds."""
        return len(self.example.strides) if self.example is not None else 0


@dataclass(frozen=True, slots=True)
class Proof:
    """What was found of a controller."""

    findings: tuple[Finding, ...]
    states: int
    edges: int
    depth: int
    whole: bool  # everything was visited; else it stopped when all that was asked had broken

    @property
    def sound(self) -> bool:
        """Whether every property was tried and holds."""
        return all(finding.holds for finding in self.findings)

    @property
    def broken(self) -> bool:
        """Whether any property is broken."""
        return any(finding.broken for finding in self.findings)

    @property
    def untried(self) -> tuple[Finding, ...]:
        """The properties of which nothing can be said."""
        return tuple(finding for finding in self.findings if finding.untried is not None)

    def with_broken(self, broken: Iterable[Finding]) -> "Proof":
        """Return the proof with what was found broken elsewhere, be it beyond its bounds."""
        elsewhere = {finding.name: finding for finding in broken}
        mine = [f if f.broken else elsewhere.get(f.name, f) for f in self.findings]
        asked = {finding.name for finding in mine}
        return replace(
            self, findings=(*mine, *(f for f in elsewhere.values() if f.name not in asked))
        )

    @property
    def shortest(self) -> Finding | None:
        """The property that is broken in the fewest moves; None when every one holds."""
        broken = [finding for finding in self.findings if finding.example is not None]
        return min(broken, key=lambda finding: finding.moves, default=None)


def prove(
    names: Sequence[str] = (),
    bypassed: Iterable[Row] = (),
    scope: Scope | None = None,
    report: Report = lambda _layer, _states: None,
    rows: Rows = THE_ROWS,
) -> Proof:
    """Return what holds of the controller.

    Args:
        names: Of the properties; all when left out.
        bypassed: Interlock rows that are jumpered.
        scope: How much may be out of order at one time.
        report: Told how far it has come.
        rows: The interlock rows of the controller.

    Raises:
        KeyError: There is no property of a name.
    """
    asked = [PROPERTIES[name] for name in names or PROPERTIES]
    bypassed = tuple(bypassed)
    model = compiled(scope or Scope(), bypassed, rows=rows)
    safety = [row for row in asked if isinstance(row, Never | NeverStep)]
    explorer = Explorer(model, safety)
    # Two processes may find different examples, each time as short; one finds the same always.
    alone = bool(bypassed) or rows is not THE_ROWS

    def enough(so_far: Reached) -> bool:
        return len(so_far.breaches) == len(asked)

    reached = explorer.reach(enough, report, alone=alone)
    tried = Tried(explorer, reached)
    findings = tuple(
        found if found.broken else replace(found, untried=tried.why_not(PROPERTIES[found.name]))
        for found in examined(explorer, reached, [row.name for row in asked])
    )
    return Proof(findings, reached.states, reached.edges, reached.depth, not enough(reached))


def examined(explorer: Explorer, reached: Reached, names: Iterable[str]) -> Iterator[Finding]:
    """Yield what was found of some properties in what an explorer reached."""
    ways = Ways(explorer)
    for row in (PROPERTIES[name] for name in names):
        if isinstance(row, Reachable):
            stuck = ways.stuck(row, reached)
            example = None
            if stuck.size:
                example = way_to(explorer, reached, ways.shallowest(stuck, reached))
        elif isinstance(row, Ends):
            example = goes_on(explorer, reached, row, ways)
        else:
            example = breach_of(explorer, reached, row)
        yield Finding(row.name, row.sentence, example)
