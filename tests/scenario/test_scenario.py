"""Scenario files: what they say, what is refused and in which words, and their schema."""

import copy
import hashlib
import json
from dataclasses import fields
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from jsonschema import Draft7Validator
from pydantic import BaseModel, Field

from sim.control.actions import BY_NAME as ACTIONS
from sim.control.table import CYCLE
from sim.errors import ScenarioError
from sim.plant.harm.kinds import KINDS as HARMS
from sim.scenario import library
from sim.scenario.gate import load
from sim.scenario.metals import read_materials
from sim.scenario.scenario import digest, read_scenario
from sim.scenario.schema import draft_7, json_schema
from sim.scenario.vocabulary import SettingKind, SettingRule, Vocabulary
from sim.session.opening import vocabulary
from sim.trade import sections

POSTS = """\
title: Rail posts
mode: practice
stock:
  material: S275JR
  section: {shape: round, diameter_mm: 60}
  length_mm: 6000
job: {length_mm: 230, wanted: 24}
"""

NAMES = Vocabulary(
    set_points={
        "head.feed_valve_mm_min": SettingRule(SettingKind.NUMBER, 0, 250),
        "coolant.hose_open": SettingRule(SettingKind.SWITCH),
        "coolant.mode": SettingRule(SettingKind.CHOICE, choices=("off", "hand", "auto")),
    },
    faults=("worn-band", "slack-band", "air-leak"),
    inspections=("look-at-band", "gauge-tension"),
    materials=("S275JR", "S235JR", "C45"),
    machines=("harbour-saw",),
)


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "posts.yaml"

    def write(text):
        path.write_text(text, encoding="utf-8")
        return path

    return write


def read(path):
    return read_scenario(path, lambda _: NAMES)


def refusal(path):
    with pytest.raises(ScenarioError) as caught:
        read(path)
    assert str(caught.value).isprintable()
    assert caught.value.what_to_do
    return caught.value


# ---- what a scenario says


def test_a_scenario_of_seven_lines_has_everything_else_by_default(file):
    scenario = read(file(POSTS))

    assert scenario.machine == "harbour-saw"
    assert scenario.level == 1
    assert scenario.stock.front_mm == 0.0
    assert (scenario.job.strokes, scenario.job.first, scenario.job.tolerance_mm) == (
        1,
        "square",
        0.3,
    )
    assert (scenario.found, scenario.ready, scenario.faults) == ({}, True, ())
    assert scenario.inspections == "all"


def test_a_full_scenario_keeps_every_value_and_its_kind(file):
    scenario = read(
        file(
            POSTS + "level: 3\nskills: [grip, length]\nready: false\ninspections: [gauge-tension]\n"
            "found: {head.feed_valve_mm_min: 40, coolant.hose_open: true, coolant.mode: 'off'}\n"
            "faults:\n  - {name: worn-band}\n  - {name: air-leak, from_s: 12.5}\n"
        )
    )

    assert scenario.skills == ("grip", "length")
    assert scenario.found == {
        "head.feed_valve_mm_min": 40, "coolant.hose_open": True, "coolant.mode": "off",
    }  # fmt: skip
    assert type(scenario.found["head.feed_valve_mm_min"]) is int
    assert [(fault.name, fault.from_s) for fault in scenario.faults] == [
        ("worn-band", 0.0), ("air-leak", 12.5),
    ]  # fmt: skip
    assert scenario.inspections == ("gauge-tension",)


SHAPES = {
    "{shape: round, diameter_mm: 60}": sections.Round(0.060),
    "{shape: square, side_mm: 40}": sections.Square(0.040),
    "{shape: rectangle, width_mm: 80, height_mm: 10}": sections.Rectangle(0.080, 0.010),
    "{shape: round-tube, diameter_mm: 48.3, wall_mm: 3.2}": sections.RoundTube(0.0483, 0.0032),
    "{shape: square-tube, side_mm: 50, wall_mm: 4}": sections.SquareTube(0.050, 0.004),
    "{shape: rectangular-tube, width_mm: 80, height_mm: 40, wall_mm: 3}": (
        sections.RectangularTube(0.080, 0.040, 0.003)
    ),
    "{shape: angle, leg_mm: 50, thickness_mm: 5}": sections.Angle(0.050, 0.005),
    "{shape: i-beam, height_mm: 100, width_mm: 55, web_mm: 4.1, flange_mm: 5.7}": (
        sections.IBeam(0.100, 0.055, 0.0041, 0.0057)
    ),
}


@pytest.mark.parametrize(("text", "section"), SHAPES.items())
def test_every_shape_becomes_its_section_in_metres(file, text, section):
    built = read(file(with_section(text))).stock.to_section()

    assert type(built) is type(section)
    for part in fields(section):
        assert getattr(built, part.name) == pytest.approx(getattr(section, part.name), rel=1e-12)


def test_a_bundle_is_its_bar_so_many_times(file):
    text = with_section("{shape: square, side_mm: 20}\n  bundle: {count: 5, rows: 2}")

    assert read(file(text)).stock.to_section() == sections.Bundle(sections.Square(0.02), 5, 2)


def with_section(section):
    return POSTS.replace("{shape: round, diameter_mm: 60}", section)


# ---- what is refused, where, and in which words


def swapped(old, new):
    assert POSTS.count(old) == 1
    return POSTS.replace(old, new)


@pytest.mark.parametrize(
    ("text", "place", "says", "advises"),
    [
        # names
        (POSTS + "titel: x\n", "8:1", "no name 'titel'", "title"),
        (swapped("wanted", "wnated"), "7:23", "no name 'wnated'", "wanted"),
        (POSTS + "found: {head.feed_valve: 3}\n", "8:9", "no set point", "head.feed_valve_mm_min"),
        (POSTS + "found: {Head Valve: 3}\n", "8:9", "a name was expected", "small letters"),
        (POSTS + "faults: [{name: worm-band}]\n", "8:17", "no fault 'worm-band'", "worn-band"),
        (POSTS + "inspections: [look]\n", "8:15", "no inspection 'look'", "look-at-band"),
        (POSTS + "machine: harbor-saw\n", "8:10", "no machine", "harbour-saw"),
        (swapped("S275JR", "S275"), "4:13", "no metal 'S275'", "S275JR"),
        (swapped("practice", "practise"), "2:7", "practice, drill", "practice"),
        (swapped("shape: round", "shape: ruond"), "5:12", "round, square", "round"),
        (swapped("shape: round, ", ""), "5:12", "does not say its shape", "add shape"),
        # units
        (swapped("diameter_mm: 60", "diameter_cm: 6"), "5:27", "in millimetres", "diameter_mm"),
        (swapped("diameter_mm", "diameter"), "5:27", "in millimetres", "diameter_mm"),
        (swapped("diameter_mm: 60", "diameter_mm: 60 mm"), "5:40", "text '60 mm'", "write 60 "),
        (swapped("diameter_mm: 60", "diameter_mm: 6 cm"), "5:40", "text '6 cm'", "write 60 "),
        (swapped("diameter_mm: 60", "diameter_mm: 2in"), "5:40", "text '2in'", "write 50.8 "),
        (swapped("diameter_mm: 60", "diameter_mm: '60'"), "5:40", "text '60'", "write 60 "),
        (swapped("diameter_mm: 60", "diameter_mm: thick"), "5:40", "a number", "of millimetres"),
        (swapped("length_mm: 6000", "length_mm: 6 bar"), "6:14", "a number", "alone, in milli"),
        # kinds
        (swapped("wanted: 24", "wanted: 24.0"), "7:31", "a whole number", "write 24"),
        (swapped("wanted: 24", "wanted: true"), "7:31", "true was found", "a whole number"),
        (swapped("title: Rail posts", "title: 12"), "1:8", "a text", "in quotes"),
        (swapped("title: Rail posts", "title:"), "1:7", "nothing was found", "write a text"),
        (POSTS + "ready: 1\n", "8:8", "true or false", "true or false"),
        (POSTS + "skills: grip\n", "8:9", "a list", "skills: [grip]"),
        (POSTS + "faults: {name: worn-band}\n", "8:9", "a list", "faults: [{name: worn-band}]"),
        (POSTS + "faults: [worn-band]\n", "8:10", "names and values", "faults: [{name: worn-band}]"),
        (POSTS + "found: {coolant: {mode: auto}}\n", "8:18", "a mapping", "with its dots"),
        (POSTS + "found: {coolant.mode: [auto]}\n", "8:23", "a list", "one value"),
        (POSTS + "found: {coolant.mode: 3}\n", "8:23", "positions", "off, hand, auto"),
        (POSTS + "found: {coolant.mode: atuo}\n", "8:23", "off, hand, auto", "auto"),
        (POSTS + "found: {coolant.hose_open: 1}\n", "8:28", "true or false", "without quotes"),
        (POSTS + "found: {head.feed_valve_mm_min: x}\n", "8:33", "a number", "from 0 up to 250"),
        (POSTS + "found: {head.feed_valve_mm_min: true}\n", "8:33", "a number", "from 0"),
        (POSTS + "found: {head.feed_valve_mm_min: 251}\n", "8:33", "limits", "up to 250"),
        (POSTS + "inspections: some\n", "8:14", "all or a list", "write all"),
        (POSTS + "inspections: [1]\n", "8:15", "name of an inspection", "its name"),
        ("- a\n- b\n", "1:1", "names and values", "names and values"),
        # limits
        (swapped("diameter_mm: 60", "diameter_mm: 0"), "5:40", "at least 1", "at least 1"),
        (swapped("diameter_mm: 60", "diameter_mm: 251"), "5:40", "at most 250", "at most 250"),
        (swapped("wanted: 24", "wanted: 501"), "7:31", "at most 500", "500"),
        (swapped("wanted: 24", "wanted: 0"), "7:31", "at least 1", "1"),
        (swapped("wanted: 24", "wanted: 24, strokes: 21"), "7:44", "at most 20", "20"),
        (swapped("6000", "12001"), "6:14", "at most 12000", "12000"),
        (POSTS + "level: 4\n", "8:8", "at most 3", "3"),
        (swapped("Rail posts", "x" * 81), "1:8", "81 characters", "at most 80"),
        (swapped("Rail posts", "''"), "1:8", "0 characters", "at least 1"),
        (POSTS + "faults: [{name: a, from_s: -1}]\n", "8:28", "at least 0", "0"),
        # two fields that disagree
        (with_section("{shape: round-tube, diameter_mm: 60, wall_mm: 30}"), "5:58",
         "nothing open", "less than 30"),
        (with_section("{shape: square-tube, side_mm: 60, wall_mm: 30}"), "5:55",
         "nothing open", "less than 30"),
        (with_section("{shape: rectangular-tube, width_mm: 60, height_mm: 20, wall_mm: 10}"),
         "5:76", "nothing open", "less than 10"),
        (with_section("{shape: angle, leg_mm: 60, thickness_mm: 30}"), "5:53", "nothing open", "30"),
        (with_section("{shape: i-beam, height_mm: 80, width_mm: 40, web_mm: 40, flange_mm: 5}"),
         "5:65", "as wide as the beam", "less than 40"),
        (with_section("{shape: i-beam, height_mm: 80, width_mm: 40, web_mm: 4, flange_mm: 40}"),
         "5:79", "nothing open", "less than 40"),
        (with_section("{shape: angle, leg_mm: 200, thickness_mm: 5}"), "5:12", "282.843 mm", "bar"),
        (with_section("{shape: square, side_mm: 60}\n  bundle: {count: 5}"), "6:11",
         "width comes to 300 mm", "fewer bars"),
        (with_section("{shape: square, side_mm: 60}\n  bundle: {count: 1, rows: 5}"), "6:11",
         "height comes to 300 mm", "fewer bars"),
        (swapped("length_mm: 230", "length_mm: 6001"), "7:18", "longer than the bar", "6000"),
        (swapped("length_mm: 6000", "length_mm: 300\n  front_mm: 301"), "7:13", "past the", "300"),
        (POSTS + "faults: [{name: air-leak}, {name: air-leak}]\n", "8:35", "twice", "keep one"),
        # what is missing
        (swapped("title: Rail posts\n", ""), "1:1", "title: it is missing", "add title"),
        (swapped(", diameter_mm: 60", ""), "5:12", "stock.section.diameter_mm: it is missing",
         "number of millimetres"),
        (swapped(", wanted: 24", ""), "7:6", "job.wanted: it is missing", "add wanted"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_at_its_place_with_what_to_write(
    file, untold, text, place, says, advises
):
    path = file(text)
    error = refusal(path)

    assert str(error.where) == f"{path}:{place}"
    assert says in str(error.what)
    assert advises in str(error.what_to_do)
    assert not untold(error)


def test_the_first_of_several_mistakes_is_told_and_the_rest_are_counted(file):
    error = refusal(file(swapped("wanted: 24", "wanted: 0") + "level: 9\ncolour: red\n"))

    assert str(error.what).startswith("job.wanted")
    assert "2 more" in str(error.what_to_do)


def test_a_sawn_bar_at_exactly_the_capacity_passes(file):
    assert read(file(swapped("diameter_mm: 60", "diameter_mm: 250"))).stock.to_section()
    assert read(file(with_section("{shape: square, side_mm: 50}\n  bundle: {count: 5, rows: 5}")))


def test_names_are_taken_as_they_stand_where_no_vocabulary_is_brought(file):
    scenario = read_scenario(file(POSTS + "faults: [{name: gremlin}]\nfound: {a.b: 1}\n"))

    assert scenario.faults[0].name == "gremlin"


def test_a_scenario_cannot_be_changed_once_read(file):
    with pytest.raises(ValueError, match="frozen"):
        read(file(POSTS)).stock.length_mm = 1.0


# ---- the shipped files


@pytest.mark.parametrize(("name", "path"), library.entries())
def test_every_shipped_scenario_is_read_and_names_a_metal_of_the_list(name, path):
    scenario = read_scenario(path)

    assert scenario.stock.material in read_materials(library.materials_path())
    assert library.find(name) == path
    assert not list(Draft7Validator(json_schema()).iter_errors(load(path).value))


def test_the_rail_posts_job_is_found_by_name_by_path_and_almost():
    path = library.find("rail-posts")

    assert "rail-posts" in library.names()
    assert library.find(str(path)) == path
    with pytest.raises(ScenarioError, match="the nearest name is rail-posts"):
        library.find("rail-post")
    with pytest.raises(ScenarioError, match="no machine called 'x'"):
        library.machine_path("x")


def test_a_path_that_is_not_there_is_told_by_the_reader(tmp_path):
    with pytest.raises(ScenarioError, match="no such file"):
        read_scenario(library.find(str(tmp_path / "none.yaml")))


def test_names_of_shipped_scenarios_are_each_given_once():
    assert len(set(library.names())) == len(library.names()) >= 1


def test_the_digest_of_a_scenario_is_the_sha_256_of_its_bytes(file):
    path = file(POSTS)

    assert digest(path) == hashlib.sha256(POSTS.encode()).hexdigest()
    with pytest.raises(ScenarioError, match="no such file"):
        digest(path.with_name("none.yaml"))


# ---- the list of metals


METAL = """\
materials:
  - {name: A, title: Steel A, density_kg_m3: 7850, yield_mpa: 275, young_gpa: 210, kc11_mpa: 1780,
     mc: 0.17, speed_low_m_min: 60, speed_high_m_min: 90, hardened: 1.2, conductivity_w_mk: 50,
     price_eur_kg: 1.5, source: from memory}
"""


def test_a_metal_is_read_into_si(file):
    metal = read_materials(file(METAL))["A"]

    assert metal.yield_pa == pytest.approx(275e6)
    assert metal.young_pa == pytest.approx(210e9)
    assert metal.kc11_pa == pytest.approx(1780e6)
    assert (metal.speed_low_m_s, metal.speed_high_m_s) == pytest.approx((1.0, 1.5))
    assert metal.price_kg == 1.5
    assert (metal.mc, metal.density_kg_m3, metal.title) == (0.17, 7850, "Steel A")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (METAL.replace("speed_high_m_min: 90", "speed_high_m_min: 60"), "not above the lowest"),
        (METAL + METAL.partition("\n")[2], "a second metal is called A"),
        (METAL.replace("mc: 0.17", "mc: 1"), "less than 1"),
        (METAL.replace("kc11_mpa", "kc11_pa"), "given in megapascals"),
        (METAL.replace(", source: from memory", ""), "source: it is missing"),
        ("materials: []\n", "0 entries"),
    ],
)
def test_a_metal_that_cannot_be_is_refused(file, untold, text, says):
    with pytest.raises(ScenarioError, match=says) as caught:
        read_materials(file(text))
    assert not untold(caught.value)


# ---- the schema


CLOSED = json_schema(NAMES)
OPEN = json_schema()


def test_both_schemas_are_valid_draft_7_and_have_nothing_of_a_later_draft():
    for schema in (OPEN, CLOSED):
        Draft7Validator.check_schema(schema)
        text = json.dumps(schema)

        assert schema["$schema"] == "http://json-schema.org/draft-07/schema#"
        assert not any(word in text for word in ('"$defs"', "prefixItems", '"discriminator"'))
        assert "#/$defs" not in text
        for part in parts(schema):
            assert "$ref" not in part or len(part) == 1


def parts(schema):
    if isinstance(schema, dict):
        yield schema
        for each in schema.values():
            yield from parts(each)
    elif isinstance(schema, list):
        for each in schema:
            yield from parts(each)


class Inner(BaseModel):
    a: int


class Outer(BaseModel):
    told: Inner = Field(description="A neighbour of a reference.")
    pair: tuple[int, str] = (1, "$ref")


def test_what_draft_7_writes_otherwise_is_written_so():
    schema = draft_7(Outer)
    validator = Draft7Validator(schema)

    assert schema["properties"]["told"] == {
        "allOf": [{"$ref": "#/definitions/Inner"}], "description": "A neighbour of a reference.",
    }  # fmt: skip
    assert schema["properties"]["pair"]["default"] == [1, "$ref"]
    assert validator.is_valid({"told": {"a": 1}, "pair": [1, "x"]})
    assert not validator.is_valid({"told": {"a": "x"}})
    assert not validator.is_valid({"told": {"a": 1}, "pair": ["x", "x"]})
    assert not validator.is_valid({"told": {"a": 1}, "pair": [1, "x", 2]})


FULL = {
    "title": "Rail posts", "summary": "One.", "mode": "drill", "level": 2, "skills": ["grip"],
    "brief": "b", "report": "r", "machine": "harbour-saw", "ready": False, "teaches": "t",
    "stock": {"material": "S275JR", "section": {"shape": "round-tube", "diameter_mm": 60, "wall_mm": 3},
              "bundle": {"count": 2, "rows": 1}, "length_mm": 6000.5, "front_mm": -12},
    "job": {"length_mm": 230, "wanted": 24, "strokes": 1, "first": "straight", "tolerance_mm": 0.3},
    "found": {"coolant.mode": "auto", "head.feed_valve_mm_min": 40.5, "coolant.hose_open": True},
    "faults": [{"name": "air-leak", "from_s": 3}], "inspections": ["gauge-tension"],
}  # fmt: skip


def agrees(file, sample):
    """Return whether program and schema both accept a sample; they must say the same."""
    path = file(json.dumps(sample))
    try:
        read(path)
    except ScenarioError:
        ours = False
    else:
        ours = True

    assert Draft7Validator(CLOSED).is_valid(sample) == ours, sample
    return ours


def test_the_schema_and_the_program_accept_a_full_scenario(file):
    assert agrees(file, FULL)
    assert Draft7Validator(OPEN).is_valid(FULL)
    assert agrees(file, FULL | {"inspections": "all", "found": {}})


def ways(value, at=()):
    yield at
    inner = value.items() if isinstance(value, dict) else ()
    for key, each in enumerate(value) if isinstance(value, list) else inner:
        yield from ways(each, (*at, key))


def changed(sample, way, value):
    sample = copy.deepcopy(sample)
    target = sample
    for part in way[:-1]:
        target = target[part]
    if value is DROP:
        del target[way[-1]]
    else:
        target[way[-1]] = value
    return sample


DROP = object()
WAYS = [way for way in ways(FULL) if way]


@pytest.mark.parametrize("way", WAYS, ids=lambda way: ".".join(map(str, way)))
def test_the_schema_and_the_program_agree_on_every_field_spoilt_or_left_out(file, way):
    spoilt = (None, -1, 0, 1.5, 10**6, "", "x", "60 mm", "x" * 5000, True, [], ["x"], {}, {"x": 1})
    verdicts = [agrees(file, changed(FULL, way, value)) for value in (DROP, *spoilt)
                if not is_between_two_fields(way, value)]  # fmt: skip

    assert False in verdicts


def is_between_two_fields(way, value):
    """Return whether only a comparison of two fields can tell; no schema holds those."""
    return way[-1] in ("length_mm", "diameter_mm") and value == 1.5


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.sampled_from([way for way in WAYS if way[-1] not in ("length_mm", "diameter_mm", "wall_mm")]),
    st.recursive(
        st.one_of(st.none(), st.booleans(), st.integers(-3, 700), st.text("abé-. ", max_size=5)),
        lambda inner: st.one_of(
            st.lists(inner, max_size=3), st.dictionaries(st.text("ab_", min_size=1), inner, max_size=3)
        ),
        max_leaves=5,
    ),
)  # fmt: skip
def test_the_schema_and_the_program_agree_on_whatever_stands_in_a_field(file, way, value):
    agrees(file, changed(FULL, way, value))


@pytest.mark.parametrize(
    ("section", "says"),
    [
        ("round:-5", "{shape: round, diameter_mm: 60}"),
        ("{shape: round, diameter_mm: -5}", "at least 1"),
        ("{shape: square-tube, side_mm: 50, wall_mm: -1}", "at least 0.1"),
    ],
)
def test_a_section_that_is_none_is_refused_with_its_place_and_how_to_write_it(
    section, says, tmp_path
):
    path = tmp_path / "mine.yaml"
    text = Path("scenarios/drills/head-stops-short.yaml").read_text(encoding="utf-8")
    path.write_text(text.replace("{shape: round, diameter_mm: 60}", section, 1), encoding="utf-8")

    with pytest.raises(ScenarioError) as refused:
        read_scenario(path)

    assert str(refused.value.where).startswith(f"{path}:15:")
    assert says in str(refused.value.what_to_do)


def test_the_schema_takes_a_machine_of_ones_own_and_proposes_those_that_ship():
    there = load(library.find("rail-posts")).value
    schema = json_schema(vocabulary(), own_machines=True)
    asks = Draft7Validator(schema)

    assert not list(asks.iter_errors({**there, "machine": "my-saw"}))
    assert list(asks.iter_errors({**there, "machine": 7}))
    assert list(asks.iter_errors({**there, "machine": ""}))
    offered = [each["enum"] for each in schema["properties"]["machine"]["anyOf"] if "enum" in each]
    assert offered == [list(library.machine_names())]


def test_the_schema_offers_every_name_of_a_report():
    report = json_schema(vocabulary())["definitions"]["Reported"]["properties"]
    asks = Draft7Validator(json_schema(vocabulary()))
    there = load(library.find("posts-come-out-short")).value

    def offered(field):
        of = report[field]
        listed = next((each for each in of.get("anyOf", [of]) if each.get("type") == "array"), None)
        return set(listed["items"]["enum"] if listed else of["anyOf"][0]["enum"])

    assert offered("tried") == offered("refused") == set(ACTIONS)
    assert offered("harm") == set(HARMS)
    assert offered("stands_at") == {"no start", *CYCLE.states}
    assert "coolant-low" in offered("lamps")
    assert all("description" in field for field in report.values())
    for field, value in (("harm", ["cut-dri"]), ("stands_at", "LOWER"), ("refused", ["rise"])):
        assert list(asks.iter_errors({**there, "reported": {field: value}}))
    assert not list(asks.iter_errors({**there, "reported": {"harm": ["cut-dry"]}}))
