"""The instructor's code: what proves that an order comes from whoever set it.

The code is typed when a session is begun and never written down. A record's opening line has a salt,
which is public, and a check value; the key is made of code and salt by scrypt (RFC 7914), slowly, so
that trying codes takes long. A session keeps the key in its memory alone.

The limit of it: who can read the memory or the keys of the trainee's computer has the code, and a
short code can be tried through with patience. Never here: what an order does.
"""

import hmac
import secrets
import unicodedata
from dataclasses import dataclass, field
from hashlib import scrypt, sha256
from typing import Final

from sim.errors import CommandError
from sim.words.fields import number
from sim.words.message import row

SHORTEST: Final = 6  # characters of a code
_COST: Final = 1 << 15  # 32 MiB and a tenth of a second a try
_MEMORY: Final = 128 * 8 * _COST * 2  # octets that scrypt may take

_SHORT: Final = row("code.short", "the code has {count} characters", count=number())
_AT_LEAST: Final = row("code.at-least", "give {least} or more", least=number())


@dataclass(frozen=True, slots=True)
class OrderKey:
    """The key of one session's orders."""

    salt: str  # of the opening line
    secret: bytes = field(repr=False)

    @property
    def check(self) -> str:
        """What a record's opening line has of it, so that a wrong code is known before an order is given."""
        return self.over("check", b"")

    def over(self, purpose: str, content: bytes) -> str:
        """Return the HMAC-SHA256 over a content for one purpose, in hexadecimal."""
        return hmac.new(self.secret, purpose.encode() + b"\n" + content, sha256).hexdigest()


def check_code(code: str) -> None:
    """Raise CommandError if a code is too short."""
    if len(code) < SHORTEST:
        raise CommandError(_SHORT(count=len(code)), "--instructor-code", _AT_LEAST(least=SHORTEST))


def new_key(code: str) -> OrderKey:
    """Return the key of a new session.

    Raises:
        CommandError: The code is too short.
    """
    check_code(code)
    return _key(code, secrets.token_hex(16))


def key_for(code: str, salt: str, check: str) -> OrderKey | None:
    """Return the key of a session that has the salt and the check value; None if the code is another."""
    key = _key(code, salt)
    return key if hmac.compare_digest(key.check, check) else None


def _key(code: str, salt: str) -> OrderKey:
    typed = unicodedata.normalize("NFC", code).encode("utf-8", "surrogateescape")
    secret = scrypt(typed, salt=salt.encode(), n=_COST, r=8, p=1, maxmem=_MEMORY, dklen=32)
    return OrderKey(salt, secret)
