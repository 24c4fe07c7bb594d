"""Whether what runs all the time is drawn running: band, coolant, chips, a piece that rolls aside.

As there is one reader for whoever looks, there is one answer for the program. Where somebody wants no
motion the picture shows those as at one moment; what a part does, and where it is, is drawn as ever.
"""

from typing import TYPE_CHECKING

from sim.units import US

if TYPE_CHECKING:  # the first frame of home loads no saw
    from sim.session.session import Session

_still = [False]


def keep_still(on: bool) -> None:
    """Have everything that runs all the time stand in the picture, or run again."""
    _still[0] = on


def stands() -> bool:
    """Return whether everything that runs all the time stands in the picture."""
    return _still[0]


def running_us(session: "Session") -> int:
    """Return the time by which is drawn what runs all the time, us; always the same where that stands."""
    return 0 if _still[0] else session.saw.clock.now_us


def running_s(session: "Session") -> float:
    """Return the time by which is drawn what runs all the time, s."""
    return running_us(session) / US
