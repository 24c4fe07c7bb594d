"""How long a frame takes, drawn in software, the saw in the round. Run it by hand; it asserts nothing.

    python -m tests.bench.bench_frames      (from the project folder)

Prints median and 99th percentile in milliseconds of processor time for each size, with a cut running and
over a whole cycle without one (shuttle, vises and head move), how much of it is drawing and how much the
simulation, and the start until the first frame, on the processor and on the wall, of home and of the saw.
Ratios travel between machines, the milliseconds do not; on a machine with other work the processor's time
tells more than the wall's.
"""

import os
import subprocess
import sys
from statistics import median, quantiles
from time import perf_counter, process_time

os.environ.setdefault("SDL_VIDEODRIVER", "dummy")

import pygame

from sim.pilot import autopilot
from sim.session.opening import open_session
from sim.view.pages.app import App, start_drawing

FRAMES = 600
FRAME_US = 16_667
SIZES = ((1280, 720), (1600, 900), (3840, 2160))


def frames_ms(size: tuple[int, int], *, sawing: bool) -> tuple[list[float], list[float]]:
    """Return what each frame took to draw and to simulate, ms, in a cut or while everything else moves."""
    start_drawing()
    surface = pygame.display.set_mode(size)
    session = open_session("rail-posts", nonce="bench")
    app = App(surface, lambda: session)
    autopilot.power_up(session)
    autopilot.set_up(session)
    autopilot.begin(session)
    head = session.saw.plant.head
    while head.cutting is None:
        session.advance(0.5)
    while not sawing and head.cutting is not None:
        session.advance(0.1)
    app.play.go("console")
    app.stage.frame()
    drawing, simulating = [], []
    while len(drawing) < FRAMES:
        began = process_time()
        session.advance_us(FRAME_US)
        simulated = process_time()
        if (head.cutting is not None) != sawing:
            while (head.cutting is not None) != sawing:  # what comes between is not measured here
                session.advance(0.1)
            app.stage.frame()
            continue
        pygame.display.update(app.stage.frame())
        drawing.append((process_time() - simulated) * 1e3)
        simulating.append((simulated - began) * 1e3)
    return drawing, simulating


_HOME = "App(pygame.display.set_mode((1600, 900))).stage.frame()"
_SAW = "App(pygame.display.set_mode((1600, 900)), lambda: open_session('rail-posts')).stage.frame()"


def first_frame_s(page: str) -> tuple[float, float]:
    """Return how long a new interpreter takes to the first frame of a page: on the processor, on the wall."""
    program = (
        "import time, pygame\n"
        "from sim.view.pages.app import App, start_drawing\n"
        "from sim.session.opening import open_session\n"
        "start_drawing()\n"
        f"{page}\n"
        "print(time.process_time())\n"
    )
    began = perf_counter()
    done = subprocess.run(
        [sys.executable, "-c", program], check=True, capture_output=True, text=True
    )
    return float(done.stdout.split()[-1]), perf_counter() - began


def main() -> None:
    """Print the table."""
    base = 0.0
    for size in SIZES:
        for sawing in (True, False):
            drawing, simulating = frames_ms(size, sawing=sawing)
            middle = median(drawing)
            base = base or middle
            print(
                f"{size[0]}x{size[1]}, {'in a cut' if sawing else 'between cuts'}: frame median {middle:.2f} ms, "
                f"99th {quantiles(drawing, n=100)[98]:.2f} ms, longest {max(drawing):.2f} ms, "
                f"{middle / base:.1f} x the first; simulation median {median(simulating):.3f} ms"
            )
    for name, page in (("home", _HOME), ("the saw", _SAW)):
        starts = [first_frame_s(page) for _ in range(5)]
        processor, wall = (median(times) for times in zip(*starts, strict=True))
        print(
            f"start to the first frame of {name}: {processor:.2f} s of processor, {wall:.2f} s on the wall"
        )


if __name__ == "__main__":
    main()
