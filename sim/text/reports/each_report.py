"""`drycycle prove --each`: what each interlock, and each of its rows, is there for."""

from typing import Final

from sim.logic.proof.each import NUMBERS, SINGLE_ROWS, Purpose, hazards, label, purpose, rows_of
from sim.logic.proof.unfold import Row
from sim.text.progress import tracked
from sim.text.tables import PrintedCell, print_json, print_said, print_table
from sim.words.fields import count, parts
from sim.words.message import plain, row
from sim.words.speech import tell

_TAKING_OUT: Final = plain("each.taking-out", "Taking out")
_EACH_INTERLOCK: Final = plain("each.interlocks", "Each interlock taken out")
_EACH_ROW: Final = plain("each.rows", "Each row taken out")
_HEADS: Final = (
    "no.", "row", "moves", "what breaks without it", "the hazard, as the table has it",
)  # fmt: skip
_ALL_ROWS: Final = row("each.all-rows", "all {count} rows", count=count())
_LISTED: Final = row("each.listed", "{said}", said=parts("; "))
_COVERED: Final = row("each.covered", "redundant: covered by {what}", what=parts(" and "))
_BY_NOTHING: Final = plain("each.by-nothing", "nothing that is proved")
_SUMMARY: Final = row(
    "each.summary",
    "{needed} are needed, {covered} covered by something else, "
    "with only what the row speaks of out of order meanwhile.",
    needed=count(), covered=count(),
)  # fmt: skip


def each_and_report(*, as_json: bool) -> int:
    """Take out each interlock, and each of its rows, and report what breaks.

    Returns:
        0; or 1 when some row is neither needed nor covered, so that nobody can say what it is for.
    """
    jobs: list[tuple[Row, ...]] = [rows_of(number) for number in NUMBERS]
    jobs += [(row,) for row in SINGLE_ROWS]
    tracking = tracked(jobs, tell(_TAKING_OUT), len(jobs), quiet=as_json)
    found = [purpose(rows) for rows in tracking]
    if as_json:
        print_json([_plain(one) for one in found])
    else:
        whole, single = found[: len(NUMBERS)], found[len(NUMBERS) :]
        print_table(_EACH_INTERLOCK, _HEADS, map(_row, whole))
        print_table(_EACH_ROW, _HEADS, map(_row, single))
        covered = sum(one.covered for one in found)
        print_said(_SUMMARY(needed=len(found) - covered, covered=covered))
    return 0 if all(one.broken is not None or one.covered for one in found) else 1


def _row(one: Purpose) -> tuple[PrintedCell, ...]:
    first = one.rows[0]
    what = label(first) if len(one.rows) == 1 else _ALL_ROWS(count=len(one.rows))
    against = _LISTED(said=hazards(one.rows))
    if one.broken is not None:
        moves = len(one.broken.example.strides) if one.broken.example else ""
        return first.number, what, moves, one.broken.sentence, against
    why = one.covered_by or (_BY_NOTHING,)
    return first.number, what, "", _COVERED(what=why), against


def _plain(one: Purpose) -> dict[str, object]:
    example = one.broken.example if one.broken else None
    return {
        "interlock": one.rows[0].number,
        "rows": [str(label(row)) for row in one.rows],
        "breaks": one.broken.name if one.broken else None,
        "moves": [str(stride.clauses) for stride in example.strides] if example else [],
        "covered_by": [str(each) for each in one.covered_by],
        "states": one.states,
    }
