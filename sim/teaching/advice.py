"""What a coach says of the mode switch that was turned.

What to do instead of a harm stands in the harm's row, what an action sets going in the action's, and
numbers, rules, devices, reasons and what a reaction means come from the machine and the interlock
table, never from here.
"""

from typing import Final

from sim.words.message import plain

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
