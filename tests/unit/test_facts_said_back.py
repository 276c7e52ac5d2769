"""Facts about a door are read back in words that somebody would say, and not as they are stored."""

from __future__ import annotations

import pytest
from own_words_typed import UNDERSTAND
from visits import CHECKLIST, UNDERSTANDING, UNKNOWN, Visit, door

from doorround.channels.talk.second_reading import read_second
from doorround.dialogue.expected_input import expected_input
from doorround.domain.input_result import Said
from doorround.domain.judging.formatting import defect_words
from doorround.domain.values import Choice, Defect
from doorround.hearing.session.interpretation import typed
from doorround.messages.answers import said_words


@pytest.mark.parametrize(
    ("key", "chosen", "words"),
    [
        ("register.use", "other", "Use: something else"),
        ("register.use", "unknown", "Use: not known"),
        ("register.leaves", "pair", "Leaves: a pair"),
        ("register.operation", "hinged", "Opens: on hinges"),
        ("register.operation", "double-action", "Opens: both ways"),
        ("register.operation", "roller shutter", "Opens: as a roller shutter"),
        ("register.screens", "above", "Fixed glass: above the door"),
        ("register.glazing", "clear fire-resisting", "Glass: clear"),
        ("register.closer", "none, kept locked", "Closer: none, as the door is kept locked"),
        ("register.latch", "latch", "Latch or lock: latch"),
        ("register.seals_in", "frame", "Seals in: the frame"),
        ("register.seals_in", "unknown", "Seals in: not known"),
    ],
)
def test_a_fact_is_read_back_as_it_would_be_said(key: str, chosen: str, words: str) -> None:
    said = Said(question=key, value=Choice(chosen=chosen), phrase="")
    assert said_words(said, CHECKLIST) == words


def test_something_else_is_not_said_back_as_other() -> None:
    visit = Visit(UNKNOWN)
    assert visit.check.open == "register.use"
    visit.type("something else")
    assert visit.said[0] == "Use: something else." and visit.check.door.use == "other"


@pytest.mark.parametrize(
    ("count", "words"),
    [(1, "a hole in it"), (2, "a hole in it, 2 of them"), (None, "a hole in it")],
)
def test_a_number_of_holes_is_no_article_too(count: int | None, words: str) -> None:
    assert defect_words("a hole in it", Defect(name="hole", count=count)) == words


def test_screws_are_counted_as_before() -> None:
    assert (
        defect_words("screw missing", Defect(name="screw_missing", count=2)) == "2 screws missing"
    )


@pytest.mark.parametrize("words", ["stops dead", "stops short", "not right", "it's not right"])
@pytest.mark.parametrize("field", ["seals_in", "hold_open", "latch", "glazing", "closer"])
def test_what_is_no_fact_is_not_read_back_as_one(words: str, field: str) -> None:
    key = f"register.{field}"
    visit = Visit(door("X", **{field: None})).go_to(key)
    heard = typed(UNDERSTANDING, words, expected_input(visit.check))
    visit.take(read_second(heard, UNDERSTAND, visit.check))
    pending = visit.check.pending
    assert key not in visit.check.answers
    assert pending is None or all(each.question != key for each in pending.said)
