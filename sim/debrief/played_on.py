"""Which scenario a session was on: a scenario is the digest of its file, and so is the saw.

A file of one's own may have the name and the title of a drill that ships, and an easier cause in it; a
drill that ships can be played on a saw of one's own. Both are told as such, and count neither as the
drill nor towards what it trains.

Never here: what was done in it.
"""

from dataclasses import dataclass
from functools import lru_cache
from hashlib import sha256
from typing import Final

from sim.records.rows import Opening
from sim.scenario import library
from sim.scenario.machines import whole_file
from sim.session.kept.origin import Origin
from sim.words.fields import name
from sim.words.message import Message, named, row

_SHORT: Final = 8  # characters of a digest that are told

_OWN_FILE: Final = row(
    "played-on.own-file", "own file {name} ({digest})", name=name(), digest=name()
)
_OWN_SAW: Final = row(
    "played-on.own-saw", "{name} on a saw of its own ({digest})", name=name(), digest=name()
)


@dataclass(frozen=True, slots=True)
class PlayedOn:
    """A scenario and its saw, as a record holds them."""

    scenario: str  # its name: that of the file that ships, else of the file
    digest: str  # of the scenario's file, SHA-256; empty of a session without a file
    saw: str  # digest of the machine's file
    own_file: bool  # no scenario of this version has that digest
    own_saw: bool  # no machine of this version has that digest

    @property
    def counts(self) -> bool:
        """Whether it is a scenario that ships, on a saw that ships."""
        return not self.own_file and not self.own_saw

    @property
    def own(self) -> str:
        """`file` or `saw`, where that is somebody's own; else empty."""
        return "file" if self.own_file else "saw" if self.own_saw else ""

    @property
    def title(self) -> Message:
        """Its name, and of what is somebody's own that it is."""
        if self.own_file:
            return _OWN_FILE(name=self.scenario or "-", digest=self.digest[:_SHORT] or "-")
        if self.own_saw:
            return _OWN_SAW(name=self.scenario, digest=self.saw[:_SHORT])
        return named(self.scenario)


def played_on(on: Opening | Origin) -> PlayedOn:
    """Return what a record's opening, or a session's origin, says that was played."""
    machine = on.machine_text.encode() if isinstance(on, Opening) else on.machine_file
    saw, known = sha256(machine).hexdigest(), scenarios_that_ship()
    return PlayedOn(
        known.get(on.scenario_sha256, on.scenario), on.scenario_sha256, saw,
        on.scenario_sha256 not in known, saw not in _saws(),
    )  # fmt: skip


@lru_cache(maxsize=1)
def scenarios_that_ship() -> dict[str, str]:
    """Return the names of this version's scenarios by the SHA-256 of their files."""
    return {sha256(path.read_bytes()).hexdigest(): name for name, path in library.entries()}


@lru_cache(maxsize=1)
def _saws() -> frozenset[str]:
    """Return the digests of this version's machines, each with every number in its text."""
    paths = [library.machine_path(each) for each in library.machine_names()]
    return frozenset(sha256(whole_file(path)).hexdigest() for path in paths)
