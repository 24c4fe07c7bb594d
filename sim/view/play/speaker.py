"""The speaker: plays what the ears hear, where there is something to play it on.

The mixer is started only when sound is wanted; a computer without a sound device stays silent and
says nothing about it.
"""

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Final

import pygame

from sim.view.play.samples import KNOCKS, LOOPS, RATE_HZ

if TYPE_CHECKING:
    from sim.view.play.hearing import Ears

_BUFFER: Final = 512
_MOST_KNOCKS: Final = 3  # in one frame


def has_device() -> bool:
    """Return whether this computer looks as if it could play a sound."""
    if os.environ.get("SDL_AUDIODRIVER") == "dummy":
        return False
    if sys.platform in ("win32", "darwin"):
        return True
    runtime = Path(os.environ.get("XDG_RUNTIME_DIR", "/nonexistent"))
    servers = (runtime / "pulse" / "native", runtime / "pipewire-0")
    if os.environ.get("PULSE_SERVER") or any(server.exists() for server in servers):
        return True
    return any(Path("/dev/snd").glob("pcmC*p"))


def wants_sound(setting: str) -> bool:
    """Return whether to sound: with `on`, and with `auto` where the computer has a device."""
    return setting == "on" or (setting == "auto" and has_device())


class Speaker:
    """The sounds of one window."""

    def __init__(self) -> None:
        self.on = False
        self._loops: dict[str, pygame.mixer.Sound] = {}
        self._knocks: dict[str, pygame.mixer.Sound] = {}
        self._channels: dict[str, pygame.mixer.Channel] = {}

    def turn(self, on: bool) -> None:
        """Turn sound on, if there is anything to play it on, or off."""
        if on and not self.on:
            self.on = self._start()
        elif not on and self.on:
            self.hush()
            pygame.mixer.quit()
            self.on = False

    def _start(self) -> bool:
        try:
            pygame.mixer.init(RATE_HZ, -16, 1, _BUFFER)
        except pygame.error:
            return False
        self._loops = {name: pygame.mixer.Sound(buffer=make()) for name, make in LOOPS.items()}
        self._knocks = {name: pygame.mixer.Sound(buffer=make()) for name, make in KNOCKS.items()}
        pygame.mixer.set_num_channels(len(LOOPS) + 8)
        pygame.mixer.set_reserved(len(LOOPS))
        self._channels = {name: pygame.mixer.Channel(i) for i, name in enumerate(LOOPS)}
        return True

    def hush(self) -> None:
        """Stop everything that goes on."""
        for channel in self._channels.values():
            channel.stop()

    def play(self, ears: "Ears", *, running: bool) -> None:
        """Play what is heard now; silence while the clock stands."""
        knocks = ears.knocks()
        if not self.on:
            return
        loops = ears.loops() if running else {}
        for name, channel in self._channels.items():
            loudness = loops.get(name, 0.0)
            if loudness <= 0.0:
                channel.stop()
                continue
            if not channel.get_busy():
                channel.play(self._loops[name], loops=-1)
            channel.set_volume(loudness)
        for knock in knocks[-_MOST_KNOCKS:]:
            self._knocks[knock.name].play()

    @property
    def sounding(self) -> frozenset[str]:
        """Which loops are being played."""
        return frozenset(
            n for n, channel in self._channels.items() if self.on and channel.get_busy()
        )
