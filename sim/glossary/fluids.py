"""Words of oil, air and coolant."""

from typing import Final

from sim.glossary.term import Group, group, term

# fmt: off
GROUP: Final[Group] = group("fluids", "Oil, air and coolant",
    term("air-cock", "air cock; cock", "Shuts the air off and lets out what is behind it. It can be padlocked shut."),
    term("vent", "vent; vents; vented", "To let air out until its gauge shows nothing."),
    term("oil", "oil; oil pressure", "Under pressure it moves vises, shuttle and lift. A fine jet goes through the skin, so no hand feels for a leak."),
    term("oil-relief", "oil relief; oil reliefs; reliefs; relief; relieved; relieve", "A screw that lets the oil pressure out of a vise or of the lift. Opened under a raised head, it lets the head come down."),
    term("oil-glass", "oil glass", "The window of the oil tank that shows the level."),
    term("pressure", "pressure; pressures", "How hard oil or air pushes on each square centimetre, in bar."),
    term("pump", "pump; pumps; pump's", "Moves oil or coolant. Its lamp says that it is asked for, not that something flows."),
    term("leak", "leak; leaks", "Oil, air or coolant comes out where it should not. It is looked for with cardboard, never with the hand."),
    term("coolant", "coolant", "Oil and water on the teeth: it cools, lubricates and washes chips away. On the floor it is as smooth as oil."),
    term("concentrate", "concentrate", "The oil from which coolant is mixed. Bad for skin and eyes: gloves and glasses, gloves off before the band runs."),
    term("strength", "strength", "How much oil is in the coolant, mostly 5 to 10 %. Too little rusts and wears, too much foams."),
    term("nozzle", "nozzle; nozzles", "Where the coolant comes out on to the band. Only there one sees that it flows."),
    term("wash-down", "wash-down; hose", "The hose for cleaning. Open, it takes coolant from the cut and wets the floor."),
    term("tank", "tank; tanks", "Holds coolant or oil."),
    term("level", "level", "How full a tank is; also how hard a lesson or drill is."),
    term("with-band", "with band; with the band", "The choice by which the coolant comes and goes with the band."),
    term("lubricate", "lubricates; lubricate", "To keep metal from sticking to metal."),
    term("foam", "foam; foams", "Too rich a coolant foams, and foam does not cool."),
    term("rust", "rust", "What water with too little oil leaves on metal."),
    term("soluble-oil", "soluble oil", "Oil that mixes with water to a milky coolant."),
    term("bleed", "bleed; bleeds", "To let trapped air out of the oil by a screw, and close the screw again."),
)
# fmt: on
