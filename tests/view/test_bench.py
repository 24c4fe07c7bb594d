"""The logic bench in the window: why not, rungs, force and jumper with their warning, trace."""

import pygame
import pytest

from sim.errors import CommandError
from sim.logic.bench.rungs import every_rung, image_of
from sim.records.acts import Asked
from sim.resources import shipped
from sim.teaching.way_out import fresh_saw
from sim.view.console.banner import banner_height
from sim.view.pages import tabs
from sim.view.pages.picture_of_run import save_shot
from sim.view.pages.replay_page import ReplayPage
from sim.view.sheets.rung_picture import wired_of
from sim.view.sheets.state_lanes import stretches
from sim.words.reader import ENGLISH, Reader
from sim.words.speech import read_by, tell

from .conftest import TABS, person_at


@pytest.fixture
def at_the_bench(at_the_posts):
    at_the_posts.strike("f9")
    return at_the_posts


def _labels(person, prefix):
    person.frame()
    return [w.label for w in person.app.stage.tree.walk() if w.name.startswith(prefix)]


def test_why_not_names_device_hazard_and_a_way_that_was_tried(at_the_bench):
    at_the_bench.click("why.key.band.run")
    told = " ".join(_labels(at_the_bench, "why."))
    assert "There is no control power." in told
    assert "Q0 (I0.0, A1:0) is off (on means the isolator is on)" in told
    assert "a part that sets off by itself when the power comes on" in told
    at_the_bench.click("why.way")
    way = _labels(at_the_bench, "why.way.")
    assert way[0] == "The shortest way, tried on a copy of this saw:"
    assert "work on the Console (F2)" in " ".join(_labels(at_the_bench, "why.console"))
    assert way[-1].endswith("Press BAND run, then both palm keys together.")


def test_what_stands_against_a_key_goes_away_as_the_machine_changes(at_the_bench):
    at_the_bench.click("why.key.cutting_vise.clamp")
    assert any("no control power" in words for words in _labels(at_the_bench, "why."))
    at_the_bench.session.press("supply.isolator")
    at_the_bench.session.tap("supply.reset")
    at_the_bench.session.tap("supply.control_on")
    for _ in range(8):  # it looks now and then
        at_the_bench.frame()
    assert "Nothing blocks it." in _labels(at_the_bench, "why.")


def test_the_bench_opens_on_the_key_that_was_just_refused(at_the_posts):
    at_the_posts.click("key.head.raise")
    at_the_posts.strike("f9")
    assert at_the_posts.play.bench.asked == "head.raise"


def test_in_a_drill_the_bench_asks_nothing_that_nobody_asked():
    person = person_at(scenario="posts-come-out-short")
    person.strike("f9")
    told = _labels(person, "why.choose")
    asked = [act for act in person.session.done.acts if isinstance(act, Asked)]
    assert told == ["Choose a key. That you asked stands on the record."]
    assert not asked

    person.click("why.key.band.run")
    person.frame()
    asked = [act.name for act in person.session.done.acts if isinstance(act, Asked)]
    assert asked == ["band.run"]


def test_in_practice_the_bench_opens_on_the_band():
    person = person_at(scenario="rail-posts")
    person.strike("f9")
    assert person.play.bench.asked == "band.run"
    assert not _labels(person, "why.choose")


def test_in_an_assessment_no_way_out_is_offered(tmp_path):
    drill = shipped("scenarios") / "drills" / "posts-come-out-short.yaml"
    asked = tmp_path / "asked.yaml"
    asked.write_text(drill.read_text("utf-8").replace("mode: drill", "mode: assessment"), "utf-8")
    person = person_at(scenario=str(asked))
    assert person.session.scenario.mode == "assessment"
    person.strike("f9")
    assert "why.key.band.run" in person.app.stage.by_name
    assert "why.way" not in person.app.stage.by_name


def test_a_rung_is_painted_anew_when_power_comes_to_it(at_the_bench):
    at_the_bench.click("bench.part.rungs")
    site = wired_of(at_the_bench.play)
    rung = next(row for row in every_rung(site) if row.coil == "K1")
    widget = at_the_bench.widget("rung.K1")
    before = widget.face()
    assert not rung.holds(image_of(at_the_bench.session.saw.controller))
    at_the_bench.session.press("supply.isolator")
    at_the_bench.session.tap("supply.reset")
    at_the_bench.session.tap("supply.control_on")
    assert widget.face() != before
    assert rung.holds(image_of(at_the_bench.session.saw.controller))


def test_a_force_is_in_the_log_and_warned_of_on_every_sheet_until_it_is_out(at_the_bench):
    at_the_bench.click("bench.part.meddle")
    at_the_bench.click("force.B11.on")
    assert at_the_bench.session.saw.bus.seen["B11"]
    assert at_the_bench.session.done.acts[-1].kind == "force"
    for tab in (*TABS, "bench", "instructor"):
        at_the_bench.play.go(tab)
        at_the_bench.play.paused = True
        seen = at_the_bench.widget("banner").seen
        assert seen.height >= 24
        assert seen.width > 0.9 * at_the_bench.app.surface.get_width()
    at_the_bench.click("banner")  # leads to where it can be taken out
    assert at_the_bench.play.tab == "bench"
    at_the_bench.click("force.B11.free")
    at_the_bench.frame()
    assert "banner" not in at_the_bench.app.stage.by_name
    assert len(at_the_bench.session.done.meddled) == 2


def test_a_wire_to_force_is_told_and_found_by_where_it_is_wired(at_the_bench):
    at_the_bench.click("bench.part.meddle")
    label = next(iter(_labels(at_the_bench, "force.B11.words")))

    assert label.startswith("B11 (I5.2, A3:10)")
    at_the_bench.play.bench.search.text = "a3:10"
    at_the_bench.frame()
    assert "B11 (I5.2, A3:10)" in _words_of_the_found(at_the_bench)


def _words_of_the_found(person):
    person.play.go("brief")
    person.play.go("bench")
    found = _labels(person, "force.")
    assert not [label for label in found if label.startswith("S1 (")]
    return " ".join(found)


def test_a_jumper_lets_through_what_its_interlock_refuses(at_the_bench):
    at_the_bench.click("bench.part.meddle")
    at_the_bench.click("jumper.I4.in")
    assert "I4" in str(at_the_bench.session.bench.banner)
    assert banner_height(at_the_bench.app.stage.kit, 800, at_the_bench.session.bench) > 0
    at_the_bench.click("jumper.I4.out")
    assert banner_height(at_the_bench.app.stage.kit, 800, at_the_bench.session.bench) == 0


def test_the_warning_stands_in_the_replay_while_it_stood_in_the_run(at_the_bench):
    at_the_bench.wait(5)
    at_the_bench.play.force("B11", True)
    at_the_bench.wait(5)
    at_the_bench.play.force("B11", None)
    at_the_bench.wait(5)
    at_the_bench.app.replay(at_the_bench.session)
    page = at_the_bench.app.stage.page
    assert isinstance(page, ReplayPage)
    for at_s, warned in ((3, False), (7, True), (12, False)):
        page.go_to(at_s * 1_000_000)
        at_the_bench.frame()
        assert ("banner" in at_the_bench.app.stage.by_name) is warned


def test_in_a_drill_there_is_nothing_to_force(at_short_posts):
    at_short_posts.strike("f9")
    at_short_posts.click("bench.part.meddle")
    assert not _labels(at_short_posts, "force.")
    assert _labels(at_short_posts, "meddle.none")


def test_a_forced_run_plays_again_to_the_same_state(at_the_bench):
    at_the_bench.play.force("B11", True)
    at_the_bench.wait(2)
    session = at_the_bench.session
    again = fresh_saw(session)
    assert again.bus.forced == {"B11": True}
    assert again.digest() == session.saw.digest()


def test_a_lane_tells_a_machines_states_of_the_last_minute(at_the_bench):
    session = at_the_bench.session
    at_the_bench.wait(10)
    session.press("supply.isolator")
    at_the_bench.wait(20)
    session.tap("supply.reset")
    at_the_bench.wait(10)
    session.tap("supply.control_on")
    at_the_bench.wait(5)
    lanes = list(stretches(session.trace, "supply", session.saw.clock.now_us))
    assert [state for *_, state in lanes] == ["ON", "OFF", "TRIPPED", "DEAD"]
    assert lanes[0][:2] == pytest.approx((5.0, 0.0))
    assert lanes[1][:2] == pytest.approx((15.0, 5.0))
    assert lanes[2][:2] == pytest.approx((35.0, 15.0))
    at_the_bench.wait(100)
    lanes = list(stretches(session.trace, "supply", session.saw.clock.now_us))
    assert lanes == [(60.0, 0.0, "ON")]
    at_the_bench.click("bench.part.trace")
    assert "lane.supply" in at_the_bench.app.stage.by_name


def test_the_warning_is_said_in_spanish(at_the_bench):
    session = at_the_bench.session
    session.bench.force("B11", True)
    session.bench.force("Y11", False)
    session.bench.jumper("I4")
    session.bench.jumper("head.lower B33")
    read_by(Reader("es"))
    try:
        words = tell(session.bench.banner)
    finally:
        read_by(ENGLISH)
    assert words.startswith("AVISO: B11 está forzada a activa; Y11 está forzada a inactiva; ")
    assert "jumper" not in words
    assert "hay un puente sobre I4; hay un puente sobre parte de I6" in words


@pytest.mark.parametrize("tab", tabs.SHEETS)
def test_a_picture_can_be_had_of_every_sheet(tab, tmp_path):
    path = tmp_path / "saw.png"
    save_shot("rail-posts", path, at="0", size="800x600", text_percent=100, tab=tab)
    assert pygame.image.load(path).get_size() == (800, 600)


def test_a_sheet_that_there_is_not_is_refused_with_those_that_there_are(tmp_path):
    with pytest.raises(CommandError, match="brief, console, walk"):
        save_shot(
            "rail-posts", tmp_path / "saw.png", at="0", size="800x600", text_percent=100, tab="no"
        )
