"""A message that is changed to words no rule reads: a fault told there is not lost."""

from __future__ import annotations

import pytest
from own_words_typed import UNDERSTAND
from visits import CORRIDOR, NOON, UNDERSTANDING, Visit

from doorround.channels.talk.second_reading import hear_change
from doorround.dialogue.amending import amend
from doorround.domain.check import Stage
from doorround.messages.receiving import EDIT_ASKED_LATER


def change(visit: Visit, key: str, words: str) -> list[str]:
    ids = [visit.check.answers[key].id]
    heard = hear_change(words, visit.check, ids, False, (UNDERSTANDING, UNDERSTAND))
    visit.turn = amend(visit.check, ids, heard, NOON)
    return visit.said


@pytest.mark.parametrize(
    ("words", "fault"),
    [("it has a split in it", "split"), ("fine but someone's put a hole through it", "hole")],
)
def test_a_fault_in_own_words_takes_the_place_of_the_pass(words: str, fault: str) -> None:
    visit = Visit(CORRIDOR).go_to("glass.here")
    change(visit, "leaf.here", words)
    if visit.check.stage is Stage.CONFIRMING:
        visit.type("yes")
    assert visit.meaning("leaf.here") == fault and visit.check.open == "glass.here"


def test_a_pass_in_own_words_is_read_back() -> None:
    visit = Visit(CORRIDOR).go_to("leaf.here")
    visit.type("split")
    assert change(visit, "leaf.here", "nowt wrong with it")[-1].endswith("Right?")
    assert visit.meaning("leaf.here") == "split"


@pytest.mark.parametrize("words", ["fine but scuffed", "the hinges have gone all stiff and noisy"])
def test_words_that_are_not_understood_change_nothing_and_are_told_again(words: str) -> None:
    visit = Visit(CORRIDOR).go_to("glass.here")
    said = change(visit, "leaf.here", words)
    assert said[0].endswith("stands: sound. I'll ask about it before you sign.")
    assert visit.meaning("leaf.here") == "sound" and visit.check.open == "glass.here"
    visit.type("finish")
    assert f"“{words}”" in visit.type("finish")[0]


def test_a_word_that_tells_nothing_is_not_told_again() -> None:
    visit = Visit(CORRIDOR).go_to("glass.here")
    assert change(visit, "leaf.here", "lunch")[0].endswith("What you said before stands: sound.")
    assert visit.check.unread_at_end == ()


def test_an_edit_of_a_message_that_gave_no_answer_is_entered_and_comes_up_at_the_end() -> None:
    visit = Visit(CORRIDOR).go_to("leaf.here")
    before = visit.check
    heard = hear_change("bit cockeyed & twisted", visit.check, (), False, (UNDERSTANDING, None))
    turn = amend(visit.check, (), heard, NOON)
    assert turn.say[0].text == EDIT_ASKED_LATER
    assert turn.message is not None and turn.message.body["words"] == "bit cockeyed & twisted"
    assert turn.check.unread_at_end == ("bit cockeyed & twisted",)
    assert turn.check.answers == before.answers and turn.check.open == before.open
