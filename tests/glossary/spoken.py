"""What the program says to who learns, and which of its words are neither in the glossary nor everyday words.

    python -m tests.glossary.spoken en      lists them, so that each can be given its row or called everyday

Of what is typed (keys, set points, looks, steps) the tables tell; it is taken out first.
"""

import re
import sys
from functools import cache
from pathlib import Path

from sim.authoring.said import trigger
from sim.glossary import found_in
from sim.glossary.derived import names_of
from sim.plant.set_points import SET_POINTS
from sim.session.opening import library_entries
from sim.words.message import ROWS
from sim.words.reader import Reader, phrases_of
from tests.words.test_spanish import _load_every_wing, _spanish, _words_of

# On the console; what coach, slips, hints, card and cautions say, `sim.authoring.said` lists.
ON_THE_CONSOLE = (
    "lamp.", "console.band", "console.coolant", "console.cutting-vise", "console.enable", "console.head",
    "console.job", "console.mode", "console.palm", "console.part", "console.shuttle", "console.supply",
)  # fmt: skip
_WORD = re.compile(r"[^\W\d_]+(?:[-'][^\W\d_]+)*")
_GAP = re.compile(r"\{\w+\}")


def told_by_lessons():
    """Yield place and English of every text of every lesson that ships."""
    for name, scenario in library_entries():
        if scenario.mode != "lesson":
            continue
        for field in ("title", "summary", "report", "brief", "teaches"):
            if text := getattr(scenario, field):
                yield f"{name}: {field}", text
        for number, step in enumerate(scenario.steps, 1):
            for field in ("ask", "why", "hint", "caution"):
                if text := getattr(step, field):
                    yield f"{name}: step {number}, {field}", text


def told_by_rows():
    """Yield row and English of everything that the console's rows and those of the coach and his kin say."""
    _load_every_wing()
    for key, row in ROWS.items():
        if key.startswith(ON_THE_CONSOLE) or trigger(key) is not None:
            for english in (*_words_of(row), row.plural):
                if english:
                    yield row, english


def said(language):
    """Yield place and text, in a language, of what lessons and the saw say."""
    for place, english in told_by_lessons():
        yield place, english if language == "en" else phrases_of(language)[english]
    for row, english in told_by_rows():
        text = english if language == "en" else _spanish(row, english, language) or ""
        yield row.key, text.replace("\0", " ")


@cache
def _typed():
    """Return the pattern of what is typed as it stands: names with a sign in them, and the words of set points."""
    signs = re.compile(r"[-._]|[A-Z]\d")
    names = [name for name in names_of() if signs.search(name)]
    names += [word for point in SET_POINTS for word in point.words if " " in word]
    each = "|".join(map(re.escape, sorted(names, key=len, reverse=True)))
    return re.compile(rf"(?<![\w.-])(?:{each})(?![\w-])")


@cache
def _typed_words():
    """Return names that are one plain word, and are typed as they stand in every other language too."""
    names = {name.lower() for name in names_of() if name.isalpha()}
    return names | {word for point in SET_POINTS for each in point.words for word in each.split()}


def unexplained(text, language):
    """Return the words of a text that are no glossary's and are not typed, in small letters."""
    bare = _typed().sub(" ", _GAP.sub(" ", text))
    for found in reversed(found_in(bare, Reader(language))):
        bare = f"{bare[: found.start]} {bare[found.end :]}"
    left = {word.lower() for word in _WORD.findall(bare)}
    return left - _typed_words() if language != "en" else left


def everyday(language):
    """Return the everyday words of a language."""
    path = Path(__file__).with_name(f"everyday.{language}.txt")
    return set(path.read_text(encoding="utf-8").split())


if __name__ == "__main__":
    language = sys.argv[1]
    left = {word for _, text in said(language) for word in unexplained(text, language)}
    if "--all" not in sys.argv:
        left -= everyday(language)
    print("\n".join(sorted(left)))
