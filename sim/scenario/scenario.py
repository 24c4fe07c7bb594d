"""What a scenario file may say: stock, job, the state the machine is found in, hidden faults, words.

The file's names are these models' names, so the schema, the error messages and the code cannot
drift apart. Shop units, each in its field's name. What the names within a file stand for (set
points, faults, inspections, metals, machines) is checked against a `Vocabulary` that the caller
brings, since those tables belong to the saw and to the faults.

Never here: YAML, and what happens when the scenario is run.
"""

import hashlib
from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Any, Final, Literal, Self

from pydantic import AfterValidator, BaseModel, BeforeValidator, Field, PrivateAttr, model_validator

from sim.errors import CommandError
from sim.plant.machine import Machine
from sim.scenario.file_text import octets
from sim.scenario.gate import load
from sim.scenario.reading import PLAIN, model_from
from sim.scenario.reported import Reported
from sim.scenario.second_does import does_from
from sim.scenario.slips.expected import Expected
from sim.scenario.steps import Name, Step, check_step_names
from sim.scenario.stock import StockFound
from sim.scenario.vocabulary import Vocabulary, check_names
from sim.scenario.wording import wrong
from sim.words.fields import name, number, one_of
from sim.words.message import plain, row

_NO_VALUE: Final = row(
    "scenario.no-value",
    "a number, true, false or a text was expected, and {found} was found",
    found=one_of("nothing", "a list", "a mapping"),
)
_WHOLE_NAME: Final = plain(
    "scenario.whole-name",
    "write the set point's whole name with its dots, such as head.feed_valve_mm_min: 40",
)
_ONE_VALUE: Final = plain("scenario.one-value", "give one value")
_ALL_OR_LIST: Final = plain("scenario.all-or-list", "all or a list of inspections was expected")
_ALL_OR_LIST_DO: Final = plain("scenario.all-or-list.do", "write all, or a list of names")
_INSPECTION: Final = plain("scenario.inspection", "the name of an inspection was expected")
_INSPECTION_DO: Final = plain("scenario.inspection.do", "write its name")
_TWO_BEGINS: Final = row(
    "scenario.two-begins",
    "{one} and {other} both say when it sets in",
    one=name(), other=name(),
)  # fmt: skip
_KEEP_ONE: Final = plain("scenario.keep-one", "keep one")
_LONG_PIECE: Final = row(
    "scenario.long-piece",
    "a piece of {piece} mm is longer than the bar, {bar} mm",
    piece=name(), bar=name(),
)  # fmt: skip
_NEVER_CUT: Final = row(
    "scenario.never-cut",
    "piece {piece} is never cut, the job wants {wanted}",
    piece=number(), wanted=number(),
)  # fmt: skip
_AT_MOST: Final = row("scenario.at-most", "give at most {limit}", limit=name())
_HIDDEN_TWICE: Final = row("scenario.hidden-twice", "{fault} is hidden twice", fault=name())
_NO_STEPS: Final = row(
    "scenario.no-steps",
    "a {mode} has no steps",
    mode=one_of("practice", "drill", "assessment"),
)
_MODE_LESSON: Final = plain("scenario.no-steps.do", "write mode: lesson")
_LESSON_STEPS: Final = plain("scenario.lesson-steps", "a lesson has steps, and none was found")
_ADD_STEPS: Final = plain("scenario.lesson-steps.do", "add steps:")
_FOUND_TWICE: Final = row(
    "scenario.findings.twice", "{cause} is among the findings twice", cause=name()
)
_TOO_FEW_CAUSES: Final = row(
    "scenario.findings.few",
    "{draw} are to be drawn, and there are {there} to draw from; of those that stop the shift one is drawn at the most",
    draw=number(), there=number(),
)  # fmt: skip
_MORE_CAUSES: Final = plain("scenario.findings.few.do", "name more causes, or draw fewer")
_FINDINGS_MODE: Final = plain(
    "scenario.findings.mode", "findings are drawn in practice only, with no faults beside them"
)
_FINDINGS_DO: Final = plain(
    "scenario.findings.mode.do", "write mode: practice, and take out faults, or take out findings"
)
_OLD_BAR: Final = plain(
    "scenario.old-bar", "the bar of an order before lies on the saw in a lesson only"
)
_OLD_BAR_DO: Final = plain("scenario.old-bar.do", "write mode: lesson, or take out old_bar")

_LongText = Annotated[str, Field(max_length=4_000)]
_DottedName = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*(\.[a-z][a-z0-9_]*)*$", max_length=60)]


def _one_value(value: Any) -> Any:
    if isinstance(value, bool | int | float | str):
        return value
    kind = "nothing" if value is None else "a list" if isinstance(value, list) else "a mapping"
    raise wrong(_NO_VALUE(found=kind), _WHOLE_NAME if isinstance(value, dict) else _ONE_VALUE)


def _all_or_names(value: Any) -> Any:
    if value == "all":
        return value
    if not isinstance(value, list):
        raise wrong(_ALL_OR_LIST, _ALL_OR_LIST_DO)
    for index, look in enumerate(value):
        if not isinstance(look, str) or not look:
            raise wrong(_INSPECTION, _INSPECTION_DO, (index,))
    return tuple(value)


def _as_tuple(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value


_Causes = Annotated[tuple[Name, ...], BeforeValidator(_as_tuple)]
_FoundAt = Annotated[bool | int | float | str, BeforeValidator(_one_value)]


class JobWanted(BaseModel):
    """What is to be cut."""

    model_config = PLAIN
    length_mm: float = Field(ge=1, le=12_000, description="Length of a piece.")
    wanted: int = Field(
        ge=1, le=500, description="How many good pieces; of a bundle, how many cuts."
    )
    strokes: int = Field(default=1, ge=1, le=20, description="Shuttle strokes for one piece.")
    mitre_deg: float = Field(default=0.0, ge=0, le=60, description="Angle from the square cut.")
    first: Literal["square", "straight"] = Field(
        default="square",
        description="square: an uncounted cut squares the end first. straight: it begins with a piece.",
    )
    tolerance_mm: float = Field(
        default=0.3, ge=0.01, le=50, description="A piece is good within plus or minus this."
    )


class Trigger(BaseModel):
    """A condition on the machine: a wire that goes live or dead."""

    model_config = PLAIN
    signal: Name = Field(description="A device, such as B12.")
    goes: Literal["live", "dead"] = Field(default="live", description="What its wire must do.")
    times: int = Field(default=1, ge=1, le=10_000, description="At which such change it sets in.")


class Intermittent(BaseModel):
    """A fault that comes and goes: once in every period, for a share of it, at a random time in it."""

    model_config = PLAIN
    period_s: float = Field(ge=0.1, le=3_600, description="It comes once in every such period.")
    share: float = Field(ge=0.001, le=0.999, description="Part of a period for which it is there.")
    seed: int = Field(default=1, ge=0, le=2**31, description="Another seed, other times.")


class HiddenFault(BaseModel):
    """A fault that is hidden in the machine, from the start or from a time, a count or an event."""

    model_config = PLAIN
    _put_in: bool = PrivateAttr(default=False)
    name: Name = Field(description="A name from the catalogue of faults.")
    from_s: float = Field(
        default=0.0, ge=0, le=86_400, description="Seconds after the start at which it sets in."
    )
    from_piece: int | None = Field(
        default=None,
        ge=2,
        le=500,
        description="It sets in when the piece before this one has been cut; from 2.",
    )
    when: Trigger | None = Field(default=None, description="It sets in at a change on the machine.")
    intermittent: Intermittent | None = Field(
        default=None, description="From then on it comes and goes."
    )

    @property
    def from_the_start(self) -> bool:
        """Whether the machine is found with it, for good."""
        return not (self.from_s or self.from_piece or self.when or self.intermittent)

    @property
    def put_in(self) -> bool:
        """Whether an instructor put it in: the operator, who came before, ran the machine without it."""
        return self._put_in

    def as_put_in(self) -> Self:
        """Return it as one that an instructor put in."""
        fault = self.model_copy()
        fault._put_in = True
        return fault

    @model_validator(mode="after")
    def _begins_once(self) -> Self:
        begins = {"from_s": self.from_s, "from_piece": self.from_piece, "when": self.when}
        said = [field for field, value in begins.items() if value]
        if len(said) > 1:
            raise wrong(_TWO_BEGINS(one=said[0], other=said[1]), _KEEP_ONE, (said[1],))
        return self


def _done_by_him(text: str) -> str:
    try:
        does_from(text)
    except CommandError as fault:
        raise wrong(fault.what, fault.what_to_do) from None
    return text


class Second(BaseModel):
    """Somebody else at the saw, with locks of his own."""

    model_config = PLAIN
    name: str = Field(min_length=1, max_length=40, description="What he is called.")
    locks: Annotated[tuple[Literal["isolator", "air cock"], ...], BeforeValidator(_as_tuple)] = (
        Field(
            default=("isolator", "air cock"),
            max_length=2,
            description="Where he hangs a padlock once he is told of a lock-out.",
        )
    )
    away: bool = Field(
        default=False, description="Whether he is away, so that no padlock of his comes off."
    )
    does: Annotated[
        tuple[Annotated[str, AfterValidator(_done_by_him)], ...], BeforeValidator(_as_tuple)
    ] = Field(
        default=(),
        max_length=20,
        description="What he does at the saw, such as: press head.lower in 90 (seconds from the start).",
    )


class Findings(BaseModel):
    """What a round at the start of the shift may come upon: some of these causes, others each day."""

    model_config = PLAIN
    draw: int = Field(ge=1, le=5, description="How many of them are there on one morning.")
    day: int = Field(
        default=0, ge=0, le=2**31, description="The morning; 0 draws another in every session."
    )
    fit: _Causes = Field(
        default=(),
        max_length=40,
        description="What the operator puts right, and then the saw is fit.",
    )
    goes_on: _Causes = Field(
        default=(), max_length=40, description="What is reported, and work goes on."
    )
    stops: _Causes = Field(
        default=(),
        max_length=40,
        description="What is reported, and the saw stands until it is mended.",
    )

    @property
    def pools(self) -> dict[str, tuple[str, ...]]:
        """The causes by the class of what is to be done, as the file has them."""
        return {"fit": self.fit, "goes_on": self.goes_on, "stops": self.stops}

    @model_validator(mode="after")
    def _each_once_and_enough(self) -> Self:
        seen: set[str] = set()
        for pool, names in self.pools.items():
            for index, each in enumerate(names):
                if each in seen:
                    raise wrong(_FOUND_TWICE(cause=each), _KEEP_ONE, (pool, index))
                seen.add(each)
        there = len(self.fit) + len(self.goes_on) + min(len(self.stops), 1)
        if self.draw > there:
            raise wrong(_TOO_FEW_CAUSES(draw=self.draw, there=there), _MORE_CAUSES, ("draw",))
        return self


class Scenario(BaseModel):
    """One scenario file."""

    model_config = PLAIN
    _folder: Path | None = PrivateAttr(default=None)
    _built: Machine | None = PrivateAttr(default=None)
    title: str = Field(min_length=1, max_length=80, description="What a person picks from.")
    summary: str = Field(default="", max_length=300, description="One sentence.")
    mode: Literal["practice", "drill", "lesson", "assessment"]
    level: Annotated[int, Field(ge=1, le=3)] = 1
    skills: tuple[Name, ...] = Field(default=(), max_length=20, description="What it trains.")
    brief: _LongText = Field(default="", description="What the trainee is told.")
    report: _LongText = Field(default="", description="What the operator reports, in a drill.")
    reported: Reported | None = Field(
        default=None, description="The same as data: what he saw, field by field."
    )
    machine: Name = Field(
        default="harbour-saw",
        description="A machine that ships, or one's own: my-saw is machines/my-saw.yaml beside the file.",
    )
    role: Literal["operator", "authorised", "qualified"] = Field(
        default="authorised",
        description="What the person at the saw may do: run it, lock it out, work on its wiring.",
    )
    second_person: Second | None = Field(default=None, description="Who else is at the saw.")
    stock: StockFound
    old_bar: StockFound | None = Field(
        default=None,
        description="What is left of the order before and lies on the saw when it is found; the stock is loaded.",
    )
    job: JobWanted
    found: dict[_DottedName, _FoundAt] = Field(
        default_factory=dict,
        description="Set points that differ from the set-up card when the machine is found.",
    )
    ready: bool = Field(
        default=True, description="Whether the machine is found set up from the set-up card."
    )
    head_down: bool = Field(
        default=False,
        description="Whether the head was left down, on a saw whose head holds without power too.",
    )
    faults: tuple[HiddenFault, ...] = Field(default=(), max_length=10)
    findings: Findings | None = Field(
        default=None, description="What a round at the start of the shift may come upon."
    )
    inspections: Annotated[Literal["all"] | tuple[Name, ...], BeforeValidator(_all_or_names)] = (
        Field(default="all", description="The inspections that are allowed, or all.")
    )
    ambiguous_with: tuple[Name, ...] = Field(
        default=(),
        max_length=10,
        description="Faults that the allowed inspections cannot tell from the hidden ones.",
    )
    steps: tuple[Step, ...] = Field(
        default=(), max_length=30, description="The steps of a lesson, in order."
    )
    teaches: _LongText = Field(default="", description="What the debrief says.")

    def __eq__(self, other: object) -> bool:
        """Return whether both say the same, wherever their files lie."""
        return isinstance(other, Scenario) and self.__dict__ == other.__dict__

    __hash__ = None  # type: ignore[assignment]  # it never had one: a scenario holds a mapping

    @property
    def folder(self) -> Path | None:
        """The folder that the file is or was in, beside which a site keeps its own machines."""
        return self._folder

    @property
    def built(self) -> Machine | None:
        """The machine as it was when the scenario was opened; None for what its file says now."""
        return self._built

    @property
    def proves_face(self) -> bool:
        """Whether a good piece proves the saw sound only by its face too: crooked faces were reported."""
        return self.reported is not None and self.reported.face == "crooked"

    def sound(self) -> Self:
        """Return the scenario with nothing wrong in the saw, hidden or to be found."""
        return self.model_copy(update={"faults": (), "findings": None})

    def built_as(self, machine: Machine) -> Self:
        """Return the scenario on a machine as it is or was, whatever its file says later."""
        scenario = self.model_copy()
        scenario._built = machine
        return scenario

    @model_validator(mode="after")
    def _agrees_with_itself(self) -> Self:
        if self.job.length_mm > self.stock.length_mm:
            bar = f"{self.stock.length_mm:g}"
            what = _LONG_PIECE(piece=f"{self.job.length_mm:g}", bar=bar)
            raise wrong(what, _AT_MOST(limit=bar), ("job", "length_mm"))
        for index, fault in enumerate(self.faults):
            if fault.from_piece is not None and fault.from_piece > self.job.wanted:
                what = _NEVER_CUT(piece=fault.from_piece, wanted=self.job.wanted)
                advice = _AT_MOST(limit=str(self.job.wanted))
                raise wrong(what, advice, ("faults", index, "from_piece"))
        names = [fault.name for fault in self.faults]
        for index, hidden in enumerate(names):
            if hidden in names[:index]:
                raise wrong(_HIDDEN_TWICE(fault=hidden), _KEEP_ONE, ("faults", index, "name"))
        if self.steps and self.mode != "lesson":
            raise wrong(_NO_STEPS(mode=self.mode), _MODE_LESSON, ("mode",))
        if self.old_bar is not None and self.mode != "lesson":
            raise wrong(_OLD_BAR, _OLD_BAR_DO, ("old_bar",))
        if self.findings is not None and (self.mode != "practice" or self.faults):
            where = "mode" if self.mode != "practice" else "faults"
            raise wrong(_FINDINGS_MODE, _FINDINGS_DO, (where,))
        if self.mode == "lesson" and not self.steps:
            raise wrong(_LESSON_STEPS, _ADD_STEPS, ("mode",))
        return self


def read_scenario(
    path: Path,
    vocabulary_for: Callable[[Scenario], Vocabulary] | None = None,
    content: bytes | None = None,
) -> Scenario:
    """Return the scenario that a file holds.

    Args:
        path: The file.
        vocabulary_for: Called with the scenario as far as it is read, returns the names it may
            use on its machine; without it, names are taken as they stand.
        content: What the file holds, where it need not be there any more.

    Raises:
        ScenarioError: The file is refused; `where` is `path:line:column`.
    """
    located = load(path, content, Expected(Scenario))
    scenario = model_from(located, Scenario)
    if vocabulary_for is not None:
        vocabulary = vocabulary_for(scenario)
        check_names(located, scenario, vocabulary)
        check_step_names(located, scenario.steps, vocabulary)
    scenario._folder = path.parent
    return scenario


def digest(path: Path) -> str:
    """Return the SHA-256 of a file's bytes in hexadecimal, which a record carries.

    Raises:
        ScenarioError: The file cannot be read.
    """
    return hashlib.sha256(octets(path)).hexdigest()
