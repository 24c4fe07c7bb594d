"""Seals: what a record may not tell before its close, and the closing line opens.

The name of a fault is sealed by a digest, the text of a scenario with faults in it by a key stream;
both hang on the session's nonce, which the closing line tells. A seal hides; it does not protect:
the program that runs the session knows the nonce.
"""

import hashlib
from base64 import b64decode, b64encode
from collections.abc import Iterable
from typing import Final

_BLOCK: Final = 32  # octets of a SHA-256
_MESSAGE: Final = 2_048  # octets that a message is filled up to


def scenario_seal(names: Iterable[str], nonce: str) -> str:
    """Return the digest that commits a record to the faults of its scenario."""
    return hashlib.sha256(f"{','.join(sorted(names))}/{nonce}".encode()).hexdigest()


def fault_seal(number: int, name: str, nonce: str) -> str:
    """Return the digest that stands in a record for a fault put in or taken out.

    Args:
        number: How many such lines come before it in the record.
        name: The fault's name.
        nonce: The session's, which only the closing line tells.
    """
    return hashlib.sha256(f"{number}:{name}/{nonce}".encode()).hexdigest()


def hidden_text(content: bytes, nonce: str) -> str:
    """Return the octets of a file under the nonce's key stream, in base 64."""
    return b64encode(_under(content, nonce)).decode("ascii")


def opened_text(hidden: str, nonce: str) -> bytes:
    """Return what `hidden_text` was given.

    Raises:
        ValueError: It is not base 64.
    """
    return _under(b64decode(hidden, validate=True), nonce)


def hidden_message(number: int, content: str, nonce: str) -> str:
    """Return a message of a record under a key stream of its own; its length tells little of it.

    Args:
        number: How many of them come before it in the record.
        content: Of the message, in JSON.
        nonce: The session's.
    """
    return hidden_text(content.encode().ljust(_MESSAGE), f"{number}:message/{nonce}")


def opened_message(number: int, hidden: str, nonce: str) -> str:
    """Return what `hidden_message` was given.

    Raises:
        ValueError: It is not what was hidden.
    """
    return opened_text(hidden, f"{number}:message/{nonce}").decode().rstrip()


def _under(content: bytes, nonce: str) -> bytes:
    """Return octets combined with SHA-256 of nonce and block number, block by block."""
    stream = b"".join(
        hashlib.sha256(f"{block}/{nonce}".encode()).digest()
        for block in range(-(-len(content) // _BLOCK))
    )
    return bytes(a ^ b for a, b in zip(content, stream, strict=False))
