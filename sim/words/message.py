"""A message is a value: a row (key, template, typed fields) and what its fields hold this time.

Layers below the edge make messages, keep them and compare them by key; they never read or join
finished text. Text is made at the edge, by `speech.tell`, in the reader's language and units.

    TRULY = row("cut.piece.truly", "In truth {length}.", length=mm(2))
    TRULY(length=0.22985)       # a Message; str() of it is its English: "In truth 229.85 mm."

A row is written once, beside the code that says it, and is known to `ROWS` by its key from then on.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from string import Formatter
from typing import Final

from sim.bugs import TableError
from sim.words.fields import Field, Quantity, Value, authored, name, part, parts
from sim.words.reader import ENGLISH, Reader

__all__ = [
    "NOTHING", "ROWS", "Message", "Row", "named", "plain", "quoted", "row", "sentences",
]  # fmt: skip

ROWS: Final[dict[str, "Row"]] = {}
"""Every row by its key."""


@dataclass(frozen=True, slots=True, eq=False)
class Row:
    """One thing that the program can say.

    Args:
        key: Names it for ever, in records and in the list of what is untranslated: `wing.thing.case`.
        template: Its English, with the fields in braces.
        fields: What each field holds, and in which unit.
        plural: The English where the field `count` is not one; empty where there is no such field.
    """

    key: str
    template: str
    fields: Mapping[str, Field]
    plural: str = ""

    def __call__(self, **values: Value) -> "Message":
        """Return the message with these values.

        Raises:
            TableError: A field is missing, is not one of the row's, or has a value of another type.
        """
        if values.keys() != self.fields.keys():
            raise TableError(f"{self.key} has the fields {[*self.fields]}, not {[*values]}")
        for field, value in values.items():
            if not self.fields[field].takes(value):
                raise TableError(f"{self.key} does not take {value!r} as its {field}")
        return Message(self, tuple([(name, values[name]) for name in self.fields]))

    def __reduce__(self) -> tuple[object, tuple[str]]:
        return _row_of, (self.key,)


@dataclass(frozen=True, slots=True)
class Message:
    """Something said, as a value."""

    row: Row
    values: tuple[tuple[str, Value], ...] = ()

    @property
    def key(self) -> str:
        """The key of its row."""
        return self.row.key

    def __bool__(self) -> bool:
        return self is not NOTHING and bool(self.row.template)

    def __str__(self) -> str:
        return self.tell(ENGLISH)

    def __getitem__(self, field: str) -> Value:
        """Return what a field holds."""
        return dict(self.values)[field]

    def tell(self, reader: Reader) -> str:
        """Return it as text for a reader."""
        said = self.row.template
        if self.row.plural:
            count = self["count"]
            assert isinstance(count, int)
            said = reader.plural(self.key, said, self.row.plural, count)
        else:
            said = reader.phrase(self.key, said)
        fields = self.row.fields
        return said.format(**{k: fields[k].tell(v, reader, self.key) for k, v in self.values})

    def rounded(self) -> "Message":
        """Return the message with every quantity as it is told, so that what reads alike is equal."""
        fields, values = self.row.fields, self.values
        if not values:
            return self
        # Most hold no number, and are told so often that each is gone through but once.
        told = [(k, v if type(v) is str else _rounded(fields[k], v)) for k, v in values]
        same = all(new[1] is old[1] for new, old in zip(told, values, strict=True))
        return self if same else Message(self.row, tuple(told))

    def plain(self) -> dict[str, object]:
        """Return it as JSON has it: the key, and the fields where there are any."""
        told: dict[str, object] = {"key": self.key}
        if self.values:
            told["fields"] = {field: _plain(value) for field, value in self.values}
        return told


def row(key: str, template: str, *, plural: str = "", **fields: Field) -> Row:
    """Write a row down.

    Raises:
        TableError: The key is taken, or the template's gaps are not the fields.
    """
    if key in ROWS:
        raise TableError(f"there are two messages with the key {key}")
    for text in (template, plural) if plural else (template,):
        gaps = {gap for _, gap, _, _ in Formatter().parse(text) if gap is not None}
        if not gaps <= fields.keys() or (text is template and not plural and gaps != fields.keys()):
            raise TableError(f"{key} has the gaps {sorted(gaps)} and the fields {sorted(fields)}")
    if plural and "count" not in fields:
        raise TableError(f"{key} has a plural and no field called count")
    ROWS[key] = Row(key, template, fields, plural)
    return ROWS[key]


def plain(key: str, text: str) -> Message:
    """Write a row without fields down, and return the one message that it makes."""
    return row(key, text.replace("{", "{{").replace("}", "}}"))()


NOTHING: Final = Message(Row("", "", {}))
"""What is said where nothing is: false, and empty as text."""

_QUOTED: Final = row("words.quoted", "{text}", text=authored())
_NAMED: Final = row("words.named", "{text}", text=name())
_SENTENCE: Final = row("words.sentence", "{clause}.", clause=part(capital=True))
_SENTENCES: Final = row("words.sentences", "{said}", said=parts(" "))


def quoted(text: str) -> Message:
    """Return what the author of a scenario or a person at the saw wrote, as a message."""
    return _QUOTED(text=text)


def named(text: str) -> Message:
    """Return a tag, a key or another name that no language changes, as a message."""
    return _NAMED(text=text)


def sentence(clause: Message) -> Message:
    """Return a clause as a sentence: with a capital and a full stop."""
    return _SENTENCE(clause=clause)


def sentences(*said: Message) -> Message:
    """Return sentences one after the other; those that say nothing are left out."""
    kept = tuple(each for each in said if each)
    return kept[0] if len(kept) == 1 else _SENTENCES(said=kept) if kept else NOTHING


def from_plain(told: object) -> Message:
    """Return the message that `Message.plain` wrote.

    Raises:
        TableError: It is no message, or none that this version knows.
    """
    if not isinstance(told, Mapping) or told.get("key") not in ROWS:
        raise TableError(f"there is no message {told!r}")
    fields = told.get("fields", {})
    if not isinstance(fields, Mapping):
        raise TableError(f"the fields of {told!r} are no mapping")
    return ROWS[str(told["key"])](**{str(k): _from_plain(v) for k, v in fields.items()})


def _rounded(field: Field, value: Value) -> Value:
    if isinstance(value, str):
        return value
    if isinstance(value, Message):
        return value.rounded()
    if isinstance(value, tuple):
        told = [each.rounded() if isinstance(each, Message) else each for each in value]
        same = all(new is old for new, old in zip(told, value, strict=True))
        return value if same else tuple(told)
    if isinstance(field, Quantity) and isinstance(value, int | float):
        return field.rounded(value)
    return value


def _plain(value: Value) -> object:
    if isinstance(value, Message):
        return value.plain()
    return [_plain(each) for each in value] if isinstance(value, tuple) else value


def _from_plain(value: object) -> Value:
    if isinstance(value, Mapping):
        return from_plain(value)
    if isinstance(value, Sequence) and not isinstance(value, str):
        return tuple(from_plain(each) for each in value)
    if not isinstance(value, str | int | float):
        raise TableError(f"a message holds no {value!r}")
    return value


def _row_of(key: str) -> Row:
    return ROWS[key] if key else NOTHING.row
