"""A fault denied by "it does not" or "it is not" is never the fault told."""

from __future__ import annotations

import pytest
from own_words_understood import understand

from doorround.domain.values import Condition, YesNo

DENIED = [
    ("closer.full", "no it doesn't slam", "slams"),
    ("closer.full", "nope it does not slam", "slams"),
    ("closer.full", "no it doesn't bang", "slams"),
    ("closer.full", "no it does not stop short", "stops_short"),
    ("closer.full", "no they don't slam", "slams"),
    ("closer.full", "never slams", "slams"),
    ("latch", "no it doesn't stick", "not_latching"),
    ("coordinator", "no they don't clash", "wrong_order"),
    ("letter_plate", "no it doesn't stay open", "open"),
    ("frame.here", "doesn't look damaged", "damaged"),
    ("frame.here", "doesn't look damaged but it's a bit loose", "damaged"),
    ("frame.here", "it doesn't look like it's split", "split"),
    ("leaf.here", "they don't look warped", "warped"),
    ("seals", "don't look painted to me", "painted"),
    ("glass.here", "it does not seem cracked", "cracked"),
]


@pytest.mark.parametrize(("key", "words", "fault"), DENIED)
def test_what_is_denied_is_neither_entered_nor_read_back(key: str, words: str, fault: str) -> None:
    found = understand(key, words)
    told = {each.name for said in found.meanings for each in getattr(said.value, "defects", ())}
    assert fault not in told, found
    assert found.kind != "entered" or told, "nothing passes unasked"


def test_what_is_told_beside_it_is_kept() -> None:
    found = understand("frame.here", "doesn't look damaged but it's a bit loose")
    assert [each.name for each in found.meanings[0].value.defects] == ["loose"]


def test_what_was_not_looked_at_is_still_not_checked() -> None:
    for words in ("didn't look", "I did not look, too dark"):
        found = understand("frame.here", words)
        assert not any(isinstance(said.value, Condition) for said in found.meanings), words


@pytest.mark.parametrize(
    "words", ["never stayed open", "no it didn't stay open", "it did not stay open"]
)
def test_a_door_that_did_not_stay_open_is_not_one_that_did(words: str) -> None:
    found = understand("alarm_release", words)
    assert all(said.value != YesNo(yes=False) for said in found.meanings), found
    assert found.kind != "entered"


@pytest.mark.parametrize(
    "words", ["it stayed open", "no, it stayed open", "it never closed", "didn't let go"]
)
def test_a_door_that_stayed_open_still_did(words: str) -> None:
    found = understand("alarm_release", words)
    assert [said.value for said in found.meanings] == [YesNo(yes=False)], found


@pytest.mark.parametrize("words", ["there isn't one", "hasn't got one"])
def test_a_sign_that_is_due_is_missing_and_not_one_that_does_not_apply(words: str) -> None:
    found = understand("sign.here", words)
    assert [each.name for each in found.meanings[0].value.defects] == ["missing"]
