"""The address of a chat: its channel's name and the messenger's own id."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doorround.domain.address import Address, is_of


def test_an_address_is_written_as_channel_and_id() -> None:
    assert str(Address("telegram", "-1009")) == "telegram/-1009"


@given(st.text(st.characters(exclude_characters="/"), min_size=1), st.text(min_size=1))
def test_what_is_written_is_read_as_it_was(channel: str, id: str) -> None:
    # a room may be called "!door/14:example.org" by its messenger
    assert Address.read(str(Address(channel, id))) == Address(channel, id)


@pytest.mark.parametrize("name", ["", "telegram", "telegram/", "/4711", "/"])
def test_what_is_no_address_is_refused(name: str) -> None:
    with pytest.raises(ValueError, match=r'is not the address of a chat\. Use .* "telegram/4711"'):
        Address.read(name)


def test_a_chat_belongs_to_the_channel_of_that_whole_name() -> None:
    assert is_of("telegram", "telegram/4711")
    assert not is_of("tele", "telegram/4711")
    assert not is_of("telegram", "telegram2/4711")
