"""Opens the window, draws it frame by frame, and loads between frames what the first did not need."""

import gc
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Final

import pygame

from sim.records.ending import Ended, asked, whole
from sim.records.settings import read_settings
from sim.view.pages.app import App, Target, start_drawing
from sim.words.speech import reader

if TYPE_CHECKING:
    from sim.logic.proof.proof import Finding
    from sim.logic.proof.unfold import Row

FRAMES_A_SECOND: Final = 60
_SIZE: Final = (1280, 720)
_LATER: Final = (
    "sim.scenario.scenario", "sim.session.opening", "sim.view.play.play", "sim.view.pages.saw_page",
    "sim.view.pages.debrief_page", "sim.view.pages.replay_page", "sim.view.pages.settings_page",
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
        surface = pygame.display.set_mode(_SIZE, pygame.RESIZABLE)
        pygame.display.set_caption("drycycle")
        with (
            whole(),
            _closing(App(surface, target, record, read_settings(), reader().language, code)) as app,
        ):
            if first is not None:
                first(app)
            clock, rest = pygame.time.Clock(), load_the_rest()
            while app.running and not asked():
                for event in pygame.event.get():
                    app.handle(event)
                app.tick()
                pygame.display.update(app.stage.frame())
                next(rest, None)
                clock.tick(FRAMES_A_SECOND)
    finally:
        pygame.display.quit()
    return 0


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
