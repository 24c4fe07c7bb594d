"""The speaker: plays what the ears hear, where there is something to play it on.

The mixer is started only when sound is wanted; a computer without a sound device stays silent and
says nothing about it.
"""

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Final

import pygame

from sim.view.play.samples import KNOCKS, RATE_HZ
from sim.view.play.synth import Synth

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sim.view.play.hearing import Ears
    from sim.view.play.synth import Note

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
        self._synth: Synth | None = None
        self._knocks: dict[str, pygame.mixer.Sound] = {}
        self._channel: pygame.mixer.Channel | None = None
        self._sounding: frozenset[str] = frozenset()

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
            # A device of another rate is fed through a converter: else every pitch would be off.
            pygame.mixer.init(RATE_HZ, -16, 1, _BUFFER, allowedchanges=0)
        except pygame.error:
            return False
        self._knocks = {name: pygame.mixer.Sound(buffer=make()) for name, make in KNOCKS.items()}
        pygame.mixer.set_num_channels(8)
        pygame.mixer.set_reserved(1)
        self._channel = pygame.mixer.Channel(0)
        self._synth = Synth()
        return True

    def hush(self) -> None:
        """Stop everything that goes on."""
        if self._channel is not None and pygame.mixer.get_init():
            self._channel.stop()
        self._synth = None if self._synth is None else Synth()
        self._sounding = frozenset()

    def play(self, ears: "Ears", *, running: bool) -> None:
        """Play what is heard now; silence while the clock stands."""
        knocks = ears.knocks()
        if not self.on:
            return
        notes = ears.notes() if running else {}
        self._sounding = frozenset(notes)
        if self._synth is not None and (notes or not self._synth.silent):
            self._feed(self._synth, notes)
        for knock in knocks[-_MOST_KNOCKS:]:
            self._knocks[knock.name].play()

    def _feed(self, synth: Synth, notes: "Mapping[str, Note]") -> None:
        """Keep one piece playing and one behind it."""
        channel = self._channel
        if channel is None or channel.get_queue() is not None:
            return
        piece = pygame.mixer.Sound(buffer=synth.piece(notes))
        if channel.get_busy():
            channel.queue(piece)
        else:
            channel.play(piece)

    @property
    def sounding(self) -> frozenset[str]:
        """What of all that goes on is being played."""
        return self._sounding if self.on else frozenset()
