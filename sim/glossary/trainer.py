"""Words of what the trainer itself calls things."""

from typing import Final

from sim.glossary.term import Group, group, term

# fmt: off
GROUP: Final[Group] = group("trainer", "This trainer",
    term("lesson", "lesson; lessons", "A job step by step, with what to do, why, and what to beware of."),
    term("drill", "drill; drills", "The saw has a hidden fault. You find it, name it, put it right and prove it by a good piece."),
    term("assessment", "assessment; assessments", "A drill that counts: no coach, no hints."),
    term("coach", "coach", "Says after an act what came of it and what to do instead, in lessons and practice only."),
    term("hint", "hint; hints", "Says what is best done next. With a hint a drill is practice."),
    term("debrief", "debrief", "What you did, what it cost and what would have been the best way, after a session."),
    term("instructor", "instructor; instructors", "Who watches a session from a second place, and can freeze it, note something or put a fault in."),
    term("walk-round", "walk-round; walk round", "Once round the saw, looking and touching nothing that could move, before it is switched on."),
    term("inspection", "inspection; inspections", "A look or a measurement at the saw. It takes its time, and some put hands in."),
    term("fault", "fault; faults", "What is wrong with the saw: a part worn, broken, loose or wrongly set."),
    term("lesson-step", "step; steps", "One thing that a lesson asks for, or one motion of a job."),
    term("likely-share", "likely share", "Between its two figures lies the share of passes with 95 %. Few tries leave them far apart."),
    term("score", "score; scores", "What a drill was worth, part by part, with the reasons."),
    term("report", "report; reports; reported", "To tell whoever decides what you found. In a round you say what it calls for, too."),
)
# fmt: on
