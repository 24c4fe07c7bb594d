"""Draws a new drill: stock, job and faults by chance, and nothing that was not proved sound.

Level 1 hides what an operator left wrong and may put right without reaching in, level 2 any one
fault, level 3 two of them. The inspections are those that tell the hidden faults most sharply, with
others beside them that do not. A draw that the check does not pass is thrown away and the next is
made; equal levels and seeds give equal drills, told in the reader's language. One takes some seconds.
"""

from dataclasses import dataclass
from itertools import combinations
from textwrap import wrap
from typing import Final

from sim.authoring.check import MOST_BY_REPORT, proved
from sim.authoring.given_away import given_away
from sim.authoring.symptom import Symptom, symptom
from sim.diagnosis.account import LONG, Account, account_of, in_a_word, likelihood
from sim.diagnosis.causes import with_faults
from sim.diagnosis.dependency import Matrix
from sim.diagnosis.matrix_from_saw import for_role, matrix_for
from sim.diagnosis.prior import prior_for
from sim.errors import CommandError
from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Fault, Who
from sim.kernel.streams import Random, stream
from sim.pilot.reference_jobs import REFERENCE_JOBS, ReferenceJob
from sim.scenario.reported import Reported
from sim.scenario.scenario import JobWanted, Scenario
from sim.session.hands.cautions import before_mend
from sim.session.hands.table import locked_out_to_mend
from sim.trade.measuring import BY_NAME
from sim.units import MM
from sim.words.fields import number, part, parts
from sim.words.message import Message, plain, row, sentence, sentences
from sim.words.reader import ENGLISH, Reader

LEVELS: Final = (1, 2, 3)
TRIES: Final = 40
_WIDE: Final = 98
_PROOF_LOOKS: Final = (
    "last-piece",
    "tape",
    "caliper",
    "beam-caliper",
)  # whoever is to prove it with a good piece may measure it
_LOOKS: Final = {1: 8, 2: 14, 3: 16}  # inspections allowed, by level
_TELLING: Final = {1: 2, 2: 3, 3: 3}  # of them, that tell each hidden fault most sharply
_WANTED: Final = (3, 4, 5)
_CALIPER_MM: Final = BY_NAME["caliper"].reach_m / MM
_FINE, _COARSE = 0.1, 0.3  # mm; what a caliper proves, and what one proves that reaches further
_NO_TEXT: Final = ("on", "off", "yes", "no")  # which YAML takes for truth
_SHORTER: Final = (0.6, 0.8, 1.0)  # of the length of the reference job's piece
_NO_LEVEL: Final = row("draw.error.level", "there is no level {level}", level=number())
_LEVELS_ARE: Final = plain("draw.error.level.what-to-do", "give 1, 2 or 3")
_NONE_SOUND: Final = row("draw.error.none-sound", "none of {tries} draws was sound", tries=number())
_OTHER_SEED: Final = plain("draw.error.none-sound.what-to-do", "try another seed")
_SET_UP: Final = row("draw.brief.set-up", "The saw is set up for {cut}.", cut=part())
_PROVE: Final = plain(
    "draw.brief.prove", "Find what is wrong, name it, put it right, and prove it with a good piece."
)
_TWO: Final = plain("draw.brief.two", "There may be more than one thing wrong.")
_LOCK: Final = plain(
    "draw.brief.lock-out", "Hands go in only with the saw in your own control, or locked out."
)
_TITLE: Final = row(
    "draw.title", "{what} (drawn, level {level}, seed {seed})",
    what=part(capital=True), level=number(), seed=number(),
)  # fmt: skip
_CHANGES: Final = row("draw.teaches.changes", "{changes}.", changes=part(capital=True))
_NEVER_BEGINS: Final = plain("draw.title.never-begins", "It does not get going")
_WILL_NOT: Final = plain("draw.report.never-begins", "I set it all up, and it will not begin.")
_STANDS: Final = plain("draw.title.stands", "It stands still")
_WAITS: Final = row(
    "draw.report.waits", "It begins, and then it stands there: {facts}.", facts=parts("; ")
)  # fmt: skip
_STOPS: Final = row(
    "draw.report.stops",
    "It begins, and then it stops, and the console says: {reason}.",
    reason=part(),
)
_JUST_STOPS: Final = plain("draw.report.just-stops", "It begins, and then it stops.")
_LENGTHS: Final = {
    "short": plain("draw.report.short", "All the pieces are short, and alike."),
    "long": plain("draw.report.long", "All the pieces are long, and alike."),
    "uneven": plain("draw.report.uneven", "No piece is as long as the next."),
}
_CAME_OF_IT: Final = row(
    "draw.report.shows", "This is what came of it. {shown} It never did that before.",
    shown=parts(" "),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class DrawnDrill:
    """A drill and its file."""

    scenario: Scenario
    text: str  # YAML
    tries: int


def draw(level: int, seed: int, reader: Reader = ENGLISH) -> DrawnDrill:
    """Return a new drill of a level, proved sound.

    Args:
        level: 1, 2 or 3.
        seed: Decides what is drawn.
        reader: In whose language its texts are.

    Raises:
        CommandError: There is no such level, or none of many draws was sound.
    """
    if level not in LEVELS:
        raise CommandError(_NO_LEVEL(level=level), "draw", _LEVELS_ARE)
    for attempt in range(1, TRIES + 1):
        chance = stream(seed, f"draw/{level}/{attempt}")
        raw = _drawn(level, chance)
        if raw is None:
            continue
        bare = Scenario.model_validate(raw)
        shown = symptom(bare)
        raw["reported"] = reported_of(bare, shown)
        if not shown.said or not _is_sound(Scenario.model_validate(raw)):
            continue
        raw.update(_words(level, seed, raw, shown, reader))
        scenario = Scenario.model_validate(raw)
        if not given_away(scenario):
            return DrawnDrill(scenario, _yaml(raw), attempt)
    raise CommandError(_NONE_SOUND(tries=TRIES), "draw", _OTHER_SEED)


def _drawn(level: int, chance: Random) -> dict[str, object] | None:
    """Return stock, job, faults and inspections; None when the job cannot have the faults."""
    job = REFERENCE_JOBS[chance.choice(sorted(REFERENCE_JOBS))]
    details: dict[str, object] = {}
    if level < max(LEVELS):
        faults = _faults(level, chance)
    else:
        details = _job(job, chance)
        faults = _pair(job, details, chance)
    role = (
        "authorised" if level == 1 else "qualified"
    )  # whatever is hidden, so that it tells nothing
    whole = matrix_for(job.scenario())
    matrix = for_role(job.scenario().model_copy(update={"role": role}), whole)
    if not faults or not {fault.name for fault in faults} <= {
        cause.name for cause in matrix.causes
    }:
        return None
    return {
        "title": "drawn", "mode": "drill", "level": level, "stock": job.stock,
        "role": role,
        "job": details or _job(job, chance),
        "faults": tuple({"name": fault.name} for fault in faults),
        "inspections": list(_inspections(level, chance, matrix, faults)),
    }  # fmt: skip


def _faults(level: int, chance: Random) -> tuple[Fault, ...]:
    rows = sorted(CATALOGUE.values(), key=lambda fault: fault.name)
    if level == 1:
        rows = [each for each in rows if each.who is Who.OPERATOR and not locked_out_to_mend(each)]
    return (chance.choice(rows),)


def _pair(reference: ReferenceJob, details: dict[str, object], chance: Random) -> tuple[Fault, ...]:
    """Return two faults of which each shows something that the other does not; none where no two do.

    Only those are tried together that let the job come to its end alone: of two faults the one that
    stands in the way of the job hides the other.
    """
    sound = reference.scenario().model_copy(update={"job": JobWanted.model_validate(details)})
    usual = account_of(sound, Reported())
    alone: dict[str, Account] = {}
    evidence: dict[str, object] = {}
    for name in sorted(CATALOGUE):
        account = account_of(with_faults(sound, (name,)), Reported())
        shows = account.harm, _odd(sound, account, usual)
        if account.control == "on" and not account.stands_at and any(shows):
            alone[name], evidence[name] = account, shows
    pairs = [
        (one, other)
        for one, other in combinations(alone, 2)
        if CATALOGUE[one].family is not CATALOGUE[other].family and evidence[one] != evidence[other]
    ]
    chance.shuffle(pairs)
    for pair in pairs:
        both = with_faults(sound, pair)
        told = Reported.model_validate(reported_of(both, symptom(both)))
        if all(likelihood(told, alone[each], usual) == 0.0 for each in pair):
            return tuple(CATALOGUE[each] for each in pair)
    return ()


def _job(reference: ReferenceJob, chance: Random) -> dict[str, object]:
    length_mm = round(float(str(reference.job["length_mm"])) * chance.choice(_SHORTER))
    tolerance_mm = _FINE if length_mm <= _CALIPER_MM else _COARSE
    return {
        **reference.job,
        "length_mm": length_mm, "wanted": chance.choice(_WANTED), "tolerance_mm": tolerance_mm,
    }  # fmt: skip


def _inspections(
    level: int, chance: Random, matrix: Matrix, faults: tuple[Fault, ...]
) -> tuple[str, ...]:
    """Return the looks that leave the fewest causes beside each fault, and others by chance."""
    looks: list[str] = []
    for fault in faults:
        true = matrix.causes[matrix.row(fault.name)]
        rivals: dict[str, int] = {}
        for place, column in enumerate(matrix.inspections):
            if column.look and column.stage < 4 and fault.name not in column.harms:
                alike = sum(c.outcomes[place] == true.outcomes[place] for c in matrix.causes)
                rivals[column.look] = min(alike, rivals.get(column.look, len(matrix.causes)))
        sharpest = sorted(rivals, key=lambda look: (rivals[look], look))
        looks += [look for look in sharpest if look not in looks][: _TELLING[level]]
    rest = sorted({c.look for c in matrix.inspections if c.look} - set(looks))
    unmetered = [look for look in rest if not look.startswith("meter ")]
    looks += chance.sample(unmetered, _LOOKS[level] - len(looks))
    chance.shuffle(looks)
    return tuple(dict.fromkeys((*looks, *_PROOF_LOOKS)))


def _is_sound(scenario: Scenario) -> bool:
    likeliest = max(prior_for(scenario).values())
    # The report alone leaves one cause: it is not worth running the machine under each of the others.
    return likeliest < MOST_BY_REPORT and all(verdict.holds for verdict in proved(scenario))


def reported_of(scenario: Scenario, shown: Symptom) -> dict[str, object]:
    """Return as data what the operator's words will say of what shows, lived on the machine as it is."""
    account = account_of(scenario, Reported())
    told: dict[str, object] = {"harm": sorted(account.harm)} if shown.harm else {}
    if shown.harm and not shown.oddities:
        return told
    if account.control != "on":
        told["control"] = account.control
    if account.stands_at:
        return told | {"stands_at": account.stands_at}
    return told | _odd(scenario, account, account_of(scenario.sound(), Reported()))


def _odd(scenario: Scenario, account: Account, sound: Account) -> dict[str, object]:
    """Return as data what is odd about a run that came to its end."""
    told: dict[str, object] = {}
    worst_mm = max(map(abs, account.off_mm), default=0.0)
    if worst_mm > scenario.job.tolerance_mm and in_a_word(account.off_mm) in _LENGTHS:
        told["length"] = {"all_are": in_a_word(account.off_mm)}
    if account.fell != sound.fell:
        told |= {"counted": account.counted, "fell": account.fell}
    if account.took_s > LONG * sound.took_s:
        told["took"] = "long"
    if account.lamps != sound.lamps:
        told["lamps"] = sorted(account.lamps - {"ready"})
    return told


def _words(
    level: int, seed: int, raw: dict[str, object], shown: Symptom, reader: Reader
) -> dict[str, object]:
    job = next(job for job in REFERENCE_JOBS.values() if job.stock == raw["stock"])
    names = [entry["name"] for entry in raw["faults"]]  # type: ignore[attr-defined]
    faults = [CATALOGUE[name] for name in names]
    brief = [_SET_UP(cut=job.what), _PROVE]
    brief += [_TWO] if level == max(LEVELS) else []
    brief += [_LOCK] if level > 1 else []
    told = raw["reported"]
    assert isinstance(told, dict)
    head, said = reported(shown, told.get("length", {}).get("all_are", ""))
    return {
        "title": _TITLE(what=head, level=level, seed=seed).tell(reader),
        "skills": tuple(dict.fromkeys(str(fault.family) for fault in faults)),
        "brief": sentences(*brief).tell(reader),
        "report": f'"{said.tell(reader)}"',
        "teaches": sentences(*(each for fault in faults for each in _taught(fault))).tell(reader),
    }


def _taught(fault: Fault) -> tuple[Message, ...]:
    return (_CHANGES(changes=fault.changes), *before_mend(fault), fault.remedy)


def reported(shown: Symptom, length: str = "") -> tuple[Message, Message]:
    """Return a title and an operator's report for what shows.

    Args:
        shown: It.
        length: How the pieces are that are off size, in the word of `reported`; empty for no word.
    """
    if shown.waits:
        return _STANDS, _WAITS(facts=tuple(each.fact for each in shown.waits))
    if shown.reason:
        return _STANDS, _STOPS(reason=shown.reason)
    if shown.never_began:
        return _NEVER_BEGINS, _WILL_NOT
    if shown.state:
        return _STANDS, _JUST_STOPS
    came = (*shown.harm, *shown.oddities)
    lengths = (_LENGTHS[length],) if length else ()
    return came[0], _CAME_OF_IT(shown=(*map(sentence, came), *lengths))


# The file ---------------------------------------------------------------------------------


def _yaml(raw: dict[str, object]) -> str:
    """Return the file of a drawn drill, in the order in which one would be written by hand."""
    lines = []
    for name in ("title", "mode", "role", "level", "skills", "brief", "report", "reported", "stock", "job", "faults",
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
    return f'"{text}"' if ":" in text or text in _NO_TEXT else text
