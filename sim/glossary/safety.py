"""Words of what keeps people whole."""

from typing import Final

from sim.glossary.term import Group, group, term

# fmt: off
GROUP: Final[Group] = group("safety", "Safety",
    term("lock-out", "lock-out; locked out; lock out; lockout; locks out", "Every supply off, locked by your own padlock, stored energy let out, and tried. Only then do hands go in."),
    term("lock", "lock; locks; locked; padlock; padlocks", "A padlock on a switch that is off; whoever hung it takes it off, nobody else. Also a screw that holds a part."),
    term("verify", "verify; verified; verifies", "To try whether the saw is really off: press the start and read the gauges. A lock-out counts from then on."),
    term("energy-zero", "zero energy; energy zero; energy", "What can move or hurt: power, air, oil, springs, height, a bar that rolls. Zero means that all of it is off, let out or held."),
    term("prove-dead", "verify dead; prove dead; proved dead; prove it dead; dead", "To measure at the part that there is no voltage, the tester tried on a known source before and after. A qualified person does it."),
    term("stored-energy", "stored energy", "What is left after power is off: oil under pressure, air, a tensioned band, a raised head."),
    term("spring", "spring; springs", "It holds energy when it is bent or pressed. A tensioned band is a spring, too."),
    term("own-control", "own control", "Nobody else can start what your hands are at: it stands, it rests, and its key is in your pocket."),
    term("hazard", "hazard; hazards; danger", "Something that can hurt (EN ISO 12100, from memory)."),
    term("qualified-person", "qualified person; qualified people; qualified", "Somebody whose training and knowledge of the work are proved. Electric work is only for him."),
    term("authorised-person", "authorised person; authorised", "Somebody whom the firm has told in writing that he may do this work."),
    term("affected", "affected; those affected", "All who work at the saw or beside it. They are told before a lock-out and after it."),
    term("gloves", "gloves; glove", "For burrs and bands at rest. Never at a running band: it draws them in. Chips are for brush and hook."),
    term("protection", "protection; ear protection; glasses", "Glasses for the eyes, ear protection against noise. They are worn before the band runs."),
    term("compressed-air", "compressed air", "Never used to blow chips away: it drives them into eyes and skin."),
    term("operator", "operator; operators", "Who runs the saw."),
    term("manual-of-maker", "maker's manual; manual; maker", "What the maker of the saw says. It comes before anything said here."),
    term("local-rules", "local rules; local codes", "The rules of the firm and of the country. They come before anything said here."),
    term("hook", "hook; hooks", "A rod with a bent end that pulls chips away from the saw. Never the hand."),
    term("strike", "strike; strikes", "What moves hits a hand or another part."),
    term("caution", "caution; cautions", "What to beware of before you do a thing."),
    term("supervisor", "supervisor; supervisors", "Who decides at the workplace. He is asked when the owner of a padlock is away; no lock is cut."),
)
# fmt: on
