"""Words of tools, readings and what they are held against."""

from typing import Final

from sim.glossary.term import Group, group, term

# fmt: off
GROUP: Final[Group] = group("measuring", "Measuring",
    term("tape", "tape", "A steel rule that rolls up, good to about half a millimetre. It proves no tenth."),
    term("rule", "rule; rules", "A straight measure of steel; also: what must be kept to."),
    term("caliper", "caliper; calipers; beam caliper", "Two jaws on a scale, for lengths to a few hundredths. The beam caliper is the long one."),
    term("square", "square; squared", "A tool with a true right angle; also a bar with four equal sides, or an end cut straight across."),
    term("protractor", "protractor; bevel protractor; bevel", "Two straight arms on a turning scale, laid to an end for its angle. Its vernier reads a twelfth of a degree."),
    term("feeler", "feeler", "A thin leaf of known thickness that shows how wide a gap is."),
    term("drawing", "drawing; drawings", "The paper that says how long a piece is to be, and within what tolerance."),
    term("tolerance", "tolerance", "How much a piece may be off and still be good."),
    term("scale", "scale; scales", "Marks with numbers, read against a pointer. It shows the setting, not the piece."),
    term("gauge", "gauge; gauges", "Shows a pressure or a pull as it is now."),
    term("refractometer", "refractometer", "Shows the strength of the coolant by the light through one drop. Its reading is multiplied by the factor of the oil."),
    term("correction", "correction; correct", "What is added to a reading or a setting because the last piece was off by that much."),
    term("first-piece", "first piece", "It is measured before the rest are cut, for what is wrong with it is wrong with all."),
    term("ammeter", "ammeter", "Shows the current of a motor. More current means a harder cut."),
    term("meter", "meter; tester; testers; ohmmeter; ohms", "Measures volts or ohms between two terminals. Ohms are measured only on what is dead."),
    term("file", "file; files", "A steel tool with fine teeth that takes the burr off before a piece is measured."),
)
# fmt: on
