"""Whether there is a display, and what opens the window on it."""

import gc
import os
import sys
from collections.abc import Callable


def has_display() -> bool:
    """Return whether a window can be shown."""
    if os.environ.get("SDL_VIDEODRIVER") in ("dummy", "offscreen"):
        return False
    if sys.platform in ("win32", "darwin"):
        return True
    return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))


def window() -> Callable[..., int]:
    """Return what opens the window. It loads quicker without garbage collection, which is off from here."""
    gc.disable()  # the window turns it on again once it is there
    from sim.view.pages.window import run

    return run
