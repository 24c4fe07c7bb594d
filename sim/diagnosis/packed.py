"""A dependency matrix as bytes, to be kept: JSON, with every distinct outcome written once."""

import json

from sim.bugs import TableError
from sim.diagnosis.dependency import Cause, Matrix, Probe
from sim.words.message import NOTHING, Message, from_plain


def packed(matrix: Matrix) -> bytes:
    """Return a matrix as bytes."""
    outcomes = {text: None for cause in matrix.causes for text in cause.outcomes}
    number = {text: k for k, text in enumerate(outcomes)}
    content = {
        "outcomes": list(outcomes),
        "inspections": [
            [
                i.name,
                i.cost_s,
                i.stage,
                i.leads_to,
                sorted(i.harms),
                i.look,
                _plain(i.right),
                i.until,
                i.seen,
            ]
            for i in matrix.inspections
        ],
        "causes": [
            [list(c.faults), c.weight, [number[text] for text in c.outcomes]] for c in matrix.causes
        ],
    }
    return json.dumps(content, separators=(",", ":")).encode()


def unpacked(content: bytes) -> Matrix | None:
    """Return the matrix that was packed, or None where the bytes are no whole matrix."""
    try:
        found = json.loads(content)
        outcomes = found["outcomes"]
        if not all(isinstance(text, str) for text in outcomes):
            return None
        return Matrix(
            tuple(
                Cause(tuple(faults), weight, tuple(outcomes[k] for k in row))
                for faults, weight, row in found["causes"]
            ),
            tuple(
                Probe(
                    name,
                    cost_s,
                    stage,
                    leads_to,
                    frozenset(harms),
                    look,
                    _message(right),
                    until,
                    seen,
                )
                for name, cost_s, stage, leads_to, harms, look, right, until, seen in found[
                    "inspections"
                ]
            ),
        )
    except (
        ValueError,
        TypeError,
        KeyError,
        IndexError,
        ArithmeticError,
        RecursionError,
        TableError,
    ):
        return None


def _plain(said: Message) -> object:
    return said.plain() if said else None


def _message(told: object) -> Message:
    return from_plain(told) if told is not None else NOTHING
