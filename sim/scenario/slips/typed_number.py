"""Numbers as people type them elsewhere: with a unit, in quotes, with a comma, as a percentage or a time.

Numbers are told as the file has them, whatever units the reader has chosen.

Never here: the limits of a number.
"""

import re
from typing import Final

from sim.scenario.scalars import spelled
from sim.words.fields import name, one_of
from sim.words.message import Message, plain, row

UNITS: Final = {
    "mm": "millimetres", "m": "metres", "s": "seconds", "min": "minutes", "bar": "bar",
    "mpa": "megapascals", "gpa": "gigapascals", "kg_m3": "kilograms a cubic metre", "kw": "kilowatts",
    "m_min": "metres a minute", "mm_min": "millimetres a minute", "mm_s": "millimetres a second",
    "deg": "degrees", "percent": "percent", "n": "newtons", "kn": "kilonewtons",
}  # fmt: skip
UNIT: Final = one_of(*UNITS.values())
_SAME: Final = {
    "mm": {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "inch": 25.4, '"': 25.4},
    "s": {"s": 1.0, "sec": 1.0, "min": 60.0, "h": 3600.0},
    "deg": {"deg": 1.0, "°": 1.0},
    "percent": {"percent": 1.0, "%": 1.0},
    "m_min": {"m/s": 60.0}, "mm_min": {"mm/s": 60.0, "m/min": 1000.0},
    "kw": {"w": 0.001}, "n": {"kn": 1000.0}, "kn": {"n": 0.001},
}  # fmt: skip

STRIPPED: Final = "'\",;.\u201c\u201d\u201e\u2018\u2019 "
"""What stands around a word that somebody put in quotes of another kind, or ended with a sign."""

_ABOUT: Final = re.compile(r"^(\u00b1|\+/?-|\u00d8|\u2300|~|=|<|>)+\s*")
_MEASURE: Final = re.compile(r"([-+]?[0-9]+(?:[.,][0-9]+)?)\s*(\D*)")
_THOUSANDS: Final = re.compile(
    r"[-+]?[0-9]{1,3}(?:([ \u00a0\u202f'.,])[0-9]{3})(?:\1[0-9]{3})*([.,][0-9]+)?"
)
_RATIO: Final = re.compile(r"([0-9]+)\s*/\s*([1-9][0-9]*)")

_ALONE: Final = plain("model.alone", "write the number alone")
_ALONE_IN: Final = row("model.alone-in", "write the number alone, in {unit}", unit=UNIT)
WITH_POINT: Final = row(
    "model.with-point", "write {value}, its decimals after a point", value=name()
)
_THOUSANDS_OR: Final = row(
    "number.thousands", "write {whole} for thousands, or {value} for decimals",
    whole=name(), value=name(),
)  # fmt: skip
_UNQUOTED: Final = row("model.unquoted", "write {value} without quotes", value=name())
_VALUE_ALONE: Final = row("model.value-alone", "write {value} alone", value=name())
_VALUE_ALONE_IN: Final = row(
    "model.value-alone-in",
    "write {value} alone; its unit, {unit}, is in the name",
    value=name(), unit=UNIT,
)  # fmt: skip
_QUOTES: Final = "'\"\u201c\u201d\u201e\u2018\u2019"
WRITE_VALUE: Final = row("model.write-value", "write {value}", value=name())


def unit_of(field: str) -> str:
    """Return the unit in a name, the longest known one; nothing if the name carries none."""
    words = field.split("_")
    tails = ("_".join(words[start:]) for start in range(1, len(words)))
    return next((tail for tail in tails if tail in UNITS), "")


def unquoted(value: str) -> Message:
    """Return how to write a word that takes no quotes."""
    return _UNQUOTED(value=value)


def meant(text: str, unit: str) -> Message | None:
    """Return how to write a number that was typed as a text; None where no number is in it.

    Args:
        text: What was typed.
        unit: The unit of the name that it belongs to; empty for none.
    """
    bare = _ABOUT.sub("", text.strip(STRIPPED.replace(".", ""))).strip()
    thousands = _THOUSANDS.fullmatch(bare)
    if thousands is not None and (thousands[1] != "." or thousands[2]):
        return _thousands(bare, thousands[1], thousands[2] or "")
    ratio = _RATIO.fullmatch(bare)
    if ratio is not None:
        return WRITE_VALUE(value=spelled(round(int(ratio[1]) / int(ratio[2]), 6)))
    measure = _MEASURE.fullmatch(bare)
    if measure is None:
        return None
    value = float(measure[1].replace(",", "."))
    given = measure[2].strip().lower()
    if "," in measure[1] and not given:
        return WITH_POINT(value=spelled(value))
    if given == "%" and not unit:
        return WRITE_VALUE(value=spelled(round(value / 100.0, 9)))
    if not given and (text == bare or text[0] in _QUOTES):
        return _UNQUOTED(value=spelled(round(value, 9)))
    return _without_unit(value, given, unit)


def _thousands(typed: str, parting: str, decimals: str) -> Message:
    whole = typed.removesuffix(decimals).replace(parting, "")
    value = spelled(float(whole + decimals.replace(",", ".")))
    if parting == "," and not decimals and typed.count(",") == 1:
        return _THOUSANDS_OR(whole=value, value=typed.replace(",", "."))
    return WRITE_VALUE(value=value)


def _without_unit(measured: float, given: str, unit: str) -> Message:
    """Return how to write a number that was written with a unit, or with a sign about it."""
    same = _SAME.get(unit, {})
    if given in same:
        measured *= same[given]
    elif given and given.replace(" ", "") != unit.replace("_", "/"):
        return _ALONE_IN(unit=UNITS[unit]) if unit else _ALONE
    value = spelled(round(measured, 9))
    return (
        _VALUE_ALONE_IN(value=value, unit=UNITS[unit])
        if given and unit
        else _VALUE_ALONE(value=value)
    )
