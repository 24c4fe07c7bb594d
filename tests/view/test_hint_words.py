"""A drill's hint that is asked again says in the window how it is done there, and nothing that is typed."""

import re

import pytest

from sim.debrief.debrief import debrief
from sim.session import typed
from sim.session.kept.told import TYPED_ACTS
from sim.session.opening import library_entries, open_session
from sim.view.pages import tabs
from sim.view.pages.debrief_page import DebriefPage
from sim.view.play import step_hint
from sim.view.play.typed_words import in_window
from sim.words.speech import tell

from .conftest import person_at

DRILLS = [name for name, each in library_entries() if each.mode == "drill"]
_TYPED = re.compile(r"\b[Tt]yped\b|\bfaults\b|\bNAME\b|\b[a-z]+(_[a-z]+)*\.[a-z]+(_[a-z]+)*\b")


def test_the_hint_that_is_asked_again_names_sheets_and_keys():
    person = person_at(scenario="posts-come-out-short")
    person.play.hint()
    person.play.hint()
    _, said = person.play.coach()
    assert "On Inspect: " in said
    assert not _TYPED.search(said), said
    assert (
        person.session.done.hints[-1].message["acts"].row is TYPED_ACTS
    )  # on the record it is as ever


@pytest.mark.sampled(5)
@pytest.mark.parametrize("name", DRILLS)
def test_whatever_a_hint_has_typed_has_its_words_in_the_window(name):
    session = open_session(name, nonce="for tests")
    hidden = [fault.name for fault in session.hidden]
    listed = [typed.NAME_IT, typed.END_IT, typed.powering_up(session), typed.cutting(session)]
    for fault in hidden:
        session.diagnose(fault)
    listed.append(typed.proving(session))
    for acts in listed:
        said = tell(in_window(acts))
        assert said.startswith("On ")
        assert not _TYPED.search(said), said


def test_the_sheet_where_a_cause_is_named_is_called_as_its_tab():
    assert tell(step_hint.DIAGNOSE) == tell(tabs.SHEETS["diagnose"].title)


def test_the_debrief_in_the_window_tells_hints_in_its_own_words_too():
    person = person_at(scenario="posts-come-out-short")
    person.play.hint()
    person.play.hint()
    page = DebriefPage(debrief(person.session), None, lambda: None, None, None)
    for part in ("safety", "line"):
        page.show(part)
        person.app.stage.show(page)
        person.frame()
        told = " ".join(widget.label for widget in person.app.stage.by_name.values())
        assert "On Inspect: " in told, part
        assert "Typed" not in told, part
