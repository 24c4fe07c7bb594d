"""A session as a record tells that it was opened: on the scenario and the machine of that time.

The record has both in it. When the scenario's text is sealed and the record was cut before the line
that opens it, the scenario's file is looked for; it must be the same to the last octet.

Never here: playing the acts (see `replay`).
"""

from hashlib import sha256
from pathlib import Path
from typing import Final

from sim.errors import RecordError, ScenarioError
from sim.records.reading import SessionRecord
from sim.records.rows import SHIFT_MODE
from sim.records.seal import opened_text, scenario_seal
from sim.scenario import library
from sim.scenario.file_text import octets
from sim.scenario.machines import recorded_machine
from sim.session import orders  # noqa: F401 - a refused order on record has rows of it
from sim.session.hands import cautions  # noqa: F401 - a hint on record has rows of it
from sim.session.kept.origin import Origin
from sim.session.opening import scenario_in, session_for
from sim.session.session import Session
from sim.session.shift.opening import recorded_shift
from sim.words.fields import name, parts
from sim.words.message import plain, row

_NOT_HERE: Final = row(
    "recorded.scenario-not-here", "the scenario of the record, {file}, is not here", file=name()
)
_PUT_BESIDE: Final = plain(
    "recorded.scenario-not-here.to-do",
    "do it in the folder where it was played, or put the scenario's file beside the record",
)
_CHANGED: Final = row(
    "recorded.scenario-changed",
    "the scenario {scenario} has changed since the record was made", scenario=name(),
)  # fmt: skip
_OF_THAT_TIME: Final = plain(
    "recorded.scenario-changed.to-do", "play it beside the scenario file of that time"
)
_MODE: Final = plain("recorded.otherwise.mode", "the mode")
_SEAL: Final = plain("recorded.otherwise.seal", "the seal")
_FAULTS: Final = plain("recorded.otherwise.faults", "the faults")
_OTHERWISE: Final = row(
    "recorded.otherwise",
    "the scenario in the record says otherwise than the record does: {what}",
    what=parts(", ", " and "),
)  # fmt: skip
_UNFIT: Final = plain("recorded.text-unfit", "the scenario in the record does not fit its digest")
_ELSEWHERE: Final = plain("recorded.text-unfit.to-do", "look for an unchanged copy")


def session_of(record: SessionRecord) -> Session:
    """Return a session as it was when the record was begun.

    Raises:
        RecordError: The scenario's text does not fit its digest, or its file has changed.
        ScenarioError: The scenario is not here, or it is refused.
    """
    opening, origin = record.opening, origin_of(record)
    if opening.of_shift:
        _check_fits(record, SHIFT_MODE, ())
        return recorded_shift(origin, opening.machine, record.nonce).session
    content, text = origin.scenario_file, origin.machine_file
    scenario = scenario_in(origin.file, content, opening.machine, text)
    _check_fits(record, scenario.mode, tuple(row.name for row in scenario.faults))
    if text:
        scenario = scenario.built_as(recorded_machine(scenario.machine, text))
    return session_for(scenario, origin=origin, nonce=record.nonce)


def origin_of(record: SessionRecord) -> Origin:
    """Return where the session of a record comes from, as its opening has it.

    Raises:
        RecordError: The scenario's text does not fit its digest, or its file has changed.
        ScenarioError: The scenario is not here.
    """
    opening = record.opening
    content, text = scenario_text(record), opening.machine_text.encode()
    return Origin(
        scenario=opening.scenario, path=opening.path, scenario_sha256=opening.scenario_sha256,
        scenario_file=content, machine_file=text, day=opening.day, who=opening.who,
        helper=opening.helper, course=opening.course, course_version=opening.course_version,
        attempt=opening.attempt, fork=opening.fork, seed=opening.seed, orders_salt=opening.orders_salt,
        orders_check=opening.orders_check, answer_known=opening.answer_known,
        rehearsed=opening.rehearsed, shift=opening.of_shift,
    )  # fmt: skip


def _check_fits(record: SessionRecord, mode: str, faults: tuple[str, ...]) -> None:
    """Hold what the record says of mode and hidden faults against what its file has; a shift hides nothing.

    Raises:
        RecordError: The mode, the seal or the faults are those of another.
    """
    opening, closing = record.opening, record.closing
    says_otherwise = [_MODE] if opening.mode != mode else []
    if closing is not None and opening.seal != scenario_seal(faults, record.nonce):
        says_otherwise.append(_SEAL)
    if closing is not None and closing.faults != faults:
        says_otherwise.append(_FAULTS)
    if says_otherwise:
        raise RecordError(_OTHERWISE(what=tuple(says_otherwise)), record.name, _ELSEWHERE)


def scenario_text(record: SessionRecord) -> bytes:
    """Return the octets of the scenario's file as it was.

    Raises:
        RecordError: They do not fit their digest, or the file has changed.
        ScenarioError: The file is not here.
    """
    opening = record.opening
    if opening.scenario_text:
        content = opening.scenario_text.encode()
    elif opening.scenario_sealed and record.closing is not None:
        try:
            content = opened_text(opening.scenario_sealed, record.nonce)
        except ValueError:
            content = b""
    else:
        return _from_file(record)
    if sha256(content).hexdigest() != opening.scenario_sha256:
        raise RecordError(_UNFIT, record.name, _ELSEWHERE)
    return content


def _from_file(record: SessionRecord) -> bytes:
    content = octets(_file_of(record))
    if sha256(content).hexdigest() != record.opening.scenario_sha256:
        raise RecordError(_CHANGED(scenario=record.opening.scenario), record.name, _OF_THAT_TIME)
    return content


def _file_of(record: SessionRecord) -> Path:
    """Return the scenario's file: by its name, where it was, or beside the record."""
    file = library.find(record.opening.path)
    beside = Path(record.name).parent / file.name
    found = next((path for path in (file, beside) if path.is_file()), None)
    if found is None:
        raise ScenarioError(_NOT_HERE(file=file.name), record.name, _PUT_BESIDE)
    return found
