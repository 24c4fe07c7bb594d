"""The commands for those who write scenarios: list, check, draw, schema, sentences; and what, for everybody."""

from pathlib import Path
from typing import Final

from sim.cli.grammar import Command, Parameter, path, whole, word
from sim.cli.parameters import JSON, MACHINE, OUTPUT
from sim.words.message import plain

_LIST: Final = plain("cli.stands.list", "LIST")
_SKILL: Final = plain("cli.stands.skill", "SKILL")
_WORD: Final = plain("cli.stands.word", "WORD")
_KIND: Final = plain("cli.stands.kind", "KIND")
_SCENARIOS: Final = plain("cli.stands.scenarios", "SCENARIO")


def _list(*, what: str, skill: str, as_json: bool) -> None:
    from sim.text.reports.listing import print_list

    print_list(what, skill=skill, as_json=as_json)


def _check(
    *, scenarios: list[str], machine: str, catalogue: bool, names: bool, as_json: bool
) -> int:
    from sim.text.reports.check_report import check_and_report, check_catalogue

    return (
        check_catalogue(as_json=as_json)
        if catalogue
        else check_and_report(scenarios, machine, names=names, as_json=as_json)
    )


def _draw(*, level: int, seed: int, output: Path | None) -> int:
    from sim.text.page import put_line
    from sim.text.reports.drawing import draw_and_write

    return draw_and_write(level, seed, output, put_line)


def _schema(*, of: str) -> None:
    from sim.text.reports.schema_report import print_schema

    print_schema(of)


def _what(*, words: list[str]) -> None:
    from sim.text.glossary import print_what

    print_what(" ".join(words or ()))


def _sentences(*, of: str, as_json: bool) -> None:
    from sim.text.reports.sentences_report import print_sentences

    print_sentences(of, as_json=as_json)


LIST: Final = Command(
    "list",
    plain(
        "cli.list",
        "List what there is: scenarios, faults, inspections, keys, set points, harms, materials.",
    ),
    _list,
    (
        Parameter(
            "what",
            plain("cli.list.what", "scenarios, shifts, faults, inspections, keys, points, harms, lamps, steps or materials."),
            word(_LIST), default="scenarios",
        ),
        Parameter(
            "skill",
            plain("cli.list.skill", "Of scenarios those only that train it, such as maintenance."),
            word(_SKILL), ("--skill",), "",
        ),
        JSON,
    ),
)  # fmt: skip
CHECK: Final = Command(
    "check",
    plain(
        "cli.check", "Prove scenarios: the job can be done, the fault shows, can be told, and is cured."
    ),
    _check,
    (
        Parameter(
            "scenarios",
            plain("cli.check.scenarios", "Names, files or folders of files; all that ship when left out."),
            word(_SCENARIOS), default=None, many=True,
        ),
        MACHINE,
        Parameter(
            "catalogue",
            plain("cli.check.catalogue", "Judge the catalogue: can every fault be found and told?"),
            flags=("--catalogue",),
        ),
        Parameter(
            "names",
            plain(
                "cli.check.names",
                "Name causes and looks of what holds too, for the author: this tells what a drill hides.",
            ),
            flags=("--names",),
        ),
        JSON,
    ),
)  # fmt: skip
DRAW: Final = Command(
    "draw",
    plain("cli.draw", "Draw a new drill by chance, and write it only when it is proved sound."),
    _draw,
    (
        Parameter("level", plain("cli.draw.level", "1, 2 or 3."), whole(), ("--level",), 1),
        Parameter(
            "seed",
            plain("cli.draw.seed", "Equal seeds draw equal drills."),
            whole(), ("--seed",), 1,
        ),
        Parameter(
            "output",
            plain("cli.draw.output", "A new file; else it is printed."),
            path(), OUTPUT, None,
        ),
    ),
)  # fmt: skip
SCHEMA: Final = Command(
    "schema",
    plain(
        "cli.schema",
        "Print the JSON Schema of a kind of file, for an editor to complete and check it.",
    ),
    _schema,
    (
        Parameter(
            "of",
            plain(
                "cli.schema.of",
                "scenario, shift, or of a machine's folder: sizes, wiring or interlocks.",
            ),
            word(_KIND), default="scenario",
        ),
    ),
)  # fmt: skip
WHAT: Final = Command(
    "what",
    plain("cli.what", "Explain a word of the trade, a tag, a key or a state; alone, list the words."),
    _what,
    (
        Parameter(
            "words",
            plain("cli.what.words", "The word, such as kerf, feed valve, B11 or head.up."),
            word(_WORD), default=None, many=True,
        ),
    ),
)  # fmt: skip
SENTENCES: Final = Command(
    "sentences",
    plain(
        "cli.sentences",
        "List every sentence that coach, hints, card, cautions and lessons can say: what sets it off, in every language.",
    ),
    _sentences,
    (
        Parameter(
            "of",
            plain("cli.sentences.of", "coach, slips, hints, card, cautions or steps; all when left out."),
            word(_KIND), default="",
        ),
        JSON,
    ),
)  # fmt: skip
