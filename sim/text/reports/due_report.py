"""`drycycle next`: what a trainee should practise next, and why."""

from pathlib import Path
from typing import Final

from sim.debrief.progress import done_in, due, records_folder
from sim.errors import CommandError
from sim.records.folder import check_folder
from sim.scenario.nearest import nearest
from sim.text.tables import print_json, print_said, print_table
from sim.words.fields import count, name
from sim.words.message import NOTHING, plain, row

_TITLE: Final = plain("next.title", "What to practise next")
_PASSES: Final = row("next.passes", "{passes} of {attempts}", passes=count(), attempts=count())
_NOBODY: Final = row("next.nobody", "no finished session is of {who}", who=name())
_METHOD: Final = plain(
    "next.method",
    "A skill comes back sooner after a miss and later after each pass. "
    "Mastered: the lower 95 % limit of recent passes is at least 80 %.",
)


def print_due(folder: Path | None, who: str, *, as_json: bool) -> None:
    """Print every skill, the most urgent first.

    Raises:
        RecordError: There is no such folder.
        CommandError: There is no record of that pseudonym; those that there are are told.
    """
    if folder is not None:
        check_folder(folder)
    if who:
        known = {each.who for each in done_in(folder or records_folder())} - {""}
        if who not in known:
            to_do = nearest(who, known) if known else NOTHING
            raise CommandError(_NOBODY(who=who), "--who", to_do)
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
