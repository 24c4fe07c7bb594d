"""Standard input, output and errors, made ready for any terminal and any pipe.

What the encoding of a terminal cannot show is shown as the nearest plain letters, or as a question
mark, so that words never fail at the screen they are written to. A stream that whoever called has
closed takes everything and gives nothing.

Never here: files that a command writes; those are UTF-8 everywhere.
"""

import codecs
import io
import os
import sys
import unicodedata
from pathlib import Path
from typing import Final, TextIO

_ERRORS: Final = "drycycle-stand-in"
_STAND_INS: Final = {
    "\u2500": "-", "\u2502": "|", "\u2610": "[ ]", "\u00d7": "x", "\u00b7": ".", "\u2026": "...",
    "\u00b0": " deg", "\u00b3": "3", "\u00b2": "2", "\u00b5": "u", "\u03bc": "u", "\u00ba": "o",
    "\u00aa": "a", "\u00ab": '"', "\u00bb": '"', "\u201c": '"', "\u201d": '"', "\u201e": '"',
    "\u2018": "'", "\u2019": "'", "\u2013": "-", "\u2014": "-", "\u2212": "-", "\u00d8": "O",
    "\u00f8": "o", "\u00bf": "?", "\u00a1": "!", "\u00df": "ss", "\u00b1": "+-", "\u20ac": "EUR",
    "\u2192": "->", "\u2190": "<-", "\u00a0": " ", "\u202f": " ", "\u2264": "<=", "\u2265": ">=",
}  # fmt: skip


def make_ready() -> None:
    """Let the standard streams take whatever is said, and give whatever is typed."""
    codecs.register_error(_ERRORS, _stand_in)
    if sys.stdin is None:
        sys.stdin = _nowhere("r")
    if sys.stdout is None:
        sys.stdout = _nowhere("w")
    if sys.stderr is None:
        sys.stderr = _nowhere("w")
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors=_ERRORS)


def takes_no_more(stream: TextIO) -> None:
    """Send what is still buffered nowhere, so that it is no error once more at the exit."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def as_markup(text: str) -> str:
    """Return HTML, SVG or XML for standard output: ASCII where that is not UTF-8, as the page says it is."""
    encoding = getattr(sys.stdout, "encoding", None) or "utf-8"
    if codecs.lookup(encoding).name == "utf-8":
        return text
    return text.encode("ascii", "xmlcharrefreplace").decode("ascii")


def _nowhere(mode: str) -> io.TextIOWrapper:
    file = Path(os.devnull).open(mode, encoding="utf-8")  # noqa: SIM115 - for good
    assert isinstance(file, io.TextIOWrapper)
    return file


def _stand_in(fault: UnicodeError) -> tuple[str | bytes, int]:
    """Return what is written for signs that an encoding has not."""
    if not isinstance(fault, UnicodeEncodeError):
        raise fault
    signs = fault.object[fault.start : fault.end]
    return "".join(map(_plain, signs)), fault.end


def _plain(sign: str) -> str:
    known = _STAND_INS.get(sign)
    if known is not None:
        return known
    letters = unicodedata.normalize("NFKD", sign).encode("ascii", "ignore").decode("ascii")
    return letters or "?"
