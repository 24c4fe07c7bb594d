"""The session language: what a line is taken for, and how a slip is answered."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.errors import CommandError
from sim.faults.catalogue import CATALOGUE
from sim.session.inspections import INSPECTIONS
from sim.session.lockout import BY_NAME as STEPS
from sim.signals import BY_KEY, BY_TAG
from sim.text.names import pick
from sim.text.typed.acts import DOES, perform
from sim.text.typed.language import LONGEST_LINE, WORDS, parse
from sim.text.typed.reading import POINTS, STATES, TypedAct


def test_every_word_has_a_usage_an_explanation_and_something_that_it_does():
    assert set(DOES) == set(WORDS)
    for name, row in WORDS.items():
        assert str(row.usage).split()[0] == name
        assert str(row.does).endswith(".")
        assert len(str(row.does).split()) >= 4


@pytest.mark.parametrize("word", WORDS)
def test_help_explains_every_word(word):
    act = parse(f"help {word}")
    assert act is not None

    (said,) = perform(None, act)  # help needs no session

    assert str(WORDS[word].does) in str(said)


@pytest.mark.parametrize(
    ("line", "act"),
    [
        ("press supply.isolator", TypedAct("press", ("supply.isolator",))),
        ("PRESS Palm.Left CONTROL-ON", TypedAct("press", ("palm.left", "supply.control_on"))),
        ("tap job.start left right", TypedAct("tap", ("job.start", "palm.left", "palm.right"))),
        ("palms job.start", TypedAct("palms", ("job.start",))),
        ("palms unhold", TypedAct("palms", ("job.unhold",))),
        ("turn production", TypedAct("turn", ("production",))),
        ("turn MAN", TypedAct("turn", ("manual",))),
        ("release emer", TypedAct("release", ("supply.emergency_stop",))),
        ("hold head.raise 3", TypedAct("hold", ("head.raise",), seconds=3.0)),
        ("hold slower faster 2.5s", TypedAct("hold", ("band.slower", "band.faster"), seconds=2.5)),
        ("set shuttle.stop_mm 231.5", TypedAct("set", ("shuttle.stop_mm",), setting=231.5)),
        ("set stop_mm 231.5 mm", TypedAct("set", ("shuttle.stop_mm",), setting=231.5)),
        ("set stop_plunger ho", TypedAct("set", ("head.stop_plunger",), setting="home")),
        ("set notch 4", TypedAct("set", ("head.stop_notch",), setting=4.0)),
        ("set wanted 3", TypedAct("set", ("job.wanted",), setting=3.0)),
        ("inspect stop plunger", TypedAct("inspect", ("stop-plunger",))),
        ("inspect meter b11", TypedAct("inspect", ("meter B11",))),
        ("wait 10", TypedAct("wait", seconds=10.0)),
        ("wait 2m", TypedAct("wait", seconds=120.0)),
        ("wait 1.5 min", TypedAct("wait", seconds=90.0)),
        ("wait 1h", TypedAct("wait", seconds=3600.0)),
        ("tap control on", TypedAct("tap", ("supply.control_on",))),  # and not coolant.on
        ("release emergency stop", TypedAct("release", ("supply.emergency_stop",))),
        ("press trip line", TypedAct("press", ("supply.trip_line",))),
        ("hold head raise 3", TypedAct("hold", ("head.raise",), seconds=3.0)),
        ("press enable band run", TypedAct("press", ("enable", "band.run"))),
        (
            "press band.run palm.left palm.right",
            TypedAct("press", ("band.run", "palm.left", "palm.right")),
        ),
        ("wait piece", TypedAct("wait", ("piece",))),
        ("wait job", TypedAct("wait", ("job",))),
        ("wait until head.up band.running", TypedAct("wait", ("head.up", "band.running"))),
        ("why cut.clamp", TypedAct("why", ("cutting_vise.clamp",))),
        ("lockout lock air", TypedAct("lockout", ("lock-air",))),
        ("lockout", TypedAct("lockout")),
        ("diagnose plunger-on-the-land", TypedAct("diagnose", ("plunger-on-the-land",))),
        ("fix plunger", TypedAct("fix", ("plunger-on-the-land",))),
        ("faults", TypedAct("faults")),
        ("faults height stop", TypedAct("faults", text="height stop")),
        ("note  came   out short", TypedAct("note", text="came out short")),
        ("auto power", TypedAct("auto", ("power",))),
        ("help wait", TypedAct("help", ("wait",))),
        ("quit", TypedAct("quit")),
    ],
)
def test_a_line_is_taken_for_its_act(line, act):
    assert parse(line) == act


@pytest.mark.parametrize("line", ["", "   ", "\t\n", "# a remark", "#press isolator"])
def test_an_empty_line_and_a_remark_ask_for_nothing(line):
    assert parse(line) is None


@pytest.mark.parametrize(
    ("line", "part"),
    [
        ("prss isolator", "the nearest name is press"),
        ("press isolater", "the nearest name is supply.isolator"),
        ("press trap_line", "the nearest name is supply.trip_line"),
        ("set head.stop_noch 4", "the nearest name is head.stop_notch"),
        ("set stop_plunger hone", "the nearest name is home"),
        ("inspect stop-plungr", "the nearest name is stop-plunger"),
        ("diagnose plunger-on-the-lnd", "the nearest name is plunger-on-the-land"),
        ("lockout unlock-ar", "the nearest name is unlock-air"),
        ("wait until head.upp", "the nearest name is head.up"),
        ("help waitt", "the nearest name is wait"),
        ("auto powr", "the nearest name is power"),
        ("press clamp", "may be any of cutting_vise.clamp, shuttle_vise.clamp"),
        ("turn", "turn MODE"),
        ("turn sideways", "there is no mode called 'sideways'"),
        ("palms", "palms KEY"),
        (
            "palms head.raise",
            "head.raise needs no palm keys; write tap head.raise, or hold head.raise 2",
        ),
        ("press", "press KEY [KEY...]"),
        ("hold raise", "hold KEY [KEY...] SECONDS"),
        ("hold raise long", "'long' is not a time"),
        ("wait -3", "'-3' is not a time"),
        ("wait 3 fortnights", "is not a time"),
        ("wait 25h", "longer than a day"),
        ("set stop_mm", "set NAME VALUE"),
        ("set stop_mm far", "'far' is not a number"),
        ("set stop_mm 23 cm", "it is set in mm"),
        ("set strokes 2 mm", "it has no unit"),
        ("set stop_mm nan", "is not a number"),
        ("set band.speed_m_min 85", "hold band.faster"),
        ("quit now", "write quit alone"),
        ("note", "note TEXT"),
        ("note " + "x" * LONGEST_LINE, "write at most"),
    ],
)
def test_a_slip_is_answered_with_what_would_do(line, part):
    with pytest.raises(CommandError) as refused:
        parse(line)

    assert part in str(refused.value)


@pytest.mark.parametrize(
    "names",
    [tuple(BY_KEY), POINTS, tuple(STATES), tuple(INSPECTIONS), tuple(STEPS), tuple(CATALOGUE),
     tuple(WORDS), tuple(BY_TAG)],
    ids=["keys", "points", "states", "inspections", "steps", "faults", "words", "devices"],
)  # fmt: skip
def test_a_whole_name_always_means_itself(names):
    for name in names:
        assert pick(name, names, "name", "") == name
        assert pick(name.upper(), names, "name", "") == name


def _is_act_or_sentence(line):
    try:
        act = parse(line)
    except CommandError as error:
        return str(error).isprintable()
    return act is None or act.word in WORDS


@given(st.text(max_size=80))
def test_any_text_is_an_act_or_nothing_or_one_sentence(line):
    assert _is_act_or_sentence(line)


@pytest.mark.parametrize("word", WORDS)
def test_a_wrong_name_behind_any_word_is_answered_in_one_sentence(word):
    assert _is_act_or_sentence(f"{word} xyzzy")
    assert _is_act_or_sentence(f"{word} xyzzy plugh 7")


@given(
    st.lists(
        st.sampled_from(
            [*WORDS, *BY_KEY, *POINTS, *INSPECTIONS, "until", "meter", "B11", "3", "-1"]
        ),
        max_size=5,
    )
)
def test_any_row_of_known_words_is_an_act_or_nothing_or_one_sentence(words):
    assert _is_act_or_sentence(" ".join(words))


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("raise 2", "for the key write tap head.raise, or hold head.raise 2"),
        ("isolator on", "write press supply.isolator, and release supply.isolator"),
        ("control on", "for the key write tap supply.control_on"),
        ("reset", "write tap and one of supply.reset, job.reset"),
        ("pull trip line", "write press supply.trip_line"),
        ("measure bar", "write inspect and one of bar-chock"),
        ("measure last-piece", "for the inspection write inspect last-piece"),
        ("slide jaw", "write set and one of cutting_vise.jaw_gap_mm, shuttle_vise.jaw_gap_mm"),
        ("slide it", "for a setting write set NAME VALUE"),
        ("medir", "for a look write inspect NAME"),
        ("clamp", "write tap and one of cutting_vise.clamp, shuttle_vise.clamp"),
        ("push", "for a key write tap NAME"),
        ("last-piece", "for the inspection write inspect last-piece"),
        ("feed_valve", "for the set point write set head.feed_valve_mm_min VALUE"),
        ("insepct", "the nearest name is inspect"),
    ],
)
def test_a_name_typed_without_its_word_is_answered_with_the_word(line, says):
    with pytest.raises(CommandError) as refused:
        parse(line)

    assert says in str(refused.value.what_to_do)
