"""What may be wrong: nothing, one fault of the catalogue, or two together; and the saw under each.

Never here: how likely each is (see `prior`).
"""

from typing import Final

from sim.faults.catalogue import CATALOGUE
from sim.scenario.scenario import HiddenFault, Scenario

Names = tuple[str, ...]  # of the faults of one cause, sorted; none on the sound machine
NOTHING: Final[Names] = ()


def singles() -> tuple[Names, ...]:
    """Return the causes of one fault at most, the sound machine first."""
    return (NOTHING, *((name,) for name in CATALOGUE))


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
