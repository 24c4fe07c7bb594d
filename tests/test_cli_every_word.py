"""No word that a command prints escapes the reader; what programs read is the same in every language."""

import re

import pytest

from sim.cli import BAD_INPUT
from sim.cli.commands import DRYCYCLE
from sim.debrief.debrief import finish
from sim.logic.proof.moves import Scope
from sim.pilot.autopilot import whole_job
from sim.scenario import library
from sim.session.opening import open_recorded
from tests.escapes import escaped

# Each line is a command as it is typed; what stands in braces is a file.
TOLD = (
    "list scenarios", "list scenarios --skill maintenance", "list faults", "list inspections", "list harms", "list lamps", "list steps",
    "list keys", "list points", "list materials", "list shifts", "run rail-posts --record {new}",
    "run head-stops-short --as-found", "run six-orders-by-noon", "check six-orders-by-noon", "check 07-coolant posts-come-out-short", "check {round}", "debrief {morning}", "run the-saw-this-morning --as-found", "check {unsound}",
    "check posts-come-out-short --names",
    "replay {record}", "replay {cut}", "trace {record} -o {vcd}", "debrief {record}", "debrief {drill}",
    "debrief {drill} -o {page}", "class {folder}", "class {folder} -o {csv}", "instruct {record}",
    "instruct {cut}", "next --folder {folder}", "draw --seed 3 -o {drawn}", "print handbook",
    "print cause-and-effect", "print signals", "print rungs", "print signals -o {text}",
    "prove dead --quick", "prove into-the-band --quick --bypass I4 --play --text -o {example}",
    "calc speed S275JR", "calc pitch square-tube:50x4", "calc feed S275JR round:60",
    "calc time S275JR round:60 --mitre 30", "calc mitre square:40 --angle 30", "calc bow S275JR round:60", "calc clamping S275JR square-tube:50x2", "calc wander",
    "calc tension", "calc tension --mpa 500", "calc bars --piece 250x10 --piece 400x3",
    "sentences card", "sentences slips", "what", "what kerf", "what feed valve", "what F25", "what job.held", "calc bars --piece 250x10", "calc overload", "calc coolant --reading 4", "calc job rail-posts",
)  # fmt: skip
REFUSED = (
    "what gulet", "what xyzxyz", "sentences nonsense",
    "play six-orders-by-noon --instructor-code", "play six-orders-by-noon -o a.pdf", "run rail-posts -o a.html", "run six-orders-by-noon --as-found", "list nonsense", "list faults --skill maintenance", "list --skill maintainance", "run nonsense",
    "play nonsense --text", "check nonsense", "replay {missing}", "debrief {record} -o a.pdf",
    "class {missing}", "class {folder} -o a.pdf", "class {folder} -o a", "draw --level 7",
    "draw -o {record}", "instruct {record} freeze", "instruct {missing}", "instruct {record} dance",
    "instruct last", "trace {missing} -o a.vcd", "trace {record} -o {missing}/a.vcd", "print nonsense",
    "print signals head", "print diagram lathe", "print all --format csv", "print all -o a.pdf",
    "print diagram -o a.svg", "print signals -o {missing}/a.txt", "prove nonsense",
    "prove --bypass I12", "prove --bypass I99", "calc speed S275", "calc pitch oval:3",
    "calc bars --piece 25", "calc bars --piece 25x0", "calc bars --piece 9000x1",
    "calc coolant --reading 4 --litres 200", "calc clamping S275JR round:1e9", "shot rail-posts -o a.gif",
    "shot rail-posts -o a.png --at soon", "shot rail-posts -o a.png --size big",
    "shot rail-posts -o a.png --tab nonsense",
)  # fmt: skip
PLAIN = (
    "list faults --json", "list points --json", "list materials --json",
    "run head-stops-short --as-found --json", "check 07-coolant --json", "replay {record} --json",
    "debrief {drill} --json", "class {folder} --json", "instruct {record} --json",
    "next --folder {folder} --json", "calc time S275JR round:60 --json",
    "calc bars --piece 250x10 --json", "print promela", "print scxml", "print diagram head", "schema", "schema shift", "list shifts --json", "sentences coach --json",
)  # fmt: skip


@pytest.fixture(scope="module")
def files(tmp_path_factory):
    """A record of a job, one of a drill, one that was cut off, and names for what is written."""
    home = tmp_path_factory.mktemp("files")
    folder = home / "class"
    folder.mkdir()
    record, drill, cut = folder / "job.jsonl", folder / "drill.jsonl", home / "cut.jsonl"
    session = open_recorded("rail-posts", record, "bench-07")
    session.set("job.wanted", 1)
    whole_job(session)
    finish(session)
    session = open_recorded("posts-come-out-short", drill)
    session.inspect("stop-play", "faulty")
    session.inspect("stop-plunger")
    session.diagnose("variator-forced")
    session.put_right("variator-forced")
    session.bench.force("B11", True)
    finish(session)
    cut.write_bytes(drill.read_bytes()[:-60])
    (folder / "spoilt.jsonl").write_text("{}\n", encoding="utf-8")
    morning = folder / "morning.jsonl"
    session = open_recorded("the-saw-this-morning", morning)
    for name, calls_for in (("guard-open", "goes-on"), ("oil-low", "stops"), ("s2-stuck", "fit")):
        session.report(name, calls_for)
    session.report(session.morning.found[0].fault.name, "stops")
    finish(session)
    of_round = home / "round.yaml"
    found = library.find("the-saw-this-morning").read_text(encoding="utf-8")
    of_round.write_text(
        found.replace(
            "[band-worn", "[back-rail-in-way, relay-set-low, control-fuse-blown, band-worn"
        ),
        encoding="utf-8",
    )
    unsound = home / "unsound.yaml"
    found = library.find("posts-come-out-short").read_text(encoding="utf-8")
    unsound.write_text(found.replace("tolerance_mm: 0.1", "tolerance_mm: 0.3"), encoding="utf-8")
    return {
        "record": record, "drill": drill, "cut": cut, "folder": folder, "unsound": unsound,
        "missing": home / "missing", "morning": morning, "round": of_round,
    }  # fmt: skip


NEW = {
    "new": "new.jsonl", "vcd": "a.vcd", "page": "a.html", "csv": "a.csv", "drawn": "a.yaml",
    "text": "a.txt", "example": "b.vcd",
}  # fmt: skip


@pytest.fixture
def typed(drycycle, files, tmp_path, monkeypatch):
    """Do a command in a language; return exit code, output and errors."""
    monkeypatch.chdir(tmp_path)
    # What is said of a proof hangs on no number of states.
    monkeypatch.setattr("sim.text.reports.prove_report.SMALLEST", Scope(("MANUAL",), ()))
    places = {**files, **{name: tmp_path / file for name, file in NEW.items()}}

    def do(line, language):
        return drycycle(
            *(word.format(**places) for word in f"--language {language} {line}".split())
        )

    return do


# In a table the symbol of a unit stands in a cell of its own, or at the end of a head.
_UNIT_CELL = re.compile(
    r"(?m)(?<= )(?:A|mm|mm/min|m|m/min|s|1/in|in|cm2|cm2/min|cm3/min|cm³/min|MPa|N/mm2|N|W|um|bar|min|kg|%)(?=  |$)"
)


def escapes_of_table(text):
    """Return the words that escape from lines and tables."""
    return escaped(_UNIT_CELL.sub("", text))


def test_every_command_is_tried():
    tried = {line.split()[0] for line in (*TOLD, *PLAIN)}

    assert tried | {"play", "shot"} == {command.name for command in DRYCYCLE.commands}


@pytest.mark.sampled(3)
@pytest.mark.parametrize("line", TOLD)
def test_no_word_that_a_command_prints_escapes_the_reader(typed, line, unsaid):
    code, out, err = typed(line, "qps")

    assert code != BAD_INPUT, err
    assert out
    assert (escapes_of_table(out), escaped(err)) == ([], [])
    assert unsaid() == []


@pytest.mark.parametrize("line", REFUSED)
def test_no_word_of_a_refusal_escapes_the_reader(typed, line):
    code, out, err = typed(line, "qps")

    assert code == BAD_INPUT
    assert len(err.splitlines()) == 1
    assert (escaped(out), escaped(err)) == ([], [])


@pytest.mark.parametrize("line", PLAIN)
def test_what_programs_read_is_the_same_in_every_language(typed, line):
    assert typed(line, "es")[1] == typed(line, "en")[1]
