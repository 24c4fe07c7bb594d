"""Draws a new drill: stock, job and faults by chance, and nothing that was not proved sound.

Level 1 hides what an operator left wrong and may put right without reaching in, level 2 any one
fault, level 3 two of them. The inspections are those that tell the hidden faults most sharply, with
others beside them that do not. A draw that the check does not pass is thrown away and the next is
made; equal levels and seeds give equal drills. One takes some seconds.
"""

from dataclasses import dataclass
from textwrap import wrap
from typing import Final

from sim.authoring.check import proved
from sim.authoring.check_advice import SHOWS
from sim.diagnosis.dependency import Matrix
from sim.diagnosis.matrix_from_saw import matrix_for
from sim.errors import CommandError
from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Fault, Who
from sim.kernel.streams import Random, stream
from sim.pilot.reference_jobs import REFERENCE_JOBS, ReferenceJob
from sim.scenario.scenario import Scenario

LEVELS: Final = (1, 2, 3)
TRIES: Final = 40
_WIDE: Final = 98
_PROOF_LOOK: Final = "last-piece"  # whoever is to prove it with a good piece may measure it
_LOOKS: Final = {1: 8, 2: 14, 3: 16}  # inspections allowed, by level
_TELLING: Final = {1: 2, 2: 3, 3: 3}  # of them, that tell each hidden fault most sharply
_WANTED: Final = (3, 4, 5)
_SHORTER: Final = (0.6, 0.8, 1.0)  # of the length of the reference job's piece
_PROVE: Final = "Find what is wrong, name it, put it right, and prove it with a good piece."
_TWO: Final = "There may be more than one thing wrong."
_LOCK: Final = "Hands go into the machine only under lock-out."


@dataclass(frozen=True, slots=True)
class DrawnDrill:
    """A drill and its file."""

    scenario: Scenario
    text: str  # YAML
    tries: int


def draw(level: int, seed: int) -> DrawnDrill:
    """Return a new drill of a level, proved sound.

    Raises:
        CommandError: There is no such level, or none of many draws was sound.
    """
    if level not in LEVELS:
        raise CommandError(f"there is no level {level}", "draw", "give 1, 2 or 3")
    for number in range(1, TRIES + 1):
        chance = stream(seed, f"draw/{level}/{number}")
        raw = _drawn(level, chance)
        if raw is None:
            continue
        shown = _symptom(Scenario.model_validate(raw))
        if not shown:
            continue
        raw.update(_words(level, seed, raw, shown))
        scenario = Scenario.model_validate(raw)
        if not _tells_on_itself(scenario):
            return DrawnDrill(scenario, _yaml(raw), number)
    raise CommandError(f"none of {TRIES} draws was sound", "draw", "try another seed")


def _drawn(level: int, chance: Random) -> dict[str, object] | None:
    """Return stock, job, faults and inspections; None when the job cannot have the faults."""
    row = REFERENCE_JOBS[chance.choice(sorted(REFERENCE_JOBS))]
    faults = _faults(level, chance)
    matrix = matrix_for(row.scenario())
    if not {fault.name for fault in faults} <= {cause.name for cause in matrix.causes}:
        return None
    return {
        "title": "drawn", "mode": "drill", "level": level, "stock": row.stock,
        "job": _job(row, chance),
        "faults": tuple({"name": fault.name} for fault in faults),
        "inspections": list(_inspections(level, chance, matrix, faults)),
    }  # fmt: skip


def _faults(level: int, chance: Random) -> tuple[Fault, ...]:
    rows = sorted(CATALOGUE.values(), key=lambda fault: fault.name)
    if level == 1:
        rows = [row for row in rows if row.who is Who.OPERATOR and not row.reaches_in]
    first = chance.choice(rows)
    if level < max(LEVELS):
        return (first,)
    others = [row for row in rows if row.family is not first.family]
    return tuple(sorted((first, chance.choice(others)), key=lambda fault: fault.name))


def _job(row: ReferenceJob, chance: Random) -> dict[str, object]:
    length_mm = round(float(str(row.job["length_mm"])) * chance.choice(_SHORTER))
    return {**row.job, "length_mm": length_mm, "wanted": chance.choice(_WANTED)}


def _inspections(
    level: int, chance: Random, matrix: Matrix, faults: tuple[Fault, ...]
) -> tuple[str, ...]:
    """Return the looks that leave the fewest causes beside each fault, and others by chance."""
    looks: list[str] = []
    for fault in faults:
        true = matrix.causes[matrix.row(fault.name)]
        rivals: dict[str, int] = {}
        for place, column in enumerate(matrix.inspections):
            if column.look and column.stage < 2 and fault.name not in column.harms:
                alike = sum(c.outcomes[place] == true.outcomes[place] for c in matrix.causes)
                rivals[column.look] = min(alike, rivals.get(column.look, len(matrix.causes)))
        sharpest = sorted(rivals, key=lambda look: (rivals[look], look))
        looks += [look for look in sharpest if look not in looks][: _TELLING[level]]
    rest = sorted({c.look for c in matrix.inspections if c.look} - set(looks))
    plain = [look for look in rest if not look.startswith("meter ")]
    looks += chance.sample(plain, _LOOKS[level] - len(looks))
    chance.shuffle(looks)
    return tuple(dict.fromkeys((*looks, _PROOF_LOOK)))


def _symptom(scenario: Scenario) -> str:
    """Return what anybody would report, empty when the drill is not sound."""
    findings = proved(scenario)
    if not all(finding.holds for finding in findings):
        return ""
    return next(finding.detail for finding in findings if finding.claim == SHOWS)


def _words(level: int, seed: int, raw: dict[str, object], shown: str) -> dict[str, object]:
    row = next(row for row in REFERENCE_JOBS.values() if row.stock == raw["stock"])
    names = [entry["name"] for entry in raw["faults"]]  # type: ignore[attr-defined]
    faults = [CATALOGUE[name] for name in names]
    brief = [f"The saw is set up for {row.what}.", _PROVE]
    brief += [_TWO] if level == max(LEVELS) else []
    brief += [_LOCK] if level > 1 else []
    head, said = _reported(shown)
    return {
        "title": f"{head} (drawn, level {level}, seed {seed})",
        "skills": tuple(dict.fromkeys(str(fault.family) for fault in faults)),
        "brief": " ".join(brief),
        "report": f'"{said}"',
        "teaches": " ".join(
            f"{_sentence(str(fault.changes))} {'Lock out first. ' * fault.reaches_in}{fault.remedy}"
            for fault in faults
        ),
    }  # fmt: skip


def _reported(shown: str) -> tuple[str, str]:
    """Return a title and an operator's sentence for what the check saw."""
    stands, _, why = shown.partition("the job stands: ")
    if not stands:
        if ": " not in why:
            return "It does not get going", "I set it all up, and it will not begin."
        words = why.partition(": ")[2].rstrip(".")
        return "It stands still", f"It begins, and then it stands there: {words}."
    first = shown.partition(",")[0]
    return _sentence(first)[:-1], f"This is what came of it: {shown.lower()}. It never did before."


def _sentence(clause: str) -> str:
    return f"{clause[:1].upper()}{clause[1:].rstrip('.')}."


def _tells_on_itself(scenario: Scenario) -> bool:
    """Return whether the words before the close name what is hidden."""
    words = f"{scenario.title} {scenario.brief} {scenario.report}".lower()
    faults = [CATALOGUE[row.name] for row in scenario.faults]
    return any(fault.name in words or str(fault.title).lower() in words for fault in faults)


# The file ---------------------------------------------------------------------------------


def _yaml(raw: dict[str, object]) -> str:
    """Return the file of a drawn drill, in the order in which one would be written by hand."""
    lines = []
    for name in ("title", "mode", "level", "skills", "brief", "report", "stock", "job", "faults",
                 "inspections", "teaches"):  # fmt: skip
        value = raw[name]
        if name in ("brief", "report", "teaches"):
            lines += [f"{name}: >-", *(f"  {line}" for line in wrap(str(value), _WIDE - 2))]
        elif name == "stock":
            lines += ["stock:", *(f"  {key}: {_flow(part)}" for key, part in _items(value))]
        elif name == "inspections":
            listed = wrap(_flow(value), _WIDE - 2, break_on_hyphens=False, subsequent_indent=" ")
            lines += ["inspections:", *(f"  {line}" for line in listed)]
        else:
            lines.append(f"{name}: {_flow(value)}")
    return "\n".join(lines) + "\n"


def _items(value: object) -> list[tuple[str, object]]:
    assert isinstance(value, dict)
    return list(value.items())


def _flow(value: object) -> str:
    """Return plain values as YAML in one line."""
    if isinstance(value, dict):
        return f"{{{', '.join(f'{key}: {_flow(part)}' for key, part in value.items())}}}"
    if isinstance(value, tuple | list):
        return f"[{', '.join(map(_flow, value))}]"
    if isinstance(value, float):
        return f"{value:g}"
    text = str(value)
    return f'"{text}"' if ":" in text else text
