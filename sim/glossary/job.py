"""Words of the job and its set-up."""

from typing import Final

from sim.glossary.term import Group, group, term

# fmt: off
GROUP: Final[Group] = group("job", "The job",
    term("job", "job; jobs", "So many pieces of one length, cut by the saw by itself in PRODUCTION."),
    term("start", "start; starts; started; starting; restart; restarts; restarted", "Sets something going. Here it takes both palm keys, and no stop that is let go ever starts anything."),
    term("stop", "stop; stops; stopped", "Ends a motion; one hand is enough. Also a fixed or set end of a way."),
    term("hold", "hold; holds; held; holding", "Of a job: to pause it after the step under way. A held job goes on, so a hold protects nobody. Of a key: to keep it down."),
    term("unhold", "unhold", "Lets a held job go on. It takes both palm keys, as a start does."),
    term("complete", "complete; completed", "The job has cut all that was wanted; with run-on minutes the band still runs. The key ends it after the piece under way."),
    term("clear", "clear; cleared", "Key: takes an aborted job away and starts nothing. Of people: out of reach."),
    term("abort", "abort; aborts; aborted; aborting", "To break a job off at once. Positions are checked then, and the job is cleared before reset."),
    term("run-on", "run-on; run-on minutes", "For how many minutes the band runs on after the last piece. Wait until it stands."),
    term("count", "count; counted; counts; counters", "How many pieces the job has cut. The end piece of a squaring cut is not counted."),
    term("set-up", "set-up; set up; settings; setting", "Everything that is set before a job: heights, pressures, speed, length."),
    term("card", "set-up card; card; cards", "The sheet that says how the saw is set for a job, with the reasons."),
    term("cycle", "cycle; cycles", "All steps from one piece to the next."),
    term("order", "order; orders", "What is wanted: pieces, length, metal, date."),
    term("shift", "shift; shifts", "The hours in which one crew works, and the round at the saw before it."),
    term("by-hand", "by hand", "Each motion under a key of your own. Nobody checks for you."),
    term("idle", "idle", "The job is ready and waits for its start."),
    term("stroke-count", "strokes a piece", "How often the shuttle feeds for one piece; a long piece takes several."),
)
# fmt: on
