"""`drycycle print`: the prints of the logic bench, to the terminal or to a file."""

import sys
from collections.abc import Callable, Collection, Iterable
from pathlib import Path
from typing import Final

from sim.control.interlocks import When
from sim.control.table import TABLES, StateTable
from sim.errors import CommandError
from sim.logic.bench import bench_page, diagrams, prints, rungs
from sim.logic.export import promela, scxml
from sim.logic.proof.compile import compiled
from sim.logic.proof.moves import Scope
from sim.logic.proof.properties import SAFETY
from sim.text.names import pick

_MACHINES: Final = {table.name: table for table in TABLES}
_ENDINGS: Final = {
    ".txt": "text", ".mmd": "mermaid", ".html": "html", ".htm": "html", ".pml": "promela",
}  # fmt: skip
WHAT: Final = (
    "diagram", "handbook", "cause-and-effect", "signals", "rungs", "promela", "scxml", "all",
)  # fmt: skip


def print_out(what: str, machine: str, *, form: str, output: Path | None) -> int:
    """Write one print, or all of them; return 0.

    Raises:
        CommandError: There is no such print, machine or format, or the file cannot be written.
    """
    kind = pick(what, WHAT, "print", "print")
    if machine and kind != "diagram":
        raise CommandError(f"{kind} is of the whole saw", "print", "name a machine for a diagram")
    tables = (_MACHINES[pick(machine, _MACHINES, "machine", "print")],) if machine else TABLES
    forms = _forms(kind, tables)
    if not form:
        form = _form_of(output, kind, forms)
    if form not in forms:
        raise CommandError(f"{kind} is not printed as {form!r}", "print", f"give {_or(forms)}")
    text = forms[form]()
    if output is None:
        sys.stdout.write(text if text.endswith("\n") else f"{text}\n")
        return 0
    try:
        output.write_text(text, encoding="utf-8", newline="\n")
    except OSError as fault:
        raise CommandError(f"cannot be written: {fault.strerror}", str(output)) from fault
    sys.stdout.write(f"Written: {output}\n")
    return 0


def _form_of(output: Path | None, kind: str, forms: Collection[str]) -> str:
    """Return the format that a file's ending asks for; without an ending the usual one.

    Raises:
        CommandError: It is not printed as that.
    """
    ending = output.suffix.lower() if output is not None else ""
    form = _ENDINGS.get(ending, ending.lstrip("."))
    if not form:
        return next(iter(forms))
    if form not in forms:
        more = "; for .svg name one machine" if kind == "diagram" else ""
        raise CommandError(
            f"{kind} is not printed as {ending}", str(output),
            f"let it end in {_or([_ending(each) for each in forms])}{more}",
        )  # fmt: skip
    return form


def _ending(form: str) -> str:
    return next((ending for ending, each in _ENDINGS.items() if each == form), f".{form}")


def _forms(kind: str, tables: tuple[StateTable, ...]) -> dict[str, Callable[[], str]]:
    """Return the formats of a print; the first is the usual one."""
    if kind == "diagram":
        svg: dict[str, Callable[[], str]] = {}
        if len(tables) == 1:
            svg["svg"] = lambda: diagrams.svg(tables[0])
        return {
            "mermaid": lambda: "\n\n".join(f"%% {t.name}\n{diagrams.mermaid(t)}" for t in tables),
            **svg,
            "html": lambda: bench_page.page(bench_page.DIAGRAMS, [bench_page.diagrams_html()]),
        }
    if kind == "all":
        return {"html": bench_page.whole_bench}
    if kind in _FOR_OTHERS:
        return {kind: _FOR_OTHERS[kind]}
    if kind == "rungs":
        return {
            "text": _rungs,
            "html": lambda: bench_page.page(bench_page.RUNGS, [bench_page.rungs_html()]),
        }
    if kind == "cause-and-effect":
        matrices = prints.cause_and_effect()
        sheets = tuple(matrix.sheet() for matrix in matrices)
        texts = [prints.matrix_text(matrix) for matrix in matrices]
        parts = [bench_page.matrix_html(matrix) for matrix in matrices]
        title = bench_page.CAUSE_AND_EFFECT
    else:
        listed = kind == "signals"
        sheets = (prints.signal_list(),) if listed else prints.handbook()
        title = bench_page.SIGNALS if listed else bench_page.HANDBOOK
        texts = [prints.sheet_text(sheet) for sheet in sheets]
        parts = [bench_page.table_html(sheet) for sheet in sheets]
    return {
        "text": lambda: "\n\n".join(texts),
        "csv": lambda: "\n".join(map(prints.csv_text, sheets)),
        "html": lambda: bench_page.page(title, parts),
    }


def _promela() -> str:
    return promela.export(compiled(Scope()), SAFETY)


# What other people's tools read.
_FOR_OTHERS: Final = {"promela": _promela, "scxml": scxml.export}


def _rungs() -> str:
    parts = (
        rungs.output_rungs(), rungs.action_rungs(When.HAND), rungs.action_rungs(When.AUTO),
    )  # fmt: skip
    return "\n\n".join(map(rungs.ladder, parts))


def _or(forms: Iterable[str]) -> str:
    return " or ".join(forms)
