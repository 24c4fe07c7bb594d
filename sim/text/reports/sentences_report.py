"""`drycycle sentences`: what coach, slips, hints, card, cautions and steps can say, when, and in every language."""

from typing import Final

from sim.authoring.said import KINDS, Said, sentences
from sim.errors import CommandError
from sim.scenario.nearest import nearest
from sim.text.page import put_line
from sim.text.tables import print_json
from sim.words.fields import name, part
from sim.words.message import row
from sim.words.reader import Reader, languages
from sim.words.speech import reader, tell

_WHEN: Final = row("sentences.when", "When: {when}", when=part())
_TOLD: Final = row("sentences.told", "{language}: {text}", language=name(), text=name())
_NO_KIND: Final = row("sentences.unknown", "there are no sentences of '{kind}'", kind=name())


def print_sentences(kind: str, *, as_json: bool) -> None:
    """Print what can be said, with its key, what sets it off, and its text in every language.

    Args:
        kind: One of `KINDS`; all when it is empty.
        as_json: Print JSON.

    Raises:
        CommandError: There is no such kind.
    """
    if kind and kind not in KINDS:
        raise CommandError(_NO_KIND(kind=kind), "sentences", nearest(kind, KINDS))
    found = sentences((kind,) if kind else KINDS)
    if as_json:
        print_json(
            [{"kind": s.kind, "key": s.key, "when": str(s.when), **in_languages(s)} for s in found]
        )
        return
    for said in found:
        put_line(reader().name(said.key))
        put_line("  " + tell(_WHEN(when=said.when)))
        for language, text in in_languages(said).items():
            put_line("  " + tell(_TOLD(language=language, text=text)))


def in_languages(said: Said) -> dict[str, str]:
    """Return the text of what is said by the code of each language; one and many with a stroke between them."""
    return {each: _text(said, Reader(each)) for each in languages()}


def _text(said: Said, who: Reader) -> str:
    if said.row is None:
        return who.authored(said.text)
    key, one, many = said.row.key, said.row.template, said.row.plural
    if not many:
        return who.phrase(key, one)
    return f"{who.plural(key, one, many, 1)} / {who.plural(key, one, many, 2)}"
