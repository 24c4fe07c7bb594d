"""What escapes the pseudo-language: words that never went through a reader."""

import re

_TOLD = re.compile(r"\[[^][\s]*\]|«[^»]*»")
_WORD = re.compile(r"[^\W\d_]+")
# The symbol of a unit is the same in every language; it stands after its number.
_UNIT = re.compile(r"(?<=\d )(?:mm/min|m/min|min|mm|m|bar|MPa|kN|N|kW|A|V|s|h|l|um|kg)(?!\w)")


def escaped(text: str) -> list[str]:
    """Return the words of a text that stand neither in brackets nor in « »."""
    joined = re.sub(r"\s+", " ", text)  # a name may be folded over two lines
    return _WORD.findall(_TOLD.sub(" ", _UNIT.sub("", joined)))
