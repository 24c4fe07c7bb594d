"""What may be wrong: nothing, one fault of the catalogue, or two together; and the saw under each.

Never here: how likely each is (see `prior`).
"""

from collections.abc import Iterable
from typing import Final

from sim.faults.catalogue import CATALOGUE, EVERY
from sim.faults.fault import Fault
from sim.scenario.scenario import HiddenFault, Scenario
from sim.session.lockout import QUALIFIED
from sim.signals import INPUTS

Names = tuple[str, ...]  # of the faults of one cause, sorted; none on the sound machine
NOTHING: Final[Names] = ()


_WHILE_THE_BAND_RUNS: Final = ("B1", "B2")
_METER: Final = "meter "  # begins the name of a look that allows a device's wiring to be probed


def metered(scenario: Scenario) -> tuple[str, ...]:
    """Return the devices along whose wiring the person at the saw may probe with a plan: qualified, and allowed by name."""
    if scenario.inspections == "all" or scenario.role != QUALIFIED:
        return ()
    return metered_in(scenario.inspections)


def metered_in(allowed: Iterable[str]) -> tuple[str, ...]:
    """Return the devices that a list of looks names to be metered, with a signal or without."""
    return tuple(each.removeprefix(_METER) for each in allowed if each.startswith(_METER))


def singles(scenario: Scenario) -> tuple[Names, ...]:
    """Return the causes of one fault at most, the sound machine first.

    What is wrong in the wiring of a device is thought of place by place where it can be probed, and is else
    the one row that leads it.
    """
    probed = set(metered(scenario))
    detail = (
        name
        for name, fault in EVERY.items()
        if name not in CATALOGUE and fault.tag in probed and _can_be_told(fault)
    )
    return (NOTHING, *((name,) for name in (*CATALOGUE, *detail)))


def _can_be_told(fault: Fault) -> bool:
    """Return whether a reading on terminals at a saw at rest can tell a cause from the one that leads it.

    A contact that is stuck joins the two terminals that a crushed cable joins; and what is live only
    while the band or a motor runs is not metered.
    """
    if fault.name.endswith("-pole"):
        return False
    crushed = fault.tag in INPUTS and fault.name.endswith("-to-24")
    return not crushed and fault.tag not in _WHILE_THE_BAND_RUNS


def lived_as(cause: Names) -> Names:
    """Return the cause whose machine a cause has, but for what a meter reads on terminals."""
    if len(cause) != 1:
        return cause
    return (EVERY[cause[0]].lead or cause[0],)


def neighbours(hidden: Names) -> tuple[Names, ...]:
    """Return what a hasty diagnosis would confuse with several faults: each in turn put for another."""
    if len(hidden) < 2:
        return ()
    found = [
        (*hidden[:place], name, *hidden[place + 1 :])
        for place in range(len(hidden))
        for name in CATALOGUE
        if name not in hidden
    ]
    return tuple(dict.fromkeys(tuple(sorted(cause)) for cause in (*found, hidden)))


def with_faults(scenario: Scenario, cause: Names) -> Scenario:
    """Return the scenario with other faults in it, setting in when those they stand in for do."""
    hidden = {row.name: row for row in scenario.faults}
    spare = [row for row in scenario.faults if row.name not in cause]
    rows = []
    for name in cause:
        if name in hidden:
            rows.append(hidden[name])
        elif spare:
            stands_in = spare.pop(0) if len(spare) > 1 else spare[0]
            rows.append(stands_in.model_copy(update={"name": name}))
        else:
            rows.append(HiddenFault(name=name))
    return scenario.model_copy(update={"faults": tuple(rows)})
