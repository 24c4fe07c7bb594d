"""The lists of phrases hold what is said and nothing else: each phrase is used, each label is there."""

import ast
from pathlib import Path

import sim
from sim.resources import shipped
from sim.scenario.library import materials_path
from sim.scenario.metals import read_materials
from sim.session.opening import library_entries
from sim.words.message import ROWS
from sim.words.phrases import CONTEXT, read_phrases
from sim.words.reader import phrases_of

from .test_spanish import _load_every_wing, _words_of

SPANISH = phrases_of("es")
LISTS = sorted((shipped("art") / "locale").glob("es*.po"))
SCENARIOS = "es.scenarios.po"  # the view's tests hold it to the scenarios that ship
ROOT = Path(sim.__file__).parent
BY_TABLES = ("debrief", "text")  # wings that say the labels of their tables by `say(label)`


def _trees(*wings):
    for path in sorted(ROOT.rglob("*.py")):
        if not wings or path.relative_to(ROOT).parts[0] in wings:
            yield path, ast.parse(path.read_text(encoding="utf-8"))


def _said_in(tree):
    """Yield line, arguments and whether all are literals of every call of `say`."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "say":
            told = [each.value for each in node.args if isinstance(each, ast.Constant)]
            yield node.lineno, told, len(told) == len(node.args)


def labels():
    """Yield context and English of every literal that the edge says."""
    for _, tree in _trees():
        for _, told, literal in _said_in(tree):
            if literal:
                yield (told[1] if len(told) > 1 else ""), told[0]


def constants(*wings):
    """Return every string in the code of some wings."""
    return {
        node.value
        for _, tree in _trees(*wings)
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }


def said():
    """Yield context, English and plural of everything that can be said by its own words."""
    _load_every_wing()
    for key, row in ROWS.items():
        if not key.startswith("test."):
            for english in _words_of(row):
                yield key, english, row.plural if english == row.template else ""
    yield from ((context, english, "") for context, english in labels())
    for _, scenario in library_entries():
        yield from (("", skill, "") for skill in scenario.skills)
    for metal in read_materials(materials_path()).values():
        yield from (("", metal.title, ""), ("", metal.source, ""))


def entry_of(context, english, plural=""):
    """Return the key of the entry that the reader is told, or nothing where there is none."""
    own = f"{context}{CONTEXT}{english}" + (f"\0{plural}" if plural else "")
    return own if own in SPANISH else english if english in SPANISH else ""


def test_no_phrase_is_kept_that_nothing_says():
    used = {entry_of(*each) for each in said()}
    units = {f"unit{CONTEXT}{each}" for each in constants()}
    in_tables = constants(*BY_TABLES)
    for path in LISTS:
        if path.name == SCENARIOS:
            continue
        left = [
            each
            for each in read_phrases(path)
            if each not in used | units and each.rpartition(CONTEXT)[2] not in in_tables
        ]
        assert not left, f"nothing says these of {path.name}: {left}"


def test_every_label_has_its_spanish():
    assert not [each for each in labels() if each[1] and not entry_of(*each)]


def test_the_window_says_literals_and_messages_only():
    odd = [
        f"{path.name}:{line}"
        for path, tree in _trees("view")
        for line, _, literal in _said_in(tree)
        if not literal
    ]
    assert not odd


def test_no_translation_is_empty_or_has_another_beside_it():
    seen = {}
    for path in LISTS:
        for each, spanish in read_phrases(path).items():
            assert spanish, f"{each!r} of {path.name} is empty"
            assert not each or seen.setdefault(each, spanish) == spanish, (each, path.name)
