"""What a step of a lesson may say: what is asked, why, and the goal that counts as reached.

A goal is a set of conditions on the machine and on what was done; all of them must hold at one
moment, however they came to hold. Names are checked against the `Vocabulary`
that the caller brings.

Never here: whether a goal is reached (see `goals`).
"""

from collections.abc import Collection, Iterable
from typing import Annotated, Any, Final, Literal, Self

from pydantic import (
    BaseModel,
    BeforeValidator,
    Discriminator,
    Field,
    Tag,
    model_validator,
)

from sim.scenario.located import Located, Place
from sim.scenario.nearest import nearest
from sim.scenario.reading import PLAIN, refuse
from sim.scenario.scalars import shown
from sim.scenario.vocabulary import UNKNOWN, SettingKind, Vocabulary, check_number, check_setting
from sim.scenario.wording import wrong
from sim.words.fields import name
from sim.words.message import plain, row

CARD: Final = "card"  # as the set-up card says
MEASURED: Final = (
    "measured"  # corrected by what was measured: near the card, by the drawing's tolerance
)
VERIFIED: Final = "verified"  # the lock-out is whole, and verified
OFF: Final = "off"  # no lock-out begun, or the whole of it taken back

_NO_LIMITS: Final = plain("goal.no-limits", "a range has no limits")
_NO_LIMITS_DO: Final = plain("goal.no-limits.do", "give at_least, at_most, or both")
_CROSSED: Final = row(
    "goal.crossed",
    "nothing is at least {low} and at most {high}",
    low=name(), high=name(),
)  # fmt: skip
_CROSSED_DO: Final = plain("goal.crossed.do", "give the smaller number as at_least")
_NO_TARGET: Final = plain("goal.no-target", "a number, a word or a range was expected")
_NO_TARGET_DO: Final = plain(
    "goal.no-target.do", "write card, a number, a position, or {at_least: ..., at_most: ...}"
)
_EMPTY: Final = plain("goal.empty", "a goal without a condition is always reached")
_EMPTY_DO: Final = row("goal.empty.do", "add one of {names}", names=name())
_NO_STATE: Final = row(
    "goal.no-state", "there is no state of {machine} {state}", machine=name(), state=name()
)

Name = Annotated[str, Field(min_length=1, max_length=60)]
Sentence = Annotated[str, Field(min_length=1, max_length=400)]
Count = Annotated[int, Field(ge=1, le=500)]


class Limits(BaseModel):
    """A number between two limits, or beyond one of them."""

    model_config = PLAIN
    at_least: float | None = None
    at_most: float | None = None

    @model_validator(mode="after")
    def _is_a_range(self) -> Self:
        if self.at_least is None and self.at_most is None:
            raise wrong(_NO_LIMITS, _NO_LIMITS_DO)
        if None not in (self.at_least, self.at_most) and self.low > self.high:
            what = _CROSSED(low=f"{self.at_least:g}", high=f"{self.at_most:g}")
            raise wrong(what, _CROSSED_DO, ("at_least",))
        return self

    @property
    def low(self) -> float:
        """The lower limit, or minus infinity."""
        return float("-inf") if self.at_least is None else self.at_least

    @property
    def high(self) -> float:
        """The upper limit, or infinity."""
        return float("inf") if self.at_most is None else self.at_most

    def holds(self, number: float) -> bool:
        """Return whether a number is within the limits."""
        return self.low <= number <= self.high


def _target(value: Any) -> Any:
    if isinstance(value, str | int | float | dict) and not isinstance(value, bool):
        return value
    raise wrong(_NO_TARGET, _NO_TARGET_DO)


def _kind(value: Any) -> str:
    """Return which of number, word and range is meant, so that only that one finds fault."""
    if isinstance(value, str):
        return "word"
    return "number" if isinstance(value, int | float) else "range"


_Number = Annotated[float, Tag("number")]
_Between = Annotated[Limits, Tag("range")]
Target = Annotated[
    _Number | Annotated[str, Tag("word")] | _Between, Discriminator(_kind), BeforeValidator(_target)
]
SpeedTarget = Annotated[
    _Number | Annotated[Literal["card"], Tag("word")] | _Between,
    Discriminator(_kind),
    BeforeValidator(_target),
]
States = Annotated[tuple[Name, ...], Field(min_length=1, max_length=20)]


class Goal(BaseModel):
    """What must hold, all of it at one moment, for a step to be done."""

    model_config = PLAIN
    signal: dict[Name, bool] | None = Field(
        default=None, description="Wires by tag: true is live, as the controller sees it."
    )
    state: dict[Name, States] | None = Field(
        default=None, description="Machines of the control, each in one of some states."
    )
    mode: Literal["MANUAL", "MAINTENANCE", "PRODUCTION"] | None = Field(
        default=None, description="The mode of the saw."
    )
    setting: dict[Name, Target] | None = Field(
        default=None, description="Set points: card, a number, a position, or a range."
    )
    backlash: Literal["in", "out"] | None = Field(
        default=None, description="Whether the length stop stands short of its scale, or true."
    )
    speed_m_min: SpeedTarget | None = Field(
        default=None, description="The variator's dial: card, a number or a range."
    )
    measure: dict[Name, Limits] | None = Field(
        default=None, description="What could be measured on the machine, within a range."
    )
    cuts: Count | None = Field(
        default=None, description="Parting cuts since the start, squaring cuts too."
    )
    pieces: Count | None = Field(
        default=None, description="Pieces since the start, squaring cuts not."
    )
    measured: Count | None = Field(
        default=None,
        description="Pieces measured with a tool that is fine enough for the tolerance, and found good.",
    )
    square_faces: Count | None = Field(
        default=None,
        description="Pieces that fell last, whose faces square or feeler found square.",
    )
    inspected: Name | None = Field(
        default=None, description="An inspection made since the step was asked."
    )
    lockout: Name | None = Field(
        default=None, description="A step of the lock-out that holds, or verified, or off."
    )
    taken: Name | None = Field(
        default=None, description="A key's action that was taken since the step was asked."
    )
    refused: Name | None = Field(
        default=None, description="A key's action that was refused since the step was asked."
    )
    loaded: Literal["stock"] | None = Field(
        default=None, description="The bar of the stock lies on the saw, and old_bar no more."
    )

    @model_validator(mode="after")
    def _asks_for_something(self) -> Self:
        if not any(value for _, value in self):
            names = ", ".join(type(self).model_fields)
            raise wrong(_EMPTY, _EMPTY_DO(names=names))
        return self


class Step(BaseModel):
    """One step of a lesson."""

    model_config = PLAIN
    ask: Sentence = Field(description="What to do, an imperative sentence.")
    why: Sentence = Field(description="Why it is done, or done like this.")
    caution: str = Field(default="", max_length=400, description="What could hurt somebody here.")
    hint: str = Field(default="", max_length=400, description="How, for who asks for it.")
    goal: Goal


def check_step_names(located: Located, steps: Iterable[Step], vocabulary: Vocabulary) -> None:
    """Check that every name in the goals of the steps is one the machine has.

    Raises:
        ScenarioError: One is not; `where` is `path:line:column`.
    """
    for index, step in enumerate(steps):
        _check_goal(located, ("steps", index, "goal"), step.goal, vocabulary)


def _check_goal(located: Located, at: Place, goal: Goal, vocabulary: Vocabulary) -> None:
    known = vocabulary
    lockouts = None if known.lockout_steps is None else {VERIFIED, OFF, *known.lockout_steps}
    for field, value, kind, names in (
        ("inspected", goal.inspected, "inspection", known.inspections),
        ("lockout", goal.lockout, "step of the lock-out", lockouts),
        ("taken", goal.taken, "action", known.actions),
        ("refused", goal.refused, "action", known.actions),
    ):
        if value is not None:
            _known(located, (*at, field), value, kind, names)
    for field, keys, kind, names in (
        ("signal", goal.signal or (), "signal", known.signals),
        ("state", goal.state or (), "machine", known.states),
        ("measure", goal.measure or (), "measure", known.measures),
    ):
        for key in keys:
            _known(located, (*at, field, key), key, kind, names, key=True)
    for machine, states in (goal.state or {}).items():
        if known.states is not None:
            for number, state in enumerate(states):
                if state not in known.states[machine]:
                    what = _NO_STATE(machine=machine, state=shown(state))
                    advice = nearest(state, known.states[machine])
                    refuse(located, (*at, "state", machine, number), what, advice)
    _check_settings(located, (*at, "setting"), goal.setting or {}, known)


def _check_settings(
    located: Located, at: Place, settings: dict[str, float | str | Limits], known: Vocabulary
) -> None:
    rules = known.set_points
    for point, target in settings.items():
        if rules is None:
            continue
        _known(located, (*at, point), point, "set point", rules, key=True)
        if isinstance(target, Limits):
            for limit in ("at_least", "at_most"):
                number = getattr(target, limit)
                if number is not None:
                    check_number(located, (*at, point, limit), rules[point], number)
        elif target != CARD and not (
            target == MEASURED and rules[point].kind is SettingKind.NUMBER
        ):
            check_setting(located, (*at, point), target, rules[point])


def _known(
    located: Located,
    place: Place,
    given: str,
    kind: str,
    names: Collection[str] | None,
    *,
    key: bool = False,
) -> None:
    if names is not None and given not in names:
        what = UNKNOWN(kind=kind, name=shown(given))
        refuse(located, place, what, nearest(given, names), key=key)
