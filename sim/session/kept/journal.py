"""The lines of a session's record: the opening, the acts, the graver events, the closing.

Before the close a fault stands in the record as a digest, never by its name; the closing line opens
every digest.

Never here: what an act does.
"""

import json
import secrets
from typing import Any, Protocol

from sim.records.acts import ON_FAULTS, Act, OrderRefused, PutIn, TakenOut, line_of
from sim.records.reading import OPEN
from sim.records.rows import (
    SHIFT_MODE,
    Closing,
    Happened,
    Opening,
    Worth,
    plain_row,
    this_arithmetic,
)
from sim.records.seal import fault_seal, hidden_message, hidden_text, scenario_seal
from sim.scenario.scenario import Scenario
from sim.session.kept.heard import ON_RECORD, Event
from sim.session.kept.origin import Origin


class Record(Protocol):
    """Where the lines of a session go."""

    def append(self, act: dict[str, object]) -> object:
        """Add one line."""

    def close(self, last: dict[str, object]) -> object:
        """Add the closing line."""


class Journal:
    """The writing of one session's record.

    Args:
        record: Where the lines go; None for nowhere.
        nonce: What seals the names of faults; None for a new one.
    """

    def __init__(self, record: Record | None = None, nonce: str | None = None) -> None:
        self.nonce = nonce if nonce is not None else secrets.token_hex(16)
        self._sealed: list[str] = []  # names in the order of their seals
        self._refusals = 0  # that are sealed
        self._record = record

    def take_over(self, before: "Journal") -> None:
        """Go on with the record of a session from which this one went back; that writes no more."""
        self._record, before._record = before._record, None
        self._sealed, self._refusals = before._sealed, before._refusals

    def open(self, scenario: Scenario, origin: Origin) -> None:
        """Write the first line; the text of a scenario that hides something is sealed in it."""
        if self._record is None:
            return
        text, faults = origin.scenario_file, [row.name for row in scenario.faults]
        opening = Opening(
            mode=SHIFT_MODE if origin.shift else scenario.mode,
            seal=scenario_seal(faults, self.nonce),
            scenario=origin.scenario,
            path=origin.path,
            scenario_sha256=origin.scenario_sha256,
            scenario_text="" if faults else text.decode(),
            scenario_sealed=hidden_text(text, self.nonce) if faults and text else "",
            machine=scenario.machine,
            machine_text=origin.machine_file.decode(),
            arithmetic=this_arithmetic(),
            day=origin.day,
            who=origin.who,
            helper=origin.helper,
            course=origin.course,
            course_version=origin.course_version,
            attempt=origin.attempt,
            fork=origin.fork,
            seed=origin.seed,
            orders_salt=origin.orders_salt,
            orders_check=origin.orders_check,
            answer_known=origin.answer_known,
            rehearsed=origin.rehearsed,
        )
        self._append({"act": OPEN, **plain_row(opening)})

    def event(self, event: Event) -> None:
        """Write an event down, if the record has those of its kind."""
        if self._record is not None and event.kind in ON_RECORD:
            self._append(plain_row(Happened(event.kind, event.at_us, event.message)))

    def act(self, act: Act) -> None:
        """Write an act down; that of an instructor on a fault does not tell which yet."""
        if self._record is None:
            return
        line = line_of(act)
        if isinstance(act, PutIn | TakenOut):
            del line["name"]
            line["seal"] = fault_seal(len(self._sealed), act.name, self.nonce)
            self._sealed.append(act.name)
        elif isinstance(act, OrderRefused) and act.order in ON_FAULTS and act.why is not None:
            del line["why"]
            why = json.dumps(act.why.plain())
            line["sealed"] = hidden_message(self._refusals, why, self.nonce)
            self._refusals += 1
        self._append(line)

    def close(
        self,
        at_us: int,
        state: str,
        faults: tuple[str, ...],
        worth: Worth | None = None,
        debrief: dict[str, Any] | None = None,
    ) -> None:
        """Write the closing line, which opens every seal.

        Args:
            at_us: Simulated time of the close.
            state: Digest of the saw.
            faults: Names of those of the scenario.
            worth: What the session was worth.
            debrief: What was said of it, in JSON's values.
        """
        if self._record is not None:
            sealed = tuple(self._sealed)
            last = Closing(at_us, state, faults, self.nonce, sealed, worth, debrief)
            self._record.close(plain_row(last))

    def _append(self, line: dict[str, object]) -> None:
        if self._record is not None:
            self._record.append(line)
