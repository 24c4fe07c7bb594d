"""The short words of other tables as messages: families of faults, who mends, modes, sources of wires."""

from typing import Final

from sim.faults.fault import Family, Who
from sim.signals import Source
from sim.words.fields import one_of
from sim.words.message import row

FAMILY: Final = row("fault.family", "{family}", family=one_of(*(each.value for each in Family)))
WHO: Final = row("fault.who", "{who}", who=one_of(*(each.value for each in Who)))
SOURCE: Final = row("key.source", "{source}", source=one_of(*(each.value for each in Source)))
MODE: Final = row(
    "scenario.mode", "{mode}", mode=one_of("practice", "lesson", "drill", "assessment")
)
