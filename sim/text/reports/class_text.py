"""`drycycle class`: the records of a folder, as a table, JSON, CSV or one page."""

from dataclasses import asdict, replace
from pathlib import Path

from sim.debrief.class_report import Class, class_of, csv_of, html_of
from sim.errors import CommandError, RecordError
from sim.text.reports.run_report import print_json
from sim.text.tables import console, print_table

_NOBODY = "not named"
_WRITES = {".html": html_of, ".csv": csv_of}


def class_and_report(folder: Path, *, output: Path | None, recount: bool, as_json: bool) -> int:
    """Print or write the class report; return 0, or 1 when a record had to be left out.

    Raises:
        RecordError: There is no record, or the report cannot be written.
        CommandError: The report is to go into another kind of file.
    """
    if output is not None and output.suffix not in _WRITES:
        raise CommandError(
            f"a class report cannot be a {output.suffix or 'file without an ending'}",
            str(output), "let it end in .html or .csv",
        )  # fmt: skip
    found = class_of(folder, recount=recount)
    if output is not None:
        try:
            output.write_text(_WRITES[output.suffix](found), encoding="utf-8")
        except OSError as fault:
            what = f"the report cannot be written: {fault.strerror}"
            raise RecordError(what, str(output)) from None
    if as_json:
        left_out = [[record, str(why)] for record, why in found.left_out]
        print_json({**asdict(replace(found, left_out=())), "left_out": left_out})
    elif output is None:
        _print(found)
    else:
        told = f"{output}: {found.total.sessions} sessions of {len(found.people)} people."
        console().print(told, markup=False, soft_wrap=True)
    return 1 if found.left_out else 0


def _print(found: Class) -> None:
    rows = [
        (r.who or _NOBODY, r.scenario, r.score, "passed" if r.passed else "not passed", f"{r.minutes:.1f}",
         r.critical, r.hints)
        for r in found.rows
    ]  # fmt: skip
    print_table("Sessions", ("who", "scenario", "score", "", "minutes", "critical", "hints"), rows)
    heads = ("who", "sessions", "passed", "mean score", "minutes", "critical", "hints")
    totals = [
        (
            who or _NOBODY,
            t.sessions,
            t.passed,
            f"{t.mean_score:.1f}",
            f"{t.minutes:.1f}",
            t.critical,
            t.hints,
        )
        for who, t in (*((t.who, t) for t in found.people), ("All", found.total))
    ]
    print_table("People", heads, totals)
    for name, reason in found.left_out:
        console().print(f"Left out: {name}: {reason}.", markup=False, soft_wrap=True)
