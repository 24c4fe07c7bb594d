"""A bar's section typed as a word: `round:60`, `square-tube:50x4`, `3*round:20`.

Goes through the same models as scenario files, so the same limits hold.
"""

import re
from typing import Final

from pydantic import TypeAdapter, ValidationError

from sim.errors import CommandError
from sim.scenario.nearest import nearest
from sim.scenario.stock import AnySection, StockFound
from sim.scenario.wording import told
from sim.trade.sections import Bar as BarSection
from sim.trade.sections import Bundle, Section
from sim.words.fields import name, part, parts
from sim.words.message import plain, row

SHAPES: Final[dict[str, tuple[str, ...]]] = {
    "round": ("diameter_mm",),
    "square": ("side_mm",),
    "rectangle": ("width_mm", "height_mm"),
    "round-tube": ("diameter_mm", "wall_mm"),
    "square-tube": ("side_mm", "wall_mm"),
    "rectangular-tube": ("width_mm", "height_mm", "wall_mm"),
    "angle": ("leg_mm", "thickness_mm"),
    "i-beam": ("height_mm", "width_mm", "web_mm", "flange_mm"),
}
_EXAMPLE: Final = plain("section.example", "write it like round:60, square-tube:50x4 or 3*round:20")
_POINT: Final = row("section.point", "write the decimals after a point, like {sizes}", sizes=name())
_COUNT: Final = row("section.count", "{count} is not a number of bars", count=name())
_SHAPE: Final = row("section.shape", "there is no section {shape}", shape=name())
_SIZES: Final = row("section.sizes", "{sizes} is not sizes in mm", sizes=name())
_TAKES: Final = row("section.takes", "{shape} takes {sizes}", shape=name(), sizes=parts(" x "))
_SIZE_OF: Final = row(
    "section.size-of", "{size} of {word}: {what}", size=part(), word=name(), what=part()
)
_OF: Final = row("section.of", "{word}: {what}", word=name(), what=part())
_DO: Final = row("section.do", "{to_do}; {example}", to_do=part(), example=part())
_SIZE_NAMES: Final = {
    field: plain(f"section.size.{field.removesuffix('_mm')}", field.removesuffix("_mm"))
    for field in dict.fromkeys(field for fields in SHAPES.values() for field in fields)
}
_BAR: Final[TypeAdapter[AnySection]] = TypeAdapter(AnySection)


def section_word(section: AnySection) -> str:
    """Return the word that describes a section as it stands in a file."""
    sizes = "x".join(f"{getattr(section, field):g}" for field in SHAPES[section.shape])
    return f"{section.shape}:{sizes}"


def section_from(word: str) -> Section:
    """Return the section that a word describes, sizes in mm.

    Raises:
        CommandError: No such shape, or sizes that make no bar.
    """
    count_word, star, one = word.partition("*")
    if not star:
        return _one(word)
    if not count_word.isdigit() or not 1 <= int(count_word) <= 20:
        raise CommandError(_COUNT(count=repr(count_word)), "section", _EXAMPLE)
    return Bundle(_one(one), int(count_word), 1)


def _number(text: str) -> float:
    number = float(text)
    return int(number) if number.is_integer() else number


def _one(word: str) -> BarSection:
    shape, _, sizes_word = word.partition(":")
    if shape not in SHAPES:
        raise CommandError(_SHAPE(shape=repr(shape)), "section", nearest(shape, SHAPES))
    names = SHAPES[shape]
    try:
        sizes = [_number(size) for size in sizes_word.split("x")]
    except ValueError:
        comma = re.fullmatch(r"[0-9.,x]*[0-9],[0-9][0-9.,x]*", sizes_word)
        to_do = _POINT(sizes=word.replace(",", ".")) if comma else _EXAMPLE
        raise CommandError(_SIZES(sizes=repr(sizes_word)), "section", to_do) from None
    if len(sizes) != len(names):
        wanted = tuple(_SIZE_NAMES[field] for field in names)
        raise CommandError(_TAKES(shape=shape, sizes=wanted), "section", _EXAMPLE)
    try:
        bar = _BAR.validate_python({"shape": shape, **dict(zip(names, sizes, strict=True))})
    except ValidationError as fault:
        first = fault.errors(include_url=False)[0]
        field = str(first["loc"][-1]) if first["loc"] else ""
        what, what_to_do = told(first, StockFound)
        said = (
            _SIZE_OF(size=_SIZE_NAMES[field], word=word, what=what)
            if field in names
            else _OF(word=word, what=what)
        )
        raise CommandError(said, "section", _DO(to_do=what_to_do, example=_EXAMPLE)) from None
    return bar.to_section()
