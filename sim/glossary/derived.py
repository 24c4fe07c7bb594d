"""What the saw's own names mean: tags, keys, set points, looks, steps and states, from the tables that have them.

Nothing is written down twice here: a tag says what its row in the wiring and in the table of signals
says, a state what its table leads to.

Never here: words of the trade (see `table`), and where a thing is (see `place`).
"""

from collections.abc import Callable
from typing import Final

from sim.control import dials
from sim.control.interlocks import BY_NUMBER
from sim.control.lamps import LAMPS
from sim.control.nouns import state_word
from sim.control.table import TABLES, StateTable
from sim.glossary.finding import by_form
from sim.glossary.states import meaning
from sim.logic.bench.wiring_prints import WHAT, place_said
from sim.plant import set_points
from sim.plant.machine import Machine
from sim.scenario.machines import first_machine
from sim.session import lockout
from sim.session.inspections import INSPECTIONS
from sim.session.opening import materials
from sim.signals import BY_KEY, BY_TAG
from sim.words.fields import authored, m_min, name, part, parts
from sim.words.message import NOTHING, Message, row, sentences
from sim.words.reader import ENGLISH, Reader

_TERM: Final = row("explained.says", "{word}: {text}", word=part(capital=True), text=part())
_DEVICE: Final = row(
    "explained.device", "{tag}: {what}, place: {place}.", tag=name(), what=part(), place=part()
)
_ON: Final = row("explained.device.on", "While it is on: {text}.", text=part())
_WIRE: Final = row(
    "explained.wire", "{tag}: a wire. While it is on: {text}.", tag=name(), text=part()
)
_TYPED: Final = row("explained.device.key", "It is typed as {typed}.", typed=name())
_TITLE: Final = row("explained.title", "{typed}: {title}.", typed=name(), title=part(capital=True))
_STATE: Final = row(
    "explained.state",
    "{typed}, a state of the controller. {meaning} What can follow: {next}.",
    typed=name(), meaning=part(), next=parts(", ", " or "),
)  # fmt: skip
_LOCK: Final = row(
    "explained.interlock", "{number}: {title}. {rule} It is there against {hazard}.",
    number=name(), title=part(capital=True), rule=part(), hazard=part(),
)  # fmt: skip
_METAL: Final = row(
    "explained.metal", "{typed}: a metal of the stock list, {title}; band speed {low} to {high}.",
    typed=name(), title=authored(), low=m_min(), high=m_min(),
)  # fmt: skip
_LAMP: Final = row(
    "explained.lamp", "{typed}: a lamp of the console, {lamp}.", typed=name(), lamp=part()
)


def explain(word: str, reader: Reader = ENGLISH, machine: Machine | None = None) -> Message | None:
    """Return what a word means, or None where nothing is known of it.

    Args:
        word: A word of the trade in the reader's language or in English, a tag, a key, a set point, a
            look, a step of the lock-out, a state such as `head.up` or `held`, a lamp, an interlock, or a metal.
        reader: Who asks.
        machine: Whose wiring tells what a tag is; the saw that ships first when it is left out.
    """
    asked = word.strip()
    term = by_form(asked, reader)
    if term is not None:
        return _TERM(word=term.word, text=term.text)
    loom_of = machine or first_machine()
    # `job.complete` is a key and a state: both are told.
    named = sentences(*(told(asked.lower()) for told in _BY_NAME))
    return of_tag(asked.upper(), loom_of) or named or None


def names_of(machine: Machine | None = None) -> tuple[str, ...]:
    """Return every name of the saw that can be explained, as it is typed."""
    loom = (machine or first_machine()).loom
    states = tuple(f"{table.name}.{state.lower()}" for table in TABLES for state in table.states)
    return (
        *dict.fromkeys((*loom.by_tag, *BY_TAG)), *BY_KEY, *set_points.BY_NAME, *dials.BY_NAME,
        *INSPECTIONS, *lockout.BY_NAME, *states, *(lamp.name for lamp in LAMPS), *BY_NUMBER,
        *materials(),
    )  # fmt: skip


def of_tag(tag: str, machine: Machine) -> Message:
    """Return what a device is, where, and what its wire says while it is on; nothing for no tag."""
    signal, device = BY_TAG.get(tag), machine.loom.by_tag.get(tag)
    key = _TYPED(typed=signal.key) if signal is not None and signal.key else NOTHING
    if device is None:
        return NOTHING if signal is None else sentences(_WIRE(tag=tag, text=signal.text), key)
    said = _DEVICE(tag=tag, what=WHAT[device.what], place=place_said(device.place))
    on = _ON(text=signal.text) if signal is not None else NOTHING
    return sentences(said, on, key)


def _of_key(typed: str) -> Message:
    signal = BY_KEY.get(typed)
    return NOTHING if signal is None else of_tag(signal.tag, first_machine())


def _titled(title: Callable[[str], Message | None]) -> Callable[[str], Message]:
    def told(typed: str) -> Message:
        said = title(typed)
        return NOTHING if said is None else _TITLE(typed=typed, title=said)

    return told


def _title_of(typed: str) -> Message | None:
    tables = (set_points.BY_NAME, dials.BY_NAME, INSPECTIONS, lockout.BY_NAME)
    return next((table[typed].title for table in tables if typed in table), None)


def _of_lamp(typed: str) -> Message:
    lamp = next((each for each in LAMPS if each.name == typed), None)
    return NOTHING if lamp is None else _LAMP(typed=typed, lamp=lamp.word)


def _of_interlock(typed: str) -> Message:
    lock = BY_NUMBER.get(typed.upper())
    if lock is None:
        return NOTHING
    return _LOCK(number=lock.number, title=lock.title, rule=lock.sentence, hazard=lock.hazard)


def _of_metal(typed: str) -> Message:
    metal = next((each for called, each in materials().items() if called.lower() == typed), None)
    if metal is None:
        return NOTHING
    low, high = metal.speed_low_m_s, metal.speed_high_m_s
    return _METAL(typed=metal.name, title=metal.title, low=low, high=high)


def _of_state(typed: str) -> Message:
    """Return what states are called so: one of a machine as `head.up`, or all as `up`."""
    machine, dot, state = typed.rpartition(".")
    of = [table for table in TABLES if not dot or table.name == machine]
    return sentences(*(_state(table, state.upper()) for table in of))


def _state(table: StateTable, state: str) -> Message:
    state = state.replace(" ", "_").replace("-", "_")
    after = dict.fromkeys(row.to for row in table.rows if row.state == state)
    if state not in table.states or not after:
        return NOTHING
    return _STATE(
        typed=f"{table.name}.{state.lower()}", meaning=meaning(table.name, state),
        next=tuple(state_word(table.name, each) for each in after),
    )  # fmt: skip


_BY_NAME: Final[tuple[Callable[[str], Message], ...]] = (
    _of_key, _titled(_title_of), _of_lamp, _of_interlock, _of_metal, _of_state,
)  # fmt: skip
