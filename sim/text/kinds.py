"""What kinds of thing are called that tables have by a short word: each translated in its own row."""

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
