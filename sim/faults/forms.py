"""The forms that many faults share: a set point off its right, a spoilt wire, a stuck valve.

Each form gives the three acts of a fault: put it in, tell whether it is there, put it right. What
is right for a set point is what the set-up card of the job says, which comes with the `Wreck`.

Never here: a fault.
"""

from collections.abc import Callable

from sim.faults.fault import Acts, Wreck
from sim.plant.machine import Machine
from sim.plant.set_points import BY_NAME, Setting
from sim.signals import Distortion

Wrong = Callable[[float], float]  # of what is right
OffBy = Callable[[float, float], bool]  # of what there is, and of what is right


def misset(point: str, wrong: Wrong, is_wrong: OffBy) -> Acts:
    """Return the acts of a number that is set wrong.

    Args:
        point: Name of the set point.
        wrong: Returns what it is found at, from what is right; both in its own unit. The table's
            limits hold it.
        is_wrong: Returns whether a setting counts as this fault, from it and from what is right.
    """
    row = BY_NAME[point]

    def right(wreck: Wreck) -> float:
        return float(wreck.right.get(point, row.read(wreck.plant)))

    def found_at(wreck: Wreck) -> float:
        low, high = row.limits(wreck.plant.site.machine)
        return min(max(wrong(right(wreck)), low), high)

    return Acts(
        apply=lambda wreck: row.write(wreck.plant, found_at(wreck)),
        possible=lambda wreck: is_wrong(found_at(wreck), right(wreck)),
        present=lambda wreck: is_wrong(float(row.read(wreck.plant)), right(wreck)),
        mend=lambda wreck: row.write(wreck.plant, right(wreck)),
    )


def beyond(
    point: str,
    found_at: Callable[[Machine], float],
    is_wrong: Callable[[float, Machine], bool],
) -> Acts:
    """Return the acts of a number that is set beyond what the machine can take.

    Args:
        point: Name of the set point.
        found_at: What it is found at on a machine, in its own unit.
        is_wrong: Whether a setting counts as this fault on a machine.
    """
    row = BY_NAME[point]

    def right(wreck: Wreck) -> float:
        return float(wreck.right.get(point, row.read(wreck.plant)))

    return Acts(
        apply=lambda w: row.write(w.plant, found_at(w.plant.site.machine)),
        possible=lambda w: is_wrong(found_at(w.plant.site.machine), w.plant.site.machine),
        present=lambda w: is_wrong(float(row.read(w.plant)), w.plant.site.machine),
        mend=lambda w: row.write(w.plant, right(w)),
    )


def left(point: str, word: str, right: str, matters: Callable[[Wreck], bool] | None = None) -> Acts:
    """Return the acts of a thing that was left in the wrong position.

    Args:
        point: Name of the set point.
        word: The position it is found in.
        right: The position it belongs in.
        matters: Whether it is wrong on this job; always when left out.
    """
    row = BY_NAME[point]

    def possible(wreck: Wreck) -> bool:
        return matters is None or matters(wreck)

    def is_there(wreck: Wreck) -> bool:
        return row.read(wreck.plant) == word and possible(wreck)

    def apply(wreck: Wreck) -> None:
        if possible(wreck):
            row.write(wreck.plant, word)

    return Acts(
        apply=apply, possible=possible, present=is_there,
        mend=lambda w: row.write(w.plant, right),
    )  # fmt: skip


def spoilt(tag: str, distortion: Distortion) -> Acts:
    """Return the acts of a wire, or of the switch at its end, that shows what it should not."""

    def present(wreck: Wreck) -> bool:
        return wreck.bus.distortion(tag) is distortion

    def mend(wreck: Wreck) -> None:
        if present(wreck):
            wreck.bus.distort(tag, None)

    return Acts(apply=lambda w: w.bus.distort(tag, distortion), present=present, mend=mend)


def device(tag: str, distortion: Distortion) -> Acts:
    """Return the acts of a switch or sensor that sends what it should not; its own lamp shows it too."""

    def present(wreck: Wreck) -> bool:
        return wreck.bus.device(tag) is distortion

    def mend(wreck: Wreck) -> None:
        if present(wreck):
            wreck.bus.spoil_device(tag, None)

    return Acts(apply=lambda w: w.bus.spoil_device(tag, distortion), present=present, mend=mend)


def seized(tag: str, *, at: bool) -> Acts:
    """Return the acts of a valve, pump or contactor that does not follow its wire."""

    def mend(wreck: Wreck) -> None:
        if wreck.plant.seized(tag) is at:
            wreck.plant.loosen(tag)

    return Acts(
        apply=lambda w: w.plant.seize(tag, at),
        present=lambda w: w.plant.seized(tag) is at,
        mend=mend,
    )


def worn(
    read: Callable[[Wreck], Setting],
    put: Callable[[Wreck, Setting], None],
    *,
    good: Setting,
    bad: Setting,
) -> Acts:
    """Return the acts of a thing that is worn, blocked, or leaks.

    Args:
        read: Returns what state it is in.
        put: Puts it into a state.
        good: The sound state.
        bad: The state it is found in. Where states are words, only this one is the fault; where they
            are numbers, every number but the sound one is.
    """

    def present(wreck: Wreck) -> bool:
        state = read(wreck)
        return state == bad if isinstance(bad, str) else state != good

    return Acts(apply=lambda w: put(w, bad), present=present, mend=lambda w: put(w, good))
