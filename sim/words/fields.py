"""The kinds of field that a message has: what each takes, and how a reader is told of it.

Quantities are held in SI (m, s, Pa, N, W, rad ...) and told in shop units, metric or inch as the reader
has chosen.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, Protocol

from sim.units import BAR, MINUTE, MM, MPA
from sim.words.reader import Reader
from sim.words.visible import visible


class Told(Protocol):
    """Something that can be told: a message, for the fields that hold one."""

    def tell(self, reader: Reader) -> str:
        """Return it as text for a reader."""


Value = str | int | float | Told | tuple[Told, ...]
_MOST_LISTED: Final = 2


class Field(Protocol):
    """One kind of field."""

    def takes(self, value: object) -> bool:
        """Return whether the field can hold a value."""

    def tell(self, value: Value, reader: Reader, key: str) -> str:
        """Return the value as text for a reader; `key` is that of the message around it."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with a unit, held in SI."""

    unit: str  # as it is written, empty for a bare number
    si: float = 1.0  # one unit in SI
    decimals: int | None = 0  # None for as many as it has
    sign: bool = False
    bare: bool = False  # without its unit, where another number that follows has it

    def takes(self, value: object) -> bool:
        """Return whether it is a number."""
        return isinstance(value, int | float) and not isinstance(value, bool)

    def tell(self, value: Value, reader: Reader, key: str) -> str:
        """Return number and unit in the reader's way."""
        assert isinstance(value, int | float)
        told = reader.number if self.bare else reader.quantity
        return told(value / self.si, self.unit, self.decimals, sign=self.sign)

    def rounded(self, value: float) -> float:
        """Return the value as it is told in metric units, in SI; two that are told alike are equal."""
        if isinstance(value, int) and self.si == 1.0:
            return value
        shop = value / self.si
        return self.si * (
            float(f"{shop:g}") if self.decimals is None else round(shop, self.decimals)
        )


@dataclass(frozen=True, slots=True)
class OneOf:
    """One of a few words, each translated in the message's own context, where genders agree."""

    words: tuple[str, ...]

    def takes(self, value: object) -> bool:
        """Return whether it is one of the words."""
        return value in self.words

    def tell(self, value: Value, reader: Reader, key: str) -> str:
        """Return the word in the reader's language."""
        return reader.phrase(key, str(value))


@dataclass(frozen=True, slots=True)
class Text:
    """Words as they stand: a tag, a key, a name, a file; or what a person or an author wrote."""

    authored: bool = False

    def takes(self, value: object) -> bool:
        """Return whether it is text."""
        return isinstance(value, str)

    def tell(self, value: Value, reader: Reader, key: str) -> str:
        """Return it as it stands, or translated where it is a text of a scenario that ships."""
        text = str(value)
        return visible(reader.authored(text), "\n") if self.authored else reader.name(visible(text))


@dataclass(frozen=True, slots=True)
class UnitName:
    """The unit that something is typed in, which stays metric whatever the reader has chosen."""

    def takes(self, value: object) -> bool:
        """Return whether it is text."""
        return isinstance(value, str)

    def tell(self, value: Value, reader: Reader, key: str) -> str:
        """Return the unit as it is written in the reader's language."""
        return reader.unit_name(str(value))


@dataclass(frozen=True, slots=True)
class Entry:
    """What is entered at a set point: a word of its table, or a number in its own unit."""

    def takes(self, value: object) -> bool:
        """Return whether it is a word or a number."""
        return isinstance(value, str | int | float) and not isinstance(value, bool)

    def tell(self, value: Value, reader: Reader, key: str) -> str:
        """Return the word translated, or the number with as many decimals as it needs."""
        if isinstance(value, str):
            return reader.phrase(key, value)
        assert isinstance(value, int | float)
        return reader.number(value, decimals=None)


@dataclass(frozen=True, slots=True)
class Part:
    """A message inside the message; where it begins a sentence or stands in one, the row says so."""

    capital: bool = False
    small: bool = False  # a sentence or a title stands in the midst of one

    def takes(self, value: object) -> bool:
        """Return whether it can be told."""
        return hasattr(value, "tell")

    def tell(self, value: Value, reader: Reader, key: str) -> str:
        """Return the inner message as text."""
        assert not isinstance(value, str | int | float | tuple)
        text = value.tell(reader)
        if self.small and not (text[1:2].isupper() or text[1:2].isdigit()):  # a device's tag
            return text[:1].lower() + text[1:]
        return text[:1].upper() + text[1:] if self.capital else text


@dataclass(frozen=True, slots=True)
class Parts:
    """Messages one after the other, with a joint between them, and another before the last."""

    joint: str
    last: str

    def takes(self, value: object) -> bool:
        """Return whether they can be told."""
        return isinstance(value, tuple) and all(hasattr(each, "tell") for each in value)

    def tell(self, value: Value, reader: Reader, key: str) -> str:
        """Return them as text."""
        assert isinstance(value, tuple)
        told = [each.tell(reader) for each in value]
        joint, last = reader.joint(self.joint), reader.joint(self.last)
        if len(told) < _MOST_LISTED:
            return "".join(told)
        return joint.join(told[:-1]) + last + told[-1]


@dataclass(frozen=True, slots=True)
class ClockTime:
    """A moment of the simulation, in whole microseconds, told as minutes and seconds."""

    tenths: bool = False  # whether tenths of a second are told, and hours where there are any

    def takes(self, value: object) -> bool:
        """Return whether it is a whole number."""
        return isinstance(value, int)

    def tell(self, value: Value, reader: Reader, key: str) -> str:
        """Return it as `1:05`, or as `1:05.3`."""
        assert isinstance(value, int)
        return reader.clock(value, tenths=self.tenths, hours=self.tenths)


def _in(unit: str, si: float = 1.0) -> Callable[..., Quantity]:
    def kind(decimals: int | None = 0, *, sign: bool = False, bare: bool = False) -> Quantity:
        return Quantity(unit, si, decimals, sign, bare)

    return kind


number: Final = _in("")
mm: Final = _in("mm", MM)
metres: Final = _in("m")
m_min: Final = _in("m/min", 1 / MINUTE)
mm_min: Final = _in("mm/min", MM / MINUTE)
bar: Final = _in("bar", BAR)
mpa: Final = _in("MPa", MPA)
mm_s: Final = _in("mm/s", MM)
square_cm: Final = _in("cm2", 1e-4)
kilograms: Final = _in("kg")
joules: Final = _in("J")
newtons: Final = _in("N")
kilonewtons: Final = _in("kN", 1e3)
kilowatts: Final = _in("kW", 1e3)
amperes: Final = _in("A")
micrometres: Final = _in("micrometres", 1e-6)
degrees: Final = _in("°")
"""Takes degrees, the one quantity whose shop unit the program keeps."""
seconds: Final = _in("s")
minutes: Final = _in("min", MINUTE)
hours: Final = _in("h", 3600.0)
percent: Final = _in("%", 0.01)
count: Final = number
"""A whole number of things; a row with a plural calls this field `count`."""


def one_of(*words: str) -> OneOf:
    """Return a field that holds one of these English words."""
    return OneOf(words)


def name() -> Text:
    """Return a field for a tag, a key, a file or another name that is never translated."""
    return Text()


def authored() -> Text:
    """Return a field for what a scenario's author or a person wrote."""
    return Text(authored=True)


def unit() -> UnitName:
    """Return a field for the name of a metric unit."""
    return UnitName()


def entry() -> Entry:
    """Return a field for what a set point is set to, in its own unit."""
    return Entry()


def part(*, capital: bool = False, small: bool = False) -> Part:
    """Return a field that holds a message; `capital` or `small` says how its first letter is told."""
    return Part(capital, small)


def parts(joint: str, last: str = "") -> Parts:
    """Return a field that holds messages, joined; `last` stands before the last one."""
    return Parts(joint, last or joint)


def clock(*, tenths: bool = False) -> ClockTime:
    """Return a field that holds simulated time in microseconds; `tenths` tells those of seconds."""
    return ClockTime(tenths)
