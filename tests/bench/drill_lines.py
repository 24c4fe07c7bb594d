"""Writes a line for each drill: causes at the start, causes that fit the report, what the best way costs.

python -m tests.bench.drill_lines [DRILL ...]
"""

import sys
from typing import Final

from sim.debrief.best_path import best_way
from sim.diagnosis.account import account_of, likelihood
from sim.diagnosis.causes import with_faults
from sim.diagnosis.dependency import cause_of
from sim.diagnosis.matrix_from_saw import for_role, matrix_for
from sim.resources import shipped
from sim.session.opening import read

HEAD: Final = "drill\tcauses\tfit the report\tbest way s"


def line(name: str) -> str:
    """Return the line of a drill; raises ScenarioError where there is none."""
    scenario, _ = read(name)
    told, matrix = scenario.reported, for_role(scenario, matrix_for(scenario))
    fit = len(matrix.causes)
    if told is not None:
        sound = account_of(scenario.sound(), told)
        accounts = (account_of(with_faults(scenario, c.faults), told) for c in matrix.causes)
        fit = sum(likelihood(told, account, sound) > 0.0 for account in accounts)
    way = best_way(matrix, cause_of(sorted(row.name for row in scenario.faults)))
    cost_s = sum(matrix.inspections[matrix.column(look)].cost_s for look in way.columns)
    return f"{name}\t{len(matrix.causes)}\t{fit}\t{cost_s:.0f}"


def main() -> None:
    """Print the lines of the drills that are named, of all when none is."""
    every = sorted(file.stem for file in shipped("scenarios").glob("drills/*.yaml"))
    print(HEAD)
    for name in sys.argv[1:] or every:
        print(line(name), flush=True)


if __name__ == "__main__":
    main()
