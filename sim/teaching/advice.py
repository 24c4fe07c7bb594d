"""What a coach would say, as tables; nothing is computed here.

For each kind of harm there is a message with what to do instead, for each action one with what it
sets going. Numbers, rules, devices, reasons and what a reaction means come from the machine and the
interlock table, never from here.
"""

from collections.abc import Mapping
from typing import Final

from sim.words.fields import part
from sim.words.message import Message, Row, plain, row


def _table(about: str, texts: Mapping[str, str]) -> dict[str, Message]:
    """Return the messages of a table by what they are about."""
    return {
        name: plain(f"advice.{about}.{name.replace('_', '-')}", text)
        for name, text in texts.items()
    }


# Kind of consequence -> what to do instead, a clause.
INSTEAD: Final = _table(
    "instead",
    {
        "overload-trip": "feed less, and set the relay to the current on the motor's plate",
        "pulley-damaged": "change the speed only while the band turns (I13)",
        "band-broken": "turn the tension screw no further than the gauge's range",
        "band-thrown": "tension the band before it is started",
        "band-stalled": "feed with less force, and keep the band tensioned",
        "band-uncovered": "let the band come to rest before a guard or cover is opened",
        "started-buried": "lift the band out of its kerf before it is started",
        "teeth-stripped": "take finer teeth for thin walls, and feed no faster than the card says",
        "teeth-dulled": "keep to the metal's band speed, with coolant",
        "chips-packed": "let the brush sweep the gullets, and feed no faster than the card says",
        "brush-worn": "set the brush so that it just sweeps the gullets",
        "band-rubbed": "fit the band with its teeth pointing the way it runs",
        "guide-struck-bar": "slide the guide arm clear of the bar before the head comes down",
        "arm-drifted": "lock the guide arm before the cut",
        "cut-out-of-square": "shorten the free span, tension the band, feed less, and tighten what is loose",
        "bar-scored": "free one vise before the shuttle moves, and keep open jaws off the bar",
        "bar-slipped": "grip harder, or feed with less force",
        "tube-crushed": "raise the grip from very low, and stop short of what dents the wall",
        "bar-snatched": "grip the bar with the cutting vise before the band comes down",
        "grip-lost": "lift the head out of the bar before the vise is freed",
        "bar-into-band": "lift the head clear before the shuttle brings the bar",
        "roller-struck": "take the support roller out before the shuttle moves",
        "teeth-pressed": "start the band, and let it come to speed, before the head is lowered",
        "head-dropped": "keep the air on, or prop the head, before its pressure is let out",
        "descent-jerky": "open the bleed screw a turn",
        "swung-running": "stop the band before the head is swung (I12)",
        "swung-into-bar": "lift the head before it is swung (I12)",
        "fence-cut": "slide the outfeed fence back before a mitre is cut",
        "cut-dry": "turn the coolant to AUTO, and it comes with the band",
        "coolant-poor": "bring the coolant to its strength, with the hose shut",
        "spill": "shut the wash-down hose, and mop the floor",
    },
)

# Action taken -> what it sets going.
SETS_GOING: Final = _table(
    "sets-going",
    {
        "supply.control_on": "Both hands together: control power is on, and nothing moves until it is asked for.",
        "supply.reset": "The latch is cleared and nothing starts; the start is a separate act.",
        "band.start": "Both hands together: the band runs up.",
        "band.stop": "The band coasts to rest; a stop needs one hand only, and a job that runs stops with it.",
        "cutting_vise.grip": "The cutting vise closes; B33 makes when the grip is there, and not before.",
        "cutting_vise.free": "The cutting vise opens; now nothing holds the bar at the blade.",
        "shuttle_vise.grip": "The shuttle vise closes; B34 makes when the grip is there.",
        "shuttle_vise.free": "The shuttle vise opens; the shuttle can go without the bar.",
        "shuttle.to_stop": "The shuttle goes to its length stop for as long as the key is held.",
        "shuttle.to_blade": "The shuttle goes to the blade for as long as the key is held, with the bar if its vise grips.",
        "head.lift": "The head rises for as long as the key is held, and stops by itself at its height stop.",
        "head.lower": "The head comes down for as long as the key is held, as fast as the feed valve lets it.",
        "coolant.flow": "The coolant flows until it is turned off; in AUTO it would go with the band.",
        "coolant.dry": "The coolant is off.",
        "job.arm": "All six stations are in AUTO; nothing moves before a begin.",
        "job.hold": "Held before the head has left its stop the saw stops at once, in the cut it finishes it first.",
        "job.begin_on_trim": "The job runs: the first cut trims the end and is not counted.",
        "job.begin_on_piece": "The job runs on: the bar is brought forward first.",
    },
)

# A selector turned to -> what it means; a station that differs has its own row.
SELECTED: Final[dict[str, Row]] = {
    word: row(f"advice.selected.{word.replace('.', '-')}", text, station=part(capital=True))
    for word, text in (
        ("hand", "{station} obeys its own keys, and the interlocks of AUTO do not mind it."),
        ("auto", "{station} is the job's to drive, and refuses its keys."),
        ("band.auto", "{station} is started and stopped by the job; its stop key is always taken."),
        ("coolant.auto", "{station} goes with the band from now on."),
    )
}
