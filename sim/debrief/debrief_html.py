"""The debrief as one HTML file, to read on a screen, to print on A4, to keep; in the reader's language.

No script, no font, picture or style from elsewhere: the pictures are drawn into the page.

Never here: what is drawn or worked out.
"""

from collections.abc import Sequence
from itertools import zip_longest
from typing import Final

from sim.debrief.best_path import price_s
from sim.debrief.debrief import Debrief, hints_told
from sim.debrief.debrief_pictures import (
    MARKS,
    MOST_ROWS,
    bands,
    belief,
    both_ways,
    swatch,
    time_line,
)
from sim.debrief.evidence import Naming
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
    label,
    table,
)
from sim.debrief.paper import page as whole_page
from sim.debrief.scoring import OUTCOMES, Outcome, ScorePart
from sim.debrief.sound_way import RouteStep
from sim.debrief.what_next import what_next
from sim.faults.catalogue import EVERY
from sim.session.kept.heard import Event
from sim.session.kept.told import KEY_TAKEN, in_words
from sim.units import MINUTE, MM, US
from sim.words.fields import count, minutes, mm, name, number, part, parts, percent, seconds
from sim.words.message import Message, row
from sim.words.speech import reader, tell

MOST_LINES: Final = 400  # of the time line's table
_MOST_RIVALS: Final = 4

_TITLE: Final = row("page.title", "Debrief: {title}", title=part())
_MINUTES: Final = row("page.minutes", "{minutes} simulated minutes", minutes=number(1))
_PIECES: Final = row("page.pieces", "{cut} cut, {good} good", cut=number(), good=number())
_ENGINE: Final = row("page.engine", "drycycle {version}", version=name())
_NEXT: Final = row("page.next", "Next: {title} ({scenario}).", title=part(), scenario=name())
_NEXT_AGAIN: Final = row(
    "page.next.again", "Next: the same once more, {title} ({scenario}).",
    title=part(), scenario=name(),
)  # fmt: skip
_POINTS: Final = row("page.points", "{points} of {of}", points=number(), of=number())
_NUMBER: Final = row("page.number", "{number}", number=number())
_LISTED: Final = row("page.listed", "{items}", items=parts("; "))
_EARLY: Final = row(
    "page.early",
    "{cause}, at {at}. Not told apart by then from: {rivals}.",
    cause=part(), at=name(), rivals=part(),
)  # fmt: skip
_MENDED_EARLY: Final = row(
    "page.mended-early",
    "{cause}, put right at {at}, before it was named. Not told apart by then from: {rivals}.",
    cause=part(), at=name(), rivals=part(),
)  # fmt: skip
_MORE: Final = row("page.more", "{some} and {count} more", some=part(), count=count())
_CAUSES: Final = row(
    "page.causes-possible",
    "{causes} causes are thought of, a pair counted as one. The first row shows how likely each was by the operator's report, "
    "each other one how likely after what was seen, for somebody who knew the machine perfectly. The "
    "number before it says how many causes are still likely: all others together have 10 % at most.",
    causes=number(),
)  # fmt: skip
_LAST: Final = row("page.last-findings", "The last {most} findings are drawn.", most=number())
_YOURS: Final = row("page.way.yours", "Yours, {cost}", cost=seconds())
_BEST: Final = row("page.way.best", "The best plan, {cost}", cost=seconds())
_GOOD: Final = row("page.way.good", "A good plan, {cost}", cost=seconds())
_ONE: Final = row("page.way.one", "A plan, {cost}", cost=seconds())
_STEP: Final = row("page.way.step", "{step} {cost}.", step=part(), cost=seconds())
_CAME_TRUE: Final = row(
    "page.expectations", "{held} of {count} expectation came true.",
    plural="{held} of {count} expectations came true.", held=number(), count=count(),
)  # fmt: skip
_SIMULATED: Final = row("page.cost.time", "{time} simulated", time=minutes(1))
_DOWNTIME: Final = row("page.cost.downtime", "{time}", time=minutes())
_BAND_LIFE: Final = row("page.cost.band", "{share} of a band", share=percent())
_SPOILT: Final = row("page.cost.bar", "{length}", length=mm())
_MORE_LINES: Final = row(
    "page.more-lines", "{count} more line is in the record.",
    plural="{count} more lines are in the record.", count=count(),
)  # fmt: skip
_KEY: Final = row("page.key", "Key {pressed}.", pressed=name())

_FILLED: Final = {
    Outcome.PASSED: "passed", Outcome.FOUND: "half", Outcome.PRACTISED: "half",
}  # fmt: skip
"""How the box of the score is filled; everything else as failed."""

_STYLE: Final = f"""{STYLE}
.head {{ display: flex; gap: 20px; align-items: center; margin: 12px 0; break-inside: avoid; }}
.score {{ min-width: 128px; padding: 10px 14px; text-align: center; color: {PAPER}; }}
.score.passed {{ background: {GOOD}; }}
.score.failed {{ background: {BAD}; }}
.score.half {{ background: {CARE}; }}
.why {{ font-weight: 600; }}
.score b {{ display: block; font-size: 34px; line-height: 1.1; }}
.facts {{ flex: 1; display: grid; grid-template-columns: max-content 1fr; gap: 2px 14px; margin: 0; }}
.facts dt {{ color: {QUIET}; }}
.facts dd {{ margin: 0; }}
.critical {{ border: 3px solid {BAD}; padding: 6px 14px; margin: 12px 0; break-inside: avoid; }}
.critical h2 {{ border: 0; margin: 0; padding: 0; color: {BAD}; }}
.bar {{ width: 120px; height: 14px; }}
.key {{ list-style: none; padding: 0; columns: 2; font-size: 14px; }}
.swatch {{ display: inline-block; width: 20px; height: 18px; vertical-align: -4px; margin-right: 8px; }}
.key li {{ padding-left: 28px; text-indent: -28px; }}
.flag {{ display: block; font-weight: 600; color: {CARE}; white-space: nowrap; }}
.flag.bad {{ color: {BAD}; }}
.flag.good {{ color: {GOOD}; }}
.num {{ white-space: nowrap; }}
table.facing {{ break-inside: avoid; }}
table.ways {{ table-layout: fixed; }}
table.ways thead td {{ width: 5%; }}
.sign {{ display: flex; gap: 28px; margin-top: 40px; break-inside: avoid; }}
.sign span {{ flex: 1; border-top: 1px solid {INK}; padding-top: 4px; font-size: 13px; }}
table.line td, table.line th {{ padding-top: 2px; padding-bottom: 2px; }}
.said {{ background: {SHADE}; padding: 8px 14px; break-inside: avoid; }}
.caution {{ border-top: 2px solid {INK}; margin-top: 24px; padding-top: 8px; font-size: 13px; }}
@media (max-width: 560px) {{ .key {{ display: block; columns: 1; }} .head {{ display: block; }} }}
"""


def html(debrief: Debrief) -> str:
    """Return the debrief as one self-contained page of HTML5, for who reads now."""
    signatures = (label("Trainee"), label("Instructor"), label("Date"))
    return whole_page(
        "drycycle debrief",
        tell(_TITLE(title=debrief.title)),
        _STYLE,
        *_head(debrief),
        *([el("p", debrief.not_played, class_="said")] if debrief.not_played else []),
        *([el("p", debrief.ordered, class_="said")] if debrief.ordered else []),
        *_critical(debrief),
        *_exposed(debrief),
        *_causes(debrief),
        *_ways(debrief),
        *_teaches(debrief),
        *_score(debrief),
        *_findings(debrief),
        *_safety(debrief),
        *_belief(debrief),
        *_time_line(debrief),
        *_cost(debrief),
        *_lines(label("Everything that happened"), debrief.timeline),
        *_lines(label("As recorded, not played again"), debrief.as_recorded),
        *_next(debrief),
        el("p", *(el("span", who) for who in signatures), class_="sign"),
        el("p", label(
            "Practice, not authorisation: the maker's manual, local codes and a qualified or "
            "authorised person come first."
        ), class_="caution"),
    )  # fmt: skip


def _next(found: Debrief) -> list[Html]:
    """Return what is done next; nothing where no scenario follows."""
    following = what_next(found)
    if not following.scenario:
        return []
    said = _NEXT_AGAIN if following.again else _NEXT
    return [el("p", said(title=following.title, scenario=following.scenario))]


def _head(found: Debrief) -> list[Html]:
    facts: tuple[tuple[str, Child], ...] = (
        (label("Trainee"), reader().name(found.who) if found.who else label("not named")),
        (
            label("Scenario"),
            found.own or (reader().name(found.scenario) if found.scenario else label("not named")),
        ),
        (label("Mode"), label(found.mode) if found.mode else label("not told")),
        (label("Time"), _MINUTES(minutes=found.minutes)),
        (label("Pieces"), _PIECES(cut=found.pieces, good=found.good)),
        (label("Engine"), _ENGINE(version=found.engine) if found.engine else label("not told")),
    )
    points = () if found.unfinished else (el("b", str(found.score)), label("of 100"), el("br"))
    box = el(
        "div", *points, OUTCOMES[found.outcome],
        class_=f"score {_FILLED.get(found.outcome, 'failed')}",
    )  # fmt: skip
    listed = [part for name, says in facts for part in (el("dt", name), el("dd", says))]
    return [
        el("h1", found.title),
        el("div", box, el("dl", *listed, class_="facts"), class_="head"),
        *([el("p", found.why, class_="why")] if found.why else []),
    ]


def _critical(found: Debrief) -> list[Html]:
    both = (
        (label("Critical: this alone fails the session"), found.fails),
        (label("Critical, and taken back: it leaves no points"), found.taken_back),
    )
    return [
        el("div", el("h2", title), el("ul", *(el("li", act) for act in acts)), class_="critical")
        for title, acts in both
        if acts
    ]


def _exposed(found: Debrief) -> list[Html]:
    if not found.exposures:
        return []
    practised = found.outcome is Outcome.PRACTISED and found.rewinds
    title = (
        label("Hands with nothing to protect them, and taken back")
        if practised
        else label("Hands with nothing to protect them: this alone fails the session")
    )
    return [el("div", el("h2", title), class_="critical")]


def _score(found: Debrief) -> list[Html]:
    if not found.parts:
        return []
    rows = [(p.title, _points(p), _bar(p), p.reason) for p in found.parts]
    after = label("A critical act sets the score to 0, whatever the parts say.")
    return [
        el("h2", label("Score, part by part")),
        table((label("Part"), label("Points"), "", label("Why")), rows),
        *([el("p", after)] if found.critical else []),
    ]


def _points(part: ScorePart) -> Html:
    said: Child = _POINTS(points=part.points, of=part.of) if part.of else ""
    return el("span", said, class_="num")


def _bar(part: ScorePart) -> Html:
    if not part.of:
        return joined(())
    full = el("rect", x=0.5, y=0.5, width=119, height=13, fill=PAPER, stroke=INK)
    done = el("rect", width=120 * max(part.points, 0) / part.of, height=14, fill=BLUE)
    return el("svg", full, done, viewBox="0 0 120 14", class_="bar", aria_hidden="true")


def _causes(found: Debrief) -> list[Html]:
    if not found.causes and not found.named:
        return []
    rows = [
        (title, _LISTED(items=causes) if causes else label("nothing"))
        for title, causes in (*_told_of(found),)
    ]
    early = [
        el("li", _early(each))
        for each in found.premature
    ]  # fmt: skip
    if found.reported:
        rows.insert(0, (label("Was reported"), found.reported))
    return [
        el("h2", label("What was wrong, and what you named")),
        table(("", ""), rows, "facing"),
        *([el("h3", label("Named or put right too early")), el("ul", *early)] if early else []),
    ]


def _told_of(found: Debrief) -> tuple[tuple[str, tuple[Message, ...]], ...]:
    """Return what is told of the causes: of a record that ends early only what was so up to there."""
    if not found.unfinished:
        return (
            (label("Was wrong"), found.causes),
            (label("You named or put right"), found.named),
            (label("Is still wrong"), found.still_wrong),
        )
    named = (label("You named or put right up to there"), found.named)
    if found.not_played:  # a fault is still sealed, and nobody knows what was wrong after that
        return ((label("Was wrong at the start"), found.causes), named)
    there = (label("Was still wrong there"), found.still_wrong)
    return ((label("Was wrong"), found.causes), named, there)


def _early(each: Naming) -> Message:
    told = _EARLY if each.mended_us is None else _MENDED_EARLY
    at_us = each.at_us if each.mended_us is None else each.mended_us
    return told(cause=EVERY[each.fault].title, at=_at(at_us), rivals=_some(each.rivals))


def _some(titles: Sequence[Message]) -> Message:
    some = _LISTED(items=tuple(titles[:_MOST_RIVALS]))
    more = len(titles) - _MOST_RIVALS
    return _MORE(some=some, count=more) if more > 0 else some


def _time_line(found: Debrief) -> list[Html]:
    if not found.timeline:
        return []
    says = label("Minutes and seconds of simulated time. Every mark is a line of the last table.")
    return [
        el("h2", label("Time line")),
        el("figure", time_line(found), el("figcaption", says)),
    ]


def _belief(found: Debrief) -> list[Html]:
    if not found.weighs:
        return []
    title = el("h2", label("Causes still possible"))
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
    says: list[Child] = [_CAUSES(causes=len(found.causes_weighed))]
    if len(found.steps) > MOST_ROWS:
        says += [" ", _LAST(most=MOST_ROWS)]
    return [title, el("figure", belief(found), el("figcaption", *says)), key]


def _true(found: Debrief, title: Message) -> list[Child]:
    return [" ", el("strong", label("(so it was)"))] if title == found.true_cause else []


def _ways(found: Debrief) -> list[Html]:
    if not found.way_best:
        return []
    plan = _BEST if found.way_exact else _GOOD if found.way_near else _ONE
    best = plan(cost=price_s(found.way_best))
    return [
        el("h2", label("Your way to the cause, beside a planned one")),
        el("figure", both_ways(found)),
        table(("", _YOURS(cost=price_s(found.way_taken)), best), _steps(found), "ways"),
        *([el("p", found.cheaper)] if found.cheaper else []),
        el("p", _about_the_plan(found), class_="quiet"),
    ]


def _about_the_plan(found: Debrief) -> str:
    if found.way_exact:
        return label(
            "The best plan has heard the report, and costs the least on average over all causes; "
            "for one cause another way can be cheaper. What is in sight costs nothing."
        )
    if not found.way_near:
        return label(
            "This plan has heard the report. How near it is to the best is not known. What is in "
            "sight costs nothing."
        )
    return label(
        "A good plan has heard the report, and costs little on average over all causes; for one "
        "cause another way can be cheaper. What is in sight costs nothing."
    )


def _steps(found: Debrief) -> list[tuple[Child, ...]]:
    """Return both ways side by side, a row a step."""
    both = zip_longest(found.steps_taken, found.steps_best)
    return [
        (_NUMBER(number=number), _step(mine), _step(plan))
        for number, (mine, plan) in enumerate(both, start=1)
    ]


def _step(step: RouteStep | None) -> Child:
    if step is None:
        return ""
    said = step.message
    return _STEP(step=said, cost=step.cost_s) if step.cost_s is not None else said


def _findings(found: Debrief) -> list[Html]:
    if not found.findings:
        return []
    expected = {each.at_us: each for each in found.expectations}
    idle = found.redundant
    rows: list[tuple[Child, ...]] = []
    for step in found.findings:
        hope = expected.get(step.at_us)
        flags: list[Child] = []
        if hope is not None and hope.held is not None:
            flags.append(
                el("span", label("As expected."), class_="flag good") if hope.held
                else el("span", label("Not as expected."), class_="flag bad")
            )  # fmt: skip
        if step in idle:
            flags.append(el("span", label("Told nothing new."), class_="flag"))
        said = hope.expected if hope else ""
        title = step.title if step.look or step.asked else label("Was in sight")
        rows.append((_at(step.at_us), title, said, step.found, joined(flags)))
    judged = [each.held for each in found.expectations if each.held is not None]
    lines: list[Message] = []
    if judged:
        lines.append(_CAME_TRUE(held=sum(judged), count=len(judged)))
    if found.idle:
        lines.append(found.idle)
    hints = [el("li", hint) for hint in hints_told(found.hints)]
    heads = (label("At"), label("Look"), label("You expected"), label("You found"), "")
    return [
        el("h2", label("What you looked at, and what was in sight")),
        table(heads, rows),
        *(el("p", line) for line in lines),
        *([el("h3", label("Hints taken")), el("ul", *hints)] if hints else []),
    ]


def _safety(found: Debrief) -> list[Html]:
    rows = [
        (
            _at(each.at_us),
            each.said,
            el("span", label("in order"), class_="flag good") if each.fine
            else el("span", label("not right"), class_="flag bad"),
        )
        for each in found.safety
    ]  # fmt: skip
    none = el(
        "p", label("No step of a lock-out was taken, and no hand was struck or left unprotected.")
    )
    return [
        el("h2", label("Lock-out and safety")),
        table((label("At"), label("Step or act"), ""), rows) if rows else none,
    ]


def _cost(found: Debrief) -> list[Html]:
    cost = found.cost
    rows = (
        (label("Time of the session"), _SIMULATED(time=cost.minutes * MINUTE)),
        (
            label("Downtime that the harm would cause"),
            _DOWNTIME(time=cost.downtime_minutes * MINUTE),
        ),
        (label("Money"), _NUMBER(number=cost.money)),
        (label("Band life"), _BAND_LIFE(share=cost.band_life)),
        (label("Bar spoilt"), _SPOILT(length=cost.scrap_mm * MM)),
        (label("Pieces off size"), _NUMBER(number=cost.bad_pieces)),
    )
    says = label("Money and minutes are those of an invented workshop.")
    return [
        el("h2", label("What it cost")),
        table(("", ""), rows, "facing"),
        el("p", says, class_="quiet"),
    ]


def _teaches(found: Debrief) -> list[Html]:
    shown: list[Html] = []
    if found.sound_path and not found.way_best:
        shown += [
            el("h2", label("A sound way")),
            el("ol", *(el("li", step) for step in found.sound_path)),
        ]
    if found.teaches:
        shown += [el("h2", label("To remember")), el("p", found.teaches, class_="said")]
    return shown


def _lines(title: Child, events: Sequence[Event]) -> list[Html]:
    shown = events[:MOST_LINES]
    rows = [
        (_at(event.at_us), MARKS[event.kind].word if event.kind in MARKS else "", _says(event))
        for event in shown
    ]
    more = len(events) - len(shown)
    if not rows:
        return []
    return [
        el("h2", title),
        table((label("At"), label("What"), ""), rows, "line"),
        *([el("p", _MORE_LINES(count=more))] if more > 0 else []),
    ]


def _says(event: Event) -> Message:
    if event.message.row is KEY_TAKEN:
        return _KEY(pressed=event.message["action"])
    return in_words(event.message)


def _at(at_us: int) -> str:
    """Return a moment as minutes, seconds and tenths, `1:05.3`."""
    tenths = at_us * 10 // US
    return f"{tenths // 600}:{reader().number(tenths % 600 / 10, decimals=1).zfill(4)}"
