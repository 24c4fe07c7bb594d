"""The window: opens it, turns its events into hands and strokes, and shows one page after another.

Display and font only are started, never all of pygame: a machine without sound stays quiet about it.
Imports every page.
"""

import os
from collections.abc import Callable
from pathlib import Path
from typing import Final

import pygame
from pygame import Surface

from sim.drill import library
from sim.drill.opening import open_recorded
from sim.drill.session import Session
from sim.errors import DrycycleError
from sim.records.folder import new_record_path
from sim.view.debrief_page import DebriefPage
from sim.view.home_page import HomePage
from sim.view.kit import kit_for
from sim.view.pen import Kit
from sim.view.play import Play
from sim.view.player import Player
from sim.view.replay_page import ReplayPage
from sim.view.saw_page import SawPage
from sim.view.settings import Settings, keep_settings, read_settings
from sim.view.settings_page import SettingsPage
from sim.view.speaker import Speaker, wants_sound
from sim.view.stage import Page, Stage
from sim.view.widget import Stroke

FRAMES_A_SECOND: Final = 60
_SIZE: Final = (1280, 720)
_LEAST: Final = (800, 480)
_WORDS: Final = {"return": "return", "enter": "return", "space": "space", "tab": "tab"}

Target = str | Callable[[], Session] | None


def start_drawing() -> None:
    """Start display and font.

    Raises:
        DrycycleError: Another library than pygame-ce answers to the name `pygame`.
    """
    if not getattr(pygame, "IS_CE", False):
        raise DrycycleError(
            "the old pygame is installed where pygame-ce is needed",
            what_to_do="run `pip uninstall pygame` and then `pip install --force-reinstall pygame-ce`",
        )
    # Drawing in software without a detour through OpenGL is several times as fast here.
    os.environ.setdefault("SDL_FRAMEBUFFER_ACCELERATION", "0")
    pygame.display.init()
    pygame.font.init()


class App:
    """One window."""

    def __init__(
        self,
        surface: Surface,
        target: Target = None,
        record: Path | None = None,
        settings: Settings | None = None,
    ) -> None:
        self.surface = surface
        self.settings = settings or Settings()
        self.running = True
        self.speaker = Speaker()
        self.speaker.turn(wants_sound(self.settings.sound))
        self.play: Play | None = None
        self._record = record
        self._target = target
        self._path: Path | None = None
        self.stage = Stage(surface, self._kit(), self._home_page())
        if target is not None:
            self.open(target)

    def _home_page(self) -> HomePage:
        return HomePage(self.open, self.quit, self.show_settings)

    def _kit(self) -> Kit:
        return kit_for(self.surface.get_size(), self.settings)

    def quit(self) -> None:
        """Close the window after this frame."""
        self.running = False

    def home(self) -> None:
        """Leave the session, closing its record, and go home."""
        self._close_session()
        self.stage.show(self._home_page())

    def open(self, target: str | Callable[[], Session]) -> None:
        """Begin a session."""
        self._close_session()
        self._target = target
        record, self._record = self._record, None
        self._path = None
        if isinstance(target, str):
            self._path = record or new_record_path(library.find(target).stem)
            session = open_recorded(target, self._path)
        else:
            session = target()
        self.play = Play(session)
        self.play.hands.set_sticky(self.settings.sticky == "on")
        self.play.captions = self.settings.captions == "on"
        self.stage.show(SawPage(self.play, self.home, self.finish, self.show_settings))

    def finish(self) -> None:
        """Close the session and show its debrief."""
        if self.play is None:
            return
        play, target = self.play, self._target
        self._close_session()
        path = self._path
        page = DebriefPage(
            play.session, self.home,
            None if target is None else lambda: self.open(target),
            None if path is None else lambda: self.replay(path),
        )  # fmt: skip
        self.stage.show(page)

    def replay(self, path: Path) -> None:
        """Show a record being played; the page that was there comes back afterwards."""
        before = self.stage.page
        self.stage.show(ReplayPage(Player(path), lambda: self._back_to(before)))

    def show_settings(self) -> None:
        """Show the settings; the page that was there comes back afterwards, its clock standing."""
        before = self.stage.page
        if isinstance(before, SettingsPage):
            return
        if self.play is not None:
            self.play.hands.let_go()
            self.play.paused = True
        self.stage.show(
            SettingsPage(lambda: self.settings, self.change_settings, lambda: self._back_to(before))
        )

    def _back_to(self, page: Page) -> None:
        self.stage.show(page)

    def change_settings(self, settings: Settings) -> None:
        """Take other settings, at once and for the next time."""
        self.settings = settings
        keep_settings(settings)
        self.speaker.turn(wants_sound(settings.sound))
        if self.play is not None:
            self.play.hands.set_sticky(settings.sticky == "on")
            self.play.captions = settings.captions == "on"
        self.stage.resize(self.surface, self._kit())

    def _close_session(self) -> None:
        if self.play is not None:
            self.play.hands.let_go()
            self.play.session.close()
            self.play = None
            self.speaker.hush()

    def tick(self) -> None:
        """Let simulated time pass."""
        play = self.play
        if play is not None:
            play.tick()
            self.speaker.play(play.ears, running=not (play.paused or play.session.over))
        if isinstance(self.stage.page, ReplayPage):
            self.stage.page.tick()

    # Events -------------------------------------------------------------------------------

    def handle(self, event: pygame.event.Event) -> None:
        """Take one event of the window."""
        stage = self.stage
        kind = event.type
        if kind == pygame.QUIT:
            self.quit()
        elif kind == pygame.MOUSEBUTTONDOWN and event.button == 1:
            stage.mouse_down(event.pos)
        elif kind == pygame.MOUSEBUTTONUP and event.button == 1:
            stage.mouse_up(event.pos)
        elif kind == pygame.MOUSEMOTION:
            stage.mouse_move(event.pos)
        elif kind == pygame.MOUSEWHEEL:
            stage.wheel(pygame.mouse.get_pos(), event.y)
        elif kind == pygame.KEYDOWN:
            stage.key_down(stroke_of(event))
        elif kind == pygame.KEYUP:
            stage.key_up(stroke_of(event).name)
        elif kind == pygame.WINDOWFOCUSLOST:
            stage.let_go()
        elif kind == pygame.VIDEORESIZE:
            self.resize(pygame.display.get_surface())

    def resize(self, surface: Surface | None) -> None:
        """Go on at another size."""
        if surface is not None and surface.get_size() >= (1, 1):
            self.surface = surface
            self.stage.resize(surface, self._kit())


def stroke_of(event: pygame.event.Event) -> Stroke:
    """Return the stroke of a key event."""
    name = pygame.key.name(event.key)
    text = getattr(event, "unicode", "")
    shift = bool(getattr(event, "mod", 0) & pygame.KMOD_SHIFT)
    return Stroke(_WORDS.get(name, name), text if text.isprintable() else "", shift)


def run(target: Target = None, record: Path | None = None) -> int:
    """Open the window, on home or on a scenario, and stay until it is closed; return 0.

    Args:
        target: A scenario's name or file, a function that opens a session, or None for home.
        record: Where the session's record goes; None for the record folder.

    Raises:
        DrycycleError: No display, or a scenario that cannot be opened.
    """
    start_drawing()
    try:
        surface = pygame.display.set_mode(_SIZE, pygame.RESIZABLE)
        pygame.display.set_caption("drycycle")
        app = App(surface, target, record, read_settings())
        clock = pygame.time.Clock()
        while app.running:
            for event in pygame.event.get():
                app.handle(event)
            app.tick()
            pygame.display.update(app.stage.frame())
            clock.tick(FRAMES_A_SECOND)
        app.home()
        app.speaker.turn(False)
    finally:
        pygame.display.quit()
    return 0
