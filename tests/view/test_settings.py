"""Settings act at once, stay for the next time, and never touch the saw."""

from itertools import combinations

import pytest
from pygame import Surface
from pygame.image import tobytes

from sim.pilot import autopilot
from sim.records.settings import LANGUAGES, Settings, keep_settings, read_settings
from sim.units import INCH, MM
from sim.view.kit.palette import CALM, CALM_APART, STARK, STARK_APART, _linear
from sim.view.pages.app import App, start_drawing
from sim.view.picture.round.colours import paints
from sim.words.reader import Reader, language_name
from sim.words.speech import reader

from .conftest import Person, look, person_at


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
        ("units", "inch"), ("text", "125"), ("contrast", "stark"), ("colours", "apart"), ("colours", "usual"),
        ("motion", "still"), ("sticky", "on"),
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
        drawn = {text.drawn.text for text in look("settings", person).texts}
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


# Of who sees no red, no green and no blue; Machado, Oliveira and Fernandes 2009, from memory. Each turns linear
# light into what is seen of it; the first of them is sight in grey.
_SIGHTS = {
    "grey": ((0.2126, 0.7152, 0.0722),) * 3,
    "protan": ((0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998)),
    "deutan": ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.011820, 0.042940, 0.968881)),
    "tritan": ((1.255528, -0.076749, -0.178779), (-0.078411, 0.930809, 0.147602), (0.004733, 0.691367, 0.303900)),
}  # fmt: skip
_APART = 1.4  # contrast, from which two lamps are told apart by how bright they are


def _seen_as(colour, sight):
    """Return how bright a colour is for somebody."""
    light = [_linear(channel) for channel in colour]
    red, green, blue = (
        min(max(sum(share * each for share, each in zip(row, light, strict=True)), 0.0), 1.0)
        for row in _SIGHTS[sight]
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _told_apart(one, other, sight):
    dim, bright = sorted((_seen_as(one, sight), _seen_as(other, sight)))
    return (bright + 0.05) / (dim + 0.05) >= _APART


@pytest.mark.parametrize("sight", _SIGHTS)
@pytest.mark.parametrize("palette", [CALM_APART, STARK_APART])
def test_danger_abnormal_and_normal_are_told_apart_by_brightness_alone(palette, sight):
    lamps = (palette.red, palette.yellow, palette.green)
    for one, other in combinations(lamps, 2):
        assert _told_apart(one, other, sight), (one, other)


def test_in_grey_the_usual_colours_need_their_signs():
    assert not _told_apart(CALM.red, CALM.green, "grey")


def test_colours_that_are_told_apart_are_on_the_screen_and_in_the_picture(at_the_posts):
    at_the_posts.strike("f10")
    for colours, palette in (("apart", CALM_APART), ("usual", CALM)):
        at_the_posts.click(f"settings.colours.{colours}")
        kit = at_the_posts.app.stage.kit
        assert kit.palette == palette
        assert paints(kit.palette).hold == palette.green
    at_the_posts.click("settings.contrast.stark")
    at_the_posts.click("settings.colours.apart")
    assert at_the_posts.app.stage.kit.palette == STARK_APART


@pytest.mark.parametrize("drawing", [False, True])
def test_without_motion_what_runs_all_the_time_stands_in_the_picture(at_the_posts, drawing):
    person = at_the_posts
    session = person.session
    autopilot.power_up(session)
    session.hold("head.raise", 5)
    session.palms("band.run")
    session.press("coolant.on")
    session.advance(3.0)
    person.play.outlook.drawing = drawing
    changed = {}
    for motion in ("full", "still"):
        person.app.change_settings(person.app.settings.with_("motion", motion))
        before = _shown(person)
        session.advance_us(50_000)  # band and coolant run, nothing else moves
        changed[motion] = before != _shown(person)
    assert changed == {"full": True, "still": False}
    assert read_settings().motion == "still"
    session.press("head.lower")
    session.advance(2.0)
    assert before != _shown(person)  # what moves a part still moves it


def test_without_motion_the_cut_is_painted_again_only_as_the_band_comes_down(at_the_posts):
    person = at_the_posts
    session = person.session
    autopilot.power_up(session)
    autopilot.set_up(session)
    autopilot.begin(session)
    while session.saw.plant.head.cutting is None:
        session.advance(0.5)
    for motion, ticks in (("full", True), ("still", False)):
        person.app.change_settings(person.app.settings.with_("motion", motion))
        cut = person.widget("cut")
        before = cut.face()[0]
        session.advance_us(50_000)
        assert (cut.face()[0] != before) is ticks


def _shown(person):
    """Return the pixels of the picture, painted anew."""
    stage = person.app.stage
    stage.resize(stage.surface, stage.kit)
    stage.frame()
    return tobytes(stage.surface.subsurface(stage.by_name["picture"].seen), "RGB")
