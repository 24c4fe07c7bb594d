"""While hands are at the saw: where they are, for how long, how it is broken off; and what is gathered."""

import pytest

from sim.pilot import autopilot
from sim.session.kept.deeds import Deed
from sim.view.kit.column import KINDS
from sim.view.picture.mannequin import hand_face


@pytest.fixture
def watched(at_the_posts):
    """Somebody at the walk round who watches what hands do."""
    at_the_posts.watches = True
    at_the_posts.play.go("walk")
    at_the_posts.frame()
    return at_the_posts


@pytest.fixture
def band_runs(watched):
    """The same, with the band running in MANUAL and the head up."""
    session = watched.session
    autopilot.power_up(session)
    session.turn("manual")
    session.hold("head.raise", 8)
    session.palms("band.run")
    session.advance(6)
    watched.frame()
    return watched


def _said(person):
    return person.widget("hands.said").face()[0]


def _pass(person, seconds):
    """Let simulated time pass as frames of the window do."""
    person.session.advance(seconds)
    person.play.tick()
    person.frame()


# Gathering --------------------------------------------------------------------------------------


def test_clicks_of_a_step_key_are_gathered_and_set_by_one_act(watched):
    session, deeds = watched.session, len(watched.session.done.all)
    before = session.saw.read("band.tension_mpa")
    for _ in range(5):
        watched.click("walk.band.tension_mpa.more")
    assert session.saw.read("band.tension_mpa") == before
    assert session.now_s == 0
    assert _said(watched) == f"To be set: Band tension, by the hand screw: {before + 25:g} MPa."
    watched.click("hands.do")
    _pass(watched, 20.0)
    assert session.saw.read("band.tension_mpa") == before + 25
    assert len(session.done.all) == deeds + 1


def test_several_settings_are_set_one_after_the_other(watched):
    session = watched.session
    watched.click("walk.cutting_vise.jaw_gap_mm.more")
    watched.click("walk.shuttle_vise.pressure_bar.less")
    watched.click("hands.do")
    assert session.under_way.reach.zone == "cutting_jaws"
    _pass(watched, 14.0)
    assert session.under_way.reach.zone == "outside"
    _pass(watched, 6.0)
    assert session.under_way is None
    names = [each.act.name for each in session.done.all[-2:]]
    assert names == ["cutting_vise.jaw_gap_mm", "shuttle_vise.pressure_bar"]


def test_what_is_turned_back_or_left_is_not_set(watched):
    watched.click("walk.cutting_vise.jaw_gap_mm.more")
    watched.click("walk.cutting_vise.jaw_gap_mm.less")
    assert not watched.play.gathered
    watched.click("walk.cutting_vise.jaw_gap_mm.more")
    watched.click("hands.leave")
    assert not watched.play.gathered
    assert watched.session.done.all == []
    watched.frame()
    assert "hands" not in watched.app.stage.by_name


def test_a_number_that_nobody_has_looked_at_is_gathered_though_it_stands_there(at_short_posts):
    person = at_short_posts
    person.watches = True
    person.play.go("walk")
    person.click("walk.head.stop_notch.more")
    assert person.play.gathered
    person.click("hands.do")
    assert person.play.points.read(_row(person, "head.stop_notch")) is None  # until it is set
    _pass(person, 12.0)
    assert person.play.points.read(_row(person, "head.stop_notch")) is not None


def _row(person, name):
    return next(row for row in person.play.points.rows if row.name == name)


def test_a_dial_of_the_console_is_gathered_too(at_the_posts):
    at_the_posts.watches = True
    at_the_posts.click("job.wanted.more")
    at_the_posts.click("job.wanted.more")
    wanted = at_the_posts.session.saw.read("job.wanted")
    at_the_posts.click("hands.do")
    _pass(at_the_posts, 2.0)
    assert at_the_posts.session.saw.read("job.wanted") == wanted + 2


# At work ----------------------------------------------------------------------------------------


def test_the_strip_and_the_picture_say_where_hands_are_and_for_how_long(watched):
    watched.play.put("band.guide_lock", "slack")
    watched.frame()
    assert _said(watched) == "Guide arm: its lock: slack. On the way there; hands go in in 4 s."
    assert hand_face(watched.session) == ("", False)
    _pass(watched, 5.0)
    said = "Guide arm: its lock: slack. Hands in reach of the band, for 3 s more."
    assert _said(watched).startswith(said)
    assert hand_face(watched.session)[0] == "band"
    _pass(watched, 3.0)
    assert "hands" not in watched.app.stage.by_name
    assert hand_face(watched.session) == ("", False)


def test_hands_that_nothing_protects_are_ringed_in_red(watched):
    session = watched.session
    autopilot.power_up(session)
    session.turn("manual")
    session.hold("head.raise", 8)
    watched.play.put("band.guide_lock", "slack")
    _pass(watched, 5.0)
    assert hand_face(session) == ("band", True)
    assert watched.widget("hands.said").face()[1]
    assert "Nothing keeps the saw from starting" in _said(watched)


def test_time_passes_by_itself_while_hands_are_busy_and_stands_again_after(watched):
    assert watched.play.paused
    watched.play.put("supply.air_bar", 5)
    assert not watched.play.paused
    _pass(watched, 8.0)
    assert watched.play.paused


@pytest.mark.parametrize("way", ["key", "escape"])
def test_an_act_is_broken_off_within_a_second(watched, way):
    watched.play.put("band.guide_lock", "slack")
    _pass(watched, 5.0)
    if way == "key":
        watched.click("hands.break-off")
    else:
        watched.strike("escape")
    _pass(watched, 1.0)
    assert watched.session.under_way is None
    assert watched.session.saw.read("band.guide_lock") == "tight"
    kind, said = watched.play.coach()
    assert kind == "refused"
    assert said == "Broken off: Guide arm: its lock: slack."


def test_another_act_and_another_key_are_refused_meanwhile(watched):
    watched.play.put("band.guide_lock", "slack")
    watched.play.inspect("guide-arm")
    assert watched.play.coach()[0] == "refused"
    assert watched.play.coach()[1].startswith("Your hands are busy: Guide arm")
    watched.play.go("console")
    watched.click("key.supply.isolator")
    assert not watched.session.saw.bus.driven("Q0")
    assert "Your hands are at the saw" in str(watched.play.hands.refused.said)
    assert watched.session.under_way is not None


def test_a_stop_calls_the_hands_back_and_is_pressed_a_second_later(band_runs):
    band_runs.play.put("supply.air_bar", 5)
    _pass(band_runs, 4.0)
    band_runs.strike("f12")
    assert band_runs.session.saw.bus.driven("S1")  # the hands are not back yet
    _pass(band_runs, 1.0)
    assert not band_runs.session.saw.bus.driven("S1")


# A strike ---------------------------------------------------------------------------------------


def test_hands_in_the_running_band_get_a_red_card_and_no_tick(band_runs):
    band_runs.play.put("band.guide_lock", "slack")
    _pass(band_runs, 5.0)
    kind, said = band_runs.play.coach()
    assert KINDS[kind] == ("octagon", "red")
    assert said.startswith("Hands were in reach of the band")
    assert band_runs.widget("wreck.title").label == "Hands at the band"
    assert band_runs.widget("wreck.cost").label == "On a real saw nothing puts that right."
    assert hand_face(band_runs.session) == ("band", True)
    assert isinstance(band_runs.session.done.all[-1], Deed)


def test_a_green_tick_stands_for_success_only():
    assert {kind for kind, look in KINDS.items() if look == ("tick", "green")} == {"step"}
    assert KINDS["consequence"] == ("octagon", "red")
    assert KINDS["unsafe"] == ("cross", "red")


@pytest.mark.parametrize("act", ["power", "hold"])
def test_what_is_refused_has_no_tick(watched, act):
    if act == "power":
        watched.play.put("head.prop", "in")  # the head is down
    else:
        watched.play.lock_out("lock-isolator")
        _pass(watched, 30.0)
        watched.play.lock_out("verify")
        _pass(watched, 60.0)
    assert watched.play.coach()[0] == "refused"


# The lock-out -------------------------------------------------------------------------------------


_STEPS = (
    "tell", "stop", "rest", "infeed.bar_chock", "mode.key", "isolate", "lock-isolator",
    "supply.air_cock", "lock-air", "head.oil_relief", "cutting_vise.oil_relief",
    "shuttle_vise.oil_relief", "verify", "prove-dead", "inspect", "clear", "unlock-air",
    "unlock-isolator", "tell-restored", "ask",
)  # fmt: skip


def test_every_step_of_a_lock_out_and_of_the_way_back_is_on_its_sheet(at_the_posts):
    at_the_posts.play.go("lockout")
    for step in _STEPS:
        assert at_the_posts.see(f"lockout.{step}").label


def _sights(person):
    person.frame()
    tree = person.app.stage.by_name
    return [tree[name].face() for name in tree if name.startswith("lockout.sight.")]


def test_a_whole_lock_out_is_done_on_its_sheet_and_everything_in_sight_says_so(at_the_posts):
    person = at_the_posts
    autopilot.power_up(person.session)
    person.play.go("lockout")
    person.frame()
    assert (False, "Isolator: on, no padlock") in _sights(person)
    steps = (
        "tell", "infeed.bar_chock", "head.oil_relief", "isolate", "lock-isolator",
        "supply.air_cock", "cutting_vise.oil_relief", "shuttle_vise.oil_relief",
    )  # fmt: skip
    for step in steps:
        person.click(f"lockout.{step}")
    person.wait(60)
    person.click("lockout.lock-air")
    person.click("lockout.verify")
    assert person.session.lockout.verified
    assert person.widget("lockout.wanting").face() == "Verified: hands may go in."
    sights = _sights(person)
    assert (True, "Isolator: off, your padlock") in sights
    assert (True, "Air cock: shut, your padlock") in sights
    assert (True, "Air: 0.0 bar") in sights
    assert all(safe for safe, _ in sights if safe is not None)
    for step in ("inspect", "clear", "unlock-air", "unlock-isolator", "tell-restored"):
        person.click(f"lockout.{step}")
    assert not person.session.lockout.begun
    assert (False, "Isolator: off, no padlock") in _sights(person)


def test_the_isolator_is_switched_off_from_the_sheet_and_never_on(at_the_posts):
    at_the_posts.play.go("lockout")
    at_the_posts.click("lockout.isolate")
    assert not at_the_posts.session.saw.bus.driven("Q0")
