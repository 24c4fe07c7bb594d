"""The pages of debrief and class, what is next and what the check says: all in the reader's language.

The pseudo-language brackets every word that went through a reader; what stands outside escaped.
"""

import ast
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from html import unescape
from pathlib import Path

import pytest

from sim import debrief as wing
from sim.authoring.check import proved
from sim.authoring.claims import CLAIMS, SHIFT_CLAIMS
from sim.debrief.class_report import Class, SessionRow, Total, html_of
from sim.debrief.debrief import debrief
from sim.debrief.debrief_html import html
from sim.debrief.progress import Due, due
from sim.diagnosis.mastery import Reason, Standing
from sim.pilot.autopilot import as_found
from sim.session.opening import open_session, read
from sim.words.message import plain
from sim.words.phrases import CONTEXT
from sim.words.reader import Reader, phrases_of
from sim.words.speech import read_by

from .eventful import eventful, few_causes

SPANISH = Reader("es")
FREE = set("ABCDE")  # the letters of the causes in a picture
WHY = plain("test.page.why", "cut short")
ENGLISH = re.compile(
    r"\b(the|is|are|was|were|of|and|to|with|by|at|for|from|look|you|your|cause|lock-out|hands|"
    r"passed|named|nothing|piece|pieces|band|head)\b",
    re.IGNORECASE,
)


@pytest.fixture(scope="module")
def found():
    """Return the debriefs of an eventful drill and of a wreck."""
    with few_causes():
        wreck = open_session("head-stops-short")
        as_found(wreck, 2)
        return [debrief(eventful()), debrief(wreck)]


def a_class():
    """Return a class with one of everything: a name and none, a pass and a fail, a record left out."""
    rows = (
        SessionRow("", "rail-posts", "practice", 100, True, 20.25, 0, 0, "a.jsonl"),
        SessionRow("bench-01", "motor-hums", "drill", 12, False, 3.5, 1, 2, "b.jsonl"),
    )
    people = (Total("", 1, 1, 100.0, 20.25, 0, 0), Total("bench-01", 1, 0, 12.0, 3.5, 1, 2))
    return Class(rows, people, Total("", 2, 1, 56.0, 23.75, 1, 2), (("c.jsonl", WHY),))


def text_of(page):
    """Return what can be read on a page, less names of rows that are cut to fit their picture."""
    text = re.sub(r"<[^>]+>", "\n", re.sub(r"<style>.*?</style>", "", page, flags=re.DOTALL))
    return re.sub(r"[\[«][^\]«»\[\s]*…", "", unescape(text))


@dataclass
class Page:
    """A page as something that is told."""

    make: Callable[[], str]

    def tell(self, reader):
        read_by(reader)
        return text_of(self.make())


def test_no_word_of_a_debrief_escapes_the_readers_language(found, untold):
    for each in found:
        assert set(untold(Page(partial(html, each)))) <= FREE


def test_no_word_of_the_class_page_escapes_the_readers_language(untold):
    assert untold(Page(partial(html_of, a_class()))) == []


def test_a_page_says_which_language_it_is_in(found):
    read_by(SPANISH)

    for page in (html(found[0]), html_of(a_class())):
        assert page.startswith('<!DOCTYPE html>\n<html lang="es">')


def test_a_debrief_is_spanish_for_who_reads_spanish(found):
    read_by(SPANISH)
    for each in found:
        text = text_of(html(each))
        for said in (
            "four <millimetres> & no more",
            "Asked the foreman: <b>no answer</b>",
            "Looks at the wrong side",
        ):
            text = text.replace(said, "")  # what trainee and instructor said

        assert "Causas aún posibles" in text or each is not found[0]
        assert re.search(r"\d,\d minutos simulados", text)
        assert not ENGLISH.findall(re.sub(r"\S*[._-]\S*", "", text))


def test_the_class_page_is_spanish_for_who_reads_spanish():
    read_by(SPANISH)
    text = text_of(html_of(a_class()))

    assert "Nota media" in text
    assert "20,2" in text
    assert "20.2" not in text
    assert not ENGLISH.findall(re.sub(r"\S*[._-]\S*|cut short", "", text))


def test_lengths_on_a_debrief_are_in_the_readers_units(found):
    assert re.search(r"<td>\d+ mm</td>", html(found[1]))
    read_by(Reader("en", inch=True))
    assert re.search(r"<td>\d+\.\d\d in</td>", html(found[1]))


def test_every_label_of_the_pages_has_its_spanish():
    labels = {
        node.args[0].value
        for path in Path(wing.__path__[0]).glob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Name)
        and node.func.id == "label"
        and isinstance(node.args[0], ast.Constant)
    }
    spanish = phrases_of("es")

    assert len(labels) > 80
    assert not {
        each for each in labels if not spanish.get(f"page{CONTEXT}{each}") and not spanish.get(each)
    }


def test_no_word_of_what_is_due_escapes_the_readers_language(tmp_path, untold):
    rows = due(tmp_path)

    assert len(rows) > 40
    assert not [row.skill for row in rows if untold(row.skill)]
    for reason in Reason:
        for standing in Standing:
            row = Due(replace(rows[0].advice, reason=reason, standing=standing), "")
            assert untold(row.why) == untold(row.standing) == []


def unsound():
    """Yield scenarios of which, between them, every claim that can fail does."""
    posts = read("posts-come-out-short")[0]
    yield posts
    yield posts.model_copy(update={"inspections": ("air-gauge",)})
    yield posts.model_copy(update={"faults": ()})
    yield posts.model_copy(update={"ambiguous_with": ("oil-low",)})
    yield posts.model_copy(update={"job": posts.job.model_copy(update={"wanted": 400})})
    yield read("motor-hums")[0]
    lesson = read("02-two-hand-start")[0]
    first, *_, last = lesson.steps
    yield lesson
    yield lesson.model_copy(update={"steps": (first, first, last)})


def test_no_word_of_the_check_escapes_the_readers_language(untold):
    verdicts = [verdict for scenario in unsound() for verdict in proved(scenario)]
    said = [*(verdict.detail for verdict in verdicts), *(claim.title for claim in (*CLAIMS, *SHIFT_CLAIMS)),
            *(claim.what_to_do for claim in (*CLAIMS, *SHIFT_CLAIMS))]  # fmt: skip

    assert len({verdict.claim.title for verdict in verdicts if not verdict.holds}) >= 6
    assert not {str(each): untold(each) for each in said if untold(each)}
