"""A stop acts on every sheet and with anything in focus, and what is typed presses no key of the saw."""

import pytest

from sim.signals import BY_KEY
from sim.view.pages.tabs import SHEETS
from sim.view.play.console_rows import CAPS, STOPS
from sim.view.sheets import bench_sheet
from sim.words.message import NOTHING

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
