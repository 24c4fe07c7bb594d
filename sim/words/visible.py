r"""What no eye may be given as it stands: signs that move the cursor, turn the text round or hide.

Names of files, titles, notes and pseudonyms come from anybody. A control character or an escape
sequence in them could write over what a terminal shows, and a bidirectional control could show a name
backwards; they are told as Python writes them, like \x1b and \u202e.

Source of the list: Unicode Standard 15.0, categories Cc, Cf, Cs, Zl and Zp, in the planes that names
use; Unicode Technical Report 36 on bidirectional controls.

Never here: what a terminal's encoding can show (see `sim.text.streams`).
"""

import re
from typing import Final

_HIDDEN: Final = re.compile(
    "[\x00-\x1f\x7f-\x9f\xad\u0600-\u0605\u061c\u06dd\u070f\u180e\u200b-\u200f\u2028-\u202e"
    "\u2060-\u206f\ud800-\udfff\ufeff\ufff9-\ufffb\U000e0000-\U000e007f]"
)


def visible(text: str, keep: str = "") -> str:
    """Return a text in which every sign that nobody could see is written out.

    Args:
        text: Whatever came.
        keep: Signs that stay as they are, such as the ends of lines.
    """
    if text.isprintable():
        return text
    return _HIDDEN.sub(lambda found: found[0] if found[0] in keep else _written(found[0]), text)


def _written(sign: str) -> str:
    return sign.encode("unicode_escape").decode("ascii")
