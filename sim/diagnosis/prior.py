"""How likely each cause is before anybody looks: how often such causes come, and what is reported.

There are no failure rates for this saw. The rates of the families are assumed: what was set last
is most often wrong, a valve or a coil least often. A rate is shared by the causes of its family.
Two faults at once are as likely as each would have it, taken together.

The causes that do not show what is reported share a twentieth, however many the catalogue has: the
operator may have missed or mistaken something.

Runs the saw.
"""

from collections.abc import Mapping
from math import fsum, prod
from typing import Final

from sim.diagnosis.account import account_of, likelihood
from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Family
from sim.scenario.scenario import Scenario

Names = tuple[str, ...]

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
UNFIT: Final = 0.05  # what all causes share that do not show what is reported
_SIZES: Final = {
    family: sum(fault.family is family for fault in CATALOGUE.values()) for family in Family
}


def rate(cause: Names) -> float:
    """Return how often a cause comes, against the others."""
    if not cause:
        return SOUND
    return prod(RATES[CATALOGUE[name].family] / _SIZES[CATALOGUE[name].family] for name in cause)


def prior_of(worlds: Mapping[Names, Scenario]) -> dict[Names, float]:
    """Return the belief in each cause once the report was heard, together 1.

    Args:
        worlds: The scenario under each cause, the sound machine among them.
    """
    rates = {cause: rate(cause) for cause in worlds}
    told = next(iter(worlds.values())).reported
    if told is None:
        return _shared(rates, 1.0)
    accounts = {cause: account_of(world, told) for cause, world in worlds.items()}
    sound = accounts[()]
    fits = {cause: likelihood(told, shown, sound) for cause, shown in accounts.items()}
    fitting = {cause: rates[cause] * fit for cause, fit in fits.items() if fit > 0.0}
    others = {cause: rates[cause] for cause, fit in fits.items() if fit == 0.0}
    if not fitting or not others:
        return _shared(fitting or others, 1.0)
    return {**_shared(fitting, 1.0 - UNFIT), **_shared(others, UNFIT)}


def _shared(rates: Mapping[Names, float], among: float) -> dict[Names, float]:
    total = fsum(rates.values())
    return {cause: among * rate / total for cause, rate in rates.items()}
