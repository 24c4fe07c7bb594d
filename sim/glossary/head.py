"""Words of the head, its stop, its prop and its swivel."""

from typing import Final

from sim.glossary.term import Group, group, term

# fmt: off
GROUP: Final[Group] = group("head", "The head",
    term("head", "head; heads", "The part that carries the band and comes down on the bar. It can sink without power, so keep clear or prop it."),
    term("height-stop", "height stop; height stops", "Stops the raising of the head just above the bar, so that no time is lost in the air."),
    term("ring", "ring; rings; ring of the height stop", "The part of the height stop that is slid along its rod from notch to notch."),
    term("rod", "rod; rods", "The round bar with notches on which the ring of the height stop sits."),
    term("notch", "notch; notches", "A groove that a plunger drops into. The right one for the head is the lowest that clears the bar."),
    term("land", "land; lands", "The smooth piece between two notches. A plunger on the land holds nothing and lets the ring creep."),
    term("plunger", "plunger; plungers", "A pin that a spring pushes into a notch or a bush. It is home only when it has snapped all the way in."),
    term("bush", "bush; bushes", "The hardened sleeve that a plunger fits into."),
    term("prop", "prop; props; propped", "A strut that holds the head up while hands are beneath it. No valve is a holding device."),
    term("bed", "bed", "The fixed table under bar and head. A head that rests on the bed falls no further."),
    term("lift", "lift", "The cylinder that raises the head, with oil under its piston and air over the oil. Neither its valves nor its air hold the head safely."),
    term("feed-valve", "feed valve", "Sets the fastest descent of the head. Shut, it stops the cut, but the head can still creep: it is no holding device."),
    term("feed-relief", "feed relief", "Limits how hard the head presses. Too low, the teeth rub; too high, they strip."),
    term("exhaust-throttle", "exhaust throttle; lift throttle; throttle", "Slows the oil that leaves the lift as the head comes down. Nearly shut, the head is slow, stops short and dives at break-through."),
    term("hand-pump", "hand pump", "Raises the head by hand, without any power, for somebody who is caught."),
    term("swivel", "swivel", "The joint on which the head is swung to a mitre."),
    term("index-plunger", "index plunger", "Locates the head at 0 degrees and a few more angles. Not home, it lets the cutting force turn the head a little."),
    term("clamp-lever", "clamp lever", "Clamps the swivel at any angle. It must close firmly before a cut."),
    term("setting-screw", "setting screw; clamp screw", "Sets how firmly the clamp lever closes."),
    term("lever", "lever; levers", "A handle that closes a clamp or swings the prop."),
    term("creep", "creep; creeps; creep valve", "To move very slowly: the head in MAINTENANCE, by its creep valve, or a part that should hold still."),
    term("sink", "sink; sinks", "The head comes down by itself, without being asked."),
)
# fmt: on
