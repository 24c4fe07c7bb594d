"""What a trainee really did, lived through again under every other cause.

Had something else been wrong, would the same acts at the same times have shown the same? The acts
are played again under each cause, and what each act showed becomes a column of a dependency matrix.
So a finding in the middle of a cycle, or after a wrong remedy, is judged by what that very machine
would have shown at that moment.

Runs the saw.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from sim.diagnosis.causes import Names, with_faults
from sim.diagnosis.dependency import Cause, Matrix, Probe
from sim.diagnosis.judgement import judged
from sim.diagnosis.matrix_from_saw import MOST_CALLS, price_s
from sim.diagnosis.posterior import Observed
from sim.diagnosis.stages import OVER, how_it_went
from sim.errors import CommandError
from sim.kernel.clock import Allowance
from sim.scenario.scenario import Scenario
from sim.session import inspections
from sim.session.opening import session_for
from sim.session.session import Session
from sim.session.sights import describe
from sim.session.sights.describe import EVIDENCE
from sim.words.message import NOTHING, Message, plain

_NO_LOOK: Final = plain("stage.no-look", "No look was possible.")


@dataclass(frozen=True, slots=True)
class TimedAct:
    """One thing done to a session."""

    at_us: int
    do: Callable[[Session], object]


@dataclass(frozen=True, slots=True)
class ActShowed:
    """What one act, and the time up to it, showed."""

    seen: Message
    found: Message
    look: str = ""  # inspection, empty when the act was none
    sights: tuple[Message, ...] = ()  # of the parts of `describe.EVIDENCE`; none where it is over


@dataclass(frozen=True, slots=True)
class Witnessed:
    """What one act of the run itself showed: as it was told, and as the matrix has it."""

    act: int  # its number, from 1
    look: str  # inspection, empty for what the machine was seen to do
    said: Message
    observed: Observed


def lived(
    scenario: Scenario, acts: Sequence[TimedAct], causes: Mapping[Names, float]
) -> tuple[Matrix, tuple[Witnessed, ...]]:
    """Return what each act of a run would have shown under each cause, and what it did show.

    The columns are the run's own looks, in order, named `3: air-gauge`, `3: seen` for what the
    machine was seen to do up to the third act, and `3: sight of shuttle` for a part that was then
    in sight, where that differs from cause to cause. Feed the matrix, and what was observed, to
    `posterior.trail`.

    Args:
        scenario: What the run was made in.
        acts: In order of time.
        causes: To be lived through, the sound machine among them, each with its weight.

    Raises:
        CommandError: The acts cannot be played on the scenario as it is.
        EffortError: Too much happens in all these worlds.
    """
    allowance = Allowance(MOST_CALLS)
    true = _moments(scenario, acts, allowance, strict=True)
    worlds = {
        cause: _moments(with_faults(scenario, cause), acts, allowance, strict=False)
        for cause in causes
    }
    sound = worlds[()]
    columns: list[Probe] = []
    shown: list[tuple[str, ...]] = []
    findings: list[Witnessed] = []
    in_sight: dict[str, list[Message]] = {}  # of each part at the act before, world by world

    def add(act: int, column: Probe, each: Sequence[Message], said: Message) -> None:
        columns.append(column)
        shown.append(tuple(judged(one, column.right) for one in each))
        observed = Observed(column.name, judged(said, column.right))
        findings.append(Witnessed(act, column.look, said, observed))

    for k, (moment, right) in enumerate(zip(true, sound, strict=True), start=1):
        seen = [world[k - 1].seen for world in worlds.values()]
        if len({*seen, moment.seen}) > 1:
            add(k, Probe(f"{k}: seen", 0.0, right=right.seen), seen, moment.seen)
        for part, name in enumerate(EVIDENCE):
            sight = _sight(moment, part)
            each = [_sight(world[k - 1], part) for world in worlds.values()]
            anew = in_sight.get(name) != [sight, *each]
            if sight is not NOTHING and anew and len({*each, sight}) > 1:
                column = Probe(f"{k}: sight of {name}", 0.0, right=_sight(right, part))
                add(k, column, each, sight)
            in_sight[name] = [sight, *each]
        row = inspections.find(moment.look)
        if row is not None:
            column = Probe(f"{k}: {row.name}", price_s(row), look=row.name, right=right.found)
            add(k, column, [w[k - 1].found for w in worlds.values()], moment.found)
    rows = tuple(
        Cause(c, weight, tuple(s[i] for s in shown)) for i, (c, weight) in enumerate(causes.items())
    )
    return Matrix(rows, tuple(columns)), tuple(findings)


def _sight(moment: ActShowed, part: int) -> Message:
    return moment.sights[part] if moment.sights else NOTHING


def _moments(
    scenario: Scenario, acts: Sequence[TimedAct], allowance: Allowance, *, strict: bool
) -> list[ActShowed]:
    session = session_for(scenario, nonce="")
    session.saw.clock.allowance = allowance
    moments = []
    for act in acts:
        events, found = len(session.heard.events), len(session.seen.looks)
        cut = session.saw.controller.job.cut
        moment = ActShowed(OVER, OVER)
        session.advance_us(max(act.at_us - session.saw.clock.now_us, 0))
        if strict or not session.over:
            try:
                act.do(session)
            except CommandError:
                if strict:
                    raise
            counted = session.saw.controller.job.cut - cut
            seen = how_it_went(session, session.heard.events[events:], counted)
            sights = describe.in_sight(session)
            moment = ActShowed(seen, _NO_LOOK, sights=sights)
            if len(session.seen.looks) > found:
                look = session.seen.looks[-1]
                moment = ActShowed(seen, look.found, look.name, sights)
        moments.append(moment)
    return moments
