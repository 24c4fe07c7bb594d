"""`drycycle calc ...`: works one calculation out and prints its answers."""

from collections.abc import Callable, Sequence
from typing import Final, TypedDict, Unpack

from sim.calc import calculators
from sim.calc.figure import Figure
from sim.calc.job_estimate import job_figures
from sim.errors import CommandError
from sim.plant.machine import LITRE, Machine
from sim.scenario.machines import first_machine
from sim.scenario.nearest import nearest
from sim.scenario.section_words import section_from
from sim.session.opening import machine_of, materials
from sim.text.reports.cut_list_report import print_cut_list
from sim.text.reports.figures import print_figures
from sim.text.tables import print_json
from sim.trade.materials import Material
from sim.trade.sections import Section
from sim.units import MM
from sim.words.fields import degrees, m_min, name, number
from sim.words.message import Message, plain, row
from sim.words.speech import reader

_OF: Final = row("calc.of", "{what}", what=name())
_AT: Final = row(
    "calc.of.at",
    "{what} at {speed}, {teeth} TPI",
    what=name(), speed=m_min(None), teeth=number(None),
)  # fmt: skip
_AT_ANGLE: Final = row("calc.of.at-angle", "{what} at {angle}", what=name(), angle=degrees())
_WANDER: Final = plain("calc.wander.title", "Band wander")
_TENSION: Final = plain("calc.tension.title", "Band tension")
_OVERLOAD: Final = plain("calc.overload.title", "Overload relay")
_COOLANT: Final = plain("calc.coolant.title", "Coolant")
_NO_METAL: Final = row("calc.metal.none", "there is no metal '{metal}'", metal=name())
_OVERFULL: Final = plain("calc.coolant.overfull", "the tank holds more than a full one")
_AT_MOST_FULL: Final = plain("calc.coolant.at-most-full", "give at most --full")


def _speed(*, metal: str, machine: str, as_json: bool) -> None:
    _show(_OF(what=metal), calculators.speed(_material(metal), _machine(machine)), as_json=as_json)


def _pitch(*, section: str, metal: str, machine: str, as_json: bool) -> None:
    answers = calculators.pitch(_section(section), _material(metal), _machine(machine))
    _show(_OF(what=f"{metal} {section}"), answers, as_json=as_json)


def _feed(
    *, metal: str, section: str, teeth: float | None, chip: float, machine: str, as_json: bool
) -> None:
    bar = _section(section)
    answers = calculators.feed(_material(metal), bar, _machine(machine), teeth, chip)
    _show(_OF(what=f"{metal} {section}"), answers, as_json=as_json)


class _Given(TypedDict):
    """A setting of the saw as typed; what was not is None."""

    speed: float | None
    teeth: float | None
    force: float | None
    valve: float | None
    mitre: float


def _time(
    *, metal: str, section: str, machine: str, as_json: bool, **given: Unpack[_Given]
) -> None:
    bar, material, saw = _section(section), _material(metal), _machine(machine)
    setting = calculators.setting_of(
        material, bar, saw, speed_m_min=given["speed"], teeth_per_inch=given["teeth"],
        force_n=given["force"], valve_mm_min=given["valve"], mitre_deg=given["mitre"],
    )  # fmt: skip
    answers = calculators.time(material, bar, saw, setting)
    title = _AT(
        what=f"{metal} {section}", speed=setting.speed_m_min / 60, teeth=setting.teeth_per_inch
    )
    _show(title, answers, as_json=as_json)


def _mitre(*, section: str, length: float, angle: float, machine: str, as_json: bool) -> None:
    answers = calculators.mitre(_section(section), _machine(machine), length, angle)
    _show(_AT_ANGLE(what=section, angle=angle), answers, as_json=as_json)


def _bow(
    *, metal: str, section: str, rise: float, length: float, pressure: float | None, machine: str,
    as_json: bool,
) -> None:  # fmt: skip
    answers = calculators.bow(
        _material(metal), _section(section), _machine(machine), rise, length, pressure
    )
    _show(_OF(what=f"{metal} {section}"), answers, as_json=as_json)


def _clamping(
    *, metal: str, section: str, force: float | None, mitre: float, machine: str, as_json: bool
) -> None:
    answers = calculators.hold(_material(metal), _section(section), _machine(machine), force, mitre)
    _show(_OF(what=f"{metal} {section}"), answers, as_json=as_json)


def _wander(
    *, span: float | None, side: float, tension: float | None, machine: str, as_json: bool
) -> None:
    _show(_WANDER, calculators.wander(_machine(machine), span, side, tension), as_json=as_json)


def _tension(*, mpa: float | None, wheel: float | None, machine: str, as_json: bool) -> None:
    _show(_TENSION, calculators.tension(_machine(machine), mpa, wheel), as_json=as_json)


def _bars(
    *, piece: Sequence[str], bar: float, kerf: float | None, squaring: float, remnant: float | None,
    machine: str, as_json: bool,
) -> None:  # fmt: skip
    saw = _machine(machine)
    kerf = saw.kerf_m / MM if kerf is None else kerf
    remnant = saw.least_rest_m / MM if remnant is None else remnant
    print_cut_list(piece, (bar, kerf, squaring, remnant), as_json=as_json)


def _overload(*, current: float, before: float, as_json: bool) -> None:
    _show(_OVERLOAD, calculators.overload(current, before), as_json=as_json)


def _coolant(
    *, reading: float, factor: float, litres: float, full: float | None, wanted: float,
    machine: str, as_json: bool,
) -> None:  # fmt: skip
    full = _machine(machine).tank_m3 / LITRE if full is None else full
    if litres > full:
        raise CommandError(_OVERFULL, "--litres", _AT_MOST_FULL)
    answers = calculators.mix(reading, factor, litres, full, wanted)
    _show(_COOLANT, answers, as_json=as_json)


def _job(*, scenario: str, machine: str, as_json: bool) -> None:
    _show(_OF(what=scenario), job_figures(scenario, machine), as_json=as_json)


CALCULATIONS: Final[dict[str, Callable[..., None]]] = {
    "speed": _speed,
    "pitch": _pitch,
    "feed": _feed,
    "time": _time,
    "mitre": _mitre,
    "bow": _bow,
    "clamping": _clamping,
    "wander": _wander,
    "tension": _tension,
    "bars": _bars,
    "overload": _overload,
    "coolant": _coolant,
    "job": _job,
}
"""What the commands of `drycycle calc` do, by their names."""


def _machine(named: str) -> Machine:
    """Return the machine that was named, or the one that ships first."""
    return machine_of(named) if named else first_machine()


def _material(metal: str) -> Material:
    known = materials()
    if metal not in known:
        raise CommandError(_NO_METAL(metal=metal), "calc", nearest(metal, known))
    return known[metal]


def _show(title: Message, figures: Sequence[Figure], *, as_json: bool) -> None:
    if as_json:
        print_json([figure.plain() for figure in figures])
    else:
        print_figures(title, figures)


def _section(word: str) -> Section:
    """Return the section that was typed, with the reader's decimal mark or with a point."""
    return section_from(reader().typed(word))
