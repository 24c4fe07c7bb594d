"""The names a scenario may use, and whether the ones it uses are among them.

The saw's table of set points, the catalogue of faults and the list of inspections live further
down; a caller puts what they offer into a `Vocabulary`, and the check answers with the place in
the file and the nearest name.

Never here: the tables themselves.
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Protocol

from sim.scenario.gate import Located, Place
from sim.scenario.reading import refuse
from sim.scenario.scalars import shown, spelled
from sim.scenario.wording import nearest


class SettingKind(StrEnum):
    """What a set point takes, in the words of a message."""

    NUMBER = "a number"
    SWITCH = "true or false"
    CHOICE = "one of its positions"


@dataclass(frozen=True)
class SettingRule:
    """What one set point of the machine may be found at, in the unit of its name."""

    kind: SettingKind
    low: float | None = None
    high: float | None = None
    choices: tuple[str, ...] = ()


@dataclass(frozen=True)
class Vocabulary:
    """Names that a scenario may use; None for a list that is not to be checked."""

    set_points: Mapping[str, SettingRule] | None = None
    faults: Collection[str] | None = None
    inspections: Collection[str] | None = None
    materials: Collection[str] | None = None
    machines: Collection[str] | None = None
    may_come_and_go: Collection[str] | None = None  # faults that can be intermittent
    signals: Collection[str] | None = None
    # What the goals of a lesson speak of, besides.
    states: Mapping[str, Collection[str]] | None = None  # by machine of the control
    stations: Collection[str] | None = None
    actions: Collection[str] | None = None
    lockout_steps: Collection[str] | None = None
    measures: Collection[str] | None = None


class _When(Protocol):
    @property
    def signal(self) -> str: ...


class _Fault(Protocol):
    @property
    def name(self) -> str: ...
    @property
    def when(self) -> _When | None: ...
    @property
    def intermittent(self) -> object: ...


class _Stock(Protocol):
    @property
    def material(self) -> str: ...


class _Scenario(Protocol):
    """As much of a scenario as its names."""

    @property
    def machine(self) -> str: ...
    @property
    def stock(self) -> _Stock: ...
    @property
    def found(self) -> Mapping[str, bool | int | float | str]: ...
    @property
    def faults(self) -> Iterable[_Fault]: ...
    @property
    def ambiguous_with(self) -> tuple[str, ...]: ...
    @property
    def inspections(self) -> str | tuple[str, ...]: ...


def check_names(located: Located, scenario: _Scenario, vocabulary: Vocabulary) -> None:
    """Return if every name and every set point's value is one the machine has.

    Raises:
        ScenarioError: One is not; `where` is `path:line:column`.
    """
    inspections = scenario.inspections if isinstance(scenario.inspections, tuple) else ()
    used: tuple[tuple[Place, str, str, Collection[str] | None], ...] = (
        (("machine",), scenario.machine, "machine", vocabulary.machines),
        (("stock", "material"), scenario.stock.material, "metal", vocabulary.materials),
        *(
            (("faults", index, "name"), fault.name, "fault", vocabulary.faults)
            for index, fault in enumerate(scenario.faults)
        ),
        *(
            (("ambiguous_with", index), name, "fault", vocabulary.faults)
            for index, name in enumerate(scenario.ambiguous_with)
        ),
        *(
            (("faults", index, "when", "signal"), fault.when.signal, "device", vocabulary.signals)
            for index, fault in enumerate(scenario.faults)
            if fault.when is not None
        ),
        *(
            (("inspections", index), name, "inspection", vocabulary.inspections)
            for index, name in enumerate(inspections)
        ),
    )
    for place, name, kind, names in used:
        if names is not None and name not in names:
            refuse(located, place, f"there is no {kind} {shown(name)}", nearest(name, names))
    lasting = vocabulary.may_come_and_go
    for index, fault in enumerate(scenario.faults):
        if fault.intermittent is not None and lasting is not None and fault.name not in lasting:
            refuse(
                located, ("faults", index, "intermittent"),
                f"{shown(fault.name)} does not come and go by itself",
                "leave intermittent out, or hide a fault of a sensor, an actuator or a supply",
                key=True,
            )  # fmt: skip
    rules = vocabulary.set_points
    if rules is not None:
        for name, value in scenario.found.items():
            if name not in rules:
                what = f"there is no set point {shown(name)}"
                refuse(located, ("found", name), what, nearest(name, rules), key=True)
            check_setting(located, ("found", name), value, rules[name])


def check_setting(
    located: Located, place: Place, value: bool | int | float | str, rule: SettingRule
) -> None:
    """Return if a set point may be found, or wanted, at a value.

    Raises:
        ScenarioError: It may not; `where` is `path:line:column`.
    """
    if not _is_of(rule.kind, value):
        what = f"{rule.kind} was expected, and {shown(value)} was found"
        refuse(located, place, what, _advice(rule))
    if rule.kind is SettingKind.CHOICE and value not in rule.choices:
        what = f"one of {', '.join(rule.choices)} was expected, and {shown(value)} was found"
        refuse(located, place, what, nearest(str(value), rule.choices))
    if rule.kind is SettingKind.NUMBER:
        check_number(located, place, rule, float(value))


def check_number(located: Located, place: Place, rule: SettingRule, number: float) -> None:
    """Return if a number is within the limits of a set point that takes numbers.

    Raises:
        ScenarioError: It is not; `where` is `path:line:column`.
    """
    if rule.kind is not SettingKind.NUMBER:
        refuse(located, place, f"{rule.kind} was expected, and a range was found", _advice(rule))
    if not _within(rule, number):
        what = f"{shown(number)} is beyond the machine's own limits"
        refuse(located, place, what, _advice(rule))


def _is_of(kind: SettingKind, value: bool | int | float | str) -> bool:
    if kind is SettingKind.SWITCH:
        return isinstance(value, bool)
    if kind is SettingKind.CHOICE:
        return isinstance(value, str)
    return isinstance(value, int | float) and not isinstance(value, bool)


def _within(rule: SettingRule, value: float) -> bool:
    return (rule.low is None or value >= rule.low) and (rule.high is None or value <= rule.high)


def _advice(rule: SettingRule) -> str:
    if rule.kind is SettingKind.SWITCH:
        return "write true or false, without quotes"
    if rule.kind is SettingKind.CHOICE:
        return f"write one of {', '.join(rule.choices)}"
    low = "" if rule.low is None else f"from {spelled(float(rule.low))}"
    high = "" if rule.high is None else f"up to {spelled(float(rule.high))}"
    return " ".join(part for part in ("give a number", low, high) if part)
