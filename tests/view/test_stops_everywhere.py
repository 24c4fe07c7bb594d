"""A stop acts on every sheet and with anything in focus, and what is typed presses no key of the saw."""

import pytest

from sim.kernel.pacing import wall_s
from sim.signals import BY_KEY
from sim.view.pages.tabs import SHEETS
from sim.view.play.console_rows import CAPS, STOPS
from sim.view.sheets import bench_sheet
from sim.words.message import NOTHING, quoted

from .conftest import LOOKS, person_at

_CTRL = 0x40  # pygame.KMOD_LCTRL


def _acts(person, stop):
    """Return whether the stop's wire has moved."""
    wire = BY_KEY[stop]
    return person.session.saw.bus.driven(wire.tag) != wire.at_rest


def _strike(person, stop):
    letter = CAPS[stop].letter
    person.key_down(letter, mod=_CTRL if len(letter) == 1 else 0)
    acts = _acts(person, stop)
    person.key_up(letter)
    if _acts(person, stop):  # a latch: back again
        person.key_down(letter, mod=_CTRL if len(letter) == 1 else 0)
        person.key_up(letter)
    return acts


def _opened(person, sheet, part):
    person.play.go(sheet)
    if part:
        person.play.show_part(part)
    person.play.paused = True
    person.frame()


PAGES = [(sheet, "") for sheet in SHEETS if sheet != "bench"] + [
    ("bench", part) for part in ("why", "rungs", "meddle", "trace")
]


@pytest.mark.sampled(3)
@pytest.mark.parametrize("scenario", ["rail-posts", "posts-come-out-short", "11-thin-wall"])
@pytest.mark.parametrize(("sheet", "part"), PAGES)
def test_every_stop_key_acts_at_once_on_every_sheet_with_anything_in_focus(scenario, sheet, part):
    person = person_at(scenario=scenario)
    _opened(person, sheet, part)
    stage = person.app.stage
    focusable = ["", *(widget.name for widget in stage.stops())]
    assert len(focusable) > len(STOPS)
    for focus in focusable:
        for stop in STOPS:
            stage.focus = focus
            assert _strike(person, stop), (focus, stop)


def _refused(person):
    person.play.go("console")
    person.play.paused = False
    person.strike("q")
    assert person.app.stage.page.bubble() is not None


def _asked_to_finish(person):
    person.play.go("console")
    person.click("key.supply.isolator")
    person.click("key.supply.isolator")
    person.click("bar.finish")
    assert "ask.yes" in person.app.stage.by_name


def _hands_away(person):
    person.watches = True
    person.play.inspect("stop-play")
    person.frame()
    assert "hands.break-off" in person.app.stage.by_name


def _warned(person):
    person.play.force("B11", True)
    person.frame()
    assert "banner" in person.app.stage.by_name


def _noted(person):
    person.session.instructor.note("look at the head")
    person.frame()


def _harmed(person):
    person.play.go("console")
    person.session.saw.plant.site.tell("head-dropped", quoted("For this test."))
    person.frame()
    assert "harm.back" in person.app.stage.by_name


def _shown(person):
    person.watches = True
    person.play.aftermath._wall = lambda: 0.0
    person.play.go("console")
    person.session.saw.plant.site.tell("head-dropped", quoted("For this test."))
    person.frame()
    assert person.play.aftermath.playing


CARDS = (_refused, _asked_to_finish, _hands_away, _warned, _noted, _harmed, _shown)


@pytest.mark.parametrize("card", CARDS)
def test_every_stop_key_acts_within_a_frame_whatever_card_is_open(card):
    for stop in STOPS:
        person = person_at(scenario="rail-posts")
        card(person)
        stage = person.app.stage
        for focus in ("", *(w.name for w in stage.stops() if w.name.partition(".")[0] in ("ask", "hands", "banner", "note", "harm"))):  # fmt: skip
            stage.focus = focus
            letter = CAPS[stop].letter
            person.key_down(letter, mod=_CTRL if len(letter) == 1 else 0)
            if card is _hands_away:  # they come back, in the second that this takes
                person.session.advance(1.1)
            person.play.tick()
            done = person.session.done.acts[-4:]
            assert any(stop in getattr(act, "keys", ()) for act in done), (focus, stop)
            person.key_up(letter)
            break_ = person.session.saw.held & {stop}
            if break_:
                person.session.release(stop)


@pytest.mark.parametrize(("sheet", "part"), PAGES)
def test_the_bare_letter_of_a_stop_acts_on_every_sheet_where_no_field_is_typed_in(sheet, part):
    person = person_at(scenario="rail-posts")
    _opened(person, sheet, part)
    for stop in STOPS:
        person.app.stage.focus = ""
        person.key_down(CAPS[stop].letter)
        assert _acts(person, stop), stop
        person.key_up(CAPS[stop].letter)


def test_a_stop_that_is_pressed_at_a_frozen_machine_acts_before_time_goes_on(at_the_posts):
    person = at_the_posts
    person.power_up()
    person.session.hold("head.raise", 5)  # started on the bar, the band would snatch it
    person.session.palms("band.run")
    person.session.advance(2.0)
    assert not person.session.over
    person.play.paused = False
    person.session.instructor.freeze(True)
    for stop in ("supply.emergency_stop", "band.stop"):
        assert not _strike(person, stop)
    told = person.app.stage.page.bubble()
    assert "the moment it goes on" in told.text
    before_us = person.session.saw.clock.now_us
    person.session.instructor.freeze(False)
    person.play.tick()
    pressed = [act for act in person.session.done.acts if act.kind == "press"][-2:]
    assert {act.keys for act in pressed} == {("supply.emergency_stop",), ("band.stop",)}
    assert {act.at_us for act in pressed} == {before_us}
    assert _acts(person, "supply.emergency_stop")


def test_a_stop_takes_a_click_even_where_it_has_only_just_come_under_the_pointer(at_the_posts):
    person = at_the_posts
    stage = person.app.stage
    place = person.widget("key.supply.emergency_stop").seen.center
    stage.mouse_move(place)
    stage._slipped_at, stage._slipped_s = place, wall_s() + 60.0
    stage.mouse_down(place)
    stage.mouse_up(place)
    assert _acts(person, "supply.emergency_stop")
    place = person.widget("key.supply.isolator").seen.center
    stage.mouse_move(place)
    stage._slipped_at, stage._slipped_s = place, wall_s() + 60.0
    stage.mouse_down(place)
    stage.mouse_up(place)
    assert not person.session.saw.bus.driven(BY_KEY["supply.isolator"].tag)


def test_two_palm_keys_never_come_together_over_a_pause(at_the_posts):
    person = at_the_posts
    person.power_up()
    person.play.paused = False
    person.strike("q")
    person.key_down("x")
    assert person.play.hands.down("palm.left")
    person.strike("space")
    assert person.play.paused
    assert not person.play.hands.down("palm.left")
    person.key_down("p")
    assert not person.play.hands.down("palm.right")
    person.key_up("p")
    person.strike("space")
    person.key_down("p")
    person.wait(0.2)
    assert person.session.saw.controller.machines["band"].state == "STOPPED"


@pytest.mark.parametrize("key", ["bar.finish", "bar.home"])
def test_finish_and_home_ask_in_the_midst_of_a_session(at_the_posts, key):
    person = at_the_posts
    person.click("key.supply.isolator")
    person.click(key)
    assert person.app.stage.page.name == "saw"
    assert person.app.stage.focus == "ask.no"  # return goes on with it
    person.click("ask.no")
    assert "ask" not in person.app.stage.by_name
    person.click(key)
    person.strike("escape")
    assert "ask" not in person.app.stage.by_name
    person.click(key)
    person.click("ask.yes")
    assert person.app.stage.page.name == ("debrief" if key == "bar.finish" else "home")


@pytest.mark.parametrize("sheet", [sheet for sheet in SHEETS if sheet != "console"])
def test_a_key_that_acts_on_the_console_only_says_so_on_every_other_sheet(sheet):
    person = person_at(scenario="rail-posts")
    _opened(person, sheet, "")
    held = set(person.session.saw.held)
    for key, cap in CAPS.items():
        if key in STOPS or len(cap.letter) > 1:
            continue
        person.app.stage.focus = ""
        person.play.say(NOTHING)
        person.key_down(cap.letter)
        assert "works on the Console (F2)" in str(person.play.telling.said), key
        person.key_up(cap.letter)
    assert set(person.session.saw.held) == held


def test_a_search_of_the_ways_to_look_that_finds_none_says_so():
    person = person_at(scenario="rail-posts")
    _opened(person, "inspect", "")
    assert "inspect.none" not in person.app.stage.by_name
    person.play.looking.text = "zzz"
    person.play.refresh()
    person.frame()
    assert "inspect.none" in person.app.stage.by_name


def test_every_sheet_and_every_part_of_the_bench_is_tried():
    assert {sheet for sheet, _ in PAGES} == set(SHEETS)
    assert {part for sheet, part in PAGES if sheet == "bench"} == set(bench_sheet.PARTS)
    assert set(STOPS) == {
        "supply.emergency_stop", "supply.infeed_stop", "supply.trip_line", "band.stop", "job.stop",
    }  # fmt: skip


def test_every_stop_acts_by_mouse_on_every_sheet():
    person = person_at(scenario="posts-come-out-short")
    for sheet, part in PAGES:
        _opened(person, sheet, part)
        for stop in STOPS:
            place = person.mouse_down(f"key.{stop}")
            assert _acts(person, stop), (sheet, part, stop)
            person.mouse_up(place)
            if _acts(person, stop):
                person.click(f"key.{stop}")


def test_a_stop_acts_while_the_settings_are_open(at_the_posts):
    at_the_posts.strike("f10")
    assert at_the_posts.app.stage.page.name == "settings"
    for stop in STOPS:
        assert _strike(at_the_posts, stop), stop
    place = at_the_posts.mouse_down("key.supply.emergency_stop")
    assert _acts(at_the_posts, "supply.emergency_stop")
    at_the_posts.mouse_up(place)


@pytest.mark.parametrize(
    ("sheet", "field"),
    [
        ("inspect", "inspect.search"), ("diagnose", "diagnose.search"), ("instructor", "instructor.text"),
        ("console", "job.wanted.value"), ("walk", "walk.shuttle.stop_mm.value"),
    ],
)  # fmt: skip
def test_typing_presses_no_key_of_the_saw(at_the_posts, sheet, field):
    at_the_posts.power_up()
    at_the_posts.play.go(sheet)
    at_the_posts.play.paused = False
    at_the_posts.frame()
    at_the_posts.app.stage.focus = field
    bus, acts = at_the_posts.session.saw.bus, []
    at_the_posts.session.saw.bus.listen(
        BY_KEY["head.raise"].direction, lambda tag, value: acts.append((tag, value))
    )
    for letter in "abcdefghijklmnopqrstuvwxyz0123456789-":
        at_the_posts.strike(letter)
        assert not [wire.tag for wire in BY_KEY.values() if _moved(bus, wire)], letter
    assert not acts


def _moved(bus, wire):
    """Return whether a hand is on a spring key, or a stop latch is in."""
    return wire.key not in ("supply.isolator", "mode.manual") and wire.at_rest != bus.driven(
        wire.tag
    )


def test_the_wheel_sets_nothing_on_any_sheet(at_the_posts):
    for sheet in SHEETS:
        at_the_posts.play.go(sheet)
        at_the_posts.play.paused = True
        at_the_posts.frame()
        done = len(at_the_posts.session.done.all)
        before = at_the_posts.session.saw.digest()
        for widget in list(at_the_posts.app.stage.active):
            if min(widget.seen.size) > 0:
                for notches in (1, -1):
                    at_the_posts.app.stage.wheel(widget.seen.center, notches)
        assert at_the_posts.session.saw.digest() == before, sheet
        assert len(at_the_posts.session.done.all) == done, sheet


def test_the_wheel_moves_no_sheet_that_is_not_open(at_short_posts):
    person = at_short_posts
    panes = person.app.stage.page.scrolls.panes
    for sheet in ("inspect", "console"):
        person.play.go(sheet)
        person.play.paused = True
        person.frame()
    person.app.stage.wheel(panes["sheet.console"].window.center, -3)
    assert panes["sheet.inspect"].most > 0
    assert panes["sheet.inspect"].offset == 0


@pytest.mark.sampled(5)
@pytest.mark.parametrize(("size", "scale", "language"), LOOKS)
@pytest.mark.parametrize("scenario", ["rail-posts", "11-thin-wall"])
def test_every_stop_is_in_sight_on_every_sheet_without_scrolling(size, scale, language, scenario):
    person = person_at(size, scale, scenario, language)
    for sheet in SHEETS:
        person.play.go(sheet)
        person.play.paused = True
        person.frame()
        for stop in STOPS:
            shown = [
                widget
                for widget in person.app.stage.active
                if widget.name.endswith(f".{stop}") and widget.seen == widget.rect
            ]
            assert shown, (sheet, stop)


def test_a_stop_that_stands_above_the_console_acts_and_says_why_as_at_its_part():
    person = person_at((1280, 720), 2.0, "rail-posts")
    person.play.go("console")
    for stop in STOPS[1:]:
        place = person.mouse_down(f"apart.{stop}")
        assert _acts(person, stop), stop
        person.mouse_up(place)
        person.app.stage.page.why(f"apart.{stop}")
        bubble = person.app.stage.page.bubble()
        assert bubble.anchor == f"apart.{stop}"


def test_that_time_stands_is_across_the_stage_until_it_goes_on(at_the_posts):
    person = at_the_posts
    for size, scale in (((1280, 720), 1.0), ((1280, 720), 2.0), ((3840, 2160), 1.0)):
        person = person_at(size, scale, "rail-posts")
        for sheet in SHEETS:
            person.play.go(sheet)
            person.play.paused = True
            person.frame()
            stage = person.app.stage
            banner, shown = stage.by_name["stands"], stage.by_name["picture"]
            assert "PAUSED" in banner.label, sheet
            assert banner.seen == banner.rect
            assert banner.rect.width >= 0.3 * shown.rect.width, (sheet, size)
            stage.mouse_move((1, 1))  # else what comes under it by itself takes no click
            person.click("stands")
            assert not person.play.paused
            assert "stands" not in stage.by_name
            person.play.paused = True
            person.session.instructor.freeze(True)
            person.frame()
            assert "FROZEN" in stage.by_name["stands"].label
            stage.mouse_move((1, 1))  # else what comes under it by itself takes no click
            person.click("stands")
            assert "FROZEN" in stage.by_name["stands"].label  # only the instructor lets it go on
            person.session.instructor.freeze(False)


def test_what_an_instructor_tells_stands_until_it_is_read_one_after_the_other(at_the_posts):
    person = at_the_posts
    person.session.instructor.note("look at the head")
    person.session.instructor.pace(4.0)
    person.session.instructor.freeze(True)
    person.session.instructor.freeze(False)
    person.frame()
    assert "look at the head" in person.widget("note.said").label
    person.play.go("inspect")
    person.frame()
    assert "look at the head" in person.widget("note.said").label
    person.click("note.read")
    assert "4" in person.widget("note.said").label
    assert person.play.pace == 4.0
    assert person.widget("bar.pace").face() == 4.0
    person.click("note.read")
    person.frame()
    assert "note" not in person.app.stage.by_name


def test_the_pace_that_is_shown_is_the_pace_there_is(at_the_posts, monkeypatch):
    person = at_the_posts
    person.watches = True
    person.play.paused = False
    passed_us = []
    monkeypatch.setattr(person.play._pacer, "frame_us", lambda: passed_us.append(person.play._pacer.simulated_us(0.02)) or passed_us[-1])  # fmt: skip
    for factor in (1.0, 4.0):
        person.session.instructor.pace(factor)
        person.play.tick()
        assert passed_us[-1] == pytest.approx(person.play.pace * 20_000, abs=1)
        assert person.widget("bar.pace").face() == person.play.pace == factor
    person.play.inspect("stop-play")
    person.play.tick()
    assert passed_us[-1] == pytest.approx(person.play.pace * 20_000, abs=1)
    assert person.widget("bar.pace").face() == person.play.pace
