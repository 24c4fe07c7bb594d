"""The operator's pieces: they lie there as his run left them, measure as he reports, and prove nothing.

His run is lived here once more by the autopilot, in a session of its own, and held against what lies there.
"""

import json

import pytest

from sim.debrief.debrief import debrief
from sim.debrief.evidence import as_hidden
from sim.debrief.scoring import Outcome
from sim.diagnosis.account import account_of
from sim.diagnosis.causes import with_faults
from sim.diagnosis.dependency import NOTHING_WRONG, cause_of
from sim.diagnosis.matrix_from_saw import matrix_for
from sim.pilot.autopilot import as_found
from sim.session.before import left
from sim.session.kept.origin import Origin
from sim.session.opening import (
    library_entries,
    open_recorded,
    open_session,
    read,
    session_for,
    sound_twin_of,
    twin_of,
)
from sim.session.playback.replay import replay
from sim.session.sights import describe, first_piece
from sim.text.page import Printer
from sim.text.typed.acts import perform
from sim.text.typed.console import play
from sim.text.typed.language import parse
from sim.trade.measuring import Ruling
from sim.words.reader import Reader
from sim.words.speech import read_by

MM = 1e-3
SEED = 20_311
SHORT = "posts-come-out-short"
LATE = "two-good-ones-and-then"  # its wire breaks for him after two good pieces
SPEAK = [name for name, each in library_entries() if each.reported and each.reported.of_pieces]
SILENT = [name for name, each in library_entries() if name not in SPEAK]
CAUSES = (
    "stop-from-below",
    "length-without-kerf",
    "shuttle-clamping-low",
    "index-plunger-out",
    "belt-worn",
)


@pytest.fixture(autouse=True)
def _nothing_kept():
    left._KEPT.clear()


def of(cause, name=SHORT, seed=0):
    """Return a session on a drill with another cause in it, all looks allowed."""
    scenario = read(name)[0].model_copy(update={"inspections": "all"})
    return session_for(with_faults(scenario, cause), origin=Origin(seed=seed), nonce="for tests")


def run_by_hand(scenario):
    """Return what falls where the job is run as he ran it."""
    session = session_for(scenario, nonce="")
    as_found(session, scenario.job.wanted)
    return [cut for cut in session.saw.cuts if cut.length_m > 0.0 and not cut.squaring]


def sizes(cuts):
    return [(cut.length_m, cut.out_of_square, cut.dent_m) for cut in cuts]


def written(session, line):
    lines = []
    Printer(lines.append, drawn=False).put(*perform(session, parse(line)))
    return lines


# ---- they lie there


@pytest.mark.parametrize("name", SPEAK)
def test_where_a_report_speaks_of_pieces_those_of_his_run_lie_there(name):
    scenario, _ = read(name)
    session = session_for(scenario, nonce="")
    fell = run_by_hand(scenario)

    assert sizes(session.saw.left()) == sizes(fell)
    assert all(cut.at_us < 0 for cut in session.saw.left())
    many = f"{len(fell)} piece{'s' if len(fell) > 1 else ''} of the operator's"
    told = [str(said) for said in describe.look(session)]
    assert ([f"On the outfeed: {many}."] if fell else ["Nothing lies on the outfeed."]) == [
        said for said in told if "outfeed" in said
    ]


def test_some_drills_have_pieces_and_where_no_word_is_said_of_any_there_are_none():
    assert {SHORT, LATE, "brackets-one-and-a-half-short", "newels-short-and-uneven"} <= set(SPEAK)
    assert {"nothing-lights-up", "start-does-nothing", "floor-is-wet", "rail-posts"} <= set(SILENT)
    assert not any(session_for(read(name)[0], nonce="").saw.left() for name in SILENT)


@pytest.mark.parametrize(
    ("name", "tool", "verdicts"),
    [
        (SHORT, "caliper", [Ruling.SHORT] * 4),
        ("brackets-one-and-a-half-short", "caliper", [Ruling.SHORT] * 6),
        ("newels-short-and-uneven", "beam-caliper", [Ruling.SHORT] * 3 + [Ruling.GOOD]),
        ("ends-do-not-meet", "caliper", [Ruling.GOOD] * 4),
        ("ends-do-not-meet", "feeler", [Ruling.LONG] * 4),
    ],
)
def test_they_measure_as_he_reports(name, tool, verdicts):
    scenario = read(name)[0].model_copy(update={"inspections": "all"})
    session = session_for(scenario, nonce="")
    for number in range(1, len(verdicts) + 1):
        assert session.inspect(f"{tool} {number}").taken

    assert [each.verdict for each in session.measuring.readings] == verdicts
    reported = scenario.reported.length
    if reported is not None and reported.off_mm is not None:
        off_mm = [each.off_m / MM for each in session.measuring.readings]
        assert off_mm == pytest.approx([reported.off_mm] * len(off_mm), abs=0.02)


def test_measuring_one_takes_the_time_of_the_tool_and_the_eye_sees_a_face_there():
    session = open_session("ends-do-not-meet")
    session.inspect("caliper 1")
    took_s = session.now_s
    look = session.inspect("last-piece")

    assert took_s == pytest.approx(30.0)
    assert "leans" in str(look.message)


def test_a_late_fault_set_in_for_him_when_it_did():
    session = open_session(LATE)
    sound = sound_twin_of(session)

    assert (len(session.saw.left()), len(sound.saw.left())) == (2, session.order.wanted)
    assert (
        session.faults.of(session.hidden[0]).set_in_us is None
    )  # for the trainee it is yet to come


def test_what_chance_adds_is_of_the_session_s_seed_and_not_that_of_one_s_own_pieces():
    lengths = {seed: [c.length_m for c in of((), seed=seed).saw.left()] for seed in (0, 1, 2)}
    session = of((), seed=1)
    as_found(session, 4)
    own = [cut.length_m for cut in session.measuring.own]

    assert len({tuple(each) for each in lengths.values()}) == 3
    assert len(set(lengths[0])) == 1  # under the seed 0 there is none
    assert lengths[1] == [c.length_m for c in of((), seed=1).saw.left()]
    assert len(own) == 4
    assert not set(own) & set(lengths[1])


# ---- what they are not


def test_good_ones_prove_nothing_and_count_for_nothing():
    scenario = read(LATE)[0].model_copy(update={"inspections": "all"})
    session = session_for(scenario.model_copy(update={"faults": ()}), nonce="")
    for number in (1, 2, 3):
        session.inspect(f"caliper {number}")
    reading = session.measuring.readings[0]

    assert (reading.verdict, reading.proves, reading.left) == (Ruling.GOOD, True, True)
    assert session.measuring.good == 0
    assert (session.tally.pieces, session.tally.good, session.tally.proved_us) == (0, 0, None)
    assert not session.tally.unmeasured
    assert session.saw.controller.job.cut == 0
    assert not session.saw.cuts

    as_found(session, 1)
    session.tap("job.hold")
    session.advance(60)
    session.inspect("caliper 2")  # still one of his
    assert session.tally.proved_us is None
    session.inspect("caliper 5")
    assert session.measuring.readings[-1].left is False
    assert session.tally.proved_us is not None
    assert session.measuring.good == 1


def test_a_piece_that_he_left_is_no_proof_after_the_remedy():
    session = open_session("brackets-one-and-a-half-short")
    session.diagnose("length-without-kerf")
    session.put_right("length-without-kerf")
    session.inspect("caliper 1")
    session.close()
    told = debrief(session)

    assert session.tally.proved_us is None
    assert told.outcome is not Outcome.PASSED


# ---- the sheet


def test_the_first_piece_sheet_lists_his_apart_and_counts_ones_own():
    session = of(())
    assert any(
        "Pieces 1 to 4 are the operator's; yours are numbered from 5." in line
        for line in written(session, "pieces")
    )
    assert any("Nothing has been measured yet" in line for line in written(session, "pieces"))
    session.inspect("caliper 1")
    his = "\n".join(written(session, "pieces"))
    as_found(session, 1)
    session.tap("job.hold")
    session.advance(60)
    session.inspect("caliper")
    both = "\n".join(written(session, "pieces"))

    assert "The operator's pieces" in his
    assert "Nothing has been measured yet" not in his
    assert "measured piece" not in his
    assert [each.piece for each in first_piece.left_lines(session)] == [1]
    assert [each.piece for each in first_piece.lines(session)] == [5]
    assert both.index("The operator's pieces") < both.index("First-piece sheet")
    assert "1 of 1 measured piece is good" in both


@pytest.mark.parametrize(
    ("language", "said"), [("en", "4 pieces of the operator's"), ("es", "4 piezas del operario")]
)
def test_the_terminal_says_at_once_how_many_lie_there(language, said):
    lines = []
    read_by(Reader(language))
    try:
        play(open_session(SHORT), [], lines.append, interactive=False)
    finally:
        read_by(Reader())

    assert any(said in line for line in lines)


# ---- the same ones for everybody, in each world its own


def test_a_record_plays_again_with_them_also_where_it_was_broken_off(tmp_path):
    path, cut = tmp_path / "record.jsonl", tmp_path / "cut.jsonl"
    session = open_recorded(SHORT, path, seed=SEED)
    session.inspect("caliper 1")
    session.inspect("last-piece")
    as_found(session, 1)
    session.tap("job.hold")
    session.advance(60)
    session.inspect("caliper")
    cut.write_bytes(path.read_bytes())
    session.close()
    left._KEPT.clear()

    again = replay(path)
    assert again.same
    assert again.session.measuring.readings == session.measuring.readings
    assert again.session.saw.left() == session.saw.left()
    assert [each.piece for each in session.measuring.readings] == [1, 5]
    assert replay(cut, allow_cut=True).session.measuring.readings == session.measuring.readings


def test_a_twin_has_the_same_ones():
    session = open_session(SHORT, seed=SEED)

    assert twin_of(session).saw.left() == session.saw.left() != ()
    assert sound_twin_of(session).saw.left() != session.saw.left()


@pytest.mark.parametrize("cause", CAUSES)
def test_in_each_cause_s_world_those_lie_that_it_would_have_made(cause):
    session = of((cause,))

    assert sizes(session.saw.left()) == sizes(run_by_hand(session.scenario))


def test_the_worlds_differ():
    lie = {cause: tuple(sizes(of((cause,)).saw.left())) for cause in CAUSES}

    assert len(set(lie.values())) == len(CAUSES), {cause: len(each) for cause, each in lie.items()}


def test_what_an_account_found_is_what_is_found_without_it():
    scenario = read(SHORT)[0]
    for cause in CAUSES:
        hidden = with_faults(scenario, (cause,))
        assert (
            account_of(hidden, scenario.reported).left == session_for(hidden, nonce="").saw.left()
        )


def test_a_run_of_his_that_never_ends_leaves_what_had_fallen_and_lets_a_session_open(monkeypatch):
    whole = len(of(()).saw.left())
    left._KEPT.clear()
    monkeypatch.setattr(left, "MOST_CALLS", 50)  # half of the pieces fall in so many

    assert 0 < len(of(()).saw.left()) < whole


def test_measuring_them_as_found_divides_the_causes():
    matrix = matrix_for(read(SHORT)[0])
    place = matrix.column("caliper")
    shown = {c: matrix.causes[matrix.row(cause_of((c,)))].outcomes[place] for c in CAUSES}
    sound = matrix.causes[matrix.row(NOTHING_WRONG)].outcomes[place]

    assert shown["stop-from-below"] == shown["length-without-kerf"] != sound
    assert shown["index-plunger-out"] == sound
    assert shown["belt-worn"] not in (sound, shown["stop-from-below"])  # nothing fell


def test_a_plan_counts_on_no_tool_whose_reading_hangs_on_chance():
    matrix = matrix_for(read(SHORT)[0])
    place = matrix.column("tape")  # sure to half a millimetre, where a tenth is asked
    shown = {c: matrix.causes[matrix.row(cause_of((c,)))].outcomes[place] for c in CAUSES}

    assert shown["stop-from-below"] == shown["length-without-kerf"] == shown["index-plunger-out"]
    assert shown["belt-worn"] != shown["stop-from-below"]


def test_the_belief_takes_in_what_was_read_on_one_of_them():
    session = open_session(SHORT)  # without errors of reading
    session.inspect("caliper 1")
    session.inspect("tape 2")
    session.close()
    told = debrief(session)
    before, *_, last = [told.start, *(step.shares for step in told.steps)]
    kerf = [str(cause) for cause in told.causes_weighed].index("Length stop set without the kerf")

    assert [step.look for step in told.steps].count(True) == 2
    assert before[kerf] == pytest.approx(0.32, abs=0.02)
    assert last[kerf] == 0.0  # the tape would have shown a millimetre and a half


def test_what_an_instructor_puts_in_was_not_there_for_him():
    session = open_session(SHORT)
    before = session.saw.left()
    session.instructor.put_in("index-plunger-out")
    session.advance(1)
    session.inspect("square 1")
    told = as_hidden(session)
    world = session_for(told, nonce="")
    first = session_for(as_hidden(session, put_in_first=True), nonce="")

    assert {row.name for row in told.faults} == {"stop-from-below", "index-plunger-out"}
    assert session.saw.left() == world.saw.left() == first.saw.left() == before
    assert session.measuring.readings[0].verdict is Ruling.GOOD
    other = session_for(with_faults(told, ("length-without-kerf", "belt-worn")), nonce="")
    assert sizes(other.saw.left()) == sizes(of(("length-without-kerf",)).saw.left())


# ---- nothing tells


def test_a_running_record_tells_nothing_of_them_until_they_are_looked_at(tmp_path):
    lines = {}
    for name in (SHORT, "brackets-one-and-a-half-short"):
        path = tmp_path / f"{name}.jsonl"
        session = open_recorded(name, path, seed=SEED)
        assert session.saw.left()
        list(map(str, describe.look(session)))
        written(session, "pieces")
        session.press("supply.isolator")
        session.advance(5)
        text = path.read_text()
        lines[name] = [json.loads(line) for line in text.splitlines()]
        assert not any(str(cut.length_m) in text for cut in session.saw.left())

    acts = {name: [line["act"] for line in each[2:]] for name, each in lines.items()}
    assert acts[SHORT] == acts["brackets-one-and-a-half-short"]
    assert {act.get("act") for act in acts[SHORT]} == {"press"}
    opening = [line["act"] for each in lines.values() for line in each[1:2]]
    assert not any("left" in act or "cuts" in act for act in opening)


def test_what_lies_there_is_no_part_of_the_saw_s_state():
    with_them, without = of(("stop-from-below",)), of(("stop-from-below",))
    without.saw.left = tuple

    assert with_them.saw.left()
    assert with_them.saw.digest() == without.saw.digest()
