"""`drycycle next`: what a trainee should practise next, and why."""

from pathlib import Path

from sim.debrief.progress import due
from sim.text.reports.run_report import print_json
from sim.text.tables import console, print_table

_METHOD = (
    "Spacing: SM-2 (Wozniak 1990, from memory). "
    "Mastered: the lower 95 % limit of recent passes is at least 80 %."
)


def print_due(folder: Path | None, who: str, *, as_json: bool) -> None:
    """Print every skill, the most urgent first."""
    rows = due(folder, who)
    if as_json:
        print_json([
            {
                "skill": d.advice.skill, "why": d.advice.reason, "standing": d.advice.standing,
                "attempts": d.advice.attempts, "passes": d.advice.passes,
                "overdue_days": d.advice.overdue_days, "scenario": d.scenario,
            }
            for d in rows
        ])  # fmt: skip
        return
    heads = ("skill", "why", "standing", "passes", "practise with")
    cells = [
        (str(d.skill), str(d.why), str(d.standing),
         f"{d.advice.passes} of {d.advice.attempts}", d.scenario)
        for d in rows
    ]  # fmt: skip
    print_table("What to practise next", heads, cells)
    console().print(_METHOD, markup=False)
