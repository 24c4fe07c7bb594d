"""What a coach says of the mode switch that was turned.

What to do instead of a harm stands in the harm's row, what an action sets going in the action's, and
numbers, rules, devices, reasons and what a reaction means come from the machine and the interlock
table, never from here.
"""

from typing import Final

from sim.control.interlocks import THE_ROWS, Rows
from sim.words.message import Message, plain

# The mode switch turned to -> what the mode means.
MODE: Final = {
    f"mode.{mode}": plain(f"advice.mode.{mode}", text)
    for mode, text in (
        (
            "manual",
            "MANUAL: a part moves while its key is held. The band runs only guarded, and until it is stopped; every stop works, and the shuttle goes forward only with the head up. But no interlock checks clamping and band before the head is lowered by hand: check both yourself.",
        ),
        (
            "maintenance",
            "MAINTENANCE: one part creeps or jogs while its key and the enabling device are held; "
            "it needs power, so it is no lock-out.",
        ),
        (
            "production",
            "PRODUCTION: the job has all parts, and the movement keys are dead; no part is driven before a start.",
        ),
    )
}
# The same on a saw with interlock rows of its own, of which nothing is said in general.
_WITH_OWN_ROWS: Final = {
    **MODE,
    "mode.manual": plain(
        "advice.mode.manual.own-rows",
        "MANUAL: a part moves while its key is held, and the band until it is stopped. This saw has interlock rows "
        "of its own, so do not count on them: check guards, clamping, head and band yourself before each key.",
    ),
    "mode.maintenance": plain(
        "advice.mode.maintenance.own-rows",
        "MAINTENANCE: it needs power, so it is no lock-out. This saw has interlock rows of its own, so do not count "
        "on the enabling device or on slow motion.",
    ),
}


def of_mode(rows: Rows) -> dict[str, Message]:
    """Return what is said of each position of the mode switch on a saw whose controller walks some rows."""
    return MODE if rows is THE_ROWS else _WITH_OWN_ROWS
