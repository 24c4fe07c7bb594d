"""Words of what the pieces are for."""

from typing import Final

from sim.glossary.term import Group, group, term

# fmt: off
GROUP: Final[Group] = group("work", "What is made",
    term("post", "post; posts", "An upright of a railing."),
    term("newel", "newel; newels; newel posts", "The stout post at the end of a stair rail."),
    term("baluster", "baluster; balusters", "One of the thin uprights between the posts of a railing."),
    term("brace", "brace; braces", "A piece set at an angle that stiffens a frame."),
    term("bracket", "bracket; brackets", "A piece that carries something from a wall or post."),
    term("spacer", "spacer; spacers", "A piece that keeps two parts a set distance apart."),
    term("jig", "jig; jigs", "A device that holds pieces in place for the next job, so their length must be right."),
)
# fmt: on
