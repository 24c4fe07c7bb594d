"""A shift of orders: played by the autopilot, beside the best plan, through the verbs of a session."""

import json
import re
from itertools import permutations
from random import Random

import pytest
from jsonschema import Draft7Validator

from sim import extras
from sim.authoring.files import shifts_in, sorted_out
from sim.debrief.shift_debrief import ShiftDebrief
from sim.scenario import library
from sim.scenario.gate import load
from sim.scenario.library import find
from sim.session.opening import materials
from sim.session.shift.opening import read_shift_at
from sim.shift.account import account_of
from sim.shift.best import Pairs, Planner
from sim.shift.reading import shift_file
from sim.text.reports.shift_report import about
from tests.shift.costs import COSTS

SMALL = (
    """
title: Two of a kind and a mitre
orders:
  - name: pins
    material: S275JR
    section: {shape: round, diameter_mm: 60}
    length_mm: 150
    pieces: 2
    due_min: 200
  - name: mitres
    material: S275JR
    section: {shape: square-tube, side_mm: 80, wall_mm: 5}
    length_mm: 300
    mitre_deg: 45
    pieces: 2
    tolerance_mm: 0.8
    due_min: 120
  - name: studs
    material: S275JR
    section: {shape: round, diameter_mm: 60}
    length_mm: 400
    pieces: 2
    due_min: 240
rack:
  - {name: A, material: S275JR, section: {shape: round, diameter_mm: 60}, length_mm: 1600}
  - {name: B, material: S275JR, section: {shape: round, diameter_mm: 60}, length_mm: 1100}
  - {name: T, material: S275JR, section: {shape: square-tube, side_mm: 80, wall_mm: 5}, length_mm: 3000}
"""
    + COSTS
)


@pytest.fixture(scope="module")
def small(tmp_path_factory):
    path = tmp_path_factory.mktemp("shift") / "small.yaml"
    path.write_text(SMALL, encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def planner(small):
    return Planner(read_shift_at(small))


@pytest.fixture(scope="module")
def floor(planner):
    return planner.play(["pins", "mitres", "studs"], planner.first_fit)


@pytest.fixture(scope="module")
def pairs(planner):
    return planner.pairs(planner.nested)


def test_every_piece_of_every_order_is_cut_good_and_nothing_is_harmed(floor):
    account = account_of(floor)

    assert account.done
    assert [(each.name, each.good) for each in account.orders] == [
        ("pins", 2), ("mitres", 2), ("studs", 2),
    ]  # fmt: skip
    assert all(each.first_good for each in account.orders)
    assert not floor.session.saw.consequences
    assert not floor.session.hands.exposures


def test_the_time_line_has_no_gap_and_every_second_is_somebodys(floor):
    account = account_of(floor)
    of_orders = sum(
        each.change_s + each.cutting_s + each.measuring_s + each.standing_s
        for each in account.orders
    )

    assert of_orders == pytest.approx(floor.now_s, abs=1e-6)
    for before, after in zip(account.orders, account.orders[1:], strict=False):
        assert after.from_s == pytest.approx(before.to_s, abs=1e-6)


def test_metal_is_neither_lost_nor_made(floor):
    """What was on the rack is in good pieces, in scrap, or in what is left."""
    account = account_of(floor)
    was_kg = sum(rest.was_m * rest.kg_m for rest in account.rests)
    left_kg = sum(rest.length_m * rest.kg_m for rest in account.rests)
    used_kg = sum(each.pieces_kg + each.scrap_kg for each in account.orders)

    assert was_kg == pytest.approx(left_kg + used_kg, rel=1e-9)
    assert all(each.scrap_kg > 0.0 for each in account.orders)


def test_an_order_costs_its_time_its_metal_and_its_share_of_a_band(floor):
    pins = account_of(floor).orders[0]
    by_hand = 60 * pins.to_s / 3600 + 2 * (pins.pieces_kg + pins.scrap_kg) + 100 * pins.wear

    assert pins.cost == pytest.approx(by_hand)
    assert pins.piece_cost == pytest.approx(by_hand / 2)


@pytest.fixture(scope="module")
def two_metals(tmp_path_factory):
    """The pins are of stainless, and no order has a bar that leaves enough for the rack; no price for all is given."""
    path = tmp_path_factory.mktemp("metals") / "two-metals.yaml"
    text = re.sub(r"(name: (?:pins|A|B),?\s+material:) S275JR", r"\1 X5CrNi18-10", SMALL)
    text = text[: text.index("  - name: studs")] + text[text.index("rack:") :]
    text = text.replace("length_mm: 1600", "length_mm: 600").replace(
        "length_mm: 1100", "length_mm: 560"
    )
    path.write_text(re.sub(r"  bar_per_kg: .*\n", "", text), encoding="utf-8")
    planner = Planner(read_shift_at(path))
    return planner, planner.play(["pins", "mitres"], planner.first_fit)


def test_each_metal_costs_what_the_metals_list_has(two_metals):
    _, floor = two_metals
    account, price = account_of(floor), {name: each.price_kg for name, each in materials().items()}
    pins, mitres = account.orders

    assert price["X5CrNi18-10"] > 2 * price["S275JR"]
    for each, metal in ((pins, "X5CrNi18-10"), (mitres, "S275JR")):
        took_s = each.change_s + each.cutting_s + each.measuring_s + each.standing_s
        metal_cost = price[metal] * (each.pieces_kg + each.scrap_kg)
        assert each.cost == pytest.approx(60 * took_s / 3600 + metal_cost + 100 * each.wear)


def test_a_rest_that_is_scrap_costs_what_its_metal_costs(two_metals):
    _, floor = two_metals
    account = account_of(floor)
    (short,) = account.short

    assert short.name in ("A", "B")
    rest_cost = materials()["X5CrNi18-10"].price_kg * short.length_m * short.kg_m
    assert account.cost == pytest.approx(sum(each.cost for each in account.orders) + rest_cost)


def test_the_debrief_says_what_each_metal_costs_and_that_it_is_invented(two_metals):
    planner, floor = two_metals
    run, pairs = account_of(floor), planner.pairs(planner.nested)
    best = planner.best_order(pairs)
    said = " ".join(
        map(str, about(ShiftDebrief(planner, False, run, (), run, (), best, pairs, (), (), ())))
    )

    assert "invented for training, from memory: X5CrNi18-10 4.80, S275JR 1.20." in said


def test_prices_of_the_metals_are_in_one_currency(drycycle, two_metals, tmp_path):
    path = tmp_path / "pounds.yaml"
    path.write_text(
        re.sub(r"  bar_per_kg: .*\n", "", SMALL).replace("currency: EUR", "currency: GBP"),
        encoding="utf-8",
    )
    code, _, err = drycycle("run", str(path))

    assert code == 2
    assert f"{path}:29:13: costs.currency: the metals' list has its prices in EUR" in err


def test_each_visit_uses_what_its_own_cuts_wear_and_all_of_them_what_the_bands_have_lost(floor):
    blade, own = floor.session.saw.plant.blade, 0.0
    for each in floor.served:
        assert each.wear > 0.0
        own = each.wear + (0.0 if each.bands else own)

    assert own == pytest.approx(blade.wear)


def test_a_change_over_takes_what_the_acts_take_and_so_hangs_on_what_was_cut_before(pairs):
    """Another pitch wants another band under lock-out; the same bar on the saw wants nearly nothing."""
    change_s = pairs.change_s

    assert change_s["mitres", "studs"] > 1.5 * change_s["pins", "studs"]
    assert change_s["pins", "studs"] != pytest.approx(change_s["mitres", "studs"])
    assert len(change_s) == 3 + 3 * 2


def test_the_best_order_is_that_of_trying_all_of_them(planner, pairs):
    due_s = {order.name: order.due_min * 60 for order in planner.shift.orders}

    def worth(sequence):
        now_s = late_s = 0.0
        for before, order in zip(("", *sequence), sequence, strict=False):
            now_s += pairs.change_s[before, order] + pairs.work_s[before, order]
            late_s += max(0.0, now_s - due_s[order])
        return late_s, now_s

    best = planner.best_order(pairs)

    assert (best.late_s, best.ends_s) == pytest.approx(min(map(worth, permutations(due_s))))
    played = planner.play(best.orders, planner.nested)
    assert account_of(played).done
    assert played.now_s == pytest.approx(best.ends_s, rel=0.1)
    assert account_of(played).change_s >= 0.9 * best.changes_least_s


def first_in(planner, *names):
    """Return a planner of the same shift in which some orders are done first."""
    orders = tuple(
        order.model_copy(update={"first": order.name in names}) for order in planner.shift.orders
    )
    return Planner(planner.shift.model_copy(update={"orders": orders}), planner.machine)


def chance_pairs(chance, names):
    """Return pairs as they might have been played, s."""
    pairs = [(before, to) for before in ("", *names) for to in names if before != to]
    return Pairs(
        {pair: chance.uniform(300, 4000) for pair in pairs},
        {pair: chance.uniform(300, 2000) for pair in pairs},
    )


@pytest.mark.parametrize("solver", [True, False])
@pytest.mark.parametrize("first", [("studs",), ("pins", "studs"), ("mitres",)])
@pytest.mark.parametrize("seed", range(6))
def test_what_comes_first_is_kept_and_the_best_of_those_sequences_is_found(
    planner, solver, first, seed, monkeypatch
):
    monkeypatch.setattr(extras, "there", lambda _: solver)
    kept, names = first_in(planner, *first), [order.name for order in planner.shift.orders]
    pairs = chance_pairs(Random(f"{seed}/{first}"), names)
    due_s = {order.name: order.due_min * 60 for order in planner.shift.orders}

    def worth(sequence):
        now_s = late_s = 0.0
        for before, order in zip(("", *sequence), sequence, strict=False):
            now_s += pairs.change_s[before, order] + pairs.work_s[before, order]
            late_s += max(0.0, now_s - due_s[order])
        return late_s, now_s

    best = kept.best_order(pairs)
    able = [each for each in permutations(names) if set(each[: len(first)]) == set(first)]

    assert set(best.orders[: len(first)]) == set(first)
    assert (best.late_s, best.ends_s) == pytest.approx(min(map(worth, able)))
    assert best.freely_s == pytest.approx(min(map(worth, permutations(names)))[1])
    assert kept.nested.solved is solver
    changes = [
        sum(pairs.change_s[a, b] for a, b in zip(("", *each), each, strict=False)) for each in able
    ]
    assert best.changes_least_s <= min(changes) + 1e-6
    assert best.changes_least_s >= planner.best_order(pairs).changes_least_s - 1e-6


def test_the_bound_of_the_change_overs_counts_none_that_what_comes_first_rules_out(planner):
    names = [order.name for order in planner.shift.orders]
    every = {(before, to): 100.0 for before in ("", *names) for to in names if before != to}
    cheap = {**every, ("", "pins"): 1.0, ("pins", "studs"): 1.0}
    kept = first_in(planner, "studs").best_order(Pairs(cheap, every))

    assert planner.best_order(Pairs(cheap, every)).changes_least_s == 102.0
    assert kept.changes_least_s == 300.0


def test_the_autopilot_takes_what_comes_first_before_what_is_listed_before_it(planner):
    kept = first_in(planner, "studs")

    assert [order.name for order in kept.shift.in_turn] == ["studs", "pins", "mitres"]
    assert next(visit.order for visit in kept.first_fit.visits) == "studs"


def test_the_gate_has_its_frame_first_as_its_brief_says(drycycle):
    code, out, _ = drycycle("run", "gate-before-the-weekend", "--json")
    told = json.loads(out)
    first = [visit["order"] for visit in told["best_plan"]["visits"]]

    assert code == 0
    assert [each.startswith("frame-") for each in first] == [True, True, False, False, False]
    assert told["run"]["not_first"] == told["best_plan"]["not_first"] == []
    assert told["best_plan"]["foretold_s"] >= told["best_plan"]["foretold_without_first_s"]


def test_the_debrief_says_what_comes_first_and_what_it_costs(floor, planner, pairs):
    kept = first_in(planner, "mitres")
    run, best = account_of(floor), kept.best_order(pairs)
    said = " ".join(
        map(str, about(ShiftDebrief(kept, False, run, (), run, (), best, pairs, (), (), ())))
    )

    assert best.orders[0] == "mitres"
    assert "Sequences that do not begin with mitres were left out, as the cut list has it." in said
    assert f"foretell {best.freely_s / 60:.1f} min" in said


def test_a_taller_bar_is_not_laid_under_a_head_that_stands_lower_than_it(floor):
    """The height stop is set for the taller bar first; without that the bar is refused."""
    session = floor.session
    order = floor.shift.order("pins")
    floor._change_over(order, floor.rack["A"], 1)
    stock = floor.session.stock
    tall = type(stock)(stock.material, floor.shift.order("mitres").section.to_section(), 2.0, 0.012)
    for vise in ("cutting_vise", "shuttle_vise"):
        session.hold(f"{vise}.release", 6.0)
    session.stock = tall

    assert session.saw.plant.head.place.position <= tall.section.height_m
    assert not session.load_bar("crane").taken


def test_without_the_solver_the_bars_are_first_fit_beside_a_bound(small, monkeypatch):
    monkeypatch.setattr(extras, "there", lambda _: False)
    bars = Planner(read_shift_at(small)).nested

    assert not bars.solved
    assert bars.taken_m >= bars.least_m > 0.0


def test_run_prints_the_shift_and_its_json_says_the_same(drycycle, small):
    code, out, _ = drycycle("run", str(small), "--json")
    told = json.loads(out)

    assert code == 0
    assert told["run"]["done"]
    assert told["best_plan"]["done"]
    assert told["best_plan"]["late_s"] <= told["run"]["late_s"]
    assert told["run"]["taken_m"] >= told["best_plan"]["bar_least_m"]
    code, out, _ = drycycle("run", str(small))
    assert code == 0
    assert "Best order:" in out
    assert "invented for the demo" in out


@pytest.mark.parametrize(
    ("was", "now", "place", "told"),
    [
        ("due_min: 120", "due: 120", ":17:5", "due_min"),
        ("material: S275JR\n    section: {shape: round, diameter_mm: 60}\n    length_mm: 150",
         "material: S275\n    section: {shape: round, diameter_mm: 60}\n    length_mm: 150", ":5:15", "S275JR"),
        ("name: T,", "name: A,", ":27:", "twice"),
        ("length_mm: 400", "length_mm: 4000", ":21:16", "longer than every bar"),
        ("square-tube, side_mm: 80, wall_mm: 5}, length_mm: 3000", "square-tube, side_mm: 70, wall_mm: 5}, length_mm: 3000",
         ":12:", "no bar on the rack"),
        ("due_min: 200", "due_min: 200\n    first: 1", ":10:12", "first"),
        ("currency: EUR\n", "currency: EUR\n  tip: 3\n", ":30:3", "tip"),
        ("{value: 60, source: invented for the demo}", "{value: 60}", ":30:", "source"),
    ],
)  # fmt: skip
def test_a_bad_file_is_refused_with_its_place(drycycle, tmp_path, was, now, place, told):
    assert was in SMALL
    path = tmp_path / "bad.yaml"
    path.write_text(SMALL.replace(was, now, 1), encoding="utf-8")

    for command in ("run", "check"):
        code, _, err = drycycle(command, str(path))
        assert code == 2
        assert f"{path}{place}" in err
        assert told in err


def test_a_cut_list_that_has_everything_first_is_refused(drycycle, tmp_path):
    path = tmp_path / "all.yaml"
    path.write_text(re.sub(r"(due_min: \d+)", r"\1\n    first: true", SMALL), encoding="utf-8")

    code, _, err = drycycle("check", str(path))

    assert code == 2
    assert f"{path}:26:12" in err
    assert "every order is to be done first" in err


def test_a_name_of_no_shift_is_answered_with_the_nearest(drycycle):
    code, _, err = drycycle("run", "six-orders-by-none")

    assert code == 2
    assert "six-orders-by-noon" in err


@pytest.mark.parametrize("line", ["run {} --record a.jsonl", "run {} --as-found"])
def test_what_a_shift_is_not_for_is_refused(drycycle, small, line):
    code, _, err = drycycle(*line.format(small).split())

    assert code == 2
    assert "the autopilot's shift" in err


def test_the_shipped_shift_is_sound_on_both_saws(drycycle):
    code, out, _ = drycycle("check", "six-orders-by-noon", "--json")
    (report,) = json.loads(out)

    assert code == 0
    assert report["sound"]
    assert len(report["findings"]) == 4
    assert {f["detail"].split(":")[0] for f in report["findings"]} == {"harbour-saw", "quay-saw"}


def test_check_tells_of_a_rack_that_is_too_little(drycycle, tmp_path):
    path = tmp_path / "little.yaml"
    path.write_text(
        SMALL.replace("length_mm: 400\n    pieces: 2", "length_mm: 400\n    pieces: 9"),
        encoding="utf-8",
    )

    code, out, _ = drycycle("check", str(path), "--machine", "harbour-saw")

    assert code == 1
    assert "no bar has room for" in out


def test_a_shift_in_a_folder_of_scenarios_is_read_as_a_shift_only(small, tmp_path):
    here = tmp_path / "here"
    here.mkdir()
    drill = here / "drill.yaml"
    drill.write_bytes(find("posts-come-out-short").read_bytes())
    (here / "small.yaml").write_bytes(small.read_bytes())

    assert shifts_in(str(here)) == (str(here / "small.yaml"),)
    assert sorted_out([str(here)]) == ((str(drill),), {}, ())


def test_shifts_that_ship_are_found_by_name():
    names = [name for name, _ in library.shifts()]

    assert names == ["gate-before-the-weekend", "six-orders-by-noon"]
    assert shift_file("six-orders-by-noon") is not None
    assert shift_file("rail-posts") is None


def test_the_shifts_that_ship_are_listed(drycycle):
    code, out, _ = drycycle("list", "shifts", "--json")

    assert code == 0
    assert json.loads(out) == [
        {
            "name": "gate-before-the-weekend",
            "orders": 5,
            "bars": 6,
            "title": "The gate before the weekend",
        },
        {"name": "six-orders-by-noon", "orders": 6, "bars": 9, "title": "Six orders by noon"},
    ]
    assert "six-orders-by-noon" in drycycle("list")[1]


def test_the_schema_of_a_shift_takes_what_ships_and_refuses_a_slip(drycycle, small):
    schema = json.loads(drycycle("schema", "shift")[1])
    Draft7Validator.check_schema(schema)
    validator = Draft7Validator(schema)

    for _, path in library.shifts():
        assert not list(validator.iter_errors(load(path).value))
    for was, now in (
        ("material: S275JR", "material: S275"),
        ("due_min", "due"),
        ("title:", "name:"),
    ):
        small.with_name("slip.yaml").write_text(SMALL.replace(was, now, 1), encoding="utf-8")
        assert list(validator.iter_errors(load(small.with_name("slip.yaml")).value)), now


def test_without_the_solver_the_debrief_says_how_it_is_installed(
    floor, planner, pairs, monkeypatch
):
    run, best = account_of(floor), planner.best_order(pairs)
    monkeypatch.setattr(extras, "there", lambda _: False)
    plain = Planner(read_shift_at(shift_file("six-orders-by-noon")))
    found = ShiftDebrief(plain, False, run, (), run, (), best, pairs, (), (), ())

    assert not plain.nested.solved
    assert not plain.nested.proved
    assert "drycycle[nest]" in " ".join(map(str, about(found)))


def test_an_order_that_no_plan_of_the_card_cuts_soundly_is_not_begun(tmp_path):
    beyond = "{shape: square-tube, side_mm: 38.4, wall_mm: 2.3}"
    text = SMALL.replace("{shape: square-tube, side_mm: 80, wall_mm: 5}", beyond)
    text = text.replace(
        f"S275JR\n    section: {beyond}", f"X6CrNiMoTi17-12-2\n    section: {beyond}"
    )
    text = text.replace(
        f"T, material: S275JR, section: {beyond}",
        f"T, material: X6CrNiMoTi17-12-2, section: {beyond}",
    )
    text = text.replace("mitre_deg: 45", "mitre_deg: 15")
    path = tmp_path / "beyond.yaml"
    path.write_text(text, encoding="utf-8")
    planner = Planner(read_shift_at(path))
    floor = planner.play(["pins", "mitres", "studs"], planner.first_fit)
    account = account_of(floor)

    assert [(each.name, each.good) for each in account.orders] == [
        ("pins", 2), ("mitres", 0), ("studs", 2),
    ]  # fmt: skip
    assert not account.done
    assert [bool(each.unsound) for each in account.orders] == [False, True, False]
    assert "A plug in the tube" in str(account.orders[1].unsound)
    assert not floor.session.saw.consequences
