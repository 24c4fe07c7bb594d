"""What the operator reports of the saw, as data beside his words: the first evidence there is.

A field that is not mentioned is no evidence. One that is named under `mistaken` is the operator's
error: he says it, and the machine does not bear it out.

Never here: which causes would show what is reported (see `sim.diagnosis.account`).
"""

from collections.abc import Collection
from typing import Annotated, Any, Final, Literal, Self

from pydantic import AfterValidator, BaseModel, BeforeValidator, Field, model_validator

from sim.control.actions import BY_NAME as ACTIONS
from sim.control.lamps import LAMPS
from sim.control.table import CYCLE
from sim.plant.harm.kinds import KINDS as HARMS
from sim.scenario.nearest import nearest
from sim.scenario.reading import PLAIN
from sim.scenario.steps import Name
from sim.scenario.wording import wrong
from sim.words.fields import name, one_of, part
from sim.words.message import plain, row

_UNKNOWN: Final = row(
    "reported.unknown", "there is no {kind} {name}",
    kind=one_of("lamp", "key", "step of the job", "harm"), name=name(),
)  # fmt: skip
_OR_LIST: Final = row(
    "reported.unknown.do",
    "{nearest}; drycycle list {names} tells all",
    nearest=part(),
    names=name(),
)
_NOT_SAID: Final = row(
    "reported.mistaken.not-said", "{field} is mistaken and is not reported", field=name()
)
_SAY_IT: Final = plain(
    "reported.mistaken.do", "report it as he says it, or take it out of mistaken"
)
_NOT_TRIED: Final = plain(
    "reported.tried.missing", "by hand nothing was tried, so there is nothing to report"
)
_TRY: Final = plain("reported.tried.do", "add tried: with the keys in their order")
_NO_LENGTH: Final = plain("reported.length.nothing", "it says nothing of the length")
_SAY_LENGTH: Final = plain(
    "reported.length.do", "write all_are: short, or off_mm: with a number of millimetres"
)
NO_START: Final = "no start"
_NO_FIELD: Final = ("ran", "tried", "mistaken")  # how he ran it, and where he errs
_OF_PIECES: Final = ("counted", "fell", "length", "face", "gapes", "lean_mm")


def _known(kind: str, names: Collection[str], listed: str) -> AfterValidator:
    def known(given: str) -> str:
        if given not in names:
            to_do = _OR_LIST(nearest=nearest(given, names), names=listed)
            raise wrong(_UNKNOWN(kind=kind, name=given), to_do)
        return given

    return AfterValidator(known)


def _as_tuple(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value


def _offered(names: Collection[str]) -> Any:
    """Return what has an editor offer the names."""
    enum: list[Any] = sorted(names)
    return Field(json_schema_extra={"enum": enum})


YELLOW: Final = {lamp.name: lamp for lamp in LAMPS if lamp.colour == "yellow"}
STEPS: Final = (NO_START, *CYCLE.states)
_Key = Annotated[Name, _known("key", ACTIONS, "keys"), _offered(ACTIONS)]
_Lamp = Annotated[Name, _known("lamp", YELLOW, "lamps"), _offered(YELLOW)]
_Harm = Annotated[Name, _known("harm", HARMS, "harms"), _offered(HARMS)]
_Step = Annotated[Name, _known("step of the job", STEPS, "steps"), _offered(STEPS)]


class Length(BaseModel):
    """How the pieces that fell differ from the length that is wanted, in his words or in figures."""

    model_config = PLAIN
    all_are: Literal["right", "short", "long", "uneven"] | None = Field(
        default=None, description="All alike and right, short or long; or not alike."
    )
    off_mm: float | None = Field(
        default=None, ge=-500, le=500, description="Their mean, less what is wanted."
    )
    spread_mm: float | None = Field(
        default=None, ge=0, le=500, description="The longest less the shortest."
    )

    @model_validator(mode="after")
    def _says_something(self) -> Self:
        if (self.all_are, self.off_mm, self.spread_mm) == (None, None, None):
            raise wrong(_NO_LENGTH, _SAY_LENGTH)
        return self


class Reported(BaseModel):
    """What an operator saw and says; every field but `ran` may be left out."""

    model_config = PLAIN
    ran: Literal["the job", "power up", "by hand"] = Field(
        default="the job", description="How far he went."
    )
    tried: Annotated[tuple[_Key, ...], BeforeValidator(_as_tuple)] = Field(
        default=(), max_length=10, description="The keys that he held by hand, in their order."
    )
    control: Literal["on", "refused", "dropped", "dark"] | None = Field(
        default=None,
        description="Control at the end: on, refused when asked for, dropped out, or all dark.",
    )
    stands_at: _Step | None = Field(
        default=None, description=f"The step at which the job stands, or {NO_START}."
    )
    counted: int | None = Field(default=None, ge=0, le=500, description="On the job's counter.")
    fell: int | None = Field(default=None, ge=0, le=500, description="Pieces and ends that fell.")
    length: Length | None = Field(default=None, description="How long the pieces are that fell.")
    face: Literal["square", "crooked", "dented"] | None = Field(
        default=None, description="How the cut ends look."
    )
    gapes: Literal["down", "across"] | None = Field(
        default=None,
        description="Which way the worst face runs off: down it, from top to bottom, or across it.",
    )
    lean_mm: float | None = Field(
        default=None, ge=0, le=50,
        description="By how much the worst face leans, over the height of the bar.",
    )  # fmt: skip
    head: Literal["up", "low", "down"] | None = Field(
        default=None,
        description="Where the head stands at the end: up as it should, not so high, or where it lay.",
    )
    lamps: Annotated[tuple[_Lamp, ...], BeforeValidator(_as_tuple)] | None = Field(
        default=None, max_length=10, description="Yellow lamps that were lit; [] for none."
    )
    refused: Annotated[tuple[_Key, ...], BeforeValidator(_as_tuple)] | None = Field(
        default=None, max_length=10, description="Keys that were refused; [] for none."
    )
    noise: Literal["hums", "none"] | None = Field(default=None, description="Of the motors.")
    floor: Literal["wet", "dry"] | None = Field(default=None, description="Round the saw's base.")
    took: Literal["long", "as usual"] | None = Field(
        default=None, description="The whole run, against the time that a sound saw takes."
    )
    harm: Annotated[tuple[_Harm, ...], BeforeValidator(_as_tuple)] | None = Field(
        default=None, max_length=10, description="What came to harm; [] for nothing."
    )
    mistaken: Annotated[tuple[Name, ...], BeforeValidator(_as_tuple)] = Field(
        default=(), max_length=10, description="The fields in which he errs."
    )

    @property
    def borne_out(self) -> tuple[str, ...]:
        """The names of the fields that are evidence, in the order of the model."""
        return tuple(name for name in self._told() if name not in self.mistaken)

    @property
    def of_pieces(self) -> bool:
        """Whether he ran the job and speaks of what was cut: those pieces lie there for the trainee."""
        return self.ran == "the job" and not set(_OF_PIECES).isdisjoint(self._told())

    def _told(self) -> tuple[str, ...]:
        named = (name for name in Reported.model_fields if name not in _NO_FIELD)
        return tuple(name for name in named if getattr(self, name) is not None)

    @model_validator(mode="after")
    def _agrees_with_itself(self) -> Self:
        told = self._told()
        for index, field in enumerate(self.mistaken):
            if field not in told:
                to_do = _SAY_IT if field in Reported.model_fields else nearest(field, told)
                raise wrong(_NOT_SAID(field=field), to_do, ("mistaken", index))
        if self.ran == "by hand" and not self.tried:
            raise wrong(_NOT_TRIED, _TRY, ("ran",))
        return self
