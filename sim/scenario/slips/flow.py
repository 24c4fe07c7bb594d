"""What is wrong between brackets: one that is not closed, a comma that is missing, a note that hides one.

Never here: what stands outside of brackets (see `lines`).
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from sim.scenario.located import Spot
from sim.scenario.slips.slip import (
    CLOSE,
    COMMA,
    NO_COMMA,
    NOTE_HIDES,
    NOTE_OUT,
    ONE_COMMA,
    OPEN_BRACKET,
    OUT,
    SEMICOLON,
    TOO_MANY,
    TWO_COMMAS,
    Slip,
)
from sim.words.message import Message

_CLOSERS: Final = {"[": "]", "{": "}"}
_KEY_LINE: Final = re.compile(r"\s*(- +)?[A-Za-z][\w.-]*:(\s|$)")
_LAST_WORD: Final = re.compile(r"[^\s,:{}\[\]]+$")
_WORD: Final = re.compile(r"[^\[\]{},;:#'\"\s]+")
_QUOTED: Final = re.compile(r"'(?:[^']|'')*'|\"(?:[^\"\\]|\\.)*\"")


@dataclass
class _Bracket:
    sign: str
    spot: Spot
    entry: str = ""  # what the entry has so far
    colon: bool = False
    ended: bool = False  # by a quoted text or a bracket of its own
    commas: int = 0


class FlowScan:
    """Walks from an opening bracket to the one that closes it, or to the first slip.

    Args:
        lines: The lines of the file.
        index: The line of the bracket.
        column: Where it stands in it.
        indent: How far the line is indented.
    """

    def __init__(self, lines: Sequence[str], index: int, column: int, indent: int) -> None:
        self.slip: Slip | None = None
        self.end = (index, column)  # the line and the column after the last bracket
        self._lines = lines
        self._open: list[_Bracket] = []
        self._hidden = ""
        self._walk(index, column, indent)

    def _walk(self, index: int, column: int, indent: int) -> None:
        for number in range(index, len(self._lines)):
            line = self._lines[number]
            begins = len(line) - len(line.lstrip(" "))
            if number > index and begins <= indent and _KEY_LINE.match(line):
                break
            self._line(line, number, column if number == index else 0)
            if self.slip is not None or not self._open:
                return
        inner = self._open[-1]
        closer = _CLOSERS[inner.sign]
        if closer in self._hidden:
            self._refuse(inner.spot, NOTE_HIDES(bracket=closer), NOTE_OUT)
        else:
            self._refuse(inner.spot, OPEN_BRACKET(bracket=inner.sign), CLOSE(bracket=closer))

    def _line(self, line: str, number: int, at: int) -> None:
        while at < len(line) and self.slip is None:
            sign, spot = line[at], Spot(number + 1, at + 1)
            inner = self._open[-1] if self._open else None
            if sign == "#" and line[at - 1 : at].isspace():
                self._hidden = line[at:]
                return
            quoted = _QUOTED.match(line, at)
            if quoted and inner is not None and not inner.entry.rpartition(":")[2].strip():
                inner.entry, inner.ended = inner.entry + quoted[0], True
                at = quoted.end()
                continue
            if quoted and inner is not None and inner.ended:
                self._refuse(spot, NO_COMMA(word=quoted[0]), COMMA)
                return
            word = _WORD.match(line, at)
            if word is not None and inner is not None:
                self._word(inner, word[0], spot)
                at = word.end()
                continue
            self._sign(sign, spot, inner, line[at + 1 : at + 2])
            at += 1
            if not self._open:
                self.end = (number, at)
                return

    def _sign(self, sign: str, spot: Spot, inner: _Bracket | None, following: str) -> None:
        if sign in _CLOSERS:
            if inner is not None:
                inner.entry, inner.ended = inner.entry + sign, True
            self._open.append(_Bracket(sign, spot))
        elif inner is None:
            return
        elif sign in _CLOSERS.values():
            self._close(sign, spot, inner)
        elif sign == ",":
            if not inner.entry.strip():
                self._refuse(spot, TWO_COMMAS, ONE_COMMA)
            inner.entry, inner.colon, inner.ended = "", False, False
            inner.commas += 1
        elif sign == ";":
            self._refuse(spot, SEMICOLON, COMMA)
        elif sign == ":" and not following.strip() and following != "":
            self._colon(inner, spot)
        else:
            self._word(inner, sign, spot)

    def _close(self, sign: str, spot: Spot, inner: _Bracket) -> None:
        closer = _CLOSERS[inner.sign]
        if sign == closer:
            self._open.pop()
        elif any(_CLOSERS[each.sign] == sign for each in self._open):
            self._refuse(inner.spot, OPEN_BRACKET(bracket=inner.sign), CLOSE(bracket=closer))
        else:
            self._refuse(spot, TOO_MANY(bracket=sign), OUT)

    def _colon(self, inner: _Bracket, spot: Spot) -> None:
        if inner.colon:
            word = _LAST_WORD.search(inner.entry)
            begins = spot.column - (len(word[0]) if word else 0)
            self._refuse(Spot(spot.line, begins), NO_COMMA(word=word[0] if word else ":"), COMMA)
        inner.entry, inner.colon, inner.ended = inner.entry + ":", True, False

    def _word(self, inner: _Bracket, sign: str, spot: Spot) -> None:
        if inner.ended and not sign.isspace():
            self._refuse(spot, NO_COMMA(word=sign), COMMA)
        inner.entry += sign

    def _refuse(self, spot: Spot, what: Message, what_to_do: Message) -> None:
        if self.slip is None:
            self.slip = Slip(spot, what, what_to_do)
