"""What an unquoted word of a scenario file means, and which words two readers disagree about.

YAML 1.1 (what this program's parser speaks) and YAML 1.2 (what an editor's checker speaks) give
some plain words different values: `no` is false to one and a text to the other, `012` is ten or
twelve. Such a word is refused with advice, so that no two readers of one file can differ.

Theory, from the two specifications. YAML 1.1 resolves a plain scalar by the type repository's
patterns (bool, int, float, null, timestamp, merge, value; yaml.org/type, read through PyYAML's
resolver, which narrows the float pattern's dots). YAML 1.2.2 section 10.3.2 gives the core schema:
null, bool, int, float and nothing else. A word is accepted only when both name the same kind and
the same value.

Never here: files, positions, or anything about saws.
"""

import math
import re
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

Scalar = str | int | float | bool | None
"""What one word of a file can be once read."""

LONGEST_NUMBER: Final = 40
"""Characters; no honest length, count or rate needs more (and int() refuses at 4300)."""

UNSHOWABLE: Final = re.compile(
    "[^\t\n\r\x20-\x7e\xa0-\u2027\u202a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]"
)
"""Control characters, lone surrogates, byte order marks, and the three line breaks (U+0085,
U+2028, U+2029) that only YAML 1.1 counts as such."""


class Kind(StrEnum):
    """What a reader takes a plain word for, in the words of a message."""

    NULL = "nothing"
    BOOL = "true or false"
    INT = "a whole number"
    FLOAT = "a number"
    CLOCK = "a count of sixties"
    DATE = "a date"
    MERGE = "a merge sign"
    TEXT = "a text"


@dataclass(frozen=True)
class Refusal:
    """Why a word cannot stand as it is, and what to write."""

    what: str
    what_to_do: str


_YAML_1_1: Final = (
    (Kind.NULL, re.compile(r"~|null|Null|NULL|")),
    (Kind.BOOL, re.compile(r"y|Y|yes|Yes|YES|n|N|no|No|NO|true|True|TRUE|false|False|FALSE"
                           r"|on|On|ON|off|Off|OFF")),
    (Kind.FLOAT, re.compile(r"[-+]?[0-9][0-9_]*\.[0-9_]*([eE][-+][0-9]+)?"
                            r"|\.[0-9][0-9_]*([eE][-+][0-9]+)?"
                            r"|[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN)")),
    (Kind.INT, re.compile(r"[-+]?0b[01_]+|[-+]?0[0-7_]+|[-+]?(0|[1-9][0-9_]*)"
                          r"|[-+]?0x[0-9a-fA-F_]+")),
    (Kind.CLOCK, re.compile(r"[-+]?[0-9][0-9_]*(:[0-5]?[0-9])+(\.[0-9_]*)?")),
    (Kind.DATE, re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}"
                           r"|[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}([Tt]|[ \t]+)[0-9]{1,2}"
                           r":[0-9]{2}:[0-9]{2}(\.[0-9]*)?"
                           r"([ \t]*(Z|[-+][0-9]{1,2}(:[0-9]{2})?))?")),
    (Kind.MERGE, re.compile(r"<<|=")),
)  # fmt: skip

_YAML_1_2: Final = (
    (Kind.NULL, re.compile(r"~|null|Null|NULL|")),
    (Kind.BOOL, re.compile(r"true|True|TRUE|false|False|FALSE")),
    (Kind.INT, re.compile(r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+")),
    (Kind.FLOAT, re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?"
                            r"|[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN)")),
)  # fmt: skip

# Neither specification has these as numbers (0_8, ._5), and readers in use take them for some.
_SPACED: Final = re.compile(
    r"[-+0-9.][-+0-9._]*_[0-9._]*([eE][-+]?[0-9]+)?|[-+]?0[obx][0-9a-fA-F_]*"
)
_OLD_OCTAL: Final = re.compile(r"[-+]?0[0-7]+")
_COMPLETE: Final = re.compile(r"[-+]?(0b[01]+|0o[0-7]+|0x[0-9a-fA-F]+|[0-9]+)")
_RISKY: Final = frozenset("~nNyYtTfFoO<=.+-0123456789")  # what every pattern above begins with
_NUMBERS: Final = (Kind.INT, Kind.FLOAT, Kind.CLOCK)


def shown(word: object) -> str:
    """Return `word` as a message shows it: quoted, escaped, and at most 60 characters long."""
    text = repr(word)
    return text if len(text) <= 60 else f"{text[:57]}..."


def _kind(word: str, patterns: tuple[tuple[Kind, re.Pattern[str]], ...]) -> Kind:
    return next((kind for kind, pattern in patterns if pattern.fullmatch(word)), Kind.TEXT)


def _whole(word: str) -> int:
    base = {"0x": 16, "0o": 8, "0b": 2}.get(word.lstrip("+-")[:2], 10)
    return int(word, base)


def _meant(word: str, old: Kind, new: Kind) -> str:
    """Return the spelling that both readers agree on, or nothing when only quotes can help."""
    digits = word.replace("_", "")
    if Kind.BOOL in (old, new):
        return "true" if word.lower() in ("y", "yes", "on") else "false"
    if old is Kind.INT and _OLD_OCTAL.fullmatch(digits):
        return str(int(digits, 8))
    if _COMPLETE.fullmatch(digits) and Kind.INT in (old, new):
        return str(_whole(digits))
    if Kind.FLOAT in (old, new) and re.search("[0-9]", digits):
        return spelled(float(digits))
    return ""


def spelled(number: float) -> str:
    """Return a spelling of a number that every YAML reader agrees on; nothing if not finite."""
    if not math.isfinite(number):
        return ""
    if number.is_integer() and abs(number) < 1e15:
        return str(int(number))
    digits, exponent, power = repr(number).partition("e")
    return f"{digits}{'' if '.' in digits else '.0'}{exponent}{power}" if exponent else digits


def plain(word: str) -> Scalar | Refusal:
    """Return the value of an unquoted word, or why it is refused.

    The value is text, a whole number, a finite number, true, false, or None for an empty word.
    """
    if word and word[0] not in _RISKY:
        return written(word)
    old, new = _kind(word, _YAML_1_1), _kind(word, _YAML_1_2)
    if len(word) > LONGEST_NUMBER and (old in _NUMBERS or new in _NUMBERS):
        return Refusal(
            f"{shown(word)} is a number of {len(word)} characters",
            f"write at most {LONGEST_NUMBER}, or quote it if a text is meant",
        )
    if old is not new:
        meant = _meant(word, old, new)
        return Refusal(
            f"{shown(word)} is {old} to readers of YAML 1.1 and {new} to readers of YAML 1.2",
            f"write {meant}, or quote it if a text is meant: '{word}'"
            if meant
            else f"quote it: '{word}'",
        )
    if old is Kind.TEXT and _SPACED.fullmatch(word):
        return Refusal(f"{shown(word)} is a number to some readers of YAML", f"quote it: '{word}'")
    return _agreed(word, old)


def _agreed(word: str, kind: Kind) -> Scalar | Refusal:
    if kind is Kind.NULL:
        return None
    if kind is Kind.BOOL:
        return word.lower() == "true"
    if kind is Kind.INT:
        value = _whole(word)
        if _OLD_OCTAL.fullmatch(word) and int(word, 8) != value:
            return Refusal(
                f"{word} is {int(word, 8)} to readers of YAML 1.1 and {value} to readers of"
                " YAML 1.2",
                f"write {value}, or quote it if a text is meant: '{word}'",
            )
        return value
    if kind is Kind.FLOAT:
        return _finite(word)
    return written(word)


def _finite(word: str) -> float | Refusal:
    number = float(word.lower().replace(".inf", "inf").replace(".nan", "nan"))
    if math.isfinite(number):
        return number
    return Refusal(f"{word} is not a number that can be measured", "write a finite number")


def written(text: str) -> str | Refusal:
    """Return a quoted or plain text unchanged, or why no screen can show it."""
    bad = UNSHOWABLE.search(text)
    if bad is None:
        return text
    return Refusal(
        f"the text {shown(text)} holds the character U+{ord(bad[0]):04X}, which cannot be shown",
        "take it out",
    )
