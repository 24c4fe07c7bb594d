"""Finds the slip that keeps a text from being YAML: line by line, as a person would look for it.

The parser says where it could not go on, in its own words; the slip is often lines above. Here the
lines are looked at from the top, by what a scenario or a machine file is made of: names with a colon
and values, lists with hyphens, texts below `>-`, brackets, quotes, notes. Whatever is found at or
above the parser's line is told; where nothing is found, the parser's words must do.

Theory: the block structure of YAML 1.2.2 chapter 8 (indentation, sequences, mappings, block scalars)
and its flow styles of chapter 7, as far as files of this program use them.

Never here: whether a file is YAML; that is the parser's.
"""

import re
from typing import Final

from sim.scenario.located import Spot
from sim.scenario.slips.expected import Expected
from sim.scenario.slips.flow import FlowScan
from sim.scenario.slips.indents import Indents, TypedLine, at, bare, begins, move, short
from sim.scenario.slips.quotes import in_quotes, quote_slip
from sim.scenario.slips.slip import (
    BELOW,
    BESIDE,
    BRACES,
    BULLET,
    COLON_IN_TEXT,
    HYPHEN,
    INDENT_AS,
    NESTED,
    NO_BREAK,
    NO_COLON,
    NO_COLON_SPACE,
    NO_HYPHEN_SPACE,
    NOTE_SIGN,
    ONE_A_LINE,
    OUT,
    QUOTED,
    ROUND,
    SIGN,
    SPACE,
    TOO_MANY,
    TWO_ENTRIES,
    WRITE,
    Slip,
)

_NAME: Final = r"[A-Za-z_][\w.-]*"
_KEY: Final = re.compile(rf"(?P<key>{_NAME}|'[^']*'|\"[^\"]*\")\s*:(?P<rest>\s.*|)$")
_NO_SPACE: Final = re.compile(rf"(?P<key>{_NAME}):(?P<rest>[^\s/].*)$")
_SIGN_FOR_COLON: Final = re.compile(rf"(?P<key>{_NAME})\s*[=;,](?P<rest>.*)$")
_WORDS: Final = re.compile(rf"(?P<key>{_NAME})(?P<rest>(\s.*)?)$")
_HYPHEN: Final = re.compile(r"-(?=[^\s-])")
_SECOND: Final = re.compile(rf"[,;]\s*({_NAME}):(?:\s|$)")
_NO_NOTE: Final = re.compile(r"//|;|<<<|>>>|===")
_BULLET: Final = re.compile("[*+\u2022\u00b7\u2013\u2014\u2212] ")
_TEXT_MARK: Final = re.compile(r"[|>][-+0-9]*(?P<beside>\s+[^#\s].*)?")
_NEEDS_QUOTES: Final = "%@`*&!?"


def slip_in(lines: list[str], stopped: Spot | None, expected: Expected) -> Slip | None:
    """Return the slip that keeps a text from being YAML; None where it is not found.

    Args:
        lines: The lines of the file.
        stopped: Where the parser stopped; None for nowhere.
        expected: The names that such a file may have.
    """
    slip = _Reader(lines, expected).first_slip()
    if slip is None or stopped is None or slip.spot.line > stopped.line:
        return None
    return slip


class _Reader:
    def __init__(self, lines: list[str], expected: Expected) -> None:
        self.lines = lines
        self.known = expected.names
        self.sections = expected.sections
        self.indents = Indents(lines, expected.sections)

    def first_slip(self) -> Slip | None:
        index = 0
        while index < len(self.lines):
            line = self.lines[index]
            if not line.strip() or line.lstrip().startswith("#"):
                index += 1
                continue
            found = self._line(index)
            if isinstance(found, Slip):
                return found
            index = found
        return None

    # One line --------------------------------------------------------------------------

    def _line(self, index: int) -> "Slip | int":
        """Return the slip of a line, or the index of the next one to look at."""
        line = self.lines[index]
        column = len(line) - len(line.lstrip(" "))
        if line[column] == "\xa0":
            return at(index, column, NO_BREAK, SPACE)
        hyphen, body = -1, line[column:]
        bullet = self._bullet(index, column, body)
        if bullet is not None:
            return bullet
        while body.startswith("- ") or body == "-":
            hyphen = column if hyphen < 0 else hyphen
            rest = body[1:].lstrip(" ")
            column += len(body) - len(rest)
            body = rest
        if not body:
            return index + 1
        close = _HYPHEN.match(body)
        if close and hyphen < 0 and self.indents.in_list(column):
            return at(index, column, NO_HYPHEN_SPACE, WRITE(line=short(f"- {body[1:]}")))
        found = _KEY.match(body)
        if found is None:
            return self._without_colon(index, column, hyphen, body)
        key, rest = found["key"], found["rest"]
        here = TypedLine(index + 1, column, key, bare(rest), hyphen)
        slip = self.indents.place(here)
        if slip is not None:
            return slip
        start = column + len(body) - len(rest.lstrip())
        return self._value(index, start, column if hyphen < 0 else hyphen, key, rest.strip())

    def _bullet(self, index: int, column: int, body: str) -> Slip | None:
        """Return the slip of a line that begins with a sign which begins none, or no line there."""
        other = _NO_NOTE.match(body)
        if other is not None:
            return at(index, column, BULLET(sign=other[0]), NOTE_SIGN)
        if _BULLET.match(body):
            return at(index, column, BULLET(sign=body[0]), HYPHEN)
        if body.startswith("- ") and self.indents.no_list(column):
            return at(index, column, TOO_MANY(bracket="-"), OUT)
        return None

    def _without_colon(self, index: int, column: int, hyphen: int, body: str) -> "Slip | int":
        above = self.indents.above
        goes_on = (
            above is not None
            and hyphen < 0
            and column > max(above.hyphen, 0)
            and (column > above.column or (not above.key and column >= above.column))
        )
        if goes_on and above is not None and not above.value and body[0] in "[{'\"":
            return self._value(index, column, above.column, above.key, body)
        slip = self._missing_colon(index, column, body, any_name=not goes_on and hyphen < 0)
        if slip is not None:
            return slip
        if hyphen >= 0:
            here = TypedLine(index + 1, column, "", body, hyphen)
            return self.indents.place(here) or self._value(index, column, hyphen, "", body)
        if not goes_on and above is not None:
            return at(
                index, column, begins(column), INDENT_AS(count=above.column + 2, line=above.number)
            )
        return index + 1

    def _missing_colon(self, index: int, column: int, body: str, *, any_name: bool) -> Slip | None:
        for pattern, what in (
            (_NO_SPACE, NO_COLON_SPACE), (_SIGN_FOR_COLON, NO_COLON), (_WORDS, NO_COLON),
        ):  # fmt: skip
            found = pattern.match(body)
            if found is None or not (any_name or found["key"] in self.known):
                continue
            if found["key"] not in self.known and len(found["rest"].split()) > 2:
                continue
            line = f"{found['key']}: {found['rest'].strip()}".strip()
            return at(index, column, what(name=found["key"]), WRITE(line=short(line)))
        return None

    # Values -----------------------------------------------------------------------------

    def _value(self, index: int, start: int, indent: int, key: str, value: str) -> "Slip | int":
        """Return the slip of a value, or the index of the line after it."""
        if not value or value.startswith("#"):
            return index + 1
        if value[0] == "\xa0" or (start > 0 and self.lines[index][start - 1] == "\xa0"):
            return at(index, start, NO_BREAK, SPACE)
        if value[0] in "'\"":
            return quote_slip(self.lines, index, start, indent, key)
        text = _TEXT_MARK.match(value)
        if (
            text is not None
            and value[0] in "|>"
            and (text.end() == len(bare(value)) or text["beside"])
        ):
            if text["beside"]:
                return at(index, start, BESIDE(sign=value[: text.start("beside")]), BELOW)
            return self._text_below(index, indent)
        if value[0] in "[{":
            return self._brackets(index, start, indent, key, value)
        if value[0] in "]}":
            return at(index, start, TOO_MANY(bracket=value[0]), OUT)
        return self._plain(index, start, indent, key, value)

    def _brackets(self, index: int, start: int, indent: int, key: str, value: str) -> "Slip | int":
        flow = FlowScan(self.lines, index, start, indent)
        if flow.slip is not None:
            return flow.slip
        line, after = flow.end
        left = bare(" " + self.lines[line][after:])
        if not left:
            return line + 1
        if left[0] in ",]}":
            return at(line, after, TOO_MANY(bracket=left[0]), OUT)
        return at(index, start, SIGN(sign=value[0]), QUOTED(line=in_quotes(key, bare(value))))

    def _plain(self, index: int, start: int, indent: int, key: str, value: str) -> "Slip | int":
        if value[0] == "(" and ": " in value:
            return at(index, start, ROUND, BRACES)
        if value[0] in _NEEDS_QUOTES or value.startswith("- "):
            return at(index, start, SIGN(sign=value[0]), QUOTED(line=in_quotes(key, bare(value))))
        said = bare(value)
        colon = re.search(r":(\s|$)", said)
        inner = _KEY.match(said) if colon is not None and key in self.sections else None
        if colon is not None and inner is not None and inner["key"] in self.known:
            line = f"{key}: {{{said}}}"
            return at(index, start + colon.start(), NESTED(name=key), WRITE(line=short(line)))
        second = _SECOND.search(said) if colon is not None else None
        if second is not None and second[1] in self.known:
            found = TWO_ENTRIES(name=key, other=second[1])
            return at(index, start + second.start(1), found, ONE_A_LINE)
        if colon is not None and key:
            return at(
                index, start + colon.start(), COLON_IN_TEXT(name=key),
                QUOTED(line=in_quotes(key, said)),
            )  # fmt: skip
        return self._goes_on(index, indent, key, said)

    def _goes_on(self, index: int, indent: int, key: str, first: str) -> "Slip | int":
        """Look at the lines on which an unquoted text goes on."""
        number = index + 1
        while number < len(self.lines):
            line = self.lines[number]
            column = len(line) - len(line.lstrip(" "))
            body = line[column:]
            if not body or column <= indent or body.startswith(("#", "- ")):
                return number
            if _KEY.match(body) and (body.split(":")[0] in self.known or not key):
                return number
            colon = re.search(r":(\s|$)", body)
            if colon is not None:
                if _KEY.match(body):
                    return number
                return at(
                    number, column + colon.start(), COLON_IN_TEXT(name=key or first),
                    QUOTED(line=in_quotes(key, "...")),
                )  # fmt: skip
            if self._missing_colon(number, column, body, any_name=False):
                return number
            number += 1
        return number

    def _text_below(self, index: int, indent: int) -> "Slip | int":
        first = -1
        for number in range(index + 1, len(self.lines)):
            line = self.lines[number]
            column = len(line) - len(line.lstrip(" "))
            if not line.strip():
                continue
            if first < 0 and column > indent:
                first = column
            if first < 0:
                return number
            if column < first:
                body = line[column:]
                named = _KEY.match(body) and (column <= indent)
                if (
                    named
                    or body.startswith(("- ", "#"))
                    or self._missing_colon(number, column, body, any_name=False)
                ):
                    return number
                return move(number + 1, column, first, number)
        return len(self.lines)
