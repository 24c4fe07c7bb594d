"""The pieces that the operator left on the outfeed, where his report speaks of pieces.

They follow from the scenario alone: its job run as he ran it (`run.as_found`), with what is hidden in it
setting in when it did for him. So nobody writes them down: whoever opens a session on the same scenario
has the same ones, a record played again and the worlds of a diagnosis too, each with its own cause.
They are found out when somebody first looks at the outfeed.

Never here: what is read on them (see `session.measuring`), and whether they bear the report out.
"""

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace
from typing import Final

from sim.errors import EffortError
from sim.kernel.clock import Allowance, Clock
from sim.kernel.streams import normal
from sim.plant.bar import Stock
from sim.plant.machine import Machine
from sim.saw import Cut, Saw
from sim.scenario.scenario import Scenario
from sim.session.before.run import as_found
from sim.session.session import Session
from sim.units import US

MOST_CALLS: Final = (
    100_000  # of the clock for his run; some hundred times what a shipped drill takes
)
_LEFT_AGO_US: Final = 600 * US  # before the trainee comes; chosen for this program
_MOST_KEPT: Final = 2_000  # runs, in memory only
_TELLS_NOTHING: Final = frozenset({
    "title", "summary", "level", "skills", "brief", "report", "teaches", "ambiguous_with", "inspections",
})  # fmt: skip

_KEPT: Final[dict[tuple[str, int], tuple[Machine, tuple[Cut, ...]]]] = {}


class Left:
    """The pieces that lie at one saw before its first cut.

    Args:
        scenario: With what is hidden in it.
        stock: The bar, which he had too.
        machine: The saw.
        clock: Of the trainee's saw; what his run takes of its allowance is spent there.
        seed: Of the scatter of his pieces; 0 for none.
    """

    def __init__(
        self, scenario: Scenario, stock: Stock, machine: Machine, clock: Clock, seed: int
    ) -> None:
        his = tuple(fault for fault in scenario.faults if not fault.put_in)
        self._scenario = scenario.model_copy(update={"faults": his})
        self._stock, self._machine = stock, machine
        self._clock, self._seed = clock, seed
        self._there: tuple[Cut, ...] | None = None

    def __call__(self) -> tuple[Cut, ...]:
        """Return them in the order in which they fell; ends that were squared off are none.

        Raises:
            EffortError: The allowance of the trainee's saw is not enough.
        """
        if self._there is None:
            told = self._scenario.reported
            ran = told is not None and told.of_pieces
            fell = self._run() if ran else ()
            self._there = tuple(self._scattered(*each) for each in enumerate(fell))
        return self._there

    def _run(self) -> tuple[Cut, ...]:
        key = _key(self._scenario, self._machine)
        if key not in _KEPT:
            session = Session(self._scenario, self._stock, self._machine, nonce="")
            own = session.saw.clock.allowance = Allowance(MOST_CALLS)
            with suppress(EffortError):  # so far he came
                as_found(session, self._scenario.job.wanted)
            if self._clock.allowance is not None:
                self._clock.allowance.spend(MOST_CALLS - max(own.left, 0))
            remember(self._scenario, self._machine, as_left(session.saw))
        return _KEPT[key][1]

    def _scattered(self, number: int, cut: Cut) -> Cut:
        """Return a cut with what chance adds to its length, another chance than that of the trainee's pieces."""
        off_m = normal(self._seed, f"left/{number}", self._machine.cut_scatter_m)
        return replace(cut, length_m=max(cut.length_m + off_m, 0.0), scatter_m=off_m)


def as_left(saw: Saw) -> tuple[Cut, ...]:
    """Return the pieces of his run as they lie there for the trainee, fallen some minutes before he came."""
    long_ago_us = saw.clock.now_us + _LEFT_AGO_US
    return tuple(replace(cut, at_us=cut.at_us - long_ago_us) for cut in saw.cuts if cut.is_piece)


def remember(scenario: Scenario, machine: Machine, left: Sequence[Cut]) -> None:
    """Keep in memory what he left, so that his run is lived once.

    Args:
        scenario: With what was hidden in it.
        machine: The saw, the same object that sessions on it have.
        left: As `as_left` has it, of a run of `MOST_CALLS` calls at most, without scatter.
    """
    while len(_KEPT) >= _MOST_KEPT:
        del _KEPT[next(iter(_KEPT))]
    _KEPT[_key(scenario, machine)] = machine, tuple(left)


def _key(scenario: Scenario, machine: Machine) -> tuple[str, int]:
    """Return what decides his run; the machine by its identity, which what is kept holds on to."""
    return scenario.model_dump_json(exclude=set(_TELLS_NOTHING)), id(machine)
