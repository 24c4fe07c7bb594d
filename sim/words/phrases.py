"""Reads a list of translated phrases (a gettext .po file) and speaks it through gettext.

The file is compiled in memory into gettext's own binary form when it is read, so that there is one
file to keep and no build step. A phrase with a context (`msgctxt`) or a plural (`msgid_plural`,
`msgstr[0]`, `msgstr[1]`) is kept under the key that gettext itself gives it.
"""

import re
from ast import literal_eval
from gettext import GNUTranslations
from io import BytesIO
from pathlib import Path
from struct import pack
from typing import Final

from sim.bugs import TableError

_MAGIC: Final = 0x950412DE  # of a .mo file, little endian
_HEADER_BYTES: Final = 7 * 4
_LINE: Final = re.compile(r'(msgctxt|msgid_plural|msgid|msgstr(?:\[\d\])?)?\s*(".*")')
CONTEXT: Final = "\4"
_END: Final = "\0"


def read_phrases(path: Path) -> dict[str, str]:
    """Return the phrases of a .po file, English to translated, with the header under the empty one.

    Raises:
        TableError: A line is not understood, or a phrase stands there twice.
    """
    return read_entries(path.read_text(encoding="utf-8"), str(path))


def read_entries(text: str, where: str) -> dict[str, str]:
    """Return the phrases of the text of a .po file, as `read_phrases` does.

    Args:
        text: What stands in the file, or in a part of it.
        where: Names the file in an error.

    Raises:
        TableError: A line is not understood, or a phrase stands there twice.
    """
    phrases: dict[str, str] = {}
    entry: dict[str, str] = {}
    part = ""
    for number, raw in enumerate(text.splitlines(), 1):
        line = raw.strip()
        if not line or line.startswith("#"):
            continue
        found = _LINE.fullmatch(line)
        if found is None:
            raise TableError("this line is no phrase", f"{where}:{number}")
        if found[1]:
            part = found[1]
            if part == "msgctxt" or (part == "msgid" and "msgid" in entry):
                _keep(entry, phrases, where)
                entry = {}
        entry[part] = entry.get(part, "") + _unquoted(found[2])
    _keep(entry, phrases, where)
    return phrases


def _unquoted(quoted: str) -> str:
    """Return what stands in quotes; most of it has nothing to unescape, and there are thousands."""
    bare = quoted[1:-1]
    return str(literal_eval(quoted)) if "\\" in bare or '"' in bare else bare


def _keep(entry: dict[str, str], phrases: dict[str, str], where: str) -> None:
    """Put an entry that has been read among the phrases, under gettext's key for it."""
    if "msgid" not in entry:
        return
    key = f"{entry['msgctxt']}{CONTEXT}" if "msgctxt" in entry else ""
    key += entry["msgid"]
    if "msgid_plural" in entry:
        key += f"{_END}{entry['msgid_plural']}"
    if key and key in phrases:
        raise TableError(f"the phrase {key!r} stands twice", where)
    phrases[key] = _END.join(said for part, said in entry.items() if part.startswith("msgstr"))


def translations(phrases: dict[str, str]) -> GNUTranslations:
    """Return gettext's translations of phrases; those that are not translated yet are left out."""
    done = sorted((k.encode(), v.encode()) for k, v in phrases.items() if v)
    ids = b"".join(key + b"\0" for key, _ in done)
    texts = b"".join(value + b"\0" for _, value in done)
    at_ids = _HEADER_BYTES + 16 * len(done)
    at_texts = at_ids + len(ids)
    table_ids, table_texts, at_id, at_text = b"", b"", at_ids, at_texts
    for key, value in done:
        table_ids += pack("<II", len(key), at_id)
        table_texts += pack("<II", len(value), at_text)
        at_id += len(key) + 1
        at_text += len(value) + 1
    tables = _HEADER_BYTES, _HEADER_BYTES + 8 * len(done)
    head = pack("<7I", _MAGIC, 0, len(done), *tables, 0, 0)
    return GNUTranslations(BytesIO(head + table_ids + table_texts + ids + texts))
