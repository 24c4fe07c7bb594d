"""Who reads: their language, their decimal mark and their units. Everything that becomes text goes by here.

A reader is a value and can be compared; the translations of a language are read once. `PSEUDO` is a
language for tests: every translated word stands in brackets, every name in « », so that a word that
never went through a reader is seen at once.

The factors between units are exact by definition or products of such (inch, foot, pound-force; 1959
agreement).
"""

import re
from dataclasses import dataclass
from functools import lru_cache
from gettext import GNUTranslations, NullTranslations
from typing import Final

from sim.resources import shipped
from sim.units import INCH, MM, US
from sim.words.phrases import CONTEXT, read_phrases, translations

PSEUDO_LANGUAGE: Final = "qps"
_LANGUAGE_NAME: Final = "x-language-name"  # fields of our own in the head of a list of phrases
_DECIMAL_MARK: Final = "x-decimal-mark"
_POUND_KG: Final = 0.45359237  # exact
_POUND_FORCE_N: Final = _POUND_KG * 9.80665  # exact, standard gravity in m/s2
_PSI_PA: Final = _POUND_FORCE_N / INCH**2
_FOOT_MM: Final = 12 * INCH / MM
_UNIT: Final = "unit"  # context of units among the phrases: an inch is no `in`
_SYMBOLS: Final = frozenset(
    [
        "mm",
        "m",
        "m/min",
        "mm/min",
        "mm/s",
        "cm2",
        "cm³/min",
        "kg",
        "bar",
        "MPa",
        "N",
        "kN",
        "kW",
        "A",
        "V",
        "J",
        "s",
        "min",
        "h",
        "%",
        "°",
        "in",
        "ft",
        "ft/min",
        "in/min",
        "in/s",
        "in2",
        "in³/min",
        "lb",
        "psi",
        "ksi",
        "lbf",
    ]
)  # of units, the same in every language
_WORD: Final = re.compile(r"\{\w+\}|[^\W\d_]+(?:[-'][^\W\d_]+)*")


NO_BREAK: Final = "\N{NO-BREAK SPACE}"


@dataclass(frozen=True, slots=True)
class InchUnit:
    """What a metric unit is in inch units."""

    word: str
    factor: float  # inch units in one metric unit
    decimals: int  # more than the metric value has


_INCH: Final[dict[str, InchUnit]] = {
    "mm": InchUnit("in", MM / INCH, 2),
    "m": InchUnit("ft", 1000 / _FOOT_MM, 0),
    "m/min": InchUnit("ft/min", 1000 / _FOOT_MM, 0),
    "mm/min": InchUnit("in/min", MM / INCH, 1),
    "mm/s": InchUnit("in/s", MM / INCH, 2),
    "cm2": InchUnit("in2", (0.01 / INCH) ** 2, 1),
    "kg": InchUnit("lb", 1 / _POUND_KG, 0),
    "micrometres": InchUnit("thousandths of an inch", 1e-3 * MM / INCH * 1e3, 1),
    "bar": InchUnit("psi", 1e5 / _PSI_PA, 0),
    "MPa": InchUnit("ksi", 1e3 / _PSI_PA, 1),
    "N": InchUnit("lbf", 1 / _POUND_FORCE_N, 0),
    "kN": InchUnit("lbf", 1e3 / _POUND_FORCE_N, -2),
    "cm³/min": InchUnit("in³/min", (0.01 / INCH) ** 3, 2),
}


@lru_cache
def languages() -> tuple[str, ...]:
    """Return what can be read in: English, and each language that has a list of phrases."""
    return ("en", *sorted(path.stem for path in (shipped("art") / "locale").glob("*.po")))


@lru_cache
def phrases_of(language: str) -> dict[str, str]:
    """Return the phrases of a language, English to translated; nothing where there are none."""
    path = shipped("art") / "locale" / f"{language}.po"
    return read_phrases(path) if path.is_file() else {}


@lru_cache
def _spoken(language: str) -> NullTranslations | GNUTranslations:
    phrases = phrases_of(language)
    return translations(phrases) if phrases else NullTranslations()


def language_name(language: str) -> str:
    """Return what a language calls itself, as the head of its list has it; else its code."""
    return "English" if language == "en" else _spoken(language).info().get(_LANGUAGE_NAME, language)


@lru_cache
def _decimal_mark(language: str) -> str:
    return _spoken(language).info().get(_DECIMAL_MARK, ".")


@dataclass(frozen=True, slots=True)
class Reader:
    """One way to read: a language, and metric or inch units."""

    language: str = "en"
    inch: bool = False
    whole_names: bool = False  # on a page of lines that are wrapped: no line ends within a name

    def phrase(self, key: str, english: str) -> str:
        """Return a phrase in the reader's language.

        The entry with the message's key comes first, then that of the English alone, then the English.
        """
        if self.language == "en" or not english:
            return english
        if self.language == PSEUDO_LANGUAGE:
            return bracketed(english)
        spoken = _spoken(self.language)
        told = spoken.gettext(f"{key}{CONTEXT}{english}")  # itself where there is none
        return spoken.gettext(english) if CONTEXT in told else told

    def plural(self, key: str, one: str, many: str, count: int) -> str:
        """Return the phrase for a count: `one` for 1, else `many`, each in the form of the language."""
        english = one if count == 1 else many
        if self.language in ("en", PSEUDO_LANGUAGE):
            return self.phrase(key, english)
        told = _spoken(self.language).npgettext(key, one, many, count)
        return told if told != english else self.phrase(key, english)

    def joint(self, english: str) -> str:
        """Return what stands between parts of a list."""
        return self.phrase("", english) if english.strip() else english

    def name(self, name: str) -> str:
        """Return a name, which is the same in every language."""
        if self.whole_names:
            name = name.replace(" ", NO_BREAK)
        return f"«{name}»" if self.language == PSEUDO_LANGUAGE else name

    def authored(self, text: str) -> str:
        """Return what an author wrote: its translation where one ships, else as it stands."""
        return self.name(text) if self.language == PSEUDO_LANGUAGE else self.phrase("", text)

    def _other(self, unit: str) -> InchUnit | None:
        return _INCH.get(unit) if self.inch else None

    def unit(self, unit: str) -> str:
        """Return the unit that is written for a metric one."""
        other = self._other(unit)
        return self.unit_name(other.word if other else unit)

    def unit_name(self, written: str) -> str:
        """Return a unit as it is written in the reader's language."""
        return written if written in _SYMBOLS else self.phrase(_UNIT, written)

    def number(
        self, value: float, unit: str = "", decimals: int | None = 0, *, sign: bool = False
    ) -> str:
        """Return a metric value as a number in the units that are written.

        Args:
            value: In the metric unit.
            unit: The metric unit, empty for a bare number.
            decimals: Of the metric value; None for as many as it has, six figures at most.
            sign: Whether a positive number has its sign too.
        """
        other = self._other(unit)
        if other:
            if decimals is None:  # as many as the metric value has
                decimals = len(f"{value:g}".partition(".")[2])
            value, decimals = value * other.factor, max(decimals + other.decimals, 0)
        form = f"{'+' if sign else ''}{'' if decimals is None else f'.{decimals}'}"
        text = f"{value:{form}{'g' if decimals is None else 'f'}}"
        text = text.lstrip("-") if float(text) == 0.0 and not sign else text
        return text.replace(".", ",") if self._decimal_comma else text

    def quantity(
        self, value: float, unit: str, decimals: int | None = 0, *, sign: bool = False
    ) -> str:
        """Return a metric value with the unit that is written."""
        number = self.number(value, unit, decimals, sign=sign)
        written = self.unit(unit)
        return f"{number}{written}" if written == "°" else f"{number} {written}".strip()

    def grouped(self, count: int) -> str:
        """Return a whole number with its thousands apart."""
        text = f"{count:,}"
        return text.replace(",", "\N{NARROW NO-BREAK SPACE}") if self._decimal_comma else text

    @property
    def _decimal_comma(self) -> bool:
        return _decimal_mark(self.language) == ","

    def typed(self, text: str) -> str:
        """Return a number that somebody typed, with a point for the language's own decimal mark."""
        return text.replace(",", ".") if self._decimal_comma else text

    def clock(self, at_us: int, *, tenths: bool = False, hours: bool = False) -> str:
        """Return a moment in microseconds as `1:05` or `1:05.2`, or with its hours as `1:01:05.2`."""
        minutes, left = divmod(at_us // (US // 10), 600)
        seconds = self.number(left / 10, decimals=1) if tenths else f"{left // 10}"
        within = f"{seconds:0>{4 if tenths else 2}}"
        if hours and minutes >= 60:
            return f"{minutes // 60}:{minutes % 60:02d}:{within}"
        return f"{minutes}:{within}"

    def metric(self, value: float, unit: str) -> float:
        """Return a value that somebody typed in the reader's unit, in the metric unit."""
        other = self._other(unit)
        return value / other.factor if other else value


def bracketed(english: str) -> str:
    """Return every word of a phrase in brackets; its gaps stay as they are."""
    return _WORD.sub(lambda w: w[0] if w[0].startswith("{") else f"[{w[0]}]", english)


ENGLISH: Final = Reader()
PSEUDO: Final = Reader(PSEUDO_LANGUAGE)
