"""The words of the calculations: what is worked out, and by which rule or from which source."""

from typing import Final

from sim.words.fields import bar, mm, name, number, parts, percent
from sim.words.message import Message, plain, row


def _quantity(key: str, text: str) -> Message:
    return plain(f"calc.quantity.{key}", text)


def _how(key: str, text: str) -> Message:
    return plain(f"calc.how.{key}", text)


# What is worked out.
RANGE: Final = _quantity("range", "range of the metal")
BAND_SPEED: Final = _quantity("band-speed", "band speed")
TEETH: Final = _quantity("teeth", "TPI")
PITCH: Final = _quantity("pitch", "tooth pitch")
STOCK_ON_CHART: Final = _quantity("stock-on-chart", "TPI of the stock within it")
CHARTS: Final = _quantity("charts", "on band charts")
WIDTH: Final = _quantity("width", "average width of cut")
TEETH_WIDTH: Final = _quantity("teeth-width", "teeth in the average width")
TEETH_LONGEST: Final = _quantity("teeth-longest", "teeth in the longest wall")
LONGEST: Final = _quantity("longest", "longest contact")
SPECIFIC_FORCE: Final = _quantity("specific-force", "specific cutting force")
FEED_FORCE: Final = _quantity("feed-force", "feed force")
CARD_FORCE: Final = _quantity("card-force", "feed force to set on this saw")
CARD_VALVE: Final = _quantity("card-valve", "feed valve to set")
SET_FORCE: Final = _quantity("set-force", "with a feed force of")
SET_VALVE: Final = _quantity("set-valve", "with a feed valve of")
HELD_AGAINST: Final = _quantity("held-against", "held against a cutting force of")
CUT_TIME: Final = _quantity("cut-time", "cut time")
AREA: Final = _quantity("area", "area")
RATE: Final = _quantity("rate", "mean rate")
LASTS: Final = _quantity("lasts", "area that a band lasts for")
CHIP: Final = _quantity("chip", "thickest chip")
POWER: Final = _quantity("power", "peak cutting power")
MOTOR_SHARE: Final = _quantity("motor-share", "share of the motor")
GULLETS: Final = _quantity("gullets", "share of the gullets that fills")
TOOTH: Final = _quantity("tooth", "share of what a tooth stands")
LEAST_CLAMPING: Final = _quantity("least-clamping", "least that holds the cut")
MOST_CLAMPING: Final = _quantity("most-clamping", "most that does not dent")
SAW_GIVES: Final = _quantity("saw-gives", "the saw gives")
CAN_BE_HELD: Final = _quantity("can-be-held", "can be held")
CLOSING: Final = _quantity("closing", "closing at the most")
WANDER: Final = _quantity("wander", "wander at mid-span")
TWICE_SPAN: Final = _quantity("twice-span", "at twice the span")
HALF_TENSION: Final = _quantity("half-tension", "at half the tension")
STRAND: Final = _quantity("strand", "pull in each strand")
WHEEL: Final = _quantity("wheel", "load on a wheel")
BENDING: Final = _quantity("bending", "bending stress on the wheel")
TOGETHER: Final = _quantity("together", "tension and bending together")
SLIP: Final = _quantity("slip", "pull before it slips")
BELT: Final = _quantity("belt", "pull before the belt slips")
PIECES_A_BAR: Final = _quantity("pieces-a-bar", "pieces a bar")
YIELD: Final = _quantity("yield", "yield")
BARS: Final = _quantity("bars", "bars")
PROVED: Final = _quantity("proved", "proved the fewest")
FIRST_FIT: Final = _quantity("first-fit", "first fit needs")
TRIPS: Final = _quantity("trips", "trips after")
CONCENTRATION: Final = _quantity("concentration", "concentration")
CONCENTRATE: Final = _quantity("concentrate", "concentrate to add")
WATER: Final = _quantity("water", "water to add")
AFTER: Final = _quantity("after", "concentration after")
ONE_PIECE: Final = _quantity("one-piece", "one piece")
CUT: Final = _quantity("cut", "cut")
CLAMPED_WITH: Final = _quantity("clamped-with", "clamped with")
FACE_OUT: Final = _quantity("face-out", "face out of square, in 100 mm")
FACE_OUT_SQUARE: Final = _quantity("face-out-over", "face out of square, over its width")
EDGES_DIFFER: Final = _quantity("edges-differ", "one edge longer than the other by")
LONGER_EDGE: Final = _quantity("longer-edge", "length along the longer edge")
LAST_CUT: Final = _quantity("last-cut", "cut, the last")
USED_UP: Final = _quantity("used-up", "of the band's life the job uses up")
JOB: Final = _quantity("job", "job")
JOB_RUN: Final = _quantity("job-run", "job, by the simulator")
LENGTH: Final = _quantity("length", "length of a piece")
KERF_ALONG: Final = _quantity("kerf-along", "kerf along the bar")
STOP: Final = _quantity("stop", "length stop, all strokes together")
STOP_MORE: Final = _quantity("stop-more", "of it, more than for a square cut")
STROKES: Final = _quantity("strokes", "strokes a piece")
STANDS_OUT: Final = _quantity("stands-out", "the end stands out for the first cut, at least")
OVER_ALL: Final = _quantity("over-all", "over all, from tip to tip")
ONE_END: Final = _quantity("one-end", "shorter edge, were the other end square")
FACE_TO_FACE: Final = _quantity("face-to-face", "from face to face, caliper square to both")

# How it is worked out.
AND: Final = row("calc.how.and", "{all}", all=parts("; "))
PRACTICE: Final = _how("practice", "common practice, no source")
KIENZLE: Final = _how("kienzle", "Kienzle's law; at saw chips an extrapolation, order of magnitude")
KERF_BY_COS: Final = _how("kerf-by-cos", "kerf by the cosine of the angle")
PIECE_AND_KERF: Final = _how("piece-and-kerf", "edge of the piece and kerf along the bar")
WIDTH_BY_TAN: Final = _how(
    "width-by-tan", "width of the bar x tangent of the angle; less leaves a corner"
)
EDGE_AND_LEAN: Final = _how("edge-and-lean", "edge and width x tangent; both ends at one angle")
EDGE_LESS_LEAN: Final = _how("edge-less-lean", "edge less width x tangent")
EDGE_BY_COS: Final = _how("edge-by-cos", "edge x cosine of the angle")
GEOMETRY: Final = _how("geometry", "geometry")
MIDDLE: Final = _how("middle", "middle of the range, within the saw's own")
BY_TEETH: Final = _how("by-teeth", "25.4 mm by TPI")
ON_CARD_TEETH: Final = _how(
    "on-card-teeth",
    "as the set-up card has it: of the stock near the charts, what bites in this metal",
)
STOCK: Final = row("calc.how.stock", "the stock has {all}", all=parts(", "))
BAND_CHARTS: Final = _how(
    "band-charts", "30.5 by the root of the width in mm, and a fifth coarser; fits printed charts"
)
AREA_BY_TRAVEL: Final = _how(
    "area-by-travel",
    "area by height; the walls of a tube added, of rounds or tubes side by side that of two",
)
THREE_TEETH: Final = _how(
    "three-teeth",
    "3 at least, the walls of a tube added, of rounds or tubes side by side that of two; public trade pages",
)
AT_MOST_24: Final = _how("at-most-24", "24 at most; public trade pages")
FOR_A_CHIP: Final = row(
    "calc.how.for-a-chip", "for a chip of {chip_um} um a tooth", chip_um=number(None)
)
ON_CARD: Final = _how(
    "on-card", "as the set-up card has it: no more than vise, square face, motor and teeth allow"
)
GIVEN: Final = _how("given", "as given")
INTEGRAL: Final = _how("integral", "integral of depth by head speed")
ARC_IN_JAWS: Final = _how(
    "arc-in-jaws", "an arc that the jaws press on, and a square laid along the piece"
)
LEAN_BY_WIDTH: Final = _how("lean-by-width", "the same by the width of the bar")
ARC_BY_WIDTH: Final = _how("arc-by-width", "curvature x length x width")
HALF_OF_IT: Final = _how("half-of-it", "the length that the stop is set for, and half of that")
BAND_AS_IT_IS: Final = _how(
    "band-as-it-is", "integral of depth by head speed, with the band as it is now"
)
BAND_AS_WORN: Final = _how(
    "band-as-worn", "the same, with the band as the cuts before have worn it or run it in"
)
BY_WEAR_OF_CUTS: Final = _how("by-wear-of-cuts", "time in the cut by the life of the teeth")
BY_WEAR: Final = _how(
    "by-wear", "Taylor's law, and wear by chip and rubbing; right coolant; an order of size"
)
AREA_BY_TIME: Final = _how("area-by-time", "area by time")
CHIP_RULE: Final = _how("chip", "feed x pitch / band speed")
SWEPT: Final = _how("swept", "chips by the room there is, where they are fullest; swept")
TOOTH_LOAD: Final = _how("tooth-load", "force on one tooth by what it stands, where it is most")
PEAK_BY_RATED: Final = _how("peak-by-rated", "peak by rated power")
STATICS: Final = row("calc.how.statics", "statics, friction {friction}", friction=number(None))
OWN_LIMITS: Final = _how("own-limits", "its own limits")
FIRST_YIELD: Final = _how("first-yield", "first yield of the wall")
SOLID: Final = _how(
    "solid",
    "a solid bar, not dented at any pressure that the vise has; jaw marks are not modelled",
)
TWO_LOADS: Final = row(
    "calc.how.two-loads",
    "at {pressure}; thin ring or frame between two loads, a solid bar by E",
    pressure=bar(),
)
STRIP: Final = _how("strip", "tensioned strip, pinned at the guides")
LIKE_A_STRING: Final = _how("like-a-string", "nearly twice: it gives like a string")
NEARLY_TWICE: Final = _how("nearly-twice", "nearly twice")
STRESS_X_SECTION: Final = _how("stress-x-section", "stress x section")
TWO_STRANDS: Final = _how("two-strands", "two strands")
STRIP_BENDING: Final = row("calc.how.bending", "{formula}", formula=name())(formula="E t / D")
SUM: Final = _how("sum", "sum")
CAPSTAN: Final = row(
    "calc.how.capstan", "Euler-Eytelwein, friction {friction}", friction=number(None)
)
INTEGERS: Final = _how("integers", "integers of 0.01 mm")
PIECES_BY_BAR: Final = _how("pieces-by-bar", "pieces x length by bar")
PIECES_BY_BARS: Final = _how("pieces-by-bars", "pieces by bars")
AS_FEW_AS_FIRST_FIT: Final = _how("as-few-as-first-fit", "as few as first fit")
AS_FEW: Final = _how("as-few", "as few")
MORE: Final = row("calc.how.more", "{count} more", count=number())
THERMAL: Final = _how("thermal", "thermal model, trip class 10")
READING_X_FACTOR: Final = _how("reading-x-factor", "reading x the fluid's factor")
VOLUMES_ADD: Final = _how("volumes-add", "volumes add")
OF_FULL_TANK: Final = _how("of-full-tank", "of the full tank")
SUM_OF_MOVES: Final = _how("sum-of-moves", "sum of moves")
RUN: Final = _how("run", "run without a window")
A_STROKE: Final = row("calc.how.a-stroke", "{stroke} a stroke", stroke=mm(None))

# Values that are words.
SHARE: Final = row("calc.value.share", "{share}", share=percent())
FINE_SHARE: Final = row("calc.value.fine-share", "{share}", share=percent(2))
YES: Final = plain("calc.value.yes", "yes")
NO_BOUND: Final = row("calc.value.no-bound", "no; {least} is the bound", least=number())
A_PITCH: Final = row("calc.value.pitch", "{teeth}", teeth=number())
TEETH_THERE: Final = row("calc.value.pitches", "{all}", all=parts(", "))
NONE_THERE: Final = plain("calc.value.no-pitch", "none; the nearest is taken")
NEVER: Final = plain("calc.value.never", "never")
