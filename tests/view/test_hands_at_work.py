"""While hands are at the saw: where they are, for how long, how it is broken off; and what is gathered."""

import re

import pytest

from sim.faults.catalogue import CATALOGUE
from sim.pilot import autopilot
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.session.hands.zones import Zone
from sim.session.kept.deeds import Deed
from sim.session.lockout import WHOLE
from sim.session.sights.energy import energy_in_sight
from sim.view.kit import stage as stage_of
from sim.view.kit.bubble import place_bubble
from sim.view.kit.column import KINDS
from sim.view.pages.tabs import SHEETS
from sim.view.picture.mannequin import _PLACES, hand_face
from sim.view.picture.supplies import BOTTOM_Z, CABINET_X, TOP_Z
from sim.view.play.console_rows import STOPS

from .conftest import LOOKS, person_at


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


# Nothing moves because the strip comes or goes ------------------------------------------------------


def _looking_on(size, scale, language, scenario="rail-posts", sheet="walk"):
    person = person_at(size, scale, scenario, language)
    person.watches = True
    person.play.go(sheet)
    person.play.paused = True
    person.frame()
    return person


def _below_the_picture(person):
    """Return where everything is that does something, but for the strip, the picture and its tags."""
    person.frame()
    return {
        widget.name: tuple(widget.seen)
        for widget in person.app.stage.active
        if not widget.name.startswith("hands.") and not widget.floats and widget.name != "round"
    }


@pytest.mark.sampled(5)
@pytest.mark.parametrize(("size", "scale", "language"), LOOKS)
@pytest.mark.parametrize("name", ["band.tension_mpa", "coolant.level_percent"])
@pytest.mark.parametrize("scenario", ["rail-posts", "11-thin-wall"])
def test_three_clicks_on_one_spot_are_three_steps(size, scale, language, name, scenario):
    person = _looking_on(size, scale, language, scenario)
    before, step = person.session.saw.read(name), SET_POINTS[name].step
    place = person.mouse_down(f"walk.{name}.less")
    person.mouse_up(place)
    person.frame()
    for _ in range(2):
        person.app.stage.mouse_down(place)
        person.app.stage.mouse_up(place)
        person.frame()
    assert person.session.now_s == 0
    assert person.play.busy is None
    assert person.play.gathered.get(name) == pytest.approx(before - 3 * step)


def test_three_clicks_on_the_plus_of_one_row_set_it_three_steps_up(watched):
    before = watched.session.saw.read("band.tension_mpa")
    place = watched.mouse_down("walk.band.tension_mpa.more")
    watched.mouse_up(place)
    watched.frame()
    for _ in range(2):
        watched.app.stage.mouse_down(place)
        watched.app.stage.mouse_up(place)
        watched.frame()
    watched.click("hands.do")
    _pass(watched, 30.0)
    step = SET_POINTS["band.tension_mpa"].step
    assert watched.session.saw.read("band.tension_mpa") == before + 3 * step


@pytest.mark.sampled(10)
@pytest.mark.parametrize(("size", "scale", "language"), LOOKS)
@pytest.mark.parametrize("scenario", ["rail-posts", "11-thin-wall"])
def test_everything_stands_at_its_place_before_during_and_after_an_act(
    size, scale, language, scenario
):
    for sheet in SHEETS:
        person = _looking_on(size, scale, language, scenario, sheet)
        places = _below_the_picture(person)
        assert [name for name in places if name.partition(".")[2] in STOPS]
        person.play.gathered("band.tension_mpa", 240)
        assert "hands.do" in _and(person), sheet
        assert _stand(person, places), sheet
        person.play.gathered("cutting_vise.jaw_gap_mm", 6)
        assert _stand(person, places), sheet
        person.play.set_gathered()
        assert "hands.break-off" in _and(person), sheet
        assert _stand(person, places), sheet
        while person.play.busy is not None:
            _pass(person, 1.0)
            assert _stand(person, places), sheet
        assert "hands" not in _and(person), sheet
        assert _stand(person, places), sheet


def _and(person):
    person.frame()
    return person.app.stage.by_name


def _stand(person, places):
    """Return whether the stops, and all else that was there and is there, stand where they stood."""
    now = _below_the_picture(person)
    stops = {name for name in places if name.partition(".")[2] in STOPS}
    assert stops <= set(now)
    moved = {name: (places[name], now[name]) for name in stops if now[name] != places[name]}
    if person.play.tab in ("walk", "console"):  # the others list what was done
        moved |= {k: (places[k], now[k]) for k in places if k in now and now[k] != places[k]}
    assert not moved
    return True


@pytest.mark.sampled(3)
@pytest.mark.parametrize(("size", "scale", "language"), LOOKS)
def test_what_is_said_beside_a_key_lies_not_over_the_strip(size, scale, language):
    for sheet in ("walk", "console"):
        person = _looking_on(size, scale, language, sheet=sheet)
        person.play.gathered("band.tension_mpa", 240)
        stage = person.app.stage
        for key in (*STOPS, *(() if sheet == "walk" else ("supply.reset", "job.start"))):
            stage.page.why(f"key.{key}")
            person.frame()
            bubble = stage.page.bubble()
            anchor, strip = stage.by_name[bubble.anchor].seen, stage.by_name["hands"].seen
            place = place_bubble(stage.kit, bubble, anchor, stage.surface.get_rect(), [strip])
            assert bubble.spares == "hands"
            assert not place.colliderect(strip), (sheet, key)


@pytest.mark.parametrize(("after_s", "taken"), [(0.0, False), (0.4, False), (0.6, True)])
def test_what_came_under_the_pointer_by_itself_takes_no_click_for_half_a_second(
    watched, monkeypatch, after_s, taken
):
    now = [100.0]
    monkeypatch.setattr(stage_of, "wall_s", lambda: now[0])
    watched.click("walk.band.tension_mpa.more")
    stage, place = watched.app.stage, watched.see("hands.leave").seen.center
    stage.mouse_move(place)
    watched.play.set_gathered()
    watched.frame()
    assert stage.at(place).name == "hands.pass"
    now[0] += after_s
    stage.mouse_down(place)
    stage.mouse_up(place)
    assert (watched.play.busy is None) is taken


def test_what_the_pointer_is_moved_to_takes_a_click_at_once(watched, monkeypatch):
    monkeypatch.setattr(stage_of, "wall_s", lambda: 100.0)
    watched.click("walk.band.tension_mpa.more")
    watched.app.stage.mouse_move(watched.see("hands.leave").seen.center)
    watched.play.set_gathered()
    watched.app.stage.mouse_move((0, 0))  # and back again, at once
    watched.click("hands.pass")
    assert watched.play.busy is None


# At work ----------------------------------------------------------------------------------------


def test_the_strip_and_the_picture_say_where_hands_are_and_for_how_long(watched):
    watched.play.put("band.guide_lock", "slack")
    watched.frame()
    assert _said(watched) == "On the way there; hands go in in 4 s: Guide arm: its lock: slack."
    assert hand_face(watched.session) == ("", False)
    _pass(watched, 5.0)
    said = "Hands in reach of the band, for 3 s more: Guide arm: its lock: slack."
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
    band_runs.play.aftermath.end()  # what is shown of it before
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
    "shuttle_vise.oil_relief", "key-in", "verify", "prove-dead", "inspect", "clear", "unlock-air",
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


def test_what_is_in_sight_of_a_lock_out_is_read_once_a_frame(at_the_posts, monkeypatch):
    read = []

    def counted(session):
        read.append(session)
        return energy_in_sight(session)

    monkeypatch.setattr("sim.view.sheets.lockout_sheet.energy_in_sight", counted)
    at_the_posts.play.go("lockout")
    at_the_posts.frame()
    read.clear()

    for seconds in (0, 1, 30):
        at_the_posts.session.advance(seconds)
        at_the_posts.app.stage.frame()
    at_the_posts.session.press("supply.isolator")  # between two frames, in no time
    at_the_posts.app.stage.frame()

    assert len(read) == 4
    shown = [face for face in _sights(at_the_posts) if face[1].startswith("Isolator")]
    assert shown == [(False, "Isolator: on, no padlock")]


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
    assert person.widget("lockout.wanting").face().startswith("Verified: hands may go in, but")
    sights = _sights(person)
    assert (True, "Isolator: off, your padlock") in sights
    assert (True, "Air cock: shut, your padlock") in sights
    assert (True, "Air: 0.0 bar") in sights
    assert all(safe for safe, _ in sights if safe is not None)
    for name, (whole, _) in WHOLE.items():  # on the sheet Walk round
        if person.session.saw.read(name) != whole:
            person.play.put(name, whole)
            person.frame()
    for step in ("inspect", "clear", "unlock-air", "unlock-isolator", "tell-restored"):
        person.click(f"lockout.{step}")
    assert not person.session.lockout.begun
    assert (False, "Isolator: off, no padlock") in _sights(person)


def test_the_isolator_is_switched_off_from_the_sheet_and_never_on(at_the_posts):
    at_the_posts.play.go("lockout")
    at_the_posts.click("lockout.isolate")
    assert not at_the_posts.session.saw.bus.driven("Q0")


def test_the_sheet_ticks_no_step_that_nobody_did_or_looked_at():
    person = person_at(scenario="posts-come-out-short")
    session = person.session
    session.faults.put_in(CATALOGUE["air-cock-shut"])
    session.advance(60)
    person.play.go("lockout")

    assert person.see("lockout.supply.air_cock").face() is False
    session.set("supply.air_cock", "shut")
    assert person.see("lockout.supply.air_cock").face() is True


@pytest.mark.parametrize("act", ["look", "step", "set"])
def test_no_sentence_of_the_strip_runs_into_the_next(watched, act):
    session = watched.session
    begins = {
        "look": lambda: session.inspect("fuses", wait=False),
        "step": lambda: session.lock_out("tell", wait=False),
        "set": lambda: watched.play.put("supply.air_cock", "shut"),
    }
    begins[act]()
    watched.frame()
    _pass(watched, 1.0)
    said = _said(watched)

    # What is done comes last, behind a colon; within it a title has no large letter but its first.
    assert said.count(": ") >= 1
    assert not re.search(r"[a-z)] (It takes|Hands|On the way|Broken off)", said)


def test_hands_in_the_cabinet_are_drawn_at_the_cabinet():
    view, along, up = _PLACES[Zone.CABINET]

    assert (view, along) == (0, CABINET_X)  # the plan, where `paint_supplies` draws it
    assert BOTTOM_Z <= up <= TOP_Z


def test_a_key_of_the_keyboard_that_hands_come_off_is_said_on_the_coach_line(watched):
    watched.play.go("console")
    watched.play.hands.press("f", "shuttle.forward")
    assert "shuttle.forward" in watched.session.saw.held

    watched.play.go("walk")

    assert "shuttle.forward" not in watched.session.saw.held
    assert (
        watched.play.coach()[1] == "You let go of SHUTTLE forward, for you went to another sheet."
    )


def test_a_key_that_hands_come_off_for_a_look_is_said_until_the_look_shows_something(watched):
    watched.play.hands.press("f", "shuttle.forward")
    watched.play.inspect("volts A5:9")
    assert watched.play.coach()[1].startswith(
        "You let go of SHUTTLE forward, for you left the console: "
    )
    watched.play.let_pass()
    assert not watched.play.coach()[1].startswith("You let go")
