"""What a trainee really did, lived through again under every other cause.

Had something else been wrong, would the same acts at the same times have shown the same? The acts
are played again under each cause, and what each act showed becomes a column of a dependency matrix.
So a finding in the middle of a cycle, or after a wrong remedy, is judged by what that very machine
would have shown at that moment.

The worlds can be kept beside a session: what it has done since is then lived through, and no more.

Runs the saw.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from sim.control.table import BAND, COOLANT, CYCLE, JOB, MODE, SUPPLY
from sim.diagnosis.causes import Names, lived_as, with_faults
from sim.diagnosis.dependency import Cause, Matrix, Probe, cause_of
from sim.diagnosis.judgement import judged, worded
from sim.diagnosis.matrix_from_saw import MOST_CALLS, price_s, probed_under
from sim.diagnosis.posterior import Observed
from sim.diagnosis.stages import OVER, how_it_went
from sim.errors import CommandError
from sim.kernel.clock import Allowance
from sim.scenario.scenario import Scenario
from sim.session import inspections
from sim.session.kept.origin import Origin
from sim.session.measuring import Measured
from sim.session.opening import session_for
from sim.session.session import Session
from sim.session.sights import describe, machine_words
from sim.session.sights.describe import EVIDENCE
from sim.words.message import NOTHING, Message, plain

_WORLDS_APART: Final = 1e-3  # a likelihood from which a reading no longer fits, as in `account`
_AT: Final = (SUPPLY, MODE, BAND, COOLANT, JOB, CYCLE)  # what the controller is at
_NO_LOOK: Final = plain("stage.no-look", "No look was possible.")


@dataclass(frozen=True, slots=True)
class TimedAct:
    """One thing done to a session; two are the same when they do the same at the same time."""

    at_us: int
    do: Callable[[Session], object] = field(compare=False)
    what: object = None  # which act it is, where acts are compared


@dataclass(frozen=True, slots=True)
class ActShowed:
    """What one act, and the time up to it, showed."""

    seen: Message
    found: Message
    look: str = ""  # inspection, empty when the act was none
    sights: tuple[Message, ...] = ()  # of the parts of `describe.EVIDENCE`; none where it is over
    # The machine, as far as what a look shows hangs on it; of the run and the sound machine only.
    stands: tuple[object, ...] = ()
    at_us: int = 0  # when it was over
    key: str = ""  # which the control was asked about
    measured: Measured | None = None  # where it measured a piece


@dataclass(frozen=True, slots=True)
class Witnessed:
    """What one act of the run itself showed: as it was told, and as the matrix has it."""

    act: int  # its number, from 1
    look: str  # inspection, empty for what the machine was seen to do
    said: Message
    observed: Observed
    comparable: bool = True  # the sound machine stood as this one did
    at_us: int = 0  # when it showed: the act is over by then
    key: str = ""  # which the control was asked about


def lived(
    scenario: Scenario, acts: Sequence[TimedAct], causes: Mapping[Names, float]
) -> tuple[Matrix, tuple[Witnessed, ...]]:
    """Return what each act of a run would have shown under each cause, and what it did show.

    The columns are the run's own looks, in order, named `3: air-gauge`, `3: why band.run` for what
    the control was asked, `3: seen` for what the machine was seen to do up to the third act, and
    `3: sight of shuttle` for a part that was then in sight, where that differs from cause to cause.
    Feed the matrix, and what was observed, to `posterior.trail`.

    Args:
        scenario: What the run was made in.
        acts: In order of time.
        causes: To be lived through, the sound machine among them, each with its weight.

    Raises:
        CommandError: The acts cannot be played on the scenario as it is.
        EffortError: Too much happens in all these worlds.
    """
    worlds = Worlds(scenario, causes)
    worlds.live(acts)
    return worlds.showed()


class Worlds:
    """A run, and the same run under every cause; each stands as its last act left it.

    Args:
        scenario: What the run was made in.
        causes: To be lived through, the sound machine among them, each with its weight.
        seed: Of the run's own chance, which is that of every world.
    """

    def __init__(self, scenario: Scenario, causes: Mapping[Names, float], seed: int = 0) -> None:
        self._scenario = scenario
        self._causes = dict(causes)
        allowance = Allowance(MOST_CALLS)
        self._true = _World(scenario, allowance, seed, compared=True)
        lived = dict.fromkeys(map(lived_as, causes))
        self._each = {
            each: _World(with_faults(scenario, each), allowance, seed, compared=not each)
            for each in lived
        }
        self._acts: list[TimedAct] = []
        self._now_us = 0
        self._acted_us = 0  # when the last act was over
        self._columns = _Columns()
        self._broken = False

    def can_go_on_to(
        self, scenario: Scenario, acts: Sequence[TimedAct], causes: Mapping[Names, float]
    ) -> bool:
        """Return whether these worlds have lived through a run, or its beginning, and nothing else."""
        done = min(len(self._acts), len(acts))
        return (
            not self._broken
            and list(acts[:done]) == self._acts[:done]
            and all(act.at_us >= self._now_us for act in acts[done:])
            and causes == self._causes
            and scenario == self._scenario
        )

    def live(self, acts: Sequence[TimedAct]) -> None:
        """Live through a run as far as that has not been done; see `can_go_on_to`.

        Raises:
            CommandError: The acts cannot be played on the scenario as it is.
            EffortError: Too much happens in all these worlds.
        """
        self._broken = True  # until all of it is lived through
        for act in acts[len(self._acts) :]:
            true = self._true.live(act, strict=True)
            lived = {each: world.live(act, strict=False) for each, world in self._each.items()}
            each = self._by_cause(lived)
            self._acts.append(act)
            self._now_us, self._acted_us = act.at_us, self._true.now_us
            self._columns.add(len(self._acts), true, each)
        self._broken = False

    def showed(self, acts: int | None = None) -> tuple[Matrix, tuple[Witnessed, ...]]:
        """Return what was lived through, as `lived` does.

        Args:
            acts: How many of them are to be told of; None for all.
        """
        columns = self._columns.up_to(len(self._acts) if acts is None else acts)
        return columns.matrix(self._causes), tuple(columns.findings)

    def showed_at(self, at_us: int) -> tuple[Matrix, tuple[Witnessed, ...]]:
        """Return what was lived through, and what was to be seen when nothing more was done.

        Args:
            at_us: The instant up to which nothing was done, one act more; when no time has passed since
                the last act, there is no more to be seen than that showed.

        Raises:
            EffortError: As `live`.
        """
        if self._acts and at_us <= self._acted_us:
            return self.showed()
        self._broken = True
        true = self._true.wait(at_us, strict=True)
        lived = {each: world.wait(at_us, strict=False) for each, world in self._each.items()}
        each = self._by_cause(lived)
        self._broken, self._now_us = False, at_us
        columns = self._columns.up_to(len(self._acts))
        columns.add(len(self._acts) + 1, true, each)
        return columns.matrix(self._causes), tuple(columns.findings)

    def _by_cause(self, lived: Mapping[Names, ActShowed]) -> dict[Names, ActShowed]:
        """Return what each cause showed: as the one lived that is alike, but for a meter on terminals."""
        return {
            cause: self._each[lived_as(cause)].with_other(lived[lived_as(cause)], cause)
            for cause in self._causes
        }


class _Columns:
    """What the acts of a run showed, world by world, as columns of a matrix."""

    def __init__(self) -> None:
        self.findings: list[Witnessed] = []
        self._probes: list[Probe] = []
        self._shown: list[tuple[str, ...]] = []
        self._sights: dict[str, list[Message]] = {}  # of each part at the act before

    def up_to(self, acts: int) -> "_Columns":
        """Return those of the first acts; of all acts, more can be added to them."""
        some, told = _Columns(), sum(each.act <= acts for each in self.findings)
        some.findings, some._probes = self.findings[:told], self._probes[:told]
        some._shown, some._sights = self._shown[:told], {**self._sights}
        return some

    def matrix(self, causes: Mapping[Names, float]) -> Matrix:
        """Return the matrix, the causes in the order of the worlds."""
        outcomes = zip(*self._shown, strict=True) if self._shown else ((),) * len(causes)
        rows = zip(causes.items(), outcomes, strict=True)
        return Matrix(
            tuple(Cause(cause, weight, row) for (cause, weight), row in rows), tuple(self._probes)
        )

    def add(self, act: int, true: ActShowed, worlds: Mapping[Names, ActShowed]) -> None:
        """Add what one act showed."""
        right, each = worlds[()], worlds.values()
        seen = [world.seen for world in each]
        if len({*seen, true.seen}) > 1:
            column = Probe(f"{act}: seen", 0.0, right=right.seen)
            self._add(act, column, seen, true.seen, at_us=true.at_us)
        for part, name in enumerate(EVIDENCE):
            sight = _sight(true, part)
            sights = [_sight(world, part) for world in each]
            anew = self._sights.get(name) != [sight, *sights]
            if sight is not NOTHING and anew and len({*sights, sight}) > 1:
                column = Probe(f"{act}: sight of {name}", 0.0, right=_sight(right, part))
                self._add(act, column, sights, sight, at_us=true.at_us)
            self._sights[name] = [sight, *sights]
        if true.key:
            column = Probe(f"{act}: why {true.key}", 0.0, right=right.found)
            found = [world.found for world in each]
            self._add(act, column, found, true.found, at_us=true.at_us, key=true.key)
        row = inspections.find(true.look)
        if row is not None:
            column = Probe(f"{act}: {row.name}", price_s(row), look=row.name, right=right.found)
            alike = bool(right.stands) and right.stands == true.stands
            found = [world.found for world in each]
            chances = _chances(true, worlds, column.right)
            self._add(
                act, column, found, true.found, alike=alike, at_us=true.at_us, chances=chances
            )

    def _add(
        self,
        act: int,
        column: Probe,
        each: Sequence[Message],
        said: Message,
        *,
        at_us: int,
        alike: bool = True,
        key: str = "",
        chances: Mapping[str, float] | None = None,
    ) -> None:
        self._probes.append(column)
        self._shown.append(tuple(judged(one, column.right) for one in each))
        observed = Observed(column.name, judged(said, column.right), chances)
        self.findings.append(Witnessed(act, column.look, said, observed, alike, at_us, key))


def _chances(
    true: ActShowed, worlds: Mapping[Names, ActShowed], right: Message
) -> Mapping[str, float] | None:
    """Return how likely each cause was to have a tool read what it read; None of any other look.

    A length by how far it read off: normal about what the saw makes under the cause, by the tool's uncertainty
    and the saw's scatter. A face by whether it gapes, and which way.
    """
    if true.measured is None or true.measured.fell is None:
        return None
    read, shown = true.measured, judged(true.found, right)

    def chance(world: ActShowed) -> float:
        if world.measured is None or world.measured.size is None:
            return float(judged(world.found, right) == shown)
        likely = world.measured.size.likelihood(read)
        return likely if likely > _WORLDS_APART else 0.0

    return {cause_of(cause): chance(world) for cause, world in worlds.items()}


def _sight(moment: ActShowed, part: int) -> Message:
    return moment.sights[part] if moment.sights else NOTHING


class _World:
    """One machine under one cause, and how far what it showed has been told.

    Args:
        scenario: With the cause in it.
        allowance: Of the clock, for all worlds together.
        seed: Of the run's own chance.
        compared: How it stands is to be told, too.
    """

    def __init__(
        self, scenario: Scenario, allowance: Allowance, seed: int, *, compared: bool
    ) -> None:
        self._compared = compared
        self._session = session_for(scenario, origin=Origin(seed=seed), nonce="")
        self._session.saw.clock.allowance = allowance
        self._events = self._looks = self._answers = self._cut = 0
        self._in_sight = describe.InSight()
        self._told()

    @property
    def now_us(self) -> int:
        """How far it has come."""
        return self._session.saw.clock.now_us

    def _told(self) -> None:
        self._events = len(self._session.heard.events)
        self._looks = len(self._session.seen.looks)
        self._answers = len(self._session.seen.answers)
        self._cut = self._session.saw.controller.job.cut

    def live(self, act: TimedAct, *, strict: bool) -> ActShowed:
        """Do an act at its time, and return what it and the time up to it showed.

        Args:
            act: At this instant or later.
            strict: Have it be an error that it cannot be done.
        """
        session = self._session
        showed = ActShowed(OVER, OVER)
        session.advance_us(max(act.at_us - session.saw.clock.now_us, 0))
        if strict or not session.over:
            before = self._stands()
            try:
                act.do(session)
            except CommandError:
                if strict:
                    raise
            showed = self._showed(before)
        self._told()
        return showed

    def with_other(self, showed: ActShowed, cause: Names) -> ActShowed:
        """Return what an act showed if another cause, which is alike, were in this world."""
        row = inspections.find(showed.look) if showed.look else None
        if row is None or not row.terminals or lived_as(cause) == cause:
            return showed
        found = probed_under(self._session, cause, (row,))
        return replace(showed, found=found.get(row.name, showed.found))

    def wait(self, at_us: int, *, strict: bool) -> ActShowed:
        """Wait up to an instant, and return what that showed; the next act shows it too.

        Args:
            at_us: This instant or later.
            strict: Tell what a run shows that is over.
        """
        session = self._session
        session.advance_us(max(at_us - session.saw.clock.now_us, 0))
        return self._showed() if strict or not session.over else ActShowed(OVER, OVER)

    def _showed(self, before: tuple[object, ...] = ()) -> ActShowed:
        session, now_us = self._session, self.now_us
        counted = session.saw.controller.job.cut - self._cut
        seen = how_it_went(session, session.heard.events[self._events :], counted)
        sights = self._in_sight.of(session)
        if len(session.seen.looks) > self._looks:
            look = session.seen.looks[-1]
            row = inspections.find(look.name)
            works = row is not None and row.acts_s > 0.0
            # What a function test leaves behind is what it shows.
            stands = before if works else self._stands()
            return ActShowed(
                seen, look.judged, look.name, sights, stands, now_us, measured=look.measured
            )
        if len(session.seen.answers) > self._answers:
            told = session.seen.answers[-1]
            return ActShowed(seen, told.said, key=told.key, sights=sights, at_us=now_us)
        return ActShowed(seen, _NO_LOOK, sights=sights, at_us=now_us)

    def _stands(self) -> tuple[object, ...]:
        return _stands(self._session) if self._compared else ()


def _stands(session: Session) -> tuple[object, ...]:
    """Return how a machine stands: what its controller is at, and where its parts are to the eye.

    Where the controller takes a part to be is no part of it: that hangs on the switches, which may be
    what is wrong.
    """
    machines, head = session.saw.controller.machines, session.saw.plant.head
    parts = (
        machine_words.vise("cutting", session.saw.plant.cutting_vise),
        machine_words.vise("shuttle", session.saw.plant.shuttle_vise),
        machine_words.shuttle(session),
        machine_words.head(session),
    )
    return (
        *(machines[table.name].state for table in _AT),
        *map(worded, parts),
        head.place.beyond("up"),
        head.place.beyond("down"),
    )
