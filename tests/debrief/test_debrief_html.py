"""The debrief as a page: whole HTML, nothing from elsewhere, readable in colour and in print."""

import re
from html.parser import HTMLParser

import pytest

from sim.debrief.debrief import Debrief, debrief
from sim.debrief.debrief_html import html
from sim.debrief.debrief_pictures import MOST_ROWS, bands
from sim.debrief.evidence import EvidenceStep
from sim.debrief.paper import TOGETHER, el
from sim.debrief.scoring import Outcome, ScorePart
from sim.pilot.autopilot import as_found, whole_job
from sim.session.kept.heard import Event, EventKind
from sim.session.opening import open_session
from sim.words.message import NOTHING, quoted

from .eventful import eventful, few_causes

ALONE = frozenset({"meta", "br", "!doctype"})


@pytest.fixture(scope="module")
def pages():
    """Pages of an eventful drill, of a wreck, and of a clean job; with their debriefs."""
    with few_causes():
        wreck, job = open_session("head-stops-short"), open_session("rail-posts")
        as_found(wreck, 2)
        whole_job(job)
        found = [debrief(session) for session in (eventful(), wreck, job)]
    return [(each, html(each)) for each in found]


class Strict(HTMLParser):
    """Reads a page and holds it to what a person who writes HTML by hand would be held to."""

    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.open, self.seen, self.attributes, self.text = [], [], [], []

    def handle_starttag(self, tag, attributes):
        names = [name for name, _ in attributes]
        assert len(set(names)) == len(names), f"<{tag}> has an attribute twice"
        assert all(value is not None for _, value in attributes)
        self.seen.append(tag)
        self.attributes += [(tag, name, value) for name, value in attributes]
        if tag not in ALONE:
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open, f"</{tag}> closes nothing"
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.text.append(data)


def parsed(page):
    parser = Strict()
    parser.feed(page)
    parser.close()
    assert parser.open == []
    return parser


def luminance(colour):
    """The relative luminance of WCAG 2, from its own formula."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one, other):
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_formula_for_contrast_is_right_at_its_ends():
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)


def test_every_page_is_whole_and_says_its_language_and_letters(pages):
    for found, page in pages:
        parser = parsed(page)
        assert page.startswith('<!DOCTYPE html>\n<html lang="en">')
        assert ("meta", "charset", "utf-8") in parser.attributes
        for once in ("html", "head", "body", "main", "title", "h1", "style"):
            assert parser.seen.count(once) == 1 + (once == "title") * parser.seen.count(
                "svg"
            ) - sum(
                1
                for tag, name, _ in parser.attributes
                if once == "title" and (tag, name) == ("svg", "aria-hidden")
            )
        assert str(found.title) in "".join(parser.text)


def test_a_page_has_no_script_and_nothing_from_elsewhere(pages):
    for _, page in pages:
        parser = parsed(page)
        assert not {"script", "link", "img", "iframe", "object", "embed", "a"} & set(parser.seen)
        assert not {"src", "href", "srcset", "action", "onload", "onclick"} & {
            name for _, name, _ in parser.attributes
        }
        assert not re.search(r"https?:|//[a-z]|url\(|@import|data:", page)


def test_every_colour_of_a_page_can_be_read_on_every_ground_it_stands_on(pages):
    used = {colour for _, page in pages for colour in re.findall(r"#[0-9a-fA-F]{3,8}\b", page)}
    known = {colour for pair in TOGETHER for colour in pair}

    assert used <= known
    assert len(used) > 8
    for ink, ground in TOGETHER:
        assert contrast(ink, ground) >= 4.5, (ink, ground)


def test_letters_in_a_picture_are_dark_on_paper_or_paper_on_a_fill(pages):
    fills = {ink for ink, ground in TOGETHER if ground == "#ffffff"}
    for _, page in pages:
        inks = re.findall(r'<text [^>]*fill="(#\w+)"', page)
        assert inks
        assert set(inks) <= fills | {"#ffffff"}


def test_words_of_the_trainee_are_text_and_never_markup(pages):
    _, page = pages[0]
    text = "".join(parsed(page).text)

    assert "four <millimetres> & no more" in text
    assert "Asked the foreman: <b>no answer</b>." in text
    assert "<b>no answer" not in page
    assert el("p", '"<&', title='"<&').markup == '<p title="&quot;&lt;&amp;">&quot;&lt;&amp;</p>'


def test_the_page_shows_all_that_the_debrief_holds(pages):
    for found, page in pages:
        text = "".join(parsed(page).text)
        sentences = [
            *found.critical, *found.causes, *found.named, *found.hints, *found.sound_path,
            *(part.reason for part in found.parts), *(row.said for row in found.safety),
            *(leg.title for leg in (*found.way_taken, *found.way_best)),
            *(band.title for band in bands(found) if found.steps), found.teaches,
            *(step.found for step in found.steps if step.look),
        ]  # fmt: skip
        for sentence in sentences:
            assert str(sentence) in text
        assert ("Not passed" in text) != found.passed
        assert f"{found.score}of 100" in text


def test_pictures_say_what_they_are_and_stay_within_their_frames(pages):
    _, page = pages[0]
    pictures = re.findall(
        r"<svg viewBox=\"0 0 (\S+) (\S+)\" role=\"img\"><title>(.*?)</title>(.*?)</svg>", page
    )

    assert [title for *_, title, _ in pictures] == [
        "The way to the cause beside that of the best plan",
        "How likely each cause was after each finding",
        "Time line of the session",
    ]
    for wide, high, title, drawn in pictures:
        for x, y, w, h in re.findall(
            r'<rect x="(\S+)" y="(\S+)" width="(\S+)" height="(\S+)"', drawn
        ):
            assert 0 <= float(x) <= float(x) + float(w) <= float(wide) + 0.6, title
            assert 0 <= float(y) <= float(y) + float(h) <= float(high), title
        for x, y in re.findall(r'<text x="(\S+)" y="(\S+)"', drawn):
            assert 0 <= float(x) < float(wide), title
            assert 0 < float(y) <= float(high), title


def test_each_row_of_the_belief_is_one_hundred_percent_wide(pages):
    found, page = pages[0]
    drawn = page.partition("How likely each cause")[2].partition("</svg>")[0]
    rows = {}
    for y, wide in re.findall(r'<rect x="\S+" y="(\S+)" width="(\S+)" height="20"', drawn):
        rows[y] = rows.get(y, 0.0) + float(wide)

    assert len(rows) == len(found.steps) + 1
    assert list(rows.values()) == pytest.approx([486.0] * len(rows), abs=1.0)


def test_a_very_long_session_still_makes_a_page_of_bounded_length():
    steps = tuple(
        EvidenceStep(i, quoted(f"Look {i}"), quoted("seen"), True, (0.5, 0.5), 1.0, True, False)
        for i in range(300)
    )
    one, other = quoted("A"), quoted("B")
    found = Debrief(
        title=quoted("Long"), score=1, outcome=Outcome.NOT_PASSED, critical=(),
        parts=(ScorePart("cause", quoted("Cause"), 0, 40, quoted("None.")),),
        causes=(one,), named=(), still_wrong=(), pieces=0, good=0, minutes=600.0, money=0.0,
        timeline=tuple(Event(i * 10**6, EventKind.ACT, quoted(f"Act {i}")) for i in range(20_000)), teaches=NOTHING,
        sound_path=(), causes_weighed=(one, other), true_cause=one, start=(0.5, 0.5), steps=steps,
    )  # fmt: skip
    page = html(found)
    parsed(page)

    assert "19600 more lines are in the record." in page
    assert f"The last {MOST_ROWS} findings are drawn." in page
    assert len(page) < 4_000_000


def test_a_session_in_which_nothing_happened_makes_a_page_too():
    parsed(html(debrief(open_session("rail-posts"))))
    parsed(html(debrief(open_session("head-stops-short"))))
