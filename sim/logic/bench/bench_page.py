"""The prints as HTML: one self-contained page that prints on A4.

Never here: what is in a print.
"""

from collections.abc import Iterable, Iterator
from html import escape
from typing import Final

from sim.control.nouns import CALLED
from sim.control.table import TABLES
from sim.logic.bench import rung_drawing
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
from sim.logic.bench.rungs import Rung, Wired, every_rung
from sim.logic.bench.wiring_prints import (
    device_list,
    io_list,
    strip_svg,
    strips,
    terminal_plan,
    wire_list,
)
from sim.wiring.loom import Loom
from sim.words.fields import name, part
from sim.words.message import Message, named, plain, row
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
TERMINALS: Final = plain("page.terminals", "Terminal plan")
_OF_OUTPUTS: Final = plain("page.rungs.outputs", "Rungs of the outputs")
_OF_KEYS: Final = plain("page.rungs.keys", "Rungs of the keys")
_OF: Final = row("page.of", "{title}: {machine}", title=part(), machine=name())
HOW_READ: Final = plain(
    "page.rungs.how",
    "A contact conducts while its signal is on, one with a slash while it is off, one with an arrow only in "
    "the moment in which that comes about: palm keys together, within half a second. Where a word stands under it, it conducts in those states; where "
    "'if' stands, it is bridged everywhere else. Below the tag: address, card terminal, contact at rest, "
    "wires. In copper every contact is drawn as it is when nobody touches it, a slash for NC.",
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


def page(title: Message, parts: Iterable[str], site: Wired | None = None) -> str:
    """Return parts as one page that needs no other file; with whose they are in its title."""
    called = title if site is None else _OF(title=title, machine=site.name)
    heading = escape(tell(called))
    return (
        f'<!DOCTYPE html>\n<html lang="{reader().language}"><head><meta charset="utf-8">'
        '<meta name="generator" content="drycycle print">'
        f"<title>{heading}</title><style>{_STYLE}</style></head><body>\n"
        f"<h1>{heading}</h1><p>{escape(tell(CAUTION))} {escape(tell(REAL_SAW))}</p>\n"
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


def rungs_html(site: Wired, rungs: Iterable[Rung]) -> Iterator[str]:
    """Yield the rungs of outputs and of keys, each a drawing that fits a page."""
    found = [*rungs]
    for title, output in ((_OF_OUTPUTS, True), (_OF_KEYS, False)):
        figures = "\n".join(
            f'<figure class="rung">{rung_drawing.svg(site, rung)}</figure>'
            for rung in found
            if rung.output is output
        )
        if figures:
            yield f"{_heading(title)}<p>{escape(tell(HOW_READ))}</p>\n{figures}"


def terminals_html(loom: Loom, tag: str = "") -> Iterator[str]:
    """Yield the terminal plan, with the strips drawn; of one device alone where a tag is given."""
    drawn = [each for each in strips(loom) if tag in ("", each.tag)]
    if not tag:
        yield table_html(device_list(loom))
    for device in drawn:
        yield f"{_heading(named(device.tag))}\n<figure>{strip_svg(loom, device)}</figure>"
    yield "\n".join(map(table_html, terminal_plan(loom, tag)))
    if not tag:
        yield table_html(wire_list(loom))


def whole_bench(site: Wired) -> str:
    """Return all prints of a machine on one page."""
    return page(
        BENCH,
        (
            f"{_heading(CAUSE_AND_EFFECT)}\n"
            + "\n".join(map(matrix_html, cause_and_effect(site.rows))),
            f"{_heading(_INTERLOCK_HANDBOOK)}\n" + "\n".join(map(table_html, handbook(site.rows))),
            table_html(signal_list()),
            table_html(io_list(site.loom)),
            *rungs_html(site, every_rung(site)),
            *terminals_html(site.loom),
            diagrams_html(),
        ),
        site,
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
.rung { display: block; margin: 0 0 5mm } .rung svg { width: 186mm; max-width: 186mm }
figure { display: inline-block; margin: 0 4mm 4mm 0; vertical-align: top; break-inside: avoid }
figcaption { font-weight: bold } svg { max-width: 180mm; max-height: 250mm; height: auto; width: auto }
"""
