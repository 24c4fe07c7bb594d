"""Opens a shift of orders: for a trainee, with a record or without one, and again from a record.

Never here: the acts of a record (see `session.playback`).
"""

from collections.abc import Callable
from dataclasses import replace
from hashlib import sha256
from pathlib import Path

from sim.plant.machine import Machine
from sim.records.folder import new_record_path, today
from sim.records.lasting import LastingRecord
from sim.records.store import make_folder
from sim.scenario import library
from sim.scenario.file_text import octets
from sim.scenario.machines import recorded_machine, whole_file
from sim.scenario.shift import Shift, read_shift
from sim.scenario.vocabulary import Vocabulary
from sim.session.kept.origin import Origin
from sim.session.opening import machine_of, new_seed, pseudonym, vocabulary
from sim.session.shift.by_hand import ByHand


def read_shift_at(path: Path, machine: str = "", content: bytes | None = None) -> Shift:
    """Return the shift in a file, for a machine or its own.

    Args:
        path: The file.
        machine: The machine that it shall be on; its own when left out.
        content: What the file holds, where it was read before.

    Raises:
        ScenarioError: The file or the machine is refused; `where` is `path:line:column`.
    """
    shift = read_shift(path, lambda _: vocabulary(None, path.parent), content)
    machine_of(machine or shift.machine, path.parent)
    return shift


def open_shift(
    file: Path,
    machine: str = "",
    *,
    record: Path | None = None,
    recorded: bool = True,
    who: str = "",
    seed: int | None = None,
) -> ByHand:
    """Return a new shift for a trainee, which writes its record line by line.

    Args:
        file: The shift's.
        machine: The machine that it shall be on, its name or its file; the shift's own when left out.
        record: The record, which must not exist yet; None for a new one in the record folder.
        recorded: Whether it keeps a record.
        who: A pseudonym for the trainee; empty for nobody.
        seed: Of what is left to chance; None for a new one.

    Raises:
        ScenarioError: The file or the machine is refused.
        CommandError: The pseudonym is none.
        RecordError: The record cannot be written.
    """
    content = octets(file)
    shift = read_shift_at(file, machine, content)
    on = machine or shift.machine
    origin = Origin(
        scenario=file.stem, path=str(file), scenario_sha256=sha256(content).hexdigest(),
        scenario_file=content, machine_file=whole_file(library.machine_path(on, file.parent)),
        day=today(), who=pseudonym(who) if who else "",
        seed=new_seed() if seed is None else seed, shift=True,
    )  # fmt: skip
    named = shift.model_copy(update={"machine": library.machine_name(on)})
    lasting = lasting_at(record, file.stem) if recorded else None
    shop = ByHand(named, built=machine_of(on, file.parent), origin=origin, record=lasting)
    shop.session.lasting = lasting
    return shop


def lasting_at(record: Path | None, called: str) -> LastingRecord:
    """Return a new record in a file, or in the record folder where none is named.

    Raises:
        RecordError: It cannot be written.
    """
    target = record if record is not None else new_record_path(called)
    make_folder(target)
    return LastingRecord(target)


def recorded_shift(
    origin: Origin, machine: str, nonce: str | None, record: LastingRecord | None = None
) -> ByHand:
    """Return a shift as it was when its record was begun, not switched on yet.

    Args:
        origin: What the record's opening says.
        machine: The name of its machine.
        nonce: What seals names in its record; None for a new one.
        record: Where the lines go of a session that goes on from it; None for nowhere.

    Raises:
        ScenarioError: What stands in it of shift or machine is refused.
    """
    path, then = origin.file, _machine_then(origin, machine)
    shift = read_shift(path, _names_then(then), origin.scenario_file)
    named = shift.model_copy(update={"machine": machine})
    return ByHand(named, built=then, origin=origin, record=record, nonce=nonce, found=True)


def _machine_then(origin: Origin, machine: str) -> Machine:
    if not origin.machine_file:
        return machine_of(machine, origin.file.parent)
    return recorded_machine(machine, origin.machine_file)


def _names_then(then: Machine) -> Callable[[Shift], Vocabulary]:
    return lambda shift: replace(vocabulary(then), machines=frozenset({shift.machine}))
