"""What a coach would say, as tables; nothing is computed here.

For each kind of harm there is a message with what to do instead, for each action one with what it
sets going. Numbers, rules, devices, reasons and what a reaction means come from the machine and the
interlock table, never from here.
"""

from collections.abc import Mapping
from typing import Final

from sim.words.message import Message, plain


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
        "started-buried": "raise the band out of its kerf before it is started",
        "teeth-stripped": "take finer teeth for thin walls, and feed no faster than the card says",
        "teeth-dulled": "keep to the metal's band speed, with coolant",
        "chips-packed": "let the brush sweep the gullets, and feed no faster than the card says",
        "brush-worn": "set the brush so that it just sweeps the gullets",
        "band-rubbed": "fit the band with its teeth pointing the way it runs",
        "guide-struck-bar": "slide the guide arm clear of the bar before the head comes down",
        "arm-drifted": "lock the guide arm before the cut",
        "cut-out-of-square": "shorten the free span, tension the band, feed less, and tighten what is loose",
        "bar-scored": "release one vise before the shuttle moves, and keep open jaws off the bar",
        "bar-slipped": "clamp harder, or feed with less force",
        "tube-crushed": "raise the clamping pressure from very low, and stop short of what dents the wall",
        "bar-snatched": "clamp the bar in the cutting vise before the band comes down",
        "clamping-lost": "raise the head out of the bar before the vise is released",
        "bar-into-band": "raise the head clear before the shuttle brings the bar",
        "arm-struck": "fold the support arm away before the shuttle moves",
        "teeth-pressed": "start the band, and let it come to speed, before the head is lowered",
        "head-dropped": "prop the head before the pressure is let out; no valve is a holding device",
        "descent-jerky": "bleed out the trapped air, then close the bleed; the exhaust throttle is another screw",
        "swung-running": "stop the band before the head is swung (I12)",
        "swung-into-bar": "raise the head before it is swung (I12)",
        "back-rail-cut": "slide the back rail of the outfeed back before a mitre is cut",
        "cut-dry": "choose coolant with the band, and it comes with it",
        "coolant-poor": "bring the coolant to its strength, with the hose shut",
        "spill": "shut the wash-down hose, and mop the floor",
    },
)

# Action taken -> what it sets going.
SETS_GOING: Final = _table(
    "sets-going",
    {
        "supply.control_on": "Control power is on, and nothing is driven until it is asked for.",
        "supply.reset": "The safety circuit is closed and the latches are cleared; nothing starts, the start is a separate act.",
        "band.run": "Both palm keys together: the band runs up, and runs on until it is stopped.",
        "band.stop": "The band coasts to rest; a stop needs one hand only, and a job that runs stops with it.",
        "cutting_vise.clamp": "The cutting vise closes for as long as the key is held; B33 makes when it is clamped, and then a check valve holds it.",
        "cutting_vise.release": "The cutting vise opens; now nothing holds the bar at the band.",
        "shuttle_vise.clamp": "The shuttle vise closes for as long as the key is held; B34 makes when it is clamped.",
        "shuttle_vise.release": "The shuttle vise opens; the shuttle can go without the bar.",
        "shuttle.back": "The shuttle goes back to its length stop for as long as the key is held.",
        "shuttle.forward": "The shuttle goes forward for as long as the key is held, with the bar if its vise is clamped.",
        "head.raise": "The head rises for as long as the key is held, and stops by itself at its height stop.",
        "head.lower": "The head comes down for as long as the key is held, as fast as the feed valve lets it.",
        "coolant.off": "The coolant is off, and stays off when the band runs.",
        "coolant.with_band": "The coolant goes with the band from now on.",
        "coolant.on": "The coolant flows until it is switched off, whether or not the band runs.",
        "job.reset": "The job is idle and waits for its start; nothing moves.",
        "job.start": "Both palm keys together: the job has all parts and runs.",
        "job.hold": "The step under way is ended, a cut with its raising, and then the job is held.",
        "job.unhold": "Both palm keys together: the job goes on where it was held.",
        "job.complete": "The job ends in good order: a piece that is begun is finished, otherwise both vises clamp the bar.",
        "job.stop": "The feed is off, the head is raised with the band running, and then the band stops; a piece that is begun is scrap.",
        "job.clear": "The job is cleared and stopped; reset comes next, and nothing moves.",
        "job.new": "The count is zero again.",
        "job.square": "The job begins by squaring the end of the bar; that cut is not counted.",
        "job.straight": "The job begins straight with a piece, so the end must be square already.",
    },
)

# The mode switch turned to -> what the mode means.
MODE: Final = {
    f"mode.{mode}": plain(f"advice.mode.{mode}", text)
    for mode, text in (
        (
            "manual",
            "MANUAL: a part moves while its key is held; what protects people and band is kept, "
            "and what protects the job is yours to mind.",
        ),
        (
            "maintenance",
            "MAINTENANCE: one part creeps or jogs while its key and the enabling device are held; "
            "it needs power, so it is no lock-out.",
        ),
        (
            "production",
            "PRODUCTION: the job has all parts, and the movement keys are dead; nothing moves "
            "before a start.",
        ),
    )
}
