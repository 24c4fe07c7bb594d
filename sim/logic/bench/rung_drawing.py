"""A rung as a drawing for one A4 page: branches, coil, the way in copper, and what lets it go.

Contacts stand in rows that fit the page; a line leads from the end of one row to the next. Under a contact
stands how it is wired; what lies in copper is drawn as it is when nobody touches it.

Never here: what is on a rung (see `rungs`).
"""

from collections.abc import Iterator, Sequence
from html import escape
from typing import Final

from sim.logic.bench.rungs import (
    LETS_GO,
    Branch,
    Contact,
    Rung,
    Wired,
    copper,
    copper_lines,
    headed,
    lets_go_lines,
    wired_as,
)
from sim.signals import BY_TAG
from sim.words.fields import name, part
from sim.words.message import row
from sim.words.speech import reader, tell

_WIDE: Final = 720
_LEFT, _RIGHT, _BUS = 16, 704, 612
_CELL: Final = 98
_ACROSS: Final = (_BUS - 14 - _LEFT) // _CELL
_FINE: Final = 9  # px, a line of the small lettering
_LETTERS: Final = 19  # of it across a cell
_TITLE_LETTERS: Final = 16  # of the bold lettering across a cell
_COIL_LETTERS: Final = 13  # over a coil, in the middle
_ABOVE: Final = 24  # px, from the top of a row to its line
_SAID: Final = row(
    "rung.contact.title", "{tag}: {meaning}. {wired}", tag=part(), meaning=part(), wired=name()
)


def svg(site: Wired, rung: Rung) -> str:
    """Return a rung as a drawing, black on white, that stands by itself or in a page."""
    drawing = _RungDrawing(site, rung)
    title = escape(headed(rung))
    body = "\n".join(drawing.parts)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDE} {drawing.y:.0f}" '
        f'width="{_WIDE}" height="{drawing.y:.0f}" role="img" aria-label="{title}" '
        f'font-family="monospace" font-size="8">\n<title>{title}</title>\n{_STYLE}\n{body}\n</svg>'
    )


def _folded(words: str) -> list[str]:
    """Return words in lines that a cell holds, broken behind a bar or an ampersand."""
    lines, line = [], ""
    for piece in words.replace("|", "| ").replace("&", "& ").split(" "):
        glue = "" if line.endswith(("|", "&")) else " "
        if line and len(line) + len(glue) + len(piece) > _LETTERS:
            lines.append(line)
            line = piece
        else:
            line = f"{line}{glue}{piece}" if line else piece
    return [*lines, line] if line else lines


class _RungDrawing:
    """Places everything of one rung, from the top down."""

    def __init__(self, site: Wired, rung: Rung) -> None:
        self.site, self.rung = site, rung
        self.parts: list[str] = []
        self.y = 18.0
        self._text(_LEFT, self.y, headed(rung), "h")
        self.y += 8
        top, ends = self.y, []
        for branch in rung.branches:
            ends.append(self._branch(branch))
        self._line(_BUS, ends[0], _BUS, ends[-1])
        self._coil(ends[-1])
        for x in (_LEFT, _RIGHT):
            self._line(x, top, x, self.y, "r")
        if rung.output:
            self._copper()
        self._let_go()
        self.y += 8

    def _branch(self, branch: Branch) -> float:
        """Draw a branch; return the height at which it comes to the bus."""
        self._text(_LEFT + 6, self.y + 9, tell(branch.said), "i")
        self.y += 12
        rows = [
            branch.contacts[start : start + _ACROSS]
            for start in range(0, len(branch.contacts), _ACROSS)
        ]
        came = _LEFT
        line = self.y
        for place, contacts in enumerate(rows):
            line = self.y + _ABOVE
            x = came
            below = [self._below(contact) for contact in contacts]
            for contact, words in zip(contacts, below, strict=True):
                self._contact(contact, x, line, words)
                x += _CELL
            self.y = line + 14 + _FINE * max(map(len, below)) + 4
            if place < len(rows) - 1:
                turn, down = _BUS - 8, self.y
                start = _LEFT + 8
                self._path(f"M{x},{line} H{turn} V{down} H{start} V{down + _ABOVE} H{start + 8}")
                came = start + 8
            else:
                self._line(x, line, _BUS, line)
        return line

    def _below(self, contact: Contact) -> list[str]:
        """Return the lines under a contact: its states, how it is wired, where it counts."""
        told = reader().name
        lines: list[str] = []
        wired = wired_as(self.site.loom, contact.subject)
        if wired is not None:
            lines += [piece for line in wired.lines for piece in _folded(line)]
        elif contact.values not in ((True,), (False,)):
            lines += _folded("|".join(map(str, contact.values)))
        lines = [told(line) for line in lines]
        return lines + (_folded(tell(contact.only)) if contact.given else [])

    def _contact(self, contact: Contact, x: float, y: float, below: Sequence[str]) -> None:
        middle = x + _CELL / 2
        self.parts.append(f"<g><title>{escape(self._says(contact))}</title>")
        self._line(x, y, middle - 5, y)
        self._line(middle + 5, y, x + _CELL, y)
        for side in (-5, 5):
            self._line(middle + side, y - 8, middle + side, y + 8, "b")
        if contact.off and not contact.moment:
            self._line(middle - 6, y + 8, middle + 6, y - 8)
        if contact.moment:
            up = -1 if contact.off else 1
            self._path(
                f"M{middle},{y + 6 * up} v{-12 * up} m-2.5,{4 * up} l2.5,{-4 * up} l2.5,{4 * up}"
            )
        named = f"{contact.number} {contact.subject}".strip()
        kind = "s" if len(named) <= _TITLE_LETTERS else "n"
        self._text(middle, y - 11, reader().name(named), kind)
        for place, words in enumerate(below):
            self._text(middle, y + 17 + place * _FINE, words, "m")
        self.parts.append("</g>")

    def _says(self, contact: Contact) -> str:
        wired = wired_as(self.site.loom, contact.subject)
        if wired is None:
            return tell(contact.label)
        how = ", ".join((*wired.lines, contact.number)).rstrip(", ")
        return tell(_SAID(tag=contact.label, meaning=BY_TAG[contact.subject].text, wired=how))

    def _coil(self, y: float) -> None:
        middle = (_BUS + _RIGHT) / 2
        self.parts.append(f"<g><title>{escape(headed(self.rung))}</title>")
        self._line(_BUS, y, middle - 8, y)
        self._line(middle + 8, y, _RIGHT, y)
        for side, bend in ((-8, 1), (8, 0)):
            self._path(f"M{middle + side},{y - 8} a11,11 0 0 {1 - bend} 0,16", "b")
        coil = self.rung.coil
        long = len(coil) > _COIL_LETTERS
        self._text(
            _RIGHT - 5 if long else middle, y - 12, reader().name(coil), "e" if long else "s"
        )
        wired = wired_as(self.site.loom, self.rung.coil) if self.rung.output else None
        if wired is not None:
            for place, words in enumerate((wired.address, wired.terminal)):
                self._text(middle, y + 20 + place * _FINE, reader().name(words), "m")
        self.parts.append("</g>")

    def _copper(self) -> None:
        """Draw the way from the card's terminal through strips and contacts to the coil and to 0 V."""
        loom, tag = self.site.loom, self.rung.coil
        self.y += 14
        for words in copper_lines(loom, tag):
            for line in _wrapped(words, 138):
                self._text(_LEFT, self.y, line, "t")
                self.y += 11
        y = self.y + 14
        hops = copper(loom, tag)
        step = (_RIGHT - _LEFT - 90) / max(len(hops), 1)
        x = _LEFT + 34.0
        self._text(_LEFT, y + 3, reader().name(loom.card_terminal(tag)), "t")
        for each in hops:
            end = x + step
            said = reader().name(f"{each.hop.wire.number}: {each.hop.start} - {each.hop.end}")
            self.parts.append(f"<g><title>{escape(said)}</title>")
            self._line(x, y, end - 34, y)
            self._text((x + end - 34) / 2, y - 4, reader().name(each.hop.wire.number), "m")
            if each.contact is not None:
                self._bars(end - 22, y, slashed=each.contact.closed_at_rest)
                form = f"{each.device.tag} {each.contact.name} {each.contact.form}"
                self._text(end - 22, y + 18, reader().name(form), "m")
                self._line(end - 34, y, end - 27, y)
                self._line(end - 17, y, end, y)
            elif (
                each.device.coil is not None
                and each.device.tag == tag
                and each.hop.end == each.device.coil[0]
            ):
                self.parts.append(f'<rect x="{end - 34}" y="{y - 8}" width="24" height="16"/>')
                self._text(end - 22, y + 18, reader().name(f"{tag} {each.device.ohms:g} Ω"), "m")
                self._line(end - 10, y, end, y)
            else:
                self.parts.append(f'<circle cx="{end - 31}" cy="{y}" r="3"/>')
                self._text(end - 25, y + 14, reader().name(each.hop.end), "m")
                self._line(end - 28, y, end, y) if each is not hops[-1] else None
            self.parts.append("</g>")
            x = end
        self.y = y + 30

    def _bars(self, x: float, y: float, *, slashed: bool) -> None:
        for side in (-5, 5):
            self._line(x + side, y - 8, x + side, y + 8, "b")
        if slashed:
            self._line(x - 6, y + 8, x + 6, y - 8)

    def _let_go(self) -> None:
        lines = lets_go_lines(self.rung)
        if not lines:
            return
        self.y += 6
        self._text(_LEFT, self.y, tell(LETS_GO), "t")
        for words in lines:
            for place, line in enumerate(_wrapped(words, 134)):
                self.y += 10.5
                self._text(_LEFT + (34 if place else 10), self.y, line, "f")

    # Strokes ------------------------------------------------------------------------------

    def _line(self, x: float, y: float, to_x: float, to_y: float, kind: str = "") -> None:
        self._path(f"M{x:.1f},{y:.1f} L{to_x:.1f},{to_y:.1f}", kind)

    def _path(self, way: str, kind: str = "") -> None:
        of = f' class="{kind}"' if kind else ""
        self.parts.append(f'<path d="{way}"{of}/>')

    def _text(self, x: float, y: float, words: str, kind: str) -> None:
        self.parts.append(
            f'<text x="{x:.1f}" y="{y:.1f}" class="{kind}" xml:space="preserve">{escape(words)}</text>'
        )


def _wrapped(words: str, most: int) -> Iterator[str]:
    """Yield words in lines of so many letters at most, broken at blanks."""
    line = ""
    for piece in words.split(" "):
        if line and len(line) + 1 + len(piece) > most:
            yield line
            line = piece
        else:
            line = f"{line} {piece}" if line else piece
    yield line


_STYLE: Final = (
    "<style>path,rect,circle{fill:none;stroke:#000;stroke-width:1}.b{stroke-width:1.8}"
    ".r{stroke-width:1.6}text{fill:#000}.h{font-size:12px;font-weight:bold}.i{font-style:italic;"
    "font-size:9px}.n,.s{font-weight:bold;text-anchor:middle}.n{font-size:8.2px}.s{font-size:9.5px}"
    ".m{text-anchor:middle}"
    ".e{font-size:8.2px;font-weight:bold;text-anchor:end}"
    ".t{font-size:8.3px}.f{font-size:8.3px}</style>"
)
