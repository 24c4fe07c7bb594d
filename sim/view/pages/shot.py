"""A picture of the window at one moment of a session, without a window."""

from collections.abc import Callable
from io import BytesIO

import pygame
from pygame import Surface

from sim.records.settings import Settings
from sim.session.session import Session
from sim.view.kit.kit import kit_for
from sim.view.kit.stage import Stage
from sim.view.pages.app import start_drawing
from sim.view.pages.saw_page import SawPage
from sim.view.play.play import Play


def shot(
    session: Session,
    size: tuple[int, int] = (1600, 900),
    text_scale: float = 1.0,
    tab: str = "console",
    run: Callable[[Session], None] | None = None,
) -> Surface:
    """Return the window as it would look now, for a session at its present time.

    Args:
        session: Where it stands is what is drawn.
        size: Of the window, px.
        text_scale: 1, 1.25, 1.5, 1.75 or 2.
        tab: Which sheet is open.
        run: Brings the session to the moment first; the window sees and hears all of it.
    """
    start_drawing()
    surface = Surface(size)
    play = Play(session)
    play.tab = tab
    if run is not None:
        session.follow(play.telling)
        run(session)
        play.telling.listen()
    play.guide.settle()
    page = SawPage(play, _nothing, _nothing, _nothing, _nothing)
    Stage(surface, kit_for(size, Settings().with_("text", f"{text_scale * 100:.0f}")), page).frame()
    return surface


def _nothing() -> None:
    return


def png_of(surface: Surface) -> bytes:
    """Return a picture as a PNG file has it."""
    file = BytesIO()
    pygame.image.save(surface, file, "shot.png")
    return file.getvalue()
