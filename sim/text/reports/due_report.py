"""`drycycle next`: what a trainee should practise next, and why."""

from pathlib import Path
from typing import Final

from sim.debrief.progress import due
from sim.text.tables import print_json, print_said, print_table
from sim.words.fields import count
from sim.words.message import plain, row

_TITLE: Final = plain("next.title", "What to practise next")
_PASSES: Final = row("next.passes", "{passes} of {attempts}", passes=count(), attempts=count())
_METHOD: Final = plain(
    "next.method",
    "A skill comes back sooner after a miss and later after each pass. "
    "Mastered: the lower 95 % limit of recent passes is at least 80 %.",
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
        (d.skill, d.why, d.standing,
         _PASSES(passes=d.advice.passes, attempts=d.advice.attempts), d.scenario)
        for d in rows
    ]  # fmt: skip
    print_table(_TITLE, heads, cells)
    print_said(_METHOD)
