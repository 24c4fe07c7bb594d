"""A counterexample is played in the window on a live controller, by mouse and by keyboard."""

import pytest

from sim.bugs import TableError
from sim.control.interlocks import PERMISSIVES
from sim.control.table import TABLES
from sim.logic.proof.each import rows_of
from sim.logic.proof.example import Example, Stride
from sim.logic.proof.memory import QUESTIONS
from sim.logic.proof.moves import TOUCH, Scope, moves
from sim.logic.proof.proof import Finding
from sim.logic.proof.properties import PROGRESS, PROPERTIES
from sim.logic.proof.rehearsal import Rehearsal
from sim.view.pages.example_parts import stands_at
from sim.view.play.example_player import ExamplePlayer
from sim.view.play.move_words import move_clause
from sim.words.reader import ENGLISH
from sim.words.speech import read_by

from .conftest import broken_by_jumper, person_at

I4 = rows_of("I4")


@pytest.fixture
def shown():
    """Somebody at the page of the shuttle that drives into the band when I4 is jumpered."""
    person = person_at()
    person.app.show_example(broken_by_jumper(), I4)
    person.frame()
    yield person
    read_by(ENGLISH)


def _drawn(person):
    """Return every text that is drawn on the page as it stands."""
    texts = []
    stage = person.app.stage
    stage.kit.letters.watcher = lambda drawn, _surface: texts.append(drawn.text)
    stage.resize(stage.surface, stage.kit)
    stage.frame()
    stage.kit.letters.watcher = None
    return texts


def test_stepping_to_the_end_shows_the_broken_property_and_the_hazard_of_the_table(shown):
    page = shown.app.stage.page
    said = []
    for number in range(page.player.moves):
        assert not page.player.broken, number
        shown.click("example.next")
        said.append(shown.widget("example.now").label)

    row = PROPERTIES["into the band"]
    hazard = next(one.hazard for one in PERMISSIVES if one.number == "I4")
    assert page.player.broken
    assert row.broken_by(page.player.rehearsal.state)
    assert said[0].startswith("Move 1 of 8.")
    assert said[-1] == f"The live controller has broken it. The hazard: {hazard}."
    assert str(row.sentence) in _drawn(shown)
    shown.click("example.next")
    assert page.player.made == page.player.moves


def test_the_states_that_are_shown_are_those_of_a_live_controller_after_every_move(shown):
    player = shown.app.stage.page.player
    alone = Rehearsal(broken_by_jumper().example, I4)
    before = {table.name: alone.controller.machines[table.name].state for table in TABLES}
    while alone.left:
        alone.step()
        shown.strike("right")
        after = {table.name: alone.controller.machines[table.name].state for table in TABLES}
        assert player.before.states == before
        assert player.now.states == after
        assert {tag for tag in alone.bus.seen if alone.bus.seen[tag]} == player.now.on
        label = shown.widget("example.state.job").label
        changed = before["job"] != after["job"]
        words = [state.replace("_", " ").lower() for state in (before["job"], after["job"])]
        assert label == " ".join(["JOB", *words[: 1 + changed]])
        before = after
    assert player.over


def test_back_is_where_one_was_before(shown):
    player = shown.app.stage.page.player
    seen = [player.now]
    while not player.over:
        shown.strike("right")
        seen.append(player.now)
    while player.made:
        shown.click("example.back")
        seen.pop()
        assert player.now == seen[-1]
        assert player.broken is False
    shown.strike("left")
    assert player.made == 0
    assert str(stands_at(player)).startswith("Before the first move")


def test_keys_and_buttons_do_the_same(shown):
    player = shown.app.stage.page.player
    for key, name, made in (
        ("end", "last", player.moves), ("left", "back", player.moves - 1), ("home", "first", 0),
        ("right", "next", 1),
    ):  # fmt: skip
        shown.strike(key)
        assert player.made == made
        shown.click("example.last" if name in ("first", "back") else "example.first")
        shown.click(f"example.{name}")
        assert player.made == made, name


def test_the_tab_key_reaches_every_button_and_return_presses_it(shown):
    player = shown.app.stage.page.player
    for _ in range(60):
        shown.strike("tab")
        if shown.app.stage.focus == "example.next":
            break
    shown.strike("return")
    shown.strike("return")
    assert player.made == 2


def test_a_click_on_a_move_goes_there_and_it_is_brought_into_sight_when_it_is_played(shown):
    player = shown.app.stage.page.player
    shown.click("example.move.6")
    assert player.made == 6
    shown.strike("end")
    assert shown.widget(f"example.move.{player.moves}").seen.height >= 24


def test_it_plays_one_move_a_second_to_the_end_and_then_stands(shown, monkeypatch):
    page = shown.app.stage.page
    monkeypatch.setattr(page._pacer, "frame_us", lambda: 250_000)
    shown.strike("space")
    assert page.playing
    for _ in range(4):
        assert page.player.made == 0
        shown.app.tick()
    assert page.player.made == 1
    shown.click("example.play")
    for _ in range(8):
        shown.app.tick()
    assert page.player.made == 1
    shown.click("example.play")
    for _ in range(4 * page.player.moves):
        shown.app.tick()
    assert page.player.over
    assert not page.playing
    shown.strike("space")  # once more from the beginning
    assert page.player.made == 0
    assert page.playing


def test_the_jumper_is_warned_of_at_every_move(shown):
    for _ in range(shown.app.stage.page.player.moves + 1):
        shown.frame()
        assert "a jumper is over I4" in " ".join(_drawn(shown))
        shown.strike("right")


def test_done_and_escape_lead_back_to_the_page_before(shown):
    shown.click("example.done")
    assert shown.app.stage.page.name == "home"
    shown.app.show_example(broken_by_jumper(), I4)
    shown.strike("escape")
    assert shown.app.stage.page.name == "home"


def test_a_jumper_on_the_bench_leads_to_what_the_interlock_is_there_for_and_back():
    person = person_at(scenario="11-thin-wall")
    person.play.go("bench")
    person.play.show_part("meddle")
    person.frame()
    assert "purpose.I5" not in person.app.stage.by_name
    person.click("jumper.I5.in")
    person.click("purpose.I5")
    page = person.app.stage.page
    assert page.name == "example"
    assert page.player.numbers == ("I5",)
    stood_us = person.session.saw.clock.now_us
    person.strike("end")
    assert page.player.broken
    for _ in range(3):
        person.app.tick()
    person.strike("escape")
    assert person.app.stage.page.name == "saw"
    assert person.play.tab == "bench"
    assert person.session.saw.clock.now_us == stood_us


def test_a_jumper_that_is_not_in_is_noticed_by_the_live_controller():
    player = ExamplePlayer(broken_by_jumper(), ())
    with pytest.raises(TableError, match="does not do it"):
        player.go_to(player.moves)


def test_a_property_that_holds_has_nothing_to_play():
    with pytest.raises(TableError, match="no example"):
        ExamplePlayer(Finding("guard", "", None), ())


def test_being_stuck_is_told_at_the_end_of_the_way():
    first = Rehearsal(Example({}, ())).state
    way = Example(first, (Stride(TOUCH, (False,) * len(QUESTIONS), first),))
    player = ExamplePlayer(Finding(PROGRESS[0].name, PROGRESS[0].sentence, way), ())
    assert not player.broken
    player.go_to(1)
    assert (
        str(stands_at(player)) == "The live controller has come to where it can never happen now."
    )


def test_every_move_is_told_by_the_words_on_its_key_or_by_its_own():
    told = {move.name: str(move_clause(move)) for move in moves(Scope())}
    assert told["job.reset"] == "press JOB reset"
    assert told["job.start"] == "press JOB start, then both palm keys"
    assert told["head.raise let go"] == "let go of HEAD raise"
    assert told["head.raise"] == "press HEAD raise and keep it down"
    assert told["head.raise dead"] == "press HEAD raise"
    assert told["band.run in MAINTENANCE"] == "press BAND run and keep it down"
    assert told["B11=0"] == "the head leaves B11"
    assert not [words for words in told.values() if "_" in words]
