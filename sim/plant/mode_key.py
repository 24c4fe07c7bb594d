"""The key of the mode switch: whoever has it in the pocket has the saw in his own control.

Without the key the switch stays where it was left.
"""

from typing import Final

IN_SWITCH, IN_POCKET = "in the switch", "in my pocket"
PLACES: Final = (IN_SWITCH, IN_POCKET)
