"""Seals say nothing before they are opened, and open to the last octet; how is part of the format."""

from base64 import b64encode
from hashlib import sha256

import pytest

from sim.records.seal import (
    fault_seal,
    hidden_message,
    hidden_text,
    opened_message,
    opened_text,
    scenario_seal,
)


def test_a_scenario_s_seal_is_the_digest_of_its_faults_in_order_and_the_nonce():
    assert scenario_seal(["oil-low", "air-low"], "n") == sha256(b"air-low,oil-low/n").hexdigest()
    assert scenario_seal([], "n") == sha256(b"/n").hexdigest()


def test_a_fault_s_seal_is_the_digest_of_its_place_its_name_and_the_nonce():
    assert fault_seal(0, "oil-low", "n") == sha256(b"0:oil-low/n").hexdigest()


@pytest.mark.parametrize("length", [0, 1, 31, 32, 33, 64, 65, 1000])
def test_a_sealed_text_opens_with_its_nonce_and_with_no_other(length):
    content = bytes(number % 251 for number in range(length))
    hidden = hidden_text(content, "n")

    assert opened_text(hidden, "n") == content
    assert length < 8 or content[:8] not in opened_text(hidden, "m")


def test_the_key_stream_is_the_digests_of_block_and_nonce():
    stream = sha256(b"0/n").digest() + sha256(b"1/n").digest() + sha256(b"2/n").digest()

    assert hidden_text(bytes(70), "n") == b64encode(stream[:70]).decode()


@pytest.mark.parametrize("odd", ["!", "YQ", "YQ==\n", "Y Q=="])
def test_what_is_no_base_64_is_refused(odd):
    with pytest.raises(ValueError):  # noqa: PT011 - whatever the library says of it
        opened_text(odd, "n")


@pytest.mark.parametrize(
    "content", ["", "x", "ö" * 300, "x" * 2_047, "x" * 2_048, "ö" * 2_047, "x" * 3_000]
)
@pytest.mark.parametrize("number", [0, 3])
def test_a_sealed_message_opens_at_its_own_place_only(number, content):
    hidden = hidden_message(number, content, "n")

    assert opened_message(number, hidden, "n") == content
    assert hidden_message(number + 1, content, "n") != hidden
    assert hidden == hidden_text(opened_text(hidden, f"{number}:message/n"), f"{number}:message/n")


def test_the_length_of_a_sealed_message_tells_no_short_one_from_another():
    lengths = [len(opened_text(hidden_message(0, "x" * n, "n"), "n")) for n in (0, 1, 2_048, 2_049)]

    assert lengths == [2_048, 2_048, 2_048, 2_049]
