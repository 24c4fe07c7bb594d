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

from sim.words.fields import name, number, one_of
from sim.words.message import Message, plain, row

Scalar = str | int | float | bool | None
"""What one word of a file can be once read."""

LONGEST_NUMBER: Final = 40
"""Characters; no honest length, count or rate needs more (and int() refuses at 4300)."""

UNSHOWABLE: Final = re.compile(
    "[^\t\n\r\x20-\x7e\xa0-\u2027\u202f-\u2065\u206a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]"
)
"""Control characters, controls that turn a text round, lone surrogates, byte order marks, and the three line breaks (U+0085,
U+2028, U+2029) that only YAML 1.1 counts as such."""


class WordKind(StrEnum):
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
class Unclear:
    """Why a word cannot stand as it is, and what to write."""

    what: Message
    what_to_do: Message


_KINDS: Final = one_of(*(kind.value for kind in WordKind))
_LONG: Final = row(
    "scalar.long-number", "{word} is a number of {length} characters", word=name(), length=number()
)
_SHORTEN: Final = row(
    "scalar.shorten",
    "write at most {most}, or quote it if a text is meant",
    most=number(),
)
_TWO_KINDS: Final = row(
    "scalar.two-kinds",
    "{word} is {old} to some programs and {new} to others",
    word=name(), old=_KINDS, new=_KINDS,
)  # fmt: skip
_TWO_NUMBERS: Final = row(
    "scalar.two-numbers",
    "{word} is {old} to some programs and {new} to others",
    word=name(), old=name(), new=name(),
)  # fmt: skip
_WRITE: Final = row(
    "scalar.write",
    "write {meant}, or quote it if a text is meant: {quoted}",
    meant=name(), quoted=name(),
)  # fmt: skip
QUOTE: Final = row("scalar.quote", "quote it: {quoted}", quoted=name())
_SOME: Final = row(
    "scalar.number-to-some", "{word} is a number to some readers of YAML", word=name()
)
_ENDLESS: Final = row("scalar.endless", "{word} is not a number that can be measured", word=name())
_FINITE: Final = plain("scalar.finite", "write a finite number")
_UNSHOWN: Final = row(
    "scalar.unshown",
    "the text {text} holds the character {code}, which cannot be shown",
    text=name(), code=name(),
)  # fmt: skip
TAKE_OUT: Final = plain("scalar.take-out", "take it out")


_YAML_1_1: Final = (
    (WordKind.NULL, re.compile(r"~|null|Null|NULL|")),
    (WordKind.BOOL, re.compile(r"y|Y|yes|Yes|YES|n|N|no|No|NO|true|True|TRUE|false|False|FALSE"
                           r"|on|On|ON|off|Off|OFF")),
    (WordKind.FLOAT, re.compile(r"[-+]?[0-9][0-9_]*\.[0-9_]*([eE][-+][0-9]+)?"
                            r"|\.[0-9][0-9_]*([eE][-+][0-9]+)?"
                            r"|[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN)")),
    (WordKind.INT, re.compile(r"[-+]?0b[01_]+|[-+]?0[0-7_]+|[-+]?(0|[1-9][0-9_]*)"
                          r"|[-+]?0x[0-9a-fA-F_]+")),
    (WordKind.CLOCK, re.compile(r"[-+]?[0-9][0-9_]*(:[0-5]?[0-9])+(\.[0-9_]*)?")),
    (WordKind.DATE, re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}"
                           r"|[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}([Tt]|[ \t]+)[0-9]{1,2}"
                           r":[0-9]{2}:[0-9]{2}(\.[0-9]*)?"
                           r"([ \t]*(Z|[-+][0-9]{1,2}(:[0-9]{2})?))?")),
    (WordKind.MERGE, re.compile(r"<<|=")),
)  # fmt: skip

_YAML_1_2: Final = (
    (WordKind.NULL, re.compile(r"~|null|Null|NULL|")),
    (WordKind.BOOL, re.compile(r"true|True|TRUE|false|False|FALSE")),
    (WordKind.INT, re.compile(r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+")),
    (WordKind.FLOAT, re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?"
                            r"|[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN)")),
)  # fmt: skip

# Neither specification has these as numbers (0_8, ._5), and readers in use take them for some.
_SPACED: Final = re.compile(
    r"[-+0-9.][-+0-9._]*_[0-9._]*([eE][-+]?[0-9]+)?|[-+]?0[obx][0-9a-fA-F_]*"
)
_OLD_OCTAL: Final = re.compile(r"[-+]?0[0-7]+")
_COMPLETE: Final = re.compile(r"[-+]?(0b[01]+|0o[0-7]+|0x[0-9a-fA-F]+|[0-9]+)")
_RISKY: Final = frozenset("~nNyYtTfFoO<=.+-0123456789")  # what every pattern above begins with
_NUMBERS: Final = (WordKind.INT, WordKind.FLOAT, WordKind.CLOCK)


def shown(word: object) -> str:
    """Return `word` as a message shows it: quoted, escaped, and at most 60 characters long."""
    text = repr(word)
    return text if len(text) <= 60 else f"{text[:57]}..."


def _kind(word: str, patterns: tuple[tuple[WordKind, re.Pattern[str]], ...]) -> WordKind:
    return next((kind for kind, pattern in patterns if pattern.fullmatch(word)), WordKind.TEXT)


def _whole(word: str) -> int:
    base = {"0x": 16, "0o": 8, "0b": 2}.get(word.lstrip("+-")[:2], 10)
    return int(word, base)


def _meant(word: str, old: WordKind, new: WordKind) -> str:
    """Return the spelling that both readers agree on, or nothing when only quotes can help."""
    digits = word.replace("_", "")
    if WordKind.BOOL in (old, new):
        return "true" if word.lower() in ("y", "yes", "on") else "false"
    if old is WordKind.INT and _OLD_OCTAL.fullmatch(digits):
        return str(int(digits, 8))
    if _COMPLETE.fullmatch(digits) and WordKind.INT in (old, new):
        return str(_whole(digits))
    if WordKind.FLOAT in (old, new) and re.search("[0-9]", digits):
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


def plain_word(word: str) -> Scalar | Unclear:
    """Return the value of an unquoted word, or why it is refused.

    The value is text, a whole number, a finite number, true, false, or None for an empty word.
    """
    if word and word[0] not in _RISKY:
        return written(word)
    old, new = _kind(word, _YAML_1_1), _kind(word, _YAML_1_2)
    if len(word) > LONGEST_NUMBER and (old in _NUMBERS or new in _NUMBERS):
        return Unclear(_LONG(word=shown(word), length=len(word)), _SHORTEN(most=LONGEST_NUMBER))
    quoted = f"'{word}'"
    if old is not new:
        meant = _meant(word, old, new)
        return Unclear(
            _TWO_KINDS(word=shown(word), old=old.value, new=new.value),
            _WRITE(meant=meant, quoted=quoted) if meant else QUOTE(quoted=quoted),
        )
    if old is WordKind.TEXT and _SPACED.fullmatch(word):
        return Unclear(_SOME(word=shown(word)), QUOTE(quoted=quoted))
    return _agreed(word, old)


def _agreed(word: str, kind: WordKind) -> Scalar | Unclear:
    if kind is WordKind.NULL:
        return None
    if kind is WordKind.BOOL:
        return word.lower() == "true"
    if kind is WordKind.INT:
        value = _whole(word)
        if _OLD_OCTAL.fullmatch(word) and int(word, 8) != value:
            return Unclear(
                _TWO_NUMBERS(word=word, old=str(int(word, 8)), new=str(value)),
                _WRITE(meant=str(value), quoted=f"'{word}'"),
            )
        return value
    if kind is WordKind.FLOAT:
        return _finite(word)
    return written(word)


def _finite(word: str) -> float | Unclear:
    measured = float(word.lower().replace(".inf", "inf").replace(".nan", "nan"))
    return measured if math.isfinite(measured) else Unclear(_ENDLESS(word=word), _FINITE)


def written(text: str) -> str | Unclear:
    """Return a quoted or plain text unchanged, or why no screen can show it."""
    bad = UNSHOWABLE.search(text)
    if bad is None:
        return text
    return Unclear(_UNSHOWN(text=shown(text), code=f"U+{ord(bad[0]):04X}"), TAKE_OUT)
