"""What is wrong with the quotes of a text, and a text put in quotes.

Never here: brackets and indentation.
"""

import re
from collections.abc import Sequence
from typing import Final

from sim.scenario.located import Spot
from sim.scenario.slips.slip import BACKSLASH, OPEN_QUOTE, QUOTE_WITHIN, WRITE, Slip

_END: Final = {
    "'": re.compile(r"(?:[^']|'')*'(?!')"),
    '"': re.compile(r'(?:[^"\\]|\\.)*"'),
}
_KEY_LINE: Final = re.compile(r"\s*(- +)?[A-Za-z][\w.-]*:(\s|$)")
_ESCAPES: Final = re.compile(r"\\([^0abtnvfre \"/\\N_LPxuU]|$)")
_WORD_PROCESSORS: Final = "\u201c\u201d\u201e\u2018\u2019\u00ab\u00bb"
LONGEST: Final = 60


def in_quotes(key: str, text: str) -> str:
    """Return a line with a text in quotes that hold it, or with dots for a long one."""
    text = text.strip(_WORD_PROCESSORS).strip()
    if len(text) > LONGEST:
        text = "..."
    quoted = f'"{text}"' if "'" in text and not set(text) & set('"\\') else _single(text)
    return f"{key}: {quoted}" if key else quoted


def _single(text: str) -> str:
    return "'" + text.replace("'", "''") + "'"


def quote_slip(lines: Sequence[str], index: int, start: int, indent: int, key: str) -> Slip | int:
    """Return the slip of a text in quotes, or the index of the line after it.

    Args:
        lines: The lines of the file.
        index: The line that it begins on.
        start: The column of its quote.
        indent: How far the line is indented.
        key: The name that it belongs to; empty for none.
    """
    line = lines[index]
    quote, here = line[start], Spot(index + 1, start + 1)
    rest = line[start + 1 :]
    last = index
    end = _END[quote].match(rest)
    text = rest
    while end is None and last + 1 < len(lines):
        last += 1
        rest = lines[last]
        indented = len(rest) - len(rest.lstrip(" "))
        if rest.strip() and (indented <= indent or _KEY_LINE.match(rest)):
            break
        end = _END[quote].match(rest)
        text = rest
    first = line[start + 1 :].strip()
    if end is None:
        return Slip(here, OPEN_QUOTE(quote=quote), WRITE(line=in_quotes(key, first.strip(quote))))
    text, after = text[: end.end() - 1], text[end.end() :].strip()
    if quote == '"' and _ESCAPES.search(text):
        return Slip(here, BACKSLASH, WRITE(line=in_quotes(key, text)))
    if after and not after.startswith("#"):
        whole = first.removesuffix(quote)
        return Slip(here, QUOTE_WITHIN(quote=quote), WRITE(line=in_quotes(key, whole)))
    return last + 1
