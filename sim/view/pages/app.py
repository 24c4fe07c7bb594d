"""One window: turns its events into hands and strokes, and shows one page after another.

Of pygame only display and font are started, so that a machine without sound says nothing about it.
"""

import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Final, TypeAlias

import pygame
from pygame import Surface

from sim import extras
from sim.errors import DrycycleError
from sim.records.settings import Settings, keep_settings
from sim.view.kit.kit import kit_for
from sim.view.kit.page import Page
from sim.view.kit.pen import Kit
from sim.view.kit.stage import Stage
from sim.view.kit.widget import Stroke
from sim.view.pages.home_page import HomePage
from sim.view.play.motion import keep_still
from sim.view.play.speaker import Speaker, wants_sound
from sim.words.message import NOTHING, Message, plain, quoted
from sim.words.reader import ENGLISH, Reader
from sim.words.speech import read_by, say

if TYPE_CHECKING:
    from sim.debrief.debrief import Debrief
    from sim.logic.proof.proof import Finding
    from sim.logic.proof.unfold import Row
    from sim.session.session import Session
    from sim.view.pages.debrief_page import Onward
    from sim.view.pages.example_page import ExamplePage
    from sim.view.pages.replay_page import ReplayPage
    from sim.view.pages.saw_page import SawPage
    from sim.view.play.play import Play
    from sim.view.play.player import Player

_LEFT, _RIGHT = 1, 3
_WORDS: Final = {"return": "return", "enter": "return", "space": "space", "tab": "tab"}

_AGAIN: Final = plain("window.debrief.again", "Once more, since it is not passed yet.")
_NOTHING_BREAKS: Final = plain("window.nothing-breaks", "Nothing that is proved breaks without it.")

Target: TypeAlias = "str | Callable[[], Session] | None"


_OLD_PYGAME: Final = plain(
    "window.old-pygame", "the old pygame is installed where pygame-ce is needed"
)
_NEW_PYGAME: Final = plain(
    "window.old-pygame.do",
    "run `pip uninstall pygame` and then `pip install --force-reinstall pygame-ce`",
)


def start_drawing() -> None:
    """Start display and font.

    Raises:
        DrycycleError: Another library than pygame-ce answers to the name `pygame`.
    """
    if not getattr(pygame, "IS_CE", False):
        raise DrycycleError(_OLD_PYGAME, what_to_do=_NEW_PYGAME)
    # Drawing in software without a detour through OpenGL is several times as fast here.
    os.environ.setdefault("SDL_FRAMEBUFFER_ACCELERATION", "0")
    pygame.display.init()
    pygame.font.init()


class App:
    """One window.

    Args:
        surface: What is drawn on.
        target: What is opened at once: a scenario's name or file, or a function that opens a session.
        record: Where the first session's record goes; None for the record folder.
        settings: What was chosen; plain where left out.
        language: What is spoken until another language is chosen here; that of the settings where left out.
        code: The instructor's code of every session that is begun here; empty for none.
    """

    def __init__(
        self,
        surface: Surface,
        target: Target = None,
        record: Path | None = None,
        settings: Settings | None = None,
        language: str = "",
        code: str = "",
    ) -> None:
        self.surface = surface
        self.settings = settings or Settings()
        self._language = language or self.settings.language or ENGLISH.language
        self._speak()
        self.running = True
        self.speaker = Speaker()
        self.speaker.turn(wants_sound(self.settings.sound))
        self.play: Play | None = None
        self.loaded = (
            False  # everything that the first frame did without; then the saw at home moves
        )
        self._begun = False  # from then on it is the window that says what cannot be opened
        self._ticking: ReplayPage | ExamplePage | None = None
        self._record = record
        self._code = code
        self._target = target
        self.stage = Stage(surface, self._kit(), self._home_page())
        if target is not None:
            self.open(target)
        self._begun = True

    def _home_page(self, trouble: Message = NOTHING) -> HomePage:
        return HomePage(
            self.open, self.quit, self.show_settings, lambda: self.stage.looked_at, trouble
        )

    def _speak(self) -> None:
        read_by(Reader(self._language, inch=self.settings.units == "inch"))
        keep_still(self.settings.motion == "still")

    def _kit(self) -> Kit:
        return kit_for(self.surface.get_size(), self.settings)

    def quit(self) -> None:
        """Close the window after this frame."""
        self.running = False

    def home(self) -> None:
        """Leave the session, closing its record, and go home."""
        self._close_session()
        self.stage.show(self._home_page())

    def open(self, target: "str | Callable[[], Session]") -> None:
        """Begin a session; what cannot be opened is said at home.

        Raises:
            DrycycleError: It cannot be opened, and the window is not there yet.
        """
        from sim.session.opening import open_recorded
        from sim.view.play.play import Play

        self._close_session()
        self._target = target
        record, self._record = self._record, None
        try:
            session = (
                open_recorded(target, record, code=self._code)
                if isinstance(target, str)
                else target()
            )
        except DrycycleError as error:
            if not self._begun:
                raise
            self.stage.show(self._home_page(error.message))
            return
        self.play = Play(session, self.notice, self.show_purpose)
        self.play.hands.set_sticky(self.settings.sticky == "on")
        self.play.captions = self.settings.captions == "on"
        self.stage.show(self._saw_page(self.play))

    def _saw_page(self, play: "Play") -> "SawPage":
        from sim.view.pages.saw_page import SawPage

        return SawPage(play, self.home, self.finish, self.show_settings, self.go_back)

    def go_back(self) -> None:
        """Go back to before what came to harm, on the page as it was; why not is said there."""
        play, before = self.play, self.stage.page
        if play is None:
            return
        self.notice(say("Going back ..."))
        self.speaker.hush()
        try:
            self.play = play.back()
        except DrycycleError as error:
            play.say(error)
            return
        page = self._saw_page(self.play)
        page.scrolls = before.scrolls
        page.refresh()
        self.stage.show(page)

    def finish(self) -> None:
        """Close the session and show its debrief."""
        from sim.debrief.debrief import finish
        from sim.view.pages.debrief_page import DebriefPage

        play, target = self.play, self._target
        if play is None:
            return
        session = play.session
        self.notice(say("Working out the debrief ..."))
        self._leave_session()
        found = finish(session)
        news = session.record_news()
        page = DebriefPage(
            found, session.record_path, self.home,
            None if target is None else lambda: self.open(target),
            (lambda: self.replay(session)) if session.origin.path else None, news,
            self._onward(found),
        )  # fmt: skip
        self.stage.show(page)

    def _onward(self, found: "Debrief") -> "Onward | None":
        """Return what a debrief leads on to: the same once more where it was not passed, else what Home proposes."""
        from sim.debrief.proposals import proposals
        from sim.debrief.what_next import what_next
        from sim.session.shelf import listed
        from sim.view.pages.debrief_page import Onward

        titles = {each.name: quoted(each.title) for each in listed()}
        following = what_next(found)
        if following.again:
            again = following.scenario
            return Onward(titles[again], _AGAIN, lambda: self.open(again))
        for first in proposals(who=found.who):
            return Onward(titles[first.scenario], first.why, lambda: self.open(first.scenario))  # noqa: B023 - returned at once
        return None

    def replay(self, session: "Session") -> None:
        """Show a session being played again; the page that was there comes back afterwards."""
        from sim.view.play.player import player_of

        self.show_player(player_of(session))

    def show_player(self, player: "Player") -> None:
        """Show a player of a session; the page that was there comes back afterwards."""
        from sim.view.pages.replay_page import ReplayPage

        before = self.stage.page
        self._ticking = ReplayPage(player, lambda: self._back_to(before))
        self.stage.show(self._ticking)

    def show_example(
        self, finding: "Finding", rows: "tuple[Row, ...]", leave: Callable[[], None] | None = None
    ) -> None:
        """Show how a property is broken, move by move, with some rows of the interlocks jumpered.

        Args:
            finding: A property with an example of how it is broken.
            rows: Those that are jumpered.
            leave: What done does; when left out, the page that was there comes back.
        """
        from sim.view.pages.example_page import ExamplePage
        from sim.view.play.example_player import ExamplePlayer

        before = self.stage.page
        player = ExamplePlayer(finding, rows)
        hands = None if self.play is None else self.play.hands
        self._ticking = ExamplePage(player, leave or (lambda: self._back_to(before)), hands)
        self.stage.show(self._ticking)

    def show_purpose(self, number: str) -> None:
        """Show what breaks without an interlock, the session's clock standing.

        Args:
            number: Such as I4.
        """
        play = self.play
        if play is None:
            return
        try:
            extras.needs(extras.NUMPY)
        except DrycycleError as missing:
            play.say(missing)
            return
        from sim.logic.proof.each import purpose, rows_of

        self.notice(say("Looking for what breaks without it ..."))
        rows = rows_of(number)
        broken = purpose(rows).broken
        if broken is None:
            play.say(_NOTHING_BREAKS)
            return
        play.hands.let_go()
        play.paused = True
        self.show_example(broken, rows)

    def show_settings(self) -> None:
        """Show the settings; the page that was there comes back afterwards, its clock standing."""
        from sim.view.pages.settings_page import SettingsPage

        before = self.stage.page
        if isinstance(before, SettingsPage):
            return
        if self.play is not None:
            self.play.hands.let_go()
            self.play.paused = True
        hands = None if self.play is None else self.play.hands
        self.stage.show(
            SettingsPage(
                lambda: self.settings, self.change_settings, lambda: self._back_to(before), hands
            )
        )  # fmt: skip

    def _back_to(self, page: Page) -> None:
        self.stage.show(page)

    def change_settings(self, settings: Settings) -> None:
        """Take other settings, at once and for the next time."""
        if settings.language != self.settings.language:
            self._language = settings.language
        self.settings = settings
        keep_settings(settings)
        self._speak()
        self.speaker.turn(wants_sound(settings.sound))
        if self.play is not None:
            self.play.hands.set_sticky(settings.sticky == "on")
            self.play.captions = settings.captions == "on"
        self.stage.resize(self.surface, self._kit())

    def notice(self, text: str) -> None:
        """Say at once that something takes a while; the next frame paints over it."""
        self.stage.notice(text)
        if pygame.display.get_surface() is not None:
            pygame.display.flip()

    def close(self) -> None:
        """Break the session off, if there is one, and be silent: the window goes."""
        self._close_session()
        self.speaker.turn(False)

    def _leave_session(self) -> None:
        """Take the hands off the session, if there is one; it stays open."""
        if self.play is not None:
            self.play.hands.let_go()
            self.speaker.hush()
            self.play = None

    def _close_session(self) -> None:
        """Break the session off, if there is one; its record is whole but has no score."""
        if self.play is not None:
            session = self.play.session
            self._leave_session()
            session.close()

    @property
    def moves(self) -> bool:
        """Whether something may move by itself: time passes for a session, or something is played."""
        play, ticking = self.play, self._ticking
        if ticking is not None and self.stage.page is ticking:
            return True
        if play is not None and play.aftermath.playing:
            return True
        return play is not None and not (play.stands or play.session.over)

    def tick(self) -> None:
        """Let simulated time pass."""
        play = self.play
        if play is not None:
            play.tick()
            goes_on = not (play.paused or play.session.over)
            self.speaker.play(play.ears, running=goes_on or play.aftermath.playing)
        page = self.stage.page
        if self._ticking is not None and page is self._ticking:
            self._ticking.tick()
        elif self.loaded and isinstance(page, HomePage):
            page.tick()

    # Events -------------------------------------------------------------------------------

    def handle(self, event: pygame.event.Event) -> None:
        """Take one event of the window."""
        take = _TAKES.get(event.type)
        if take is not None:
            take(self, event)

    def _button_down(self, event: pygame.event.Event) -> None:
        if event.button == _LEFT:
            self.stage.mouse_down(event.pos)
        elif event.button == _RIGHT:
            self.stage.ask(event.pos)

    def _button_up(self, event: pygame.event.Event) -> None:
        if event.button == _LEFT:
            self.stage.mouse_up(event.pos)

    def key_down(self, stroke: Stroke) -> None:
        """Take a key of the keyboard; a stop key of the saw acts whatever page or field has it."""
        play = self.play
        if play is not None:
            from sim.view.play.console_rows import stop_at

            stop = stop_at(stroke.name, with_ctrl=stroke.ctrl)
            if stop:
                play.on_copy.end()
                play.hands.press(f"key {stroke.name}", stop)
                return
        self.stage.key_down(stroke)

    def key_up(self, name: str) -> None:
        """Take a key of the keyboard coming up."""
        if self.play is not None:
            self.play.hands.release(f"key {name}")
        self.stage.key_up(name)

    def _wheel(self, event: pygame.event.Event) -> None:
        self.stage.wheel(pygame.mouse.get_pos(), event.y)

    def _resized(self, _event: pygame.event.Event) -> None:
        self.resize(pygame.display.get_surface())

    def resize(self, surface: Surface | None) -> None:
        """Go on at another size."""
        if surface is not None and surface.get_size() >= (1, 1):
            self.surface = surface
            self.stage.resize(surface, self._kit())


_TAKES: Final[dict[int, Callable[[App, pygame.event.Event], None]]] = {
    pygame.QUIT: lambda app, _: app.quit(),
    pygame.MOUSEBUTTONDOWN: App._button_down,
    pygame.MOUSEBUTTONUP: App._button_up,
    pygame.MOUSEMOTION: lambda app, event: app.stage.mouse_move(event.pos),
    pygame.MOUSEWHEEL: App._wheel,
    pygame.KEYDOWN: lambda app, event: app.key_down(stroke_of(event)),
    pygame.KEYUP: lambda app, event: app.key_up(stroke_of(event).name),
    pygame.WINDOWFOCUSLOST: lambda app, _: app.stage.let_go(),
    pygame.VIDEORESIZE: App._resized,
}


def stroke_of(event: pygame.event.Event) -> Stroke:
    """Return the stroke of a key event."""
    name = pygame.key.name(event.key)
    text = getattr(event, "unicode", "")
    held = getattr(event, "mod", 0)
    ctrl = bool(held & pygame.KMOD_CTRL)
    shown = text if text.isprintable() and not ctrl else ""
    return Stroke(_WORDS.get(name, name), shown, bool(held & pygame.KMOD_SHIFT), ctrl)
