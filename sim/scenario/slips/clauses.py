"""What the YAML parser says of a text that is not YAML, clause by clause, as messages.

The clauses are those of libyaml, which every wheel of PyYAML holds. One that is not here, of another
parser or a later version, is told as it stands.
"""

import re
from typing import Final

from sim.words.fields import name
from sim.words.message import Message, plain, row

_CLAUSES: Final = (
    "while parsing a block collection",
    "while parsing a block mapping",
    "while parsing a block node",
    "while parsing a flow mapping",
    "while parsing a flow node",
    "while parsing a flow sequence",
    "while parsing a node",
    "while parsing a quoted scalar",
    "while parsing a tag",
    "while scanning a %TAG directive",
    "while scanning a %YAML directive",
    "while scanning a block scalar",
    "while scanning a directive",
    "while scanning a plain scalar",
    "while scanning a quoted scalar",
    "while scanning a simple key",
    "while scanning a tag",
    "while scanning an alias",
    "while scanning an anchor",
    "while scanning for the next token",
    "block sequence entries are not allowed in this context",
    "mapping keys are not allowed in this context",
    "mapping values are not allowed in this context",
    "could not find expected ':'",
    "could not find expected directive name",
    "did not find URI escaped octet",
    "did not find expected '!'",
    "did not find expected ',' or ']'",
    "did not find expected ',' or '}'",
    "did not find expected '-' indicator",
    "did not find expected <document start>",
    "did not find expected alphabetic or numeric character",
    "did not find expected comment or line break",
    "did not find expected digit or '.' character",
    "did not find expected hexdecimal number",
    "did not find expected key",
    "did not find expected node content",
    "did not find expected tag URI",
    "did not find expected version number",
    "did not find expected whitespace",
    "did not find expected whitespace or line break",
    "did not find the expected '>'",
    "exceeded maximum nesting depth",
    "found a tab character that violates indentation",
    "found a tab character where an indentation space is expected",
    "found an indentation indicator equal to 0",
    "found character that cannot start any token",
    "found duplicate %TAG directive",
    "found duplicate %YAML directive",
    "found extremely long version number",
    "found incompatible YAML document",
    "found invalid Unicode character escape code",
    "found undefined tag handle",
    "found unexpected ':'",
    "found unexpected document indicator",
    "found unexpected end of stream",
    "found unexpected non-alphabetical character",
    "found unknown directive name",
    "found unknown escape character",
)


def _key(text: str) -> str:
    words = text.replace("'!'", "bang").replace("']'", "bracket").replace("'}'", "brace")
    words = words.replace("'-'", "dash").replace("':'", "colon").replace("'>'", "angle")
    return "yaml." + "-".join(re.findall("[a-z0-9]+", words.lower()))


_ROWS: Final = {text: plain(_key(text), text) for text in _CLAUSES}
_OTHER: Final = row("yaml.other", "{clause}", clause=name())


def clause(text: str) -> Message:
    """Return what the parser said."""
    return _ROWS.get(text) or _OTHER(clause=text)
