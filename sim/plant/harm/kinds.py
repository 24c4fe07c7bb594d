"""The ways in which machine, band, bar and hands come to harm: a table.

Nobody is shown hurt. A consequence of severity STOP ends the run, and its sentence says what would
have happened. What triggers one is computed in the part it happens to, never listed in a scenario.
Costs are this workshop's invented ones: minutes of stand-still, share of a band's life, bar
scrapped and money.

A sentence says what happened and was to be seen, never why: most harms have several causes, and one of
them may be hidden.

A row's messages have the keys `harm.NAME.title`, `.sentence` and `.instead`; the numbers of one that
happened are told by a message of the part, `harm.NAME.detail`.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final, TypedDict, Unpack

from sim.words.message import Message, plain


class Severity(StrEnum):
    """How bad, mildest first."""

    WARNING = "warning"
    DAMAGE = "damage"
    STOP = "stop"


@dataclass(frozen=True, slots=True)
class HarmKind:
    """One way in which the machine, the band or the bar comes to harm."""

    name: str
    title: Message
    severity: Severity
    place: str  # station
    sentence: Message
    instead: Message  # what to do so that it does not happen, a clause
    minutes: float = 0.0
    band_life: float = 0.0  # 0 to 1 of a band
    scrap_m: float = 0.0
    money: float = 0.0
    once_a_cut: bool = True  # told at most once from one parting cut to the next
    measured: bool = False  # its numbers are seen with a measuring tool only
    critical: bool = False  # whoever did it could have been hurt, though the run went on


class _Costs(TypedDict, total=False):
    """What one costs, where it is not nothing."""

    minutes: float
    band_life: float
    scrap_m: float
    money: float
    once_a_cut: bool
    measured: bool
    critical: bool


def _harm(
    name: str, title: str, severity: Severity, place: str, sentence: str, instead: str,
    **costs: Unpack[_Costs],
) -> HarmKind:  # fmt: skip
    key = f"harm.{name}"
    return HarmKind(
        name, plain(f"{key}.title", title), severity, place, plain(f"{key}.sentence", sentence),
        plain(f"{key}.instead", instead), **costs,
    )  # fmt: skip


_W, _D, _S = Severity.WARNING, Severity.DAMAGE, Severity.STOP

_ROWS: Final = (
    # Supply
    _harm(
        "overload-trip", "Overload relay tripped", _W, "supply",
        "The motor drew more than its relay allows for so long that the relay tripped.",
        "feed less, and set the relay to the current on the motor's plate",
        minutes=5, money=8, once_a_cut=False,
    ),
    # Band
    _harm(
        "pulley-damaged", "Variator pulley damaged", _D, "band",
        "The speed was changed while the band stood: the pulley halves were forced against a belt that "
        "did not move.",
        "change the speed only while the band turns (I13)",
        minutes=30, money=90, once_a_cut=False,
    ),
    _harm(
        "band-broken", "Band broken", _S, "band",
        "The band was drawn beyond what its weld can take: it would have parted and whipped, inside its "
        "covers or out of an open one.",
        "stand at the side of the wheel, and turn the tension screw no further than the green zone",
        minutes=30, band_life=1.0, money=120,
    ),
    _harm(
        "band-thrown", "Band thrown off its wheels", _S, "band",
        "The band ran slack: it would have climbed off its wheels, in the cover or out of an open one.",
        "tension the band before it is started",
        minutes=35, band_life=1.0, money=130,
    ),
    _harm(
        "band-stalled", "Band stalled in the cut", _D, "band",
        "The cut asked for more pull than the drive passes on: the band stood in the metal while the "
        "motor turned.",
        "feed with less force, and keep the band tensioned",
        minutes=10, band_life=0.1, money=20,
    ),
    _harm(
        "ran-on", "Band ran on after the job", _W, "band",
        "The band ran on long after the job was complete. It wore, and whoever came by would have taken it for a saw that stands.",
        "leave the run-on minutes at 0, or stop the band when the last piece is out",
        minutes=1, band_life=0.02, money=3,
    ),
    _harm(
        "band-uncovered", "Band ran uncovered", _W, "band",
        "The band moved with a guard or a cover open: a hand could have reached it.",
        "let the band come to rest before a guard or cover is opened",
        minutes=5, once_a_cut=False,
    ),
    _harm(
        "band-set-going-uncovered", "Band set going uncovered", _W, "band",
        "The band was set going with a guard or a cover open: a hand could have reached it.",
        "close guard and cover before the band moves; only a jog in MAINTENANCE may have them open, with hands and people clear of the band",
        minutes=5, once_a_cut=False, critical=True,
    ),
    _harm(
        "started-buried", "Band started with its teeth in the bar", _D, "band",
        "The band was started while its teeth lay in the metal: the ones in the cut would have been "
        "torn off.",
        "raise the band out of its kerf before it is started",
        minutes=15, band_life=1.0, money=70, once_a_cut=False,
    ),
    _harm(
        "teeth-stripped", "Teeth stripped", _D, "band",
        "A tooth had to carry more than it can take: it broke, and the ones behind it followed.",
        "feed no faster than the card says, and take finer teeth for thin walls",
        minutes=15, band_life=1.0, scrap_m=0.1, money=75, once_a_cut=False,
    ),
    _harm(
        "teeth-dulled", "Teeth burnt dull", _D, "band",
        "The teeth lost their edge long before their time.",
        "keep to the metal's band speed, with coolant, and feed so that the teeth bite",
        minutes=15, band_life=1.0, money=65, once_a_cut=False,
    ),
    _harm(
        "band-outlived", "Band sawn past its life", _W, "band",
        "The teeth have sawn as much as they last for, and the cut went on. From here on the band leans, and goes down slower and slower.",
        "change a band that cuts slower or leaves a leaning face, and find out what wore it",
        minutes=2, money=5, once_a_cut=False,
    ),
    _harm(
        "teeth-rubbed", "Teeth rubbed instead of cutting", _W, "band",
        "The teeth took less than the least chip that their edge forms: they rubbed. That heats and hardens the metal, wears the band and runs off square.",
        "feed as the card says; never save a band by shutting the feed valve",
        minutes=2, band_life=0.05, money=5,
    ),
    _harm(
        "not-run-in", "New band not run in", _W, "band",
        "A new band was fed like one that is run in: its fresh edges chip, and it will be blunt before its "
        "time.",
        "saw the first 400 cm2 of a new band with half the chip, by the feed valve that the card has for it",
        band_life=0.02, money=2,
    ),
    _harm(
        "band-tired", "Band cracked by bending", _S, "band",
        "The band was bent round its wheels so often that cracks grew from its gullets. It would have parted at one of them, inside its covers or out of an open one.",
        "tension a band no further than the card says, and change it when cracks show in its gullets",
        minutes=30, band_life=1.0, money=120,
    ),
    _harm(
        "band-sprang", "Band sprang open in bare hands", _D, "band",
        "A band was taken off bare-handed: it springs open as it comes free. Its teeth would have cut the hands, and it could have hit an "
        "eye.",
        "take a band off in gloves and glasses with people clear, and have the gloves off again before a band runs",
        minutes=20, once_a_cut=False, critical=True,
    ),
    _harm(
        "band-tight-beside-guides", "Band tensioned beside its guides", _W, "band",
        "A band came under tension while it lay beside its guides. It could have sprung off its wheels, and its teeth could have "
        "cut whoever stood near.",
        "seat the band in its guides and against the flanges of both wheels with the tension let down, and tension it then",
        minutes=5, once_a_cut=False, critical=True,
    ),
    _harm(
        "coil-sprang", "New coil sprang open in bare hands", _D, "band",
        "The ties of a new coil were cut bare-handed: it springs open at once. Its teeth would have cut the hands, and it could have hit an "
        "eye.",
        "cut the ties of a coil in gloves and glasses, with the coil on the floor and people clear",
        minutes=20, once_a_cut=False, critical=True,
    ),
    _harm(
        "band-walked-off", "Band walked off its wheels", _S, "band",
        "The band lay loosely on its wheels and out of its guides, and was run at speed. It walked off them, inside its covers or out of an open "
        "one.",
        "lay a band into its guides and against the flanges of both wheels before it is tensioned",
        minutes=30, band_life=1.0, money=120, once_a_cut=False,
    ),
    _harm(
        "band-untracked", "Band run before it tracked", _W, "band",
        "A band that had just been put on was run at speed before its back ran clear of the flanges. It could have walked off its "
        "wheels.",
        "jog a band that was put on, in MAINTENANCE with the cover closed, until it tracks, before it runs at speed",
        minutes=5, band_life=0.1, money=12, once_a_cut=False,
    ),
    _harm(
        "chips-packed", "Chips packed in the gullets", _W, "band",
        "The gullets were full before the teeth left the metal: the chips were crushed and the teeth "
        "pressed off their cut.",
        "set the wires of the brush to the bottom of the gullets, and feed no faster than the card says",
        minutes=5, band_life=0.05, money=4,
    ),
    _harm(
        "brush-worn", "Chip brush worn away", _W, "band",
        "The chip brush stood deeper than the gullets and was ground away.",
        "set the brush so deep that its wires just reach the bottom of the gullets",
        minutes=8, band_life=0.05, money=15,
    ),
    _harm(
        "band-rubbed", "Band rubbed without cutting", _W, "band",
        "The band ran on the bar with its teeth the wrong way round: it rubbed, and did not cut.",
        "fit the band with its teeth pointing the way it runs",
        minutes=8, band_life=0.1, scrap_m=0.02, money=10,
    ),
    _harm(
        "guide-struck-bar", "Guide struck the bar", _D, "band",
        "The guide arm stood over the bar and came down on it: the guide would be knocked out of line.",
        "slide the guide arm 10 mm clear of the bar before the head comes down",
        minutes=25, band_life=0.2, money=60,
    ),
    _harm(
        "arm-drifted", "Guide arm drifted", _W, "band",
        "The cut shook the guide arm outwards, away from its guard.",
        "lock the guide arm before the cut",
        minutes=5,
    ),
    _harm(
        "cut-out-of-square", "Cut out of square", _W, "band",
        "The cut face is further out of square than anybody would pass.",
        "shorten the free span, tension the band, feed less, tighten what is loose, and load a straight bar",
        minutes=4, scrap_m=0.25, money=10, measured=True,
    ),
    _harm(
        "bound-in-kerf", "Band bound in an old kerf", _D, "band",
        "A band was let down running into a kerf that another band had sawn: it bound between the sides, and "
        "its teeth were torn off.",
        "feed the bar on and cut off the end with the old kerf, or begin beside it; never start a new band in one",
        minutes=15, band_life=1.0, money=75, once_a_cut=False,
    ),
    _harm(
        "kerf-pinched", "Band pinched in its kerf", _D, "band",
        "The two sides of the kerf came together on the band: it stood in the metal while the motor turned.",
        "stop the band, raise it, and let it down running in its own kerf again; a band with all its set has more room",
        minutes=10, band_life=0.05, money=15,
    ),
    _harm(
        "drawn-into-kerf", "Band drawn into an old kerf", _W, "band",
        "The band came down on the edge of an old kerf and was drawn aside into it: the face leans.",
        "enter an old kerf exactly, or begin at least a hand's breadth from it",
        minutes=3, scrap_m=0.02, money=4,
    ),
    _harm(
        "corner-missing", "Piece with a corner missing", _W, "band",
        "The first cut at this angle ran out of the end of the bar. A corner of the old end stayed, and the piece is scrap.",
        "stand the end out past the band by at least the width of the bar times the tangent of the angle, for "
        "the first cut",
        minutes=2, money=4, once_a_cut=False,
    ),
    _harm(
        "ends-differ", "Piece with ends at two angles", _W, "band",
        "The job began straight with a piece, and the end of the bar had been cut at another angle: the piece is "
        "scrap.",
        "begin with the squaring cut when the angle was changed",
        minutes=2, money=4, once_a_cut=False,
    ),
    _harm(
        "piece-half-sawn", "Piece with an old kerf in it", _W, "band",
        "The piece was cut off with the kerf of a broken-off cut in it: it is scrap.",
        "saw on in the old kerf, or cut off the end that it is in",
        minutes=2, money=4, once_a_cut=False,
    ),
    # Vises
    _harm(
        "bar-scored", "Bar scored by a closed vise", _W, "shuttle_vise",
        "The bar was drawn through jaws that touched it, and is scored.",
        "release one vise before the shuttle moves, and keep open jaws off the bar",
        scrap_m=0.2, money=8,
    ),
    _harm(
        "bar-slipped", "Bar slipped in the vise", _D, "cutting_vise",
        "The jaws held the bar with less than what pulled at it: it moved.",
        "clamp harder, on clean jaws, or feed with less force",
        minutes=5, band_life=0.05, scrap_m=0.25, money=12, measured=True,
    ),
    _harm(
        "tube-crushed", "Bar dented by the vise", _D, "cutting_vise",
        "The clamping was harder than the wall of the bar can take: the jaws left a dent.",
        "raise the clamping pressure from very low, and stop short of what dents the wall",
        minutes=4, scrap_m=0.25, money=12,
    ),
    _harm(
        "bar-snatched", "Bar snatched by the band", _S, "cutting_vise",
        "The teeth met bar that was not held against them: they would have caught it and thrown it.",
        "clamp the bar in the cutting vise before the band comes down on it or is started on it",
        minutes=45, band_life=1.0, scrap_m=0.3, money=160,
    ),
    _harm(
        "clamping-lost", "Clamping lost in the cut", _S, "cutting_vise",
        "The cutting vise let go of the bar with the band in it: the bar would have turned and broken "
        "the band.",
        "raise the head out of the bar before the vise is released",
        minutes=40, band_life=1.0, scrap_m=0.3, money=150,
    ),
    _harm(
        "finger-room", "Jaw closed over a gap for a finger", _W, "cutting_vise",
        "The jaw stood so far from the bar that a finger fits between them when it closes.",
        "set the jaw by hand to 4 mm from the bar, and keep fingers out whatever the gap",
        minutes=1, once_a_cut=False,
    ),
    # Shuttle
    _harm(
        "bar-into-band", "Bar moved against the band", _S, "shuttle",
        "The shuttle moved the bar while the head was not clear of it. The bar would have pushed the band out of its guides, or broken it.",
        "raise the head clear before the shuttle moves the bar, either way",
        minutes=40, band_life=1.0, scrap_m=0.1, money=140,
    ),
    _harm(
        "shuttle-stalled", "Shuttle stalled", _W, "shuttle",
        "The shuttle pulled or pushed at a bar that was held, and stood.",
        "release the other vise before the shuttle moves, and look what stands in the way of the bar",
        minutes=2,
    ),
    _harm(
        "arm-struck", "Support arm struck", _D, "shuttle",
        "The shuttle ran into the support arm and knocked it down.",
        "fold the support arm away before the shuttle moves",
        minutes=15, money=35, once_a_cut=False,
    ),
    # Head
    _harm(
        "teeth-pressed", "Band pressed on to the bar at rest", _D, "head",
        "The head pressed the standing band on to the bar: the teeth under it would be chipped.",
        "lower the head only with the band at speed, and raise it before the band is stopped",
        minutes=15, band_life=0.3, money=30,
    ),
    _harm(
        "head-dropped", "Head dropped", _D, "head",
        "Nothing held the head and it fell.",
        "lower the head on to bed, bar or prop before air or oil is let out; no valve is a holding device",
        minutes=30, band_life=0.5, money=110, once_a_cut=False,
    ),
    _harm(
        "head-unsupported", "Air let out under a raised head", _W, "head",
        "The head rested on nothing when the air that carries it was let out: it comes down now, or as soon "
        "as control power goes.",
        "lower the head on to bed, bar or prop before the air is let out; no valve is a holding device",
        minutes=2, once_a_cut=False,
    ),
    _harm(
        "descent-jerky", "Head came down in jerks", _W, "head",
        "The head stuck and slipped on its way down.",
        "bleed out the trapped air, then close the bleed; the exhaust throttle is another screw",
        minutes=2, band_life=0.05, money=3,
    ),
    _harm(
        "dived-through", "Head dived at break-through", _W, "head",
        "The head sprang down when the bar gave way.",
        "open the exhaust throttle of the lift",
        minutes=2, band_life=0.1, money=5,
    ),
    _harm(
        "swung-running", "Head swung with the band running", _S, "head",
        "The head was swung while the band ran: whoever was at its lever, beside the band, would have been cut.",
        "stop the band, wait until it stands, and take the key along before the head is swung (I12)",
        minutes=240, once_a_cut=False,
    ),
    _harm(
        "swung-into-bar", "Head swung with the band down", _D, "head",
        "The head was swung with the band down in or beside the bar: the band was bent sideways over it.",
        "raise the head before it is swung (I12)",
        minutes=20, band_life=0.6, money=70, once_a_cut=False,
    ),
    _harm(
        "back-rail-cut", "Back rail cut", _D, "head",
        "The back rail of the outfeed stood in the way of the mitre and was sawn into.",
        "slide the back rail of the outfeed back before a mitre is cut",
        minutes=20, band_life=0.4, money=85,
    ),
    # Hands
    _harm(
        "struck-band", "Hands at the band", _S, "band",
        "Hands were in reach of the band while it was not at rest: its teeth would have taken them along "
        "into the cut.",
        "stop the band, wait until it stands, and take the key along; lock out where hands go to the band itself",
        minutes=240, once_a_cut=False,
    ),
    _harm(
        "struck-wheels", "Hands at the wheels", _S, "band",
        "Hands were between band and wheel: they would have been drawn in, or the band would have sprung "
        "at them.",
        "lock the saw out, and let the band down before hands go to it",
        minutes=240, once_a_cut=False,
    ),
    _harm(
        "struck-tracking-screw", "Hands at the tracking screw", _S, "band",
        "The band was led by its screw, from outside, while band or head moved. A band that is led as it runs can come "
        "off its wheels.",
        "stop the band, wait until band and head stand, and turn the screw; then jog",
        minutes=240, once_a_cut=False,
    ),
    _harm(
        "struck-cutting-jaws", "Hands in the cutting vise", _S, "cutting_vise",
        "Hands were in the cutting vise when it was not safe: they would have been crushed, cut, or hit by "
        "oil under pressure.",
        "keep out while anything moves; relieve the oil before a vise is opened up",
        minutes=240, once_a_cut=False,
    ),
    _harm(
        "struck-shuttle-jaws", "Hands in the shuttle vise", _S, "shuttle_vise",
        "Hands were in the shuttle vise when it was not safe: they would have been crushed, or hit by oil "
        "under pressure.",
        "keep out while anything moves; relieve the oil before a vise is opened up",
        minutes=240, once_a_cut=False,
    ),
    _harm(
        "struck-shuttle-path", "Hands in the way of the shuttle", _S, "shuttle",
        "Hands were where shuttle and bar run: they would have been caught between them and the stop or "
        "the vise.",
        "see that the shuttle stands and that nobody else can send it",
        minutes=240, once_a_cut=False,
    ),
    _harm(
        "struck-under-head", "Hands under the head", _S, "head",
        "Hands were under the head while it moved or could no longer be held: it would have come down on "
        "them.",
        "lower the head on to its prop before hands go under it; no valve is a holding device",
        minutes=240, once_a_cut=False,
    ),
    _harm(
        "struck-swing", "Hands in the swing of the head", _S, "head",
        "Hands were at the swivel while the head or the band moved: they would have been caught.",
        "stop the band and wait until it stands before the swivel is touched",
        minutes=240, once_a_cut=False,
    ),
    _harm(
        "lifted-too-much", "Bar carried that was too much", _D, "shuttle",
        "A bar was lifted by hand that is too heavy, or so long that it swings: backs and feet are hurt so.",
        "load by hand only what the limits allow, fetch a second person in time, and take the crane for the rest",
        minutes=10, once_a_cut=False, critical=True,
    ),
    _harm(
        "under-hanging-bar", "Hands under a hanging bar", _S, "shuttle",
        "Hands were under a bar that hung from the crane: a sling that slips would have let it down on them.",
        "guide a hanging bar from its side with a line or a hook, and stand clear until it lies in its chocks",
        minutes=240, once_a_cut=False,
    ),
    _harm(
        "struck-outfeed", "Hands at the outfeed beside the band", _S, "head",
        "Hands were at the outfeed while the band or the head moved: they would have been cut.",
        "stop the band and wait until it stands before anything is moved at the outfeed",
        minutes=240, once_a_cut=False,
    ),
    _harm(
        "struck-cabinet", "Hands in the live cabinet", _S, "supply",
        "Hands were at parts that were live: the shock could have killed.",
        "lock the isolator off, and have a qualified person prove the parts dead before they are touched",
        minutes=240, once_a_cut=False,
    ),
    _harm(
        "meter-blown", "Ohms metered at mains voltage", _D, "supply",
        "The probes of an ohmmeter were on mains voltage. That can wreck a meter, and one that is not made for it can burst in the hand.",
        "prove the parts dead before ohms are metered, and the meter on a known source before and after",
        minutes=15, money=25, once_a_cut=False, critical=True,
    ),
    # Coolant
    _harm(
        "cut-dry", "Cut without coolant", _W, "coolant",
        "No coolant reached the cut: chips, piece and band get hot.",
        "choose coolant with the band, and let what was cut dry cool before it is touched",
        minutes=1, money=2,
    ),
    _harm(
        "coolant-poor", "Cut with poor coolant", _W, "coolant",
        "The coolant at the cut was too weak, too strong or too little.",
        "bring the coolant to its strength, with the hose shut",
        minutes=1, money=1,
    ),
    _harm(
        "spill", "Coolant on the floor", _W, "coolant",
        "Coolant ran over the floor: somebody would slip.",
        "shut what it runs from, and mop the floor before anybody steps there",
        minutes=12, money=15, once_a_cut=False,
    ),
)  # fmt: skip

KINDS: Final = {row.name: row for row in _ROWS}
