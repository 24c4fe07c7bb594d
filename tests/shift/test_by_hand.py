"""A shift that a trainee does: what he takes, what is booked to whom, and what is refused."""

import io
import json
import re
import sys
from pathlib import Path

import pytest

from sim.errors import CommandError
from sim.pilot import autopilot
from sim.session.opening import materials, open_session
from sim.session.shift.by_hand import ByHand
from sim.session.shift.opening import read_shift_at
from sim.session.sights.describe import told as told_of
from sim.shift.account import account_of
from sim.teaching.coach import Coach
from sim.teaching.foresight import amiss
from sim.teaching.way_out import fresh_session
from sim.text.reports.shift_report import first_piece
from sim.text.typed.acts import perform
from sim.text.typed.language import parse
from sim.text.typed.shift_console import ShiftWords, play_shift
from sim.text.whys import why
from sim.units import MM
from tests.shift.costs import COSTS

TWO = (
    """
title: Pins and a mitre
orders:
  - name: pins
    material: S275JR
    section: {shape: round, diameter_mm: 60}
    length_mm: 150
    pieces: 2
    due_min: 200
  - name: mitres
    material: S275JR
    section: {shape: square-tube, side_mm: 60, wall_mm: 4}
    length_mm: 300
    mitre_deg: 45
    pieces: 2
    tolerance_mm: 0.8
    due_min: 120
rack:
  - {name: A, material: S275JR, section: {shape: round, diameter_mm: 60}, length_mm: 1600}
  - {name: B, material: S275JR, section: {shape: round, diameter_mm: 60}, length_mm: 1100}
  - {name: T, material: S275JR, section: {shape: square-tube, side_mm: 60, wall_mm: 4}, length_mm: 3000}
"""
    + COSTS
)
LET_GO = "turn manual; tap band.stop; wait still; hold cutting_vise.release 6; hold shuttle_vise.release 6; set mode.key in my pocket; load; set mode.key in the switch"
BY_HAND = (
    "set job.wanted 2; turn production; tap job.reset; tap job.square; palms job.start; wait job"
)
CUT = "auto setup; auto start; wait piece; tap job.hold; wait still; inspect caliper; palms job.unhold; auto run"


@pytest.fixture(scope="module")
def two(tmp_path_factory):
    path = tmp_path_factory.mktemp("by-hand") / "two.yaml"
    path.write_text(TWO, encoding="utf-8")
    return path


def played(path, *lines):
    """Return the shop after some lines, and what was told."""
    shop, told = ByHand(read_shift_at(path), seed=1), []
    fault = play_shift(shop, lines, told.append, interactive=False)
    return shop, "\n".join(told), fault


@pytest.fixture(scope="module")
def whole(two):
    """Both orders done, the second after a change of bar, band and angle."""
    return played(
        two, "take pins B", LET_GO, CUT, "tap job.reset", "orders", "take mitres", LET_GO, CUT
    )


@pytest.fixture(scope="module")
def wrong_bar(two):
    """Both pins cut from the bar that lies there, while another one is taken for them."""
    return played(two, "take pins B", LET_GO, "auto setup", "take pins A", BY_HAND)


@pytest.fixture(scope="module")
def two_with_first(tmp_path_factory):
    path = tmp_path_factory.mktemp("first") / "two.yaml"
    path.write_text(TWO.replace("due_min: 120", "due_min: 120\n    first: true"), encoding="utf-8")
    return path


def test_who_begins_something_before_what_comes_first_is_told_so(two_with_first):
    shop, told, _ = played(two_with_first, "take pins B", LET_GO, CUT, "tap job.reset", "take mitres", LET_GO, CUT)  # fmt: skip
    account = account_of(shop)

    assert "mitres is to be done first: 0 of 2 fell." in told
    assert account.done
    assert account.not_first == ("mitres",)


def test_who_does_first_what_comes_first_is_not(two_with_first):
    shop, told, _ = played(two_with_first, "take mitres", LET_GO, CUT, "tap job.reset", "take pins B", LET_GO, CUT)  # fmt: skip

    assert "is to be done first" not in told
    assert account_of(shop).not_first == ()


@pytest.mark.parametrize(
    ("lines", "state"),
    [
        ((), ("not begun", "not begun")),
        (("take pins B", LET_GO, "auto setup"), ("no piece fell", "not begun")),
        (("take pins B", LET_GO, "auto setup; auto start; auto run"), ("not proved good", "not begun")),
    ],
)  # fmt: skip
def test_the_debrief_says_of_each_order_how_far_it_came(two, lines, state):
    shop, _, _ = played(two, *lines)
    account = account_of(shop)

    assert tuple(str(first_piece(each)) for each in account.orders) == state
    assert [each.begun for each in account.orders] == [bool(lines), False]


def test_a_trainee_does_the_whole_shift_and_every_piece_is_booked_to_its_order(whole):
    shop, told, fault = whole
    account = account_of(shop)

    assert not fault
    assert account.done
    assert not shop.harm
    assert [(each.order, each.bar, each.cut, each.good) for each in shop.served] == [
        ("pins", "B", 2, 2), ("mitres", "T", 2, 2),
    ]  # fmt: skip
    assert all(each.first_good for each in account.orders)
    assert account.orders[1].bands == 1
    assert "pins: S275JR; round:60; 150 mm, good within 0.3 mm; square; 2 of 2 fell" in told


def test_every_second_of_it_is_somebodys(whole):
    shop, _, _ = whole
    pins, mitres = account_of(shop).orders

    for each in (pins, mitres):
        parts = each.change_s + each.cutting_s + each.measuring_s + each.standing_s
        assert each.measuring_s == pytest.approx(30.0)  # a look with the caliper
        assert parts == pytest.approx(each.to_s - each.from_s)
    assert mitres.from_s == pytest.approx(pins.to_s)
    assert mitres.to_s < shop.now_s


def test_pieces_kerfs_ends_and_what_is_left_are_the_bars(whole):
    """By the cuts of the saw itself: what fell and what became chips are as long as what is gone."""
    shop, _, _ = whole
    kerf_m = shop.session.machine.kerf_m
    for bar, order in (("B", 0), ("T", 1)):
        rest, booked = shop.rack[bar], account_of(shop).orders[order]
        gone_kg = (rest.was_m - rest.length_m) * rest.kg_m

        assert booked.pieces_kg + booked.scrap_kg == pytest.approx(gone_kg)
        assert booked.scrap_kg > 2 * kerf_m * rest.kg_m
    fell_m = sum(cut.length_m for cut in shop.session.saw.cuts if not cut.squaring)
    gone_m = sum(each.was_m - each.length_m for each in shop.rack.values())
    assert fell_m + 4 * kerf_m < gone_m
    assert not shop.rack["A"].brought


def test_a_copy_of_the_saw_stands_as_it_does_after_all_changes(whole):
    session = whole[0].session

    assert [turn.stock.length_m for turn in session.turns] == [1.1, 3.0]
    assert fresh_session(session).saw.digest() == session.saw.digest()


def test_what_is_cut_from_another_bar_than_was_taken_is_scrap(wrong_bar):
    shop, _, _ = wrong_bar
    (pins, _) = account_of(shop).orders

    assert shop.served[-1].cut == 2
    assert pins.good == 0
    assert pins.scrap_kg == pytest.approx((1.1 - shop.rack["B"].length_m) * shop.rack["B"].kg_m)
    assert shop.rack["A"].length_m == pytest.approx(1600 * MM)
    assert not shop.rack["A"].brought


NOT_COUNTED = "Another bar lies there than was taken: A is on the rack; B lies on the saw."


def test_who_starts_a_job_on_another_bar_is_told_once_and_no_piece_of_it_counts(wrong_bar, two):
    shop, told, _ = wrong_bar
    assert " ".join(told.split()).count(NOT_COUNTED) == 1
    assert shop.served[-1].wrong == 2
    assert shop.fell("pins") == 0

    shop, told, _ = played(
        two, "take pins B", LET_GO, "auto setup", "take pins A", BY_HAND, "orders"
    )
    said = " ".join(told.split())
    assert said.count(NOT_COUNTED) == 2  # at the start, and in the list
    assert "0 of 2 fell" in said
    assert "1 of 2 fell" not in said
    assert "2 of 2 fell" not in said


def test_the_debrief_says_why_a_piece_of_another_bar_does_not_count(two, drycycle, monkeypatch):
    typed(monkeypatch, "take pins B", LET_GO, "auto setup", "take pins A", BY_HAND, "quit")
    code, out, _ = drycycle("play", str(two), "--text", "--no-record")

    assert code == 0
    assert (
        "2 pieces for pins do not count: they were cut from the bar that lay there, not from A."
        in " ".join(out.split())
    )


def test_a_piece_of_another_bar_that_is_measured_good_is_no_proof_of_the_first_piece(two):
    shop, _, _ = played(
        two, "take pins B", LET_GO, "auto setup", "take pins A", BY_HAND,
        "tap job.reset; wait still; set mode.key in my pocket; inspect caliper 1; inspect caliper 2; set mode.key in the switch",
    )  # fmt: skip

    assert any(each.good and each.proves for each in shop.session.measuring.readings)
    assert not shop.served[-1].measured_good


def test_what_is_cut_from_the_bar_that_was_taken_counts_and_nothing_is_said(whole):
    shop, told, _ = whole

    assert "does not count" not in told
    assert [each.wrong for each in shop.served] == [0, 0]
    assert shop.fell("pins") == 2


def test_metal_that_was_wasted_of_another_bar_costs_what_that_is(two, tmp_path):
    """The tube is of stainless, lies on the saw, and is cut while a bar of plain steel is taken."""
    path = tmp_path / "metals.yaml"
    text = re.sub(r"(name: (?:mitres|T),?\s+material:) S275JR", r"\1 X5CrNi18-10", TWO)
    path.write_text(re.sub(r"  bar_per_kg: .*\n", "", text), encoding="utf-8")
    shop, _, _ = played(path, "take mitres", LET_GO, "auto setup", "take pins B", BY_HAND)
    wasted = shop.served[-1]

    assert (wasted.order, wasted.good) == ("pins", 0)
    assert wasted.cut > 0
    assert wasted.used_cost == pytest.approx(materials()["X5CrNi18-10"].price_kg * wasted.used_kg)


def test_what_was_sawn_off_a_bar_stays_gone_when_the_bar_that_was_taken_is_brought(two):
    shop, _, _ = played(two, "take pins B", LET_GO, "auto setup", "take pins A", BY_HAND, LET_GO)
    left = shop.rack["B"]

    assert shop.on_saw == "A"
    assert left.length_m < 0.8  # 1.1 less an end and two pieces of 150 mm
    assert shop.served[-1].used_kg == pytest.approx((1.1 - left.length_m) * left.kg_m)


def test_a_straight_bar_for_a_bent_one_is_as_long_as_it_lies_there(two):
    shop, _, _ = played(
        two, "take pins B", LET_GO, "auto setup; auto start; auto run",
        LET_GO.replace("load", "fix bar-bent"),
    )  # fmt: skip
    sawn_m = sum(cut.length_m for cut in shop.session.saw.cuts if cut.is_piece)

    assert shop.rack["B"].length_m == shop.left_m("B") == pytest.approx(1.1)
    assert shop.served[-1].used_kg > sawn_m * shop.rack["B"].kg_m


@pytest.fixture
def fresh(two):
    return ByHand(read_shift_at(two), seed=1)


def test_the_time_of_a_shift_is_told_from_when_it_begins(fresh):
    fresh.session.advance(5.0)
    assert fresh.now_s == pytest.approx(fresh.session.now_s)
    fresh.begun()

    assert fresh.now_s == 0.0


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("pin",), "pins"),
        (("pins",), "A, B"),
        (("pins", "C"), "A, B"),
        (("pins", "T"), "A, B"),
    ],
)
def test_what_cannot_be_taken_is_refused_with_what_can(fresh, words, told):
    with pytest.raises(CommandError) as caught:
        fresh.take(*words)

    assert told in str(caught.value.what_to_do)
    assert not fresh.order
    assert not fresh.session.turns


def test_no_bar_is_brought_twice_and_none_for_no_order(fresh):
    with pytest.raises(CommandError, match="no order is taken"):
        fresh.load()
    fresh.take("MITRES")
    fresh.load()

    assert fresh.on_saw == "T"
    with pytest.raises(CommandError, match="lies on the saw already"):
        fresh.load()


def test_who_loads_as_the_take_has_told_is_not_warned(fresh):
    words = ShiftWords(fresh)
    said = " ".join(map(str, words.perform(fresh.session, parse("take mitres T"))))
    key_out = re.search(r"\((set mode\.key [a-z ]+)\), and load brings it", said).group(1)
    words.perform(fresh.session, parse(key_out))
    words.perform(fresh.session, parse("load"))

    assert fresh.on_saw == "T"
    assert fresh.session.done.unsafe == []


MEASURE = "set mode.key in my pocket; inspect {}; set mode.key in the switch"


@pytest.fixture(scope="module")
def between(two):
    """The pins are cut, the mitres are taken, and pin 2 is measured then."""
    return played(
        two,
        "take pins B",
        LET_GO,
        CUT,
        "tap job.reset",
        "take mitres",
        MEASURE.format("caliper"),
        "pieces",
    )


def test_a_piece_of_an_order_that_is_done_is_measured_by_its_own_drawing(between):
    shop, told, fault = between
    (reading,) = shop.session.measuring.readings

    assert not fault
    assert "Piece 2 is of the order pins, and measured as that." in " ".join(told.split())
    assert reading.of_another
    assert reading.good
    assert reading.limit_m == pytest.approx(0.3 * MM)
    assert abs(reading.off_m) < 0.3 * MM


def test_it_proves_nothing_for_the_order_that_is_taken(between):
    shop, told, _ = between

    assert shop.session.measuring.good == 0
    assert "Nothing has been measured yet." in told


def test_a_piece_of_another_order_is_nofirst_piece(two):
    """One mitre fell and was not measured, while pin 2, which lies there too, was."""
    shop, told, fault = played(
        two, "take pins B", LET_GO, CUT, "tap job.reset", "take mitres", LET_GO,
        "auto setup; auto start; wait piece; tap job.hold; wait still; inspect caliper 2; palms job.unhold; auto run",
    )  # fmt: skip
    shop.close()

    assert not fault, told[-300:]
    assert [each.first_good for each in account_of(shop).orders] == [True, False]


def test_a_tube_of_another_order_is_felt_across_as_a_tube_still(two):
    """The round bar of the pins lies there, and the mitre that is measured is of square tube."""
    _, told, _ = played(
        two, "take mitres", LET_GO, CUT, "tap job.reset", "take pins B", LET_GO, MEASURE.format("caliper"),
    )  # fmt: skip
    said = " ".join(told.split()).rsplit("Piece 2 is of the order mitres", 1)[1]

    assert re.search(r"reads (300\.[0-2]|299\.[7-9])", said)
    assert "Across the flats of the tube" in said


def test_a_piece_of_the_same_order_taken_again_is_its_own(two):
    shop, _, _ = played(
        two, "take pins B", LET_GO, CUT, "tap job.reset", "take pins B", MEASURE.format("caliper"),
    )  # fmt: skip

    assert not shop.session.measuring.readings[0].of_another
    assert shop.session.measuring.good == 1


def test_a_piece_that_fell_before_any_order_is_of_none(fresh):
    session = fresh.session
    autopilot.set_up(session)
    autopilot.begin(session)
    autopilot.run(session)
    fresh.take("pins", "B")
    session.advance(60.0)
    said = session.inspect("caliper").message

    assert "fell before any order was taken." in str(said)
    assert not session.measuring.readings


def refused_line(told, bar):
    """Return what a refusal says is typed to have a bar brought."""
    said = " ".join(told.split())
    return re.search(rf"load {bar} first: ((?:[a-z]+(?: [\w. ]+)?; )+[\w. ]+switch)", said).group(1)


@pytest.mark.parametrize("part", ["setup", "start", "run"])
@pytest.mark.parametrize("done", ["auto setup", CUT])
def test_the_autopilot_works_at_no_bar_but_the_one_that_was_taken(two, part, done):
    """The line that the refusal has brings it, and nobody was where anything moved."""
    before = ("take pins B", LET_GO, done, "take mitres")
    shop, told, _ = played(two, *before, f"auto {part}")
    assert f"auto {part}: T is on the rack; B lies on the saw; load T first:" in " ".join(
        told.split()
    )
    assert not shop.session.saw.plant.band.contactor

    shop, _, fault = played(two, *before, refused_line(told, "T"), "auto setup")
    assert not fault
    assert shop.on_saw == "T"
    assert not shop.session.done.unsafe
    assert not shop.harm


def test_the_line_that_brings_a_taller_bar_sets_the_head_over_it(two, tmp_path):
    """A flat is cut first, so that the height stop stands too low for the tube that comes next."""
    path = tmp_path / "flat.yaml"
    path.write_text(
        TWO.replace("{shape: round, diameter_mm: 60}", "{shape: rectangle, width_mm: 50, height_mm: 12}"),
        encoding="utf-8",
    )  # fmt: skip
    before = ("take pins B", LET_GO, CUT, "tap job.reset", "take mitres")
    _, told, _ = played(path, *before, "auto setup")
    shop, _, fault = played(path, *before, refused_line(told, "T"), CUT)

    assert "set head.stop_notch" in " ".join(told.split())
    assert not fault
    assert [each.good for each in shop.served] == [2, 2]
    assert not shop.harm


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        (("auto setup",), "no order is taken, so no bar is chosen"),
        (("take pins B", "auto start"), "B is on the rack; what lies on the saw is of the last shift"),
    ],
)  # fmt: skip
def test_what_the_last_shift_left_on_the_saw_is_no_bar_for_the_autopilot(two, lines, told):
    shop, said, fault = played(two, *lines)

    assert fault
    assert told in " ".join(said.split())
    assert not shop.session.saw.cuts


def test_what_needs_no_bar_the_autopilot_does_whatever_lies_there(two):
    _, told, fault = played(two, "take pins B", "auto power; auto ready")

    assert not fault
    assert "auto ready" not in told


@pytest.mark.parametrize("between", ["tap job.stop; wait job", "tap job.reset", ""])
def test_who_takes_an_order_after_a_stop_is_told_that_the_counter_stands(two, between):
    _, told, _ = played(two, "take pins B", LET_GO, CUT, *filter(None, (between,)), "take mitres")
    stands = "The counter still stands at 2, and a start counts on from there: press job.new"

    assert (stands in " ".join(told.split())) is ("stop" in between)


def test_a_band_from_the_hook_is_no_new_band_of_the_shift(two):
    """Finer teeth are put on and the old band again; the pins are cut with what hung, run in as it was."""
    shop, _, _ = played(two, "take pins B", LET_GO, "auto setup")
    blade, plant = shop.session.saw.plant.blade, shop.session.saw.plant
    was = blade.number, blade.fresh, blade.bought
    for teeth, coil in ((6.0, "new coil opened in gloves"), (4.0, "hung coil opened in gloves")):
        plant.band.seat.put("coiled in gloves")
        plant.band.seat.put(coil)
        shop.session.saw.set("band.teeth_per_inch", teeth)
        plant.band.seat.put("seated")

    assert was == (1, 0.0, 1)
    assert (blade.number, blade.fresh, blade.bought) == (1, 0.0, 2)
    assert shop.band_since(1, 0.0) == (0.0, 1)
    assert "by their tags: a band of 6 TPI, 100 % of its running-in still to do" in str(
        told_of(shop.session)["hook"]
    )


def test_no_order_is_taken_while_a_job_is_under_way(two):
    shop, told, fault = played(two, "take pins B", LET_GO, "auto setup; auto start", "take mitres")

    assert "a job is under way" in told
    assert fault
    assert shop.served[-1].order == "pins"


def typed(monkeypatch, *lines):
    monkeypatch.setattr(sys, "stdin", io.StringIO("\n".join(lines)))


def test_play_writes_its_debrief_as_a_page_and_as_json(drycycle, two, tmp_path, monkeypatch):
    page, values = tmp_path / "a.html", tmp_path / "a.json"
    typed(monkeypatch, "take mitres", "orders", "quit")
    code, out, _ = drycycle("play", str(two), "--text", "-o", str(page))

    assert code == 0
    assert "mitres was not begun: 0 of 2 are good." in out
    assert "not proved good" not in out
    assert out.count("not begun") == 2 + 2
    told = page.read_text(encoding="utf-8")
    assert told.count("<svg") == 2
    assert "drycycle shift" in told
    assert "Not every order is finished" in told
    assert "not authorisation" in told
    typed(monkeypatch, "quit")
    code, _, _ = drycycle("play", str(two), "-o", str(values))
    told = json.loads(values.read_text(encoding="utf-8"))
    assert code == 0
    assert told["by_hand"]
    assert not told["run"]["done"]
    assert told["best_plan"]["done"]


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("play {} --instructor-code", "takes no instructor's code"),
        ("play {} --record a.jsonl --no-record", "do not go together"),
        ("run {} --record a.jsonl", "keeps no record"),
        ("play {} -o a.pdf", "write a.html"),
        ("run {} -o a.pdf", "write a.html"),
        ("play rail-posts --text -o a.html", "this is no shift"),
        ("run rail-posts -o a.html", "this is no shift"),
    ],
)
def test_what_a_shift_has_not_is_refused(drycycle, two, tmp_path, monkeypatch, line, told):
    monkeypatch.chdir(tmp_path)
    code, _, err = drycycle(*line.format(two).split())

    assert code == 2
    assert told in err
    assert not list(Path().iterdir())


def test_the_words_of_a_shift_say_elsewhere_that_there_is_none(drycycle, tmp_path, monkeypatch):
    typed(monkeypatch, "orders", "take pins", "quit")
    monkeypatch.chdir(tmp_path)
    code, out, _ = drycycle("play", "rail-posts", "--text", "--no-record")

    assert code == 0
    assert out.count("This session is no shift") == 2


NARROW = TWO.replace("{shape: round, diameter_mm: 60}", "{shape: round, diameter_mm: 36}")
GAPS = ("cutting_vise.jaw_gap_mm", "shuttle_vise.jaw_gap_mm")


@pytest.fixture
def after_narrow(tmp_path):
    """The mitres are loaded and clamped as they should be; then bar B, which is narrower, is."""
    path = tmp_path / "narrow.yaml"
    path.write_text(NARROW, encoding="utf-8")
    shop = ByHand(read_shift_at(path), seed=1)
    words = ShiftWords(shop)
    coach = Coach(shop.session)
    for line in ("take mitres", *LET_GO.split("; "), "take pins B", "set mode.key in my pocket"):
        words.perform(shop.session, parse(line))
    coach.remark()
    answer = " ".join(map(str, words.perform(shop.session, parse("load"))))
    return shop, words, coach, answer


def test_a_narrower_bar_is_told_with_the_gap_that_it_leaves_at_each_jaw(after_narrow):
    shop, _, coach, answer = after_narrow
    gaps = [shop.session.saw.read(name) for name in GAPS]

    assert min(gaps) > 24.0
    for name, gap in zip(GAPS, gaps, strict=True):
        assert f"{name} is {gap:g} mm now; set it to 4 mm" in answer
    assert "slide it to 4 mm" in str(coach.remark())


def test_a_bar_as_wide_as_the_last_says_nothing_of_jaws(fresh):
    fresh.take("pins", "B")
    fresh.session.hold("head.raise", 8)
    first = str(fresh.load().message)
    fresh.take("mitres")
    second = str(fresh.load().message)

    assert "jaw" not in first
    assert "jaw" not in second


@pytest.mark.parametrize("key", ["cutting_vise.clamp", "shuttle_vise.clamp", "job.start"])
def test_who_asks_before_a_jaw_closes_over_a_finger_is_warned(after_narrow, key):
    shop, words, coach, _ = after_narrow
    words.perform(shop.session, parse("set mode.key in the switch"))
    if key == "job.start":
        words.perform(shop.session, parse("turn production"))
    coach.remark()
    assert "a finger fits between the jaw and the bar" in " ".join(map(str, why(shop.session, key)))

    words.perform(shop.session, parse("tap job.reset"))
    said = str(coach.remark())
    assert key != "job.start" or "Before you go on: a finger fits between" in said

    for name in GAPS:
        shop.session.set(name, 4.0)
    assert "finger" not in " ".join(map(str, why(shop.session, key)))


def at_work(path, *lines):
    """Return a shop whose shift goes on after some lines."""
    shop = ByHand(read_shift_at(path), seed=1)
    words = ShiftWords(shop)
    for line in lines:
        for each in line.split("; "):
            words.perform(shop.session, parse(each))
    return shop


STAINLESS = TWO.replace(
    "S275JR, section: {shape: round", "X5CrNi18-10, section: {shape: round"
).replace("S275JR\n    section: {shape: round", "X5CrNi18-10\n    section: {shape: round")
LIES = "so it is with the bar that lies there, which is another than was taken"


@pytest.fixture
def tube_taken(tmp_path):
    """A tube is taken, and the stainless round that was set up lies there still."""
    path = tmp_path / "two.yaml"
    path.write_text(STAINLESS, encoding="utf-8")
    return at_work(
        path, "take pins B", LET_GO, "auto setup", "take mitres T", "turn production"
    ).session


def test_why_a_start_speaks_of_the_metal_that_lies_there(tube_taken):
    assert tube_taken.stock.material.name == "S275JR"
    assert tube_taken.lying.material.name == "X5CrNi18-10"
    assert "too slow" not in " ".join(map(str, why(tube_taken, "job.start")))  # right for stainless

    perform(tube_taken, parse("turn manual"))
    for line in ("palms band.run", "wait 3", "hold band.slower 20", "tap band.stop", "wait still"):
        perform(tube_taken, parse(line))
    said = " ".join(map(str, why(tube_taken, "job.start")))
    assert "too slow for X5CrNi18-10" in said
    assert "S275JR" not in said


def test_the_coach_judges_a_setting_by_the_bar_that_lies_there_and_says_so(tube_taken):
    coach = Coach(tube_taken)
    coach.remark()
    tube_taken.set("head.feed_force_n", tube_taken.machine.force_high_n)
    said = str(coach.remark())

    assert LIES in said
    tube_taken.shop = None  # judged by the bar that was taken, that force is right
    assert not amiss(tube_taken)


def test_of_a_bar_like_the_one_that_was_taken_nothing_more_is_said(two):
    session = at_work(two, "take pins B", LET_GO, "auto setup", "take pins A").session
    session.saw.set("head.feed_force_n", session.machine.force_high_n)
    session.saw.set("head.feed_valve_mm_min", 250.0)
    session.saw.set("band.teeth_per_inch", 10)

    assert amiss(session)
    assert LIES not in str(amiss(session))
    assert session.card_there is session.card


def test_a_lesson_speaks_of_its_own_bar_though_another_lies_there_yet():
    session = open_session("19-change-of-order")

    assert session.saw.plant.bar.stock is not session.stock
    assert session.lying is session.stock
