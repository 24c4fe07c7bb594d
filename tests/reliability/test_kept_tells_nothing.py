"""Nothing that is kept on this computer tells a cause, and nothing put in its place passes for a matrix.

Whoever knows all of a drill but its causes tries every name of the catalogue against the keys, the
sizes, the times and the contents of what is kept. A key that differs from name to name is also a clock:
a matrix that was kept comes at once.
"""

import json
from dataclasses import replace
from pathlib import Path

import pytest

from sim.diagnosis import best_plan, matrix_from_saw
from sim.diagnosis import causes as causes_of
from sim.diagnosis.best_plan import plan_for, plan_key, plan_of
from sim.diagnosis.condensed import condensed
from sim.diagnosis.dependency import NOTHING_WRONG, Cause, Matrix, Probe
from sim.diagnosis.matrix_from_saw import causes_for, for_role, found, key_for, matrix_for
from sim.diagnosis.packed import packed, unpacked
from sim.diagnosis.par import CAP, cap_passed
from sim.diagnosis.stages import is_late
from sim.diagnosis.tree import expected_s, grown, nodes
from sim.faults.catalogue import CATALOGUE
from sim.records.keep import FOLDER, MARKER, keep, kept
from sim.scenario.scenario import HiddenFault, Trigger
from sim.session import shelf
from sim.session.opening import library_entries, read

OTHER = ("something-else",)  # a cause that is none of the catalogue
FEW = ("stop-from-below", "plunger-on-the-land", "air-regulator-low", "guard-open")
LOOKS = ("stop-play", "stop-plunger", "air-gauge")
DRILLS = [name for name, each in library_entries() if each.faults]


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    """The folder of what is kept, which nothing is in yet."""
    monkeypatch.setenv("DRYCYCLE_CACHE", str(tmp_path))
    _forget()
    yield tmp_path / FOLDER
    _forget()


def _forget():
    matrix_from_saw._prior_or_not.cache_clear()
    matrix_from_saw._weighed.cache_clear()
    best_plan._kept_or_found.cache_clear()
    plan_for.cache_clear()


def _files(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def _stub(scenario, _causes):
    """Return a matrix that tells which causes it was found for, and whose plan has a look."""
    hidden = ", ".join(map(str, scenario.faults))
    rows = (Cause((), 1.0, (hidden,)), Cause(OTHER, 1.0, (f"{hidden}!",)))
    return Matrix(rows, (Probe("look", 1.0),))


def _all_alike(_scenario, key="", _allowance=None):
    """Return a belief in the sound machine and in every single cause, kept as the true one is."""
    prior = {(): 0.25, OTHER: 0.25, **{(name,): 0.5 / len(CATALOGUE) for name in CATALOGUE}}
    if key:
        keep(key, b"prior")
    return prior


def _key_of_kept(drill):
    return key_for(drill.model_copy(update={"faults": ()}))


def _think_of(monkeypatch, *names):
    """Have a few causes make up the catalogue."""
    few = {name: CATALOGUE[name] for name in names}
    monkeypatch.setattr(causes_of, "CATALOGUE", few)
    for module in (matrix_from_saw, causes_of):
        monkeypatch.setattr(module, "EVERY", few)
    _forget()


def _unweighed(matrix):
    """Return a matrix before the report was heard."""
    return Matrix(tuple(replace(c, weight=1.0) for c in matrix.causes), matrix.inspections)


def _others(drill):
    """Yield a drill with each other cause in the place of its own, alike in when it sets in."""
    for name in CATALOGUE:
        for place, row in enumerate(drill.faults):
            faults = list(drill.faults)
            faults[place] = row.model_copy(update={"name": name})
            yield drill.model_copy(update={"faults": tuple(faults)})


@pytest.mark.sampled(4)
@pytest.mark.parametrize("name", DRILLS)
def test_trying_every_cause_on_what_is_kept_of_a_drill_tells_nothing(name, folder, monkeypatch):
    monkeypatch.setattr(matrix_from_saw, "found", _stub)
    monkeypatch.setattr(matrix_from_saw, "prior_for", _all_alike)
    drill, _ = read(name)
    plan_of(drill)
    told = _files(folder)

    for guess in _others(drill):
        plan_of(guess)

    assert _files(folder) == told
    bare = drill.model_copy(update={"faults": ()})
    plan = plan_key(matrix_for(bare))
    assert set(told) == {key_for(bare), matrix_from_saw._key("prior", bare), plan, MARKER}
    assert not any(
        cause in content for cause in map(str.encode, CATALOGUE) for content in told.values()
    )


def test_how_many_causes_there_are_and_when_they_set_in_is_not_told_either(folder, monkeypatch):
    monkeypatch.setattr(matrix_from_saw, "found", _stub)
    monkeypatch.setattr(matrix_from_saw, "prior_for", _all_alike)
    drill, _ = read("posts-come-out-short")
    plan_of(drill)
    told = _files(folder)
    hidden = [HiddenFault(name=name) for name in FEW]
    late = {"from_s": 7.0, "from_piece": 2, "when": Trigger(signal="B12", times=2)}
    ways = [(), hidden[:1], hidden[:2], hidden]
    ways += [
        [each.model_copy(update={key: value})] for each in hidden for key, value in late.items()
    ]

    for faults in ways:
        plan_of(drill.model_copy(update={"faults": tuple(faults)}))

    assert _files(folder) == told


def test_what_is_told_about_the_cause_decides_no_key():
    drill, _ = read("posts-come-out-short")
    telling = {"teaches": "x", "ambiguous_with": ("guard-open",), "report": "y", "brief": "z"}
    assert key_for(drill.model_copy(update=telling)) == key_for(drill)


@pytest.mark.parametrize("name", ["posts-come-out-short", "short-and-crooked", "wet-at-first"])
def test_the_true_matrix_comes_out_whatever_is_kept_of_it(name, folder, monkeypatch):
    _think_of(monkeypatch, *FEW, "index-plunger-out", "coolant-pump-jammed")
    drill = read(name)[0].model_copy(update={"inspections": LOOKS})
    causes = causes_for(drill)
    hangs_on_hidden = is_late(drill) or len(drill.faults) > 1
    ran = drill if hangs_on_hidden else drill.model_copy(update={"faults": ()})
    whole = found(ran, causes)

    assert _unweighed(matrix_for(drill)) == whole
    before = _files(folder)
    _forget()
    assert _unweighed(matrix_for(drill)) == whole
    assert _files(folder) == before


def test_the_list_of_what_ships_is_kept_without_a_look_at_what_the_files_hide(monkeypatch):
    whole = shelf._key()
    for verb in ("open", "read_bytes", "read_text"):
        monkeypatch.setattr(Path, verb, lambda *_, **__: pytest.fail("it was looked into"))
    monkeypatch.setattr("builtins.open", lambda *_, **__: pytest.fail("it was looked into"))
    assert shelf._key() == whole


# What is put there by somebody else, with the right digest ------------------------------------


@pytest.fixture
def small(monkeypatch):
    """A drill whose matrix is found quickly, and that matrix as it is kept."""
    _think_of(monkeypatch, *FEW)
    drill = read("posts-come-out-short")[0].model_copy(update={"inspections": LOOKS})
    return drill, found(drill.model_copy(update={"faults": ()}), causes_for(drill))


def _only(*names):
    return lambda matrix: matrix.among(names)


def _first_look(**changed):
    def poisoned(matrix):
        place = next(i for i, column in enumerate(matrix.inspections) if column.look)
        columns = list(matrix.inspections)
        columns[place] = replace(columns[place], **changed)
        return Matrix(matrix.causes, tuple(columns))

    return poisoned


def _first_cause(name, **changed):
    def poisoned(matrix):
        rows = (replace(c, **changed) if c.name == name else c for c in matrix.causes)
        return Matrix(tuple(rows), matrix.inspections)

    return poisoned


POISONED = {
    "the cause alone": _only("stop-from-below"),
    "no sound machine": _only(*FEW),
    "a look too few": lambda m: m.with_only([c.name for c in m.inspections[1:]]),
    "a cheap look": _first_look(cost_s=0.0),
    "another look": _first_look(name="crystal-ball"),
    "a look that harms nobody": _first_look(harms=frozenset({"nobody"})),
    "a weight": _first_cause("guard-open", weight=0.0),
    "a cause of none": _first_cause("guard-open", faults=("crystal-ball",)),
    "a sound machine that is not": lambda m: Matrix(
        tuple(
            replace(c, outcomes=m.causes[1].outcomes) if c.name == NOTHING_WRONG else c
            for c in m.causes
        ),
        m.inspections,
    ),
}


@pytest.mark.parametrize("poison", POISONED.values(), ids=POISONED)
def test_a_matrix_that_cannot_be_is_found_anew_and_replaced(poison, small):
    drill, whole = small
    poisoned = poison(whole)
    assert poisoned != whole
    keep(_key_of_kept(drill), packed(poisoned))

    assert _unweighed(matrix_for(drill)) == whole
    assert unpacked(kept(_key_of_kept(drill))) == whole


# A plan -------------------------------------------------------------------------------------------


@pytest.fixture
def planned(small):
    """A drill, what decides its plan, and that plan as it is found."""
    drill, _ = small
    matrix, plan = plan_of(drill)
    assert plan.exact
    assert len(list(nodes(plan.tree))) > 3
    return drill, plan_key(matrix), plan


def _plan_again(drill):
    best_plan._kept_or_found.cache_clear()
    plan_for.cache_clear()
    return plan_of(drill)[1]


def test_a_plan_that_was_kept_is_the_one_that_was_found_and_is_not_searched_for(
    planned, monkeypatch
):
    drill, _, plan = planned
    monkeypatch.setattr(best_plan, "par", lambda *_, **__: pytest.fail("it was searched for"))
    assert _plan_again(drill) == plan


def test_what_hangs_on_the_hidden_has_the_plan_that_is_searched_for(planned):
    drill, _, plan = planned
    row = drill.faults[0].model_copy(update={"from_piece": 2})
    late = drill.model_copy(update={"faults": (row,)})
    matrix, found_late = plan_of(late)
    assert matrix == for_role(late, matrix_for(late))
    assert found_late == plan_for(matrix)
    assert found_late != plan


def _first_look_other(told):
    """Begin with a look that splits as the first one does, or not at all; the rest stays."""
    told["looks"][0] = "air-gauge" if told["looks"][0] != "air-gauge" else "stop-plunger"


def _ends_at_once(told):
    told["looks"] = [""]


def _ends_early(told):
    last = max(place for place, look in enumerate(told["looks"]) if look)
    told["looks"][last:] = [""]


def _goes_on(told):
    told["looks"].append("")


def _no_such_look(told):
    told["looks"][0] = "crystal-ball"


def _a_number(told):
    told["looks"][0] = 7


def _more_than_may_be(told):
    told["subsets"] = CAP + 1


def _none_weighed(told):
    told["subsets"] = 0


def _yes(told):
    told["subsets"] = True


def _no_looks(told):
    told["looks"] = []


POISONED_PLANS = (
    _first_look_other, _ends_at_once, _ends_early, _goes_on, _no_such_look, _a_number,
    _more_than_may_be, _none_weighed, _yes, _no_looks,
)  # fmt: skip


@pytest.mark.parametrize("poison", POISONED_PLANS, ids=lambda each: each.__name__.strip("_"))
def test_a_plan_that_cannot_be_is_searched_for_anew_and_replaced(poison, planned):
    drill, key, plan = planned
    honest = kept(key)
    told = json.loads(honest)
    poison(told)
    assert told != json.loads(honest)
    keep(key, json.dumps(told).encode())

    assert _plan_again(drill) == plan
    assert kept(key) == honest


def test_a_plan_that_is_dearer_than_the_greedy_one_is_searched_for_anew(planned):
    drill, key, plan = planned
    matrix = plan_of(drill)[0]
    small = condensed(matrix, best_plan._enough(matrix))

    def dearest(subset, stage):
        looks = [] if small.ends(subset) else [c for c, parts in small.usable(subset, stage)]
        return max(looks, key=lambda look: look.cost_s, default=None)

    tree = grown(small, small.everything, 0, dearest)
    assert expected_s(tree, matrix) > 1.01 * plan.expected_s
    keep(key, best_plan._packed(replace(plan, tree=tree)))

    assert _plan_again(drill) == plan


def test_that_the_search_passes_its_cap_is_kept_and_the_greedy_plan_made_anew(planned):
    drill, key, _ = planned
    matrix = plan_of(drill)[0]
    greedy = cap_passed(matrix, enough=best_plan._enough(matrix))
    keep(key, best_plan._packed(greedy))

    assert _plan_again(drill) == greedy
    assert not any(look.name.encode() in kept(key) for look in matrix.inspections)


DEEP = b"[" * 100_000
ODD = (
    b"", b"null", b"7", b"{}", b"\xff", DEEP, b'{"outcomes": ' + DEEP,
    b'{"outcomes": [], "inspections": [], "causes": []}',
    b'{"outcomes": [[]], "inspections": [], "causes": [[[], 1, []]]}',
    b'{"outcomes": [], "inspections": [], "causes": [[[], 1' + b"0" * 400 + b", []]]}",
    b'{"outcomes": [], "inspections": [], "causes": [[[], NaN, []]]}',
    b'{"outcomes": [], "inspections": [], "causes": [["guard-open", 1, []]]}',
    b'{"outcomes": [], "inspections": [["a", 1, 0, 0, [[]], "", null]], "causes": []}',
    b'{"outcomes": ["x"], "inspections": [["a", 1, 0, 0, [], "", {"key": 7}]], "causes": [[[], 1, [0]]]}',
)  # fmt: skip


@pytest.mark.parametrize("content", ODD, ids=range(len(ODD)))
def test_odd_contents_are_found_anew_and_replaced(content, small):
    drill, whole = small
    keep(_key_of_kept(drill), content)

    assert _unweighed(matrix_for(drill)) == whole
    assert unpacked(kept(_key_of_kept(drill))) == whole


@pytest.mark.parametrize("content", ODD, ids=range(len(ODD)))
def test_odd_contents_are_no_plan(content, planned):
    drill, key, plan = planned
    honest = kept(key)
    keep(key, content)

    assert _plan_again(drill) == plan
    assert kept(key) == honest


def test_any_value_of_a_kept_matrix_may_be_odd(small):
    _, whole = small
    told = json.loads(packed(whole))
    for value in (None, -1, 10**400, 1e308, True, "x", [], {}, [[]], float("nan")):
        for part in told:
            for place, row in enumerate(told[part]):
                cells = range(len(row)) if isinstance(row, list) else [None]
                for cell in cells:
                    odd = json.loads(packed(whole))
                    if cell is None:
                        odd[part][place] = value
                    else:
                        odd[part][place][cell] = value
                    made = unpacked(json.dumps(odd).encode())
                    if made is not None:
                        packed(made)
