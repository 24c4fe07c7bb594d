"""`drycycle run SHIFT`: the autopilot does it, and what it came to is told or written.

Never here: what is told (see `shift_report`).
"""

import json
from pathlib import Path
from typing import Final

from sim.debrief.shift_debrief import ShiftDebrief, shift_debrief
from sim.errors import CommandError
from sim.records.ending import whole
from sim.records.output import check_output, write_output
from sim.session.shift.opening import read_shift_at
from sim.shift.best import Planner
from sim.text.reports.shift_page import BEGINS, shift_html
from sim.text.reports.shift_report import about, against, tables, values
from sim.text.tables import print_json, print_said, print_table
from sim.words.fields import name, part
from sim.words.message import row

_PAGE: Final = (".html", ".htm")
_JSON: Final = ".json"
_NO_FORM: Final = row(
    "shift.no-page",
    "the debrief of a shift is written as an HTML page or as JSON, and {file} would be neither",
    file=name(),
)  # fmt: skip
_WRITE_FORM: Final = row("shift.no-page.write", "write {file}, or the same with .json", file=name())
_NOT_WRITTEN: Final = row("shift.not-written", "the debrief cannot be written: {why}", why=part())
_WRITTEN: Final = row("shift.written", "The debrief of the shift: {file}", file=name())


def run_shift(file: Path, machine: str, output: Path | None, *, as_json: bool) -> int:
    """Play a shift by the autopilot, order by order as listed, and tell what it came to beside the best plan.

    Returns:
        The exit code, 0 when every piece of every order is good.

    Raises:
        ScenarioError: The file or the machine is refused.
        CommandError: The output cannot be written.
    """
    check(output, file)
    shift = read_shift_at(file, machine)
    planner = Planner(shift, machine)
    with whole():
        floor = planner.play([order.name for order in shift.in_turn], planner.first_fit)
    found = shift_debrief(floor, planner, by_hand=False)
    tell(found, output, file, as_json=as_json)
    return 0 if found.done else 1


def check(output: Path | None, file: Path) -> None:
    """Refuse an output that will not do, before the shift is done.

    Raises:
        CommandError: Its ending is of neither form, or something else would be written over.
    """
    if output is None:
        return
    ending = output.suffix.lower()
    if ending not in (*_PAGE, _JSON):
        raise CommandError(
            _NO_FORM(file=output.name), str(output), _WRITE_FORM(file=output.with_suffix(".html").name)
        )  # fmt: skip
    check_output(output, BEGINS.encode() if ending in _PAGE else b"{\n", [file])


def tell(found: ShiftDebrief, output: Path | None, file: Path, *, as_json: bool) -> None:
    """Write the debrief of a shift where it is asked for, and print it.

    Args:
        found: The debrief.
        output: Its file; None for none.
        file: The shift's, which is not written over.
        as_json: Print JSON.

    Raises:
        CommandError: The output cannot be written.
    """
    if output is not None:
        page = output.suffix.lower() in _PAGE
        text = (
            shift_html(found) if page else f"{json.dumps(values(found), indent=2, default=str)}\n"
        )
        write_output(output, text, [file], _NOT_WRITTEN)
    if as_json:
        print_json(values(found))
        return
    print_said(*against(found))
    for each in tables(found):
        print_table(each.title, each.heads, each.rows)
    print_said(*about(found))
    if output is not None:
        print_said(_WRITTEN(file=str(output)), whole=True)
