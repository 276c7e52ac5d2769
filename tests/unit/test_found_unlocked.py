"""A report that a door was not locked concerns the lock, wherever it is said, never the latch."""

from __future__ import annotations

from dataclasses import replace

import pytest
from own_words_understood import UNDERSTANDING, passes, understand

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.values import YesNo
from doorround.understanding.understanding_result import NOTHING
from tests.benchmarks.bench_understanding import expected_at

SAID = ("wasn't locked", "it wasn't locked when I came", "unlocked when I got here")


@pytest.mark.parametrize("key", ["frame.here", "latch", "register.rating", "gaps.sides"])
@pytest.mark.parametrize("words", SAID)
def test_an_unlocked_door_answers_the_question_about_the_lock(key: str, words: str) -> None:
    found = understand(key, words)
    assert found.kind == "read_back"
    assert [(each.question, each.value) for each in found.meanings] == [("lock", YesNo(yes=False))]


@pytest.mark.parametrize("words", SAID)
def test_it_says_nothing_where_the_lock_is_not_asked_about(words: str) -> None:
    allowed = _without_lock(expected_at("latch"))
    assert UNDERSTANDING.understand(allowed.open, words, allowed) == NOTHING


@pytest.mark.parametrize("words", ["does not lock", "won't lock"])
def test_a_lock_that_does_not_lock_is_still_a_fault(words: str) -> None:
    found = understand("latch", words)
    assert found.kind == "entered"
    assert not any(map(passes, found.meanings))


def _without_lock(expected: ExpectedInput) -> ExpectedInput:
    kept = {
        name: tuple(each for each in getattr(expected, name) if each.component != "lock")
        for name in ("others", "parts")
    }
    return replace(expected, **kept)
