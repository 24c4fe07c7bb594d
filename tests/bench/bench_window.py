"""What the window costs while nobody does anything, and how long a key takes to the picture. It asserts nothing.

    python -m tests.bench.bench_window      (from the project folder)

Prints the share of a core that an idle window takes, at home and at a paused session, the memory of the
process, and the processor's time from a key to the picture with it, median and 99th percentile; to that
comes on the wall the rest of the frame that the key came in, 17 ms at most, or of the nap, 8 ms.
"""

import os
import resource
from statistics import median, quantiles
from time import perf_counter, process_time

os.environ.setdefault("SDL_VIDEODRIVER", "dummy")

import pygame

from sim.pilot import autopilot
from sim.session.opening import open_session
from sim.view.pages.app import App, start_drawing
from sim.view.pages.window import Frames

SIZE = (1600, 900)
IDLE_S = 10.0
SETTLES_S = 5.0
KEYS = ("5", "4", "k", "w", "s", "tab", "f3", "f2")
STROKES = 200


def idle_share(app: App) -> str:
    """Return the share of a core that a window takes which nobody touches, and its frames a second.

    A machine with other work draws fewer frames than it would, and the share is too small then.
    """
    frames, drawn = Frames(app), 0
    began_s, spent_s = perf_counter(), 0.0
    while perf_counter() - began_s < SETTLES_S + IDLE_S:
        if perf_counter() - began_s < SETTLES_S:
            spent_s, drawn = process_time(), 0
        frames.one()
        frames.wait()
        drawn += 1
    share = (process_time() - spent_s) / IDLE_S
    return f"{share:.1%} of a core at {drawn / IDLE_S:.0f} frames a second"


def key_to_picture_ms(app: App) -> list[float]:
    """Return what each of many keys takes until the picture has it, ms of processor time."""
    app.stage.frame()
    took = []
    for number in range(STROKES):
        code = pygame.key.key_code(KEYS[number % len(KEYS)])
        began = process_time()
        app.handle(pygame.event.Event(pygame.KEYDOWN, key=code, unicode="", mod=0))
        app.tick()
        pygame.display.update(app.stage.frame())
        took.append((process_time() - began) * 1e3)
        app.handle(pygame.event.Event(pygame.KEYUP, key=code, mod=0))
        app.play.tick()
        app.stage.frame()
    return took


def main() -> None:
    """Print the table."""
    start_drawing()
    surface = pygame.display.set_mode(SIZE)
    print(f"idle at home: {idle_share(App(surface))}")
    session = open_session("rail-posts", nonce="bench")
    app = App(surface, lambda: session)
    autopilot.power_up(session)
    app.play.go("console")
    app.play.paused = True
    print(f"idle at a paused session: {idle_share(app)}")
    app.play.paused = False
    print(f"idle at a saw that stands, time running: {idle_share(app)}")
    took = key_to_picture_ms(app)
    print(
        f"key to picture: median {median(took):.1f} ms, 99th {quantiles(took, n=100)[98]:.1f} ms, "
        f"longest {max(took):.1f} ms of processor"
    )
    most_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"memory: {most_mb:.0f} MB at most")


if __name__ == "__main__":
    main()
