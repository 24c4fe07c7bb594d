"""Pages on paper: elements with everything escaped, and the colours that may stand on each other.

A page is one file without a script and without anything from elsewhere, so that it can be mailed,
printed and kept. Ink on ground has a contrast of at least 4.5 to 1, fills too, so that their labels
can be white; nothing is told by colour alone.

Never here: what a page says; only that it is told in the reader's language.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from html import escape
from typing import Final

from sim.words.message import Message
from sim.words.speech import reader, say, tell
from sim.words.visible import visible

PAPER: Final = "#ffffff"
SHADE: Final = "#eef1f4"
INK: Final = "#1b1f24"
QUIET: Final = "#4a5460"
GOOD: Final = "#1b6b36"
BAD: Final = "#9d1c1c"
CARE: Final = "#8a4b00"
TRUE: Final = "#0b5f6b"
BLUE: Final = "#1f4fa3"
VIOLET: Final = "#5b3a8c"
WINE: Final = "#7a1f4f"
STONE: Final = "#5f6973"

FILLS: Final = (GOOD, BAD, CARE, TRUE, BLUE, VIOLET, WINE, STONE, INK, QUIET)
TOGETHER: Final = (
    *((ink, PAPER) for ink in FILLS),
    *((PAPER, fill) for fill in FILLS),
    *((ink, SHADE) for ink in (INK, QUIET, GOOD, BAD, CARE)),
)
"""Every ink and the ground that it stands on."""

_ALONE: Final = frozenset({"meta", "br"})  # elements without an end


@dataclass(frozen=True, slots=True)
class Html:
    """Markup that is whole and escaped."""

    markup: str


Child = Html | str | Message


def el(element: str, *children: Child, **attributes: str | float) -> Html:
    """Return an element; messages are told to who reads now, and all text in it is escaped.

    In an attribute's name an underscore becomes a dash, and one at the end is dropped (`class_`).
    """
    said = "".join(
        f' {name.rstrip("_").replace("_", "-")}="{escape(_shown(value))}"'
        for name, value in attributes.items()
    )
    if element in _ALONE:
        return Html(f"<{element}{said}>")
    return Html(f"<{element}{said}>{joined(children).markup}</{element}>")


def label(english: str) -> str:
    """Return a label of a page in the reader's language."""
    return say(english, "page")


def joined(children: Iterable[Child]) -> Html:
    """Return children one after the other."""
    return Html("".join(map(_markup, children)))


def _markup(child: Child) -> str:
    if isinstance(child, Html):
        return child.markup
    return escape(visible(tell(child) if isinstance(child, Message) else child, "\n"))


def table(heads: Iterable[Child], rows: Iterable[Iterable[Child]], class_: str = "") -> Html:
    """Return a table whose first column heads its rows."""
    body = [
        el("tr", el("th", first, scope="row"), *(el("td", cell) for cell in rest))
        for first, *rest in rows
    ]
    names = list(heads)
    head = el("tr", *(el("th", name, scope="col") if name else el("td", "") for name in names))
    top = [el("thead", head)] if any(names) else []
    return el("table", *top, el("tbody", *body), class_=class_ or "plain")


def page(made_by: str, title: str, style: str, *children: Child) -> str:
    """Return a whole page in HTML5, marked with its command and as being in the reader's language."""
    head = el(
        "head",
        el("meta", charset="utf-8"),
        el("meta", name="viewport", content="width=device-width, initial-scale=1"),
        el("meta", name="generator", content=made_by),
        el("title", title),
        el("style", Html(style)),
    )
    body = el("body", el("main", *children))
    return f"<!DOCTYPE html>\n{el('html', head, body, lang=reader().language).markup}\n"


STYLE: Final = f"""
@page {{ size: A4; margin: 14mm; }}
* {{ box-sizing: border-box; }}
body {{ margin: 0; background: {PAPER}; color: {INK};
  font: 15px/1.45 "Atkinson Hyperlegible", "Segoe UI", "DejaVu Sans", Verdana, sans-serif; }}
main {{ max-width: 800px; margin: 0 auto; padding: 20px 24px 32px; }}
h1 {{ font-size: 26px; line-height: 1.2; margin: 0 0 4px; }}
h2 {{ font-size: 18px; margin: 28px 0 8px; padding-top: 6px; border-top: 2px solid {INK};
  break-after: avoid; }}
h3 {{ font-size: 15px; margin: 14px 0 4px; break-after: avoid; }}
p {{ margin: 6px 0; }}
.quiet {{ color: {QUIET}; }}
table {{ border-collapse: collapse; width: 100%; margin: 8px 0; font-size: 14px; }}
th, td {{ text-align: left; vertical-align: top; padding: 4px 10px 4px 0;
  border-bottom: 1px solid {QUIET}; }}
thead th, thead td {{ border-bottom: 2px solid {INK}; }}
tbody th {{ font-weight: 600; }}
table.facing th {{ width: 30%; }}
tr {{ break-inside: avoid; }}
thead {{ display: table-header-group; }}
ol, ul {{ margin: 6px 0; padding-left: 24px; }}
li {{ break-inside: avoid; }}
figure {{ margin: 10px 0; break-inside: avoid; }}
figcaption {{ font-size: 13px; color: {QUIET}; margin-top: 4px; }}
svg {{ display: block; width: 100%; height: auto; }}
svg text {{ font-family: inherit; }}
* {{ print-color-adjust: exact; -webkit-print-color-adjust: exact; }}
@media print {{
  body {{ font-size: 10.5pt; }}
  main {{ max-width: none; padding: 0; }}
  table {{ font-size: 9.5pt; }}
}}
"""


def _shown(value: str | float) -> str:
    return value if isinstance(value, str) else f"{round(value, 2):g}"
