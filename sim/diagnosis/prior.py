"""How likely each cause is before anybody looks: how often such causes come, and what is reported.

There are no failure rates for this saw. The rates of the families are assumed: what was set last is
most often wrong, a valve or a coil least often. A rate is shared by the causes of its family. Two
faults at once are as likely as each would have it, taken together; they are thought of where each
shows a part of the report and neither the whole.

The causes that do not show what is reported share a twentieth, however many the catalogue has: the
operator may have missed or mistaken something. Two at once that do not show it are not thought of.

Runs the saw.
"""

import json
from collections.abc import Iterable, Mapping
from itertools import combinations
from math import fsum, isfinite, prod
from typing import Final

from sim.diagnosis.account import Account, account_of, fits, likelihood
from sim.diagnosis.causes import NOTHING, Names, lived_as, neighbours, singles, with_faults
from sim.diagnosis.halves import in_halves
from sim.diagnosis.stages import is_late
from sim.faults.catalogue import CATALOGUE, EVERY
from sim.faults.fault import Family
from sim.kernel.clock import Allowance
from sim.records.keep import keep, kept
from sim.scenario.reported import Reported
from sim.scenario.scenario import Scenario
from sim.session.before.left import remember
from sim.session.opening import machine_for

RATES: Final = {
    Family.SET_UP: 0.28,
    Family.CONSUMABLE: 0.21,
    Family.MECHANICAL: 0.16,
    Family.SUPPLY: 0.13,
    Family.SENSOR: 0.12,
    Family.ACTUATOR: 0.10,
}
"""Share of the troubles of a saw by family; assumed, in the order that common practice has."""

SOUND: Final = 0.05  # how often nothing is wrong at all; assumed
IN_DETAIL: Final = 0.25  # of a row, what one more place in the same wiring comes to; assumed
UNFIT: Final = 0.05  # what all causes share that do not show what is reported
_MOST_PAIRS: Final = 200
_SIZES: Final = {
    family: sum(fault.family is family for fault in CATALOGUE.values()) for family in Family
}

Prior = dict[Names, float]
"""The belief in each cause, together 1, in the order in which they are thought of."""


def rate(cause: Names) -> float:
    """Return how often a cause comes, against the others."""
    if not cause:
        return SOUND
    return prod(
        RATES[EVERY[name].family]
        / _SIZES[EVERY[name].family]
        * (1.0 if name in CATALOGUE else IN_DETAIL)
        for name in cause
    )


def prior_for(scenario: Scenario, key: str = "", allowance: Allowance | None = None) -> Prior:
    """Return the belief in each cause once the report was heard.

    Args:
        scenario: What is hidden in it matters only when it is more than one fault, or sets in later.
        key: Under which it is kept on this computer; empty for not at all.
        allowance: Of all clocks; None for as much as it takes.

    Raises:
        EffortError: The allowance was not enough.
    """
    content = kept(key) if key else None
    known = _unpacked(content) if content is not None else None
    if known is None:
        known = _found(scenario, allowance)
        if key:
            keep(key, _packed(known))
    return known


def _found(scenario: Scenario, allowance: Allowance | None) -> Prior:
    told, hidden = scenario.reported, tuple(sorted(row.name for row in scenario.faults))
    if told is None:
        beside = neighbours(hidden) or ((hidden,) if hidden else ())
        causes = dict.fromkeys((*singles(scenario), *beside))
        return _shared({cause: rate(cause) for cause in causes}, 1.0)
    return _Heard(scenario, told, allowance).prior(hidden)


class _Heard:
    """A report, and what every cause would have shown of it."""

    def __init__(self, scenario: Scenario, told: Reported, allowance: Allowance | None) -> None:
        self._scenario = scenario.built_as(machine_for(scenario))  # its file is asked for once
        self._told, self._allowance = told, allowance
        self._accounts: dict[Names, Account] = {}

    def prior(self, hidden: Names) -> Prior:
        """Return the belief in each cause."""
        single = singles(self._scenario)
        self._live(single)
        pairs = self._pairs()
        more = () if not hidden or hidden in {*single, *pairs} else neighbours(hidden) or (hidden,)
        causes = list(dict.fromkeys((*single, *pairs, *more)))
        sure = {*single, hidden, *more}
        self._live(causes)
        likely = {cause: self._likelihood(cause) for cause in causes}
        likely = {cause: fit for cause, fit in likely.items() if fit > 0.0 or cause in sure}
        rates = {cause: rate(cause) for cause in likely}
        fitting = {cause: rates[cause] * fit for cause, fit in likely.items() if fit > 0.0}
        others = {cause: rates[cause] for cause, fit in likely.items() if fit == 0.0}
        if not fitting or not others:
            return _shared(rates, 1.0)
        belief = {**_shared(fitting, 1.0 - UNFIT), **_shared(others, UNFIT)}
        return {cause: belief[cause] for cause in likely}

    def _live(self, causes: Iterable[Names]) -> None:
        """Have it ready what the operator lived through under each of these causes."""
        every = dict.fromkeys(map(lived_as, causes))
        new = [cause for cause in every if cause not in self._accounts]
        found = in_halves(self._lived, new, self._allowance)
        self._accounts.update(zip(new, found, strict=True))
        for cause, account in zip(new, found, strict=True) if self._told.of_pieces else ():
            if account.left is not None:  # what a second process found is known to this one too
                scenario = with_faults(self._scenario, cause)
                remember(scenario, machine_for(scenario), account.left)

    def _lived(self, cause: Names) -> Account:
        return account_of(with_faults(self._scenario, cause), self._told, self._allowance)

    def _account(self, cause: Names) -> Account:
        return self._accounts[lived_as(cause)]

    def _likelihood(self, cause: Names) -> float:
        return likelihood(self._told, self._account(cause), self._account(NOTHING))

    def _shows(self, cause: Names) -> frozenset[str]:
        """Return what a cause alone shows of the report, in the place of whichever hidden one."""
        rows, sound = self._scenario.faults, self._account(NOTHING)
        shown = fits(self._told, self._account(cause), sound)
        lived = with_faults(self._scenario, cause).faults
        for row in rows if len(rows) > 1 and is_late(self._scenario) else ():
            alone = with_faults(self._scenario.model_copy(update={"faults": (row,)}), cause)
            if alone.faults == lived:
                continue
            shown |= fits(self._told, account_of(alone, self._told), sound)
        return shown

    def _pairs(self) -> list[Names]:
        """Return the pairs of which each shows a part of the report and neither the whole."""
        fields = frozenset(self._told.borne_out)
        single = singles(self._scenario)
        late = len(self._scenario.faults) > 1 and is_late(self._scenario)
        each = in_halves(self._shows, single) if late else map(self._shows, single)
        shows = dict(zip(single, each, strict=True))
        parts = {cause: there for cause, there in shows.items() if there < fields}
        plain = shows[NOTHING]  # what shows on the sound machine too needs no cause
        useful = {cause: there - plain for cause, there in parts.items() if there - plain}
        found = [
            (rate(tuple(sorted(one + other))), tuple(sorted(one + other)))
            for (one, shown), (other, shown_too) in combinations(useful.items(), 2)
            if fields - plain <= shown | shown_too
        ]
        return [pair for _, pair in sorted(found, key=lambda each: -each[0])[:_MOST_PAIRS]]


def _shared(rates: Mapping[Names, float], among: float) -> Prior:
    total = fsum(rates.values())
    return {cause: among * rate / total for cause, rate in rates.items()}


def _packed(prior: Prior) -> bytes:
    return json.dumps([[list(cause), share] for cause, share in prior.items()]).encode()


def _unpacked(content: bytes) -> Prior | None:
    """Return the prior that was packed, or None where the bytes are none."""
    try:
        known = {tuple(cause): float(share) for cause, share in json.loads(content)}
    except (ValueError, TypeError, ArithmeticError, RecursionError):
        return None
    sane = all(
        isfinite(share) and 0.0 < share <= 1.0 and set(cause) <= set(EVERY)
        for cause, share in known.items()
    )
    whole = {NOTHING, *((name,) for name in CATALOGUE)} <= set(known)
    return known if sane and whole and abs(fsum(known.values()) - 1.0) < 1e-9 else None
