"""The record of a session: lines of JSON, each chained to the one before by its hash.

    {"begin":{"engine":"0.2.0","format":3,"record":"drycycle"},"h":"..","prev":"00..","seq":0}
    {"act":{"act":"load","at_us":0},"h":"..","prev":"..","seq":1}
    {"close":{"count":2,"head":"..","last":{..}},"h":"..","prev":"..","seq":2}

`h` is the SHA-256 of the line's kind, number, `prev` and content as written; `prev` is the `h`
before it. So a changed, dropped, swapped or repeated line is found. What a chain alone cannot
find is a missing tail: the closing line, with the count and the head, is there for that. A
record without one was cut: by a pulled plug, or by somebody.

There is no key in it: whoever has this program can write a whole new record. The chain shows
accidents and clumsy changes; to bind a record to a person, its head must be handed in.

Never here: what an act means.
"""

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from typing import Final

import sim
from sim.errors import RecordError
from sim.words.fields import name
from sim.words.message import plain, row

FORMAT: Final = 3  # of the lines, and of the keys and set points that they name
RECORD: Final = "drycycle"
_MARK: Final = {"record": RECORD, "format": FORMAT, "engine": sim.__version__}
_ENDED: Final = plain("chain.closed", "the record is closed")
_NEW_ONE: Final = plain("chain.start-new", "start a new one")
_UNWRITABLE: Final = row("chain.unwritable", "an act cannot be written down: {fault}", fault=name())
_BUG: Final = plain("chain.bug", "this is a fault of the program")
START: Final = "0" * 64  # what the first line has for a line before it
LINE: Final = re.compile(
    rb'\{"(begin|act|close)":(\{.*\}),"h":"([0-9a-f]{64})","prev":"([0-9a-f]{64})"'
    rb',"seq":(0|[1-9][0-9]{0,8})\}'
)


# Made once: json.dumps makes a new one at every call with options.
_written = json.JSONEncoder(sort_keys=True, separators=(",", ":"), allow_nan=False).encode


def hash_of(kind: str, seq: int, prev: str, content: str) -> str:
    """Return the hash of a line."""
    return sha256(f"{kind} {seq} {prev} {content}".encode()).hexdigest()


@dataclass
class Links:
    """The end of a growing chain."""

    head: str = START
    count: int = 0
    closed: bool = False

    def content(self, act: Mapping[str, object]) -> str:
        """Return what an act's line holds, as it is written.

        Raises:
            RecordError: The record is closed, or the act is not made of JSON's values.
        """
        if self.closed:
            raise RecordError(_ENDED, "", _NEW_ONE)
        try:
            return _written(act if type(act) is dict else dict(act))
        except (TypeError, ValueError, RecursionError) as fault:
            raise RecordError(_UNWRITABLE(fault=str(fault)), "", _BUG) from fault

    def next_line(self, kind: str, content: str) -> str:
        """Return the next line; the chain only moves on with `accept`."""
        head = hash_of(kind, self.count, self.head, content)
        return f'{{"{kind}":{content},"h":"{head}","prev":"{self.head}","seq":{self.count}}}'

    def accept(self, line: str) -> None:
        """Move on to a line that has been kept."""
        at = line.rindex('"h":"') + 5
        self.head = line[at : at + 64]
        self.count += 1


def header_of(header: Mapping[str, object] | None) -> dict[str, object]:
    """Return what the first line holds."""
    return {**(header or {}), **_MARK}


def closing_of(links: Links, last: Mapping[str, object] | None) -> dict[str, object]:
    """Return what the closing line holds."""
    return {"count": links.count, "head": links.head, "last": dict(last or {})}
