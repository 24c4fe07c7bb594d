"""The names a scenario may use, and whether the ones it uses are among them.

The saw's table of set points, the catalogue of faults and the list of inspections live further
down; a caller puts what they offer into a `Vocabulary`, and the check answers with the place in
the file and the nearest name.

Never here: the tables themselves.
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Final, Protocol

from sim.scenario.located import Located, Place
from sim.scenario.nearest import nearest
from sim.scenario.reading import refuse
from sim.scenario.scalars import shown, spelled
from sim.scenario.slips.typed_number import meant, unit_of
from sim.words.fields import name, one_of
from sim.words.message import Message, plain, row


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
    actions: Collection[str] | None = None
    lockout_steps: Collection[str] | None = None
    measures: Collection[str] | None = None


_KIND: Final = one_of(*(kind.value for kind in SettingKind))
UNKNOWN: Final = row(
    "scenario.unknown",
    "there is no {kind} {name}",
    kind=one_of(
        "machine", "metal", "fault", "device", "inspection", "set point", "signal",
        "action", "measure", "step of the lock-out",
    ),
    name=name(),
)  # fmt: skip
_LASTS: Final = row("scenario.lasts", "{fault} does not come and go by itself", fault=name())
_LASTS_DO: Final = plain(
    "scenario.lasts.do",
    "leave intermittent out, or hide a fault of a sensor, an actuator or a supply",
)
_FOUND: Final = row(
    "scenario.setting.found",
    "{kind} was expected, and {found} was found",
    kind=_KIND, found=name(),
)  # fmt: skip
_RANGE: Final = row(
    "scenario.setting.range", "{kind} was expected, and a range was found", kind=_KIND
)
_ONE_OF: Final = row(
    "scenario.setting.one-of",
    "one of {choices} was expected, and {found} was found",
    choices=name(), found=name(),
)  # fmt: skip
_BEYOND: Final = row(
    "scenario.setting.beyond", "{found} is beyond the machine's own limits", found=name()
)
_SWITCH_DO: Final = plain("scenario.setting.switch", "write true or false, without quotes")
_CHOICE_DO: Final = row("scenario.setting.choice", "write one of {choices}", choices=name())
_NUMBER_DO: Final = plain("scenario.setting.number", "give a number")
_FROM_DO: Final = row("scenario.setting.from", "give a number from {low}", low=name())
_UP_TO_DO: Final = row("scenario.setting.up-to", "give a number up to {high}", high=name())
_FROM_UP_TO_DO: Final = row(
    "scenario.setting.from-up-to",
    "give a number from {low} up to {high}",
    low=name(), high=name(),
)  # fmt: skip


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


class _Findings(Protocol):
    @property
    def pools(self) -> Mapping[str, tuple[str, ...]]: ...


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
    def old_bar(self) -> _Stock | None: ...
    @property
    def found(self) -> Mapping[str, bool | int | float | str]: ...
    @property
    def faults(self) -> Iterable[_Fault]: ...
    @property
    def findings(self) -> _Findings | None: ...
    @property
    def ambiguous_with(self) -> tuple[str, ...]: ...
    @property
    def inspections(self) -> str | tuple[str, ...]: ...


def check_names(located: Located, scenario: _Scenario, vocabulary: Vocabulary) -> None:
    """Check that every name and every set point's value is one the machine has.

    Raises:
        ScenarioError: One is not; `where` is `path:line:column`.
    """
    inspections = scenario.inspections if isinstance(scenario.inspections, tuple) else ()
    used: tuple[tuple[Place, str, str, Collection[str] | None], ...] = (
        (("machine",), scenario.machine, "machine", vocabulary.machines),
        *(
            ((field, "material"), bar.material, "metal", vocabulary.materials)
            for field, bar in (("stock", scenario.stock), ("old_bar", scenario.old_bar))
            if bar is not None
        ),
        *(
            (("faults", index, "name"), fault.name, "fault", vocabulary.faults)
            for index, fault in enumerate(scenario.faults)
        ),
        *(
            (("findings", pool, index), name, "fault", vocabulary.faults)
            for pool, names in (scenario.findings.pools.items() if scenario.findings else ())
            for index, name in enumerate(names)
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
    for place, given, kind, names in used:
        if names is not None and given not in names:
            refuse(located, place, UNKNOWN(kind=kind, name=shown(given)), nearest(given, names))
    lasting = vocabulary.may_come_and_go
    for index, fault in enumerate(scenario.faults):
        if fault.intermittent is not None and lasting is not None and fault.name not in lasting:
            refuse(
                located, ("faults", index, "intermittent"),
                _LASTS(fault=shown(fault.name)), _LASTS_DO, key=True,
            )  # fmt: skip
    rules = vocabulary.set_points
    if rules is not None:
        for point, value in scenario.found.items():
            if point not in rules:
                what = UNKNOWN(kind="set point", name=shown(point))
                refuse(located, ("found", point), what, nearest(point, rules), key=True)
            check_setting(located, ("found", point), value, rules[point])


def check_setting(
    located: Located, place: Place, value: bool | int | float | str, rule: SettingRule
) -> None:
    """Check that a set point may be found, or wanted, at a value.

    Raises:
        ScenarioError: It may not; `where` is `path:line:column`.
    """
    if not _is_of(rule.kind, value):
        what = _FOUND(kind=rule.kind.value, found=shown(value))
        refuse(located, place, what, _typed(place, value, rule) or _advice(rule))
    if rule.kind is SettingKind.CHOICE and value not in rule.choices:
        what = _ONE_OF(choices=", ".join(rule.choices), found=shown(value))
        refuse(located, place, what, nearest(str(value), rule.choices))
    if rule.kind is SettingKind.NUMBER:
        check_number(located, place, rule, float(value))


def _typed(place: Place, value: bool | int | float | str, rule: SettingRule) -> Message | None:
    """Return how to write a number that was typed with its unit or the like."""
    if rule.kind is not SettingKind.NUMBER or not isinstance(value, str):
        return None
    return meant(value, unit_of(str(place[-1])))


def check_number(located: Located, place: Place, rule: SettingRule, number: float) -> None:
    """Check that a number is within the limits of a set point that takes numbers.

    Raises:
        ScenarioError: It is not; `where` is `path:line:column`.
    """
    if rule.kind is not SettingKind.NUMBER:
        refuse(located, place, _RANGE(kind=rule.kind.value), _advice(rule))
    if not _within(rule, number):
        refuse(located, place, _BEYOND(found=shown(number)), _advice(rule))


def _is_of(kind: SettingKind, value: bool | int | float | str) -> bool:
    if kind is SettingKind.SWITCH:
        return isinstance(value, bool)
    if kind is SettingKind.CHOICE:
        return isinstance(value, str)
    return isinstance(value, int | float) and not isinstance(value, bool)


def _within(rule: SettingRule, value: float) -> bool:
    return (rule.low is None or value >= rule.low) and (rule.high is None or value <= rule.high)


def _advice(rule: SettingRule) -> Message:
    if rule.kind is SettingKind.SWITCH:
        return _SWITCH_DO
    if rule.kind is SettingKind.CHOICE:
        return _CHOICE_DO(choices=", ".join(rule.choices))
    if rule.low is not None and rule.high is not None:
        return _FROM_UP_TO_DO(low=spelled(float(rule.low)), high=spelled(float(rule.high)))
    if rule.low is not None:
        return _FROM_DO(low=spelled(float(rule.low)))
    return _UP_TO_DO(high=spelled(float(rule.high))) if rule.high is not None else _NUMBER_DO
