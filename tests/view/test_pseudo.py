"""No word is on the screen that did not go through a reader, on any page."""

import re
from itertools import chain

from sim.control.interlocks import BY_NUMBER
from sim.pilot import autopilot
from sim.scenario.machines import first_machine
from sim.signals import BY_TAG
from sim.view.play.console_rows import CAPS
from sim.words.reader import PSEUDO_LANGUAGE
from tests.escapes import escaped

from .conftest import every_page, person_at

_PROGRAM = "drycycle"
_KEY = re.compile(r"[A-Z]|F\d{1,2}")  # on a cap or a tab, that works it
_TAGS = (*BY_TAG, *BY_NUMBER, *first_machine().loom.by_tag)
_TAG = re.compile(rf"\b(?:{'|'.join(_TAGS)})\b")  # of a wire, an interlock or a device
_UNIT = re.compile(r"(?:[\d.,]+ )?(?:mm|bar|m/min|cm³/min)")  # where the unit stands by itself


def _shown(person):
    """Return every text that was drawn, before it is broken into lines, and every label."""
    stage, texts = person.app.stage, set()
    letters = stage.kit.letters
    draw = {name: getattr(letters, name) for name in ("put", "figures", "block")}

    def caught(name):
        def watch(surface, text, *rest, **named):
            texts.add(text)
            letters.put = draw["put"]  # the lines of a block are no texts of their own
            drawn = draw[name](surface, text, *rest, **named)
            letters.put = caught("put")
            return drawn

        return watch

    for name in draw:
        setattr(letters, name, caught(name))
    stage.resize(stage.surface, stage.kit)
    stage.frame()
    for name, own in draw.items():
        setattr(letters, name, own)
    return texts | {widget.label for widget in stage.tree.walk()}


def _out(text):
    """Return the words of a text that did not go through a reader."""
    alone = _KEY.fullmatch(text) or _UNIT.fullmatch(text)
    return [] if alone else [word for word in escaped(_TAG.sub("", text)) if word != _PROGRAM]


def test_no_word_on_any_page_escapes_the_reader():
    out = [
        f"{page}: {text!r}"
        for page, person in every_page((1600, 900), 1.0, PSEUDO_LANGUAGE)
        for text in sorted(_shown(person))
        if _out(text)
    ]
    assert not out, "\n".join(out)


def test_a_word_that_escapes_is_seen():
    person = person_at(scenario="rail-posts", language=PSEUDO_LANGUAGE)
    assert _out("Working out the debrief ...") == ["Working", "out", "the", "debrief"]
    assert not any(map(_out, _shown(person)))
    person.play.search.text = "valve"  # what a person has typed stands as it is
    person.play.go("diagnose")
    assert "valve" in _shown(person)


def _after_every_key():
    """Yield the console of a job with a coach after each key, and what is said against each."""
    person = person_at((1600, 900), 1.0, "rail-posts", PSEUDO_LANGUAGE)
    play = person.play
    play.go("console")
    for key in CAPS:
        play.hands.press("a test", key)
        play.telling.listen()
        yield f"after {key}", person
        play.hands.release("a test")
        person.app.stage.page.why(f"key.{key}")
        yield f"why not {key}", person


def _to_the_wreck():
    """Yield a job that goes wrong at its first cut, and its debrief."""
    person = person_at((1600, 900), 1.0, "rail-posts", PSEUDO_LANGUAGE)
    play, session = person.play, person.session
    play.go("console")
    autopilot.power_up(session)
    autopilot.make_ready(session)
    session.set("head.stop_plunger", "on the land")
    autopilot.begin(session)
    while not session.over:
        session.advance(3.0)
        play.tick()
        yield "in the run", person
    for tab in ("log", "bench", "inspect"):
        play.go(tab)
        yield f"{tab} after the run", person
    person.app.finish()
    for part in ("line", "belief", "ways", "safety"):
        person.app.stage.page.show(part)
        yield f"debrief of the run, {part}", person


def test_no_word_escapes_in_a_run_either():
    out, pages = [], set()
    for page, person in chain(_after_every_key(), _to_the_wreck()):
        pages.add(page)
        out += [f"{page}: {text!r}" for text in _shown(person) if _out(text)]
    assert not out, "\n".join(out)
    assert len(pages) > 2 * len(CAPS)
