"""`drycycle print`: the prints of the logic bench, to the terminal or to a file."""

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
from sim.records.output import write_output
from sim.text.names import pick
from sim.text.page import put_line
from sim.text.streams import as_markup
from sim.text.tables import print_said
from sim.words.fields import name, parts
from sim.words.message import Message, plain, row

_MACHINES: Final = {table.name: table for table in TABLES}
_ENDINGS: Final = {
    ".txt": "text", ".mmd": "mermaid", ".html": "html", ".htm": "html", ".pml": "promela",
}  # fmt: skip
_MARKUP: Final = ("html", "svg", "scxml")
WHAT: Final = (
    "diagram", "handbook", "cause-and-effect", "signals", "rungs", "promela", "scxml", "all",
)  # fmt: skip

_OF_THE_WHOLE: Final = row("print.whole", "{what} is of the whole saw", what=name())
_NAME_MACHINE: Final = plain("print.whole.write", "name a machine for a diagram")
_NOT_AS: Final = row("print.not-as", "{what} is not printed as '{form}'", what=name(), form=name())
_GIVE: Final = row("print.not-as.write", "give {forms}", forms=parts(" or "))
_NOT_AS_ENDING: Final = row(
    "print.ending", "{what} is not printed as {ending}", what=name(), ending=name()
)
_LET_END: Final = row("print.ending.write", "let it end in {endings}", endings=parts(" or "))
_LET_DIAGRAM_END: Final = row(
    "print.ending.write-diagram",
    "let it end in {endings}; for .svg name one machine",
    endings=parts(" or "),
)
_NAME: Final = row("print.name", "{name}", name=name())
_WRITTEN: Final = row("print.written", "Written: {file}", file=name())


def print_out(what: str, machine: str, *, form: str, output: Path | None) -> int:
    """Write one print, or all of them; return 0.

    Raises:
        CommandError: There is no such print, machine or format, or the file cannot be written.
    """
    kind = pick(what, WHAT, "print", "print")
    if machine and kind != "diagram":
        raise CommandError(_OF_THE_WHOLE(what=kind), "print", _NAME_MACHINE)
    tables = (_MACHINES[pick(machine, _MACHINES, "machine", "print")],) if machine else TABLES
    forms = _forms(kind, tables)
    if not form:
        form = _form_of(output, kind, forms)
    if form not in forms:
        raise CommandError(_NOT_AS(what=kind, form=form), "print", _GIVE(forms=_names(forms)))
    text = forms[form]()
    if output is None:
        put_line((as_markup(text) if form in _MARKUP else text).removesuffix("\n"))
        return 0
    write_output(output, text)
    print_said(_WRITTEN(file=str(output)), whole=True)
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
        let_end = _LET_DIAGRAM_END if kind == "diagram" else _LET_END
        endings = _names(_ending(each) for each in forms)
        raise CommandError(
            _NOT_AS_ENDING(what=kind, ending=ending), str(output), let_end(endings=endings)
        )
    return form


def _ending(form: str) -> str:
    return next((ending for ending, each in _ENDINGS.items() if each == form), f".{form}")


def _forms(kind: str, tables: tuple[StateTable, ...]) -> dict[str, Callable[[], str]]:
    """Return the formats of a print; the first is the usual one."""
    if kind == "diagram":
        svg: dict[str, Callable[[], str]] = {}
        if len(tables) == 1:
            svg["svg"] = lambda: _marked(diagrams.svg(tables[0]))
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


def _marked(text: str) -> str:
    """Return XML that says who made it, so that only another of its kind takes its place."""
    first, end, rest = text.partition(">")
    return f"{first}{end}<!-- drycycle print -->{rest}"


def _promela() -> str:
    return promela.export(compiled(Scope()), SAFETY)


# What other people's tools read.
_FOR_OTHERS: Final = {"promela": _promela, "scxml": lambda: _marked(scxml.export())}


def _rungs() -> str:
    parts = (
        rungs.output_rungs(), rungs.action_rungs(When.KEY), rungs.action_rungs(When.JOB),
    )  # fmt: skip
    return "\n\n".join(map(rungs.ladder, parts))


def _names(names: Iterable[str]) -> tuple[Message, ...]:
    return tuple(_NAME(name=each) for each in names)
