"""When a cause counts as told apart from all others.

Two things are asked, and both at once. The belief in it must be so high that naming it is no longer a
bet. And what was seen since the report must have raised its odds, so that nobody earns by naming
what the report alone made likely.

Never here: where the belief comes from.
"""

from dataclasses import dataclass
from typing import Final

SHARE: Final = 0.95
RISE: Final = 3.0  # chosen: the skilled way through each of nine drills ends by it, a bare reading of none


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
        others = max(left - lead, 0.0)
        # The odds, lead / others, against what they were, lead / (total - lead).
        risen = self.rise * others <= self.total - lead or others == 0.0
        return lead >= self.share * left and risen
