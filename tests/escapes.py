"""What escapes the pseudo-language: words that never went through a reader."""

import re

_TOLD = re.compile(r"\[[^][\s]*\]|«[^»]*»")
_WORD = re.compile(r"[^\W\d_]+")


def escaped(text: str) -> list[str]:
    """Return the words of a text that stand neither in brackets nor in « »."""
    joined = re.sub(r"\s+", " ", text)  # a name may be folded over two lines
    return _WORD.findall(_TOLD.sub(" ", joined))
