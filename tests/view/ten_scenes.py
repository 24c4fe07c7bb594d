"""Ten scenes of the window as they should look, kept as small pictures beside this file.

    PYTHONPATH=. python tests/view/ten_scenes.py      draws them anew, after a change that is meant

Look at each before it is committed.
"""

import os
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("SDL_VIDEODRIVER", "dummy")

import pygame
from pygame import Surface

from sim.pilot import autopilot
from sim.pilot.lesson_pilot import play_lesson
from sim.records.settings import Settings
from sim.session.opening import open_session
from sim.session.session import Session
from sim.view.pages.app import App, start_drawing

FOLDER = Path(__file__).parent / "scenes"
SIZE = (1280, 720)
SMALL = (640, 360)


def _open(scenario: str, tab: str, settings: Settings | None = None) -> tuple[App, Session]:
    session = open_session(scenario, nonce="for a picture")
    app = App(Surface(SIZE), lambda: session, settings=settings)
    app.play.go(tab)
    return app, session


def _ready(scenario: str, tab: str, settings: Settings | None = None) -> tuple[App, Session]:
    app, session = _open(scenario, tab, settings)
    autopilot.power_up(session)
    autopilot.set_up(session)
    return app, session


def _cutting(scenario: str, tab: str, settings: Settings | None = None) -> tuple[App, Session]:
    """Return the first cut at half its depth."""
    app, session = _ready(scenario, tab, settings)
    autopilot.begin(session)
    head, bar = session.saw.plant.head, session.saw.plant.bar
    half = bar.height_m / 2
    while head.cutting is None or head.place.position > half:
        session.advance_us(20_000)
    return app, session


def _begun() -> App:
    return _open("rail-posts", "brief")[0]


def _console() -> App:
    return _open("rail-posts", "console")[0]


def _squaring() -> App:
    return _cutting("rail-posts", "console")[0]


def _stark() -> App:
    return _cutting("rail-posts", "console", Settings(units="inch", contrast="stark"))[0]


def _large() -> App:
    return _cutting("rail-posts", "console", Settings(text="200"))[0]


def _signals() -> App:
    app, session = _ready("rail-posts", "signals")
    autopilot.begin(session)
    autopilot.run(session, 1)
    session.advance(8.0)
    return app


def _pieces() -> App:
    app, session = _ready("rail-posts", "console")
    autopilot.begin(session)
    autopilot.run(session, 3)
    session.advance(3.0)
    return app


def _wreck() -> App:
    app, session = _ready("rail-posts", "console")
    session.set("head.stop_plunger", "on the land")
    autopilot.begin(session)
    session.advance(200.0)
    app.play.tick()
    app.play.aftermath.end()
    return app


def _mitre() -> App:
    app, session = _open("13-mitre", "console")
    play_lesson(session, app.play.lesson, len(app.play.lesson.steps) - 2)
    app.play.tick()
    return app


def _bundle() -> App:
    app, session = _open("12-bundles", "console")
    head, bar = session.saw.plant.head, session.saw.plant.bar
    play_lesson(session, app.play.lesson, len(app.play.lesson.steps) - 1)
    while head.cutting is None or head.place.position > bar.height_m / 2:
        session.advance_us(20_000)
    app.play.tick()
    return app


SCENES: dict[str, Callable[[], App]] = {
    "brief": _begun, "console": _console, "squaring cut": _squaring, "stark and inch": _stark,
    "large letters": _large, "signals": _signals, "pieces": _pieces, "wreck": _wreck,
    "mitre": _mitre, "bundle": _bundle,
}  # fmt: skip


def drawn(name: str) -> Surface:
    """Return a scene as it looks now, made small."""
    start_drawing()
    app = SCENES[name]()
    app.play.paused = True
    app.play.guide.settle()
    app.stage.frame()
    return pygame.transform.smoothscale(app.surface, SMALL)


def path_of(name: str) -> Path:
    """Return where a scene is kept."""
    return FOLDER / f"{name.replace(' ', '-')}.png"


def main() -> None:
    """Draw all scenes anew."""
    FOLDER.mkdir(exist_ok=True)
    for name in SCENES:
        pygame.image.save(drawn(name), str(path_of(name)))


if __name__ == "__main__":
    main()
