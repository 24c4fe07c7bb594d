"""The prints as HTML: one self-contained page that prints on A4.

Never here: what is in a print.
"""

from collections.abc import Iterable
from html import escape
from typing import Final

from sim.control.interlocks import When
from sim.control.nouns import CALLED
from sim.control.table import TABLES
from sim.logic.bench.diagrams import svg
from sim.logic.bench.force import REAL_SAW
from sim.logic.bench.prints import (
    CAUSE,
    DONE,
    PrintMatrix,
    PrintSheet,
    cause_and_effect,
    handbook,
    signal_list,
)
from sim.logic.bench.rungs import action_rungs, ladder, output_rungs
from sim.words.message import Message, plain
from sim.words.speech import reader, tell

CAUTION: Final = plain(
    "page.caution",
    "Practice, not authorisation: the maker's manual, local codes and a qualified or authorised person come first.",
)
BENCH: Final = plain("page.bench", "The logic bench")
CAUSE_AND_EFFECT: Final = plain("page.cause-and-effect", "Cause and effect")
HANDBOOK: Final = plain("page.handbook", "Handbook")
SIGNALS: Final = plain("page.signals", "Signals")
RUNGS: Final = plain("page.rungs", "Rungs")
DIAGRAMS: Final = plain("page.diagrams", "State diagrams")
_INTERLOCK_HANDBOOK: Final = plain("page.interlock-handbook", "Interlock handbook")
_LADDERS: Final = (
    (plain("page.rungs.outputs", "Rungs of the outputs"), output_rungs()),
    (plain("page.rungs.key", "Rungs of the actions, asked by a key"), action_rungs(When.KEY)),
    (plain("page.rungs.job", "Rungs of the actions, asked by the job"), action_rungs(When.JOB)),
)


def table_html(sheet: PrintSheet) -> str:
    """Return a sheet as an HTML table under its title."""
    heads = "".join(f'<th scope="col">{escape(head)}</th>' for head in sheet.heads)
    rows = "\n".join(
        f"<tr>{''.join(f'<td>{escape(cell)}</td>' for cell in row)}</tr>" for row in sheet.rows
    )
    return (
        f"<table><caption>{escape(sheet.title)}</caption>"
        f"<thead><tr>{heads}</tr></thead><tbody>\n{rows}\n</tbody></table>"
    )


def matrix_html(matrix: PrintMatrix) -> str:
    """Return a matrix as an HTML table, its effects written upwards to fit the page."""
    named = map(reader().name, matrix.effects)
    heads = "".join(f'<th scope="col"><span>{escape(e)}</span></th>' for e in named)
    rows = []
    for cause in matrix.causes:
        cells = "".join(
            f"<td>{escape(matrix.cells.get((cause, effect), ''))}</td>" for effect in matrix.effects
        )
        rows.append(
            f'<tr><td>☐</td><th scope="row">{escape(tell(cause.label))}</th>{cells}</tr>'
        )  # fmt: skip
    body = "\n".join(rows)
    return (
        f'<table class="matrix"><caption>{escape(tell(matrix.caption))}</caption>'
        f'<thead><tr><th scope="col">{escape(tell(DONE))}</th>'
        f'<th scope="col">{escape(tell(CAUSE))}</th>{heads}</tr></thead>'
        f"<tbody>\n{body}\n</tbody></table>"
    )


def page(title: Message, parts: Iterable[str]) -> str:
    """Return parts as one page that needs no other file."""
    name = escape(tell(title))
    return (
        f'<!DOCTYPE html>\n<html lang="{reader().language}"><head><meta charset="utf-8">'
        '<meta name="generator" content="drycycle print">'
        f"<title>{name}</title><style>{_STYLE}</style></head><body>\n"
        f"<h1>{name}</h1><p>{escape(tell(CAUTION))} {escape(tell(REAL_SAW))}</p>\n"
        + "\n".join(f"<section>{part}</section>" for part in parts)
        + "\n</body></html>\n"
    )


def diagrams_html() -> str:
    """Return the state diagrams of all machines."""
    figures = "\n".join(
        f"<figure><figcaption>{escape(tell(CALLED[table.name]))}</figcaption>{svg(table)}</figure>"
        for table in TABLES
    )
    return f"{_heading(DIAGRAMS)}\n{figures}"


def rungs_html() -> str:
    """Return the rungs of outputs and actions."""
    return "\n".join(
        f"{_heading(title)}<pre>{escape(ladder(rungs))}</pre>" for title, rungs in _LADDERS
    )


def whole_bench() -> str:
    """Return all prints on one page."""
    return page(
        BENCH,
        (
            f"{_heading(CAUSE_AND_EFFECT)}\n" + "\n".join(map(matrix_html, cause_and_effect())),
            f"{_heading(_INTERLOCK_HANDBOOK)}\n" + "\n".join(map(table_html, handbook())),
            table_html(signal_list()),
            rungs_html(),
            diagrams_html(),
        ),
    )


def _heading(title: Message) -> str:
    return f"<h2>{escape(tell(title))}</h2>"


_STYLE: Final = """
@page { size: A4; margin: 12mm }
body { font: 11px/1.35 sans-serif; color: #000; background: #fff; max-width: 186mm;
  margin: 8mm auto }
h1 { font-size: 20px } h2 { font-size: 15px; margin: 6mm 0 2mm }
section + section { break-before: page }
table { border-collapse: collapse; width: 100%; margin: 0 0 6mm }
caption { text-align: left; font-weight: bold; padding: 2mm 0 }
th, td { border: 1px solid #666; padding: 1px 3px; vertical-align: top; text-align: left }
thead th { background: #eee } tr { break-inside: avoid } thead { display: table-header-group }
.matrix { font-size: 8.5px } .matrix td { text-align: center }
.matrix tbody th { font-weight: normal; min-width: 28mm }
.matrix thead th { vertical-align: bottom }
.matrix thead span { writing-mode: vertical-rl; transform: rotate(180deg); white-space: nowrap }
pre { font-size: 9px; white-space: pre-wrap; overflow-wrap: anywhere }
figure { display: inline-block; margin: 0 4mm 4mm 0; vertical-align: top; break-inside: avoid }
figcaption { font-weight: bold } svg { max-width: 180mm; max-height: 250mm; height: auto; width: auto }
"""
