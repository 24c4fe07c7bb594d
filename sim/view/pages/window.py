"""Opens the window, draws it frame by frame, and loads between frames what the first did not need."""

import gc
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Final
from warnings import catch_warnings, simplefilter

import pygame
from pygame import Surface, Window

from sim.kernel.pacing import wall_s
from sim.records.ending import Ended, asked, whole
from sim.records.settings import read_settings
from sim.view.kit.icon import icon
from sim.view.pages.app import App, Target, start_drawing
from sim.words.speech import reader

if TYPE_CHECKING:
    from sim.logic.proof.proof import Finding
    from sim.logic.proof.unfold import Row

FRAMES_A_SECOND: Final = 60
_SIZE: Final = (1280, 720)  # where nobody says how large the screen is
_QUIET_S: Final = 1.0  # after a hand has done something, frames come fast for so long
_NAP_MS: Final = 8  # between two looks for a hand, while nothing moves by itself
_NAPS: Final = 12  # at most before the next frame
_SHORT_NAPS: Final = 4  # while time runs, and nothing is to be seen or heard of it but the clock
_LITTLE: Final = 0.01  # of the window, that the clock and a lamp take
_LATER: Final = (
    "sim.scenario.scenario", "sim.session.opening", "sim.view.play.play", "sim.view.pages.saw_page",
    "sim.view.pages.debrief_page", "sim.view.pages.replay_page", "sim.view.pages.settings_page",
    "sim.view.pages.home_saw",
)  # fmt: skip


def load_the_rest() -> Iterator[None]:
    """Load what the first frame does not need, a part at a time between frames.

    What is there by then stays, so the collector need not look at it again while frames are drawn.
    """
    for name in _LATER:
        import_module(name)
        yield
    gc.freeze()
    gc.enable()


def run_example(finding: "Finding", rows: "tuple[Row, ...]") -> int:
    """Open the window on how a property is broken, and stay until it is closed; return 0.

    Raises:
        DrycycleError: No display.
    """
    return run(first=lambda app: app.show_example(finding, rows, app.quit))


def run(
    target: Target = None,
    record: Path | None = None,
    first: Callable[[App], None] | None = None,
    code: str = "",
) -> int:
    """Open the window, on home or on a scenario, and stay until it is closed; return 0.

    Args:
        target: A scenario's name or file, a function that opens a session, or None for home.
        record: Where the session's record goes; None for the record folder.
        first: Called with the window before its first frame.
        code: The instructor's code of every session that is begun here; empty for none.

    Raises:
        DrycycleError: No display, or a scenario that cannot be opened.
    """
    start_drawing()
    try:
        surface = open_window()
        with (
            whole(),
            _closing(App(surface, target, record, read_settings(), reader().language, code)) as app,
        ):
            if first is not None:
                first(app)
            frames = Frames(app)
            while app.running and not asked():
                frames.one()
                frames.wait()
    finally:
        pygame.display.quit()
    return 0


def open_window() -> Surface:
    """Open a window as large as the screen, with a title bar and our own icon; return what is drawn on."""
    screens = pygame.display.get_desktop_sizes()
    size = screens[0] if screens and min(screens[0]) > 1 else _SIZE
    pygame.display.set_icon(icon())
    pygame.display.set_mode(size, pygame.RESIZABLE)
    pygame.display.set_caption("drycycle")
    with suppress(pygame.error, AttributeError), catch_warnings():
        # Without a window manager it has the screen's size as it is. There is no other way yet to
        # reach the window of `display`, though this one is to go.
        simplefilter("ignore", DeprecationWarning)
        Window.from_display_module().maximize()
    return pygame.display.get_surface() or pygame.display.set_mode(size, pygame.RESIZABLE)


class Frames:
    """Frame after frame of one window: fast while something moves or a hand is at it, else now and then.

    A hand ends the wait for the next frame.
    """

    def __init__(self, app: App) -> None:
        self._app = app
        self._clock = pygame.time.Clock()
        self._rest: Iterator[None] | None = load_the_rest()
        self._touched_s = self._moved_s = wall_s()

    def one(self) -> None:
        """Take what hands have done, let time pass, and show what has changed."""
        app = self._app
        for event in pygame.event.get():
            app.handle(event)
            self._touched_s = wall_s()
        app.tick()
        changed = app.stage.frame()
        if changed:
            pygame.display.update(changed)
            width, height = app.surface.get_size()
            if sum(each.width * each.height for each in changed) > _LITTLE * width * height:
                self._moved_s = wall_s()
        if self._rest is not None and next(self._rest, self) is self:
            self._rest = None
            app.loaded = True

    def wait(self) -> None:
        """Wait for the next frame; while nothing moves by itself, for a hand."""
        self._clock.tick(FRAMES_A_SECOND)
        app, least_s = self._app, wall_s() - _QUIET_S
        if self._rest is not None or self._touched_s > least_s:
            return
        if app.moves and (self._moved_s > least_s or app.speaker.sounding):
            return
        for _ in range(_SHORT_NAPS if app.moves else _NAPS):
            if pygame.event.peek():
                return
            pygame.time.wait(_NAP_MS)


@contextmanager
def _closing(app: App) -> Iterator[App]:
    """Close the session when the window goes, however it goes."""
    try:
        yield app
    except Ended:
        raise  # within an act: there is no state that a closing line could tell
    except BaseException:
        app.close()
        raise
    app.close()
