"""When a cause counts as told apart from all others.

Two things are asked, and both at once. The belief in it must be so high that naming it is no longer a
bet. And what was seen since the report must have raised its odds, so that nobody earns by naming
what the report alone made likely.

Never here: where the belief comes from.
"""

from dataclasses import dataclass
from typing import Final

SHARE: Final = 0.9
"""Chosen: what does not fit the report shares a twentieth of the belief. Where a sight halves what fits,
that becomes a tenth, and who reasoned so has not guessed."""
RISE: Final = (
    3.0  # chosen: the skilled way through each of nine drills ends by it, a bare reading of none
)


def told_apart(before: float, now: float, share: float = SHARE, rise: float = RISE) -> bool:
    """Return whether a cause is told apart, by the belief in it before anything was seen and now.

    Args:
        before: Once the report was heard, 0 to 1.
        now: 0 to 1.
        share: That is asked of it now.
        rise: How many times its odds must have risen.
    """
    if now >= 1.0:
        return True
    # The odds, now / (1 - now), against what they were.
    return now >= share and now * (1.0 - before) >= rise * before * (1.0 - now)


@dataclass(frozen=True, slots=True)
class Enough:
    """What is asked of the leading class of causes.

    Args:
        total: The weight of all causes before anything was seen.
        share: Of the weight that is left, which it must hold.
        rise: How many times its odds must have risen.
    """

    total: float
    share: float = SHARE
    rise: float = RISE

    def holds(self, lead: float, left: float) -> bool:
        """Return whether a class is told apart.

        Args:
            lead: Its weight.
            left: The weight of everything that is still possible, itself included.
        """
        return told_apart(lead / self.total, lead / left, self.share, self.rise)
