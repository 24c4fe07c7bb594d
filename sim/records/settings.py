"""What this person has chosen: units, size of text, contrast, colours, motion, sticky keys, sound, language.

Chosen in the window, where all of it holds; the terminal reads the language and the units.
Kept as a small JSON file beside the records; a file that cannot be read counts as none. Never here:
anything about the saw.
"""

import json
import os
from dataclasses import asdict, dataclass, fields, replace
from pathlib import Path
from typing import Final

from sim.errors import RecordError
from sim.records.folder import home
from sim.records.regular import WRITE, open_regular, reading
from sim.words.reader import languages

UNITS: Final = ("metric", "inch")
SCALES: Final = ("100", "125", "150", "175", "200")
CONTRASTS: Final = ("calm", "stark")
COLOURS: Final = ("usual", "apart")
MOTIONS: Final = ("full", "still")
ON_OFF: Final = ("off", "on")
SOUNDS: Final = ("auto", "on", "off")
LANGUAGES: Final = languages()

_LARGEST_BYTES: Final = 16_384

CHOICES: Final[dict[str, tuple[str, ...]]] = {
    "units": UNITS, "text": SCALES, "contrast": CONTRASTS, "colours": COLOURS, "motion": MOTIONS,
    "sticky": ON_OFF, "sound": SOUNDS, "captions": ON_OFF, "language": LANGUAGES,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Settings:
    """One choice for each; the language is empty as long as nobody has chosen it."""

    units: str = "metric"
    text: str = "100"
    contrast: str = "calm"
    colours: str = "usual"
    motion: str = "full"
    sticky: str = "off"
    sound: str = "auto"
    captions: str = "on"
    language: str = ""

    @property
    def text_scale(self) -> float:
        """By how much text is larger than plain."""
        return int(self.text) / 100

    def with_(self, name: str, choice: str) -> "Settings":
        """Return the settings with one choice changed; an unknown choice changes nothing."""
        if choice not in CHOICES.get(name, ()):
            return self
        return replace(self, **{name: choice})


def _path() -> Path:
    return home() / "window.json"


def read_settings() -> Settings:
    """Return the settings that were kept, plain ones where there are none."""
    try:
        with reading(_path()) as file:
            kept = json.loads(file.read(_LARGEST_BYTES))
    except (OSError, ValueError, RecursionError, RecordError):
        return Settings()
    settings = Settings()
    if isinstance(kept, dict):
        for row in fields(Settings):
            settings = settings.with_(row.name, str(kept.get(row.name, "")))
    return settings


def keep_settings(settings: Settings) -> bool:
    """Keep the settings for the next time; return whether that was possible."""
    try:
        _path().parent.mkdir(parents=True, exist_ok=True)
        with os.fdopen(open_regular(_path(), WRITE), "wb") as file:
            file.truncate(0)
            file.write(json.dumps(asdict(settings), indent=1).encode() + b"\n")
    except (OSError, ValueError, RecordError):
        return False
    return True
