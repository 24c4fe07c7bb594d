"""The debrief as one HTML file: to read on a screen, to print on A4, to keep.

No script, no font, picture or style from elsewhere: the pictures are drawn into the page.

Never here: what is drawn or worked out.
"""

from collections.abc import Sequence
from typing import Final

from sim.debrief.best_path import Leg, price_s
from sim.debrief.debrief import Debrief, ScorePart
from sim.debrief.debrief_pictures import (
    BEST,
    GOOD_PLAN,
    LEG_WORDS,
    MARKS,
    MOST_ROWS,
    bands,
    belief,
    both_ways,
    swatch,
    time_line,
)
from sim.debrief.paper import (
    BAD,
    BLUE,
    CARE,
    GOOD,
    INK,
    PAPER,
    QUIET,
    SHADE,
    STYLE,
    Child,
    Html,
    el,
    joined,
    table,
)
from sim.debrief.paper import page as whole_page
from sim.faults.catalogue import CATALOGUE
from sim.signals import BY_KEY
from sim.units import US

CAUTION: Final = (
    "Practice, not authorisation: the maker's manual, local codes and a licensed person come first."
)
MOST_LINES: Final = 400  # of the time line's table

_STYLE: Final = f"""{STYLE}
.head {{ display: flex; gap: 20px; align-items: center; margin: 12px 0; break-inside: avoid; }}
.score {{ min-width: 128px; padding: 10px 14px; text-align: center; color: {PAPER}; }}
.score.passed {{ background: {GOOD}; }}
.score.failed {{ background: {BAD}; }}
.score b {{ display: block; font-size: 34px; line-height: 1.1; }}
.facts {{ display: grid; grid-template-columns: max-content 1fr; gap: 2px 14px; margin: 0; }}
.facts dt {{ color: {QUIET}; }}
.facts dd {{ margin: 0; }}
.critical {{ border: 3px solid {BAD}; padding: 6px 14px; margin: 12px 0; break-inside: avoid; }}
.critical h2 {{ border: 0; margin: 0; padding: 0; color: {BAD}; }}
.bar {{ width: 120px; height: 14px; }}
.key {{ list-style: none; padding: 0; columns: 2; font-size: 14px; }}
.swatch {{ display: inline-block; width: 20px; height: 18px; vertical-align: -4px; margin-right: 8px; }}
.two {{ display: grid; grid-template-columns: 1fr 1fr; gap: 0 28px; }}
.key li {{ padding-left: 28px; text-indent: -28px; }}
.flag {{ display: block; font-weight: 600; color: {CARE}; white-space: nowrap; }}
.flag.bad {{ color: {BAD}; }}
.flag.good {{ color: {GOOD}; }}
.num {{ white-space: nowrap; }}
table.facing {{ break-inside: avoid; }}
.sign {{ display: flex; gap: 28px; margin-top: 40px; break-inside: avoid; }}
.sign span {{ flex: 1; border-top: 1px solid {INK}; padding-top: 4px; font-size: 13px; }}
table.line td, table.line th {{ padding-top: 2px; padding-bottom: 2px; }}
.said {{ background: {SHADE}; padding: 8px 14px; break-inside: avoid; }}
.caution {{ border-top: 2px solid {INK}; margin-top: 24px; padding-top: 8px; font-size: 13px; }}
@media (max-width: 560px) {{ .two, .key {{ display: block; columns: 1; }} .head {{ display: block; }} }}
"""


def html(debrief: Debrief) -> str:
    """Return the debrief as one self-contained page of HTML5."""
    return whole_page(
        f"Debrief: {debrief.title}",
        _STYLE,
        *_head(debrief),
        *_critical(debrief),
        *_score(debrief),
        *_causes(debrief),
        *_time_line(debrief),
        *_belief(debrief),
        *_ways(debrief),
        *_findings(debrief),
        *_safety(debrief),
        *_cost(debrief),
        *_teaches(debrief),
        *_lines(debrief),
        el("p", *(el("span", name) for name in ("Trainee", "Instructor", "Date")), class_="sign"),
        el("p", CAUTION, class_="caution"),
    )


def _head(found: Debrief) -> list[Html]:
    verdict = "Passed" if found.passed else "Not passed"
    facts = (
        ("Trainee", found.who or "not named"),
        ("Scenario", found.scenario or "not named"),
        ("Mode", found.mode or "not told"),
        ("Time", f"{found.minutes:.1f} simulated minutes"),
        ("Pieces", f"{found.pieces} cut, {found.good} good"),
        ("Engine", f"drycycle {found.engine}" if found.engine else "not told"),
    )
    box = el(
        "div", el("b", str(found.score)), "of 100", el("br"), verdict,
        class_=f"score {'passed' if found.passed else 'failed'}",
    )  # fmt: skip
    listed = [part for name, says in facts for part in (el("dt", name), el("dd", says))]
    return [el("h1", found.title), el("div", box, el("dl", *listed, class_="facts"), class_="head")]


def _critical(found: Debrief) -> list[Html]:
    if not found.critical:
        return []
    acts = el("ul", *(el("li", act) for act in found.critical))
    title = el("h2", "Critical: this alone fails the session")
    return [el("div", title, acts, class_="critical")]


def _score(found: Debrief) -> list[Html]:
    rows = [(p.title, _points(p), _bar(p), p.reason) for p in found.parts]
    after = "A critical act sets the score to 0, whatever the parts say." if found.critical else ""
    return [
        el("h2", "Score, part by part"),
        table(("Part", "Points", "", "Why"), rows),
        *([el("p", after)] if after else []),
    ]


def _points(part: ScorePart) -> Html:
    return el("span", f"{part.points} of {part.of}" if part.of else f"{part.points}", class_="num")


def _bar(part: ScorePart) -> Html:
    if not part.of:
        return joined(())
    full = el("rect", x=0.5, y=0.5, width=119, height=13, fill=PAPER, stroke=INK)
    done = el("rect", width=120 * max(part.points, 0) / part.of, height=14, fill=BLUE)
    return el("svg", full, done, viewBox="0 0 120 14", class_="bar", aria_hidden="true")


def _causes(found: Debrief) -> list[Html]:
    if not found.causes and not found.named:
        return []
    rows = (
        ("Was wrong", "; ".join(found.causes) or "nothing"),
        ("You named", "; ".join(found.named) or "nothing"),
        ("Is still wrong", "; ".join(found.still_wrong) or "nothing"),
    )
    early = [
        el(
            "li",
            f"{CATALOGUE[each.fault].title}, at {_at(each.at_us)}: {_some(each.rivals)} "
            "could still have been told apart from it.",
        )
        for each in found.premature
    ]
    return [
        el("h2", "What was wrong, and what you named"),
        table(("", ""), rows, "facing"),
        *([el("h3", "Named too early"), el("ul", *early)] if early else []),
    ]


def _some(titles: Sequence[str]) -> str:
    more = len(titles) - 4
    return "; ".join(titles[:4]) + (f" and {more} more" if more > 0 else "")


def _time_line(found: Debrief) -> list[Html]:
    if not found.timeline:
        return []
    says = "Minutes and seconds of simulated time. Every mark is a line of the last table."
    return [
        el("h2", "Time line"),
        el("figure", time_line(found), el("figcaption", says)),
    ]


def _belief(found: Debrief) -> list[Html]:
    if not found.weighs:
        return []
    title = el("h2", "What was to be believed, and when")
    if found.not_weighed:
        return [title, el("p", found.not_weighed)]
    if not found.steps:
        return []
    key = el(
        "ul",
        *(
            el("li", swatch(b.colour, b.letter), b.title, *_true(found, b.title))
            for b in bands(found)
        ),
        class_="key",
    )
    cut = f" The last {MOST_ROWS} findings are drawn." if len(found.steps) > MOST_ROWS else ""
    says = (
        f"{len(found.causes_weighed)} causes, alike at the start. Each row is what somebody who "
        f"knew the machine perfectly would have believed after that finding, and the number before "
        f"it is how many causes were still open.{cut}"
    )
    return [title, el("figure", belief(found), el("figcaption", says)), key]


def _true(found: Debrief, title: str) -> list[Child]:
    return [" ", el("strong", "(so it was)")] if title == found.true_cause else []


def _ways(found: Debrief) -> list[Html]:
    if not found.way_best:
        return []
    best = f"The {BEST}" if found.way_exact else f"A {GOOD_PLAN}"
    return [
        el("h2", "Your way to the cause, beside a planned one"),
        el("figure", both_ways(found)),
        el(
            "div",
            _legs(f"Yours, {price_s(found.way_taken):.0f} s", found.way_taken),
            _legs(f"{best}, {price_s(found.way_best):.0f} s", found.way_best),
            class_="two",
        ),
        *([el("p", found.cheaper)] if found.cheaper else []),
        el(
            "p",
            ("The best plan costs" if found.way_exact else "A good plan costs little, if not the")
            + " least over all causes, for somebody who has not heard the report; "
            "for one cause another way can be cheaper. Lock-outs are not counted.",
            class_="quiet",
        ),
    ]


def _legs(title: str, legs: Sequence[Leg]) -> Html:
    items = [el("li", f"{leg.title}, {leg.cost_s:.0f} s ({LEG_WORDS[leg.kind]})") for leg in legs]
    return el("div", el("h3", title), el("ol", *items) if items else el("p", "No look, no trial."))


def _findings(found: Debrief) -> list[Html]:
    looks = [step for step in found.steps if step.look]
    if not looks:
        return []
    expected = {each.at_us: each for each in found.expectations}
    idle = found.redundant
    rows: list[tuple[Child, ...]] = []
    for step in looks:
        hope = expected.get(step.at_us)
        flags: list[Child] = []
        if step in idle:
            flags.append(el("span", "Told nothing new.", class_="flag"))
        if hope is not None and hope.held is not None:
            good = el("span", "As expected.", class_="flag good")
            flags.insert(
                0, good if hope.held else el("span", "Not as expected.", class_="flag bad")
            )
        rows.append(
            (
                _at(step.at_us),
                step.title,
                hope.expected if hope else "",
                step.found,
                joined(flags),
            )
        )
    judged = [each.held for each in found.expectations if each.held is not None]
    lines = [f"{sum(judged)} of {len(judged)} expectations came true."] if judged else []
    if idle:
        lines.append(
            f"{len(idle)} of {len(looks)} looks told nothing new: after the looks before, every "
            "cause still open would have shown the same."
        )
    return [
        el("h2", "What you looked at"),
        table(("At", "Look", "You expected", "You found", ""), rows),
        *(el("p", line) for line in lines),
        *(
            [el("h3", "Hints taken"), el("ul", *(el("li", h) for h in found.hints))]
            if found.hints
            else []
        ),
    ]


def _safety(found: Debrief) -> list[Html]:
    rows = [
        (
            _at(row.at_us),
            row.text,
            el("span", "in order", class_="flag good")
            if row.fine
            else el("span", "not right", class_="flag bad"),
        )
        for row in found.safety
    ]
    none = el("p", "No step of a lock-out was taken, and no hand went into the machine.")
    return [
        el("h2", "Lock-out and safety"),
        table(("At", "Step or act", ""), rows) if rows else none,
    ]


def _cost(found: Debrief) -> list[Html]:
    cost = found.cost
    rows = (
        ("Time of the session", f"{cost.minutes:.1f} min simulated"),
        ("Stand-still that harm would have cost", f"{cost.standstill_minutes:.0f} min"),
        ("Money", f"{cost.money:.0f}"),
        ("Band life", f"{cost.band_life:.0%} of a band"),
        ("Bar spoilt", f"{cost.scrap_mm:.0f} mm"),
        ("Pieces off size", f"{cost.bad_pieces}"),
    )
    says = "Money and minutes are those of an invented workshop."
    return [
        el("h2", "What it cost"),
        table(("", ""), rows, "facing"),
        el("p", says, class_="quiet"),
    ]


def _teaches(found: Debrief) -> list[Html]:
    parts: list[Html] = []
    if found.sound_path:
        parts += [
            el("h2", "The shortest sound way"),
            el("ol", *(el("li", step) for step in found.sound_path)),
        ]
    if found.teaches:
        parts += [el("h2", "To remember"), el("p", found.teaches, class_="said")]
    return parts


def _lines(found: Debrief) -> list[Html]:
    shown = found.timeline[:MOST_LINES]
    rows = [
        (
            _at(event.at_us),
            MARKS[event.kind][2] if event.kind in MARKS else event.kind,
            _says(event.text),
        )
        for event in shown
    ]
    more = len(found.timeline) - len(shown)
    if not rows:
        return []
    return [
        el("h2", "Everything that happened"),
        table(("At", "What", ""), rows, "line"),
        *([el("p", f"{more} more lines are in the record.")] if more > 0 else []),
    ]


def _says(text: str) -> str:
    return f"Key {text}." if text in BY_KEY else text


def _at(at_us: int) -> str:
    tenths = at_us * 10 // US
    return f"{tenths // 600}:{tenths % 600 // 10:02d}.{tenths % 10}"
