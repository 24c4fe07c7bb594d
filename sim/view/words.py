"""What the screen says, in the reader's language.

`say` takes the English and returns the language that was chosen. Imports nothing of `sim`.
"""

from gettext import NullTranslations

_chosen: list[NullTranslations] = [NullTranslations()]


def say(english: str) -> str:
    """Return a text in the language that was chosen; the English where there is none."""
    return _chosen[0].gettext(english) if english else ""


def choose(translations: NullTranslations) -> None:
    """Speak another language from now on."""
    _chosen[0] = translations
