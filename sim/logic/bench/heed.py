"""What a careful person heeds before an action, though no interlock asks for it now.

Two things make it up: what a jumper keeps the controller from asking for, and what the controller does
not check in MANUAL: nobody lowers a coasting or unguarded band, and nobody releases a bar with the band
in it.

Never here: how it is brought about (see `freeing`).
"""

from typing import Final

from sim.control import needs
from sim.control.controller import Controller
from sim.control.interlocks import Need, Permissive, When
from sim.control.outputs import DRIVEN

_GUARDED: Final = (needs.GUARD, needs.COVER)
_OUT_OF_THE_CUT: Final = (needs.STILL, needs.HEAD_UP)


def heeds(controller: Controller, action: str) -> tuple[Need, ...]:
    """Return what is to hold before an action besides what the controller asks for.

    Args:
        controller: Of the saw as it stands.
        action: Of the table of actions.
    """
    unasked = (permissive.need for permissive in jumpered(controller, action))
    return tuple(dict.fromkeys((*unasked, *_by_hand(controller, action))))


def jumpered(controller: Controller, action: str) -> tuple[Permissive, ...]:
    """Return the rows that would apply to an action now, were no jumper over them."""
    image = controller.image
    return tuple(
        row
        for row in controller.rows.needs_of(action, When.KEY)
        if row in controller.bypassed and row.applies(image)
    )


def unheeded(controller: Controller, action: str) -> tuple[Need, ...]:
    """Return what no interlock asks for and does not hold now; jumpers left out."""
    return tuple(n for n in _by_hand(controller, action) if not n.holds(controller.image))


def _by_hand(controller: Controller, action: str) -> tuple[Need, ...]:
    image = controller.image
    if action == "cutting_vise.release":
        return _OUT_OF_THE_CUT
    if action != "head.lower":
        return ()
    driven = image["mode"] == "MANUAL" and image["band"] in DRIVEN["band"]
    still = () if driven else (needs.STILL,)  # a band that is driven may cut
    return still if image["mode"] == "MAINTENANCE" else (*still, *_GUARDED)
