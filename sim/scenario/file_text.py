"""The text of a file that is there, small enough, in UTF-8, and that any screen can show.

Never here: YAML.
"""

import codecs
import re
from pathlib import Path
from typing import Final, NoReturn

from sim.errors import ScenarioError, reason
from sim.records.regular import no_file, reading
from sim.scenario.located import Spot, where
from sim.scenario.scalars import TAKE_OUT, UNSHOWABLE
from sim.words.fields import name, number, part
from sim.words.message import Message, plain, row

LARGEST_BYTES: Final = 256 * 1024

_LINE_ENDS: Final = re.compile("\r\n?")
_WIDE: Final = re.compile(rb"(?:[\x09-\x7e]\0){4}|(?:\0[\x09-\x7e]){4}")
_DOCUMENTS: Final = (
    b"PK\x03\x04",
    b"{\\rtf",
    b"%PDF",
    b"\xd0\xcf\x11\xe0",
    b"\x7fELF",
    b"\x89PNG",
    b"GIF8",
    b"\xff\xd8\xff",
    b"\x1f\x8b",
)
_UNFIT: Final = re.compile(f"\t|{UNSHOWABLE.pattern}")

START_FROM_SHIPPED: Final = plain("gate.start-from-shipped", "start from one of the shipped files")
_LARGE: Final = row(
    "gate.large",
    "the file is {size} bytes, and no scenario needs more than {most}",
    size=number(), most=number(),
)  # fmt: skip
_MEANT: Final = plain("gate.large.do", "check that this is the file you mean")
_GONE: Final = plain("gate.gone", "there is no such file")
_CHECK_NAME: Final = plain("gate.gone.do", "check the name and the folder")
_UNREAD: Final = row("gate.unread", "the file cannot be read: {reason}", reason=part())
_MAY: Final = plain("gate.unread.do", "check that you may read it")
_EMPTY: Final = plain("gate.empty", "the file is empty")
_NOT_UTF_8: Final = row("gate.not-utf-8", "the byte {byte} is not UTF-8 text", byte=name())
_SAVE: Final = plain("gate.not-utf-8.do", "save the file as UTF-8")
_UTF_16: Final = plain("gate.utf-16", "the file is text in UTF-16, and not in UTF-8")
_NO_TEXT: Final = plain(
    "gate.no-text", "the file is a document of a word processor or no text at all"
)
_SAVE_TEXT: Final = plain("gate.no-text.do", "save it as plain text, in UTF-8")
_TAB: Final = plain("gate.tab", "there is a tab, which is no indent to YAML")
_SPACES: Final = plain("gate.tab.do", "write spaces in its place")
_TAB_WITHIN: Final = plain("gate.tab.within", "there is a tab")
_SPACE: Final = plain("gate.tab.within.do", "write a space in its place")
_UNSHOWN: Final = row("gate.unshown", "the character {code} cannot be shown", code=name())


def refuse_file(path: Path, spot: Spot | None, what: Message, what_to_do: Message) -> NoReturn:
    """Raise the ScenarioError for a file, or for a spot in it."""
    raise ScenarioError(what, where(path, spot), what_to_do)


def octets(path: Path) -> bytes:
    """Return the bytes of a file that is there, not empty and small enough.

    Raises:
        ScenarioError: It is not.
    """
    try:
        odd = no_file(path)
        if odd is not None:
            refuse_file(path, None, *odd)
        size = path.stat().st_size
        if size > LARGEST_BYTES:
            _too_large(path, size)
        with reading(path) as file:
            content = file.read(LARGEST_BYTES + 1)
    except FileNotFoundError:
        refuse_file(path, None, _GONE, _CHECK_NAME)
    except (OSError, ValueError) as fault:  # ValueError: a NUL character in the name
        refuse_file(path, None, _UNREAD(reason=reason(fault)), _MAY)
    if len(content) > LARGEST_BYTES:  # it has grown since it was measured
        _too_large(path, len(content))
    if not content.strip():
        refuse_file(path, None, _EMPTY, START_FROM_SHIPPED)
    return content


def read_text(path: Path, content: bytes | None = None) -> str:
    """Return the text of a file.

    Args:
        path: The file.
        content: What it holds, where it need not be there any more.

    Raises:
        ScenarioError: As `octets`; or it is no UTF-8, or has a tab or what no screen can show.
    """
    content = octets(path) if content is None else content
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)) or _WIDE.match(content):
        refuse_file(path, None, _UTF_16, _SAVE)
    if content.startswith(_DOCUMENTS):
        refuse_file(path, None, _NO_TEXT, _SAVE_TEXT)
    try:
        text = _LINE_ENDS.sub("\n", content.decode("utf-8-sig"))
    except UnicodeDecodeError as fault:
        whole = _LINE_ENDS.sub("\n", content[: fault.start].decode("utf-8"))
        spot = Spot(whole.count("\n") + 1, len(whole) - whole.rfind("\n"))
        refuse_file(path, spot, _NOT_UTF_8(byte=f"0x{content[fault.start]:02x}"), _SAVE)
    bad = _UNFIT.search(text)
    if bad is not None:
        line = text.count("\n", 0, bad.start()) + 1
        spot = Spot(line, bad.start() - text.rfind("\n", 0, bad.start()))
        if bad[0] == "\t":
            before = text[: bad.start()].rpartition("\n")[2]
            tab = (_TAB_WITHIN, _SPACE) if before.strip() else (_TAB, _SPACES)
            refuse_file(path, spot, *tab)
        refuse_file(path, spot, _UNSHOWN(code=f"U+{ord(bad[0]):04X}"), TAKE_OUT)
    return text


def _too_large(path: Path, size: int) -> NoReturn:
    refuse_file(path, None, _LARGE(size=size, most=LARGEST_BYTES), _MEANT)
