"""Settings act at once, stay for the next time, and never touch the saw."""

import pytest
from pygame import Surface

from sim.records.settings import LANGUAGES, Settings, keep_settings, read_settings
from sim.units import INCH, MM
from sim.view.kit.palette import STARK
from sim.view.pages.app import App, start_drawing
from sim.words.reader import Reader, language_name
from sim.words.speech import reader

from .conftest import Person, _look, person_at


def test_settings_are_kept_for_the_next_time():
    assert read_settings() == Settings()
    assert keep_settings(Settings(units="inch", text="150", sticky="on"))
    assert read_settings() == Settings(units="inch", text="150", sticky="on")


@pytest.mark.parametrize("spoilt", ["", "{", "[]", '{"units": 7, "text": "900"}', "\x00"])
def test_a_spoilt_settings_file_counts_as_none(tmp_path, spoilt):
    (tmp_path / "window.json").write_text(spoilt, encoding="utf-8")
    assert read_settings() == Settings()


def test_every_choice_on_the_settings_page_can_be_picked():
    person = person_at()
    person.click("home.settings")
    for name, choice in (
        ("units", "inch"), ("text", "125"), ("contrast", "stark"), ("sticky", "on"),
        ("sound", "off"), ("captions", "off"), ("language", "es"),
    ):  # fmt: skip
        person.click(f"settings.{name}.{choice}")
        assert getattr(person.app.settings, name) == choice
    assert person.app.stage.kit.palette is STARK
    assert read_settings() == person.app.settings
    person.click("settings.language.en")
    person.click("settings.done")
    assert person.app.stage.page.name == "home"


def test_settings_come_back_to_the_session_with_its_clock_standing(at_the_posts):
    at_the_posts.play.paused = False
    at_the_posts.strike("f10")
    assert at_the_posts.app.stage.page.name == "settings"
    at_the_posts.click("settings.sticky.on")
    at_the_posts.strike("escape")
    assert at_the_posts.app.stage.page.name == "saw"
    assert at_the_posts.play.paused
    assert at_the_posts.play.hands.sticky


def test_inch_units_change_what_is_written_and_not_what_is_set(at_the_posts):
    before = at_the_posts.session.saw.read("head.feed_force_n")
    at_the_posts.strike("f10")
    at_the_posts.click("settings.units.inch")
    at_the_posts.click("settings.done")
    assert at_the_posts.session.saw.read("head.feed_force_n") == before
    at_the_posts.play.go("walk")
    at_the_posts.click("walk.shuttle.stop_mm.value")
    at_the_posts.type("10")
    at_the_posts.strike("return")
    assert at_the_posts.session.saw.read("shuttle.stop_mm") == pytest.approx(254.0)


def test_inch_units_are_those_of_the_definitions():
    inch = Reader(inch=True)
    assert inch.quantity(25.4, "mm") == "1.00 in"
    assert inch.quantity(304.8, "m") == "1000 ft"
    assert inch.metric(1.0, "mm") == pytest.approx(INCH / MM)
    # 1 bar is 14.5038 psi and 1 kN 224.809 lbf in every table of units.
    assert inch.quantity(1.0, "bar", 4) == "14.5038 psi"
    assert inch.quantity(1000.0, "N", 3) == "224.809 lbf"
    assert Reader().quantity(231.5, "mm", 2) == "231.50 mm"
    assert Reader().quantity(-0.001, "mm", 1) == "0.0 mm"


@pytest.mark.parametrize("typed", ["12.5", "12,5"])
@pytest.mark.parametrize("language", LANGUAGES)
def test_a_typed_number_may_have_either_decimal_mark(at_the_posts, language, typed):
    app = at_the_posts.app
    app.change_settings(app.settings.with_("language", language))
    at_the_posts.play.go("walk")
    at_the_posts.click("walk.shuttle.stop_mm.value")
    at_the_posts.type(typed)
    at_the_posts.strike("return")
    assert at_the_posts.session.saw.read("shuttle.stop_mm") == pytest.approx(12.5)


def test_numbers_are_told_with_the_decimal_mark_of_the_language(at_the_posts):
    app = at_the_posts.app
    at_the_posts.strike("end")  # to the drawing
    at_the_posts.wait(1.2)
    for language, mark in (("en", "."), ("es", ",")):
        app.change_settings(app.settings.with_("language", language))
        assert at_the_posts.widget("bar.clock").face() == f"0:01{mark}2"
        wander = at_the_posts.widget("notes").face()[-1]
        assert wander == f"+0{mark}00 mm"


def test_each_language_calls_itself_by_its_own_name():
    person = person_at()
    person.click("home.settings")
    for now in ("en", "es"):
        person.click(f"settings.language.{now}")
        drawn = {text.drawn.text for text in _look("settings", person).texts}
        assert {"English", "Español"} | {language_name(each) for each in LANGUAGES} <= drawn


def test_a_language_for_this_run_is_spoken_and_not_kept():
    start_drawing()
    app = App(Surface((1280, 720)), settings=Settings(language="en"), language="es")
    person = Person(app)
    person.click("home.settings")
    person.click("settings.units.inch")
    assert (reader().language, reader().inch) == ("es", True)
    assert (read_settings().language, read_settings().units) == ("en", "inch")
    person.click("settings.language.es")
    assert read_settings().language == "es"
