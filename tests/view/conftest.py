"""A window without a screen, and a person at its mouse and keyboard."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache, lru_cache

import pygame
import pytest
from pygame import Rect, Surface

from sim.debrief.debrief import Debrief, finish
from sim.debrief.proposals import LEFT
from sim.errors import CommandError
from sim.logic.proof.each import rows_of
from sim.logic.proof.moves import Scope
from sim.logic.proof.proof import Finding, prove
from sim.pilot import autopilot
from sim.records.settings import Settings
from sim.session.opening import open_session
from sim.session.order_key import OrderKey
from sim.session.orders import WRONG_CODE
from sim.session.session import Session
from sim.view.kit.lettering import Drawn
from sim.view.kit.palette import Colour, contrast
from sim.view.kit.scrolling import Pane
from sim.view.kit.widget import Widget
from sim.view.pages import tabs
from sim.view.pages.app import App, start_drawing
from sim.view.pages.debrief_page import DebriefPage, Onward
from sim.view.play.motion import keep_still
from sim.view.play.outlook import CAMERAS
from sim.view.play.play import Play
from sim.words.message import NOTHING, quoted
from sim.words.reader import ENGLISH, PSEUDO_LANGUAGE
from sim.words.speech import read_by

LOOKS = [
    pytest.param((1280, 720), 1.0, "en", id="1280x720"),
    pytest.param((1600, 900), 1.0, "es", id="1600x900 in Spanish"),  # whose words are longer
    pytest.param((3840, 2160), 1.0, "en", id="3840x2160"),
    pytest.param((1600, 900), 2.0, "en", id="1600x900 at 200 %"),
    pytest.param((1280, 720), 2.0, "es", id="1280x720 in Spanish at 200 %"),
]
# With those of LOOKS every size at every scale of text, and each scale in each language; the brackets of the pseudo
# language, which is longer than any other, not at 200 %.
MORE_LOOKS = [
    pytest.param((1280, 720), 1.5, PSEUDO_LANGUAGE, id="1280x720 bracketed at 150 %"),
    pytest.param((1600, 900), 1.5, PSEUDO_LANGUAGE, id="1600x900 bracketed at 150 %"),
    pytest.param((1920, 1080), 1.0, PSEUDO_LANGUAGE, id="1920x1080 bracketed"),
    pytest.param((1920, 1080), 1.5, "en", id="1920x1080 at 150 %"),
    pytest.param((1920, 1080), 2.0, "es", id="1920x1080 in Spanish at 200 %"),
    pytest.param((3840, 2160), 1.5, "es", id="3840x2160 in Spanish at 150 %"),
    pytest.param((3840, 2160), 2.0, "en", id="3840x2160 at 200 %"),
]


@dataclass
class Person:
    """Somebody at the window: everything goes through its events.

    What is gathered is set, what hands are busy with is let pass, and what is shown of an accident is over,
    before the next frame, unless the test watches.
    """

    app: App
    held: set[int] = field(default_factory=set)
    watches: bool = False

    @property
    def play(self) -> Play:
        assert self.app.play is not None
        return self.app.play

    @property
    def session(self) -> Session:
        return self.play.session

    def frame(self) -> None:
        if not self.watches:
            self.hands_back()
            if self.app.play is not None:
                self.app.play.aftermath.end()
        self.app.stage.frame()

    def hands_back(self) -> None:
        """Set what was gathered, and let all pass that hands are busy with."""
        play = self.app.play
        if play is None or play.session.over or play.session.frozen:
            return
        play.set_gathered()
        while play.busy is not None:
            play.let_pass()

    def widget(self, name: str) -> Widget:
        self.frame()
        return self.app.stage.by_name[name]

    def see(self, name: str) -> Widget:
        """Bring a widget into sight, as somebody who scrolls does."""
        widget = self.widget(name)
        self.app.stage.page.scrolls.reveal(widget)
        widget = self.widget(name)
        assert widget.seen.size != (0, 0), f"{name} cannot be seen"
        return widget

    def mouse_down(self, name: str) -> tuple[int, int]:
        place = self.see(name).seen.center
        self._send(pygame.MOUSEMOTION, pos=place, rel=(0, 0), buttons=(0, 0, 0))
        self._send(pygame.MOUSEBUTTONDOWN, pos=place, button=1)
        return place

    def mouse_up(self, place: tuple[int, int]) -> None:
        self._send(pygame.MOUSEBUTTONUP, pos=place, button=1)

    def click(self, name: str) -> None:
        self.mouse_up(self.mouse_down(name))
        self.frame()

    def key_down(self, key: str, text: str = "", mod: int = 0) -> None:
        code = pygame.key.key_code(key)
        self._send(
            pygame.KEYDOWN, key=code, unicode=text or (key if len(key) == 1 else ""), mod=mod
        )

    def key_up(self, key: str) -> None:
        self._send(pygame.KEYUP, key=pygame.key.key_code(key), mod=0)

    def strike(self, key: str, text: str = "", mod: int = 0) -> None:
        self.key_down(key, text, mod)
        self.key_up(key)
        self.frame()

    def type(self, text: str) -> None:
        for character in text:
            self.strike("space" if character == " " else character, character)

    def start(self, letter: str) -> None:
        """Press the key of a start, and then both palm keys together."""
        self.strike(letter)
        self.palms()

    def palms(self, between_s: float = 0.0) -> None:
        """Press the left palm key, the right one a time later, and let both go."""
        stood, self.play.paused = self.play.paused, False
        self.key_down("x")
        self.wait(between_s)
        self.key_down("p")
        self.key_up("x")
        self.key_up("p")
        self.play.paused = stood
        self.frame()

    def power_up(self) -> None:
        """Isolator, reset, control on, by their letters."""
        self.strike("1")
        self.power_up_from_isolator()

    def power_up_from_isolator(self) -> None:
        """Reset and control on."""
        for letter in "23":
            self.strike(letter)

    def wait(self, seconds: float) -> None:
        """Let simulated time pass, as frames do."""
        self.session.advance(seconds)
        self.play.hands.tick()
        self.frame()

    def _send(self, kind: int, **words: object) -> None:
        self.app.handle(pygame.event.Event(kind, words))


def person_at(
    size: tuple[int, int] = (1280, 720),
    scale: float = 1.0,
    scenario: str | None = None,
    language: str = "en",
    code: str = "",
) -> Person:
    start_drawing()
    settings = Settings().with_("text", f"{scale * 100:.0f}")
    app = App(Surface(size), None, settings=settings, language=language)
    if scenario is not None:
        app.open(lambda: open_session(scenario, nonce="for tests", code=code))
        app.play.paused = True  # time passes when a test says so
    person = Person(app)
    person.frame()
    return person


@pytest.fixture(autouse=True)
def _own_folder(tmp_path, monkeypatch):
    """Keep settings and records of the tests out of the tester's own folder; leave English and motion behind."""
    monkeypatch.setenv("DRYCYCLE_HOME", str(tmp_path))
    yield
    read_by(ENGLISH)
    keep_still(False)


@pytest.fixture
def at_the_posts() -> Person:
    """Somebody at the clean job, at the console."""
    person = person_at(scenario="rail-posts")
    person.play.go("console")
    person.play.paused = True
    person.frame()
    return person


@pytest.fixture
def at_short_posts() -> Person:
    """Somebody at the drill whose posts come out short."""
    return person_at(scenario="posts-come-out-short")


_REBUILD_EVERY = 12
TABS = tuple(sheet.name for sheet in tabs.TABS if sheet.name != "bench")  # which has parts


def _nothing() -> None:
    return


@lru_cache(maxsize=1)
def _debriefed() -> Debrief:
    """Return a debrief with something in every part of it."""
    session = open_session("posts-come-out-short", nonce="for tests")
    session.inspect("stop-plunger", "sound")
    session.inspect("tachometer")
    session.lock_out("tell")
    session.lock_out("verify")
    session.inspect("stop-play", "cannot tell")
    session.take_hint(quoted("What you have found leaves one cause. Name it."))
    session.diagnose("variator-forced")
    session.diagnose("stop-from-below")
    session.put_right("stop-from-below")
    return finish(session)


@lru_cache(maxsize=1)
def broken_by_jumper() -> Finding:
    """Return how the shuttle is driven into the band once I4 is jumpered."""
    finding = prove(["into the band"], rows_of("I4"), Scope((), ())).shortest
    assert finding is not None
    return finding


def every_page(size: tuple[int, int], scale: float, language: str) -> Iterator[tuple[str, Person]]:
    """Yield every page of the window, painted, with something on it."""
    person = person_at(size, scale, language=language)
    yield "home", person
    person.click("home.settings")
    yield "settings", person
    person = person_at(size, scale, "posts-come-out-short", language)
    person.strike("f10")
    yield "settings in a session", person
    person.click("settings.done")
    for tab in TABS:
        person.play.go(tab)
        person.play.paused = True
        if tab == "inspect":
            person.play.inspect("stop-play")
            person.play.inspect("tachometer")
        if tab == "diagnose":
            person.play.choose_cause("variator-forced")
        person.frame()
        yield tab, person
    yield from _console_pages(person)
    yield from _stage_pages(size, scale, language)
    yield from _lesson_pages(size, scale, language)
    yield from _bench_pages(size, scale, language)
    onward = Onward(quoted("The first single cut, by hand"), LEFT, _nothing)
    page = DebriefPage(_debriefed(), None, _nothing, _nothing, _nothing, onward=onward)
    person.app.stage.show(page)
    for part in ("line", "belief", "ways", "safety"):
        page.show(part)
        person.frame()
        yield f"debrief, {part}", person
    person = person_at(size, scale, language=language)
    person.click("pick.rail-posts")
    person.play.go("console")
    person.click("key.supply.isolator")
    person.click("key.band.run")
    person.play.inspect("jaw-gaps")
    person.app.replay(person.session)
    yield "replay", person
    yield from _example_pages(person)


def _console_pages(person: Person) -> Iterator[tuple[str, Person]]:
    """Yield the console refusing, with alarms, waiting for the palm keys, stopped, and wrecked."""
    person.play.go("console")
    person.click("key.supply.isolator")
    person.click("key.band.run")
    yield "console with a refusal", person
    person.power_up_from_isolator()
    person.session.hold("head.raise", 5)
    person.session.palms("band.run")
    person.session.advance(2.0)
    person.session.set("band.guard", "open")
    person.session.set("supply.oil_percent", 5)
    person.session.set("coolant.level_percent", 2)
    person.frame()
    yield "console with alarms", person
    person.strike("q")
    yield "console, palm keys wanted", person
    person.click("key.supply.emergency_stop")
    person.click("key.supply.trip_line")
    yield "console, stopped", person
    person.click("key.supply.isolator")
    person.session.saw.plant.site.tell("bar-into-band", quoted("For the tests."))
    yield "console after a wreck", person


def _stage_pages(size, scale, language) -> Iterator[tuple[str, Person]]:
    """Yield the stage in a cut, with every name from each side, as drawing, and with what stands across it."""
    person = person_at(size, scale, "rail-posts", language)
    session, outlook = person.session, person.play.outlook
    person.play.go("console")
    person.play.paused = True
    person.click("key.supply.isolator")
    person.click("bar.finish")
    yield "console, asked to finish", person
    person.click("ask.no")
    session.instructor.note("look at the head")
    person.frame()
    yield "console with a note", person
    person.click("note.read")
    outlook.names = True
    for number in range(CAMERAS):
        person.play.refresh()
        person.frame()
        yield f"every name, from {number}", person
        outlook.turn()
    outlook.names = False
    session.release("supply.isolator")
    autopilot.power_up(session)
    autopilot.set_up(session)
    autopilot.begin(session)
    while session.saw.plant.head.cutting is None:
        session.advance(0.5)
    for drawing, running in ((False, True), (False, False), (True, False)):
        outlook.drawing, person.play.paused = drawing, not running
        person.play.refresh()
        person.frame()
        yield (
            f"in a cut, {'drawn' if drawing else 'in the round'}, {'running' if running else 'paused'}",
            person,
        )


def _lesson_pages(
    size: tuple[int, int], scale: float, language: str
) -> Iterator[tuple[str, Person]]:
    """Yield a lesson whose next act is lit, the same shown on a copy, and what came to harm in a run that goes on."""
    person = person_at(size, scale, "03-load-and-clamp", language)
    person.play.begin()
    person.play.paused = True
    person.frame()
    yield "lesson, lit", person
    person.play.hint()
    person.play.hint()
    assert person.play.on_copy.running
    person.frame()
    yield "lesson, shown on a copy", person
    person.play.on_copy.end()
    person.session.saw.plant.site.tell("tube-crushed", quoted("For the tests."))
    person.frame()
    assert "harm" in person.app.stage.by_name
    yield "lesson, with harm", person


def _example_pages(person: Person) -> Iterator[tuple[str, Person]]:
    """Yield a counterexample at rest, at a move, broken, and while it is played."""
    person.app.show_example(broken_by_jumper(), rows_of("I4"))
    yield "example, at rest", person
    page = person.app.stage.page
    for words, number in (("a move", 4), ("broken", page.player.moves)):
        page.go_to(number)
        person.frame()
        yield f"example, {words}", person
    page._toggle()
    person.frame()
    yield "example, playing", person


def _bench_pages(size, scale, language) -> Iterator[tuple[str, Person]]:
    """Yield the logic bench and the instructor's sheet, in lesson and drill, with a warning in."""
    person = person_at(size, scale, "posts-come-out-short", language)
    person.play.go("bench")
    person.play.show_part("meddle")
    person.frame()
    yield "bench in a drill", person
    person = person_at(size, scale, "11-thin-wall", language)
    person.play.go("bench")
    person.play.paused = True
    person.play.ask_why("job.start")
    person.play.seek_way()
    person.frame()
    yield "bench, why", person
    person.play.force("B11", True)
    person.play.force("B33", False)
    person.play.jumper("I4", True)
    person.play.jumper("head.lower B33", True)
    for part in ("rungs", "meddle", "trace"):
        person.play.show_part(part)
        person.frame()
        yield f"bench, {part}", person
    for ladder in ("keys",):
        person.play.show_part("rungs")
        person.play.show_ladder(ladder)
        person.frame()
        yield f"bench, rungs, {ladder}", person
    for tab in ("console", "instructor"):
        person.play.go(tab)
        person.play.paused = True
        person.frame()
        yield f"{tab} with a warning", person
    yield from _instructed(person)


def _instructed(person: Person) -> Iterator[tuple[str, Person]]:
    """Yield the instructor's sheet as it asks for a code, refuses one, and has taken the right one."""
    person.session.order_key = OrderKey("salt", b"secret")
    person.play.refresh()
    person.frame()
    yield "instructor, asked for the code", person
    person.play.orders.code.text = "left-7-wrong"
    person.play.orders.answer = CommandError(WRONG_CODE)
    person.play.refresh()
    person.frame()
    yield "instructor, a wrong code", person
    person.play.orders.code.text, person.play.orders.answer = "", NOTHING
    person.play.orders.known = True
    person.play.refresh()
    person.frame()
    person.play.orders.fault = "variator-forced"
    person.click("instructor.freeze")
    yield "instructor, frozen", person


@dataclass(frozen=True)
class Text:
    """One text as it was drawn: where, in which window, and some of the pixels that lay under it."""

    drawn: Drawn
    window: Rect
    under: list[Colour]


@dataclass(frozen=True)
class Seen:
    """One page as it was painted."""

    page: str
    screen: Rect
    widgets: list[Widget]
    texts: list[Text]
    panes: list[Pane]
    revealed: list[tuple[str, Rect, Rect]]  # every stop of the tab key: its place, what is seen

    @property
    def leaves(self) -> list[Widget]:
        return [w for w in self.widgets if not w.children and (w.paint or w.act)]


def look(page: str, person: Person) -> Seen:
    stage = person.app.stage
    texts: list[Text] = []

    def watch(drawn: Drawn, surface: Surface) -> None:
        window = Rect(surface.get_clip())
        seen = drawn.rect.clip(window).clip(surface.get_rect())
        texts.append(Text(drawn, window, pixels_in(surface, seen)))

    stage.kit.letters.watcher = watch
    stage.resize(stage.surface, stage.kit)
    stage.frame()
    stage.kit.letters.watcher = None
    widgets = list(stage.tree.walk())
    panes = list(stage.page.scrolls.panes.values())
    return Seen(
        page, stage.surface.get_rect(), widgets, texts, panes, list(_revealed(stage))
    )  # fmt: skip


_contrast = cache(contrast)
TEXT_CONTRAST = 4.5  # WCAG 2.2, level AA
_SHARE = 0.95  # of the pixels under a text; a line of the drawing may pass under the rest


def pixels_in(surface: Surface, place: Rect) -> list[Colour]:
    """Return every so manyth pixel of a place, some 300 of them; none where nothing of it is seen."""
    left, top, width, height = place
    if min(place.size) <= 0:
        return []
    places = range(0, width * height, max(width * height // 300, 1))
    return [tuple(surface.get_at((left + at % width, top + at // width)))[:3] for at in places]


def stands_out(colour: Colour, under: list[Colour]) -> bool:
    """Return whether a text of a colour stands out from the pixels that lie under it."""
    clear = sum(_contrast(colour, each) >= TEXT_CONTRAST for each in under)
    return clear >= _SHARE * len(under)


def _revealed(stage) -> Iterator[tuple[str, Rect, Rect]]:
    """Yield every stop of the tab key with its place and what is seen of it when it is gone to.

    A pane shifts its widgets by as much as it was moved; now and then the tree is built anew, which
    takes its time, to hold that to what is really seen.
    """
    scrolls = stage.page.scrolls
    for number, name in enumerate([w.name for w in stage.stops()]):
        widget = stage.by_name[name]
        before = scrolls.panes[widget.pane].offset if widget.pane else 0
        scrolls.reveal(widget)
        shift = before - scrolls.panes[widget.pane].offset if widget.pane else 0
        rect = widget.rect.move(0, shift)
        seen = rect.clip(widget.window) if widget.window is not None else rect
        if scrolls.moved and number % _REBUILD_EVERY == 0:
            stage._build()  # without painting, which is seen often enough
            assert stage.by_name[name].rect == rect
            seen = stage.by_name[name].seen
        elif scrolls.moved:
            scrolls.panes[widget.pane].offset = before
            scrolls.moved = False
        yield name, rect, seen


@lru_cache(maxsize=8)
def all_seen(size: tuple[int, int], scale: float, language: str = "en") -> list[Seen]:
    """Return every page at a size, painted once for all tests that look at it."""
    return [look(page, person) for page, person in every_page(size, scale, language)]


@cache
def seen_page(name: str, size: tuple[int, int], scale: float, language: str) -> Seen:
    """Return one page at a size; those after it are not painted."""
    pages = every_page(size, scale, language)
    return next(look(page, person) for page, person in pages if page == name)
