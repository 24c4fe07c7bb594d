"""`drycycle print`: the prints of the logic bench, to the terminal or to a file."""

from collections.abc import Callable, Collection, Iterable, Sequence
from pathlib import Path
from typing import Final

from sim.control.table import TABLES, StateTable
from sim.errors import CommandError
from sim.logic.bench import bench_page, diagrams, prints, rung_drawing, rungs, wiring_prints
from sim.logic.bench.rungs import Wired
from sim.logic.export import promela, scxml
from sim.logic.proof.compile import compiled
from sim.logic.proof.moves import Scope
from sim.logic.proof.properties import SAFETY
from sim.records.output import write_output
from sim.scenario.machines import first_machine
from sim.session.opening import machine_of
from sim.text.glossary import GLOSSARY, glossary_sheets
from sim.text.names import pick
from sim.text.page import put_line
from sim.text.streams import as_markup
from sim.text.tables import print_said
from sim.words.fields import name, parts
from sim.words.message import Message, plain, row
from sim.words.speech import tell

_TABLES: Final = {table.name: table for table in TABLES}
_ENDINGS: Final = {
    ".txt": "text", ".mmd": "mermaid", ".html": "html", ".htm": "html", ".pml": "promela",
}  # fmt: skip
_MARKUP: Final = ("html", "svg", "scxml")
WHAT: Final = (
    "diagram", "handbook", "cause-and-effect", "signals", "terminals", "io", "rungs", "promela",
    "scxml", "glossary", "all",
)  # fmt: skip
_OF_A_SITE: Final = ("handbook", "cause-and-effect", "terminals", "io", "rungs", "all")
_DRAWINGS: Final = ("diagram", "terminals", "rungs")  # that have one for each of something
_IN_PARTS: Final = (*_DRAWINGS, "io")

_OF_THE_WHOLE: Final = row("print.whole", "{what} is of the whole saw", what=name())
_NAME_MACHINE: Final = plain(
    "print.whole.write",
    "name a machine for a diagram, a device for terminals or io, a coil for rungs",
)
_OF_EVERY: Final = row("print.of-every", "{what} is the same for every machine", what=name())
_OF_EVERY_DO: Final = row(
    "print.of-every.do", "leave --machine out, or print {forms}", forms=parts(" or ")
)
_NOT_AS: Final = row("print.not-as", "{what} is not printed as '{form}'", what=name(), form=name())
_GIVE: Final = row("print.not-as.write", "give {forms}", forms=parts(" or "))
_NOT_AS_ENDING: Final = row(
    "print.ending", "{what} is not printed as {ending}", what=name(), ending=name()
)
_LET_END: Final = row("print.ending.write", "let it end in {endings}", endings=parts(" or "))
_LET_DIAGRAM_END: Final = row(
    "print.ending.write-diagram",
    "let it end in {endings}; for .svg name one machine, strip or coil",
    endings=parts(" or "),
)
_NAME: Final = row("print.name", "{name}", name=name())
_NO_RUNG: Final = row(
    "print.no-rung", "{tag} is a device of the saw, and no rung is called after it", tag=name()
)
_NO_RUNG_DO: Final = row(
    "print.no-rung.do",
    "its terminals and wires, a coil's too: drycycle print terminals {tag}",
    tag=name(),
)
_WRITTEN: Final = row("print.written", "Written: {file}", file=name())

Forms = dict[str, Callable[[], str]]


def print_out(what: str, of: str, *, machine: str = "", form: str, output: Path | None) -> int:
    """Write one print, or all of them; return 0.

    Args:
        what: The print.
        of: The one state machine, device or coil of it that is asked for; all when empty.
        machine: Whose wiring and rows, by its name or its folder; the saw's that ships first when empty.
        form: The format; by the file's ending when empty.
        output: The file, or None.

    Raises:
        CommandError: There is no such print, part of it or format, or the file cannot be written.
        ScenarioError: There is no such machine, or its files are refused.
    """
    kind = pick(what, WHAT, "print", "print")
    if of and kind not in _IN_PARTS:
        raise CommandError(_OF_THE_WHOLE(what=kind), "print", _NAME_MACHINE)
    if machine and kind not in _OF_A_SITE:
        advice = _OF_EVERY_DO(forms=_names(_OF_A_SITE))
        raise CommandError(_OF_EVERY(what=kind), "print --machine", advice)
    site = Wired.of(machine_of(machine) if machine else first_machine())
    forms = _forms(kind, of, site)
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
        let_end = _LET_DIAGRAM_END if kind in _DRAWINGS else _LET_END
        endings = _names(_ending(each) for each in forms)
        raise CommandError(
            _NOT_AS_ENDING(what=kind, ending=ending), str(output), let_end(endings=endings)
        )
    return form


def _ending(form: str) -> str:
    return next((ending for ending, each in _ENDINGS.items() if each == form), f".{form}")


def _forms(kind: str, of: str, site: Wired) -> Forms:
    """Return the formats of a print; the first is the usual one."""
    if kind == "all":
        return {"html": lambda: bench_page.whole_bench(site)}
    if kind in _FOR_OTHERS:
        return {kind: _FOR_OTHERS[kind]}
    if kind == "diagram":
        return _diagrams((_TABLES[pick(of, _TABLES, "machine", "print")],) if of else TABLES)
    if kind == "rungs":
        return _rungs(of, site)
    if kind == "cause-and-effect":
        matrices = prints.cause_and_effect(site.rows)
        return {
            "text": lambda: "\n\n".join(map(prints.matrix_text, matrices)),
            "csv": lambda: "\n".join(prints.csv_text(matrix.sheet()) for matrix in matrices),
            "html": lambda: bench_page.page(
                bench_page.CAUSE_AND_EFFECT, map(bench_page.matrix_html, matrices), site
            ),
        }
    if kind == "terminals":
        return _terminals(of, site)
    if kind == "io":
        channels = [each.tag for each in wiring_prints.channels(site.loom)]
        tag = pick(of, channels, "device", "print") if of else ""
        return _sheets(wiring_prints.IO_LIST, (wiring_prints.io_list(site.loom, tag),), site)
    if kind == "glossary":
        return _sheets(GLOSSARY, glossary_sheets(), None)
    if kind == "signals":
        return _sheets(bench_page.SIGNALS, (prints.signal_list(),), None)
    return _sheets(bench_page.HANDBOOK, prints.handbook(site.rows), site)


def _sheets(title: Message, sheets: Sequence[prints.PrintSheet], site: Wired | None) -> Forms:
    return {
        "text": lambda: "\n\n".join(map(prints.sheet_text, sheets)),
        "csv": lambda: "\n".join(map(prints.csv_text, sheets)),
        "html": lambda: bench_page.page(title, map(bench_page.table_html, sheets), site),
    }


def _diagrams(tables: tuple[StateTable, ...]) -> Forms:
    svg: Forms = {}
    if len(tables) == 1:
        svg["svg"] = lambda: _marked(diagrams.svg(tables[0]))
    return {
        "mermaid": lambda: "\n\n".join(f"%% {t.name}\n{diagrams.mermaid(t)}" for t in tables),
        **svg,
        "html": lambda: bench_page.page(bench_page.DIAGRAMS, [bench_page.diagrams_html()]),
    }


def _terminals(of: str, site: Wired) -> Forms:
    loom = site.loom
    tag = pick(of, loom.by_tag, "device", "print") if of else ""
    sheets = wiring_prints.terminal_plan(loom, tag)
    if not tag:
        sheets = (wiring_prints.device_list(loom), *sheets, wiring_prints.wire_list(loom))
    drawn = {each.tag: each for each in wiring_prints.strips(loom)}
    forms = _sheets(bench_page.TERMINALS, sheets, site)
    if tag in drawn:
        forms["svg"] = lambda: _marked(wiring_prints.strip_svg(loom, drawn[tag]))
    forms["html"] = lambda: bench_page.page(
        bench_page.TERMINALS, bench_page.terminals_html(loom, tag), site
    )
    return forms


def _marked(text: str) -> str:
    """Return XML that says who made it, so that only another of its kind takes its place."""
    first, end, rest = text.partition(">")
    return f"{first}{end}<!-- drycycle print -->{rest}"


def _promela() -> str:
    return promela.export(compiled(Scope()), SAFETY)


# What other people's tools read.
_FOR_OTHERS: Final = {"promela": _promela, "scxml": lambda: _marked(scxml.export())}


def _rungs(of: str, site: Wired) -> Forms:
    found = rungs.every_rung(site)
    if of:
        coils = {rung.coil: rung for rung in found}
        tag = of.upper()
        if tag not in coils and tag in site.loom.by_tag:
            raise CommandError(_NO_RUNG(tag=tag), "print rungs", _NO_RUNG_DO(tag=tag))
        found = (coils[pick(of, coils, "coil", "print")],)
    svg: Forms = {}
    if of:
        svg["svg"] = lambda: _marked(rung_drawing.svg(site, found[0]))
    return {
        "text": lambda: "\n\n".join(
            (*(rungs.drawn(site, rung) for rung in found), tell(bench_page.HOW_READ))
        ),
        **svg,
        "html": lambda: bench_page.page(bench_page.RUNGS, bench_page.rungs_html(site, found), site),
    }


def _names(names: Iterable[str]) -> tuple[Message, ...]:
    return tuple(_NAME(name=each) for each in names)
