"""Opens a session on a scenario: reads the file, the metals and the machine, and puts them together."""

import re
import secrets
from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from hashlib import sha256
from pathlib import Path
from typing import Final

from sim.control.actions import BY_NAME as ACTIONS
from sim.control.dials import DIALS
from sim.control.table import TABLES
from sim.errors import CommandError, ScenarioError
from sim.faults.catalogue import EVERY
from sim.faults.fault import Family
from sim.plant.bar import Stock
from sim.plant.machine import Machine
from sim.plant.set_points import SET_POINTS
from sim.records.folder import new_record_path, today
from sim.records.lasting import LastingRecord
from sim.records.store import make_folder
from sim.scenario import library
from sim.scenario.file_text import octets
from sim.scenario.machines import (
    first_machine,
    machine_at,
    recorded_machine,
    refuse_machine_file,
    whole_file,
)
from sim.scenario.metals import read_materials
from sim.scenario.scalars import shown
from sim.scenario.scenario import Scenario, read_scenario
from sim.scenario.stock import StockFound
from sim.scenario.vocabulary import SettingKind, SettingRule, Vocabulary
from sim.session import lockout
from sim.session.answered import answer_known, rehearsed
from sim.session.before.left import Left
from sim.session.inspections import INSPECTIONS
from sim.session.kept.journal import Record
from sim.session.kept.origin import Origin
from sim.session.lessons.lesson import lesson_of
from sim.session.lessons.measures import MEASURES
from sim.session.order_key import OrderKey, check_code, new_key
from sim.session.session import Session
from sim.signals import SIGNALS
from sim.trade.materials import Material
from sim.units import MM, MPA
from sim.words.fields import name
from sim.words.message import plain, row

_PSEUDONYM: Final = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,39}")
_NO_PSEUDONYM: Final = row("opening.no-pseudonym", "{who} is no pseudonym", who=name())
_PSEUDONYM_WANTS: Final = plain(
    "opening.pseudonym-wants",
    "give at most 40 letters, digits, dots, dashes and underscores, such as bench-07",
)
_LASTING: Final = (Family.SET_UP, Family.CONSUMABLE)  # these stay as they are until a hand comes


@lru_cache(maxsize=1)
def materials() -> dict[str, Material]:
    """Return the metals that ship with the program, by name."""
    return read_materials(library.materials_path())


@lru_cache
def vocabulary(machine: Machine | None = None, beside: Path | None = None) -> Vocabulary:
    """Return every name that a scenario file may use.

    Args:
        machine: On which the set points have their limits; the one that ships first when left out.
        beside: The folder of the scenario, whose own machines count too.
    """
    on = first_machine() if machine is None else machine
    rules = {
        row.name: SettingRule(SettingKind.CHOICE, choices=row.words)
        if row.words
        else SettingRule(SettingKind.NUMBER, *row.limits(on))
        for row in SET_POINTS
    }
    rules.update({d.name: SettingRule(SettingKind.NUMBER, d.low, d.high) for d in DIALS})
    return Vocabulary(
        set_points=rules,
        faults=frozenset(EVERY),
        inspections=frozenset(INSPECTIONS)
        | {f"meter {tag}" for tag in (*on.loom.by_tag, *(row.tag for row in SIGNALS))},
        materials=frozenset(materials()),
        machines=frozenset(library.machine_names(beside)),
        may_come_and_go=frozenset(f.name for f in EVERY.values() if f.family not in _LASTING),
        signals=frozenset(row.tag for row in SIGNALS),
        states={table.name: table.states for table in TABLES},
        actions=frozenset(ACTIONS),
        lockout_steps=frozenset(lockout.BY_NAME),
        measures=frozenset(MEASURES),
    )


def read(name_or_path: str, machine: str = "") -> tuple[Scenario, Path]:
    """Return a scenario, every name in it checked, and its file.

    Args:
        name_or_path: Of the scenario.
        machine: The machine that it shall be on, its name or its file; the scenario's own when left out.

    Raises:
        ScenarioError: There is no such scenario or machine, or a file is refused.
    """
    path = library.find(name_or_path)
    return _checked(path, machine), path


def _checked(path: Path, machine: str = "") -> Scenario:
    return scenario_in(path, octets(path), machine)


def library_entries() -> tuple[tuple[str, Scenario], ...]:
    """Return every shipped scenario by name: jobs, lessons, drills; those whose file is refused left out."""
    return _library()[0]


def library_refusals() -> tuple[ScenarioError, ...]:
    """Return what is wrong with files among the shipped ones, of each that is refused."""
    return _library()[1]


@lru_cache(maxsize=1)
def _library() -> tuple[tuple[tuple[str, Scenario], ...], tuple[ScenarioError, ...]]:
    found, refused = [], []
    for called, path in library.entries():
        try:
            found.append((called, _checked(path)))
        except ScenarioError as fault:
            refused.append(fault)
    return tuple(found), tuple(refused)


def machine_of(name: str, beside: Path | None = None) -> Machine:
    """Return a machine by its name, of the scenario's own folder or one that ships; or by its file.

    Raises:
        ScenarioError: There is none of that name, no such file, or it is refused.
    """
    return machine_at(library.machine_path(name, beside))


def machine_for(scenario: Scenario) -> Machine:
    """Return the machine of a scenario: as it was when that was opened, or else as its file says.

    Raises:
        ScenarioError: There is none of that name, or its file is refused.
    """
    return scenario.built or machine_of(scenario.machine, scenario.folder)


def _names_for(path: Path, machine: str = "") -> Callable[[Scenario], Vocabulary]:
    """Return what gives the names that a scenario in a file may use, on its own machine or another."""

    def names(scenario: Scenario) -> Vocabulary:
        beside = path.parent
        if machine:
            return vocabulary(machine_of(machine, beside), beside)
        there = scenario.machine in library.machine_names(beside)
        return vocabulary(machine_of(scenario.machine, beside) if there else None, beside)

    return names


def open_session(  # noqa: PLR0913 - each by its name
    name_or_path: str,
    *,
    machine: str = "",
    record: Record | None = None,
    nonce: str | None = None,
    who: str = "",
    day: str = "",
    code: str = "",
    beside: Path | None = None,
    seed: int = 0,
) -> Session:
    """Return a new session on a scenario.

    Args:
        name_or_path: The scenario.
        machine: The machine that it shall be on, its name or its file; the scenario's own when left out.
        record: Where the session's lines go; None for nowhere.
        nonce: What seals the faults' names; None for a new one.
        who: A pseudonym for the trainee, which the record carries; empty for nobody.
        day: Date of the session, ISO 8601, for the record; empty for none.
        code: The instructor's code, without which some orders are not taken; empty for none.
        beside: Where its record will be, beside which earlier ones are looked for; None to look for none.
        seed: Of what is left to chance, the scatter of pieces and the errors of readings; 0 for nothing.

    Raises:
        ScenarioError: There is no such scenario or machine, or a file is refused.
        CommandError: The pseudonym is none, or the code is too short.
    """
    path = library.find(name_or_path)
    content = octets(path)
    scenario = scenario_in(path, content, machine)
    key = new_key(code) if code else None
    digest = sha256(content).hexdigest()
    before = beside if scenario.faults else None
    known = before is not None and answer_known(digest, who, before)
    tried = before is not None and not known and rehearsed(digest, who, before)
    origin = Origin(
        scenario=path.stem,
        path=str(name_or_path),
        scenario_sha256=digest,
        scenario_file=content,
        machine_file=whole_file(library.machine_path(machine or scenario.machine, path.parent)),
        day=day,
        who=pseudonym(who) if who else "",
        seed=seed,
        orders_salt=key.salt if key is not None else "",
        orders_check=key.check if key is not None else "",
        answer_known=known,
        rehearsed=tried,
    )
    return session_for(scenario, origin=origin, record=record, nonce=nonce, order_key=key)


def scenario_in(
    path: Path, content: bytes, machine: str = "", machine_file: bytes = b""
) -> Scenario:
    """Return the scenario that a file holds or held, every name in it checked.

    Args:
        path: The file.
        content: What is or was in it.
        machine: The machine that it is on; the one that it names when left out.
        machine_file: What was in the file of its machine, where that need not be there any more.

    Raises:
        ScenarioError: It is refused.
    """
    names = _names_for(path, machine)

    def names_then(scenario: Scenario) -> Vocabulary:
        then = recorded_machine(machine or scenario.machine, machine_file)
        return replace(vocabulary(then), machines=(scenario.machine,))

    try:
        scenario = read_scenario(path, names_then if machine_file else names, content)
    except ScenarioError as fault:
        refuse_machine_file(path, content, fault)
        raise
    if not machine:
        return scenario
    on_it = scenario.model_copy(update={"machine": library.machine_name(machine)})
    # A file may lie anywhere, and be found by its name no more.
    return on_it.built_as(machine_of(machine)) if library.is_file_name(machine) else on_it


def new_seed() -> int:
    """Return a seed for one session's chance, another each time; never 0."""
    return 1 + secrets.randbelow(2**31 - 1)


def pseudonym(who: str) -> str:
    """Return a pseudonym, which holds letters, digits, dots, dashes and underscores.

    Raises:
        CommandError: It is longer than 40 characters or has others in it.
    """
    if not _PSEUDONYM.fullmatch(who):
        raise CommandError(_NO_PSEUDONYM(who=shown(who)), "--who", _PSEUDONYM_WANTS)
    return who


def session_for(
    scenario: Scenario,
    *,
    origin: Origin | None = None,
    record: Record | None = None,
    nonce: str | None = None,
    order_key: OrderKey | None = None,
) -> Session:
    """Return a new session on a scenario that was read before.

    Its scenario keeps the machine as it is now: what is asked of the session later, such as what a
    look could have told, is asked of that machine and not of what its file says by then.

    Args:
        scenario: What is played.
        origin: Where scenario and machine come from, and who sits at it.
        record: Where the session's lines go; None for nowhere.
        nonce: What seals the faults' names; None for a new one.
        order_key: Of the instructor's code; None of a session without one.
    """
    saw = machine_for(scenario)
    session = _as_found(Session(
        scenario.built_as(saw), _stock_of(scenario.stock), saw,
        origin=origin, record=record, nonce=nonce, order_key=order_key, old_bar=_old_bar(scenario),
    ))  # fmt: skip
    lesson_of(session)
    return session


def _stock_of(found: StockFound) -> Stock:
    return Stock(
        material=materials()[found.material],
        section=found.to_section(),
        length_m=found.length_mm * MM,
        front_m=found.front_mm * MM,
        bow_m=found.bow_mm_m * MM,
        pressing_pa=found.stress_mpa * MPA,
    )


def _old_bar(scenario: Scenario) -> Stock | None:
    return None if scenario.old_bar is None else _stock_of(scenario.old_bar)


def twin_of(session: Session) -> Session:
    """Return a session on the scenario and machine of another, fresh and without a record.

    Of a shift of orders it is as that began; the turns to its orders are `Session.turns`.
    """
    scenario, stock = session.begun_with
    twin = _as_found(Session(
        scenario, stock, session.machine,
        origin=session.origin, nonce=session.journal.nonce, old_bar=_old_bar(scenario),
    ))  # fmt: skip
    lesson_of(twin)
    return twin


def sound_twin_of(session: Session) -> Session:
    """Return a session on the scenario and machine of another with nothing wrong in it, fresh and without a record."""
    return _as_found(Session(
        session.scenario.sound(), session.stock, session.machine,
        origin=session.origin, nonce=session.journal.nonce, old_bar=_old_bar(session.scenario),
    ))  # fmt: skip


def _as_found(session: Session) -> Session:
    """Have the operator's pieces lie there; every session comes by here, so that all have the same ones."""
    saw = session.saw
    saw.left = Left(
        session.scenario, session.stock, session.machine, saw.clock, session.origin.seed
    )
    return session


def open_recorded(
    name_or_path: str,
    path: Path | None,
    who: str = "",
    machine: str = "",
    code: str = "",
    seed: int | None = None,
) -> Session:
    """Return a new session that writes its record to a file, line by line.

    Args:
        name_or_path: The scenario.
        path: The record, which must not exist yet; None for a new one in the record folder.
        who: A pseudonym for the trainee; empty for nobody.
        machine: The machine that it shall be on, its name or its file; the scenario's own when left out.
        code: The instructor's code; empty for none.
        seed: Of what is left to chance; None for a new one.

    Raises:
        ScenarioError: There is no such scenario or machine, or a file is refused.
        CommandError: The pseudonym is none, or the code is too short.
        RecordError: The record cannot be written.
    """
    found, _ = library.find(name_or_path), read(name_or_path, machine)
    if who:
        pseudonym(who)  # before there is a file
    if code:
        check_code(code)
    target = path if path is not None else new_record_path(found.stem)
    make_folder(target)
    record = LastingRecord(target)
    session = open_session(
        name_or_path, machine=machine, record=record, who=who, day=today(), code=code, beside=target,
        seed=new_seed() if seed is None else seed,
    )  # fmt: skip
    session.lasting = record
    return session
