"""Words of what holds the bar and brings it forward."""

from typing import Final

from sim.glossary.term import Group, group, term

# fmt: off
GROUP: Final[Group] = group("holding", "Holding and feeding the bar",
    term("vise", "vise; vises", "Holds the bar between two jaws. This saw has one that holds at the cut and one on the shuttle that brings the bar."),
    term("cutting-vise", "cutting vise", "The vise at the band. It holds the bar against the cutting force."),
    term("shuttle-vise", "shuttle vise", "The vise on the shuttle. It takes the bar along while the cutting vise is released."),
    term("jaw", "jaw; jaws", "The part of a vise that presses on the bar. It closes with more than a tonne."),
    term("jaw-gap", "jaw gap; jaw gaps; gap; gaps", "The room between the open jaw and the bar. About 4 mm: within the stroke, and too narrow for a finger."),
    term("stroke", "stroke; strokes", "One travel of a jaw, of the shuttle or of a pump from end to end."),
    term("clamp", "clamp; clamps; clamped; clamping", "To press the bar so that it cannot move in the cut."),
    term("clamping-pressure", "clamping pressure; clamping pressures", "The oil pressure that closes a vise. Solid bar takes all; a thin wall is dented by too much."),
    term("clamping-gauge", "clamping gauge; clamping gauges", "Shows the pressure that is in the vise now. The setting only shows what was asked for."),
    term("release", "release; releases; released; releasing", "To open a vise, or to let a key or a latch go."),
    term("bundle-clamp", "bundle clamp", "Presses a row of bars down from above, since the side jaws barely hold the loosest of them."),
    term("check-valve", "check valve; check valves", "Lets oil through one way only. It keeps the clamping pressure while the pump is off."),
    term("dent", "dent; dents; dented", "A hollow that too much clamping presses into a tube. It does not come out again."),
    term("plug", "plug; plugs; plugged", "A block in a tube where the jaws press, so that they can hold it hard and leave no dent."),
    term("crush", "crush; crushed; crushes", "To press out of shape. Jaws crush a thin tube, and a hand."),
    term("shuttle", "shuttle; shuttles", "The carriage that brings the bar forward, as far as its length stop lets it go back."),
    term("index", "index; indexes; indexed", "To bring the bar forward by exactly one piece and one kerf."),
    term("length-stop", "length stop; length stops", "Where the shuttle stops on its way back. It decides how far the bar is fed, and so how long a piece is."),
    term("rack", "rack; racks", "A straight bar with teeth, in which a pinion runs. Also: where bars are stored."),
    term("pinion", "pinion; pinions", "A small toothed wheel that runs in a rack."),
    term("backlash", "backlash; play", "The room between the teeth of pinion and rack. Wind past the setting and back to it, always the same way, and it is taken up."),
    term("vernier", "vernier; verniers", "A second scale beside the first that shows tenths of its divisions."),
    term("support-arm", "support arm", "A hinged arm at the cutting vise that carries a long piece. It is out of the way before the shuttle comes."),
    term("roller", "roller; rollers; infeed roller", "Carries the bar. A bar that nothing holds rolls by itself on a slope."),
    term("chock", "chock; chocked; chocks", "A block that keeps the bar from rolling away."),
    term("infeed", "infeed", "The side on which the bar comes in."),
    term("outfeed", "outfeed", "The side on which pieces come out. A long bar end can come out there, too."),
    term("back-rail", "back rail; rail", "The rail along the back of the outfeed that pieces lie against. It is slid back before a mitre, or the band cuts it."),
    term("hood", "hood; infeed hood", "Covers the way of the shuttle on a saw that has one. Opened in PRODUCTION it halts shuttle and shuttle vise; by hand they still move."),
    term("bar-end", "bar end; end of the bar", "What is left is too short for the next piece. The bar sensor sees it and holds the job."),
    term("crane", "crane; cranes", "Lifts what is too heavy to be carried. Nobody stands under its load."),
    term("sling", "sling; slings", "The band or chain that a bar hangs from on the crane. Two of them keep it level."),
    term("friction", "friction", "What keeps one surface from sliding on another. Oil on jaws takes it away, and the bar slips."),
    term("load", "load; loads; loaded; loading", "To put a fresh bar on the saw; also what hangs on a crane, or what a part bears."),
    term("stack", "stack; stacks", "Things laid on one another, such as the disc springs of the tension."),
)
# fmt: on
