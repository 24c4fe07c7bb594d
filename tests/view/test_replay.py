"""A record is played in the window to any moment of it, and each moment is what it was."""

import pytest

from sim.errors import RecordError
from sim.session.opening import open_recorded
from sim.view.pages.replay_page import ReplayPage
from sim.view.play.player import player_from

from .conftest import person_at


def _record(person, tmp_path):
    return next(tmp_path.glob("records/*.jsonl"))


@pytest.fixture
def recorded(tmp_path):
    """A short run: power up, raise the head, be refused, look at something; recorded and debriefed."""
    person = person_at()
    person.click("pick.rail-posts")
    person.play.paused = True
    person.play.go("console")
    person.play.paused = True
    person.wait(1)
    person.strike("1")
    person.wait(1)
    person.power_up_from_isolator()
    person.wait(1)
    person.key_down("y")
    person.wait(0.25)
    person.key_up("y")
    person.wait(0.1)
    person.strike("q")
    person.play.inspect("jaw-gaps")
    person.wait(2)
    person.click("bar.finish")
    person.click("ask.yes")
    return person


def test_the_debrief_leads_to_the_replay_and_back(recorded):
    recorded.click("debrief.replay")
    page = recorded.app.stage.page
    assert isinstance(page, ReplayPage)
    assert page.player.now_us == 0
    recorded.click("replay.done")
    assert recorded.app.stage.page.name == "debrief"


def test_a_moment_is_the_same_whichever_way_one_comes_to_it(recorded, tmp_path):
    path = _record(recorded, tmp_path)
    straight, roundabout = player_from(path), player_from(path)
    straight.seek(3_200_000)
    for time_us in (500_000, 20_000_000, 3_100_000, 1_000_000, 3_200_000):
        roundabout.seek(time_us)
    assert straight.now_us == roundabout.now_us == 3_200_000
    assert straight.session.saw.digest() == roundabout.session.saw.digest()
    assert "head.raise" in straight.session.saw.held


def test_the_end_of_a_replay_is_the_end_of_the_run(recorded, tmp_path):
    player = player_from(_record(recorded, tmp_path))
    player.seek(player.end_us)
    assert player.over
    done = recorded.app.stage.page.debrief
    assert [(e.at_us, e.message) for e in player.events] == [
        (e.at_us, e.message) for e in done.timeline
    ]


def test_playing_in_small_steps_is_playing_at_once(recorded, tmp_path):
    path = _record(recorded, tmp_path)
    player, other = player_from(path), player_from(path)
    while not player.over:
        player.seek(player.now_us + 16_667)
    other.seek(other.end_us)
    assert player.session.saw.digest() == other.session.saw.digest()


def test_the_scrubber_is_dragged_clicked_and_keyed(recorded):
    recorded.click("debrief.replay")
    page = recorded.app.stage.page
    page.paused = True
    recorded.click("replay.scrubber")
    assert 0.4 * page.player.end_us < page.player.now_us < page.player.end_us
    recorded.strike("home")
    assert page.player.now_us == 0
    recorded.strike("page up")
    assert page.player.now_us == page.player.end_us
    recorded.strike("left")
    assert page.player.now_us < page.player.end_us
    recorded.strike("end")
    assert page.player.over
    recorded.click("replay.event.0")
    assert page.player.now_us == page.player.events[0].at_us


def test_a_record_that_was_cut_is_played_as_far_as_it_goes(recorded, tmp_path):
    path = _record(recorded, tmp_path)
    lines = path.read_text().splitlines(keepends=True)
    cut = tmp_path / "cut.jsonl"
    cut.write_text("".join(lines[:-3]))
    player = player_from(cut)
    assert 0 < player.end_us < player_from(path).end_us
    player.seek(player.end_us)
    assert player.over


def test_a_record_that_was_changed_is_refused(recorded, tmp_path):
    path = _record(recorded, tmp_path)
    changed = tmp_path / "changed.jsonl"
    changed.write_text(path.read_text().replace("head.raise", "head.lower", 1))
    with pytest.raises(RecordError):
        player_from(changed)


def test_what_follows_a_seal_that_nothing_opens_is_told_and_not_played(tmp_path):
    path = tmp_path / "killed.jsonl"
    session = open_recorded("posts-come-out-short", path)
    session.press("supply.isolator")
    session.inspect("air-gauge")
    session.instructor.put_in("air-cock-shut")
    session.advance(60)
    session.inspect("air-gauge")

    player = player_from(path)
    player.seek(player.end_us)

    assert player.end_us == 10_000_000
    assert player.over
    assert "air-cock-shut" not in [fault.name for fault in player.session.hidden]
    assert "the instructor put a fault in" in str(player.not_played)
    played = [str(event.message) for event in player.events if event.kind == "finding"]
    told = [str(event.message) for event in player.as_recorded if event.kind == "finding"]
    assert [text for text in played if "6.0 bar" in text] == played
    assert len(told) == 1
    assert "0.0 bar" in told[0]
    session.close()
    whole = player_from(path)
    assert not whole.not_played
    assert not whole.as_recorded
    assert whole.end_us > 70_000_000


def test_the_page_of_a_replay_says_from_where_on_nothing_is_played(recorded, tmp_path):
    path = tmp_path / "killed.jsonl"
    session = open_recorded("posts-come-out-short", path)
    session.inspect("air-gauge")
    session.instructor.put_in("air-cock-shut")
    session.inspect("air-gauge")
    recorded.app.stage.show(ReplayPage(player_from(path), lambda: None))
    recorded.frame()

    words = recorded.app.stage.by_name["replay.not-played"].label
    assert "which one, only the closing line tells" in words
    assert "replay.recorded.0" in recorded.app.stage.by_name
