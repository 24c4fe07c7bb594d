"""The slips that a person makes who edits a file without knowing YAML, as messages.

Never here: finding them.
"""

from dataclasses import dataclass
from typing import Final

from sim.scenario.located import Spot
from sim.words.fields import name, number
from sim.words.message import Message, plain, row


@dataclass(frozen=True)
class Slip:
    """Where a slip is, what it is, and what to write instead."""

    spot: Spot
    what: Message
    what_to_do: Message


WRITE: Final = row("slip.write", "write {line}", line=name())
QUOTED: Final = row("slip.quoted", "put it in quotes: {line}", line=name())

NO_COLON: Final = row("slip.colon", "there is no colon after {name}", name=name())
NO_COLON_SPACE: Final = row(
    "slip.colon.space", "there is no space after the colon of {name}", name=name()
)
COLON_IN_TEXT: Final = row(
    "slip.colon.text", "the text of {name} has a colon and a space in it", name=name()
)
NO_HYPHEN: Final = row("slip.hyphen", "there is no hyphen before {name}", name=name())
NO_HYPHEN_SPACE: Final = plain("slip.hyphen.space", "there is no space after the hyphen")

OPEN_QUOTE: Final = row(
    "slip.quote", "the quote {quote} that opens here is not closed", quote=name()
)
QUOTE_WITHIN: Final = row(
    "slip.quote.within", "the text goes on after its closing quote {quote}", quote=name()
)
BACKSLASH: Final = plain("slip.quote.backslash", "there is a backslash between double quotes")
SIGN: Final = row("slip.sign", "a text that begins with {sign} stands without quotes", sign=name())
BESIDE: Final = row("slip.beside", "the text begins on the line of {sign}", sign=name())
BELOW: Final = plain("slip.beside.do", "write it on the lines below, each after two spaces")

OPEN_BRACKET: Final = row(
    "slip.bracket", "the bracket {bracket} that opens here is not closed", bracket=name()
)
CLOSE: Final = row("slip.bracket.do", "write {bracket} where the entries end", bracket=name())
TOO_MANY: Final = row("slip.bracket.many", "there is a {bracket} too many", bracket=name())
OUT: Final = plain("slip.bracket.many.do", "take it out")
ROUND: Final = plain("slip.bracket.round", "there are round brackets")
BRACES: Final = plain("slip.bracket.round.do", "write { and } instead")
NOTE_HIDES: Final = row(
    "slip.note", "what stands after # is not read, and {bracket} with it", bracket=name()
)
NOTE_OUT: Final = plain("slip.note.do", "take the note out, or give it a line of its own")
NOTE_ONLY: Final = plain("slip.note.only", "what stands after # is not read")

NO_COMMA: Final = row("slip.comma", "there is no comma before {word}", word=name())
TWO_COMMAS: Final = plain("slip.comma.two", "there is nothing between two commas")
ONE_COMMA: Final = plain("slip.comma.two.do", "take one out")
SEMICOLON: Final = plain("slip.semicolon", "there is a semicolon where a comma belongs")
COMMA: Final = plain("slip.semicolon.do", "write a comma")

INDENT: Final = row(
    "slip.indent",
    "the line begins with {count} space",
    plural="the line begins with {count} spaces",
    count=number(),
)
INDENT_AS: Final = row(
    "slip.indent.do",
    "begin it with {count} space, like line {line}",
    plural="begin it with {count} spaces, like line {line}",
    count=number(), line=number(),
)  # fmt: skip
AT_EDGE: Final = plain("slip.indent.edge", "the line begins at the left edge")
EDGE_AS: Final = row(
    "slip.indent.edge.do", "begin it at the left edge, like line {line}", line=number()
)
INDENT_UNDER: Final = row(
    "slip.indent.under",
    "{name} stands under {section}: begin the line with {count} space",
    plural="{name} stands under {section}: begin the line with {count} spaces",
    name=name(), section=name(), count=number(),
)  # fmt: skip
NO_BREAK: Final = plain(
    "slip.no-break", "there is a space that does not break (U+00A0), which is no space to YAML"
)
SPACE: Final = plain("slip.no-break.do", "write an ordinary space")
BULLET: Final = row("slip.bullet", "{sign} begins no line of such a file", sign=name())
HYPHEN: Final = plain(
    "slip.bullet.do", "write a hyphen and a space for an entry of a list, else take it out"
)
BESIDE_SECTION: Final = row(
    "slip.section", "{name} has lines under it, and {value} beside it", name=name(), value=name()
)
NOTE_SIGN: Final = plain("slip.note.sign", "write # before a note")
TWO_ENTRIES: Final = row(
    "slip.two-entries", "{name} and {other} stand on one line", name=name(), other=name()
)
ONE_A_LINE: Final = plain("slip.two-entries.do", "give each a line of its own")
NESTED: Final = row("slip.nested", "there are two colons in the line of {name}", name=name())
