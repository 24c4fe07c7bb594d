"""Lines that bring the saw of `rail-posts` into a state, and the steps of a lock-out, each by its name.

Opened, its isolator is off, its set-up is that of the card, and its head has sunk on to the bar.
"""

from typing import Final

Lines = tuple[str, ...]

POWER: Final = ("press supply.isolator", "tap supply.reset", "tap supply.control_on")
RAISED: Final = (*POWER, "turn manual", "hold head.raise 8")
BAND_RUNS: Final = (*RAISED, "palms band.run", "wait until band.running", "wait 2")
SUNK: Final = ("wait 300",)  # the head has come down as far as it does without power
BAND_STOPS: Final = ("tap band.stop", "wait until band.stopped", "wait 2")
JOB_RUNS: Final = ("auto power", "auto ready", "auto start")
CUTTING: Final = (*JOB_RUNS, "wait until cycle.lower_head", "wait 5")
RAISING: Final = (*JOB_RUNS, "wait until cycle.raise_head")
HELD: Final = (*CUTTING, "tap job.hold", "wait until job.held", "wait 10")
RUNS_ON: Final = (
    "set job.run_on_min 5", "set job.wanted 1", *JOB_RUNS, "wait until job.complete", "wait 10",
)  # fmt: skip

KEY_OUT: Final = ("set mode.key in my pocket",)
KEY_IN: Final = ("set mode.key in the switch",)

# What stands loose or open from before: done with the isolator off and the head down on the bar, but for
# guards, which are locked without power; they are opened with the key out of its switch.
ARM_LOOSE: Final = ("set band.guide_lock slack",)
SWIVEL_LOOSE: Final = ("set head.index_plunger out", "set head.clamp_lever open")
COVER_OPEN: Final = (
    *POWER, "turn manual", *KEY_OUT, "set band.wheel_cover open", *KEY_IN, "hold head.raise 8",
)  # fmt: skip
BAND_DOWN: Final = (
    *POWER, "turn manual", *KEY_OUT, "set band.wheel_cover open", "set band.tension_mpa 0", *KEY_IN,
    "hold head.raise 8",
)  # fmt: skip
GUARD_OPEN: Final = (
    *POWER, "turn manual", *KEY_OUT, "set band.guard open", *KEY_IN, "hold head.raise 8",
)  # fmt: skip

# A lock-out for mechanical work, step by step. The head goes up first, for the prop is swung in under it.
TELL: Final = ("lockout tell",)
PROP: Final = (
    "set head.feed_valve_mm_min 250", "set head.stop_notch 12", "hold head.raise 8", "set head.prop in",
    "hold head.lower 60",
)  # fmt: skip
CHOCK: Final = ("set infeed.bar_chock in",)
OPEN_GUARDS: Final = ("set band.guard open", "set band.wheel_cover open")
ISOLATE: Final = ("release supply.isolator",)
LOCK: Final = ("lockout lock-isolator",)
VENT: Final = ("set supply.air_cock shut", "wait 60")
LOCK_AIR: Final = ("lockout lock-air",)
RELIEVE_CUTTING: Final = ("set cutting_vise.oil_relief open",)
RELIEVE_SHUTTLE: Final = ("set shuttle_vise.oil_relief open",)
RELIEVE_LIFT: Final = ("set head.oil_relief open",)
VERIFY: Final = ("lockout verify",)
PROVE_DEAD: Final = ("lockout prove-dead",)

STEPS: Final[dict[str, Lines]] = {
    "power": RAISED, "tell": TELL, "prop": PROP, "key": KEY_OUT, "chock": CHOCK, "open": OPEN_GUARDS, "isolate": ISOLATE,
    "lock": LOCK, "vent": VENT, "lock air": LOCK_AIR, "cutting": RELIEVE_CUTTING,
    "shuttle": RELIEVE_SHUTTLE, "lift": RELIEVE_LIFT, "key in": KEY_IN, "verify": VERIFY,
}  # fmt: skip


def locked_out(*, without: tuple[str, ...] = (), instead: dict[str, Lines] | None = None) -> Lines:
    """Return the lines of a lock-out, some steps left out or done in another way."""
    steps = STEPS | (instead or {})
    return tuple(line for name, lines in steps.items() if name not in without for line in lines)


LOCKED_OUT: Final = locked_out()

WHOLE: Final = (
    "set head.oil_relief shut", "set cutting_vise.oil_relief shut", "set shuttle_vise.oil_relief shut",
    "set band.guard closed", "set band.wheel_cover closed", "set infeed.bar_chock out",
)  # fmt: skip

# The way back from a lock-out, in order: the saw whole again, people clear, locks off, told, power, prop out.
WAY_BACK: Final = (
    *WHOLE, "lockout inspect", "lockout clear", "lockout unlock-air", "lockout unlock-isolator", "lockout tell-restored",
    "set supply.air_cock open", "wait 30", *KEY_IN, *POWER, "turn manual", "hold head.raise 8",
    "set head.prop out",
)  # fmt: skip
