"""Learns which combinations of variables there are before the search, which then numbers them once.

Theory. A few states are followed, all their moves at once, layer by layer: those that bring a new
combination, those that bring one together with another code of the job, and a few more of each code
of the job, drawn by chance from a fixed seed. What is missed all the same the search learns on its way.
"""

from typing import Final

import numpy as np

from sim.logic.proof.compile import Model
from sim.logic.proof.memory import QUESTIONS
from sim.logic.proof.search.arrays import Block, Codes, Flags, Rows
from sim.logic.proof.search.effects import Effects
from sim.logic.proof.search.packing import JOB_PART, Packing
from sim.logic.proof.search.sweep import Sweep

_LAYERS: Final = 60
_SEED: Final = 8  # misses nothing of the shipped scope, so that no layer is gone through twice
_MOST_DIGITS: Final = 1 << 12  # of a part
_FEW: Final = 3  # of each code of the job's part


def scout(model: Model, packing: Packing, sweep: Sweep, effects: Effects) -> None:
    """Give digits to the combinations that are met on the way."""
    block: Block = [np.array(part.codes[:1], dtype=np.int32) for part in packing.parts]
    met: list[Flags] = [np.zeros(0, dtype=bool) for _ in packing.parts]
    chance = np.random.default_rng(_SEED)
    for _ in range(_LAYERS):
        block = _every_move(model, sweep, effects, block)
        answers = map(bool, chance.integers(2, size=len(QUESTIONS)))
        sweep.settle(block, dict(zip(QUESTIONS, answers, strict=True)))
        for part, column in enumerate(block):
            unknown = column[packing.parts[part].digits()[column] < 0]
            packing.learn(part, np.unique(unknown).tolist())
        fresh = _new_beside_the_job(block, packing, met)
        fresh[_few_of_each(block[JOB_PART], chance)] = True
        block = [column[fresh] for column in block]


def _every_move(model: Model, sweep: Sweep, effects: Effects, block: Block) -> Block:
    """Return the codes after every move from every row on which it can happen."""
    steps: list[Block] = []
    for move in model.moves:
        rows = effects.possible_codes(move, block)
        after = [column[rows] for column in block]
        sweep.start(rows.size)
        sweep.run(model.trees[move.name], after, np.arange(rows.size))
        steps.append(after)
    return [np.concatenate(columns) for columns in zip(*steps, strict=True)]


def _new_beside_the_job(block: Block, packing: Packing, met: list[Flags]) -> Flags:
    """Return the first rows that have a part's code with a code of the job's for the first time.

    Args:
        block: The codes, a column for each part.
        packing: Knows them all.
        met: By part, what was met, by digits of the job's part and of the part; it is added to.
    """
    fresh: Flags = np.zeros(block[JOB_PART].size, dtype=bool)
    job = packing.parts[JOB_PART].digits()[block[JOB_PART]] * _MOST_DIGITS
    for part, column in enumerate(block):
        beside = job + packing.parts[part].digits()[column]
        seen = met[part]
        if beside.max() >= seen.size:
            more = np.zeros(int(beside.max()) + 1 - seen.size, dtype=bool)
            met[part] = seen = np.concatenate([seen, more])
        # Few rows bring anything, and only those are sorted.
        rows = np.flatnonzero(~seen[beside])
        pairs, first = np.unique(beside[rows], return_index=True)
        fresh[rows[first]] = True
        seen[pairs] = True
    return fresh


def _few_of_each(codes: Codes, chance: np.random.Generator) -> Rows:
    """Return the rows of a few of each code, drawn by chance."""
    drawn = chance.permutation(codes.size)
    drawn = drawn[np.argsort(codes[drawn], kind="stable")]
    begins = np.flatnonzero(np.diff(codes[drawn], prepend=-1))
    before = np.repeat(begins, np.diff(begins, append=codes.size))
    few: Rows = drawn[np.arange(codes.size) - before < _FEW]
    return few
