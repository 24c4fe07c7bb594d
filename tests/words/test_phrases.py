"""The lists of phrases hold what is said and nothing else: each phrase is used, each label is there."""

import ast
import re
from pathlib import Path

import pytest

import sim
from sim.resources import shipped
from sim.scenario.library import materials_path, shifts
from sim.scenario.metals import read_materials
from sim.session.opening import library_entries
from sim.session.shift.opening import read_shift_at
from sim.words.message import ROWS
from sim.words.phrases import CONTEXT

from .phrase_order import SCENARIO, SEVERAL, in_order, lists, phrases, sections
from .test_spanish import _load_every_wing, _words_of

LISTS = lists()
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


def entry_of(context, english, plural="", *, spoken):
    """Return the key of the entry that the reader is told, or nothing where there is none."""
    own = f"{context}{CONTEXT}{english}" + (f"\0{plural}" if plural else "")
    return own if own in spoken else english if english in spoken else ""


def told_by_shift(path):
    """Yield the texts of a shift of orders."""
    shift = read_shift_at(path)
    costs = shift.costs
    yield from (shift.title, shift.brief)
    for each in (costs.wage_per_h, costs.bar_per_kg, costs.band, costs.remnant_from_mm):
        if each is not None:
            yield each.source


def told_by(scenario):
    """Yield the texts of a scenario."""
    yield from (scenario.title, scenario.summary, scenario.report, scenario.brief, scenario.teaches)
    for step in scenario.steps:
        yield from (step.ask, step.why, step.hint, step.caution)


@pytest.fixture(params=LISTS, ids=lambda path: path.name)
def kept(request):
    """Return the text of a list that ships."""
    return request.param.read_text(encoding="utf-8")


def test_a_language_is_one_file():
    names = [path.name for path in (shipped("art") / "locale").iterdir()]

    assert "es.po" in names
    assert not [name for name in names if not re.fullmatch(r"[a-z]{2,3}\.po", name)]


def test_no_phrase_is_kept_that_nothing_says(kept):
    spoken = {each for section in sections(kept) for each in phrases(section)}
    used = {entry_of(*each, spoken=spoken) for each in said()}
    units = {f"unit{CONTEXT}{each}" for each in constants()}
    in_tables = constants(*BY_TABLES)
    left = [
        each
        for section in sections(kept)
        if not section.title.startswith(SCENARIO)
        for each in phrases(section)
        if each not in used | units and each.rpartition(CONTEXT)[2] not in in_tables
    ]
    assert not left, f"nothing says these: {left}"


def test_no_translation_is_kept_of_a_scenario_that_is_gone(kept):
    told = {name: {*told_by(scenario)} for name, scenario in library_entries()}
    told |= {name: {*told_by_shift(path)} for name, path in shifts()}
    for section in sections(kept):
        if section.title.startswith(SCENARIO):
            name = section.title.removeprefix(SCENARIO)
            assert not phrases(section).keys() - told[name], name


def test_every_text_of_a_shift_has_its_spanish(kept):
    spoken = {each for section in sections(kept) for each in phrases(section)}
    told = {each for _, path in shifts() for each in told_by_shift(path)}

    assert len(told) >= 3
    assert not sorted(told - spoken)


def test_every_label_has_its_spanish(kept):
    spoken = {each for section in sections(kept) for each in phrases(section)}
    assert not [each for each in labels() if each[1] and not entry_of(*each, spoken=spoken)]


def test_every_skill_and_metal_has_its_own_words(kept):
    spoken = {each for section in sections(kept) for each in phrases(section)}
    said_so = {skill for _, scenario in library_entries() for skill in scenario.skills}
    said_so |= {metal.source for metal in read_materials(materials_path()).values()}

    assert not sorted(said_so - spoken)


def test_the_window_says_literals_and_messages_only():
    odd = [
        f"{path.name}:{line}"
        for path, tree in _trees("view")
        for line, _, literal in _said_in(tree)
        if not literal
    ]
    assert not odd


def test_no_translation_is_empty_or_has_another_beside_it(kept):
    seen = {}
    for section in sections(kept):
        for each, translated in phrases(section).items():
            assert translated, f"{each!r} is empty"
            assert each not in seen, f"{each!r} stands under {seen[each]} and {section.title}"
            seen[each] = section.title


def test_a_list_is_in_order(kept):
    assert kept == in_order(kept), "`python -m tests.words.phrase_order` puts it in order"


def test_the_sections_of_a_list_are_those_of_the_wings_and_scenarios(kept):
    wings = {each.stem for each in ROOT.iterdir() if not each.name.startswith("_")}
    scenarios = {f"{SCENARIO}{name}" for name, _ in (*library_entries(), *shifts())}
    titles = [section.title for section in sections(kept)]

    assert titles[0] == ""
    assert SEVERAL in titles
    assert {*titles} - {"", SEVERAL} <= wings | scenarios
    assert len(titles) == len({*titles})


def test_entries_are_put_in_order_within_their_section_and_a_scenario_stays_as_it_is_read():
    a, b, c = (
        'msgid "a"\nmsgstr "1"',
        'msgctxt "k"\nmsgid "a"\nmsgstr "2"',
        '# why\nmsgid "z"\nmsgstr "3"',
    )
    mixed = f"# == view\n\n{c}\n\n# == cli\n{b}\n\n{a}\n\n# == scenario x\n\n{c}\n\n{a}\n"
    ordered = f"# == view\n\n{c}\n\n# == cli\n\n{a}\n\n{b}\n\n# == scenario x\n\n{c}\n\n{a}\n"

    assert in_order(mixed) == ordered
    assert in_order(ordered) == ordered
